//! The only code that touches the world: chance, clock, files, network, terminal.

pub mod chance;
pub mod clock;
pub mod fetch;
pub mod files;
pub mod listen;
pub mod terminal;
