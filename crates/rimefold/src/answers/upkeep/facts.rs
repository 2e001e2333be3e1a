//! What upkeep needs of the diary: which bed lay under what on which day, when somebody last looked, which sheets near their end.

use diary::entries::JudgedEntry;
use diary::entry::{Act, Entry, What};
use diary::stays::stays;
use garden::Garden;
use garden::lying::alike;
use jiff::ToSpan as _;
use jiff::civil::Date;
use quantities::Moment;
use quantities::daylight::day_length_h;

use super::sheets::{life_until, pieces, retired};
use super::{Kind, MICE_EVERY_D, Upkeep, VOLES_EVERY_D, days_between};
use crate::format::GardenFormat;

/// A sheet on a bed, by days.
struct Lay {
    bed: String,
    sheet: Option<String>,
    pieces: u32,
    from: Date,
    /// The day it was taken off; `None` while it lies.
    to: Option<Date>,
}

/// What the diary says, by days of the garden's zone.
pub struct Facts<'a> {
    garden: &'a Garden,
    /// In the order of their beginnings.
    lays: Vec<Lay>,
    /// Days on which somebody was at the cover of a bed.
    at_bed: Vec<(String, Date)>,
    /// Days on which somebody was at the store: cloth came out or went in, or was found damaged.
    at_store: Vec<Date>,
    /// Sheets that near their end, and the day from which they do.
    ends: Vec<(String, Date)>,
    /// Sheets noted as out of use.
    retired: Vec<String>,
}

/// Whether nights are longer than days: half the year, in which covers lie on and voles and mice come in.
pub fn nights_longer(latitude_deg: f64, day: Date) -> bool {
    day_length_h(latitude_deg, f64::from(day.day_of_year())) < 12.0
}

impl<'a> Facts<'a> {
    /// From the entries that stand, for days until `ahead` days from now.
    pub fn new(garden: &'a Garden, entries: &[JudgedEntry], now: Moment, ahead: i32) -> Self {
        let words = GardenFormat::new(garden.units, &garden.zone);
        let day = |at: Moment| words.local_date(at);
        let of_diary = stays(entries, now);
        let lays = of_diary.iter().map(|s| Lay {
            bed: s.bed.clone(),
            sheet: s.sheet.clone(),
            pieces: pieces(garden, s),
            from: day(s.from),
            to: s.to.map(day),
        });
        // What the garden file says lies day and night, where the diary says nothing of the bed.
        let silent = |bed: &str| {
            !entries.iter().any(|e| e.stands && e.entry.cover().is_some_and(|c| alike(&c.bed, bed)))
        };
        let of_file = garden.beds.iter().filter_map(|b| {
            let on = b.on_now.filter(|on| on.left_on && silent(&b.name))?;
            let sheet = garden.stock.sheets.get(on.sheet).map(|s| s.name.clone());
            let pieces = on.layers.max(1);
            Some(Lay { bed: b.name.clone(), sheet, pieces, from: Date::MIN, to: None })
        });
        let lays = of_file.collect::<Vec<_>>().into_iter().chain(lays).collect();
        let standing =
            || entries.iter().filter(|e| e.stands && e.entry.at <= now).map(|e| &e.entry);
        let at_bed = standing().filter_map(|e| Some((seen_bed(e)?.to_owned(), day(e.at))));
        let at_store = standing().filter(|e| is_of_store(e)).map(|e| day(e.at));
        let last = now.plus_seconds(86_400 * i64::from(ahead));
        let names = || garden.stock.sheets.iter().map(|s| &s.name);
        let retired: Vec<String> =
            names().filter(|name| retired(entries, name, now)).cloned().collect();
        let near = |until: Moment, n: usize| {
            life_until(garden, &of_diary, entries, n, until).is_some_and(|l| l.worn.near_end())
        };
        let end = |n: usize, name: &String| {
            if retired.contains(name) || !near(last, n) {
                return None;
            }
            // The day from which it is near its end: more sun never makes it less.
            let (mut fresh, mut ended) = (of_diary.first()?.from.0, last.0);
            while ended - fresh > 3600 {
                let middle = fresh.midpoint(ended);
                if near(Moment(middle), n) { ended = middle } else { fresh = middle }
            }
            Some((name.clone(), day(Moment(ended))))
        };
        let ends = names().enumerate().filter_map(|(n, name)| end(n, name)).collect();
        Self { garden, lays, at_bed: at_bed.collect(), at_store: at_store.collect(), ends, retired }
    }

