//! Drawings: characters for the terminal, SVG for paper and pages.

pub mod cut_svg;
pub mod hoop_svg;
pub mod hoop_text;
pub mod year_svg;
