//! Towns by name, with their place and time zone: a garden is found by the nearest one.

/// What `data/make_towns.py` writes: a town a line, the largest first.
const TOWNS: &str = include_str!("../data/towns.txt");

/// A town of 15,000 people or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Town {
    /// Its name.
    pub name: &'static str,
    /// Region, where it needs one to be told from others, and country.
    pub lies_in: &'static str,
    /// Degrees north, to a hundredth.
    pub latitude_deg: f64,
    /// Degrees east, to a hundredth.
    pub longitude_deg: f64,
    /// IANA zone.
    pub zone: &'static str,
    /// Where it stands in the list, from 0.
    pub row: usize,
}

impl Town {
    /// `Madison, WI, United States`.
    #[must_use]
    pub fn told(&self) -> String {
        format!("{}, {}", self.name, self.lies_in)
    }

    /// Whether people there go by °F and feet (facts of the trade: of the countries listed, the United States alone).
    #[must_use]
    pub fn is_us(&self) -> bool {
        self.lies_in.ends_with("United States")
    }

    /// The town of a row.
    #[must_use]
    pub fn of_row(row: usize) -> Option<Self> {
        let line = lines().nth(row)?;
        Self::read(row, line)
    }

    fn read(row: usize, line: &'static str) -> Option<Self> {
        let mut parts = line.split('\t');
        let (name, _) = (parts.next()?, parts.next()?);
        let lies_in = parts.next()?;
        let mut degrees = || parts.next()?.parse().ok();
        let (latitude_deg, longitude_deg) = (degrees()?, degrees()?);
        Some(Self { name, lies_in, latitude_deg, longitude_deg, zone: parts.next()?, row })
    }
}

/// Towns called so, the larger before the smaller, at most `most`: those of exactly this name, else those that begin so. `madison, wi` asks for the region or country too. Letters may go without their marks.
/// Checked by `towns::a_town_is_found_as_people_write_it`.
#[must_use]
pub fn called(words: &str, most: usize) -> Vec<Town> {
    let words = words.trim().to_lowercase();
    let (name, place) = words.split_once(',').unwrap_or((words.as_str(), ""));
    let (name, place) = (name.trim(), place.trim());
    if name.is_empty() {
        return Vec::new();
    }
    let (mut exact, mut begin) = (Vec::new(), Vec::new());
    for (row, line) in lines().enumerate() {
        let mut parts = line.split('\t');
        let (Some(own), Some(plain)) = (parts.next(), parts.next()) else { continue };
        let own = own.to_lowercase();
        let spellings = [own.as_str(), plain];
        let list = if spellings.contains(&name) {
            &mut exact
        } else if begin.len() < most && spellings.iter().any(|s| s.starts_with(name)) {
            &mut begin
        } else {
            continue;
        };
        list.extend(Town::read(row, line).filter(|t| {
            let lies_in = t.lies_in.to_lowercase();
            lies_in.starts_with(place) || lies_in.split(", ").any(|part| part.starts_with(place))
        }));
    }
    let mut found = if exact.is_empty() { begin } else { exact };
    found.truncate(most);
    found
}

fn lines() -> impl Iterator<Item = &'static str> {
    TOWNS.lines().filter(|l| !l.starts_with('#'))
}
