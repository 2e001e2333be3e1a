//! Whose fault an error is: the grower's input, or ours.

/// An error that knows whether it is a bug of the program, so that the program tells bugs apart in one place.
pub trait Fault: std::error::Error {
    /// Whether the fault is ours; everything else the grower can mend.
    fn is_bug(&self) -> bool;
}
