//! Station records: the real files read whole, odd files are refused or doubted, no bytes make a reader panic.

use jiff::civil::{Date, date};
use proptest::prelude::*;
use quantities::Place;
use weather::station::{self, Unit, calendar, homogeneity, list};
use weather::{ReadError, StationRecord};

fn recorded_station(name: &str) -> Option<StationRecord> {
    let bytes = measured_data::file(name)?;
    Some(station::read(&bytes).unwrap_or_else(|e| panic!("{name}: {e}")))
}

/// File, unit, first and last day, days of the record, days without a minimum (counted by other programs from the files).
#[test]
fn every_station_file_reads_whole() {
    let cases = [
        (
            "stations/GHCN_USW00014839_Milwaukee_1938-2026.csv",
            Unit::Fahrenheit,
            date(1938, 4, 1),
            date(2026, 8, 19),
        ),
        (
            "stations/USC00317202_Reidsville_NC_daily.csv",
            Unit::Celsius,
            date(1965, 1, 1),
            date(2016, 1, 1),
        ),
        (
            "stations/USC00323621_GrandForks_ND_daily.csv",
            Unit::Celsius,
            date(1986, 1, 1),
            date(2016, 12, 10),
        ),
        (
            "stations/FortCollins_1900-1999.csv",
            Unit::Fahrenheit,
            date(1900, 1, 1),
            date(1999, 12, 31),
        ),
    ];
    for (name, unit, first, last) in cases {
        let Some(record) = recorded_station(name) else { return };
        assert_eq!((record.unit, record.first(), record.last()), (unit, first, last), "{name}");
        assert!(
            record
                .days()
                .zip(record.days().skip(1))
                .all(|(a, b)| a.date.tomorrow().is_ok_and(|t| t == b.date))
        );
        println!("{name}: {:?}", record.tally);
        for notice in &record.notices {
            println!("    {notice}");
        }
    }
    let fort_collins = recorded_station("stations/FortCollins_1900-1999.csv").expect("read before");
    // Coldest and hottest day by the file itself: no minimum is missing.
    assert_eq!(fort_collins.tally.without_min, 0);
    let day = fort_collins.day(date(1900, 1, 1)).expect("inside");
    assert_eq!((day.tmin_c, day.tmax_c), (Some(-12.2), Some(3.9)));
    let reidsville =
        recorded_station("stations/USC00317202_Reidsville_NC_daily.csv").expect("there");
    assert_eq!(reidsville.station.id.as_deref(), Some("USC00317202"));
    assert_eq!(reidsville.station.name.as_deref(), Some("REIDSVILLE 2 NW NC US"));
}

/// Six real lines: December 2019 whole, January 2020 three days; other elements are passed over.
#[test]
fn the_fixed_width_sample_reads() {
    let Some(record) = recorded_station("stations/USW00094728_sample.dly") else { return };
    assert_eq!((record.first(), record.last()), (date(2019, 12, 1), date(2020, 1, 31)));
    let on = |y, m, d| record.day(date(y, m, d)).map(|x| (x.tmin_c, x.tmax_c));
    assert_eq!(on(2019, 12, 1), Some((Some(-1.0), Some(3.9))));
    assert_eq!(on(2019, 12, 19), Some((Some(-8.9), Some(-3.9))));
    assert_eq!(on(2020, 1, 3), Some((Some(6.7), Some(9.4))));
    assert_eq!(on(2020, 1, 4), Some((None, None)));
    assert_eq!(on(2020, 2, 1), None);
}

/// Daily extremes of the hourly file equal those found by scanning its rows; the place is read from the rows.
#[test]
fn hours_of_the_reference_network_become_days() {
    let Some(record) = recorded_station("hourly/CRNH0203-2018-CO_Dinosaur_2_E.txt") else { return };
    assert_eq!(
        (record.station.latitude_deg, record.station.longitude_deg),
        (Some(40.24), Some(-108.97))
    );
    assert_eq!((record.first(), record.last()), (date(2017, 12, 31), date(2018, 12, 31)));
    let text = String::from_utf8(
        measured_data::file("hourly/CRNH0203-2018-CO_Dinosaur_2_E.txt").expect("there"),
    );
    let text = text.expect("text");
    let (mut low, mut high, mut hours) = (99.0_f64, -99.0_f64, 0);
    for row in text.lines() {
        let c: Vec<&str> = row.split_whitespace().collect();
        // 10 February 2018, local: hours ending 0100 to 2300 and 0000 of the 11th.
        if (c[3] == "20180210" && c[4] != "0000") || (c[3] == "20180211" && c[4] == "0000") {
            low = low.min(c[11].parse().expect("a number"));
            high = high.max(c[10].parse().expect("a number"));
            hours += 1;
        }
    }
    let day = record.day(date(2018, 2, 10)).expect("inside");
    assert_eq!((hours, day.tmin_c, day.tmax_c), (24, Some(low), Some(high)));
    // The six hours of 31 December 2017 make no day.
    assert_eq!(record.day(date(2017, 12, 31)).expect("inside").tmin_c, None);
}

