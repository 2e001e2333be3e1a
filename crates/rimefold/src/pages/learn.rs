//! What the garden's own thermometer has taught: sentences, picture, and stopping or forgetting it.

use askama::Template;
use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::Response;
use diary::keyword::Keyword as _;
use diary::learning::LearningAct;
use serde::Deserialize;

use crate::answers::learn::{learnt, sentences, svg};
use crate::diary::learned::GardenLessons;
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::pages::App;
use crate::pages::page::{Head, on_to, show, trouble};

#[derive(Template)]
#[template(path = "learn.html")]
struct Page {
    head: Head,
    sentences: Vec<String>,
    chart: Option<String>,
    learns: bool,
    anything: bool,
}

/// `GET /learn`.
pub async fn page(State(app): State<App>) -> Response {
    let Some(garden) = app.planner.evening().garden else { return on_to("/") };
    let words = GardenFormat::new(garden.units, &garden.zone);
    let now = app.planner.clock.now();
    let of = std::sync::Arc::clone(&garden);
    match app.writer.ask(move |d| GardenLessons::from_diary(d, &of)).await {
        Ok(lessons) => {
            let learnt = learnt(&garden, &lessons, now);
            let page = Page {
                head: Head::new(&app, "/diary", "What was learned"),
                sentences: sentences(&learnt, &words),
                chart: svg::draw(&learnt, &words),
                learns: learnt.frozen_since.is_none(),
                anything: !learnt.nights.is_empty(),
            };
            show(StatusCode::OK, &page)
        }
        Err(f) => trouble(&app, &f),
    }
}

/// What is to be done.
#[derive(Deserialize)]
pub struct Say {
    act: String,
}

/// `POST /learn`.
pub async fn say(State(app): State<App>, Form(say): Form<Say>) -> Response {
    let Some(act) = LearningAct::from_keyword(&say.act) else {
        return trouble(&app, &Failure::new(Exit::Usage, "nothing is done by that name"));
    };
    let now = app.planner.clock.now();
    match app.writer.ask(move |d| d.say_of_learning(act, now)).await {
        Ok(()) => {
            app.planner.nudge();
            on_to("/learn")
        }
        Err(f) => trouble(&app, &f),
    }
}
