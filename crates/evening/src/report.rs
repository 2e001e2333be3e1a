//! The one answer every face of the program shows: tonight's plan with its reasons, as plain data in SI.
//!
//! Nothing here is text for people; words, units and local time belong to the program.

use garden::fit::Cover;
use garden::lying::{Contradiction, Lying};
use quantities::{Interval, Moment, UnitSystem};

/// Tonight's plan for one garden.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Garden's own name.
    pub garden: String,
    /// Units to show.
    pub units: UnitSystem,
    /// IANA zone to show times in.
    pub zone: String,
    /// The moment the question was asked.
    pub asked_at: Moment,
    /// The part of the day it was asked in.
    pub phase: Phase,
    /// Sunset, end of useful light (civil dusk), sunrise.
    pub sun: SunTimes,
    /// What was noted of covers and cannot be.
    pub contradictions: Vec<Contradiction>,
    /// What lies and is to be opened or taken off today, the most urgent first; empty from sunset to sunrise.
    pub today: Vec<MorningTask>,
    /// Beds on which something lies that needs nothing before the morning (indices into `beds`).
    pub stays: Vec<usize>,
    /// Latest start so that all `work` is done by its time; `None` without work, now where that has passed.
    pub start_by: Option<Moment>,
    /// What can no longer be done before dark but is still worth doing by lamp, best first.
    pub by_lamp: Vec<Task>,
    /// What the forecast says and lacks.
    pub weather: WeatherSummary,
    /// One entry per bed, in garden order.
    pub beds: Vec<BedReport>,
    /// Work to do, in the order to do it; before dark where it is still light.
    pub work: Vec<Task>,
    /// Person-minutes available before dark, all people together.
    pub minutes_available: f64,
    /// Person-minutes the work takes, walking included.
    pub minutes_needed: f64,
    /// What to do with less time: fewer minutes, the tasks (indices into `beds`) worth doing then, the loss still expected.
    pub short_lists: Vec<ShortList>,
    /// What helps without cloth, most saved first. Its known minutes are part of the evening's: what there is no time for is
    /// left out. Carrying in counts in `minutes_needed` and `start_by`; watering has its own time before.
    pub without_cloth: Vec<Handwork>,
    /// What to open tomorrow and by when.
    pub morning: Vec<MorningTask>,
    /// Wind, snow, heat and stock warnings with the action.
    pub warnings: Vec<Warning>,
    /// How sure the plan is the best one.
    pub proof: Proof,
}

/// The part of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The sun is up since a short while: what lies is opened.
    Morning,
    /// The middle of the day: what is shut heats up.
    Midday,
    /// Until dark: covers are laid.
    Afternoon,
    /// Dark: what is still worth walking out for.
    AfterDark,
    /// The last hours before sunrise: only what still saves something.
    BeforeDawn,
}

/// Turning points of the light, UTC.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunTimes {
    /// Upper limb under the horizon in the evening.
    pub sunset: Moment,
    /// Sun 6° below: too dark to work.
    pub dark: Moment,
    /// Upper limb over the horizon in the morning.
    pub sunrise: Moment,
}

/// What the weather behind the plan says and lacks.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherSummary {
    /// Name of the format the forecast came in.
    pub source: String,
    /// When it was issued, if it says so.
    pub issued: Option<Moment>,
    /// The night's stretch that was computed.
    pub night: Interval,
    /// Forecast air minimum over the night as the file gives it, °C, and its hour.
    pub forecast_low_c: f64,
    /// The hour of that minimum.
    pub forecast_low_at: Moment,
    /// Air minimum at the garden over the possible nights, °C.
    pub garden_low_c: Spread,
    /// Air at the garden through the night.
    pub air_temperatures: TemperatureSeries,
    /// The forecast itself through the night, hour by hour.
    pub hours: Vec<ForecastHour>,
    /// Mean wind of the night at the source's height, m/s; `None` when absent from the file.
    pub wind_m_s: Option<f64>,
    /// Greatest gust (or mean wind where no gust is given) until the morning after, m/s.
    pub gust_m_s: Option<f64>,
    /// Mean cloud of the night, 0 to 1; `None` when absent.
    pub cloud: Option<f64>,
    /// What mostly sets the night.
    pub driver: Driver,
    /// New snow until the morning after, m; `None` when the file says nothing about snow.
    pub snow_m: Option<f64>,
    /// What was missing, derived or odd in the forecast, in whole sentences.
    pub notices: Vec<String>,
    /// What makes the chances wider than usual: quantities drawn from a prior, days before that are not known.
    pub doubts: Vec<String>,
    /// Possible nights computed.
    pub members: usize,
    /// Seed they were drawn from.
    pub seed: u64,
}

