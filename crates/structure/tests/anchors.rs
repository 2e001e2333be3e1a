//! Pins and uplift by hand.

use structure::anchors::{Ground, Pin, gust_held_m_s, pull_test_n};
use structure::constants::AIR_KG_M3;
use structure::wind::{pressure_coefficients, uplift_n_m};
use structure::{Arch, Shape};

/// n α c_u π d L of two legs of 3 mm and 150 mm, c_u 20 kPa: 28 N, computed apart from this program; the lawn rule for stakes
/// (27.8 lbf a square inch of d × L, an industry study, read) would say ten times as much, which is why it is not used.
#[test]
fn a_thin_pin_holds_little() {
    let pin = Pin { diameter_m: 0.003, depth_m: 0.15, legs: 2 };
    let holds = pin.pull_out_n(Ground::Moist).expect("a pin");
    assert!((holds.central - 28.3).abs() < 0.1, "{holds:?}");
    let lawn = 27.8 * 4.448 / 0.0254f64.powi(2) * 0.003 * 0.15;
    assert!(lawn / (0.5 * holds.central) > 5.0, "{lawn}");
    let soaked = pin.pull_out_n(Ground::Soaked).expect("a pin");
    assert!((soaked.central / holds.central - 0.5).abs() < 1e-12);
    for wrong in
        [Pin { diameter_m: -1.0, ..pin }, Pin { depth_m: f64::NAN, ..pin }, Pin { legs: 0, ..pin }]
    {
        assert!(wrong.pull_out_n(Ground::Moist).is_err());
    }
    assert_eq!(pull_test_n(&[40.0, 25.0, 60.0]), Ok(Some(25.0)));
    assert_eq!(pull_test_n(&[]), Ok(None));
    assert!(pull_test_n(&[40.0, -1.0]).is_err());
}

/// Pressures on a half circle pass through its centre: their sum has no moment there, so that both edges carry half of the
/// upward force. Upward force: span times the mean of the coefficients over the quarters.
#[test]
fn uplift_of_a_half_circle_by_hand() {
    let arch = Arch::from_span_and_rise(Shape::Arc, 2.0, 1.0).expect("an arch");
    let outline = arch.outline(256);
    let [w, c, l] = pressure_coefficients(0.5);
    let up = -100.0 * 2.0 * (0.25 * w + 0.5 * c + 0.25 * l);
    assert!((up - 110.0).abs() < 1e-9, "{up}");
    for edge in uplift_n_m(&outline, 1.0, 100.0) {
        assert!((edge - 0.5 * up).abs() < 0.01 * up, "{edge} of {up}");
    }
    // One pin of 20 N a metre a side: q with 0.55 q = 20 (span 2 m).
    let gust = gust_held_m_s(&outline, 1.0, 20.0, 1.0, AIR_KG_M3).expect("a gust");
    assert!((gust / (2.0 * 20.0 / 0.55 / AIR_KG_M3).sqrt() - 1.0).abs() < 0.01, "{gust}");
    let four = gust_held_m_s(&outline, 1.0, 20.0, 4.0, AIR_KG_M3).expect("a gust");
    assert!((four / gust - 2.0).abs() < 1e-12);
    assert!(gust_held_m_s(&outline, 1.0, -1.0, 1.0, AIR_KG_M3).is_err());
}
