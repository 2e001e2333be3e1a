//! Numbers, units, times and plurals for readers, in the units of the garden.

use garden::fit::{Cover, Placement};
use garden::stock::SheetKind;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use quantities::units::{
    FOOT_M, INCH_M, MILE_M, MPH_M_S, OZ_PER_YD2_G_M2, fahrenheit_from_celsius,
};
use quantities::{Moment, UnitSystem};
use structure::range::Range;
use structure::wire_gauge::STEEL_WIRE_IN;
use structure::{Material, Section};

use evening::report::Spread;

/// `a`, `a and b`, `a, b and c`.
pub fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `3 beds`, `1 bed`.
pub fn count(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}

/// One decimal below ten, none above.
fn digits(x: f64) -> String {
    if x < 9.95 { format!("{x:.1}") } else { format!("{x:.0}") }
}

/// Numbers and times as one garden shows them: its units and zone.
pub struct GardenFormat {
    pub units: UnitSystem,
    pub zone: TimeZone,
}

impl GardenFormat {
    /// Units and zone; an unknown zone falls back to UTC, which `check` refuses beforehand.
    pub fn new(units: UnitSystem, zone: &str) -> Self {
        Self { units, zone: TimeZone::get(zone).unwrap_or(TimeZone::UTC) }
    }

    fn us(&self) -> bool {
        self.units == UnitSystem::Us
    }

    /// A temperature as a bare number: whole °F, or °C to a half.
    pub fn bare(&self, celsius: f64) -> String {
        if self.us() {
            format!("{}", tidy(fahrenheit_from_celsius(celsius).round()))
        } else {
            format!("{}", tidy((celsius * 2.0).round() / 2.0))
        }
    }

    /// A temperature with its unit.
    pub fn temperature(&self, celsius: f64) -> String {
        format!("{} {}", self.bare(celsius), self.degree())
    }