/// The forecast at one moment of the night, as the file gives it; `None` what it lacks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForecastHour {
    /// When.
    pub at: Moment,
    /// Air, °C.
    pub air_c: Option<f64>,
    /// Dew point, °C.
    pub dew_point_c: Option<f64>,
    /// Wind at the source's height, m/s.
    pub wind_m_s: Option<f64>,
    /// Share of the sky under cloud, 0 to 1.
    pub cloud: Option<f64>,
    /// Temperature of a black sky that sends down as much long-wave, °C; needs air, dew point and cloud.
    pub sky_c: Option<f64>,
}

/// The middle and the edges of what may happen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// One in ten is lower.
    pub p10: f64,
    /// Half are lower.
    pub p50: f64,
    /// One in ten is higher.
    pub p90: f64,
}

impl Spread {
    /// The 10, 50 and 90 % points of a sample, linear between its sorted values.
    #[must_use]
    pub fn from_sample(sample: &[f64]) -> Self {
        let mut x = sample.to_vec();
        x.sort_by(f64::total_cmp);
        let at = |p: f64| {
            let h = p * x.len().saturating_sub(1) as f64;
            let (i, share) = (h.floor() as usize, h.fract());
            let a = x.get(i).copied().unwrap_or(f64::NAN);
            a + (x.get(i + 1).copied().unwrap_or(a) - a) * share
        };
        Self { p10: at(0.1), p50: at(0.5), p90: at(0.9) }
    }
}

/// A temperature through the night, as means of half-hours over the possible nights.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TemperatureSeries {
    /// Start of the first half-hour.
    pub start: Moment,
    /// One spread a half-hour, °C.
    pub half_hours: Vec<Spread>,
}

impl TemperatureSeries {
    /// The spread of every half-hour of a night that begins at `start`; by half-hour, then by member, °C.
    #[must_use]
    pub fn from_members(start: Moment, half_hours: &[Vec<f32>]) -> Self {
        let spread = |members: &Vec<f32>| {
            Spread::from_sample(&members.iter().map(|t| f64::from(*t)).collect::<Vec<_>>())
        };
        Self { start, half_hours: half_hours.iter().map(spread).collect() }
    }

    /// The middle of half-hour `i`.
    #[must_use]
    pub fn middle(&self, i: usize) -> Moment {
        self.start.plus_seconds(1800 * i as i64 + 900)
    }
}

/// One bed tonight.
#[derive(Clone, Debug, PartialEq)]
pub struct BedReport {
    /// Bed's name.
    pub bed: String,
    /// The planting most at risk, as `crop, stage` words from the crop table; empty for a bare bed.
    pub planting: String,
    /// Tissue temperature at which a tenth of that planting is lost, °C; `None` for a bare bed.
    pub limit_c: Option<f64>,
    /// What lies on it now.
    pub lies: Vec<Lying>,
    /// Whether something against cold is still there when night begins and nobody lays anything.
    pub lies_at_night: bool,
    /// The bed left as it lies when night begins: open where nothing lies.
    pub open: Outcome,
    /// How far readings under what lies have moved its air, K.
    pub taught_k: f64,
    /// The worth of its plantings, money.
    pub worth: f64,
    /// Money lost already by the cold since sunset; 0 before it.
    pub lost_so_far: f64,
    /// What lies taken off; `None` where nothing lies then.
    pub bare: Option<Outcome>,
    /// Chosen cover: index into `options`; `None` = leave as it lies, or take off.
    pub chosen: Option<usize>,
    /// Whether what lies is to be taken off tonight, because it saves more elsewhere.
    pub takes_off: bool,
    /// Every change that can be made, with minutes as they are now.
    pub options: Vec<OptionReport>,
    /// Why this choice, as data.
    pub reason: Reason,
    /// What can be harmed, the bed left open.
    pub open_temperatures: TemperatureSeries,
    /// The same under the chosen cover; `None` when left open.
    pub covered_temperatures: Option<TemperatureSeries>,
    /// Whether that is the soil at 2 cm, and not the leaf, since all that can be harmed is still in the soil.
    pub in_soil: bool,
}

