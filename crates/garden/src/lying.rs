//! What lies on each bed: one type, and the one function that derives it from the diary's notes and the garden file.

use quantities::Moment;

use crate::bed::Bed;
use crate::crops;
use crate::fit::{self, Cloth, Cover, Item, Placement};
use crate::garden::Garden;
use crate::stock::SheetKind;

/// How far a cover that lies is shut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opening {
    /// Down all round.
    Shut,
    /// Ends or slits are open.
    EndsOpen,
    /// One side is up.
    HalfOff,
}

/// One cover that lies on a bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Lying {
    /// What it is of, and how much of the stock lies here.
    pub cover: Cover,
    /// How far it is shut.
    pub opening: Opening,
    /// When it was laid; `None`: for longer than anybody asks.
    pub since: Option<Moment>,
}

impl Lying {
    /// The sheet, pop-up tunnel or mulch that it is.
    #[must_use]
    pub fn item(&self) -> Option<Item> {
        self.cover.uses.iter().map(|u| u.0).find(|i| !matches!(i, Item::Pins | Item::Clips))
    }

    /// Whether it keeps off cold: nets and shade cloth lie there for other reasons.
    #[must_use]
    pub fn against_cold(&self) -> bool {
        let net = |c: Cloth| matches!(c.kind, SheetKind::InsectNet | SheetKind::ShadeCloth { .. });
        !self.cover.cloth.is_some_and(net)
    }

    /// Whether it is film, which cooks plants in the sun.
    #[must_use]
    pub fn is_film(&self) -> bool {
        self.cover.is_film()
    }
}

/// What was noted of one bed, by the names the grower used.
#[derive(Clone, Debug, PartialEq)]
pub struct NotedBed {
    /// Bed.
    pub bed: String,
    /// What lies on it; empty where it was noted as open.
    pub sheets: Vec<NotedSheet>,
    /// How far all of it is shut.
    pub opening: Opening,
}

/// One cover as it was noted.
#[derive(Clone, Debug, PartialEq)]
pub struct NotedSheet {
    /// Sheet or pop-up tunnel; `None` where nobody said which.
    pub name: Option<String>,
    /// Layers, where that was said.
    pub layers: Option<u32>,
    /// Whether it was noted as loose mulch.
    pub loose_mulch: bool,
    /// When it was laid.
    pub since: Moment,
}

/// What lies in the whole garden.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GardenState {
    /// What lies on each bed, in garden order; never more than is owned.
    pub beds: Vec<Vec<Lying>>,
    /// What was noted and cannot be.
    pub contradictions: Vec<Contradiction>,
}

/// Something noted that cannot be, and what the plan takes it for.
#[derive(Clone, Debug, PartialEq)]
pub enum Contradiction {
    /// More of one thing is noted on beds than there is; the newest notes are believed.
    MoreThanOwned {
        /// Name of the thing.
        name: String,
        /// Pieces noted.
        noted: u32,
        /// Pieces owned.
        owned: u32,
        /// The beds of the newest notes, newest first, two at most.
        newest: Vec<(String, Option<Moment>)>,
        /// The beds whose notes are not believed: taken as open.
        not_believed: Vec<String>,
    },
    /// A name that the garden file does not have; the bed is taken as open.
    UnknownSheet {
        /// Bed.
        bed: String,
        /// Name as noted.
        name: String,
    },
    /// Nobody said what lies there.
    Unnamed {
        /// Bed.
        bed: String,
        /// What it is taken for; `None`: nothing at hand fits, the bed is taken as open.
        taken_for: Option<String>,
    },
    /// A bed that the garden file does not have.
    UnknownBed {
        /// Name as noted.
        bed: String,
    },
}

impl GardenState {
    /// The garden as its file says, for a garden without notes; what is not left on by day was laid at `at`.
    #[must_use]
    pub fn of_file(garden: &Garden, at: Moment) -> Self {
        derive(garden, &[], at)
    }

    /// How much of an item lies on beds.
    #[must_use]
    pub fn lying_of(&self, item: Item) -> u32 {
        let uses = self.beds.iter().flatten().flat_map(|l| &l.cover.uses);
        uses.filter(|u| u.0 == item).map(|u| u.1).sum()
    }

    /// How much of an item is in the shed: what is owned less what lies.
    #[must_use]
    pub fn in_shed(&self, garden: &Garden, item: Item) -> u32 {
        owned(garden, item).saturating_sub(self.lying_of(item))
    }
}

