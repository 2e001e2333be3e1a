//! Several forecasts as one.

use weather::combined::combine;

/// Worked by hand: 4 and 2 °C make 3, 1 K apart from it each; where only one knows the cloud, it stands; an hour that only the
/// first has stays as it is. d² = (1 + 4)/2 over the two hours that both know.
#[test]
fn two_forecasts_by_hand() {
    let read = |text: &str| weather::read(text.as_bytes()).unwrap();
    let a = read(
        "time,air_temperature_c,cloud_pct\n2027-05-14T20:00Z,4,50\n2027-05-14T21:00Z,3,\n2027-05-14T22:00Z,1,\n",
    );
    let b = read("time,air_temperature_c\n2027-05-14T20:00Z,2\n2027-05-14T21:00Z,-1\n");
    let one = combine(a.clone(), &[]);
    assert!(one.forecast == a && one.disagreement_k == 0.0);
    let both = combine(a, &[b]);
    let air: Vec<f64> =
        both.forecast.hours.iter().filter_map(|h| h.air_temperature_c).map(|r| r.value).collect();
    assert_eq!(air, [3.0, 1.0, 1.0]);
    assert!((both.disagreement_k - 2.5_f64.sqrt()).abs() < 1e-12, "{}", both.disagreement_k);
    assert_eq!(both.forecast.hours[0].cloud_fraction.map(|r| r.value), Some(0.5));
    assert!(both.forecast.notices.iter().any(|n| n.0.contains("2 forecasts")));
}
