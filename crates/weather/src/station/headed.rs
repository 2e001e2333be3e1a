//! Daily CSV with a header that names a date, a minimum and a maximum, among any other columns.
//!
//! The GHCN access CSV (`STATION,DATE,LATITUDE,…,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES`) is one of these: the second
//! part of an attribute is the quality flag, the fourth the hour of reading. The unit is in the column's name
//! (`tmin_c`, `tmin_f`, `tmin_tenths_c`) or told by the numbers ([`super::unit::infer`]). Depth of snow is `snow_depth_mm`,
//! `_cm` or `_in`; `SNWD` without a unit is taken for the network's millimetres where temperatures are in its tenths of °C.

use super::calendar::checked;
use super::cells::{comma, date, digits, lines, missing, number, shown, wrong};
use super::gather::{End, Gather};
use super::record::{Station, StationRecord};
use super::unit::Unit;
use crate::error::ReadError;

const FORMAT: &str = "daily CSV";

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    Date,
    Year,
    Month,
    Day,
    Min,
    Max,
    MinFlags,
    MaxFlags,
    Snow,
    SnowFlags,
    Id,
    Name,
    Latitude,
    Longitude,
    Elevation,
}

/// One more than the last [`Role`].
const ROLES: usize = 15;

/// Columns of the file.
struct Header {
    roles: Vec<Option<Role>>,
    names: [String; ROLES],
    unit: Option<Unit>,
    /// Millimetres of one unit of snow depth, where the column names its unit.
    snow_mm: Option<f64>,
    one_date: bool,
}

impl Header {
    fn has(&self, role: Role) -> bool {
        self.roles.contains(&Some(role))
    }

    fn name(&self, role: Role) -> &str {
        &self.names[role as usize]
    }
}

/// Role and unit of a column's name: letters and digits only, small letters, unit words taken out.
fn role(name: &[u8]) -> (Option<Role>, Option<Unit>) {
    let lower = name.to_ascii_lowercase();
    let (mut base, mut unit, mut tenths) = (String::new(), None, false);
    for word in lower.split(|b| !b.is_ascii_alphanumeric()).filter(|w| !w.is_empty()) {
        match word {
            b"c" | b"degc" | b"celsius" => unit = Some(Unit::Celsius),
            b"f" | b"degf" | b"fahrenheit" => unit = Some(Unit::Fahrenheit),
            b"tenths" => tenths = true,
            b"mm" | b"cm" | b"in" | b"inches" => {}
            _ => base.push_str(&String::from_utf8_lossy(word)),
        }
    }
    if tenths && unit != Some(Unit::Fahrenheit) {
        unit = Some(Unit::TenthsCelsius);
    }
    let role = match base.as_str() {
        "date" => Role::Date,
        "year" | "yr" => Role::Year,
        "month" | "mn" | "mo" => Role::Month,
        "day" | "dy" => Role::Day,
        "tmin" | "mint" | "mnt" | "min" | "minimum" | "tempmin" | "mintemp" | "mintemperature"
        | "minimumtemperature" | "temperaturemin" => Role::Min,
        "tmax" | "maxt" | "mxt" | "max" | "maximum" | "tempmax" | "maxtemp" | "maxtemperature"
        | "maximumtemperature" | "temperaturemax" => Role::Max,
        "snwd" | "snowdepth" | "snowcover" => Role::Snow,
        "snwdattributes" => Role::SnowFlags,
        "tminattributes" => Role::MinFlags,
        "tmaxattributes" => Role::MaxFlags,
        "station" | "id" | "stationid" => Role::Id,
        "name" | "stationname" => Role::Name,
        "latitude" | "lat" => Role::Latitude,
        "longitude" | "lon" | "long" => Role::Longitude,
        "elevation" | "elev" => Role::Elevation,
        _ => return (None, None),
    };
    (Some(role), unit)
}

/// Millimetres of one unit of length that a column's name ends in.
fn length_mm(name: &[u8]) -> Option<f64> {
    let last = name.rsplit(|b| !b.is_ascii_alphanumeric()).find(|w| !w.is_empty())?;
    match last.to_ascii_lowercase().as_slice() {
        b"mm" => Some(1.0),
        b"cm" => Some(10.0),
        b"in" | b"inches" => Some(25.4),
        _ => None,
    }
}

fn header(line: u64, text: &[u8]) -> Result<Header, ReadError> {
    let mut out = Header {
        roles: Vec::new(),
        names: Default::default(),
        unit: None,
        snow_mm: None,
        one_date: false,
    };
    for name in comma(text) {
        let (role, unit) = role(name);
        if let Some(role) = role {
            if out.has(role) {
                let expected = "each quantity in one column; take the other column out";
                return Err(wrong(line, &shown(name), "the same quantity twice".into(), expected));
            }
            out.names[role as usize] = String::from_utf8_lossy(name).into_owned();
            if role == Role::Snow {
                out.snow_mm = length_mm(name);
            }
            if matches!(role, Role::Min | Role::Max) {
                if out.unit.is_some() && unit.is_some() && out.unit != unit {
                    let expected = "minimum and maximum in one unit";
                    return Err(wrong(line, &shown(name), "two units".into(), expected));
                }
                out.unit = out.unit.or(unit);
            }
        }
        out.roles.push(role);
    }
    out.one_date = out.has(Role::Date);
    let dated = out.one_date || (out.has(Role::Year) && out.has(Role::Month) && out.has(Role::Day));
    if !dated || !(out.has(Role::Min) || out.has(Role::Max)) {
        return Err(ReadError::NotARecord {
            found: format!("text that begins with {}", shown(text)),
            hint: "a daily CSV begins with a header that names a date (or year, month, day), a minimum \
                   and a maximum, such as `date,tmin_f,tmax_f`"
                .into(),
        });
    }
    Ok(out)
}

