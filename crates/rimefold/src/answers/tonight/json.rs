//! The report as JSON: SI units, UTC times, one object. Documented in `docs/json.md` and `docs/schema/tonight.json`.

mod weather;

use evening::report::{
    self, BedReport, MorningAction, MorningReason, MorningTask, OptionReport, Reason as Why,
    Report, ShortList as Shorter, Task as Work, Warning, WarningKind,
};
use garden::Garden;
use garden::fit::Placement;
use garden::lying::Lying;
use serde::Serialize;

use crate::answers::json_parts::{Spread, Use, spread, uses};
use crate::answers::tonight::wording::PlanWording;
use weather::{Course, Driver, Weather, course, driver, time};

/// Version of the layout; raised when a member changes its meaning or goes away.
///
/// 2: `driver`, `action`, `why`, `kind` and `cover` are snake_case words; a warning's numbers are members of their own.
const LAYOUT: u32 = 2;

/// The answer of `rimefold tonight --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Tonight {
    /// Version of the layout.
    layout: u32,
    garden: String,
    asked_at: String,
    phase: Phase,
    sunset: String,
    /// Too dark to work from here.
    dark: String,
    sunrise: String,
    weather: Weather,
    /// In the order of the garden file.
    beds: Vec<Bed>,
    /// What was noted of covers and cannot be, in sentences.
    contradictions: Vec<String>,
    /// What lies and is to be opened or taken off today, the most urgent first.
    today: Vec<Morning>,
    /// Beds on which something lies that needs nothing before the morning.
    stays: Vec<String>,
    /// Latest start so that all work is done by its time; null without work.
    start_by: Option<String>,
    /// In the order to do it.
    work: Vec<Task>,
    /// What can no longer be done before dark but is worth doing by lamp.
    by_lamp: Vec<Task>,
    /// Person-minutes before dark.
    minutes_available: f64,
    /// Person-minutes the work takes, walking included.
    minutes_needed: f64,
    /// The best plan with fewer person-minutes.
    short_lists: Vec<ShortList>,
    /// What helps without cloth, most saved first; its minutes are not part of `minutes_needed`.
    without_cloth: Vec<Handwork>,
    /// What to open the morning after, and by when.
    morning: Vec<Morning>,
    warnings: Vec<Warned>,
    proof: Proof,
    /// Until late in the morning, what to open of the night that is ending; null at other hours.
    this_morning: Option<ThisMorning>,
}

