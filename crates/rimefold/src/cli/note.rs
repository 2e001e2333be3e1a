//! `rimefold note`: write down what happened, from a phone in a cold garden if need be.

mod args;
mod names;

use std::path::Path;

use diary::entry::{Act, Cover, Entry, Extreme, Place, SheetState, Sighting, What};
use diary::{Diary, beside, night};
use garden::Garden;
use jiff::tz::TimeZone;
use quantities::units::celsius_from_fahrenheit;
use quantities::{Moment, UnitSystem};

pub use args::Args;
use args::{CoverArgs, Kind, ReadingArgs, SheetArgs};

use crate::answers::{check, notes};
use crate::cli::{Output, moment};
use crate::diary::{describe, new_id, unlikely};
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::outside::{clock, files, terminal};

/// What a note is written with.
struct NoteContext<'a> {
    garden: &'a Garden,
    words: GardenFormat,
    at: Moment,
    now: Moment,
    remark: Option<String>,
    folder: &'a Path,
}

pub fn run(args: Args) -> Result<Output, Failure> {
    let file = files::garden_file(&args.garden);
    let (garden, _) = check::load_garden(&file)?;
    let path = beside(&file);
    let now = clock::now();
    let plain = matches!(args.kind, Kind::Undo { .. } | Kind::List(_));
    if plain && (args.at.is_some() || args.remark.is_some()) {
        let message =
            "undo and list take neither --at nor --remark: an undo is of now, a list of everything";
        return Err(Failure::new(Exit::Usage, message));
    }
    let at = args.at.as_deref().map(|words| moment(words, &garden.zone)).transpose()?;
    let context = NoteContext {
        garden: &garden,
        words: GardenFormat::new(garden.units, &garden.zone),
        at: at.unwrap_or(now),
        now,
        remark: args.remark,
        folder: &args.garden,
    };
    match args.kind {
        Kind::List(list) => {
            let entries = Diary::open_read_only(&path)?.entries()?;
            let text = if list.json {
                notes::json(&entries)?
            } else {
                notes::text(&entries, list.all, &context.words, terminal::width())
            };
            Ok(Output { text, aside: Vec::new() })
        }
        Kind::Undo { id } => context.undo(&path, id.as_deref()),
        Kind::Done { task } => context.done(&path, task),
        other => {
            let sure = matches!(&other, Kind::Reading(r) if r.anyway);
            let entries = context.entries(other)?;
            let mut diary = Diary::open(&path)?;
            if !sure {
                context.ask_about(&diary, &entries)?;
            }
            diary.add(&entries)?;
            Ok(context.noted(&entries))
        }
    }
}