const CRN_DAY: &str = "94082 20180101  2.422 -108.97   40.24     7.4    -9.1    -0.9    -2.3     0.0    10.46 C     9.8   -15.9    -4.4    65.4    23.3    39.4 -99.000 -99.000   0.143   0.181   0.221 -9999.0 -9999.0     1.3     1.9     4.0\n";

#[test]
fn days_of_the_reference_network_read() {
    let record = station::read(CRN_DAY.as_bytes()).expect("reads");
    let day = record.day(date(2018, 1, 1)).expect("inside");
    assert_eq!((day.tmin_c, day.tmax_c), (Some(-9.1), Some(7.4)));
}

#[test]
fn rows_with_flags_holes_and_hours_read() {
    let rows =
        b"USC00053005,19900501,TMAX,  156,,,0,0700\nUSC00053005,19900501,TMIN,-22,,,0,0700\n\
        USC00053005,19900502,TMIN,-200,,I,0,0700\nUSC00053005,19900502,PRCP,0,T,,0,0700\n\
        USC00053005,19900504,TMIN,-9999,,,0,\nUSC00053005,19900504,TMAX,100,,,0,\n";
    let record = station::read(rows).expect("reads");
    let day = |d| record.day(date(1990, 5, d)).map(|x| (x.tmin_c, x.tmax_c));
    assert_eq!(day(1), Some((Some(-2.2), Some(15.6))));
    assert_eq!((day(2), day(3)), (Some((None, None)), Some((None, None))));
    assert_eq!(day(4), Some((None, Some(10.0))));
    assert_eq!((record.tally.flagged, record.tally.observed.morning), (1, 1));
    assert!(record.notices.iter().any(|n| n.0.contains("quality check")), "{:?}", record.notices);
}

#[test]
fn the_access_file_reads_with_its_attributes() {
    let csv = b"\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\
        \"USC00053005\",\"1990-05-01\",\"40.6147\",\"-105.1314\",\"1525.2\",\"FT COLLINS, CO US\",\"  156\",\",,0,0700\",\"  -22\",\",,0,0700\"\n\
        \"USC00053005\",\"1990-05-02\",\"40.6147\",\"-105.1314\",\"1525.2\",\"FT COLLINS, CO US\",\"  200\",\",,0,0700\",\"   50\",\",D,0,0700\"\n";
    let record = station::read(csv).expect("reads");
    assert_eq!((record.unit, record.tally.flagged), (Unit::TenthsCelsius, 1));
    assert_eq!(record.station.name.as_deref(), Some("FT COLLINS, CO US"));
    assert_eq!(record.station.place().map(|p| p.elevation_m), Some(1525.2));
    assert_eq!(record.day(date(1990, 5, 1)).and_then(|d| d.tmin_c), Some(-2.2));
    assert_eq!(record.day(date(1990, 5, 2)).and_then(|d| d.tmin_c), None);
}

#[test]
fn what_contradicts_is_not_believed() {
    let csv =
        b"date,tmin_c,tmax_c\n1990-05-01,1,9\n1990-05-01,1,9\n1990-05-02,1,9\n1990-05-02,2,9\n\
        1990-05-03,9,1\n1990-05-04,-95,61\n1990-05-05,26.060000000000002,30\n1990-05-06,NA,\n";
    let record = station::read(csv).expect("reads");
    let t = record.tally;
    assert_eq!((t.repeated, t.contradicting, t.crossed, t.implausible, t.noisy), (3, 1, 1, 2, 1));
    assert_eq!((t.without_min, t.without_max, t.longest_gap), (4, 3, 3));
    let min = |d| record.day(date(1990, 5, d)).and_then(|x| x.tmin_c);
    assert_eq!((min(1), min(2), min(3), min(4), min(5)), (Some(1.0), None, None, None, Some(26.1)));
}