    /// The unit.
    pub fn degree(&self) -> &'static str {
        if self.us() { "°F" } else { "°C" }
    }

    /// `24 (21 to 27)`.
    pub fn spread(&self, s: &Spread) -> String {
        format!("{} ({} to {})", self.bare(s.p50), self.bare(s.p10), self.bare(s.p90))
    }

    /// A difference of temperatures, to a tenth.
    pub fn difference(&self, kelvin: f64) -> String {
        let x = if self.us() { kelvin * 1.8 } else { kelvin };
        format!("{}", tidy((x * 10.0).round() / 10.0))
    }

    /// Local time of day.
    pub fn time(&self, at: Moment) -> String {
        let format = if self.us() { "%-I:%M %p" } else { "%H:%M" };
        self.local(at).strftime(format).to_string().to_lowercase()
    }

    fn local(&self, at: Moment) -> ZonedDateTime {
        Timestamp::from_second(at.0).unwrap_or_default().to_zoned_datetime(self.zone.clone())
    }

    /// Local hour, 0 to 23.
    pub fn hour(&self, at: Moment) -> i8 {
        self.local(at).hour()
    }

    /// Local hour as short as an axis wants it: `9 pm`, `21`.
    pub fn clock_hour(&self, at: Moment) -> String {
        let format = if self.us() { "%-I %p" } else { "%-H" };
        self.local(at).strftime(format).to_string().to_lowercase()
    }

    /// `Friday 14 May`.
    pub fn date(&self, at: Moment) -> String {
        self.local(at).strftime("%A %-d %B").to_string()
    }

    /// `2027-05-14`, local.
    pub fn iso_date(&self, at: Moment) -> String {
        self.local(at).date().to_string()
    }

    /// Weekday, day and month of each of some moments, for narrow columns: `Fri`, `14`, `May`; the month empty where it is
    /// that of the one before.
    pub fn narrow_dates(&self, all: impl IntoIterator<Item = Moment>) -> Vec<[String; 3]> {
        let mut before = None;
        let one = |at| {
            let local = self.local(at);
            let new = before.replace(local.month()) != Some(local.month());
            let month = if new { local.strftime("%b").to_string() } else { String::new() };
            [local.strftime("%a").to_string(), local.strftime("%-d").to_string(), month]
        };
        all.into_iter().map(one).collect()
    }

    /// `Fri 14 May`.
    pub fn short_date(&self, at: Moment) -> String {
        self.local(at).strftime("%a %-d %b").to_string()
    }

    /// Local date.
    pub fn local_date(&self, at: Moment) -> Date {
        self.local(at).date()
    }

    /// The moment of a whole local hour of a date.
    pub fn at_hour(&self, date: Date, hour: i8) -> Option<Moment> {
        let zoned = date.at(hour, 0, 0, 0).to_zoned_datetime(self.zone.clone()).ok()?;
        Some(Moment(zoned.timestamp().as_second()))
    }

    /// The moment of a whole local hour on the day before that of `at`.
    pub fn at_hour_of_day_before(&self, at: Moment, hour: i8) -> Option<Moment> {
        self.at_hour(self.local_date(at).yesterday().ok()?, hour)
    }

    /// Three to six round temperatures between two, °C, each as it is shown.
    pub fn round_degrees(&self, low_c: f64, high_c: f64) -> Vec<(f64, String)> {
        let shown = |c: f64| if self.us() { fahrenheit_from_celsius(c) } else { c };
        let (low, high) = (shown(low_c), shown(high_c));
        let step = [1.0, 2.0, 5.0, 10.0, 20.0]
            .into_iter()
            .find(|s| (high - low) / s <= 5.0)
            .unwrap_or(50.0);
        let first = (low / step).ceil() as i64;
        let last = (high / step).floor() as i64;
        let back = |x: f64| if self.us() { (x - 32.0) / 1.8 } else { x };
        (first..=last.min(first + 10))
            .map(|k| (back(step * k as f64), format!("{:.0}", step * k as f64)))
            .collect()
    }

    /// A round length for a bar of scale, m.
    pub fn round_length_m(&self) -> f64 {
        if self.us() { 10.0 * FOOT_M } else { 3.0 }
    }

    /// Local day and time.
    pub fn day(&self, at: Moment) -> String {
        format!("{}, {}", self.date(at), self.time(at))
    }

    /// Wind.
    pub fn wind(&self, m_s: f64) -> String {
        if self.us() { format!("{:.0} mph", m_s / MPH_M_S) } else { format!("{m_s:.0} m/s") }
    }

    /// A short length.
    pub fn short(&self, metres: f64) -> String {
        if self.us() {
            format!("{:.0} in", metres / INCH_M)
        } else {
            format!("{:.0} cm", metres * 100.0)
        }
    }

    /// A long length.
    pub fn long(&self, metres: f64) -> String {
        if self.us() {
            format!("{} ft", tidy((metres / FOOT_M * 10.0).round() / 10.0))
        } else {
            format!("{} m", tidy((metres * 10.0).round() / 10.0))
        }
    }

    /// A height above the sea, or a difference of two.
    pub fn height(&self, metres: f64) -> String {
        if self.us() { format!("{:.0} ft", metres / FOOT_M) } else { format!("{metres:.0} m") }
    }

    /// A distance between places.
    pub fn distance(&self, km: f64) -> String {
        if self.us() { format!("{:.0} miles", km * 1000.0 / MILE_M) } else { format!("{km:.0} km") }
    }

    /// An area.
    pub fn area(&self, m2: f64) -> String {
        if self.us() {
            format!("{:.0} square feet", m2 / (FOOT_M * FOOT_M))
        } else {
            format!("{m2:.0} m²")
        }
    }

    /// A volume.
    pub fn volume(&self, m3: f64) -> String {
        if self.us() {
            format!("{:.0} cubic feet", m3 / FOOT_M.powi(3))
        } else {
            format!("{m3:.1} m³")
        }
    }

    /// Unit of short lengths.
    pub fn short_unit(&self) -> &'static str {
        if self.us() { "in" } else { "cm" }
    }

    /// Unit of wind.
    pub fn wind_unit(&self) -> &'static str {
        if self.us() { "mph" } else { "m/s" }
    }

    /// Low to likely of a short length, without its unit: `0.7 to 1.5`.
    pub fn short_range(&self, r: Range) -> String {
        let unit_m = if self.us() { INCH_M } else { 0.01 };
        format!("{} to {}", digits(r.low / unit_m), digits(r.central / unit_m))
    }

    /// Low to likely of a wind, without its unit.
    pub fn wind_range(&self, r: Range) -> String {
        let unit_m_s = if self.us() { MPH_M_S } else { 1.0 };
        format!("{:.0} to {:.0}", r.low / unit_m_s, r.central / unit_m_s)
    }

    /// A rod: `10-gauge soft wire`, `8 mm fibreglass rod`, `0.84 in PVC pipe`.
    pub fn rod(&self, material: Material, section: Section) -> String {
        let name = match material {
            Material::SoftWire => "soft wire",
            Material::SpringWire => "spring wire",
            Material::PvcPipe => "PVC pipe",
            Material::PePipe => "polyethylene pipe",
            Material::Fibreglass => "fibreglass rod",
            Material::Conduit => "conduit",
        };
        let gauge = STEEL_WIRE_IN
            .iter()
            .find(|(_, inches)| (inches * INCH_M - section.outer_m()).abs() < 1e-6)
            .filter(|_| matches!(material, Material::SoftWire | Material::SpringWire));
        match gauge {
            Some((gauge, _)) if self.us() => format!("{gauge}-gauge {name}"),
            _ if self.us() => {
                format!(
                    "{} in {name}",
                    tidy((section.outer_m() / INCH_M * 1000.0).round() / 1000.0)
                )
            }
            _ => format!("{} mm {name}", tidy((section.outer_m() * 10_000.0).round() / 10.0)),
        }
    }

    /// The cloth of a cover: `1.5 oz row cover`.
    pub fn cloth(&self, kind: SheetKind) -> String {
        match kind {
            SheetKind::RowCover { weight_g_m2 } if self.us() => {
                format!(
                    "{} oz row cover",
                    tidy((weight_g_m2 / OZ_PER_YD2_G_M2 * 100.0).round() / 100.0)
                )
            }
            SheetKind::RowCover { weight_g_m2 } => format!("{weight_g_m2:.0} g row cover"),
            SheetKind::Film { .. } => "clear film".into(),
            SheetKind::InsectNet => "insect net".into(),
            SheetKind::ShadeCloth { .. } => "shade cloth".into(),
        }
    }

    /// What to do with a cover: `lay "heavy 72" (1.5 oz row cover) over the hoops`.
    pub fn instruction(&self, cover: &Cover, name: Option<&str>) -> String {
        let name = name.unwrap_or("sheet");
        let cloth = cover.cloth.map(|c| self.cloth(c.kind)).unwrap_or_default();
        // What a name says already is not said again.
        let named = if cloth.is_empty() || name.to_lowercase().contains(&cloth) {
            format!("“{name}”")
        } else {
            format!("“{name}” ({cloth})")
        };
        let mut words = match cover.lie {
            Placement::LooseMulch { depth_m } => {
                return format!("strew loose straw {} deep over the plants", self.short(depth_m));
            }
            Placement::PopUp { .. } => return format!("set up {} × “{name}”", cover.pieces),
            Placement::LowTunnel { .. } => format!("{named} over the hoops"),
            Placement::Floating => format!("{named} laid on the plants"),
            Placement::Drape => {
                format!("{named} draped to the ground and tied at the base")
            }
        };
        if cover.layers > 1 {
            words = format!("two layers of {words}");
        }
        if cover.pieces > 1 {
            words += &format!(
                ", {} end to end with {} overlap",
                cover.pieces,
                self.short(garden::fit::OVERLAP_M)
            );
        }
        if cover.roll_up {
            words += &format!(", rolling up {} of skirt a side", self.short(cover.skirt_m));
        }
        words
    }
}

