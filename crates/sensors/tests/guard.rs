//! Slips are not believed, real changes are.

use quantities::Moment;
use sensors::Reading;
use sensors::guard::{Guard, Verdict};

fn judged(readings: &[(i64, f64)]) -> Vec<Verdict> {
    let mut guard = Guard::default();
    let of =
        |(minute, celsius): &(i64, f64)| Reading { at: Moment(minute * 60), celsius: *celsius };
    readings.iter().map(|r| guard.judge(of(r))).collect()
}

/// −127 where the line is broken, 85 just switched on: common digital thermometers, from memory.
#[test]
fn slips_are_not_believed_and_a_real_change_is() {
    use Verdict::{Believed, Impossible, Jumped};
    let slips = [(0, 4.0), (5, -127.0), (10, 85.0), (15, 3.8), (20, 38.0), (25, 3.5)];
    assert_eq!(judged(&slips), [Believed, Impossible, Impossible, Believed, Jumped, Believed]);
    // A tunnel that is opened: three that agree.
    let opened = [(0, 31.0), (5, 18.0), (10, 17.0), (15, 16.5), (20, 16.0)];
    assert_eq!(judged(&opened), [Believed, Jumped, Jumped, Believed, Believed]);
    // A front: 10 K in an hour.
    let front = [(0, 18.0), (10, 16.0), (20, 14.0), (60, 8.0)];
    assert_eq!(judged(&front), [Believed; 4]);
    // After half a day anything may have come.
    assert_eq!(judged(&[(0, 20.0), (720, -3.0)]), [Believed; 2]);
    // Odd ones that do not agree never add up.
    let wild = [(0, 5.0), (5, 30.0), (10, -20.0), (15, 40.0), (20, 22.0), (25, 5.2)];
    assert_eq!(judged(&wild)[1..5], [Jumped; 4]);
    assert_eq!(judged(&wild)[5], Believed);
}