impl BedReport {
    /// Money expected to be lost when what lies is taken off.
    #[must_use]
    pub fn bare_loss(&self) -> f64 {
        self.bare.map_or(self.open.expected_loss, |b| b.expected_loss)
    }
}

/// What one way of spending the night does to a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Coldest half-hour of the most exposed tissue, °C.
    pub leaf_low_c: Spread,
    /// Coldest half-hour of the air among the plants, °C.
    pub air_low_c: Spread,
    /// Share of the possible nights in which a tenth or more is lost.
    pub chance_of_harm: f64,
    /// Expected money lost in the bed tonight, all plantings together.
    pub expected_loss: f64,
    /// Median moment the tissue first reaches the limit; `None` when it does not on the median night.
    pub reaches_limit_at: Option<Moment>,
}

/// One cover tried on one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct OptionReport {
    /// What is done to bring it about.
    pub action: Action,
    /// What it is and uses when done; its minutes are those of the change, by the light there is.
    pub cover: Cover,
    /// What it does.
    pub outcome: Outcome,
    /// How far readings under such covers have moved its air, K.
    pub taught_k: f64,
    /// Gain of the coldest tissue over the open bed, night by night, K.
    pub leaf_gain_k: Spread,
    /// Gain of the coldest air inside over the outside air, K.
    pub air_gain_k: Spread,
}

/// What is done to a bed in the evening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Lay a cover where none is.
    Lay,
    /// Lay one more layer.
    Double,
    /// Take off what lies and lay another.
    Swap,
    /// Shut what lies open.
    Shut,
    /// Take off what lies.
    TakeOff,
}

/// Something that helps a bed without cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handwork {
    /// Index into `beds`.
    pub bed: usize,
    /// What is done.
    pub measure: Measure,
    /// Person-minutes; 0 where they are not known.
    pub minutes: f64,
    /// Person-minutes of walking before it.
    pub walk_minutes: f64,
    /// Done by then.
    pub by: Moment,
    /// Which of the people does it, from 1.
    pub person: u32,
    /// Money saved, the plan followed.
    pub saves: f64,
}

/// What is done to a bed without cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// Water the dry soil.
    Water {
        /// Gain of the coldest tissue over the same night on dry soil, K.
        gain_k: Spread,
    },
    /// Pick what is of harvest size.
    Pick,
    /// Carry the pots in.
    CarryIn {
        /// How many.
        pots: u32,
    },
}

impl Measure {
    /// Whether pots are carried in.
    #[must_use]
    pub fn is_carrying(&self) -> bool {
        matches!(self, Self::CarryIn { .. })
    }
}

/// Why a bed is covered or left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// Nothing grows here that can be harmed.
    Bare,
    /// Open, the coldest tissue stays this far above the limit in nine nights of ten, K.
    SafeOpen {
        /// K above the limit at the 10 % edge; may be slightly negative when covering costs more than it saves.
        margin_k: f64,
    },
    /// Covering saves less than the work costs.
    NotWorthIt {
        /// Money saved by the best cover.
        saves: f64,
        /// Money its minutes cost.
        costs: f64,
    },
    /// Harm expected, but no cover in stock fits.
    NoCoverFits,
    /// Harm expected, but sheets, pins or minutes went to beds where they save more.
    StockUsedElsewhere {
        /// Loss left standing, money.
        loss: f64,
    },
    /// What lies already does: no change saves more than it costs.
    Lies,
    /// Its pots are carried in.
    CarriedIn,
    /// Covering pays.
    Cover {
        /// Money saved.
        saves: f64,
        /// What the wind and cloud of the night do to the gain.
        driver: Driver,
    },
}

/// What mostly sets tonight's gain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Driver {
    /// Clear and calm: the open leaf loses heat to the sky; cloth stops most of that.
    ClearCalm,
    /// Wind mixes warm air down and blows through cloth: open and covered are closer.
    Wind,
    /// Cloud holds the sky warm: little to gain.
    Cloud,
    /// Both.
    WindAndCloud,
    /// Neither stands out.
    Mixed,
}

