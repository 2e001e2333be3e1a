//! The only code that touches the world: clock, files, terminal.

pub mod clock;
pub mod files;
pub mod terminal;
