//! How a form went: written, changed underneath, or with faults that go back to their fields.

use axum::http::StatusCode;
use axum::response::Response;
use toml_edit::{Item, TableLike};

use crate::exit::Failure;
use crate::pages::App;
use crate::pages::edit::faults::Part;
use crate::pages::edit::form::Form;
use crate::pages::edit::group::Group;
use crate::pages::edit::open::{Open, open};
use crate::pages::edit::part::{Names, refill};
use crate::pages::page::{Head, TroublePage, show};

/// How a form went.
pub enum Outcome {
    /// Written.
    Done,
    /// The file changed underneath.
    Changed,
    /// Faults by field, and others.
    Faults(Vec<(String, String)>, Vec<String>),
}

impl Outcome {
    /// Puts what was sent, and what is wrong with it, back into the groups; what else to say.
    pub fn onto(&self, groups: &mut [Group], form: &Form, names: &Names) -> (Vec<String>, bool) {
        let (faults, others): (&[(String, String)], &[String]) = match self {
            Self::Faults(faults, others) => (faults, others),
            Self::Done | Self::Changed => (&[], &[]),
        };
        for group in groups {
            refill(&mut group.fields, form, names);
            if !group.has.is_empty() {
                group.there = form.has(&group.has);
            }
            for field in &mut group.fields {
                field.fault = faults.iter().find(|f| f.0 == field.name).map(|f| f.1.clone());
            }
            // What is wrong is not folded away.
            group.folded &= group.fields.iter().all(|f| f.fault.is_none());
        }
        (others.to_vec(), matches!(self, Self::Changed))
    }

    /// The status it is answered with.
    pub fn status(&self) -> StatusCode {
        match self {
            Self::Done => StatusCode::OK,
            Self::Changed => StatusCode::CONFLICT,
            Self::Faults(..) => StatusCode::UNPROCESSABLE_ENTITY,
        }
    }
}

/// Changes the file as a form asks and saves it.
///
/// # Errors
/// The file cannot be read or written, or is written oddly.
pub fn kept(
    app: &App,
    form: &Form,
    parts: &[Part],
    change: impl FnOnce(&mut Open) -> Result<Vec<(String, String)>, Failure>,
) -> Result<Outcome, Failure> {
    let mut file = open(app)?;
    if file.digest != form.get("digest") {
        return Ok(Outcome::Changed);
    }
    let wrong = change(&mut file)?;
    if !wrong.is_empty() {
        return Ok(Outcome::Faults(wrong, Vec::new()));
    }
    file.save(app, form.get("digest"), parts)
}

/// The answer to a form made for something that bears another name at its place now: it was taken out or moved meanwhile.
pub fn elsewhere(app: &App, form: &Form, table: Option<&dyn TableLike>) -> Option<Response> {
    let was = form.get("was");
    let now = table.and_then(|t| t.get("name")).and_then(Item::as_str);
    if was.is_empty() || now == Some(was) {
        return None;
    }
    let given = form.0.iter().filter(|(n, v)| n.contains('.') && !v.is_empty());
    let given: Vec<String> = given.map(|(n, v)| format!("{n}: {v}")).collect();
    let line = format!(
        "Not saved: “{was}” is no longer where it was; it was taken out, renamed or moved in another window. What you gave:"
    );
    let head = Head::new(app, "/beds", "Changed meanwhile");
    let ways = [("/beds", "Beds"), ("/stock", "Stock")];
    let page = TroublePage::new(head, &[&line], Some(given.join("\n")), &ways);
    Some(show(StatusCode::CONFLICT, &page))
}