#[test]
fn units_are_told_apart_or_asked_for() {
    let file = |values: &[(&str, &str)], days: usize| {
        let mut csv = String::from("date,tmin,tmax\n");
        let mut day = date(2001, 1, 1);
        for (min, max) in values.iter().cycle().take(days) {
            csv.push_str(&format!("{day},{min},{max}\n"));
            day = day.tomorrow().expect("a day");
        }
        station::read(csv.as_bytes()).map(|r| r.unit)
    };
    assert_eq!(file(&[("20", "35"), ("60", "95")], 365), Ok(Unit::Fahrenheit));
    assert_eq!(file(&[("-5", "2"), ("18", "35")], 365), Ok(Unit::Celsius));
    assert_eq!(file(&[("-50", "20"), ("180", "350")], 365), Ok(Unit::TenthsCelsius));
    // A few days can be two things, and are asked about.
    for short in [[("10", "30")], [("40", "90")], [("1.5", "9.5")]] {
        assert!(matches!(file(&short, 5), Err(ReadError::UnitUnknown { .. })), "{short:?}");
    }
    assert_eq!(file(&[("40.1", "90.0")], 5), Ok(Unit::Fahrenheit), "tenths have no fractions");
    let csv = b"date,tmin,tmax\n2001-01-01,10,30\n";
    let told = station::read_as(csv, Some(Unit::Fahrenheit)).expect("told");
    assert_eq!(told.day(date(2001, 1, 1)).and_then(|d| d.tmin_c), Some(-12.2));
}

#[test]
fn whole_degrees_come_through_without_loss() {
    let mut seen = std::collections::BTreeSet::new();
    for f in -120..=140 {
        let tenths = Unit::Fahrenheit.tenths_c(f * 100);
        assert!(seen.insert(tenths), "{f} °F is not alone");
        assert_eq!((f64::from(tenths) / 10.0 * 1.8 + 32.0).round() as i32, f);
    }
    assert!((-900..=600).all(|t| Unit::TenthsCelsius.tenths_c(t * 100) == t));
    assert!((-900..=600).all(|t| Unit::Celsius.tenths_c(t * 10) == t));
    // The network's own °F to tenths and back: 30.02 °F was −1.1 °C.
    assert_eq!(Unit::Fahrenheit.tenths_c(3002), -11);
}

/// Content and a fragment of its one message.
const BAD: [(&str, &str); 18] = [
    ("", "the station record is empty"),
    ("\n \n", "the station record is empty"),
    ("{\"a\":1}", "this is JSON or a web page"),
    ("<html>", "this is JSON or a web page"),
    ("hello", "begins with `hello`"),
    ("date,rain\n1990-01-01,2\n", "names a date"),
    ("date,tmin_c,tmin_f\n", "line 1, column `tmin_f`: found the same quantity twice"),
    ("date,tmin_c,tmax_f\n", "line 1, column `tmax_f`: found two units"),
    ("date,tmin_c,tmax_c\n", "there is no minimum and no maximum"),
    ("date,tmin_c,tmax_c\n1990-01-01,NA,NA\n", "there is no minimum and no maximum"),
    (
        "date,tmin_c,tmax_c\n1990-02-30,1,2\n",
        "line 2, column date: found `1990-02-30`, expected a day that exists",
    ),
    (
        "date,tmin_c,tmax_c\n1990-01-01,warm,2\n",
        "line 2, column tmin_c: found `warm`, expected a number",
    ),
    ("date,tmin_c,tmax_c\n1990-01-01,1\n", "line 2, column all: found 2 cells, expected 3 cells"),
    (
        "id,date,tmin_c,tmax_c\nA,1990-01-01,1,2\nB,1990-01-02,1,2\n",
        "line 3, column id: found `B`, expected one station",
    ),
    ("year,month,day,tmin_c,tmax_c\n1990,13,1,1,2\n", "line 2, column day"),
    ("USC00053005,19900501,TMIN,abc,,,0,\n", "line 1, column value: found `abc`"),
    ("USC00053005,19901301,TMIN,1,,,0,\n", "line 1, column date: found `19901301`"),
    (
        "USW00094728201913TMIN  -10  W   -5  W\n",
        "line 1, column 12-17 (year and month): found `201913`",
    ),
];