/// A number as people write it, with point or comma; nothing that is no finite number.
pub fn number(text: &str) -> Option<f64> {
    point(text).parse().ok().filter(|x: &f64| x.is_finite())
}

/// Degrees of a latitude or longitude as people write them: `-45.85`, `45.85 S`, `5.9° E`, `45°51'S`, `45° 51′ 30″ S`.
pub fn degrees(text: &str, [positive, negative]: [char; 2]) -> Option<f64> {
    let text = text.trim().trim_end_matches('.');
    let side = text.chars().last().map(|c| c.to_ascii_uppercase());
    let sign = match side {
        Some(c) if c == positive => 1.0,
        Some(c) if c == negative => -1.0,
        _ => return parts_of_degrees(text),
    };
    // A side and a sign together say two things.
    parts_of_degrees(&text[..text.len() - 1]).filter(|x| x.is_sign_positive()).map(|x| sign * x)
}

/// Degrees, minutes and seconds of arc, each but the last a whole number.
fn parts_of_degrees(text: &str) -> Option<f64> {
    let parts: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || "°'′’\"″”".contains(c))
        .filter(|p| !p.is_empty())
        .collect();
    if parts.len() > 3 {
        return None;
    }
    let (first, rest) = parts.split_first()?;
    let mut sum = number(first)?;
    let (sign, mut unit, mut last) = (1_f64.copysign(sum), 1.0, sum);
    for part in rest {
        let x = number(part).filter(|x| x.is_sign_positive() && *x < 60.0)?;
        if last.fract() != 0.0 {
            return None;
        }
        unit /= 60.0;
        sum += sign * unit * x;
        last = x;
    }
    Some(sum)
}

