//! What no weather can be, older names, a service's own errors, keys given twice.

use weather::read;

/// An hourly forecast of a service, with these layers changed.
fn hourly(layers: &[(&str, &str, String)]) -> String {
    let times: Vec<String> = (0..24).map(|h| format!("\"2027-05-14T{h:02}:00\"")).collect();
    let units: Vec<String> = layers.iter().map(|l| format!("\"{}\":\"{}\"", l.0, l.1)).collect();
    let lists: Vec<String> = layers.iter().map(|l| format!("\"{}\":[{}]", l.0, l.2)).collect();
    format!(
        "{{\"latitude\":46.7,\"longitude\":5.9,\"elevation\":500,\"utc_offset_seconds\":7200,\
         \"hourly_units\":{{\"time\":\"iso8601\",{}}},\"hourly\":{{\"time\":[{}],{}}}}}",
        units.join(","),
        times.join(","),
        lists.join(",")
    )
}

/// The same value in every hour but some.
fn but(value: f64, others: &[(usize, f64)]) -> String {
    let at = |h: usize| others.iter().find(|o| o.0 == h).map_or(value, |o| o.1);
    (0..24).map(|h| at(h).to_string()).collect::<Vec<_>>().join(",")
}

#[test]
fn older_names_are_read_as_today_s() {
    let layers = |old: bool| {
        let name = |new: &'static str, before: &'static str| if old { before } else { new };
        hourly(&[
            ("temperature_2m", "°C", but(10.0, &[])),
            (name("dew_point_2m", "dewpoint_2m"), "°C", but(5.0, &[])),
            (name("relative_humidity_2m", "relativehumidity_2m"), "%", but(71.0, &[])),
            (name("wind_speed_10m", "windspeed_10m"), "km/h", but(7.2, &[])),
            (name("wind_gusts_10m", "windgusts_10m"), "km/h", but(18.0, &[])),
            (name("cloud_cover", "cloudcover"), "%", but(25.0, &[])),
        ])
    };
    let (new, old) = (read(layers(false).as_bytes()), read(layers(true).as_bytes()));
    let (new, old) = (new.expect("it reads"), old.expect("it reads"));
    assert_eq!(new, old);
    let hour = old.hours[5];
    assert!((hour.wind_speed_m_s.expect("wind").value - 2.0).abs() < 1e-9, "7.2 km/h is 2 m/s");
    assert!((hour.cloud_fraction.expect("cloud").value - 0.25).abs() < 1e-9);
}

#[test]
fn seconds_since_1970_are_read() {
    let text = hourly(&[("temperature_2m", "°C", but(10.0, &[]))]);
    let with = read(text.as_bytes()).expect("it reads");
    // 2027-05-13T22:00:00Z, which is midnight two hours east of Greenwich: `date -u -d 2027-05-13T22:00:00Z +%s`.
    let first = 1_810_245_600_i64;
    let seconds: Vec<String> = (0..24).map(|h| (first + 3600 * h).to_string()).collect();
    let start = text.find("\"time\":[").expect("times") + 8;
    let end = start + text[start..].find(']').expect("their end");
    let unix = format!("{}{}{}", &text[..start], seconds.join(","), &text[end..]);
    let unix = read(unix.replace("iso8601", "unixtime").as_bytes()).expect("it reads");
    assert_eq!(with.hours, unix.hours);
}

#[test]
fn a_layer_under_a_strange_name_is_told_by_its_name() {
    let text = hourly(&[
        ("temperature_2m", "°C", but(10.0, &[])),
        ("wind_speed_80m", "km/h", but(7.2, &[])),
        ("cloudCoverTotal", "%", but(7.2, &[])),
        ("visibility", "m", but(7.2, &[])),
    ]);
    let told: Vec<String> =
        read(text.as_bytes()).expect("it reads").notices.into_iter().map(|n| n.0).collect();
    let has = |words: &str| told.iter().any(|t| t.contains(words));
    assert!(has("wind speed: the forecast has `wind_speed_80m`, which is not read"), "{told:?}");
    assert!(has("`cloudCoverTotal`"), "{told:?}");
    assert!(!has("nothing about wind speed") && !has("nothing about cloud"), "{told:?}");
    assert!(has("nothing about wind gust") && !has("visibility"), "{told:?}");
}

