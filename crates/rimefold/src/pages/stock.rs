//! *Stock*: what is in the shed, each sheet with where it fits; forms to change it.

use askama::Template;
use axum::extract::{Form as Sent, Path, State};
use axum::response::Response;
use evening::report::Report;
use garden::fit::{Item as Use, covers};
use garden::schema::tables::{SHEET, STOCK};
use garden::schema::words::Worded as _;
use garden::{Garden, stock::Sheet};
use toml_edit::Item;

use crate::answers::drawing::sheets;
use crate::answers::upkeep::{
    self,
    words::{life_left, sentence},
};
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::pages::App;
use crate::pages::edit::faults::{Part, Step};
use crate::pages::edit::form::Form;
use crate::pages::edit::group::Group;
use crate::pages::edit::lists;
use crate::pages::edit::open::{Open, open};
use crate::pages::edit::outcome::{Outcome, elsewhere, kept};
use crate::pages::edit::part::{Names, fields, write};
use crate::pages::page::{Head, found, ok, on_to, show, trouble};

#[derive(Template)]
#[template(path = "stock.html")]
struct All {
    head: Head,
    picture: Option<String>,
    rows: Vec<Row>,
    /// What is to be looked after, in sentences.
    due: Vec<String>,
    digest: String,
    parts: Vec<Group>,
    others: Vec<String>,
    changed: bool,
}

/// One kind of sheet.
struct Row {
    number: usize,
    name: String,
    cloth: String,
    size: String,
    count: u32,
    condition: String,
    fits: String,
    seen: Option<String>,
    /// What is left of its life.
    life: String,
}

#[derive(Template)]
#[template(path = "sheet.html")]
struct One {
    head: Head,
    number: String,
    name: String,
    was: String,
    digest: String,
    parts: Vec<Group>,
    others: Vec<String>,
    changed: bool,
    new: bool,
}

/// `GET /stock`.
pub async fn all(State(app): State<App>) -> Response {
    match listed(&app) {
        Ok(page) => ok(&page),
        Err(f) => trouble(&app, &f),
    }
}

fn listed(app: &App) -> Result<All, Failure> {
    let file = open(app)?;
    let stock = file.document.get("stock").and_then(Item::as_table_like);
    let parts = vec![Group::always(
        "Pins, clips and the rest",
        fields(&STOCK, stock, "stock.", file.units, &Names::default()),
    )];
    let evening = app.planner.evening();
    let garden = evening.garden.as_deref();
    Ok(All {
        head: Head::new(app, "/stock", "Stock"),
        picture: garden.and_then(|g| sheets::draw(g, &GardenFormat::new(g.units, &g.zone))),
        rows: garden.map(|g| rows(app, g)).unwrap_or_default(),
        due: garden.map(|g| due(app, g, evening.report.as_deref())).unwrap_or_default(),
        digest: file.digest,
        parts,
        others: Vec::new(),
        changed: false,
    })
}

/// Everything that is due now, in sentences.
fn due(app: &App, garden: &Garden, report: Option<&Report>) -> Vec<String> {
    let now = app.planner.clock.now();
    let report = report.filter(|r| now < r.weather.night.end);
    let due = upkeep::due(garden, &app.writer.entries(), report, now);
    due.iter().map(|u| sentence(u, garden)).collect()
}

fn rows(app: &App, garden: &Garden) -> Vec<Row> {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let entries = app.writer.entries();
    let life = upkeep::life(garden, &entries, app.planner.clock.now());
    let row = |(i, s): (usize, &Sheet)| {
        let fits = garden.beds.iter().filter(|b| {
            covers(garden, b).iter().any(|c| c.uses.iter().any(|u| u.0 == Use::Sheet(i)))
        });
        let fits: Vec<&str> = fits.map(|b| b.name.as_str()).collect();
        let seen = entries.iter().rev().find(|k| {
            k.stands && matches!(&k.entry.what, diary::entry::What::Sheet { sheet, .. } if *sheet == s.name)
        });
        Row {
            number: i + 1,
            name: s.name.clone(),
            cloth: words.cloth(s.kind),
            size: format!("{} by {}", words.short(s.width_m), words.long(s.length_m)),
            count: s.count,
            condition: s.condition.word().into(),
            life: life_left(life.get(i).and_then(Option::as_ref), s.count, &words),
            fits: if fits.is_empty() { "no bed".into() } else { fits.join(", ") },
            seen: seen.map(|k| {
                format!(
                    "{}, {}",
                    crate::diary::describe::what(&k.entry, &words),
                    words.short_date(k.entry.at)
                )
            }),
        }
    };
    garden.stock.sheets.iter().enumerate().map(row).collect()
}