    /// What lies on a day; of a sheet no more pieces than there are, the newest believed.
    fn lying(&self, day: Date) -> Vec<&Lay> {
        let there = |l: &&Lay| l.from <= day && l.to.is_none_or(|to| to > day);
        let mut out: Vec<&Lay> = Vec::new();
        for lay in self.lays.iter().rev().filter(there) {
            let of = |l: &Lay| matches!((&l.sheet, &lay.sheet), (Some(a), Some(b)) if alike(a, b));
            let before: u32 =
                out.iter().filter(|l| of(l)).map(|l| l.pieces).fold(0, u32::saturating_add);
            if lay.sheet.as_ref().and_then(|s| self.owned(s)).is_none_or(|owned| before < owned) {
                out.push(lay);
            }
        }
        out
    }

    fn owned(&self, name: &str) -> Option<u32> {
        let stock = &self.garden.stock;
        let sheet = stock.sheets.iter().find(|s| alike(&s.name, name)).map(|s| s.count);
        sheet.or_else(|| stock.pop_ups.iter().find(|p| alike(&p.name, name)).map(|p| p.count))
    }

    /// Beds under a cover that nobody has been at for a week, in the cold half of the year.
    pub fn unseen_beds(&self, day: Date) -> Vec<String> {
        if !nights_longer(self.garden.place.latitude_deg, day) {
            return Vec::new();
        }
        let lying = self.lying(day);
        let unseen = |bed: &&garden::Bed| {
            let seen = self.at_bed.iter().filter(|s| alike(&s.0, &bed.name) && s.1 <= day);
            let last = seen.map(|s| s.1).max();
            lying.iter().any(|l| alike(&l.bed, &bed.name))
                && last.is_none_or(|last| days_between(last, day) >= VOLES_EVERY_D)
        };
        self.garden.beds.iter().filter(unseen).map(|b| b.name.clone()).collect()
    }

    /// Stored sheets, where nobody has been at the store for a month, in the cold half of the year.
    pub fn unseen_cloth(&self, day: Date) -> Vec<String> {
        let last = self.at_store.iter().filter(|seen| **seen <= day).max();
        if !nights_longer(self.garden.place.latitude_deg, day)
            || last.is_some_and(|last| days_between(*last, day) < MICE_EVERY_D)
        {
            return Vec::new();
        }
        let lying = self.lying(day);
        let stored = |s: &&garden::stock::Sheet| {
            let out = lying.iter().filter(|l| l.sheet.as_ref().is_some_and(|n| alike(n, &s.name)));
            let out = out.map(|l| l.pieces).fold(0, u32::saturating_add);
            out < s.count && !self.retired.contains(&s.name)
        };
        self.garden.stock.sheets.iter().filter(stored).map(|s| s.name.clone()).collect()
    }

    /// Sheets that are near their end on a day.
    pub fn ended_sheets(&self, day: Date) -> Vec<String> {
        self.ends.iter().filter(|e| e.1 <= day).map(|e| e.0.clone()).collect()
    }

    /// The same before a day, as told then.
    pub fn ended_before(&self, day: Date) -> Vec<Upkeep> {
        let date = day.saturating_sub(1.day());
        let subjects = self.ended_sheets(date);
        vec![Upkeep { kind: Kind::SheetEnd, subjects, date, danger: false }]
    }
}

/// The bed at whose cover somebody was.
fn seen_bed(entry: &Entry) -> Option<&str> {
    match &entry.what {
        What::Seen { bed, .. } => Some(bed),
        _ => entry.cover().map(|c| c.bed.as_str()),
    }
}

/// Whether somebody was at the store.
fn is_of_store(entry: &Entry) -> bool {
    match &entry.what {
        What::Cover { act, .. } => matches!(act, Act::Covered | Act::Opened),
        What::Done { .. } | What::Sheet { .. } => true,
        _ => false,
    }
}
