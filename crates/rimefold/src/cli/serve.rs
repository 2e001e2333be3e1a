//! `rimefold serve`: the pages of a garden, for a browser on this machine or, with a password, on the network.

use std::path::{Path, PathBuf};

use crate::answers::check;
use crate::cli::{GardenArg, Output, moment};
use crate::diary::from_report;
use crate::exit::{Exit, Failure};
use crate::outside::{files, listen, save, terminal};
use crate::pages::auth::{self, Auth};
use crate::pages::clock::Clock;
use crate::pages::diary_writer::DiaryWriter;
use crate::pages::folder::garden_file;
use crate::pages::host_check::Names;
use crate::pages::planner::Planner;
use crate::pages::{App, router};
use diary::Diary;
use quantities::Moment;

#[derive(clap::Args, Debug)]
pub struct Args {
    // Where the folder holds no garden yet, the pages make one.
    #[command(flatten)]
    garden: GardenArg,
    #[command(flatten)]
    listen: Listen,
    /// Let others on the network in; asks for a password
    #[arg(long)]
    lan: bool,
    /// File whose first line is the password; else it is asked for once and kept as a hash
    #[arg(long, value_name = "FILE", requires = "lan")]
    password_file: Option<PathBuf>,
    /// Another name this machine is called by on the network
    #[arg(long, value_name = "NAME", requires = "lan")]
    name: Vec<String>,
    /// What time to take it to be, running on from there: 2027-05-14T16:00 in the garden's zone [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
}

/// Where to listen.
#[derive(clap::Args, Clone, Copy, Debug)]
pub struct Listen {
    /// Port; 0 takes any that is free
    #[arg(long, default_value_t = 8517)]
    port: u16,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let folder = folder(&args.garden.path());
    let clock = match &args.at {
        // A folder without a garden has no zone yet: the hour is then Greenwich's, unless it says how far off it is.
        Some(words) => Clock::from(moment(words, &zone(&folder)?.unwrap_or_else(|| "UTC".into()))?),
        None => Clock::real(),
    };
    let auth = if args.lan {
        locked(&folder, args.password_file.as_deref(), clock.now())?
    } else {
        Auth::default()
    };
    serve(folder, clock, auth, Names(args.name.clone()), args.listen, args.lan)
}

/// Serves a garden folder until it is told to stop.
pub fn serve(
    folder: PathBuf,
    clock: Clock,
    auth: Auth,
    names: Names,
    at: Listen,
    lan: bool,
) -> Result<Output, Failure> {
    save::clean(&folder);
    let writer = DiaryWriter::start(diary::beside(&garden_file(&folder)));
    let planner = Planner::new(folder, clock, keep_plans(&writer, clock));
    planner.keep();
    let household = auth.household();
    let app = App::new(planner, writer.clone(), auth);
    app.keep();
    let served = listen::serve(router(app, names), at.port, lan, household, |address| {
        terminal::aside(&format!("Open {address} in a browser; control-C stops it."));
        if lan {
            terminal::aside(
                "Others on the network reach it by this machine's address. Passwords travel unencrypted: use it at home only.",
            );
        }
    });
    writer.close();
    served?;
    Ok(Output::default())
}

/// Keeps every plan and its forecast in the diary.
pub fn keep_plans(
    writer: &DiaryWriter,
    clock: Clock,
) -> impl Fn(&garden::Garden, &evening::report::Report, &weather::Forecast, &[u8]) + Send + Sync + 'static
{
    let writer = writer.clone();
    move |garden, report, forecast, bytes| {
        let now = clock.now();
        let kept = from_report::forecast(bytes.to_vec(), forecast, now);
        if let Ok((plan, said)) = from_report::plan(report, garden, Some(kept.sha256.clone()), now)
        {
            writer.tell(move |d| d.keep_plan(Some(&kept), &plan, &said));
        }
    }
}

/// The folder that was named, by itself or by its garden file.
pub fn folder(given: &Path) -> PathBuf {
    let file = given.extension().is_some_and(|e| e == "toml");
    match given.parent().filter(|_| file) {
        Some(parent) if parent.as_os_str().is_empty() => PathBuf::from("."),
        Some(parent) => parent.to_path_buf(),
        None => given.to_path_buf(),
    }
}

/// The zone of the garden; `None` where there is none yet.
fn zone(folder: &Path) -> Result<Option<String>, Failure> {
    let file = garden_file(folder);
    if !file.exists() {
        return Ok(None);
    }
    Ok(Some(check::load_garden(&file)?.0.zone))
}

/// The auth behind the password in a file, or behind the one that was set before, or behind a new one.
fn locked(folder: &Path, file: Option<&Path>, now: Moment) -> Result<Auth, Failure> {
    let given = match file {
        Some(file) => {
            let bytes = files::read(file)?;
            let text = String::from_utf8_lossy(&bytes);
            Some(long(text.lines().next().unwrap_or_default())?.to_owned())
        }
        None => None,
    };
    let mut diary = Diary::open(&diary::beside(&garden_file(folder)))?;
    if let Some(hash) = diary.password()?
        && given.as_ref().is_none_or(|given| auth::fits(given, &hash))
    {
        return Ok(Auth::with(hash, diary.visits(now)?));
    }
    // A new password ends every visit that was begun with the one before.
    if let Some(given) = given {
        let hash = auth::hash(&given)?;
        diary.set_password(&hash)?;
        return Ok(Auth::with(hash, Vec::new()));
    }
    let asked =
        terminal::ask("A password for those who come in from the network (it shows as you type):");
    let none = || {
        Failure::new(
            Exit::Usage,
            "--lan needs a password: give it when asked, or in a file with --password-file",
        )
    };
    let hash = auth::hash(long(&asked.ok_or_else(none)?)?)?;
    diary.set_password(&hash)?;
    Ok(Auth::with(hash, Vec::new()))
}

/// The password, if it is long enough.
fn long(password: &str) -> Result<&str, Failure> {
    let least = auth::LEAST;
    if password.chars().count() >= least {
        return Ok(password);
    }
    Err(Failure::new(Exit::Usage, format!("a password has at least {least} characters")))
}
