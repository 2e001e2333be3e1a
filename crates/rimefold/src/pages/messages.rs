//! What people were told: each message with whom it reached, and a button to say that it was seen.

use ::diary::Id;
use ::diary::messages::Message;
use askama::Template;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use serde::Deserialize;
use watch::ledger::{Ledger, REACH_S};

use crate::answers::messages::cap;
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::outside::push;
use crate::pages::folder::garden_file;
use crate::pages::page::{Head, nothing_here, ok, on_to, trouble};
use crate::pages::{App, assets};

/// Days that the page goes back.
const DAYS: i64 = 30;

#[derive(Template)]
#[template(path = "messages.html")]
struct Page {
    head: Head,
    /// Why the diary could not be read.
    fault: Option<String>,
    told: Vec<Row>,
    /// Names of those who are told; nobody where the garden file says nothing and no phone has asked.
    names: Vec<String>,
    /// Phones that asked to be told.
    phones: Vec<String>,
    /// The key by which a phone knows this garden; `None` where no phone can be told.
    key: Option<String>,
    script: &'static str,
}

/// A message.
struct Row {
    id: String,
    when: String,
    urgent: bool,
    lines: Vec<String>,
    /// Whom it reached and whom not.
    reached: Vec<String>,
    /// Whether somebody has seen it.
    seen: bool,
}

/// `GET /messages`.
pub async fn page(State(app): State<App>) -> Response {
    let Some(garden) = app.planner.evening().garden else { return on_to("/") };
    let since = app.planner.clock.now().plus_seconds(-DAYS * 86_400);
    // Where the diary cannot be read, what the program itself remembers.
    let kept = app.writer.ask(move |diary| diary.messages_since(since)).await;
    let (ledger, fault) = match kept {
        Ok(kept) => (Ledger::from(kept), None),
        Err(f) => (app.teller.ledger(), Some(f.message)),
    };
    let words = GardenFormat::new(garden.units, &garden.zone);
    let file = garden_file(&app.planner.folder);
    let phones: Vec<String> = push::phones(&file).into_iter().map(|p| p.name).collect();
    let mut names: Vec<String> = garden.recipients.iter().map(|r| r.name.clone()).collect();
    names.extend(phones.iter().cloned());
    let told = ledger.told().iter().rev().map(|t| row(&t.message, &ledger, &names, &words));
    let told = told.collect();
    let key = push::public_key(&file).ok();
    let script = assets::tell();
    let head = Head::new(&app, "/diary", "Messages");
    ok(&Page { head, fault, told, names, phones, key, script })
}

fn row(message: &Message, ledger: &Ledger, names: &[String], words: &GardenFormat) -> Row {
    let state = |name: &String| {
        let tries: Vec<_> = ledger.tries(&message.id, name).collect();
        let last = tries.last()?;
        Some(match &last.refused {
            None => format!("reached {name} {}", words.time(last.at)),
            Some(why) => format!("did not reach {name}: {why}"),
        })
    };
    Row {
        id: message.id.to_string(),
        when: format!("{} {}", words.date(message.at), words.time(message.at)),
        urgent: message.urgent,
        lines: message.text.lines().map(str::to_owned).collect(),
        reached: names.iter().filter_map(state).collect(),
        seen: ledger.seen(message, None),
    }
}

/// A message that was seen.
#[derive(Deserialize)]
pub struct Seen {
    id: String,
    /// The first page, where it was said there.
    #[serde(default)]
    back: String,
}

/// `POST /messages`: somebody has seen one.
pub async fn see(State(app): State<App>, axum::Form(form): axum::Form<Seen>) -> Response {
    let Seen { id, back } = form;
    let Ok(id) = Id::try_from(id) else { return nothing_here(&app) };
    let (now, seen) = (app.planner.clock.now(), id.clone());
    match app.writer.ask(move |diary| diary.see_message(&seen, now)).await {
        Ok(true) => {
            app.teller.see(&id, now);
            on_to(if back == "/" { "/" } else { "/messages" })
        }
        Ok(false) => nothing_here(&app),
        Err(f) => trouble(&app, &f),
    }
}

/// A phone that asks to be told, or no more.
#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    endpoint: String,
    #[serde(default)]
    p256dh: String,
    #[serde(default)]
    auth: String,
    /// One that is to be told no more.
    #[serde(default)]
    no_more: String,
}

/// `POST /phones`.
pub async fn phone(State(app): State<App>, axum::Form(asked): axum::Form<Asked>) -> Response {
    let file = garden_file(&app.planner.folder);
    let Asked { endpoint, p256dh, auth, no_more } = &asked;
    let done = if no_more.is_empty() {
        push::add(&file, endpoint, p256dh, auth)
    } else {
        push::remove(&file, no_more)
    };
    match done {
        Ok(()) => on_to("/messages"),
        Err(f) => trouble(&app, &f),
    }
}

/// `GET /messages/ID`: the message as an alert of the Common Alerting Protocol.
pub async fn alert(State(app): State<App>, Path(id): Path<String>) -> Response {
    let Some(garden) = app.planner.evening().garden else { return nothing_here(&app) };
    let Ok(id) = Id::try_from(id) else { return nothing_here(&app) };
    let since = app.planner.clock.now().plus_seconds(-DAYS * 86_400 - REACH_S);
    let kept: Result<_, Failure> = app.writer.ask(move |diary| diary.messages_since(since)).await;
    match kept.map(|k| k.messages.into_iter().find(|m| m.id == id)) {
        Ok(Some(message)) => {
            let kind = [(header::CONTENT_TYPE, "application/cap+xml; charset=utf-8")];
            (kind, cap::alert(&message, &garden)).into_response()
        }
        Ok(None) => nothing_here(&app),
        Err(f) => trouble(&app, &f),
    }
}