impl NoteContext<'_> {
    fn entry(&self, what: What) -> Result<Entry, Failure> {
        Ok(Entry::new(new_id()?, self.at, self.now, what).with_note(self.remark.clone()))
    }

    fn bed(&self, name: &str) -> Result<String, Failure> {
        names::bed(self.garden, name)
    }

    fn cover(&self, name: &str) -> Result<String, Failure> {
        names::cover(self.garden, name)
    }

    fn moved(&self, act: Act, c: &CoverArgs) -> Result<Vec<Entry>, Failure> {
        let sheet = c.with.as_deref().map(|name| self.cover(name)).transpose()?;
        let layers = c.layers.map(u32::from);
        let cover = Cover { layers, ..Cover::named(self.bed(&c.bed)?, sheet) };
        Ok(vec![self.entry(What::Cover { act, cover })?])
    }

    fn seen(&self, sighting: Sighting, bed: &str) -> Result<Vec<Entry>, Failure> {
        Ok(vec![self.entry(What::Seen { sighting, bed: self.bed(bed)? })?])
    }

    /// The entries of a note.
    fn entries(&self, kind: Kind) -> Result<Vec<Entry>, Failure> {
        match kind {
            Kind::Reading(reading) => self.readings(&reading),
            Kind::Covered(c) => self.moved(Act::Covered, &c),
            Kind::Opened(c) => self.moved(Act::Opened, &c),
            Kind::HalfOpen(c) => self.moved(Act::HalfOpen, &c),
            Kind::Vented(c) => self.moved(Act::Vented, &c),
            Kind::Loss { bed, share } => self.seen(Sighting::Loss(share / 100.0), &bed),
            Kind::SnowBrushed { bed } => self.seen(Sighting::SnowBrushed, &bed),
            Kind::Voles { bed } => self.seen(Sighting::Voles, &bed),
            Kind::Sheet(SheetArgs { name, retired, .. }) => {
                let state = if retired { SheetState::Retired } else { SheetState::Damaged };
                Ok(vec![self.entry(What::Sheet { state, sheet: self.cover(&name)? })?])
            }
            Kind::Undo { .. } | Kind::Done { .. } | Kind::List(_) => Ok(Vec::new()),
        }
    }

    /// Refuses a reading that is far colder than anything near, until it is said again.
    fn ask_about(&self, diary: &Diary, entries: &[Entry]) -> Result<(), Failure> {
        for entry in entries {
            if let Some(told) = unlikely::told(diary, &diary.entries()?, entry, &self.words)? {
                let message = format!("{told}; if it is right, say --anyway");
                return Err(Failure::new(Exit::Usage, message));
            }
        }
        Ok(())
    }

    fn readings(&self, r: &ReadingArgs) -> Result<Vec<Entry>, Failure> {
        let bed = r.bed.as_deref().map(|name| self.bed(name)).transpose()?;
        let place = match (bed, r.under.as_deref()) {
            (bed, None) => Place::Open { bed },
            (Some(bed), Some("")) => Place::Under { bed, sheet: None },
            (Some(bed), Some(sheet)) => Place::Under { bed, sheet: Some(self.cover(sheet)?) },
            (None, Some(_)) => {
                return Err(Failure::new(Exit::Usage, "--under needs the bed: add --bed BED"));
            }
        };
        let mut out = Vec::new();
        for (extreme, flag, given) in [
            (Extreme::Minimum, "--min", &r.min),
            (Extreme::Maximum, "--max", &r.max),
            (Extreme::Now, "--now", &r.now),
        ] {
            if let Some(given) = given {
                let celsius = self.celsius(flag, given)?;
                out.push(self.entry(What::Reading { extreme, celsius, place: place.clone() })?);
            }
        }
        if let [
            Entry { what: What::Reading { celsius: low, .. }, .. },
            Entry { what: What::Reading { celsius: high, .. }, .. },
        ] = out.as_slice()
            && r.now.is_none()
            && low > high
        {
            return Err(Failure::new(
                Exit::Usage,
                "the minimum is above the maximum; were they swapped?",
            ));
        }
        Ok(out)
    }

    /// A temperature in the garden's units, or in those of its letter: `28`, `28F`, `-2.5C`.
    fn celsius(&self, flag: &str, given: &str) -> Result<f64, Failure> {
        let text = given.trim().replace(['°', ' '], "");
        let (number, us) = match text.strip_suffix(['F', 'f']) {
            Some(number) => (number, true),
            None => match text.strip_suffix(['C', 'c']) {
                Some(number) => (number, false),
                None => (text.as_str(), self.garden.units == UnitSystem::Us),
            },
        };
        let number = number.replace(',', ".").parse::<f64>().ok().filter(|x| x.is_finite());
        let number = number.ok_or_else(|| {
            let unit = self.words.degree();
            let message = format!("{flag} {given}: expected a temperature in {unit}, such as 28");
            Failure::new(Exit::Usage, message)
        })?;
        let celsius = if us { celsius_from_fahrenheit(number) } else { number };
        if quantities::bounds::READING_C.holds(celsius) {
            return Ok(celsius);
        }
        let message = format!("{flag} {given}: no garden is as cold or as warm as that");
        Err(Failure::new(Exit::Usage, message))
    }

    fn undo(&self, path: &Path, id: Option<&str>) -> Result<Output, Failure> {
        let there = Diary::open_there(path)?;
        let mut diary =
            there.ok_or_else(|| Failure::new(Exit::Missing, "there is no diary yet"))?;
        let (undo, struck) = diary.undo(id, new_id()?, self.now)?;
        let again = matches!(struck.what, What::Undo { .. });
        let text = if again {
            format!("Holds again what {} had undone.\n", struck.id.short())
        } else {
            format!("Undone: {}.\n", describe::what(&struck, &self.words))
        };
        Ok(Output { text: text + &self.how_to_undo(&undo), aside: Vec::new() })
    }

    fn done(&self, path: &Path, task: u32) -> Result<Output, Failure> {
        let none = || {
            Failure::new(
                Exit::Missing,
                "no plan is kept yet: your first note begins the diary, and from then on `rimefold tonight` keeps its plan. Note this one by bed and sheet: `rimefold note covered BED --with SHEET`",
            )
        };
        let mut diary = Diary::open_there(path)?.ok_or_else(none)?;
        let plan = diary.latest_plan()?.ok_or_else(none)?;
        let done = diary.complete(&plan, task, new_id()?, self.at, self.now)?;
        let night = plan.night.strftime("%A %-d %B");
        let undo = self.command(&format!("undo {}", done.entry.short()));
        let time = self.words.time(done.at);
        let text = format!(
            "Done at {time}: task {task} of the plan for the night of {night}.\n\
             Id {}. To undo it: {undo}\n",
            done.entry.short()
        );
        Ok(Output { text, aside: Vec::new() })
    }

    /// What was written, its id, and how to take it back.
    fn noted(&self, entries: &[Entry]) -> Output {
        let zone = TimeZone::get(&self.garden.zone).unwrap_or(TimeZone::UTC);
        let mut out = Output::default();
        for entry in entries {
            let what = describe::what(entry, &self.words);
            let day = self.words.day(entry.at);
            let night = match entry.what {
                What::Reading { extreme: Extreme::Minimum, .. } => {
                    let of = night::of_reading(entry.at, &zone).strftime("%A %-d %B");
                    format!(" (night of {of})")
                }
                _ => String::new(),
            };
            out.text += &format!("Noted: {what}; {day}{night}.\n{}", self.how_to_undo(entry));
            if !night.is_empty() && !night::is_over(entry.at, &zone) {
                out.aside.push(
                    "(the night is not over: this minimum is kept, but plans are only held against one read from \
                     4 in the morning to 6 in the evening; give --at if it was read earlier)"
                        .into(),
                );
            }
        }
        out
    }

    fn how_to_undo(&self, entry: &Entry) -> String {
        let id = entry.id.short();
        format!("Id {id}. To undo it: {}\n", self.command(&format!("undo {id}")))
    }

    /// The command as it works from where the grower is.
    fn command(&self, words: &str) -> String {
        if self.folder == Path::new(".") {
            return format!("rimefold note {words}");
        }
        let folder = self.folder.display().to_string();
        let plain = |c: char| c.is_alphanumeric() || "/._-\\:".contains(c);
        let folder = if folder.chars().all(plain) { folder } else { format!("'{folder}'") };
        format!("rimefold note --garden {folder} {words}")
    }
}
