//! *Beds*: the garden drawn to scale; each bed with what grows there, its hoops in section, what fits it, and a form.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;
use garden::fit::covers;
use garden::schema::Table;
use garden::schema::tables::{BED, HOOPS, MULCH, ON_NOW, PLANTING};
use garden::tunnel;
use garden::{Bed, Garden};
use quantities::UnitSystem;
use toml_edit::{Item, TableLike};

use crate::answers::drawing::hatch::Hatch;
use crate::answers::drawing::plan::{self, Mark};
use crate::answers::hoops;
use crate::answers::hoops::usual_wish;
use crate::answers::tonight::wording::capital;
use crate::answers::tonight::wording::{PlanWording, sheet_name};
use crate::exit::{Exit, Failure};
use crate::format::{GardenFormat, count};
use crate::pages::App;
use crate::pages::edit::faults::{Part, Step};
use crate::pages::edit::form::Form;
use crate::pages::edit::group::Group;
use crate::pages::edit::lists;
use crate::pages::edit::open::{Open, open};
use crate::pages::edit::outcome::{Outcome, elsewhere, kept};
use crate::pages::edit::part::{CropChoice, Names, all_stages, fields, write};
use crate::pages::page::{Head, found, ok, on_to, show};

#[derive(Template)]
#[template(path = "beds.html")]
struct All {
    head: Head,
    plan: Option<String>,
    rows: Vec<Row>,
    warnings: Vec<String>,
}

/// One bed of the list.
struct Row {
    number: usize,
    name: String,
    size: String,
    plantings: String,
    hoops: String,
    mark: Option<String>,
}

/// `GET /beds`.
pub async fn all(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::new(&app, "/beds", "Beds") };
    let Some(garden) = &evening.garden else { return on_to("/") };
    let words = GardenFormat::new(garden.units, &garden.zone);
    let report = evening.report.as_ref().zip(evening.planned_for.as_ref());
    let mark = |i: usize| {
        let (report, planned) = report?;
        let bed =
            report.beds.iter().find(|b| garden.beds.get(i).is_some_and(|g| g.name == b.bed))?;
        let cover = bed.chosen.and_then(|c| bed.options.get(c));
        let told = PlanWording::new(report, planned);
        match cover {
            Some(o) => Some(told.cover(o)),
            None => PlanWording::at_risk(bed).then(|| "at risk".to_owned()),
        }
    };
    let drawn = |i: usize| {
        let bed = garden.beds.get(i).map(|b| b.name.as_str());
        let bed = report.and_then(|r| r.0.beds.iter().find(|b| Some(b.bed.as_str()) == bed));
        let cover = bed.and_then(|b| b.options.get(b.chosen?));
        Mark {
            number: Some(i + 1),
            cover: cover.map(|o| Hatch::of_cover(&o.cover)),
            words: mark(i).unwrap_or_default(),
        }
    };
    let row = |(i, bed): (usize, &Bed)| Row {
        number: i + 1,
        name: bed.name.clone(),
        size: format!("{} by {}", words.long(bed.length_m), words.short(bed.width_m)),
        plantings: plantings(bed),
        hoops: bed.hoops.map_or_else(|| "none".into(), |h| words.rod(h.material, h.section)),
        mark: mark(i),
    };
    ok(&All {
        plan: plan::draw(garden, &words, &drawn),
        rows: garden.beds.iter().enumerate().map(row).collect(),
        warnings: evening.warnings.to_vec(),
        head,
    })
}

fn plantings(bed: &Bed) -> String {
    if bed.plantings.is_empty() {
        return "nothing".into();
    }
    let each = bed.plantings.iter().map(|p| {
        format!("{}, {}", garden::crops::name(p.crop), garden::crops::stage_word(p.crop, p.stage))
    });
    each.collect::<Vec<_>>().join("; ")
}

