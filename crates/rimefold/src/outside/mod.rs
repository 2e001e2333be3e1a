//! The only code that touches the world: clock, files, network, random bytes, terminal.

pub mod accepted_place;
pub mod clock;
pub mod fetch;
pub mod files;
pub mod listen;
pub mod mail;
pub mod mqtt;
pub mod places;
#[cfg(feature = "fetch")]
mod post;
pub mod push;
pub mod random;
pub mod save;
pub mod secret;
pub mod terminal;
pub mod webhook;