/// How much of an item is owned.
#[must_use]
pub fn owned(garden: &Garden, item: Item) -> u32 {
    let stock = &garden.stock;
    match item {
        Item::Sheet(i) => stock.sheets.get(i).map_or(0, |s| s.count),
        Item::PopUp(i) => stock.pop_ups.get(i).map_or(0, |p| p.count),
        Item::Pins => stock.hold_downs(),
        Item::Clips => stock.clips,
        Item::LooseMulchLitres => (1000.0 * stock.loose_mulch_m3) as u32,
    }
}

/// What lies on each bed at `at`: as noted where a note tells of the bed, else as the garden file says.
///
/// More of a thing than is owned is cut down to the newest notes, since a sheet that was moved is often noted only where
/// it went. Checked by `lying::no_more_lies_than_is_owned`.
#[must_use]
pub fn derive(garden: &Garden, noted: &[NotedBed], at: Moment) -> GardenState {
    let mut state = GardenState { beds: vec![Vec::new(); garden.beds.len()], ..Default::default() };
    for note in noted {
        if !note.sheets.is_empty() && !garden.beds.iter().any(|b| alike(&b.name, &note.bed)) {
            state.contradictions.push(Contradiction::UnknownBed { bed: note.bed.clone() });
        }
    }
    let plenty = plenty(garden);
    for (bed, lies) in garden.beds.iter().zip(&mut state.beds) {
        match noted.iter().find(|n| alike(&n.bed, &bed.name)) {
            Some(note) => {
                for sheet in &note.sheets {
                    match named(garden, &plenty, bed, sheet) {
                        Ok((cover, told)) => {
                            let since = Some(sheet.since);
                            lies.push(Lying { cover, opening: note.opening, since });
                            state.contradictions.extend(told);
                        }
                        Err(told) => state.contradictions.push(told),
                    }
                }
            }
            None => lies.extend(bed.on_now.map(|on| Lying {
                cover: cover_of(&plenty, bed, Item::Sheet(on.sheet), on.layers),
                opening: Opening::Shut,
                since: (!on.left_on).then_some(at),
            })),
        }
    }
    believe_the_newest(garden, &mut state);
    state
}

/// The cover that a note names.
fn named(
    garden: &Garden,
    plenty: &Garden,
    bed: &Bed,
    noted: &NotedSheet,
) -> Result<(Cover, Option<Contradiction>), Contradiction> {
    let layers = noted.layers.unwrap_or(1);
    if noted.loose_mulch {
        return Ok((cover_of(plenty, bed, Item::LooseMulchLitres, 0), None));
    }
    let Some(name) = &noted.name else {
        // The lightest sheet that fits: what it is taken for saves no more than what lies.
        let lightest = fit::covers(garden, bed)
            .into_iter()
            .filter(|c| c.layers == 1)
            .min_by(|a, b| weight(a).total_cmp(&weight(b)));
        let taken_for = lightest.as_ref().and_then(|c| name_of(garden, c));
        let told = Contradiction::Unnamed { bed: bed.name.clone(), taken_for };
        return lightest.map(|c| (c, Some(told.clone()))).ok_or(told);
    };
    let stock = &garden.stock;
    let sheet = stock.sheets.iter().position(|s| alike(&s.name, name)).map(Item::Sheet);
    let pop_up = || stock.pop_ups.iter().position(|p| alike(&p.name, name)).map(Item::PopUp);
    let unknown = || Contradiction::UnknownSheet { bed: bed.name.clone(), name: name.clone() };
    let item = sheet.or_else(pop_up).ok_or_else(unknown)?;
    Ok((cover_of(plenty, bed, item, layers), None))
}

