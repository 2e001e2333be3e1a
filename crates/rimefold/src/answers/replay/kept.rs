//! Results kept in the garden folder, a block of years at a time: plain text that reads back to the same bits.

use std::fmt::Write as _;

use history::replay::{DrawnYear, MODEL, POLICIES, SeasonResult, Year, YearBatch};
use history::years::RunStats;

/// Blocks of years that are done.
#[derive(Default)]
pub struct Kept {
    /// In the order in which they were done.
    pub blocks: Vec<Done>,
}

/// One of them.
pub struct Done {
    years: Vec<Year>,
    stats: RunStats,
}

impl From<YearBatch> for Done {
    fn from(batch: YearBatch) -> Self {
        Self { years: batch.years, stats: batch.stats }
    }
}

fn headline(key: &str) -> String {
    format!("rimefold replay, layout 2, model {MODEL}, inputs {key}")
}

impl Kept {
    /// What was kept under this key; `None` for anything else than what [`Self::write`] writes.
    pub fn read(bytes: &[u8], key: &str) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?;
        let mut lines = text.lines();
        if lines.next()? != headline(key) {
            return None;
        }
        let mut kept = Self::default();
        while let Some(line) = lines.next() {
            let cells: Vec<&str> = line.split_whitespace().collect();
            let ["block", count, residual, steps] = cells[..] else { return None };
            let stats =
                RunStats { residual_w_m2: residual.parse().ok()?, steps: steps.parse().ok()? };
            let count: usize = count.parse().ok()?;
            let years = (0..count.min(64)).map(|_| year(&mut lines)).collect::<Option<_>>()?;
            kept.blocks.push(Done { years, stats });
        }
        Some(kept)
    }

    /// The file.
    pub fn write(&self, key: &str) -> String {
        let mut out = headline(key) + "\n";
        for block in &self.blocks {
            let RunStats { residual_w_m2, steps } = block.stats;
            let _ = writeln!(out, "block {} {residual_w_m2:?} {steps}", block.years.len());
            for y in &block.years {
                let [a, b, c] = y.counted;
                let _ = writeln!(out, "year {} {} {a} {b} {c}", y.year, y.draws.len());
                for draw in &y.draws {
                    let _ = writeln!(out, "draw {:?}", draw.bound);
                    draw.results.iter().for_each(|s| write_season(&mut out, s));
                }
            }
        }
        out
    }

    /// The block of exactly these years, where it is done.
    pub fn take(&mut self, years: &[i16]) -> Option<Done> {
        let these = |b: &Done| b.years.iter().map(|y| y.year).eq(years.iter().copied());
        self.blocks.iter().position(these).map(|at| self.blocks.swap_remove(at))
    }

    /// All years in order.
    pub fn years(&self) -> Vec<Year> {
        let mut years: Vec<Year> =
            self.blocks.iter().flat_map(|b| b.years.iter().cloned()).collect();
        years.sort_by_key(|y| y.year);
        years
    }

    /// Proof and effort of all blocks.
    pub fn stats(&self) -> RunStats {
        let mut stats = RunStats::default();
        self.blocks.iter().for_each(|b| stats.add(&b.stats));
        stats
    }
}

fn year<'a>(lines: &mut impl Iterator<Item = &'a str>) -> Option<Year> {
    let cells: Vec<&str> = lines.next()?.split_whitespace().collect();
    let ["year", year, draws, a, b, c] = cells[..] else { return None };
    let draws: usize = draws.parse().ok()?;
    let draws = (0..draws.min(1000)).map(|_| draw(lines)).collect::<Option<_>>()?;
    let counted = [a.parse().ok()?, b.parse().ok()?, c.parse().ok()?];
    Some(Year { year: year.parse().ok()?, draws, counted })
}

fn draw<'a>(lines: &mut impl Iterator<Item = &'a str>) -> Option<DrawnYear> {
    let bound = lines.next()?.strip_prefix("draw ")?.parse().ok()?;
    let results = POLICIES.iter().map(|_| season(lines.next()?)).collect::<Option<_>>()?;
    Some(DrawnYear { results, bound })
}

fn write_season(out: &mut String, s: &SeasonResult) {
    let _ = writeln!(
        out,
        "{:?} {:?} {:?} {} {:?} {:?} {:?} {}",
        s.loss, s.labour, s.dimness, s.evenings, s.minutes, s.light_days, s.heat_h, s.short_nights
    );
}

fn season(line: &str) -> Option<SeasonResult> {
    let cells: Vec<&str> = line.split_whitespace().collect();
    let [loss, labour, dimness, evenings, minutes, light, heat, short] = cells[..] else {
        return None;
    };
    Some(SeasonResult {
        loss: loss.parse().ok()?,
        labour: labour.parse().ok()?,
        dimness: dimness.parse().ok()?,
        evenings: evenings.parse().ok()?,
        minutes: minutes.parse().ok()?,
        light_days: light.parse().ok()?,
        heat_h: heat.parse().ok()?,
        short_nights: short.parse().ok()?,
    })
}