#[test]
fn every_bad_record_gives_its_one_message() {
    for (content, fragment) in BAD {
        let message = match station::read(content.as_bytes()) {
            Ok(_) => panic!("{content:?} was read"),
            Err(e) => e.to_string(),
        };
        assert!(message.contains(fragment), "{content:?}: {message}");
        assert_eq!(message.lines().count(), 1, "{message}");
    }
    let Some(problems) = measured_data::file("hourly/CRN_with_problems.txt") else { return };
    let message = station::read(&problems).expect_err("five-minute rows").to_string();
    assert!(message.contains("hourly02 (38 columns)"), "{message}");
}

#[test]
fn days_count_as_jiff_does() {
    let mut day = date(1699, 12, 25);
    let mut number = calendar::day_number(day);
    assert_eq!(calendar::day_number(date(1970, 1, 1)), 0);
    while day < date(2201, 1, 5) {
        assert_eq!((calendar::day_number(day), calendar::date_of(number)), (number, day));
        day = day.tomorrow().expect("a day");
        number += 1;
    }
    assert_eq!(calendar::date_of(i32::MAX), Date::MAX);
    assert_eq!(calendar::date_of(i32::MIN), Date::MIN);
}

/// Pettitt's K by its definition; a step is told, a slope and noise are not.
#[test]
fn a_step_is_found_and_a_slope_is_not_one() {
    let noise = |i: usize| ((i * 7919 + 13) % 101) as f64 / 101.0 - 0.5;
    let step: Vec<f64> = (0..60).map(|i| noise(i) + if i < 25 { 0.0 } else { 1.5 }).collect();
    let found = homogeneity::pettitt(&step).expect("sixty");
    assert_eq!(found.after, 25);
    assert!(found.p_value < 0.001 && (found.height - 1.5).abs() < 0.2 && found.against_line < 1.0);
    let k = (1..60)
        .map(|t| {
            let pairs = step[..t].iter().flat_map(|a| step[t..].iter().map(move |b| (a, b)));
            pairs.map(|(a, b)| if a > b { 1 } else { -i32::from(a < b) }).sum::<i32>().abs()
        })
        .max();
    assert_eq!(Some(found.k as i32), k);
    let slope: Vec<f64> = (0..60).map(|i| noise(i) + i as f64 * 0.05).collect();
    assert!(homogeneity::pettitt(&slope).expect("sixty").against_line > 1.0);
    let flat: Vec<f64> = (0..60).map(noise).collect();
    assert!(homogeneity::pettitt(&flat).expect("sixty").p_value > 0.05);
    assert_eq!(homogeneity::pettitt(&flat[..9]), None);
}

const GOOD: [&str; 4] = [
    "date,tmin_c,tmax_c\n1990-05-01,1,9\n1990-05-02,1.5,9e0\n",
    "USC00053005,19900501,TMAX,  156,,,0,0700\nUSC00053005,19900501,TMIN,-22,,,0,0700\n",
    "USW00094728201912TMIN  -10  W   -5  W  -10  W    0  W   22  W\nUSW00094728201912TMAX   39  W   28  W\n",
    CRN_DAY,
];

proptest! {
    #[test]
    fn no_bytes_make_a_station_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let _ = station::read(&bytes);
        let _ = list::read(&bytes);
        let _ = list::add_years(&mut [], &bytes);
    }

    #[test]
    fn no_damage_to_a_good_record_makes_it_panic(
        which in 0..4_usize, cut in 0..200_usize, at in 0..300_usize, byte in any::<u8>(), year in 1600..2300_i32,
    ) {
        let mut bytes = GOOD[which].as_bytes().to_vec();
        bytes.extend(GOOD[which].replace("1990", &year.to_string()).replace("2019", "1870").bytes());
        let n = bytes.len();
        bytes[at % n] = byte;
        bytes.truncate(n - cut % n);
        if let Ok(record) = station::read(&bytes) {
            let dates = weather::frost::FrostDates::from_record(&record, 0.0, 45.0);
            let _ = dates.last_spring.trend();
            let place = Place { latitude_deg: 68.0, longitude_deg: 179.9, elevation_m: 0.0 };
            let last = record.last();
            prop_assert!(weather::hours::hours_of(&record, &place, last, last).count() == 24);
        }
    }
}

