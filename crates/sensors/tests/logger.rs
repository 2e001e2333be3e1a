//! Files as loggers write them. The shapes are common practice, no source; the numbers are invented.

use jiff::tz::TimeZone;
use proptest::prelude::*;
use quantities::Moment;
use sensors::Unit;
use sensors::dates::Order;
use sensors::logger::{File, Known, LoggerError, read};

fn known() -> Known {
    let zone = TimeZone::get("America/Chicago").expect("a zone");
    Known { zone, unit: None, order: None, column: None }
}

fn file(text: &str) -> Result<File, LoggerError> {
    read(text.as_bytes(), &known())
}

/// 14 May 2027, 3:00 in Chicago (UTC − 5 h).
const THREE: Moment = Moment(1_810_281_600);

#[test]
fn files_as_loggers_write_them() {
    let alike = [
        "date,temperature (°C)\n2027-05-14 03:00,1.5\n2027-05-14 03:10,1.0\n",
        "\u{feff}Plot Title: kale\n\"#\",\"Date Time, GMT-05:00\",\"Temp, °C\",\"Host\"\n1,05/14/27 03:00:00 AM,1.5,\n2,05/14/27 03:10:00 AM,1.0,Logged\n3,05/14/27 03:11:00 AM,,Logged\n",
        "Zeitstempel;x\nDate;Time;Temp_C\n14.05.2027;03:00;1,5\n14.05.2027;03:10:00;1,0\n",
        "Timestamp\tTemperature_C\tRH\n2027-05-14T08:00:00Z\t1.5\t90\n2027-05-14T08:10:00Z\t1.0\t90\n",
        "time,tempf\n1810281600,34.7\n1810282200,33.8\n",
        "Date/Time,Temperature °F,Humidity\n14/05/2027 3:00,34.7 °F,91\n14/05/2027 3:10,33.8 °F,91\n",
        "DateTime (UTC),Temp [C]\n2027/05/14 08:00,1.5\n2027/05/14 08:10,1.0\n",
    ];
    for text in alike {
        let found = file(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let near: Vec<(i64, f64)> = found
            .readings
            .iter()
            .map(|r| (r.at.0 - THREE.0, (r.celsius * 100.0).round() / 100.0))
            .collect();
        assert_eq!(near, [(0, 1.5), (600, 1.0)], "{text}");
    }
    assert_eq!(file(alike[1]).expect("reads").empty, 1);
}

#[test]
fn what_cannot_be_told_is_asked() {
    let asks = |text: &str, known: &Known, what: &str| {
        let error = read(text.as_bytes(), known).expect_err(text).to_string();
        assert!(error.contains(what), "{text}: {error}");
    };
    let plain = known();
    asks("", &plain, "no row of the first");
    asks("a,b\n1,2\n", &plain, "no row of the first");
    asks("date,temp\n2027-05-14 03:00,1.5\n", &plain, "line 1: “temp” does not say whether");
    asks(
        "date,temp_c\n03/04/2027 03:00,1.5\n",
        &plain,
        "line 2: “03/04/2027 03:00” may be read in two ways",
    );
    asks("date,temp_c\n13/04/2027 03:00,1.5\n04/13/2027 03:00,1\n", &plain, "mixes two orders");
    asks("date,temp in_c,temp out_c\n2027-05-14 03:00,1,2\n", &plain, "“temp in_c”, “temp out_c”");
    asks(
        "date,temp_c\n2027-05-14 25:00,1.5\n",
        &plain,
        "line 2, column date: found “2027-05-14 25:00”",
    );
    asks("date,temp_c\n2027-05-14 03:00,warm\n", &plain, "found “warm”, expected a temperature");
    asks("date,temp_c\n", &plain, "no readings below");
    let column = Known { column: Some("Outside".into()), ..known() };
    asks(
        "date,temp_c\n2027-05-14 03:00,1\n",
        &column,
        "there is no column “Outside”; there are “date”, “temp_c”",
    );
    let told = Known {
        unit: Some(Unit::Celsius),
        order: Some(Order::DayFirst),
        column: Some("outside".into()),
        ..known()
    };
    let found = read(b"date,inside,Outside\n03/04/2027 03:00,9,1.5\n", &told).expect("told");
    assert_eq!((found.readings[0].celsius, found.readings[0].at), (1.5, Moment(1_806_739_200)));
}

/// The hour that a change of the clocks gives twice: rows in order of time keep their order. The change of 7 November 2027 in
/// Chicago: 1:59 CDT is followed by 1:00 CST (time zone database).
#[test]
fn dates_as_loggers_write_them() {
    let text = "date,temp_c\n2027-11-07 00:30,3\n2027-11-07 01:30,2\n2027-11-07 01:30,1\n2027-11-07 02:30,0\n";
    let found = file(text).expect("reads");
    let steps: Vec<i64> = found.readings.windows(2).map(|w| w[1].at.0 - w[0].at.0).collect();
    assert_eq!(steps, [3600, 3600, 3600]);
}

#[test]
fn damaged_files_never_make_it_panic() {
    let seeds = [
        "date,temperature (°C)\n2027-05-14 03:00,1.5\n",
        "\"Date Time, GMT-05:00\",\"Temp, °F\"\n05/14/27 03:00:00 AM,34.7\n",
        "Date;Time;Temp_C\n14.05.2027;03:00;1,5\n",
    ];
    let corpus: Vec<Vec<u8>> = seeds.iter().map(|s| s.as_bytes().to_vec()).collect();
    measured_data::mutations::hold_against("logger files", &corpus, 20_000, |bytes| {
        let _ = read(bytes, &known());
    });
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}", number in "[-0-9.,°CF ]{0,12}", date in "[-0-9/.: TZAPM]{0,24}") {
        let _ = file(&text);
        let _ = file(&format!("date,temp_c\n{date},{number}\n"));
    }
}
