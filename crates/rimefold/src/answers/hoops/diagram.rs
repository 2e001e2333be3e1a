//! The cross-section of a low tunnel in characters.

use garden::tunnel::Tunnel;

use crate::format::GardenFormat;

/// Columns of the drawing without its margin.
const COLUMNS: usize = 52;
/// A character is about twice as high as wide.
const ASPECT: f64 = 2.1;

/// Lines of the drawing: hoop over the bed, its feet in the ground, height and span written in.
pub fn draw(t: &Tunnel, words: &GardenFormat, width: usize) -> String {
    let arch = &t.hoops.arch;
    let outline = arch.outline(400);
    let widest = outline.points().iter().map(|p| p.x_m.abs()).fold(0.5 * t.bed_m.1, f64::max);
    let columns = COLUMNS.min(width.saturating_sub(6)).max(20);
    let scale = (columns - 1) as f64 / (2.0 * widest);
    let rows = (arch.rise_m() * scale / ASPECT).ceil() as usize + 1;
    let column = |x_m: f64| (((x_m + widest) * scale).round() as usize).min(columns - 1);
    let mut grid = vec![vec![' '; columns]; rows];
    for p in outline.points() {
        let row = rows - 1 - ((p.z_m * scale / ASPECT).round() as usize).min(rows - 1);
        let slope = p.tangent_rad.tan().abs() / ASPECT * 2.0;
        let mark = match (slope < 0.45, slope < 4.0, p.tangent_rad > 0.0) {
            (true, ..) => '-',
            (_, true, true) => '/',
            (_, true, false) => '\\',
            _ => '|',
        };
        grid[row][column(p.x_m)] = mark;
    }
    // The height stands along the middle.
    let middle = column(0.0);
    for row in grid.iter_mut().take(rows.saturating_sub(1)).skip(1) {
        row[middle] = ':';
    }
    let label: Vec<char> = format!(" {} ", words.short(arch.rise_m())).chars().collect();
    let start = middle.saturating_sub(label.len() / 2);
    for (i, c) in label.into_iter().enumerate() {
        if let Some(place) = grid[rows / 2].get_mut(start + i) {
            *place = c;
        }
    }
    let mut out = String::new();
    for row in grid {
        push(&mut out, &row);
    }
    let half = 0.5 * arch.span_m();
    let (left, right) = (column(-half), column(half));
    let mut ground = vec!['~'; columns];
    for place in ground.iter_mut().take(column(0.5 * t.bed_m.1) + 1).skip(column(-0.5 * t.bed_m.1))
    {
        *place = '=';
    }
    let mut below = vec![' '; columns];
    for foot in [left, right] {
        ground[foot] = '|';
        below[foot] = '|';
    }
    push(&mut out, &ground);
    if t.hoops.bury_m > 0.01 {
        push(&mut out, &below);
    }
    let span = format!(" {} ", words.short(arch.span_m()));
    let mut line = vec![' '; columns];
    for place in line.iter_mut().take(right).skip(left + 1) {
        *place = '-';
    }
    (line[left], line[right]) = ('<', '>');
    let start = middle.saturating_sub(span.chars().count() / 2);
    for (i, c) in span.chars().enumerate() {
        if let Some(place) = line.get_mut(start + i) {
            *place = c;
        }
    }
    push(&mut out, &line);
    out
}

fn push(out: &mut String, row: &[char]) {
    let line: String = row.iter().collect();
    out.push_str("    ");
    out.push_str(line.trim_end());
    out.push('\n');
}
