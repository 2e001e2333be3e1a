//! Readings as machines send them.

use quantities::Moment;
use sensors::Unit;
use sensors::single::{from_fields, from_json, from_payload};

const NOW: Moment = Moment(1_810_000_000);

fn fields(text: &str) -> Result<(f64, i64), String> {
    let pairs: Vec<(&str, &str)> = text.split('&').filter_map(|p| p.split_once('=')).collect();
    let field = |name: &str| pairs.iter().find(|p| p.0 == name).map(|p| p.1);
    from_fields(field, NOW)
        .map(|r| ((r.celsius * 100.0).round() / 100.0, r.at.0))
        .map_err(|e| e.to_string())
}

#[test]
fn fields_as_machines_send_them() {
    let at = 1_810_000_000;
    assert_eq!(fields("tempf=33.8&humidity=92&windspeedmph=2&dateutc=now"), Ok((1.0, at)));
    assert_eq!(fields("tempc=-1.25"), Ok((-1.25, at)));
    assert_eq!(fields("temp_c=2&dateutc=2027-05-14+03:00:00"), Ok((2.0, 1_810_263_600)));
    assert_eq!(fields("temp_c=2&at=2027-05-14T03:00:00Z"), Ok((2.0, 1_810_263_600)));
    assert_eq!(fields("temperature_c=2&time=1810263600"), Ok((2.0, 1_810_263_600)));
    let says = |text: &str, what: &str| {
        let error = fields(text).expect_err(text);
        assert!(error.contains(what), "{text}: {error}");
    };
    says("humidity=92", "no temperature");
    says("temp=20", "no temperature");
    says("tempf=warm", "found “warm”, expected a number");
    says("tempf=NaN", "expected a number");
    says("tempf=40&dateutc=14.13.2027", "expected “now”");
}

#[test]
fn json_as_machines_send_it() {
    let of = |text: &str| from_json(text.as_bytes(), NOW).map_err(|e| e.to_string());
    let two = of(r#"[{"temp_c": 1.5, "time": 1810000000}, {"tempf": "32", "time": "1810000060"}]"#)
        .expect("reads");
    assert_eq!(
        two.iter().map(|r| (r.celsius, r.at.0)).collect::<Vec<_>>(),
        [(1.5, 1_810_000_000), (0.0, 1_810_000_060)]
    );
    for (text, what) in [
        ("", "not JSON"),
        ("7", "found a number"),
        ("[[]]", "found a list"),
        ("{}", "no temperature"),
    ] {
        let error = of(text).expect_err(text);
        assert!(error.contains(what), "{text}: {error}");
    }
    let payload =
        |text: &str, field: Option<&str>, unit| from_payload(text.as_bytes(), field, unit);
    assert_eq!(payload(" 3.5\n", None, Unit::Celsius), Ok(3.5));
    assert_eq!(payload("50", None, Unit::Fahrenheit), Ok(10.0));
    assert_eq!(payload(r#"{"air":{"t":[1,"-2.5"]}}"#, Some("air.t.1"), Unit::Celsius), Ok(-2.5));
    assert!(
        payload(r#"{"air":{}}"#, Some("air.t"), Unit::Celsius)
            .expect_err("none")
            .to_string()
            .contains("air.t")
    );
    assert!(payload("offline", None, Unit::Celsius).is_err());
}
