//! Places by name: towns of the world from a list that ships. Nothing is asked of anybody.
//!
//! Source and licence of `towns.tsv` stand in `README.md` beside it.

use quantities::UnitSystem;

const LIST: &str = include_str!("towns.tsv");
/// Most towns that are shown to choose from.
const MOST: usize = 12;

/// A town.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Town {
    /// Its name.
    pub name: &'static str,
    /// State of the United States; empty elsewhere.
    pub state: &'static str,
    /// Country.
    pub country: &'static str,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// IANA time zone.
    pub zone: &'static str,
    /// Units that people use there.
    pub units: UnitSystem,
}

impl Town {
    /// `Dunedin, New Zealand`; `Springfield, IL, United States`.
    pub fn label(&self) -> String {
        let parts = [self.name, self.state, self.country];
        parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join(", ")
    }
}

/// A town's line, and the heads of the list.
struct Line {
    zones: &'static str,
    countries: &'static str,
    fields: [&'static str; 6],
}

fn lines() -> impl Iterator<Item = Line> {
    let mut all = LIST.lines();
    let (zones, countries) = (all.next().unwrap_or_default(), all.next().unwrap_or_default());
    all.map(move |text| {
        let mut parts = text.split('\t');
        let fields = std::array::from_fn(|_| parts.next().unwrap_or_default());
        Line { zones, countries, fields }
    })
}

impl Line {
    fn town(&self) -> Option<Town> {
        let [name, place, latitude, longitude, zone, _] = self.fields;
        let (code, state) = place.split_at_checked(2)?;
        let country =
            self.countries.split('\t').find_map(|c| c.strip_prefix(code)?.strip_prefix(' '));
        Some(Town {
            name,
            state,
            country: country.unwrap_or(code),
            latitude: latitude.parse().ok()?,
            longitude: longitude.parse().ok()?,
            zone: self.zones.split('\t').nth(zone.parse().ok()?)?,
            units: if code == "US" { UnitSystem::Us } else { UnitSystem::Metric },
        })
    }
}

/// Towns whose name begins so, the exact name first, then by size; after a comma the state or country may stand.
/// Accents may be left out. Checked by `a_town_is_found_by_name`.
pub fn find(words: &str) -> Vec<Town> {
    let words = words.trim().to_lowercase();
    let mut parts = words.split(',').map(str::trim);
    let name = parts.next().unwrap_or_default();
    let places: Vec<&str> = parts.filter(|p| !p.is_empty()).collect();
    if name.is_empty() {
        return Vec::new();
    }
    let (mut exact, mut begun) = (Vec::new(), Vec::new());
    for line in lines() {
        let [own, plain] = [line.fields[0].to_lowercase(), line.fields[5].to_owned()];
        if !own.starts_with(name) && !plain.starts_with(name) {
            continue;
        }
        let Some(town) = line.town() else { continue };
        let (state, country) = (town.state.to_lowercase(), town.country.to_lowercase());
        let code = line.fields[1].get(..2).unwrap_or_default().to_lowercase();
        let there = |p: &str| state == p || code == p || country.starts_with(p);
        if places.iter().all(|p| there(p)) {
            if own == name || plain == name { &mut exact } else { &mut begun }.push(town);
        }
    }
    exact.into_iter().chain(begun).take(MOST).collect()
}

/// The town nearest to a place, in degrees: it tells the zone and the units.
/// Checked by `the_nearest_town_tells_zone_and_units`.
pub fn nearest(latitude: f64, longitude: f64) -> Option<Town> {
    let east = latitude.to_radians().cos();
    let away = |t: &Town| {
        // The short way round.
        let turn = (t.longitude - longitude + 540.0).rem_euclid(360.0) - 180.0;
        (t.latitude - latitude).powi(2) + (east * turn).powi(2)
    };
    lines().filter_map(|l| l.town()).min_by(|a, b| away(a).total_cmp(&away(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Places and zones: common knowledge, from memory.
    #[test]
    fn a_town_is_found_by_name() {
        let first = |words| find(words).first().map(Town::label);
        assert_eq!(first("dunedin").as_deref(), Some("Dunedin, New Zealand"));
        assert_eq!(first("Dunedin, FL").as_deref(), Some("Dunedin, FL, United States"));
        assert_eq!(first("pontarl").as_deref(), Some("Pontarlier, France"));
        assert_eq!(first("zurich"), first("Zürich"));
        assert_eq!(
            first("Springfield, IL, United States").as_deref(),
            Some("Springfield, IL, United States")
        );
        assert!(find("springfield").len() > 5 && find("s").len() <= MOST);
        assert_eq!(
            (find(""), find(" , "), find("no such town anywhere")),
            (vec![], vec![], vec![])
        );
    }

    #[test]
    fn the_nearest_town_tells_zone_and_units() {
        let at = |north, east| nearest(north, east).map(|t| (t.zone, t.units));
        assert_eq!(at(-45.85, 170.5), Some(("Pacific/Auckland", UnitSystem::Metric)));
        assert_eq!(at(43.6, -90.9), Some(("America/Chicago", UnitSystem::Us)));
        // Across the line where the day changes.
        assert_eq!(at(-16.8, -179.9).map(|t| t.0), Some("Pacific/Fiji"));
    }

    #[test]
    fn every_line_is_a_town_in_a_known_zone() {
        assert!(lines().count() > 30_000);
        for line in lines() {
            let town = line.town().expect("a town");
            assert!(town.latitude.abs() <= 66.0 && town.longitude.abs() <= 180.0, "{town:?}");
            assert!(town.country.len() > 2, "{town:?}");
        }
        let zones = lines().next().expect("a line").zones;
        for zone in zones.split('\t') {
            assert!(jiff::tz::TimeZone::get(zone).is_ok(), "{zone}");
        }
    }
}