/// What of `item` lies on `bed` in so many layers; where it does not fit as computed, it lies on the plants all the same.
fn cover_of(plenty: &Garden, bed: &Bed, item: Item, layers: u32) -> Cover {
    let of_item = |c: &Cover| c.uses.iter().any(|u| u.0 == item);
    let fits = fit::covers(plenty, bed);
    if let Some(cover) = fits.into_iter().find(|c| of_item(c) && c.layers == layers) {
        return cover;
    }
    let cloth = match item {
        Item::Sheet(i) => {
            plenty.stock.sheets.get(i).map(|s| Cloth { kind: s.kind, open_share: s.open_share() })
        }
        Item::PopUp(i) => {
            let cloth = |p: &crate::stock::PopUp| Cloth { kind: p.kind, open_share: 0.0 };
            plenty.stock.pop_ups.get(i).map(cloth)
        }
        _ => None,
    };
    let tree = bed.plantings.iter().any(|p| crops::is_tree(p.crop));
    let lie = match item {
        Item::LooseMulchLitres => Placement::LooseMulch { depth_m: fit::STREWN_M },
        _ if tree => Placement::Drape,
        _ => Placement::Floating,
    };
    let amount = match item {
        Item::LooseMulchLitres => {
            (1000.0 * fit::STREWN_M * bed.length_m * bed.width_m).ceil() as u32
        }
        _ => layers.max(1),
    };
    Cover {
        lie,
        cloth,
        layers: if cloth.is_some() { layers.max(1) } else { 0 },
        pieces: u32::from(cloth.is_some()),
        skirt_m: 0.0,
        roll_up: false,
        uses: vec![(item, amount)],
        minutes: fit::lay_minutes(bed.length_m, layers.max(1)),
        claim_k: None,
    }
}

/// Keeps of each thing no more than is owned, the newest notes first.
fn believe_the_newest(garden: &Garden, state: &mut GardenState) {
    let sheets = (0..garden.stock.sheets.len()).map(Item::Sheet);
    let pop_ups = (0..garden.stock.pop_ups.len()).map(Item::PopUp);
    for item in sheets.chain(pop_ups).chain([Item::LooseMulchLitres]) {
        let (noted, there) = (state.lying_of(item), owned(garden, item));
        if noted <= there {
            continue;
        }
        let mut where_: Vec<(usize, usize, Option<Moment>, u32)> = Vec::new();
        for (b, lies) in state.beds.iter().enumerate() {
            for (n, l) in lies.iter().enumerate().filter(|(_, l)| l.item() == Some(item)) {
                let used = l.cover.uses.iter().filter(|u| u.0 == item).map(|u| u.1).sum();
                where_.push((b, n, l.since, used));
            }
        }
        where_.sort_by_key(|w| std::cmp::Reverse(w.2));
        let newest = where_.iter().take(2).map(|w| (garden.beds[w.0].name.clone(), w.2)).collect();
        let (mut left, mut not_believed) = (there, Vec::new());
        let mut dropped = Vec::new();
        for (b, n, _, used) in where_ {
            if used <= left {
                left -= used;
            } else {
                not_believed.push(garden.beds[b].name.clone());
                dropped.push((b, n));
            }
        }
        dropped.sort_unstable();
        for (b, n) in dropped.into_iter().rev() {
            state.beds[b].remove(n);
        }
        let name = match item {
            Item::Sheet(i) => garden.stock.sheets[i].name.clone(),
            Item::PopUp(i) => garden.stock.pop_ups[i].name.clone(),
            _ => "loose mulch".to_owned(),
        };
        let told = Contradiction::MoreThanOwned { name, noted, owned: there, newest, not_believed };
        state.contradictions.push(told);
    }
}

/// The garden with more of everything than could ever lie, so that what lies is found among what fits.
fn plenty(garden: &Garden) -> Garden {
    const MANY: u32 = 100_000;
    let mut plenty = garden.clone();
    plenty.stock.sheets.iter_mut().for_each(|s| s.count = MANY);
    plenty.stock.pop_ups.iter_mut().for_each(|p| p.count = MANY);
    (plenty.stock.pins, plenty.stock.clips) = (MANY, MANY);
    plenty.stock.loose_mulch_m3 = f64::from(MANY);
    plenty
}

fn name_of(garden: &Garden, cover: &Cover) -> Option<String> {
    cover.uses.iter().find_map(|u| match u.0 {
        Item::Sheet(i) => garden.stock.sheets.get(i).map(|s| s.name.clone()),
        Item::PopUp(i) => garden.stock.pop_ups.get(i).map(|p| p.name.clone()),
        _ => None,
    })
}

/// Weight of a row cover, g/m²; nets weigh nothing here and film most.
fn weight(cover: &Cover) -> f64 {
    match cover.cloth.map(|c| c.kind) {
        Some(SheetKind::RowCover { weight_g_m2 }) => weight_g_m2,
        Some(SheetKind::Film { .. }) => f64::INFINITY,
        _ => 0.0,
    }
}

/// Whether two names of beds or sheets are the same: whatever their case and the blanks around them.
#[must_use]
pub fn alike(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}
