//! The only code that touches the world: clock, files, network, terminal.

pub mod clock;
pub mod fetch;
pub mod files;
mod part;
pub mod terminal;
