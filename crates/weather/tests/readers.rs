//! Every recorded file reads; what it means is what its service says.

use quantities::{Meaning, Origin};
use weather::timeline::{ALL, Quantity};
use weather::{Forecast, read, to_csv};

fn file(name: &str) -> Option<Forecast> {
    let bytes = measured_data::file(&format!("forecasts/{name}"))?;
    Some(read(&bytes).unwrap_or_else(|e| panic!("{name}: {e}")))
}

#[test]
fn every_recorded_forecast_reads() {
    let Some(folder) = measured_data::folder("forecasts") else { return };
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder lists") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        let bytes = std::fs::read(&path).expect("the file is there");
        if name.starts_with("points_") {
            let message = read(&bytes).expect_err("not a forecast").to_string();
            assert!(message.contains("forecastGridData"), "{message}");
            continue;
        }
        let forecast = read(&bytes).unwrap_or_else(|e| panic!("{name}: {e}"));
        for pair in forecast.hours.windows(2) {
            assert_eq!(pair[0].interval.end, pair[1].interval.start, "{name}");
        }
        for hour in &forecast.hours {
            for q in ALL {
                assert!(q.reading(hour).is_none_or(|r| q.bounds().holds(r.value)), "{name} {q:?}");
            }
        }
        // A layer that is missing altogether is a notice and never a number.
        for q in ALL {
            let absent = forecast.hours.iter().all(|h| q.reading(h).is_none());
            let told = forecast.notices.iter().any(|n| {
                let name = q.bounds().quantity;
                n.0 == format!("The forecast says nothing about {name}.")
                    || n.0.starts_with(&format!("{name}: the forecast has `"))
            });
            assert_eq!(absent, told, "{name} {q:?}");
        }
        count += 1;
    }
    assert!(count >= 10, "only {count} files");
}

/// Values read by eye from the recorded file.
#[test]
fn a_gridpoint_layer_holds_over_its_whole_interval() {
    let Some(f) = file("gridpoint_MPX_spring_ANCHORED_2026-03-05.json") else { return };
    let t = |i: usize| f.hours[i].air_temperature_c.expect("given");
    assert!((t(0).value - 2.222).abs() < 1e-3 && (t(1).value - 2.222).abs() < 1e-3);
    assert!((t(2).value - 3.333).abs() < 1e-3);
    assert_eq!((t(0).origin, t(2).origin), (Origin::Interpolated, Origin::Given));
    // 3.704 km/h is 1.029 m/s, which is 2 knots.
    assert!((f.hours[0].wind_speed_m_s.expect("given").value - 1.0289).abs() < 1e-3);
    assert!((f.hours[0].cloud_fraction.expect("given").value - 0.64).abs() < 1e-9);
    let place = f.place.expect("an outline");
    assert!((place.latitude_deg - 44.99).abs() < 0.02 && (place.elevation_m - 289.86).abs() < 0.01);
}

#[test]
fn hourly_words_of_wind_and_fahrenheit_are_understood() {
    let Some(f) = file("hourly_MPX_spring_ANCHORED_2026-03-05.json") else { return };
    assert!((f.hours[0].air_temperature_c.expect("given").value - 4.444).abs() < 1e-3);
    assert!((f.hours[0].wind_speed_m_s.expect("given").value - 2.2352).abs() < 1e-4);
    assert!(f.hours.iter().all(|h| h.cloud_fraction.is_none()), "no cloud in this service");
}

#[test]
fn six_hour_steps_are_joined_by_straight_lines() {
    let Some(f) = file("metno_compact_40.7_-74.0.json") else { return };
    assert!(f.hours.iter().all(|h| h.air_temperature_c.is_some()));
    assert!(
        f.hours
            .iter()
            .any(|h| h.air_temperature_c.is_some_and(|r| r.origin == Origin::Interpolated))
    );
    assert_eq!(f.hours[0].air_temperature_c.map(|r| r.meaning), Some(Meaning::AtStart));
    assert!((f.hours[0].air_temperature_c.expect("given").value - 26.5).abs() < 1e-9);
}

#[test]
fn cloud_from_a_weather_code_is_flagged() {
    let Some(f) = file("openmeteo_gyor_2026-05-07_48h.json") else { return };
    let cloud = f.hours[0].cloud_fraction.expect("from the code");
    assert_eq!((cloud.value, cloud.origin), (1.0, Origin::Derived));
    assert!((f.hours[0].wind_speed_m_s.expect("given").value - 18.8 / 3.6).abs() < 1e-9);
}

#[test]
fn local_times_are_brought_to_utc() {
    let Some(f) = file("openmeteo_enschede_2026-10-03_subset3h.json") else { return };
    // 2026-10-03T00:00 at +2 h is 2026-10-02T22:00Z.
    assert_eq!(f.hours[0].interval.start.0, 1_790_978_400);
}

/// FAO-56 eq. 11 inverted: 0 °C at 40 % has its dew point at −11.96 °C; 20 °C at 50 % at 9.27 °C.
#[test]
fn humidity_is_derived_as_the_handbook_does() {
    let csv = b"time,air_temperature_c,relative_humidity_pct\n2027-05-14T20:00Z,0,40\n2027-05-14T21:00Z,20,50\n";
    let f = read(csv).expect("reads");
    let dew = |i: usize| f.hours[i].dew_point_c.expect("derived");
    assert!((dew(0).value + 11.96).abs() < 0.01 && (dew(1).value - 9.27).abs() < 0.01);
    assert_eq!(dew(0).origin, Origin::Derived);
}

/// Europe/Paris 2027: clocks go forward on 28 March at 02:00 and back on 31 October at 03:00.
#[test]
fn the_repeated_and_the_skipped_hour_are_right() {
    let autumn = b"# zone = Europe/Paris\ntime,air_temperature_c\n2027-10-31T01:00,5\n2027-10-31T02:00,4\n2027-10-31T02:00,3\n2027-10-31T03:00,2\n";
    let f = read(autumn).expect("reads");
    assert_eq!(f.hours.len(), 4);
    assert!(f.hours.iter().all(|h| h.air_temperature_c.is_some()));
    let spring =
        b"# zone = Europe/Paris\ntime,air_temperature_c\n2027-03-28T01:00,5\n2027-03-28T03:00,4\n";
    assert_eq!(read(spring).expect("reads").hours.len(), 2);
}

#[test]
fn our_csv_reads_back_as_it_was_written() {
    let Some(f) = file("gridpoint_MPX_spring_ANCHORED_2026-03-05.json") else { return };
    let again = read(to_csv(&f).as_bytes()).expect("reads back");
    assert_eq!(f.hours.len(), again.hours.len());
    for (a, b) in f.hours.iter().zip(&again.hours) {
        for q in
            [Quantity::AirTemperature, Quantity::WindSpeed, Quantity::Cloud, Quantity::Snowfall]
        {
            match (q.reading(a), q.reading(b)) {
                // Four decimals are written.
                (Some(x), Some(y)) => assert!((x.value - y.value).abs() < 1e-4, "{q:?}"),
                (x, y) => assert_eq!(x.is_none(), y.is_none(), "{q:?}"),
            }
        }
    }
}

#[test]
fn the_documented_example_reads() {
    let doc = include_str!("../../../docs/formats.md");
    let example =
        doc.split("```csv\n").nth(1).and_then(|s| s.split("```").next()).expect("an example");
    let f = read(example.as_bytes()).expect("reads");
    assert!(f.hours.len() >= 3);
    for (name, ..) in weather::formats::csv::COLUMNS {
        assert!(doc.contains(&format!("`{name}`")), "{name} is not documented");
    }
}
