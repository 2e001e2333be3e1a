//! The question of a garden file: its needs as wants, sheets that would serve, rolls, prices.

use garden::bed_needs::needs_of_bed;
use garden::fit::{LEAST_SKIRT_M, MOST_PIECES, Needed, Placement, ROLL_BEYOND_M, needed};
use garden::need::Need;
use garden::stock::{Condition, SheetKind};
use garden::supply::{ClothRoll, rod_seasons, seasons};
use garden::{Bed, Garden};
use quantities::UnitSystem;
use quantities::units::{FOOT_M, INCH_M};
use structure::{Material, Section};

use crate::kit::answer::{StockItem, Why};
use crate::kit::error::KitError;
use crate::kit::half_months::half_months;
use crate::kit::problem::{BedHoops, Fixings, Goods, Origin, Problem, Roll, Size, Want, Way};
use crate::kit::settings::Settings;

/// The problem, and what its parts are.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// The problem.
    pub problem: Problem,
    /// Each want's need.
    pub needs: Vec<Need>,
    /// Why there is no way at all to meet it, where there is none.
    pub hindered: Vec<Option<Why>>,
    /// What each size is.
    pub sizes: Vec<StockItem>,
    /// For each kind of roll whether it is a rod, and its index in the supply.
    pub rolls: Vec<(bool, usize)>,
    /// Price of each kind of roll, where there is one.
    pub prices: Vec<Option<f64>>,
    /// Prices of a pin and of a clip, where there are such.
    pub fixings: [Option<f64>; 2],
    /// Whether cloth is counted by area because a price is missing.
    pub by_area: bool,
    /// Beds whose hoops cannot be cut from any rod on offer.
    pub no_rod: Vec<usize>,
    /// Beds with hoops that are taken to stand.
    pub standing: Vec<usize>,
}

/// What a want costs at most in a season where nothing is worth anything: so that what is free is used. Our choice.
const LEAST_PENALTY: f64 = 0.05;

/// A way that takes more cloth than this many times the least is not looked at. Our choice.
const MOST_CLOTH: f64 = 2.5;

/// Money or area for one joint or one skirt to be rolled up: so little that it only breaks ties. Our choice.
const HANDLING_COST: f64 = 1e-3;

/// The question of a garden.
///
/// # Errors
/// [`KitError`] where there is none.
pub fn from_garden(garden: &Garden, settings: Settings) -> Result<Built, KitError> {
    check(garden, settings)?;
    let mut builder = Builder::new(garden);
    builder.add_cloths();
    let wants: Vec<(usize, Need)> = garden
        .beds
        .iter()
        .enumerate()
        .flat_map(|(b, bed)| needs_of_bed(bed).into_iter().map(move |n| (b, n)))
        .collect();
    if wants.is_empty() {
        return Err(KitError::NothingWanted);
    }
    builder.add_stock();
    for (b, need) in &wants {
        builder.add_sizes(&garden.beds[*b], &|kind| need.wanted.served_by(kind));
    }
    for (b, need) in wants {
        let worth: f64 = garden.beds[b].plantings.iter().map(|p| p.worth).sum();
        let serves = |kind| need.wanted.served_by(kind);
        builder.add_want(b, half_months(&need), worth.max(LEAST_PENALTY), &serves);
        builder.built.needs.push(need);
    }
    builder.price(settings);
    for (b, bed) in garden.beds.iter().enumerate() {
        builder.add_hoops(b, bed, settings.have_hoops);
    }
    Ok(builder.built)
}

fn check(garden: &Garden, settings: Settings) -> Result<(), KitError> {
    if let Some(value) = settings.budget.filter(|b| !(0.0..=1e7).contains(b)) {
        return Err(KitError::BadBudget { value });
    }
    if !(1..=10).contains(&settings.years) {
        return Err(KitError::BadYears { value: settings.years });
    }
    if garden.supply.cloths.is_empty() {
        return Err(KitError::NothingOnOffer);
    }
    Ok(())
}

