//! The kit as text, for a terminal of 80 columns or a phone.

use std::fmt::Write as _;

use garden::Garden;
use garden::need::Wanted;
use purchase::kit::{Cover, Line, Outcome, Piece, Why};
use purchase::kit::{Kit, Settings};
use quantities::UnitSystem;
use quantities::units::OZ_PER_YD2_G_M2;

use super::names::{date, item, sheet};
use super::sheet_value::{self, Estimate};
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(
    kit: &Kit,
    garden: &Garden,
    settings: Settings,
    estimate: Option<&Estimate>,
    width: usize,
) -> String {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut page = Page { kit, garden, settings, words, paper: Paragraphs::new(width) };
    page.headline();
    page.beds();
    page.sheets();
    page.hoops();
    page.bill();
    page.unmet();
    sheet_value::text::say(estimate, garden, settings, &page.words, &mut page.paper);
    page.footer();
    page.paper.finish()
}

struct Page<'a> {
    kit: &'a Kit,
    garden: &'a Garden,
    settings: Settings,
    words: GardenFormat,
    paper: Paragraphs,
}

impl Page<'_> {
    fn say(&mut self, first: &str, indent: usize, text: &str) {
        self.paper.say(first, indent, text);
    }

    fn head(&mut self, text: &str) {
        self.paper.head(text);
    }

    fn headline(&mut self) {
        let met = self.kit.covers.iter().filter(|c| is_met(c)).count();
        let all = self.kit.covers.len();
        let cost = &self.kit.cost;
        let money = if cost.by_area {
            format!(
                "A price is missing, so the least cloth is sought: {} to buy, {} a season. No budget can be kept.",
                self.words.area(cost.paid),
                self.words.area(cost.a_season)
            )
        } else {
            let years = self.kit.years.iter().filter(|y| !y.lines.is_empty()).count();
            let over = if years > 1 { format!(" over {years} years") } else { String::new() };
            format!("To buy: {:.2}{over}; {:.2} a season.", cost.paid, cost.a_season)
        };
        let text = format!("{}: {met} of {all} needs met. {money}", self.garden.name);
        self.say("", 0, &text);
    }

    /// Each bed, when it needs what, and the sheet for it.
    fn beds(&mut self) {
        self.head("What each bed carries");
        let kit = self.kit;
        let covers = kit.covers.iter();
        for (c, cover) in covers.enumerate().filter(|(_, c)| is_met(c)) {
            let Outcome::Met { sheet, pieces, year } = cover.outcome else { continue };
            let mut text = format!(
                "{}, {}: {}",
                self.bed(cover.bed),
                self.need(cover),
                self.sheet(&kit.sheets[sheet])
            );
            if pieces > 1 {
                let overlap = self.words.short(garden::fit::OVERLAP_M);
                let _ = write!(text, ", {pieces} end to end with {overlap} overlap");
            }
            let others = self.sharers(c, sheet);
            if !others.is_empty() {
                let _ = write!(text, "; shared with {}", others.join(", "));
            }
            if year > 1 {
                let _ = write!(text, "; from year {year}");
            }
            self.say("  ", 4, &(text + "."));
        }
    }

    /// Beds that use the sheets of a size at another time, where that spares a sheet.
    fn sharers(&self, cover: usize, sheet: usize) -> Vec<String> {
        let piece = &self.kit.sheets[sheet];
        if piece.unshared <= piece.count {
            return Vec::new();
        }
        let mine = &self.kit.covers[cover];
        let mut beds: Vec<String> = Vec::new();
        for user in &piece.users {
            let other = &self.kit.covers[*user];
            let apart = purchase::kit::half_months(&other.need)
                & purchase::kit::half_months(&mine.need)
                == 0;
            let name = self.bed(other.bed).to_owned();
            if apart && other.bed != mine.bed && !beds.contains(&name) {
                beds.push(name);
            }
        }
        beds
    }

    /// What to own, size by size.
    fn sheets(&mut self) {
        let kit = self.kit;
        for (head, shed) in [("Sheets in stock that serve", true), ("Sheets to cut", false)] {
            let list: Vec<&Piece> = kit.sheets.iter().filter(|s| s.in_shed() == shed).collect();
            if list.is_empty() {
                continue;
            }
            self.head(head);
            for piece in list {
                let mut text = format!("{} × {}", piece.count, self.sheet(piece));
                if piece.unshared > piece.count {
                    let _ = write!(text, "; unshared it would take {}", piece.unshared);
                }
                self.say("  ", 4, &(text + "."));
            }
        }
    }

    fn hoops(&mut self) {
        let kit = self.kit;
        if kit.hoops.is_empty() && kit.no_rod.is_empty() && kit.standing.is_empty() {
            return;
        }
        self.head("Hoops");
        for piece in &kit.hoops {
            let beds = self.names(&piece.users);
            let length = self.words.short(piece.length_m);
            let text = format!("{} hoops of {length}, for {beds}.", piece.count);
            self.say("  ", 4, &text);
        }
        if !kit.hoops.is_empty() {
            let text = "Where hoops stand already, ask again with --have-hoops.";
            self.say("  ", 4, text);
        }
        if !kit.no_rod.is_empty() {
            let text = format!(
                "No wire or rod on offer is like the hoops of {}, or long enough: they are not in the bill.",
                self.names(&kit.no_rod)
            );
            self.say("  ", 4, &text);
        }
        if !kit.standing.is_empty() {
            let text = format!("Taken as standing already: {}.", self.names(&kit.standing));
            self.say("  ", 4, &text);
        }
    }

    /// What to buy, year by year.
    fn bill(&mut self) {
        let kit = self.kit;
        let mut unpriced = false;
        for (y, year) in kit.years.iter().enumerate() {
            let head =
                if kit.years.len() > 1 { format!("Buy in year {}", y + 1) } else { "Buy".into() };
            self.head(&head);
            if year.lines.is_empty() {
                self.say("  ", 4, "Nothing: it is saved, or all is there.");
                continue;
            }
            for line in &year.lines {
                unpriced |= line.price.is_none();
                self.line(line);
            }
            let total = format!("{:.2}", year.spent);
            self.columns("in all", &total);
            if kit.years.len() > 1 && !year.met.is_empty() {
                let met: Vec<String> = year.met.iter().map(|c| self.met_name(*c)).collect();
                let text = format!("From then on covered: {}.", met.join(", "));
                self.say("  ", 4, &text);
            }
        }
        if unpriced {
            self.say("", 0, "What has no price is not in the sums.");
        }
        self.sums();
    }

    /// The bed of a cover, with the kind where the bed carries several.
    fn met_name(&self, cover: usize) -> String {
        let cover = &self.kit.covers[cover];
        let several = self.kit.covers.iter().filter(|c| c.bed == cover.bed).count() > 1;
        let kind = match cover.need.wanted {
            Wanted::RowCover { .. } => "row cover",
            Wanted::Film => "film",
            Wanted::InsectNet => "insect net",
            Wanted::ShadeCloth { .. } => "shade cloth",
        };
        let bed = self.bed(cover.bed);
        if several { format!("{bed} ({kind})") } else { bed.to_owned() }
    }

    fn line(&mut self, line: &Line) {
        let name = item(line.item, self.garden);
        let left = format!("{} × {name}", line.count);
        let right = line.price.map_or_else(
            || "no price".into(),
            |price| format!("{:.2}", price * f64::from(line.count)),
        );
        self.columns(&left, &right);
    }

    /// A name on the left and a sum on the right, 50 characters wide at most.
    fn columns(&mut self, left: &str, right: &str) {
        let room = self.paper.width().min(50).saturating_sub(3 + right.chars().count());
        if left.chars().count() > room {
            self.say("  ", 4, left);
            self.paper.raw(&format!("  {:room$} {right}\n", ""));
        } else {
            self.paper.raw(&format!("  {left:room$} {right}\n"));
        }
    }

    fn sums(&mut self) {
        let cost = self.kit.cost;
        let sum = |x: f64| if cost.by_area { self.words.area(x) } else { format!("{x:.2}") };
        let left = cost.a_season - cost.used_a_season;
        let mut text =
            format!("A season costs {}: each thing over the seasons it lasts.", sum(cost.a_season));
        if left > 0.005 {
            let _ = write!(text, " {} of that is cloth and wire left on the rolls.", sum(left));
        }
        if let Some(all) = cost.without_budget {
            let _ = write!(text, " With no limit it would be {all:.2} to buy.");
        }
        let unmet = self.kit.covers.iter().any(|c| !is_met(c));
        let with = if unmet { ", with the worth of what is unmet," } else { "" };
        let proof = if cost.gap < 5e-4 {
            format!("No kit from these rolls and sizes{with} costs less a season.")
        } else {
            let percent = 100.0 * cost.gap;
            format!("A kit that{with} costs up to {percent:.1} % less a season is not ruled out.")
        };
        let _ = write!(text, " {proof}");
        match cost.years_gap {
            Some(0.0) => {}
            Some(_) | None => text += " The order of buying is not proven best.",
        }
        self.paper.blank();
        self.say("", 0, &text);
    }

    fn unmet(&mut self) {
        let kit = self.kit;
        let unmet: Vec<&Cover> = kit.covers.iter().filter(|c| !is_met(c)).collect();
        if unmet.is_empty() {
            return;
        }
        self.head("Unmet");
        for cover in unmet {
            let Outcome::Unmet(why) = cover.outcome else { continue };
            let why = match why {
                Why::CannotLie => {
                    "the plants are too tall for hoops or a sheet laid on them, or film lacks hoops"
                }
                Why::NoCloth => "no such cloth in stock or on offer",
                Why::TooSmall => "no such cloth is wide and long enough",
                Why::Budget => "the budget goes to beds of more worth",
                Why::TooDear => "its cover would cost more a season than the bed is worth",
                Why::Scarce => "too few rolls to be had, or dearer a season than the bed is worth",
            };
            let text = format!("{}, {}: {why}.", self.bed(cover.bed), self.need(cover));
            self.say("  ", 4, &text);
        }
    }

    fn footer(&mut self) {
        self.paper.blank();
        if let Some(budget) = self.settings.budget.filter(|_| !self.kit.cost.by_area) {
            let years = count(self.settings.years as usize, "year");
            let text =
                format!("Budget: {budget:.2} a year for {years}; what is not spent is kept.");
            self.say("", 0, &text);
        }
        self.say(
            "",
            0,
            "Cloth lasts its seasons only if it is stored dry, dark and safe from mice. The prices are your own, a bed's \
             worth stands for what its cover saves, and nothing here promises that a crop is saved.",
        );
    }

    fn bed(&self, bed: usize) -> &str {
        &self.garden.beds[bed].name
    }

    fn names(&self, beds: &[usize]) -> String {
        beds.iter().map(|b| self.bed(*b)).collect::<Vec<_>>().join(", ")
    }

    /// `row cover from 0.9 oz, Apr 1 to May 31`.
    fn need(&self, cover: &Cover) -> String {
        let what = match cover.need.wanted {
            Wanted::RowCover { least_g_m2 } if least_g_m2 > 0.0 => match self.garden.units {
                UnitSystem::Us => {
                    let oz = (least_g_m2 / OZ_PER_YD2_G_M2 * 100.0).round() / 100.0;
                    format!("row cover from {oz} oz")
                }
                UnitSystem::Metric => format!("row cover from {least_g_m2:.0} g"),
            },
            Wanted::RowCover { .. } => "row cover".into(),
            Wanted::Film => "film".into(),
            Wanted::InsectNet => "insect net".into(),
            Wanted::ShadeCloth { .. } => "shade cloth".into(),
        };
        if cover.need.from_day == 1 && cover.need.to_day == 366 {
            return format!("{what}, all year");
        }
        let day = |d| date(d, "%b %-d");
        format!("{what}, {} to {}", day(cover.need.from_day), day(cover.need.to_day))
    }

    /// `1.5 oz row cover, 76 in × 46 ft`.
    fn sheet(&self, piece: &Piece) -> String {
        sheet(piece.thing, (piece.width_m, piece.length_m), self.garden, &self.words)
    }
}

fn is_met(cover: &Cover) -> bool {
    matches!(cover.outcome, Outcome::Met { .. })
}
