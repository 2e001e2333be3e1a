//! SURFRAD: one-minute radiation at Penn State (1 Jan 2017) and Alamosa, Colorado (31 Dec 2015).

use std::error::Error;
use std::path::Path;

use crate::longwave;
use crate::record::vapour_kpa;
use crate::table::Row;

/// Clear-night long-wave of the model's sky against the pyrgeometers.
pub fn rows(data: &Path) -> Result<Vec<Row>, Box<dyn Error>> {
    let mut rows = Vec::new();
    for (file, site) in
        [("psu17001.dat", "Penn State, 1 Jan 2017"), ("slv15365.dat", "Alamosa, 31 Dec 2015")]
    {
        let text = std::fs::read_to_string(data.join("radiation").join(file))?;
        let (mut zeniths, mut minutes) = (Vec::new(), Vec::new());
        for line in text.lines().skip(2) {
            let x: Vec<f64> = line.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
            let good = [16, 38, 40].iter().all(|i| x[*i] > -9000.0 && x[*i + 1] == 0.0);
            minutes.push(good.then(|| (x[38], vapour_kpa(x[38], x[40]), x[16])));
            zeniths.push(x[7]);
        }
        // A single day has no sun on both sides of its nights to tell cloud by: steadiness alone decides.
        let readings: Vec<longwave::Reading> = (0..minutes.len())
            .filter(|i| zeniths[*i] > 92.0 && longwave::steady(&minutes, *i, 45))
            .filter_map(|i| minutes[i])
            .collect();
        rows.extend(longwave::rows(site, &readings));
        // A cold inversion over grass (albedo .18 at noon), the nearest to a snowy night that is at hand.
        if site.starts_with("Alamosa") {
            rows.push(longwave::row_over_snow(site, &readings));
        }
    }
    Ok(rows)
}
