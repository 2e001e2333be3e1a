//! The clock.

use quantities::Moment;

/// Now, in UTC.
pub fn now() -> Moment {
    Moment(jiff::Timestamp::now().as_second())
}