/// The question of which sheets keep cold off: one want for each bed with something at stake, met by row cover or film,
/// its worth and its evenings still to be filled in; hoops are taken to stand.
///
/// # Errors
/// [`KitError`] where there is none.
pub fn against_cold(garden: &Garden, settings: Settings) -> Result<Built, KitError> {
    check(garden, settings)?;
    let mut builder = Builder::new(garden);
    builder.add_cloths();
    builder.add_stock();
    let staked: Vec<usize> = (0..garden.beds.len())
        .filter(|b| garden.beds[*b].plantings.iter().any(|p| p.worth > 0.0))
        .collect();
    staked.iter().for_each(|b| builder.add_sizes(&garden.beds[*b], &keeps_cold_off));
    staked.iter().for_each(|b| builder.add_want(*b, 0, LEAST_PENALTY, &keeps_cold_off));
    builder.price(settings);
    Ok(builder.built)
}

/// Row cover and film; nets and shade cloth are bought for other ends.
#[must_use]
pub fn keeps_cold_off(kind: SheetKind) -> bool {
    matches!(kind, SheetKind::RowCover { .. } | SheetKind::Film { .. })
}

struct Builder<'a> {
    garden: &'a Garden,
    kinds: Vec<SheetKind>,
    built: Built,
}

impl<'a> Builder<'a> {
    fn new(garden: &'a Garden) -> Self {
        let fixings = |have| Fixings { have, price: 0.0, seasons: rod_seasons(Material::SoftWire) };
        let problem = Problem {
            wants: Vec::new(),
            hoops: vec![None; garden.beds.len()],
            sizes: Vec::new(),
            goods: Vec::new(),
            rolls: Vec::new(),
            pins: fixings(garden.stock.hold_downs()),
            clips: fixings(garden.stock.clips),
            budget: f64::INFINITY,
            seconds: None,
        };
        let built = Built {
            problem,
            needs: Vec::new(),
            hindered: Vec::new(),
            sizes: Vec::new(),
            rolls: Vec::new(),
            prices: Vec::new(),
            fixings: [garden.supply.pin_price, garden.supply.clip_price],
            by_area: false,
            no_rod: Vec::new(),
            standing: Vec::new(),
        };
        Self { garden, kinds: Vec::new(), built }
    }

    /// Cloths of one kind that last equally long are one good.
    fn add_cloths(&mut self) {
        for (i, cloth) in self.garden.supply.cloths.iter().enumerate() {
            let lasts = cloth.lasts_seasons.unwrap_or_else(|| seasons(cloth.kind));
            let same = |g: &usize| {
                self.kinds[*g] == cloth.kind && self.built.problem.goods[*g].seasons == lasts
            };
            let goods = (0..self.kinds.len()).find(same).unwrap_or_else(|| {
                self.kinds.push(cloth.kind);
                self.built.problem.goods.push(Goods { seasons: lasts, wire: false });
                self.kinds.len() - 1
            });
            let ClothRoll { width_m, length_m, at_most, .. } = *cloth;
            let price = width_m * length_m;
            self.built.problem.rolls.push(Roll { goods, width_m, length_m, price, at_most });
            self.built.rolls.push((false, i));
            self.built.prices.push(cloth.price);
        }
    }

    fn add_stock(&mut self) {
        for (i, sheet) in self.garden.stock.sheets.iter().enumerate() {
            if sheet.condition != Condition::Torn && sheet.count > 0 {
                let (width_m, length_m) = (sheet.width_m, sheet.length_m);
                let from = Origin::Stock(sheet.count);
                self.built.problem.sizes.push(Size { width_m, length_m, from });
                self.built.sizes.push(StockItem::Stock(i));
            }
        }
    }

    /// The size that a bed would have of each cloth that serves.
    fn add_sizes(&mut self, bed: &Bed, serves: &dyn Fn(SheetKind) -> bool) {
        for goods in 0..self.kinds.len() {
            let kind = self.kinds[goods];
            if !serves(kind) {
                continue;
            }
            let Some(size) = needed(bed, kind).and_then(|n| self.size(&n, goods)) else { continue };
            let same = |s: &Size| {
                s.from == size.from
                    && (s.width_m - size.width_m).abs() < 1e-6
                    && (s.length_m - size.length_m).abs() < 1e-6
            };
            if !self.built.problem.sizes.iter().any(same) {
                self.built.problem.sizes.push(size);
                self.built.sizes.push(StockItem::Cloth(kind));
            }
        }
    }

