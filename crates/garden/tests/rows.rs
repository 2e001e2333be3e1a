//! One wide sheet over several rows.

use garden::file;
use garden::rows::wide;

fn garden(width_in: f64, beds: &[(f64, f64, f64)]) -> garden::Garden {
    let mut text = String::from(
        "name = \"x\"\nunits = \"us\"\n[place]\nlatitude = 43.6\nlongitude = -90.9\nelevation_ft = 1000\n\
         zone = \"America/Chicago\"\n[site]\nsoil = \"loam\"\nexposure = \"open\"\n[labour]\npeople = 1\n\
         minutes_each = 60\nworth_of_hour = 15\n",
    );
    for (i, (east, north, length)) in beds.iter().enumerate() {
        text.push_str(&format!(
            "[[bed]]\nname = \"b{i}\"\nposition_ft = [{east}, {north}]\nlength_ft = {length}\nwidth_in = 30\n\
             wetness = \"damp\"\n"
        ));
    }
    text.push_str(&format!(
        "[stock]\npins = 100\nclips = 0\n[[stock.sheet]]\nname = \"wide\"\nkind = \"row cover\"\n\
         weight_oz_yd2 = 0.9\nwidth_in = {width_in}\nlength_ft = 50\ncount = 2\ncondition = \"good\"\n"
    ));
    let reading = file::read(&text);
    assert!(reading.faults.is_empty(), "{:?}", reading.faults);
    reading.garden.expect("a garden")
}

/// Bare beds of 30 in with paths of 18 in: 30 + 18 + 30 = 78 in and two skirts of 4 in are 86 in; three beds 134 in.
#[test]
fn a_wide_sheet_covers_neighbours() {
    let side_by_side = [(0.0, 0.0, 40.0), (4.0, 0.0, 40.0), (8.0, 0.0, 40.0)];
    for (width_in, beds) in [(85.0, 0), (86.0, 2), (133.0, 2), (134.0, 3), (170.0, 3)] {
        let found = wide(&garden(width_in, &side_by_side));
        assert_eq!(found.first().map_or(0, |w| w.beds.len()), beds, "{width_in} in: {found:?}");
    }
    let far = [(0.0, 0.0, 40.0), (8.0, 0.0, 40.0)];
    assert!(wide(&garden(200.0, &far)).is_empty(), "a path of 66 in is too wide");
    let behind = [(0.0, 0.0, 40.0), (4.0, 10.0, 40.0)];
    assert!(wide(&garden(200.0, &behind)).is_empty(), "not side by side");
    let long = [(0.0, 0.0, 80.0), (4.0, 0.0, 80.0)];
    assert_eq!(wide(&garden(90.0, &long)).first().map(|w| w.pieces), Some(2));
}

/// A second row of beds to the north, at the same distances east, must not come between neighbours.
#[test]
fn neighbours_are_found_in_a_garden_of_two_rows() {
    let two_rows = [
        (0.0, 0.0, 40.0),
        (0.0, 45.0, 40.0),
        (4.0, 0.0, 40.0),
        (4.0, 45.0, 40.0),
        (8.0, 45.0, 40.0),
    ];
    let found = wide(&garden(134.0, &two_rows));
    assert_eq!(found.first().map(|w| w.beds.clone()), Some(vec![1, 3, 4]));
}
