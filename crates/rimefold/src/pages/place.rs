//! *The garden itself*: its name, where it is, its ground, its people; a form to change them.

use askama::Template;
use axum::extract::{Form as Sent, State};
use axum::response::Response;
use garden::schema::Table;
use garden::schema::tables::{GARDEN, LABOUR, PLACE, SITE};
use toml_edit::{Item, TableLike};

use crate::exit::{Exit, Failure};
use crate::pages::App;
use crate::pages::edit::faults::{Part, Step};
use crate::pages::edit::form::Form;
use crate::pages::edit::group::Group;
use crate::pages::edit::open::{Open, open};
use crate::pages::edit::outcome::{Outcome, kept};
use crate::pages::edit::part::{Names, fields, write};
use crate::pages::page::{Head, ok, on_to, show, trouble};

#[derive(Template)]
#[template(path = "place.html")]
struct Page {
    head: Head,
    digest: String,
    parts: Vec<Group>,
    others: Vec<String>,
    changed: bool,
}

/// A table, and its heading.
type Section = (&'static Table, &'static str);

const SECTIONS: [Section; 4] = [
    (&GARDEN, "The garden"),
    (&PLACE, "Where it is"),
    (&SITE, "Its ground"),
    (&LABOUR, "Its people"),
];

fn prefix(key: &str) -> String {
    if key.is_empty() { "garden.".into() } else { format!("{key}.") }
}

fn made(app: &App) -> Result<Page, Failure> {
    let file = open(app)?;
    let group = |(of, legend): Section| {
        let key = of.path;
        let top = file.document.as_table() as &dyn TableLike;
        let table =
            if key.is_empty() { Some(top) } else { top.get(key).and_then(Item::as_table_like) };
        Group::always(legend, fields(of, table, &prefix(key), file.units, &Names::default()))
    };
    let parts = SECTIONS.into_iter().map(group).collect();
    let head = Head::new(app, "/beds", "The garden");
    Ok(Page { head, parts, digest: file.digest.clone(), others: Vec::new(), changed: false })
}

/// `GET /garden`.
pub async fn page(State(app): State<App>) -> Response {
    match made(&app) {
        Ok(page) => ok(&page),
        Err(f) => trouble(&app, &f),
    }
}

/// `POST /garden`.
pub async fn save(State(app): State<App>, Sent(sent): Sent<Vec<(String, String)>>) -> Response {
    let form = Form(sent);
    let part = |(table, _): Section| Part {
        way: if table.path.is_empty() { Vec::new() } else { vec![Step::Key(table.path)] },
        table,
        prefix: prefix(table.path),
    };
    let parts: Vec<Part> = SECTIONS.into_iter().map(part).collect();
    let done = kept(&app, &form, &parts, |file| change(file, &form)).and_then(|outcome| {
        if matches!(outcome, Outcome::Done) {
            return Ok(on_to("/beds"));
        }
        let mut page = made(&app)?;
        (page.others, page.changed) = outcome.onto(&mut page.parts, &form, &Names::default());
        Ok(show(outcome.status(), &page))
    });
    done.unwrap_or_else(|f| trouble(&app, &f))
}

fn change(file: &mut Open, form: &Form) -> Result<Vec<(String, String)>, Failure> {
    let units = file.units;
    let mut wrong = Vec::new();
    for (of, _) in SECTIONS {
        let key = of.path;
        let top = file.document.as_table_mut() as &mut dyn TableLike;
        let table = if key.is_empty() {
            Some(top)
        } else {
            top.get_mut(key).and_then(Item::as_table_like_mut)
        };
        let odd = || Failure::new(Exit::Garden, format!("garden.toml has no [{key}]"));
        wrong.extend(write(of, table.ok_or_else(odd)?, &prefix(key), form, units));
    }
    Ok(wrong)
}
