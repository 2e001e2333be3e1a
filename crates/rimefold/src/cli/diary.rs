//! `rimefold diary`: the diary in and out of files, copies of it, and how well was said what came.

use std::path::{Path, PathBuf};

use clap::Subcommand;
use diary::exchange::csv::{self, Given};
use diary::exchange::json;
use diary::exchange::take_in::Added;
use diary::restore::{self, Old, Rescued};
use diary::{Diary, beside};
use jiff::tz::TimeZone;

use crate::answers::{self, check, skill};
use crate::cli::Output;
use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::{clock, files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(long, default_value = ".", global = true)]
    garden: PathBuf,
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand, Debug)]
enum What {
    /// Write everything into files
    Export(Files),
    /// Take in what another diary wrote; what is there already is not taken twice
    Import(Files),
    /// Copy the diary into one new file, checked
    Backup {
        /// New file
        file: PathBuf,
    },
    /// Put a backup in the diary's place
    Restore {
        /// The backup
        file: PathBuf,
        /// Even where a diary is: the old one is kept beside it
        #[arg(long)]
        replace: bool,
    },
    /// Begin a damaged diary anew with what can be read of it; the damaged file is kept
    Rescue,
    /// Compare what was said with what was read, night by night
    Skill {
        /// Write JSON for programs
        #[arg(long)]
        json: bool,
    },
}

#[derive(clap::Args, Debug)]
#[group(required = true, multiple = false)]
struct Files {
    /// One JSON file
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// A folder of CSV files; to import, one file of notes will do
    #[arg(long, value_name = "FOLDER")]
    csv: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let garden_file = files::garden_file(&args.garden);
    let path = beside(&garden_file);
    match &args.what {
        What::Export(to) => export(&Diary::open_read_only(&path)?, to),
        What::Import(from) => import(&path, from),
        What::Backup { file } => {
            Diary::open_read_only(&path)?.backup(file)?;
            say(format!("Copied the diary to {} and checked the copy.\n", file.display()))
        }
        What::Restore { file, replace } => bring_back(file, &path, *replace),
        What::Rescue => rescue(&path),
        What::Skill { json } => {
            let (garden, _) = check::load_garden(&garden_file)?;
            let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
            let skill = Diary::open_read_only(&path)?.skill(&zone)?;
            let text = if *json {
                answers::json(&skill::json::layout(&skill))?
            } else {
                skill::text::write(&skill, &garden, terminal::width())
            };
            say(text)
        }
    }
}

fn say(text: String) -> Result<Output, Failure> {
    Ok(Output { text, aside: Vec::new() })
}

fn export(diary: &Diary, to: &Files) -> Result<Output, Failure> {
    let all = diary.everything()?;
    let written = match (&to.json, &to.csv) {
        (Some(file), _) => {
            files::write_new(file, json::write(&all)?)?;
            file.display().to_string()
        }
        (None, Some(folder)) => {
            let tables = csv::write(&all)?;
            for (name, _) in &tables {
                files::refuse_existing(&folder.join(name))?;
            }
            for (name, text) in &tables {
                files::write_new(&folder.join(name), text)?;
            }
            format!("{} in {}", csv::FILES.join(", "), folder.display())
        }
        (None, None) => return Err(neither()),
    };
    say(format!(
        "Wrote {}, {} and {} to {written}.\n",
        count(all.notes.len(), "note"),
        count(all.forecasts.len(), "forecast"),
        count(all.plans.len(), "plan")
    ))
}

fn neither() -> Failure {
    Failure::new(Exit::Usage, "give --json FILE or --csv FOLDER")
}

fn import(path: &Path, from: &Files) -> Result<Output, Failure> {
    let all = match (&from.json, &from.csv) {
        (Some(file), _) => json::read(&file.display().to_string(), &files::read_export(file)?)?,
        (None, Some(folder)) => csv::read(&tables(folder)?)?,
        (None, None) => return Err(neither()),
    };
    let Added { notes, forecasts, plans, there_already } = Diary::open(path)?.take_in(&all)?;
    say(format!(
        "Took in {}, {} and {}; {there_already} were there already.\n",
        count(notes, "note"),
        count(forecasts, "forecast"),
        count(plans, "plan")
    ))
}

/// The CSV files of a folder, or one file of notes.
fn tables(given: &Path) -> Result<Vec<Given>, Failure> {
    let read = |name: &'static str, path: &Path| {
        Ok(Given { name, shown: path.display().to_string(), bytes: files::read_export(path)? })
    };
    let [notes, ..] = csv::FILES;
    if !given.is_dir() {
        return Ok(vec![read(notes, given)?]);
    }
    let there = csv::FILES.into_iter().map(|name| (name, given.join(name)));
    let there: Vec<_> = there.filter(|(_, path)| path.is_file()).collect();
    if there.is_empty() {
        let message = format!("{} has none of {}", given.display(), csv::FILES.join(", "));
        return Err(Failure::new(Exit::Missing, message));
    }
    there.iter().map(|(name, path)| read(name, path)).collect()
}

fn bring_back(file: &Path, path: &Path, replace: bool) -> Result<Output, Failure> {
    let old = restore::restore(file, path, replace, clock::now())?;
    // Brings an older layout up to date, and shows that it opens.
    let diary = Diary::open(path)?;
    diary.check()?;
    let notes = count(diary.entries()?.len(), "note");
    let mut text = format!("{} now holds the {notes} of the backup.\n", path.display());
    match old {
        Old::None => {}
        Old::Kept(old) => {
            text += &format!("What was there before is kept as {}.\n", old.display());
        }
        Old::Damaged { file, rescued } => {
            text += &format!("The damaged diary is kept as it was as {}.\n", file.display());
            text += &match rescued {
                Some((notes, file)) => format!(
                    "What could be read of it, {}, is in {}.\n\
                     What of it the backup lacks comes in by: rimefold diary import --json {}\n",
                    count(notes, "note"),
                    file.display(),
                    file.display()
                ),
                None => "Nothing could be read of it.\n".to_owned(),
            };
        }
    }
    say(text)
}

fn rescue(path: &Path) -> Result<Output, Failure> {
    let Rescued { damaged, notes } = restore::rescue(path, clock::now())?;
    say(format!(
        "{} now holds the {} that could be read.\nThe damaged diary is kept as it was as {}.\n",
        path.display(),
        count(notes, "note"),
        damaged.display()
    ))
}
