//! Rows of numbers in columns, as plain text.

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, presets};

/// Spaces between two columns.
const GAP: u16 = 2;

/// Rows in columns, at most `width` wide and `indent` from the left: the first column to the left and broken into lines where
/// it must be, the others to the right.
pub fn columns(width: usize, indent: u16, rows: Vec<Vec<String>>) -> String {
    words_and_numbers(width, indent, (1, GAP), rows)
}

/// The same with the first `words` columns to the left and `gap` spaces before the others.
pub fn words_and_numbers(
    width: usize,
    indent: u16,
    (words, gap): (usize, u16),
    rows: Vec<Vec<String>>,
) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width as u16)
        .add_rows(rows);
    for (i, column) in table.column_iter_mut().enumerate() {
        if i == 0 {
            column.set_padding((indent, 0));
        } else if i < words {
            column.set_padding((GAP, 0));
        } else {
            column
                .set_padding((gap, 0))
                .set_constraint(ColumnConstraint::ContentWidth)
                .set_cell_alignment(CellAlignment::Right);
        }
    }
    table.trim_fmt() + "\n"
}