#[derive(Template)]
#[template(path = "bed.html")]
struct One {
    head: Head,
    number: String,
    name: String,
    was: String,
    section: Option<String>,
    facts: Vec<String>,
    fits: Vec<String>,
    digest: String,
    parts: Vec<Group>,
    names: Names,
    others: Vec<String>,
    changed: bool,
    new: bool,
}

impl One {
    /// Every crop, to be found by any of its names.
    fn crops(&self) -> Vec<CropChoice> {
        self.names.crops()
    }

    /// Every stage that a crop of the list may have.
    fn stages(&self) -> String {
        all_stages().join("|")
    }
}

/// `GET /beds/{bed}`: a number, or `new`.
pub async fn one(State(app): State<App>, Path(which): Path<String>) -> Response {
    found(&app, shown(&app, &which).map(|page| page.map(|p| ok(&p))))
}

fn shown(app: &App, which: &str) -> Result<Option<One>, Failure> {
    let file = open(app)?;
    let beds = lists::len(file.document.get("bed"));
    let Some(i) = lists::place(which, beds) else { return Ok(None) };
    let evening = app.planner.evening();
    let names = evening.garden.as_ref().map(|g| Names::of(g)).unwrap_or_default();
    let table = lists::at(file.document.get("bed"), i);
    let name = table.and_then(|t| t.get("name")).and_then(Item::as_str).unwrap_or("A new bed");
    let mut page = One {
        head: Head::new(app, "/beds", name),
        number: which.to_owned(),
        name: name.to_owned(),
        was: name.to_owned(),
        section: None,
        facts: Vec::new(),
        fits: Vec::new(),
        digest: file.digest.clone(),
        parts: groups(table, file.units, &names),
        names,
        others: Vec::new(),
        changed: false,
        new: which == "new",
    };
    if let Some((garden, bed)) =
        evening.garden.as_ref().and_then(|g| Some((g, g.beds.iter().find(|b| b.name == name)?)))
    {
        picture(&mut page, garden, bed);
    }
    Ok(Some(page))
}

/// The hoops in section, what they stand, what fits.
fn picture(page: &mut One, garden: &Garden, bed: &Bed) {
    let words = GardenFormat::new(garden.units, &garden.zone);
    if let Ok(Some(tunnel)) = tunnel::low_tunnel(garden, bed, &usual_wish(garden.units)) {
        page.section = Some(hoops::svg::draw(&tunnel, &words));
    }
    page.facts.push(format!(
        "{} by {}; {}.",
        words.long(bed.length_m),
        words.short(bed.width_m),
        plantings(bed)
    ));
    page.fits = covers(garden, bed)
        .iter()
        .map(|c| {
            format!(
                "{}; {}",
                capital(&words.instruction(c, sheet_name(c, garden))),
                count(c.minutes.ceil() as usize, "minute")
            )
        })
        .collect();
}

/// Every group of a bed's form.
fn groups(table: Option<&dyn TableLike>, units: UnitSystem, names: &Names) -> Vec<Group> {
    let child = |key: &str| table.and_then(|t| t.get(key)).and_then(Item::as_table_like);
    // A bed that is there is looked at more often than changed.
    let folded = table.is_some();
    let maybe = |legend: &str, has: &str, has_words, there: bool, fields| Group {
        has: has.into(),
        has_words,
        there,
        folded,
        ..Group::always(legend, fields)
    };
    let always = |legend: &str, brief: String, fields| Group {
        folded,
        brief,
        ..Group::always(legend, fields)
    };
    let mut out = vec![always("The bed", String::new(), fields(&BED, table, "bed.", units, names))];
    let plantings = table.and_then(|t| t.get("planting"));
    for i in 0..lists::len(plantings) {
        let planting = lists::at(plantings, i);
        let of = fields(&PLANTING, planting, &format!("planting.{i}."), units, names);
        let word = |key| planting.and_then(|t| t.get(key)).and_then(Item::as_str);
        let brief = [word("crop"), word("stage")].into_iter().flatten().collect::<Vec<_>>();
        out.push(Group {
            remove: format!("planting.{i}.remove"),
            ..always(&format!("Planting {}", i + 1), brief.join(", "), of)
        });
    }
    let new = fields(&PLANTING, None, "planting.new.", units, names);
    let words = if table.is_none() { "Something grows here" } else { "Add another planting" };
    let grows = maybe("What grows there", "planting.new.has", words, table.is_none(), new);
    // Of a new bed it is asked at once, of another one behind its heading.
    out.push(Group { folded: false, fold_rest: true, ..grows });
    for (table, prefix, legend, words) in CHILDREN {
        let child = child(table.name());
        let of = fields(table, child, prefix, units, names);
        out.push(maybe(legend, &format!("{prefix}has"), words, child.is_some(), of));
    }
    out
}

