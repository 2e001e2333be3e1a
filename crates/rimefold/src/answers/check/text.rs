//! What `check` says of a garden file in which nothing is wrong.

use std::path::Path;

use garden::Garden;

use crate::format::count;

/// The warnings, then one line on what the garden holds.
pub fn write(path: &Path, garden: &Garden, warnings: &[String]) -> String {
    let plantings: usize = garden.beds.iter().map(|b| b.plantings.len()).sum();
    let sheets: u32 = garden.stock.sheets.iter().map(|s| s.count).sum();
    let summary = format!(
        "{}: {}, {}, {}; {}.\n",
        path.display(),
        count(garden.beds.len(), "bed"),
        count(plantings, "planting"),
        count(sheets as usize, "sheet"),
        if warnings.is_empty() { "all is well".into() } else { count(warnings.len(), "warning") }
    );
    warnings.join("\n") + if warnings.is_empty() { "" } else { "\n\n" } + &summary
}
