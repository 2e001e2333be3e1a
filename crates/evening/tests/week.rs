//! Several nights as one plan on the demonstration garden: what stays on, what opens, what is short; limits kept.

use evening::horizon::repair::decide;
use evening::horizon::{Part, Problem, plan as abstract_plan};
use evening::plan::{Choice, best, stock};
use evening::week::courses::{self, NightError};
use evening::week::days::{DayUnder, bees, heat, light};
use evening::week::lies::{Lies, Lying, Way, as_in_the_garden_file, minutes, states};
use evening::week::report::{BedWeek, WeekReport};
use evening::week::{Reckoned, Settings, plan, problem, reckon};
use garden::fit::{Item, covers};
use garden::{Garden, file};
use milp::Microlp;
use quantities::Moment;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::Forecast;

/// 14 May 2027, 16:00 in Chicago.
const ASKED: Moment = Moment(1_810_328_400);

fn garden() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn past() -> Forecast {
    weather::read(include_bytes!("../../../demo/wisconsin/past.csv")).expect("reads")
}

/// Clear calm nights with these lows at five in the morning and these highs at three, from noon of the day of asking, °C.
fn forecast(lows: &[f64], highs: &[f64]) -> Forecast {
    let mut csv = String::from(
        "# zone = America/Chicago\ntime,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n",
    );
    for hour in 0..24 * lows.len() + 1 {
        let (day, of_day) = ((12 + hour) / 24, (12 + hour) % 24);
        let (day, of_day) = (day as i32, of_day as f64);
        let high = |d: i32| highs[d.clamp(0, highs.len() as i32 - 1) as usize];
        let low = |d: i32| lows[(d - 1).clamp(0, lows.len() as i32 - 1) as usize];
        // From each low a rise to the high of its day, and a fall to the next low.
        let (from, to, share) = if of_day < 5.0 {
            (high(day - 1), low(day), (of_day + 9.0) / 14.0)
        } else if of_day < 15.0 {
            (low(day), high(day), (of_day - 5.0) / 10.0)
        } else {
            (high(day), low(day + 1), (of_day - 15.0) / 14.0)
        };
        let wave = 0.5 - 0.5 * (std::f64::consts::PI * share).cos();
        let air = from + (to - from) * wave;
        let date = 14 + day;
        csv += &format!(
            "2027-05-{date:02}T{of_day:02.0}:00,{air:.1},{:.1},1.0,5\n",
            low(day.max(1)) - 1.0
        );
    }
    weather::read(csv.as_bytes()).expect("reads")
}

fn cold_then_mild() -> Forecast {
    forecast(&[-2.0, -4.5, -2.5, 6.0, 8.0], &[12.0, 9.0, 10.0, 16.0, 19.0, 20.0])
}

fn week(garden: &Garden, forecast: &Forecast) -> WeekReport {
    let lying = as_in_the_garden_file(garden);
    plan(garden, &lying, forecast, Some(&past()), ASKED, Settings::default()).expect("a plan")
}

fn bed<'a>(r: &'a WeekReport, name: &str) -> &'a BedWeek {
    r.beds.iter().find(|b| b.bed == name).expect("the bed")
}

#[test]
fn look() {
    let t = std::time::Instant::now();
    let r = week(&garden(), &cold_then_mild());
    println!("{:?}", t.elapsed());
    for n in &r.nights {
        println!("{:?}", n);
    }
    for b in &r.beds {
        println!(
            "{} {:?}",
            b.bed,
            b.options.iter().map(|o| (o.layers, o.uses[0], o.lie)).collect::<Vec<_>>()
        );
        for n in &b.nights {
            println!(
                "   {:?} {:?} eve {:.0} morn {:.0} p {:.2}/{:.2} loss {:.0}/{:.0}",
                n.night,
                n.day,
                n.evening_minutes,
                n.morning_minutes,
                n.chance,
                n.chance_open,
                n.loss,
                n.loss_open
            );
        }
    }
    println!("{:?} {:?}", r.proof, r.short);
}