/// Depth of snow in the unit that the file says, or the network's millimetres (its own description, from memory); a depth
/// in no unit, a flagged one and one that cannot be stay absent.
#[test]
fn snow_depth_is_read_in_its_unit() {
    let snow = |text: &str| -> Vec<Option<f64>> {
        let record = station::read(text.as_bytes()).expect("reads");
        record.days().map(|d| d.snow_m).collect()
    };
    let named = |unit: &str| {
        format!("date,tmin_c,tmax_c,snow_depth_{unit}\n2001-01-01,-5,0,10\n2001-01-02,-5,0,\n")
    };
    for (unit, depth) in [("mm", 0.01), ("cm", 0.1), ("in", 0.254)] {
        assert_eq!(snow(&named(unit)), [Some(depth), None], "{unit}");
    }
    assert_eq!(snow("date,tmin_c,tmax_c,snwd\n2001-01-01,-5,0,10\n"), [None], "no unit");
    let access = "STATION,DATE,SNWD,SNWD_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES\n\
                  X,2001-01-01,250,\",,W\",-11,\",,W\",-150,\",,W\"\nX,2001-01-02,990,\",I,W\",-11,\",,W\",-160,\",,W\"\n\
                  X,2001-07-01,0,\",,W\",311,\",,W\",150,\",,W\"\n";
    let read = snow(access);
    assert_eq!([read[0], read[1], read[181]], [Some(0.25), None, Some(0.0)]);
    let rows = "USW00014839,20010101,TMIN,-150,,,W,2400\nUSW00014839,20010101,TMAX,-11,,,W,2400\n\
                USW00014839,20010101,SNWD,250,,,W,\nUSW00014839,20010102,SNWD,-9999,,,W,\nUSW00014839,20010103,SNWD,20000,,,W,\n";
    assert_eq!(snow(rows)[0], Some(0.25));
    assert!(snow(rows)[1..].iter().all(Option::is_none));
    let none =
        station::read(named("ells").replace("snow_depth_ells", "rain").as_bytes()).expect("reads");
    assert!(!none.has_snow());
}

/// January is the coldest month of the north and the warmest of the south: a fact of the seasons.
#[test]
fn seasons_turned_against_the_latitude_are_seen() {
    let year = |january: f64, july: f64| {
        let row = |(m, low): (i32, f64)| format!("2001-{m:02}-15,{low},{}\n", low + 8.0);
        let rows: String = [(1, january), (7, july)].into_iter().map(row).collect();
        station::read(format!("date,tmin_c,tmax_c\n{rows}").as_bytes()).expect("reads")
    };
    let north = year(-8.0, 14.0);
    assert_eq!(north.turned_against(43.6), None);
    assert_eq!(north.turned_against(-43.6), Some(22.0));
    assert_eq!(north.turned_against(-10.0), None, "the tropics tell nothing");
    assert_eq!(year(14.0, 2.0).turned_against(-37.0), None);
    assert_eq!(year(14.0, 2.0).turned_against(37.0), Some(-12.0));
    assert_eq!(year(10.0, 12.0).turned_against(-30.0), None, "two kelvin tell nothing");
}

/// One slip in a record whose unit is not named is a notice, not a refusal.
#[test]
fn one_wild_value_is_told_and_not_used() {
    let mut csv = String::from("date,tmin,tmax\n");
    let mut day = jiff::civil::date(1966, 1, 1);
    for n in 0..9168 {
        let low = 4.3 - 14.0 * (f64::from(n - 20) / 365.25 * std::f64::consts::TAU).cos();
        // 18,336 values and this one.
        let high = if n == 4000 { 276.7 } else { low + 11.2 };
        csv += &format!("{day},{low:.1},{high:.1}\n");
        day = day.tomorrow().expect("a day");
    }
    let record = station::read(csv.as_bytes()).expect("it reads");
    assert_eq!(record.unit, Unit::Celsius);
    assert_eq!(record.tally.implausible, 1);
    assert!(record.notices.iter().any(|n| n.0.contains("outside −90 to 60 °C")));
    let wild = record.day(jiff::civil::date(1976, 12, 14)).expect("inside");
    assert!(wild.tmax_c.is_none() && wild.tmin_c.is_some());
}
