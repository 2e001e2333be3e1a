//! The garden file and the things in it: beds, plantings, crops, hoops, sheets, stock.
//!
//! | module | holds |
//! |---|---|
//! | [`garden`] | [`Garden`]: place, ground, labour, beds, stock |
//! | [`bed`], [`planting`], [`hoops`], [`stock`], [`supply`] | the things themselves, in SI |
//! | [`need`], [`bed_needs`] | what a bed is to carry through the year |
//! | [`crops`] | what cold, heat and darkness do to each crop by stage, with sources |
//! | [`growth`] | how fast crops come on: degree-days, light, bolting, fruit set, winter, insects |
//! | [`schema`] | the one table of the garden file: keys, units, ranges, choices, defaults, help |
//! | [`mod@file`] | the garden file: text in, garden, faults and warnings out |
//! | [`fit`], [`rows`] | which covers truly fit a bed, and what each uses up; one sheet over several beds |
//! | [`forecast`] | where the forecast is fetched from |
//! | [`sensor`] | automatic thermometers |
//! | [`watch`] | who is told of the evening, how and when |
//! | [`lying`] | what lies on each bed now, from notes and file |
//! | [`wear`] | the sun that a sheet has taken, and what is left of its life |
//! | [`tunnel`], [`stands`] | one bed's hoops: measures, what they stand; what covered beds stand in wind and snow |

pub mod bed;
pub mod bed_needs;
pub mod crops;
pub mod file;
pub mod fit;
pub mod forecast;
pub mod garden;
pub mod growth;
pub mod hoops;
pub mod lying;
pub mod need;
pub mod planting;
pub mod rows;
pub mod schema;
pub mod sensor;
pub mod stands;
pub mod stock;
pub mod supply;
pub mod template;
pub mod tunnel;
pub mod watch;
pub mod wear;

pub use bed::Bed;
pub use garden::Garden;
pub use stock::Stock;