    /// With a good skirt where a roll gives it, else with the least; in as few pieces as a roll gives; in whole inches
    /// and half feet, or centimetres and tenths of a metre, where a roll gives that.
    fn size(&self, needed: &Needed, goods: usize) -> Option<Size> {
        let us = self.garden.units == UnitSystem::Us;
        let (short_m, long_m) = if us { (INCH_M, 0.5 * FOOT_M) } else { (0.01, 0.1) };
        let least_m = needed.across_m + 2.0 * LEAST_SKIRT_M;
        let good_m = needed.across_m + 2.0 * ROLL_BEYOND_M;
        let good_m = ((good_m / short_m + 1e-6).floor() * short_m).max(least_m);
        let round = |x: f64, step: f64| (x / step - 1e-6).ceil() * step;
        let from = Origin::Goods(goods);
        let fits = |s: &Size| {
            let rolls = self.built.problem.rolls.iter().filter(|r| r.goods == goods);
            let on = |w: f64, l: f64, r: &Roll| w <= r.width_m + 1e-6 && l <= r.length_m + 1e-6;
            rolls.into_iter().any(|r| on(s.width_m, s.length_m, r) || on(s.length_m, s.width_m, r))
        };
        let sizes = (1..=MOST_PIECES).flat_map(|n| {
            let length_m = needed.length_m(n);
            let size = |width_m, length_m| Size { width_m, length_m, from };
            [
                size(good_m, round(length_m, long_m)),
                size(round(least_m, short_m), round(length_m, long_m)),
                size(least_m, length_m),
            ]
        });
        sizes.into_iter().find(fits)
    }

    fn add_want(
        &mut self,
        b: usize,
        slots: u128,
        penalty: f64,
        serves: &dyn Fn(SheetKind) -> bool,
    ) {
        let bed = &self.garden.beds[b];
        let sizes = &self.built.problem.sizes;
        let mut ways: Vec<(Way, f64)> = Vec::new();
        for (s, size) in sizes.iter().enumerate() {
            let kind = match self.built.sizes[s] {
                StockItem::Stock(i) => self.garden.stock.sheets[i].kind,
                StockItem::Cloth(kind) => kind,
                StockItem::Rod(..) => continue,
            };
            if serves(kind)
                && let Some((way, cloth)) = way(bed, kind, s, size)
            {
                ways.push((way, cloth));
            }
        }
        let new = |w: &Way| matches!(sizes[w.size].from, Origin::Goods(_));
        let least_m2 =
            ways.iter().filter(|(w, _)| new(w)).map(|w| w.1).fold(f64::INFINITY, f64::min);
        ways.retain(|(w, m2)| !new(w) || *m2 <= MOST_CLOTH * least_m2);
        let hindered = ways.is_empty().then(|| self.hindered(bed, serves));
        self.built.hindered.push(hindered);
        let ways = ways.into_iter().map(|w| w.0).collect();
        self.built.problem.wants.push(Want { bed: b, slots, penalty, ways });
    }

    /// Why no sheet in the shed or on offer does.
    fn hindered(&self, bed: &Bed, serves: &dyn Fn(SheetKind) -> bool) -> Why {
        let whole = self.garden.stock.sheets.iter().filter(|s| s.condition != Condition::Torn);
        let kinds = whole.map(|s| s.kind).chain(self.kinds.iter().copied());
        let serving: Vec<SheetKind> = kinds.filter(|k| serves(*k)).collect();
        if serving.is_empty() {
            Why::NoCloth
        } else if serving.iter().all(|k| needed(bed, *k).is_none()) {
            Why::CannotLie
        } else {
            Why::TooSmall
        }
    }

    /// Money where every cloth that could serve has a price; else area, with everything met that can be.
    fn price(&mut self, settings: Settings) {
        let p = &mut self.built.problem;
        let used = |goods: usize| {
            let ways = p.wants.iter().flat_map(|w| &w.ways);
            ways.into_iter().any(|w| p.sizes[w.size].from == Origin::Goods(goods))
        };
        let lacking = |(roll, price): (&Roll, &Option<f64>)| price.is_none() && used(roll.goods);
        self.built.by_area = p.rolls.iter().zip(&self.built.prices).any(lacking);
        if self.built.by_area {
            // More than any bed's cloth: the largest roll for each piece, every half season.
            let largest_m2 = p.rolls.iter().map(|r| r.price).fold(0.0, f64::max);
            let penalty = 2.0 * f64::from(MOST_PIECES) * largest_m2 + 1.0;
            p.wants.iter_mut().for_each(|w| w.penalty = penalty);
            return;
        }
        for (roll, price) in p.rolls.iter_mut().zip(&self.built.prices) {
            roll.price = price.unwrap_or(0.0);
        }
        p.pins.price = self.garden.supply.pin_price.unwrap_or(0.0);
        p.clips.price = self.garden.supply.clip_price.unwrap_or(0.0);
        if let Some(budget) = settings.budget {
            p.budget = budget * f64::from(settings.years);
        }
    }

