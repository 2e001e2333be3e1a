//! Editing `garden.toml` from forms: comments and order kept, every fault by its field, never over another's change.
//!
//! Which fields a table has, and what they take, is [`garden::schema`]'s to say.
//!
//! | module | holds |
//! |---|---|
//! | [`form`] | what a form sent, field by field |
//! | [`part`] | one table of the file: its values into fields, fields back into it |
//! | [`faults`] | from a place in the text to the field that stands there |
//! | [`lists`] | lists of tables, however they are written |
//! | [`group`], [`outcome`] | fields as a form groups them; how a form went |
//! | [`mod@open`], [`save`] | the file read; checked and written, unless it changed underneath |

pub mod faults;
pub mod form;
pub mod group;
pub mod lists;
pub mod open;
pub mod outcome;
pub mod part;
pub mod save;
