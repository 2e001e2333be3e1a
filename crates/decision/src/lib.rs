//! Many possible nights, harm to crops, and the evening plan of least expected loss.

pub mod plan;
pub mod report;