    /// The hoops of a bed, where they are to be bought and can be.
    fn add_hoops(&mut self, b: usize, bed: &Bed, have: bool) {
        let wants = self.built.problem.wants.iter().filter(|w| w.bed == b);
        let over = wants.flat_map(|w| &w.ways).any(|w| w.hoops);
        let Some(hoops) = bed.hoops.filter(|_| over) else { return };
        if have {
            self.built.standing.push(b);
            return;
        }
        let Some(goods) = self.rod(hoops.material, hoops.section, hoops.length_m) else {
            self.built.no_rod.push(b);
            return;
        };
        let from = Origin::Goods(goods);
        let p = &mut self.built.problem;
        let same = |s: &Size| s.from == from && (s.length_m - hoops.length_m).abs() < 1e-6;
        let size = p.sizes.iter().position(same).unwrap_or_else(|| {
            p.sizes.push(Size { width_m: 1.0, length_m: hoops.length_m, from });
            self.built.sizes.push(StockItem::Rod(hoops.material, hoops.section));
            p.sizes.len() - 1
        });
        p.hoops[b] = Some(BedHoops { size, count: hoops.count(bed.length_m) });
    }

    /// The good of rods of a material and section, where one is long enough; they count nothing if one lacks its price.
    fn rod(&mut self, material: Material, section: Section, length_m: f64) -> Option<usize> {
        let close = |a: f64, b: f64| (a - b).abs() <= 0.02 * a.max(b);
        let like = |s: &Section| {
            close(s.outer_m(), section.outer_m()) && close(s.inner_m(), section.inner_m())
        };
        let rods = self.garden.supply.rods.iter().enumerate();
        let rods: Vec<_> =
            rods.filter(|(_, r)| r.material == material && like(&r.section)).collect();
        let first = rods.iter().map(|r| r.0).next()?;
        if !rods.iter().any(|(_, r)| r.length_m >= length_m - 1e-6) {
            return None;
        }
        let known = self.built.rolls.iter().position(|r| *r == (true, first));
        if let Some(roll) = known {
            return Some(self.built.problem.rolls[roll].goods);
        }
        let goods = self.built.problem.goods.len();
        self.built.problem.goods.push(Goods { seasons: rod_seasons(material), wire: true });
        let counts = !self.built.by_area && rods.iter().all(|(_, r)| r.price.is_some());
        for (i, rod) in rods {
            let price = rod.price.filter(|_| counts).unwrap_or(0.0);
            let (length_m, at_most) = (rod.length_m, rod.at_most);
            self.built.problem.rolls.push(Roll { goods, width_m: 1.0, length_m, price, at_most });
            self.built.rolls.push((true, i));
            self.built.prices.push(rod.price);
        }
        Some(goods)
    }
}

/// How sheets of a size would lie over a bed, and the cloth they take, m².
fn way(bed: &Bed, kind: SheetKind, s: usize, size: &Size) -> Option<(Way, f64)> {
    let needed = needed(bed, kind)?;
    let skirt_m = needed.skirt_m(size.width_m)?;
    let pieces = needed.pieces(size.length_m)?;
    if matches!(size.from, Origin::Stock(count) if pieces > count) {
        return None;
    }
    let rolled = if skirt_m > ROLL_BEYOND_M + 1e-6 { 1.0 } else { 0.0 };
    let way = Way {
        size: s,
        pieces,
        pins: needed.pins,
        clips: needed.clips,
        hoops: matches!(needed.lie, Placement::LowTunnel { .. }),
        seconds: 0,
        handling_cost: HANDLING_COST * (f64::from(pieces - 1) + rolled),
    };
    Some((way, f64::from(pieces) * size.width_m * size.length_m))
}