/// `POST /stock`: pins, clips, straw.
pub async fn save_all(State(app): State<App>, Sent(sent): Sent<Vec<(String, String)>>) -> Response {
    let form = Form(sent);
    let part = Part { way: vec![Step::Key("stock")], table: &STOCK, prefix: "stock.".into() };
    let change = |file: &mut Open| {
        let units = file.units;
        let table = file.document.get_mut("stock").and_then(Item::as_table_like_mut);
        Ok(write(&STOCK, table.ok_or_else(odd)?, "stock.", &form, units))
    };
    match kept(&app, &form, &[part], change) {
        Ok(Outcome::Done) => on_to("/stock"),
        Ok(outcome) => match listed(&app) {
            Ok(mut page) => {
                (page.others, page.changed) =
                    outcome.onto(&mut page.parts, &form, &Names::default());
                show(outcome.status(), &page)
            }
            Err(f) => trouble(&app, &f),
        },
        Err(f) => trouble(&app, &f),
    }
}

/// `GET /stock/{sheet}`: a number, or `new`.
pub async fn one(State(app): State<App>, Path(which): Path<String>) -> Response {
    found(&app, sheet(&app, &which).map(|page| page.map(|p| ok(&p))))
}

fn sheet(app: &App, which: &str) -> Result<Option<One>, Failure> {
    let file = open(app)?;
    let list = file.document.get("stock").and_then(|s| s.get("sheet"));
    let Some(i) = lists::place(which, lists::len(list)) else { return Ok(None) };
    let table = lists::at(list, i);
    let name = table.and_then(|t| t.get("name")).and_then(Item::as_str).unwrap_or("A new sheet");
    Ok(Some(One {
        head: Head::new(app, "/stock", name),
        number: which.to_owned(),
        name: name.to_owned(),
        was: name.to_owned(),
        parts: vec![Group::always(
            "The sheet",
            fields(&SHEET, table, "sheet.", file.units, &Names::default()),
        )],
        digest: file.digest.clone(),
        others: Vec::new(),
        changed: false,
        new: which == "new",
    }))
}

/// `POST /stock/{sheet}`.
pub async fn save(
    State(app): State<App>,
    Path(which): Path<String>,
    Sent(sent): Sent<Vec<(String, String)>>,
) -> Response {
    let form = Form(sent);
    found(&app, saved(&app, &which, &form))
}

fn saved(app: &App, which: &str, form: &Form) -> Result<Option<Response>, Failure> {
    let file = open(app)?;
    let list = file.document.get("stock").and_then(|s| s.get("sheet"));
    let there = lists::place(which, lists::len(list));
    if let Some(moved) = elsewhere(app, form, there.and_then(|i| lists::at(list, i))) {
        return Ok(Some(moved));
    }
    let Some(i) = there else { return Ok(None) };
    let way = vec![Step::Key("stock"), Step::Key("sheet"), Step::At(i)];
    let part = Part { way, table: &SHEET, prefix: "sheet.".into() };
    let change = |file: &mut Open| {
        let units = file.units;
        let stock =
            file.document.get_mut("stock").and_then(Item::as_table_like_mut).ok_or_else(odd)?;
        if form.has("remove") {
            lists::remove(stock.get_mut("sheet"), i);
            return Ok(Vec::new());
        }
        if which == "new" {
            lists::add(stock, "sheet");
        }
        let table = lists::at_mut(stock.get_mut("sheet"), i).ok_or_else(odd)?;
        Ok(write(&SHEET, table, "sheet.", form, units))
    };
    let outcome = kept(app, form, &[part], change)?;
    if matches!(outcome, Outcome::Done) {
        return Ok(Some(on_to("/stock")));
    }
    let Some(mut page) = sheet(app, which)? else { return Ok(None) };
    (page.others, page.changed) = outcome.onto(&mut page.parts, form, &Names::default());
    Ok(Some(show(outcome.status(), &page)))
}

fn odd() -> Failure {
    Failure::new(
        Exit::Garden,
        "the stock in garden.toml is not written as [stock] and [[stock.sheet]]",
    )
}
