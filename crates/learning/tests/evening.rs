//! Readings of this evening drawn on.

use learning::evening::Errors;

/// Two moments and one reading, by hand: weight ρσ₁σ₂/(σ₂² + s²), what is left √(σ₁² − w ρσ₁σ₂) (regression; textbook, from
/// memory). With σ 2 and 1 K, 13 h apart on a memory of 13 h, s = 0.5: ρ = e⁻¹ = 0.36788, w = 0.73576/1.25 = 0.58861.
#[test]
fn weights_are_those_of_regression() {
    let errors = Errors {
        hours: &[0.0, 13.0],
        sigma_k: &[1.0, 2.0],
        memory_h: 13.0,
        offset_sigma_k: 0.0,
        shows: &[0.0, 0.0],
        shows_sigma_k: 0.0,
    };
    let w = errors.weights(&[0], 0.5);
    assert!((w[1][0] - 0.588_61).abs() < 1e-5, "{w:?}");
    let left = (4.0_f64 - 0.588_61 * 0.735_76).sqrt();
    assert!((errors.left_k(1, &[0], &w) - left).abs() < 1e-5);
    // At the reading itself: 1/(1 + 0.25).
    assert!((w[0][0] - 0.8).abs() < 1e-12);
}

/// Readings without end of an offset leave nothing of it, and the weights of equal readings add up.
#[test]
fn many_readings_settle_an_offset() {
    let n = 40;
    let hours: Vec<f64> = (0..n).map(f64::from).collect();
    let errors = Errors {
        hours: &hours,
        sigma_k: &vec![1e-3; 40],
        memory_h: 13.0,
        offset_sigma_k: 2.0,
        shows: &vec![0.0; 40],
        shows_sigma_k: 0.0,
    };
    let read: Vec<usize> = (0..39).collect();
    let w = errors.weights(&read, 0.6);
    let all: f64 = w[39].iter().sum();
    // 4/(4 + 0.36/39).
    assert!((all - 4.0 / (4.0 + 0.36 / 39.0)).abs() < 1e-4, "{all}");
    assert!(errors.left_k(39, &read, &w) < 0.1);
}