#[test]
fn a_service_s_own_error_is_quoted() {
    for (text, words) in [
        // As services write them (from memory).
        (
            "{\"error\":true,\"reason\":\"Latitude must be in range of -90 to 90°.\"}",
            "Latitude must be in range",
        ),
        (
            "{\"type\":\"x\",\"title\":\"Data Unavailable For Requested Point\",\"status\":404,\"detail\":\"Unable to provide data for requested point 0,0\"}",
            "Unable to provide data",
        ),
        ("{\"message\":\"limit exceeded\"}", "limit exceeded"),
    ] {
        let told = read(text.as_bytes()).expect_err("no forecast").to_string();
        assert!(told.contains(&format!("“{words}")), "{told}");
    }
}

#[test]
fn a_key_given_twice_is_a_fault_with_its_place() {
    let text = hourly(&[
        ("temperature_2m", "°C", but(10.0, &[])),
        ("temperature_2m", "°C", but(-10.0, &[])),
    ]);
    let told = read(text.as_bytes()).expect_err("ambiguous").to_string();
    assert!(told.contains("`temperature_2m` is given twice") && told.contains("line 1"), "{told}");
}

#[test]
fn what_no_weather_can_be_is_told_and_not_used() {
    let text = hourly(&[
        (
            "temperature_2m",
            "°C",
            but(4.0, &[(3, -40.0), (9, 45.0), (15, -88.0), (20, -26.0 + 0.1)]),
        ),
        ("dew_point_2m", "°C", but(2.0, &[(5, 5.1), (6, 4.9)])),
        ("wind_speed_10m", "m/s", but(2.0, &[(7, 9.0)])),
        ("wind_gusts_10m", "m/s", but(6.0, &[])),
    ]);
    let forecast = read(text.as_bytes()).expect("it reads");
    let hours = &forecast.hours;
    for (h, hour) in hours.iter().enumerate() {
        let air = hour.air_temperature_c.is_some();
        assert_eq!(air, ![3, 9, 15].contains(&h), "air in hour {h}");
    }
    // The last is 29.9 K off: a hard cold front would be so.
    assert!((hours[20].air_temperature_c.expect("kept").value + 25.9).abs() < 1e-9);
    assert!(hours[5].dew_point_c.is_none() && hours[6].dew_point_c.is_some());
    assert!(hours[7].wind_speed_m_s.is_none() && hours[7].wind_gust_m_s.is_none());
    assert!(hours[8].wind_speed_m_s.is_some());
    let told: Vec<String> = forecast.notices.into_iter().map(|n| n.0).collect();
    for words in [
        "air below −60 or above 60 °C, in 1 hour",
        "air 30 K or more off the hours around it, in 2 hours",
        // The hour whose air is 30 K colder has a dew point above it too.
        "dew point more than 1 K above the air, in 2 hours",
        "mean wind above its own gusts, in 1 hour",
    ] {
        assert!(told.iter().any(|t| t.contains(words)), "{words}: {told:?}");
    }
    // A garden at −88 °C is nowhere.
    let text = hourly(&[("temperature_2m", "°C", but(-88.0, &[]))]);
    let told = read(text.as_bytes()).expect_err("nothing is left").to_string();
    assert!(told.contains("no air temperature"), "{told}");
}

/// Nothing is taken from what services really sent.
#[test]
fn recorded_forecasts_lose_nothing() {
    let Some(folder) = measured_data::folder("forecasts") else { return };
    for entry in std::fs::read_dir(folder).expect("the folder lists") {
        let path = entry.expect("an entry").path();
        let Ok(forecast) = read(&std::fs::read(&path).expect("there")) else { continue };
        for notice in &forecast.notices {
            assert!(!notice.0.contains("no weather is so"), "{}: {}", path.display(), notice.0);
        }
    }
}
