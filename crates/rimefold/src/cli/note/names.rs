//! Names of beds and covers as the garden file spells them, or the nearest.

use garden::Garden;
use garden::file::nearest;

use crate::exit::{Exit, Failure};

/// A bed's own name; upper and lower case are alike.
pub fn bed(garden: &Garden, given: &str) -> Result<String, Failure> {
    let names: Vec<&str> = garden.beds.iter().map(|b| b.name.as_str()).collect();
    own(given, &names, "bed")
}

/// A sheet's or pop-up tunnel's own name; upper and lower case are alike.
pub fn cover(garden: &Garden, given: &str) -> Result<String, Failure> {
    let sheets = garden.stock.sheets.iter().map(|s| s.name.as_str());
    let names: Vec<&str> =
        sheets.chain(garden.stock.pop_ups.iter().map(|p| p.name.as_str())).collect();
    own(given, &names, "sheet or pop-up tunnel")
}

fn own(given: &str, names: &[&str], what: &str) -> Result<String, Failure> {
    let wanted = given.trim().to_lowercase();
    if let Some(name) = names.iter().find(|n| n.to_lowercase() == wanted) {
        return Ok((*name).to_owned());
    }
    let mean = nearest(given, names).map_or_else(String::new, |n| format!("did you mean `{n}`? "));
    let message = format!("no {what} is called `{given}`; {mean}There are: {}", names.join(", "));
    Err(Failure::new(Exit::Usage, message))
}
