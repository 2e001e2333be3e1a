//! `garden.toml`: text in, a garden with every fault and warning out, each with its place in the text.

mod bed;
mod crop;
mod forecast;
mod hoops;
mod place;
mod sensor;
mod stock;
mod supply;
mod table;
mod warnings;
mod watch;

use std::ops::Range;

use quantities::UnitSystem;
use toml::de::DeTable;

use crate::garden::Garden;
use crate::schema::tables::GARDEN;
use crate::supply::Supply;
pub use table::nearest;
use table::{Reader, Table};

/// Something wrong or doubtful at a place in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Bytes of the text it is about.
    pub span: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What was expected there, or what to do.
    pub expected: String,
    /// Nearest valid word.
    pub nearest: Option<String>,
}

/// A garden file as far as it could be read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The garden; `None` when there is any fault.
    pub garden: Option<Garden>,
    /// Every fault, in file order.
    pub faults: Vec<Fault>,
    /// What a grower would be warned about, in file order.
    pub warnings: Vec<Fault>,
}

impl Fault {
    /// What could stand in its place.
    #[must_use]
    pub fn could_stand(&self) -> String {
        match &self.nearest {
            Some(near) => {
                format!("What could stand there: {}. Most like it: {near}.", self.expected)
            }
            None => format!("What could stand there: {}.", self.expected),
        }
    }
}

/// Reads a garden file; never panics, never stops at the first fault; what follows from one cause is one fault.
/// Checked by `malformed::every_malformed_garden_gives_its_messages` and `malformed::no_text_makes_it_panic`.
#[must_use]
pub fn read(text: &str) -> Reading {
    let (root, broken) = DeTable::parse_recoverable(text);
    if !broken.is_empty() {
        return Reading { garden: None, faults: broken_lines(text, &broken), warnings: Vec::new() };
    }
    let (root, span) = (root.get_ref(), root.span());
    let mut read = read_in(root, span.clone(), UnitSystem::Us);
    if read.units.is_none() {
        // The units themselves are the fault: they are taken to be those that the rest is written in.
        let metric = read_in(root, span, UnitSystem::Metric);
        if metric.faults.len() < read.faults.len() {
            read = metric;
        }
    }
    match read.parts {
        Some((garden, spans)) if read.faults.is_empty() => {
            let warnings = warnings::warnings(&garden, &spans);
            Reading { garden: Some(garden), faults: read.faults, warnings }
        }
        _ => Reading { garden: None, faults: read.faults, warnings: Vec::new() },
    }
}

/// A file read, its units taken to be some where it does not tell them.
struct Read {
    units: Option<UnitSystem>,
    parts: Option<(Garden, Spans)>,
    faults: Vec<Fault>,
}

fn read_in(root: &DeTable<'_>, span: Range<usize>, otherwise: UnitSystem) -> Read {
    let mut r = Reader::new();
    let top = Table::new(&mut r, root, span, &GARDEN);
    let units = top.word(&mut r, "units");
    r.units = units.unwrap_or(otherwise);
    let parts = garden(&mut r, &top, units);
    let mut faults = r.into_faults();
    faults.sort_by_key(|f| (f.span.start, f.span.end));
    Read { units, parts, faults }
}

/// What is no TOML, one fault a line; after something was left open no line can be told from the other.
fn broken_lines(text: &str, broken: &[toml::de::Error]) -> Vec<Fault> {
    let mut faults: Vec<Fault> = broken
        .iter()
        .map(|e| Fault {
            span: e.span().unwrap_or(0..0),
            message: e.message().trim().replace('\n', "; "),
            expected:
                "key = value with words in quotes and numbers bare, or a head such as [place]"
                    .into(),
            nearest: None,
        })
        .collect();
    faults.sort_by_key(|f| f.span.start);
    let ends: Vec<usize> = text.match_indices('\n').map(|(at, _)| at).collect();
    faults.dedup_by_key(|f| ends.partition_point(|at| *at < f.span.start));
    let open = |f: &Fault| ["array", "unclosed"].iter().any(|w| f.message.contains(w));
    let last = faults.iter().position(open).map_or(faults.len(), |i| i + 1);
    faults.truncate(last);
    faults
}

/// Where beds and sheets stand in the text, for warnings.
pub(crate) struct Spans {
    pub beds: Vec<Range<usize>>,
    pub sheets: Vec<Range<usize>>,
    pub pins: Range<usize>,
}

fn garden(r: &mut Reader, top: &Table<'_>, units: Option<UnitSystem>) -> Option<(Garden, Spans)> {
    let name = top.text(r, "name");
    let place = top.table(r, "place").and_then(|t| place::place(r, &t));
    let site = top.table(r, "site").and_then(|t| place::site(r, &t));
    let labour = top.table(r, "labour").and_then(|t| place::labour(r, &t));
    let forecast = top.table(r, "forecast");
    let forecast = forecast.map_or(Some(None), |t| forecast::forecast(r, &t).map(Some));
    let watch = top.table(r, "watch").map_or(Some(None), |t| watch::watch(r, &t).map(Some));
    let mail_table = top.table(r, "mail");
    let has_mail = mail_table.is_some();
    let mail = mail_table.map_or(Some(None), |t| watch::mail(r, &t).map(Some));
    let recipients = watch::recipients(r, top, has_mail);
    let stock = top.table(r, "stock").and_then(|t| stock::stock(r, &t));
    let sheets = stock.as_ref().map(|s| s.0.sheets.as_slice());
    let own = crop::crops(r, top);
    // A planting of an own crop that could not be read has that one fault and no other.
    let beds = bed::beds(r, top, sheets, own.as_deref());
    let sensors = sensor::sensors(r, top, beds.as_ref().map(|b| b.0.as_slice()));
    let broker = top.table(r, "mqtt").map_or(Some(None), |t| sensor::broker(r, &t).map(Some));
    let supply =
        top.table(r, "supply").map_or_else(|| Some(Supply::default()), |t| supply::supply(r, &t));
    let (place, zone) = place?;
    let (stock, sheet_spans, pins) = stock?;
    let (beds, bed_spans) = beds?;
    let crops = own?.into_iter().map(|c| c.1).collect();
    let garden = Garden {
        name: name?,
        units: units?,
        place,
        zone,
        site: site?,
        labour: labour?,
        forecast: forecast?,
        watch: watch?,
        recipients: recipients?,
        mail: mail?,
        crops,
        beds,
        sensors: sensors?,
        broker: broker?,
        stock,
        supply: supply?,
    };
    Some((garden, Spans { beds: bed_spans, sheets: sheet_spans, pins }))
}