/// A place as latitude and longitude, in that order: `45.85 S, 170.5 E`, `43.6 -90.9`, `45°51'S 170°30'E`.
pub fn place(text: &str) -> Option<[f64; 2]> {
    let gaps = text.char_indices().filter(|(_, c)| c.is_whitespace() || ",;".contains(*c));
    let at = |(i, c): (usize, char)| {
        let north = degrees(&text[..i], LATITUDE_SIDES)?;
        let east = degrees(&text[i + c.len_utf8()..], LONGITUDE_SIDES)?;
        (north.abs() <= 90.0 && east.abs() <= 180.0).then_some([north, east])
    };
    gaps.filter_map(at).next()
}

/// The letters of a latitude's and of a longitude's sides.
pub const LATITUDE_SIDES: [char; 2] = ['N', 'S'];
pub const LONGITUDE_SIDES: [char; 2] = ['E', 'W'];

/// A number before it is read: a point for a comma, a hyphen for a minus sign.
pub fn point(text: &str) -> String {
    text.trim().replace(',', ".").replace('−', "-")
}

/// A number without a needless `.0` or `-0`.
fn tidy(x: f64) -> f64 {
    if x == 0.0 { 0.0 } else { x }
}

/// A chance in words of percent that never says never.
pub fn percent(p: f64) -> String {
    match p {
        p if p <= 0.0 => "under 1 %".into(),
        p if p >= 1.0 => "over 99 %".into(),
        p => format!("{:.0} %", (100.0 * p).clamp(1.0, 99.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_is_read_as_people_write_it() {
        let read = |t| degrees(t, LATITUDE_SIDES);
        for (text, x) in [
            ("45.85 S", Some(-45.85)),
            ("45,85s", Some(-45.85)),
            ("46.75° N", Some(46.75)),
            ("-45.85", Some(-45.85)),
            ("−45.85", Some(-45.85)),
            ("45°51'S", Some(-45.85)),
            ("45° 51′ 00″ S", Some(-45.85)),
            ("-45 51", Some(-45.85)),
            ("45 51.0 n", Some(45.85)),
            ("45.5° 51' S", None),
            ("45°61'S", None),
            ("1 2 3 4", None),
            ("-45.85 S", None),
            ("45.85 W", None),
            ("S", None),
            ("", None),
            ("é", None),
        ] {
            assert_eq!(read(text), x, "{text}");
        }
        assert_eq!(degrees("90.9 W", LONGITUDE_SIDES), Some(-90.9));
        for text in [
            "45.85 S, 170.5 E",
            "45,85 S 170,5 E",
            "45°51'S 170°30'E",
            "-45.85 170.5",
            "-45.85, 170.5",
        ] {
            assert_eq!(place(text), Some([-45.85, 170.5]), "{text}");
        }
        for text in ["Dunedin", "45.85 S", "95 10", "10 190", ", ", "é é"] {
            assert_eq!(place(text), None, "{text}");
        }
    }
}