type Child = (&'static Table, &'static str, &'static str, &'static str);

/// Tables of a bed that may be there or not: prefix, heading, words beside the box.
const CHILDREN: [Child; 3] = [
    (&HOOPS, "hoops.", "Hoops", "It has hoops"),
    (&ON_NOW, "on.", "Lying on it now", "A sheet lies on it"),
    (&MULCH, "mulch.", "Mulch", "It is mulched"),
];

/// `POST /beds/{bed}`.
pub async fn save(
    State(app): State<App>,
    Path(which): Path<String>,
    axum::extract::Form(sent): axum::extract::Form<Vec<(String, String)>>,
) -> Response {
    let form = Form(sent);
    found(&app, saved(&app, &which, &form))
}

fn saved(app: &App, which: &str, form: &Form) -> Result<Option<Response>, Failure> {
    let file = open(app)?;
    let list = file.document.get("bed");
    let there = lists::place(which, lists::len(list));
    if let Some(moved) = elsewhere(app, form, there.and_then(|i| lists::at(list, i))) {
        return Ok(Some(moved));
    }
    let Some(i) = there else { return Ok(None) };
    let outcome = kept(app, form, &parts(i, form), |file| {
        if form.has("remove") {
            lists::remove(file.document.get_mut("bed"), i);
            return Ok(Vec::new());
        }
        if form.has("like") {
            return more_like(file, i, form.get("like"));
        }
        change(file, which, i, form)
    })?;
    if matches!(outcome, Outcome::Done) {
        return Ok(Some(on_to("/beds")));
    }
    let Some(mut page) = shown(app, which)? else { return Ok(None) };
    if form.has("like") {
        match &outcome {
            Outcome::Faults(fields, others) => {
                page.others = fields.iter().map(|f| f.1.clone()).chain(others.clone()).collect();
            }
            _ => page.changed = true,
        }
        return Ok(Some(show(outcome.status(), &page)));
    }
    (page.others, page.changed) = outcome.onto(&mut page.parts, form, &page.names);
    Ok(Some(show(outcome.status(), &page)))
}

/// Most beds that are made like one at a time.
const MOST_LIKE: usize = 100;

/// Adds so many beds like one, after the last: its size, hoops, mulch and plantings. Each gets a name of its own; where it
/// lies and what lies on it is its own too, and not known yet.
fn more_like(file: &mut Open, i: usize, many: &str) -> Result<Vec<(String, String)>, Failure> {
    let odd = || Failure::new(Exit::Garden, "the beds in garden.toml are not written as [[bed]]");
    let Some(many) = many.parse().ok().filter(|n| (1..=MOST_LIKE).contains(n)) else {
        return Ok(vec![("like".to_owned(), format!("A whole number, from 1 to {MOST_LIKE}."))]);
    };
    let units = file.units;
    let list =
        file.document.get_mut("bed").and_then(Item::as_array_of_tables_mut).ok_or_else(odd)?;
    let mut like = list.get(i).ok_or_else(odd)?.clone();
    like.remove(ON_NOW.name());
    for key in BED.keys.iter().filter(|k| k.name == "position") {
        like.remove(&key.full(units));
    }
    bare(&mut like);
    let names: Vec<String> =
        list.iter().filter_map(|b| Some(b.get("name")?.as_str()?.to_owned())).collect();
    let name = like.get("name").and_then(Item::as_str).unwrap_or("bed").to_owned();
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
    let stem = if stem.is_empty() { "bed" } else { stem };
    let free = (2..).map(|n| format!("{stem} {n}")).filter(|n| !names.contains(n));
    for name in free.take(many) {
        let mut bed = like.clone();
        bed["name"] = toml_edit::value(name);
        list.push(bed);
    }
    Ok(Vec::new())
}

