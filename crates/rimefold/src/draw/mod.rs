//! Drawings: characters for the terminal, SVG for paper and pages.

pub mod cut_svg;
pub mod frost_svg;
pub mod hoop_svg;
pub mod hoop_text;
pub mod night_svg;
pub mod nights_svg;
pub mod plan_svg;
pub mod sheet_svg;
pub mod skill_svg;
pub mod year_svg;

/// Text that is safe inside SVG.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
