//! `rimefold watch`: one quiet process for one or many gardens that fetches, plans each evening, and tells people in time.

use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::answers::check;
use crate::cli::serve::{folder, keep_plans};
use crate::cli::{Output, moment};
use crate::exit::Failure;
use crate::outside::{listen, save, terminal};
use crate::pages::App;
use crate::pages::auth::Auth;
use crate::pages::clock::Clock;
use crate::pages::diary_writer::DiaryWriter;
use crate::pages::folder::garden_file;
use crate::pages::planner::Planner;

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folders of gardens, or their garden.toml [default: .]
    #[arg(value_name = "GARDEN")]
    gardens: Vec<PathBuf>,
    /// Stop once each garden has been planned and what is due has been sent
    #[arg(long)]
    once: bool,
    /// What time to take it to be, running on from there: 2027-05-14T16:00 in the first garden's zone [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let here = [PathBuf::from(".")];
    let given = if args.gardens.is_empty() { &here[..] } else { &args.gardens };
    let folders: Vec<PathBuf> = given.iter().map(|g| folder(g)).collect();
    // What is wrong with a file is told now; one that breaks later is told by message.
    let mut zone = None;
    for folder in &folders {
        let file = garden_file(folder);
        let named =
            |f: Failure| Failure { message: format!("{}:\n{}", file.display(), f.message), ..f };
        let garden = check::load_garden(&file).map_err(named)?.0;
        if garden.recipients.is_empty() {
            let file = file.display();
            terminal::aside(&format!("{file}: nobody is told. Write [[tell]] into it."));
        }
        zone.get_or_insert(garden.zone);
    }
    let clock = match &args.at {
        Some(words) => Clock::from(moment(words, &zone.unwrap_or_else(|| "UTC".into()))?),
        None => Clock::real(),
    };
    if args.once {
        once(&folders, clock);
        return Ok(Output::default());
    }
    let apps: Vec<App> = folders.into_iter().map(|folder| watched(folder, clock)).collect();
    for app in &apps {
        app.planner.keep();
        app.keep();
    }
    terminal::aside(&format!(
        "Watching {}; control-C stops it.",
        crate::format::count(apps.len(), "garden")
    ));
    let waited = listen::wait_for_the_end();
    apps.iter().for_each(|app| app.writer.close());
    waited.map(|()| Output::default())
}

/// Plans every garden, as many at once as there are cores, sends what is due, and stops. Only those being planned are held.
fn once(folders: &[PathBuf], clock: Clock) {
    let next = AtomicUsize::new(0);
    let work = || {
        while let Some(folder) = folders.get(next.fetch_add(1, Ordering::Relaxed)) {
            let app = watched(folder.clone(), clock);
            app.planner.look_once();
            app.teller.look_once(&app);
            app.writer.close();
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        (0..cores.min(folders.len())).for_each(|_| drop(scope.spawn(work)));
    });
}

/// One garden, as the pages hold it, without its nights ahead: nobody looks at them.
fn watched(folder: PathBuf, clock: Clock) -> App {
    save::clean(&folder);
    let writer = DiaryWriter::start(diary::beside(&garden_file(&folder)));
    let planner = Planner::of_tonight(folder, clock, keep_plans(&writer, clock));
    App::new(planner, writer, Auth::default())
}
