//! What to buy: cut lists of hoops from wire and sheets from cloth, and what to own through the year.
//!
//! | module | holds |
//! |---|---|
//! | [`cut`] | two-stage cutting stock with a proven gap |
//! | [`cut_list`] | the cut list of a garden |
//! | [`kit`] | which sheets, hoops, pins and clips to own, and in which year to buy them |

pub mod cut;
pub mod cut_list;
pub mod kit;