/// Reads the bytes; `unit` is what the caller knows.
pub fn read(bytes: &[u8], unit: Option<Unit>) -> Result<StationRecord, ReadError> {
    let mut rows = lines(bytes).filter(|(_, l)| !l.trim_ascii().is_empty() && !l.starts_with(b"#"));
    let Some((line, text)) = rows.next() else { return Err(ReadError::EmptyRecord) };
    let header = header(line, text)?;
    let mut gather = Gather::default();
    gather.snow_in_doubt = header.snow_mm.is_none();
    let mut station: Option<Station> = None;
    let mut id: &[u8] = b"";
    for (line, text) in rows {
        let mut cells = [&b""[..]; ROLES];
        let mut count = 0;
        for (cell, role) in comma(text).zip(&header.roles) {
            if let Some(role) = role {
                cells[*role as usize] = cell;
            }
            count += 1;
        }
        if count < header.roles.len() {
            let expected = format!("{} cells, as many as the header has", header.roles.len());
            return Err(wrong(line, "all", format!("{count} cells"), &expected));
        }
        if station.is_none() {
            station = Some(described(&cells));
            id = cells[Role::Id as usize];
        } else if id != cells[Role::Id as usize] {
            let found = shown(cells[Role::Id as usize]);
            let expected = "one station in a file; cut the file by station";
            return Err(wrong(line, header.name(Role::Id), found, expected));
        }
        row(&mut gather, &header, line, &cells)?;
    }
    gather.finish(FORMAT, station.unwrap_or_default(), header.unit.or(unit))
}

fn row(
    g: &mut Gather,
    header: &Header,
    line: u64,
    cells: &[&[u8]; ROLES],
) -> Result<(), ReadError> {
    let of = |role: Role| cells[role as usize];
    let (day, column, found) = if header.one_date {
        (date(of(Role::Date)), Role::Date, of(Role::Date))
    } else {
        let day = (|| {
            checked(digits(of(Role::Year))?, digits(of(Role::Month))?, digits(of(Role::Day))?)
        })();
        (day, Role::Day, of(Role::Day))
    };
    let Some(day) = day else {
        let expected = "a day that exists, such as 1990-05-01, in the years 1700 to 2200";
        return Err(wrong(line, header.name(column), shown(found), expected));
    };
    g.day(day);
    for (end, value, flags) in
        [(End::Min, Role::Min, Role::MinFlags), (End::Max, Role::Max, Role::MaxFlags)]
    {
        let cell = of(value);
        if missing(cell) {
            continue;
        }
        let Some(number) = number(cell) else {
            let expected = "a number, or nothing (or NA, or -9999) where it is missing";
            return Err(wrong(line, header.name(value), shown(cell), expected));
        };
        let mut flags = of(flags).split(|b| *b == b',').map(<[u8]>::trim_ascii);
        if flags.nth(1).is_some_and(|quality| !quality.is_empty()) {
            g.tally.flagged += 1;
            continue;
        }
        if let (End::Min, Some(hour)) = (end, flags.nth(1).and_then(digits)) {
            g.tally.observed.note(hour);
        }
        g.tally.noisy += usize::from(number.noisy);
        g.put(day, end, number.value);
    }
    snow(g, header.snow_mm.unwrap_or(1.0), day, (of(Role::Snow), of(Role::SnowFlags)));
    Ok(())
}

/// Depth of snow, which no date hangs on: a cell that is no number counts as missing.
fn snow(g: &mut Gather, unit_mm: f64, day: i32, (cell, flags): (&[u8], &[u8])) {
    let flagged = flags.split(|b| *b == b',').nth(1).is_some_and(|q| !q.trim_ascii().is_empty());
    let depth = (!flagged && !missing(cell)).then(|| number(cell)).flatten();
    if let Some(depth) = depth {
        g.put_snow(day, f64::from(depth.value) / 100.0 * unit_mm);
    }
}

fn described(cells: &[&[u8]; ROLES]) -> Station {
    let text = |role: Role| {
        let cell = cells[role as usize];
        (!cell.is_empty()).then(|| String::from_utf8_lossy(cell).into_owned())
    };
    let number =
        |role: Role, most: f64| text(role)?.parse::<f64>().ok().filter(|x| x.abs() <= most);
    let id = text(Role::Id);
    Station {
        id: id.map(|i| i.strip_prefix("GHCND:").map(str::to_owned).unwrap_or(i)),
        name: text(Role::Name),
        latitude_deg: number(Role::Latitude, 90.0),
        longitude_deg: number(Role::Longitude, 180.0),
        elevation_m: number(Role::Elevation, 9_000.0),
        years: None,
    }
}
