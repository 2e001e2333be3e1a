//! One wide sheet over several neighbouring rows.

use crate::fit::{HAIR_M, LEAST_SKIRT_M, pieces};
use crate::garden::Garden;

/// A sheet that covers neighbouring beds at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Wide {
    /// Index into [`crate::Stock::sheets`].
    pub sheet: usize,
    /// Indices of the beds, from west to east.
    pub beds: Vec<usize>,
    /// Pieces end to end.
    pub pieces: u32,
    /// Cloth left on the ground on each outer side, m.
    pub skirt_m: f64,
}

/// Beds whose southern ends lie within this stand side by side, m.
const BESIDE_M: f64 = 0.5;
/// Paths wider than this are not bridged, m.
const WIDEST_PATH_M: f64 = 1.2;
/// Beds that are drawn over each other by no more than this are neighbours all the same, m (own choice).
const DRAWN_OVER_M: f64 = 0.01;
/// Greatest difference of neighbours' lengths, as a share (own choice).
const UNEQUAL: f64 = 0.1;

/// Every sheet of the stock that lies over two or more neighbouring beds, each with the longest such row of beds.
///
/// Neighbours stand side by side to the east, within half a metre to the north, their lengths within a tenth, and no path
/// between them is wider than 1.2 m. Over each bed the cloth follows the hoops, else the plants; between them it lies flat.
/// Only beds with a position are looked at. Checked by `rows::a_wide_sheet_covers_neighbours`.
#[must_use]
pub fn wide(garden: &Garden) -> Vec<Wide> {
    let mut placed: Vec<(usize, (f64, f64))> =
        garden.beds.iter().enumerate().filter_map(|(i, b)| Some((i, b.position_m?))).collect();
    placed.sort_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let mut out = Vec::new();
    for (sheet, s) in garden.stock.sheets.iter().enumerate() {
        let mut best: Option<Wide> = None;
        for first in 0..placed.len() {
            let beside = |p: &&(usize, (f64, f64))| (p.1.1 - placed[first].1.1).abs() < BESIDE_M;
            let line: Vec<usize> = placed.iter().skip(first).filter(beside).map(|p| p.0).collect();
            for count in 2..=line.len() {
                let row: Vec<usize> = line.iter().take(count).copied().collect();
                let Some((across_m, along_m)) = size(garden, &row) else { break };
                let skirt_m = 0.5 * (s.width_m - across_m);
                let pieces = pieces(along_m, s.length_m).filter(|n| *n <= s.count);
                let Some(pieces) = pieces.filter(|_| skirt_m >= LEAST_SKIRT_M - HAIR_M) else {
                    break;
                };
                if best.as_ref().is_none_or(|b| row.len() > b.beds.len()) {
                    best = Some(Wide { sheet, beds: row, pieces, skirt_m });
                }
            }
        }
        out.extend(best);
    }
    out
}

/// Across and along of the cloth over a row of beds, without skirts, m; `None` where they are no neighbours.
fn size(garden: &Garden, row: &[usize]) -> Option<(f64, f64)> {
    let beds: Vec<_> = row.iter().filter_map(|i| garden.beds.get(*i)).collect();
    let mut across_m = 0.0;
    let mut along_m: f64 = 0.0;
    for bed in &beds {
        let tall = bed.plantings.iter().map(|p| p.height_m).fold(0.0, f64::max);
        let (over_m, end_m) = match bed.hoops {
            Some(hoops) => (hoops.arch_m(), hoops.rise_m()),
            None => (bed.width_m + 2.0 * tall, tall),
        };
        across_m += over_m;
        along_m = along_m.max(bed.length_m + 2.0 * end_m);
    }
    for pair in beds.windows(2) {
        let [a, b] = pair else { continue };
        let ((a_east, a_north), (b_east, b_north)) = (a.position_m?, b.position_m?);
        let path_m = b_east - a_east - 0.5 * (a.width_m + b.width_m);
        let beside = (a_north - b_north).abs() < BESIDE_M
            && (a.length_m - b.length_m).abs() <= UNEQUAL * a.length_m;
        if !beside || !(-DRAWN_OVER_M..=WIDEST_PATH_M).contains(&path_m) {
            return None;
        }
        across_m += path_m.max(0.0);
    }
    Some((across_m, along_m))
}