/// Takes comments from a table that is copied, and its place in the file, so that it stands where it is put.
fn bare(table: &mut toml_edit::Table) {
    table.decor_mut().set_prefix("\n");
    table.decor_mut().set_suffix("");
    table.set_position(None);
    for (mut key, item) in table.iter_mut() {
        key.leaf_decor_mut().clear();
        match item {
            Item::Value(value) => value.decor_mut().clear(),
            Item::Table(table) => bare(table),
            Item::ArrayOfTables(list) => list.iter_mut().for_each(bare),
            Item::None => {}
        }
    }
}

/// Writes the form into the bed's tables; what is wrong already, by field.
fn change(
    file: &mut Open,
    which: &str,
    i: usize,
    form: &Form,
) -> Result<Vec<(String, String)>, Failure> {
    let units = file.units;
    let odd = || Failure::new(Exit::Garden, "the beds in garden.toml are not written as [[bed]]");
    if which == "new" {
        lists::add(file.document.as_table_mut(), "bed");
    }
    let bed = lists::at_mut(file.document.get_mut("bed"), i).ok_or_else(odd)?;
    let mut wrong = write(&BED, bed, "bed.", form, units);
    for (of, prefix, _, _) in CHILDREN {
        let key = of.name();
        if form.has(&format!("{prefix}has")) {
            let table = lists::child(bed, key).ok_or_else(odd)?;
            wrong.extend(write(of, table, prefix, form, units));
        } else {
            lists::take_out(bed, key);
        }
    }
    let plantings = lists::len(bed.get("planting"));
    for p in 0..plantings {
        if let Some(table) = lists::at_mut(bed.get_mut("planting"), p)
            && form.has(&format!("planting.{p}.crop"))
        {
            wrong.extend(write(&PLANTING, table, &format!("planting.{p}."), form, units));
        }
    }
    if form.has("planting.new.has") {
        let p = lists::add(bed, "planting");
        if let Some(table) = lists::at_mut(bed.get_mut("planting"), p) {
            wrong.extend(write(&PLANTING, table, "planting.new.", form, units));
        }
    }
    for p in (0..plantings).rev().filter(|p| form.has(&format!("planting.{p}.remove"))) {
        lists::remove(bed.get_mut("planting"), p);
        wrong.retain(|w| !w.0.starts_with(&format!("planting.{p}.")));
    }
    Ok(wrong)
}

/// Where each part of the form stands in the file once it is changed.
fn parts(i: usize, form: &Form) -> Vec<Part> {
    let bed = vec![Step::Key("bed"), Step::At(i)];
    let under = |key: &'static str| [bed.clone(), vec![Step::Key(key)]].concat();
    let mut out = vec![Part { way: bed.clone(), table: &BED, prefix: "bed.".into() }];
    for (table, prefix, _, _) in CHILDREN {
        out.push(Part { way: under(table.name()), table, prefix: prefix.into() });
    }
    let kept: Vec<usize> = (0..)
        .take_while(|p| form.has(&format!("planting.{p}.crop")))
        .filter(|p| !form.has(&format!("planting.{p}.remove")))
        .collect();
    let mut names: Vec<String> = kept.iter().map(|p| format!("planting.{p}.")).collect();
    if form.has("planting.new.has") {
        names.push("planting.new.".into());
    }
    for (at, prefix) in names.into_iter().enumerate() {
        let way = [under("planting"), vec![Step::At(at)]].concat();
        out.push(Part { way, table: &PLANTING, prefix });
    }
    out
}
