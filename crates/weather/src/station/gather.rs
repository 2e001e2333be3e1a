//! Values in the order of the file, put in the order of days, doubted where they contradict.

use quantities::bounds::AIR_TEMPERATURE_C;

use super::record::{ABSENT, Station, StationRecord, Tally, Tenths};
use super::unit::{Evidence, Unit, infer};
use crate::constants::{DEEPEST_SNOW_MM, WILD_IN};
use crate::error::ReadError;
use crate::forecast::Notice;

/// Which end of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Minimum.
    Min,
    /// Maximum.
    Max,
}

struct Entry {
    day: i32,
    hundredths: i32,
    end: End,
}

/// A record in the making.
#[derive(Default)]
pub struct Gather {
    entries: Vec<Entry>,
    span: Option<(i32, i32)>,
    evidence: Evidence,
    snow: Vec<(i32, i16)>,
    /// Depths of snow count only where temperatures turn out to be in tenths of °C: then they are the network's millimetres.
    pub snow_in_doubt: bool,
    /// What was refused so far.
    pub tally: Tally,
    /// What to tell.
    pub notices: Vec<Notice>,
}

/// Marks a day that was written twice with different values.
const DOUBTED: i16 = i16::MIN + 1;

impl Gather {
    /// A day that the file names, with or without values.
    pub fn day(&mut self, day: i32) {
        let (first, last) = self.span.unwrap_or((day, day));
        self.span = Some((first.min(day), last.max(day)));
    }

    /// A value of a day, in hundredths of the file's unit.
    pub fn put(&mut self, day: i32, end: End, hundredths: i32) {
        self.day(day);
        let e = &mut self.evidence;
        e.highest = if e.count == 0 { hundredths } else { e.highest.max(hundredths) };
        e.lowest = if e.count == 0 { hundredths } else { e.lowest.min(hundredths) };
        e.fractions |= hundredths % 100 != 0;
        e.count += 1;
        self.entries.push(Entry { day, hundredths, end });
    }

    /// Depth of snow on a day, mm; a depth that cannot be (below 0, above 10 m) counts as not measured.
    pub fn put_snow(&mut self, day: i32, mm: f64) {
        self.day(day);
        if (0.0..=DEEPEST_SNOW_MM).contains(&mm) {
            self.snow.push((day, mm.round() as i16));
        }
    }

    /// The record; `unit` is `None` where the file does not name it.
    ///
    /// # Errors
    /// [`ReadError::NoDays`], [`ReadError::UnitUnknown`].
    pub fn finish(
        mut self,
        format: &'static str,
        station: Station,
        unit: Option<Unit>,
    ) -> Result<StationRecord, ReadError> {
        let Some((first, last)) = self.span.filter(|_| !self.entries.is_empty()) else {
            return Err(ReadError::NoDays { format });
        };
        let unit = match unit {
            Some(unit) => unit,
            None => self.inferred()?,
        };
        let mut days = vec![Tenths::NONE; (last - first + 1) as usize];
        for entry in &self.entries {
            let tenths = unit.tenths_c(entry.hundredths);
            if !AIR_TEMPERATURE_C.holds(f64::from(tenths) / 10.0) {
                self.tally.implausible += 1;
                continue;
            }
            let day = &mut days[(entry.day - first) as usize];
            let slot = if entry.end == End::Min { &mut day.min } else { &mut day.max };
            let tenths = tenths as i16;
            if *slot == ABSENT {
                *slot = tenths;
            } else if *slot == tenths {
                self.tally.repeated += 1;
            } else if *slot != DOUBTED {
                *slot = DOUBTED;
                self.tally.contradicting += 1;
            }
        }
        self.doubt(&mut days);
        let mut snow_mm = Vec::new();
        let believed = !self.snow_in_doubt || unit == Unit::TenthsCelsius;
        if believed && !self.snow.is_empty() {
            snow_mm.resize(days.len(), ABSENT);
            for (day, mm) in &self.snow {
                snow_mm[(day - first) as usize] = *mm;
            }
        }
        let (tally, notices) = (self.tally, self.notices);
        let mut record = StationRecord { station, unit, tally, notices, first, days, snow_mm };
        record.notices.extend(told(&record));
        Ok(record)
    }

    fn inferred(&mut self) -> Result<Unit, ReadError> {
        let e = self.without_wild();
        let (lowest, highest) = (f64::from(e.lowest) / 100.0, f64::from(e.highest) / 100.0);
        let unit = infer(e).ok_or(ReadError::UnitUnknown { lowest, highest, count: e.count })?;
        self.notices.push(Notice(format!(
            "The file does not name its unit; {lowest} to {highest} can only be {unit}."
        )));
        Ok(unit)
    }

    /// The evidence without the one value in a thousand at either end, where that is far from the rest: a slip of one
    /// key tells nothing of the unit of all the others.
    fn without_wild(&self) -> Evidence {
        let mut values: Vec<i32> = self.entries.iter().map(|e| e.hundredths).collect();
        values.sort_unstable();
        let cut = values.len() / WILD_IN;
        let ends =
            values.get(cut).zip(values.len().checked_sub(cut + 1).and_then(|i| values.get(i)));
        let Some((low, high)) = ends else { return self.evidence };
        let reach = high - low;
        let e = self.evidence;
        let near = |end: i32, inner: i32| if (end - inner).abs() > reach { inner } else { end };
        Evidence { lowest: near(e.lowest, *low), highest: near(e.highest, *high), ..e }
    }

    fn doubt(&mut self, days: &mut [Tenths]) {
        let mut gap = 0;
        for day in days {
            for slot in [&mut day.min, &mut day.max] {
                if *slot == DOUBTED {
                    *slot = ABSENT;
                }
            }
            if day.min > day.max && day.max != ABSENT {
                *day = Tenths::NONE;
                self.tally.crossed += 1;
            }
            self.tally.without_max += usize::from(day.max == ABSENT);
            gap = if day.min == ABSENT { gap + 1 } else { 0 };
            self.tally.without_min += usize::from(gap > 0);
            self.tally.longest_gap = self.tally.longest_gap.max(gap);
        }
    }
}

/// Notices on what was refused and what is missing.
fn told(record: &StationRecord) -> Vec<Notice> {
    let (t, n) = (&record.tally, record.days.len());
    let mut out: Vec<String> = [
        (t.flagged, "values refused: the network's quality check flagged them"),
        (t.implausible, "values refused: outside −90 to 60 °C"),
        (t.repeated, "values were written twice, the same each time"),
        (t.contradicting, "values were written twice and differ; neither is believed"),
        (t.crossed, "days refused: the minimum is above the maximum"),
        (t.noisy, "values carry the noise of binary fractions; kept to a tenth of °C"),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, what)| format!("{count} {what}."))
    .collect();
    if t.without_min > 0 {
        out.push(format!(
            "No minimum on {} of {n} days; the longest run without is {} days.",
            t.without_min, t.longest_gap
        ));
    }
    let o = t.observed;
    if o.known() == 0 {
        out.push(
            "The file does not say at what hour the thermometer was read: a morning reader books \
             the maximum of the day before, an afternoon reader may book one cold night twice."
                .into(),
        );
    } else {
        out.push(format!(
            "Minima read in the morning on {} days, in the afternoon on {}, at midnight on {}, at \
             other hours on {}.",
            o.morning, o.afternoon, o.midnight, o.other
        ));
    }
    out.into_iter().map(Notice).collect()
}