/// The part of the day.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Phase {
    Morning,
    Midday,
    Afternoon,
    AfterDark,
    BeforeDawn,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ThisMorning {
    /// When the night that is ending was planned.
    asked_at: String,
    sunrise: String,
    morning: Vec<Morning>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Bed {
    bed: String,
    /// The planting most at risk; empty for a bare bed.
    planting: String,
    /// Temperature at which a tenth of it is lost; null for a bare bed.
    limit_c: Option<f64>,
    /// What lies on it now.
    lies: Vec<Lies>,
    /// Left as it lies when night begins: open where nothing does.
    open: Outcome,
    /// In the garden's money, of all that cold can harm here.
    worth: f64,
    /// Expected loss of the hours since sunset.
    lost_so_far: f64,
    /// Index into `options`; null: leave it as it lies, or take it off.
    chosen: Option<usize>,
    /// What lies is to be taken off tonight for another bed.
    takes_off: bool,
    reason: Reason,
    /// Whether all that can be harmed is still in the soil.
    in_soil: bool,
    open_course: Course,
    covered_course: Option<Course>,
    /// Every cover that fits.
    options: Vec<Cover>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Lies {
    cover: Kind,
    layers: u32,
    uses: Vec<Use>,
    opening: Opening,
    /// Null: for longer than anybody noted.
    since: Option<String>,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Opening {
    Shut,
    EndsOpen,
    HalfOff,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Outcome {
    leaf_low_c: Spread,
    air_low_c: Spread,
    /// Chance that a tenth or more is lost, 0 to 1.
    chance_of_harm: f64,
    /// In the garden's money.
    expected_loss: f64,
    /// Null where the limit is not reached on the median night.
    reaches_limit_at: Option<String>,
}

/// Why a bed is covered or left.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Reason {
    /// Nothing here can be harmed.
    Bare,
    /// Open it stays above its limit.
    SafeOpen { margin_k: f64 },
    /// The work costs more than it saves, both in money.
    NotWorthIt { saves: f64, costs: f64 },
    /// Harm is expected and nothing in stock fits.
    NoCoverFits,
    /// Sheets, pins or minutes save more elsewhere.
    StockUsedElsewhere { loss: f64 },
    /// What lies does; no change saves more than it costs.
    Lies,
    /// Its pots are carried in.
    CarriedIn,
    /// Covering pays.
    Cover { saves: f64, driver: Driver },
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cover {
    action: Change,
    cover: Kind,
    layers: u32,
    pieces: u32,
    skirt_m: f64,
    roll_up: bool,
    minutes: f64,
    /// Protection that its label claims.
    claim_k: Option<f64>,
    uses: Vec<Use>,
    outcome: Outcome,
    leaf_gain_k: Spread,
    air_gain_k: Spread,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Kind {
    LowTunnel,
    FloatingCover,
    Drape,
    PopUpTunnel,
    LooseMulch,
}

/// What is done in the evening.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Change {
    Lay,
    Double,
    Swap,
    Shut,
    TakeOff,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Task {
    bed: String,
    action: Change,
    minutes: f64,
    walk_minutes: f64,
    /// Film is not laid before the sun is off.
    not_before: Option<String>,
    by: String,
    /// When it should have been done, where that has passed.
    late_since: Option<String>,
    /// Which of the people does it, from 1.
    person: u32,
    /// Expected loss that it still saves.
    saves: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ShortList {
    minutes: f64,
    beds: Vec<String>,
    /// Index into `options` of each of these beds.
    options: Vec<usize>,
    expected_loss: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Handwork {
    bed: String,
    #[serde(flatten)]
    measure: Measure,
    /// Person-minutes; null where they are not known.
    minutes: Option<f64>,
    by: String,
    /// Which of the people does it, from 1; null where its minutes are not known.
    person: Option<u32>,
    /// Expected loss that it still saves, the plan followed.
    saves: f64,
}

/// What is done without cloth.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Measure {
    /// Dry soil is watered; what the coldest leaf gains by it.
    Water {
        gain_k: Spread,
    },
    /// What is ripe is picked.
    Pick,
    CarryIn {
        pots: u32,
    },
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Morning {
    bed: String,
    action: Action,
    from: Option<String>,
    by: String,
    why: MorningWhy,
    /// When it should have been done, where that has passed.
    late_since: Option<String>,
    /// Air under the cover now, by day.
    inside_c: Option<f64>,
    /// Person-minutes.
    minutes: f64,
    /// What the day costs when it is left as it lies: light, heat and closed flowers, money.
    left_costs: f64,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Action {
    TakeOff,
    OpenEnds,
    HalfOff,
    LeaveOn,
}

/// Why by then.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum MorningWhy {
    /// The air inside passes the crop's limit.
    Heat {
        limit_c: f64,
    },
    SunOnFilm,
    Bees,
    Light,
    /// Little is gained by opening.
    ColdDay,
    /// What the day takes is less than the work of opening.
    Work,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Warned {
    #[serde(flatten)]
    threat: Threat,
    beds: Vec<String>,
    /// Snow is to be brushed off by then.
    at: Option<String>,
}

/// What threatens. `from`: may give way; `likely` and `wet`: gives way as calculated.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Threat {
    WindLiftsCloth { gust_m_s: f64, from_m_s: f64, likely_m_s: f64, pins_needed: u32 },
    WindFlattensHoops { gust_m_s: f64, from_m_s: f64, likely_m_s: f64 },
    SnowLoad { snow_m: f64, from_m: f64, wet_m: f64 },
}

/// How sure the plan is the best one.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    plan_cost: f64,
    do_nothing_cost: f64,
    greedy_cost: f64,
    /// How much dearer than the best the plan can be, as a share; null: nothing is proven.
    gap: Option<f64>,
    worst_residual_w_m2: f64,
    bed_hours: f64,
}

/// The whole report, with what to open of the night that is `ending`.
pub fn layout(r: &Report, ending: Option<&Report>, garden: &Garden) -> Tonight {
    let p = &r.proof;
    Tonight {
        layout: LAYOUT,
        garden: r.garden.clone(),
        asked_at: time(r.asked_at),
        phase: match r.phase {
            report::Phase::Morning => Phase::Morning,
            report::Phase::Midday => Phase::Midday,
            report::Phase::Afternoon => Phase::Afternoon,
            report::Phase::AfterDark => Phase::AfterDark,
            report::Phase::BeforeDawn => Phase::BeforeDawn,
        },
        sunset: time(r.sun.sunset),
        dark: time(r.sun.dark),
        sunrise: time(r.sun.sunrise),
        weather: weather::weather(&r.weather),
        beds: r.beds.iter().map(|b| bed(b, garden)).collect(),
        contradictions: PlanWording::new(r, garden).contradictions(),
        today: r.today.iter().map(|m| morning(m, r)).collect(),
        without_cloth: r.without_cloth.iter().map(|h| handwork(h, r)).collect(),
        stays: r.stays.iter().map(|b| r.beds[*b].bed.clone()).collect(),
        start_by: r.start_by.map(time),
        by_lamp: r.by_lamp.iter().map(|t| task(t, r)).collect(),
        work: r.work.iter().map(|t| task(t, r)).collect(),
        minutes_available: r.minutes_available,
        minutes_needed: r.minutes_needed,
        short_lists: r.short_lists.iter().map(|s| short_list(s, r)).collect(),
        morning: r.morning.iter().map(|m| morning(m, r)).collect(),
        warnings: r.warnings.iter().map(warning).collect(),
        proof: Proof {
            plan_cost: p.plan_cost,
            do_nothing_cost: p.do_nothing_cost,
            greedy_cost: p.greedy_cost,
            gap: p.gap,
            worst_residual_w_m2: p.worst_residual_w_m2,
            bed_hours: p.bed_hours,
        },
        this_morning: ending.map(|e| ThisMorning {
            asked_at: time(e.asked_at),
            sunrise: time(e.sun.sunrise),
            morning: e.morning.iter().map(|m| morning(m, e)).collect(),
        }),
    }
}

fn bed(b: &BedReport, garden: &Garden) -> Bed {
    Bed {
        bed: b.bed.clone(),
        planting: b.planting.clone(),
        limit_c: b.limit_c,
        lies: b.lies.iter().map(|l| lies(l, garden)).collect(),
        open: outcome(&b.open),
        worth: b.worth,
        lost_so_far: b.lost_so_far,
        chosen: b.chosen,
        takes_off: b.takes_off,
        reason: reason(&b.reason),
        in_soil: b.in_soil,
        open_course: course(&b.open_temperatures),
        covered_course: b.covered_temperatures.as_ref().map(course),
        options: b.options.iter().map(|o| cover(o, garden)).collect(),
    }
}

fn lies(l: &Lying, garden: &Garden) -> Lies {
    Lies {
        cover: kind(&l.cover),
        layers: l.cover.layers,
        uses: uses(&l.cover, garden),
        opening: match l.opening {
            garden::lying::Opening::Shut => Opening::Shut,
            garden::lying::Opening::EndsOpen => Opening::EndsOpen,
            garden::lying::Opening::HalfOff => Opening::HalfOff,
        },
        since: l.since.map(time),
    }
}

fn cover(o: &OptionReport, garden: &Garden) -> Cover {
    Cover {
        action: change(o.action),
        cover: kind(&o.cover),
        layers: o.cover.layers,
        pieces: o.cover.pieces,
        skirt_m: o.cover.skirt_m,
        roll_up: o.cover.roll_up,
        minutes: o.cover.minutes,
        claim_k: o.cover.claim_k,
        uses: uses(&o.cover, garden),
        outcome: outcome(&o.outcome),
        leaf_gain_k: spread(&o.leaf_gain_k),
        air_gain_k: spread(&o.air_gain_k),
    }
}

fn kind(cover: &garden::fit::Cover) -> Kind {
    match cover.lie {
        Placement::LowTunnel { .. } => Kind::LowTunnel,
        Placement::Floating => Kind::FloatingCover,
        Placement::Drape => Kind::Drape,
        Placement::PopUp { .. } => Kind::PopUpTunnel,
        Placement::LooseMulch { .. } => Kind::LooseMulch,
    }
}

fn change(action: report::Action) -> Change {
    match action {
        report::Action::Lay => Change::Lay,
        report::Action::Double => Change::Double,
        report::Action::Swap => Change::Swap,
        report::Action::Shut => Change::Shut,
        report::Action::TakeOff => Change::TakeOff,
    }
}

fn outcome(o: &report::Outcome) -> Outcome {
    Outcome {
        leaf_low_c: spread(&o.leaf_low_c),
        air_low_c: spread(&o.air_low_c),
        chance_of_harm: o.chance_of_harm,
        expected_loss: o.expected_loss,
        reaches_limit_at: o.reaches_limit_at.map(time),
    }
}

fn reason(r: &Why) -> Reason {
    match *r {
        Why::Bare => Reason::Bare,
        Why::SafeOpen { margin_k } => Reason::SafeOpen { margin_k },
        Why::NotWorthIt { saves, costs } => Reason::NotWorthIt { saves, costs },
        Why::NoCoverFits => Reason::NoCoverFits,
        Why::StockUsedElsewhere { loss } => Reason::StockUsedElsewhere { loss },
        Why::Lies => Reason::Lies,
        Why::CarriedIn => Reason::CarriedIn,
        Why::Cover { saves, driver: d } => Reason::Cover { saves, driver: driver(d) },
    }
}

fn task(t: &Work, r: &Report) -> Task {
    Task {
        bed: r.beds[t.bed].bed.clone(),
        action: change(t.action),
        minutes: t.minutes,
        walk_minutes: t.walk_minutes,
        not_before: t.not_before.map(time),
        by: time(t.by),
        late_since: t.late_since.map(time),
        person: t.person,
        saves: t.saves,
    }
}

fn short_list(s: &Shorter, r: &Report) -> ShortList {
    ShortList {
        minutes: s.minutes,
        beds: s.beds.iter().map(|b| r.beds[*b].bed.clone()).collect(),
        options: s.options.clone(),
        expected_loss: s.expected_loss,
    }
}

fn morning(m: &MorningTask, r: &Report) -> Morning {
    Morning {
        bed: r.beds[m.bed].bed.clone(),
        action: match m.action {
            MorningAction::TakeOff => Action::TakeOff,
            MorningAction::OpenEnds => Action::OpenEnds,
            MorningAction::HalfOff => Action::HalfOff,
            MorningAction::LeaveOn => Action::LeaveOn,
        },
        from: m.from.map(time),
        by: time(m.by),
        why: match m.why {
            MorningReason::Heat { limit_c } => MorningWhy::Heat { limit_c },
            MorningReason::SunOnFilm => MorningWhy::SunOnFilm,
            MorningReason::Bees => MorningWhy::Bees,
            MorningReason::Light => MorningWhy::Light,
            MorningReason::ColdDay => MorningWhy::ColdDay,
            MorningReason::Work => MorningWhy::Work,
        },
        late_since: m.late_since.map(time),
        inside_c: m.inside_c,
        minutes: m.minutes,
        left_costs: m.left_costs,
    }
}

fn warning(w: &Warning) -> Warned {
    let threat = match w.kind {
        WarningKind::WindLiftsCloth { gust_m_s, from_m_s, likely_m_s, pins_needed } => {
            Threat::WindLiftsCloth { gust_m_s, from_m_s, likely_m_s, pins_needed }
        }
        WarningKind::WindFlattensHoops { gust_m_s, from_m_s, likely_m_s } => {
            Threat::WindFlattensHoops { gust_m_s, from_m_s, likely_m_s }
        }
        WarningKind::SnowLoad { snow_m, from_m, wet_m } => {
            Threat::SnowLoad { snow_m, from_m, wet_m }
        }
    };
    Warned { threat, beds: w.beds.clone(), at: w.at.map(time) }
}

fn handwork(h: &report::Handwork, r: &Report) -> Handwork {
    Handwork {
        bed: r.beds[h.bed].bed.clone(),
        measure: match h.measure {
            report::Measure::Water { gain_k } => Measure::Water { gain_k: spread(&gain_k) },
            report::Measure::Pick => Measure::Pick,
            report::Measure::CarryIn { pots } => Measure::CarryIn { pots },
        },
        minutes: Some(h.minutes).filter(|m| *m > 0.0),
        by: time(h.by),
        person: Some(h.person).filter(|_| h.minutes > 0.0),
        saves: h.saves,
    }
}