/// One thing to do before dark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task {
    /// Index into `Report::beds`.
    pub bed: usize,
    /// Person-minutes of work.
    pub minutes: f64,
    /// Person-minutes of walking before it.
    pub walk_minutes: f64,
    /// What is done.
    pub action: Action,
    /// Film is not laid before the sun is off, where it is not yet.
    pub not_before: Option<Moment>,
    /// Be done by: the earlier of dark and half an hour before the tissue reaches its limit; never before it can be done.
    pub by: Moment,
    /// When it should have been done, where that has passed.
    pub late_since: Option<Moment>,
    /// Which of the people does it, from 1.
    pub person: u32,
    /// Money it still saves.
    pub saves: f64,
}

/// The best that can be done with less time.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortList {
    /// Person-minutes.
    pub minutes: f64,
    /// Indices into `Report::beds`, in order of work.
    pub beds: Vec<usize>,
    /// Option chosen for each of those beds.
    pub options: Vec<usize>,
    /// Loss still expected in the whole garden, money.
    pub expected_loss: f64,
}

/// One thing to do tomorrow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MorningTask {
    /// Index into `Report::beds`.
    pub bed: usize,
    /// What to do.
    pub action: MorningAction,
    /// Person-minutes of it.
    pub minutes: f64,
    /// Not before: the frost is over for the tissue (half of the nights), when known.
    pub from: Option<Moment>,
    /// Do it by.
    pub by: Moment,
    /// Why by then.
    pub why: MorningReason,
    /// Since when it is too late, where it is.
    pub late_since: Option<Moment>,
    /// Air under the cover now, °C, by day.
    pub inside_c: Option<f64>,
    /// What the day costs when it is left as it lies beyond what it costs as said: light, heat, closed flowers, money.
    pub left_costs: f64,
}

/// What to do with a cover in the morning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MorningAction {
    /// Take it off.
    TakeOff,
    /// Open the ends.
    OpenEnds,
    /// Pull it to one side, where it waits for the evening.
    HalfOff,
    /// Leave it on.
    LeaveOn,
}

/// Why by then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MorningReason {
    /// The air inside would pass the crop's heat limit, °C, reached then.
    Heat {
        /// °C.
        limit_c: f64,
    },
    /// The sun will be on film, which cooks what is under it whatever the air outside.
    SunOnFilm,
    /// Flowers need bees, which fly from about 10 °C.
    Bees,
    /// Light is lost under the cloth.
    Light,
    /// The day stays cold, or as much is won by warmth as is lost by shade: little is gained by opening.
    ColdDay,
    /// What the day takes under it is less than the work of opening it.
    Work,
}

/// A warning with the thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// What threatens.
    pub kind: WarningKind,
    /// Names of the beds.
    pub beds: Vec<String>,
    /// When.
    pub at: Option<Moment>,
}

/// What threatens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WarningKind {
    /// Cloth lifts: more pins and clips, or do not rely on it.
    WindLiftsCloth {
        /// Gust, m/s.
        gust_m_s: f64,
        /// Gust from which pins may let go, m/s.
        from_m_s: f64,
        /// Gust at which they let go as calculated, m/s.
        likely_m_s: f64,
        /// Pins that would hold it.
        pins_needed: u32,
    },
    /// Hoops are pushed flat: take the cover down.
    WindFlattensHoops {
        /// Gust, m/s.
        gust_m_s: f64,
        /// Gust from which they may give way, m/s.
        from_m_s: f64,
        /// Gust at which they give way as calculated, m/s.
        likely_m_s: f64,
    },
    /// Snow loads the hoops: brush off before this depth.
    SnowLoad {
        /// Snow expected, as deep as it falls, m.
        snow_m: f64,
        /// Depth of fresh snow from which the hoops may give way, m.
        from_m: f64,
        /// Depth of wet snow at which they give way as calculated, m.
        wet_m: f64,
    },
}

/// Evidence that the plan is the best one and the physics closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// Expected loss plus labour of the plan, money.
    pub plan_cost: f64,
    /// The same, doing nothing.
    pub do_nothing_cost: f64,
    /// The same, for the greedy plan.
    pub greedy_cost: f64,
    /// How much dearer than the best the plan can be at most, as a share of its cost: 0 when proven best; `None` when nothing is proven.
    pub gap: Option<f64>,
    /// Greatest energy-budget residual of any step of any night, W/m².
    pub worst_residual_w_m2: f64,
    /// Bed-hours computed.
    pub bed_hours: f64,
}
