//! Lines, cells, numbers and dates out of plain bytes.

use super::calendar;
use crate::error::ReadError;

/// Place of the first `byte`, eight bytes at a time.
#[inline]
fn find(bytes: &[u8], byte: u8) -> Option<usize> {
    const ONES: u64 = 0x0101_0101_0101_0101;
    const HIGH: u64 = 0x8080_8080_8080_8080;
    let (eights, rest) = bytes.as_chunks::<8>();
    for (i, eight) in eights.iter().enumerate() {
        // A byte of x is zero where it equals the one sought; the lowest such byte is marked.
        let x = u64::from_le_bytes(*eight) ^ (ONES * u64::from(byte));
        let marked = x.wrapping_sub(ONES) & !x & HIGH;
        if marked != 0 {
            return Some(8 * i + marked.trailing_zeros() as usize / 8);
        }
    }
    rest.iter().position(|b| *b == byte).map(|p| 8 * eights.len() + p)
}

/// Lines with their numbers from 1; a carriage return at the end is dropped.
pub fn lines(bytes: &[u8]) -> impl Iterator<Item = (u64, &[u8])> {
    let mut rest = Some(bytes);
    let line = move || {
        let all = rest?;
        let end = find(all, b'\n');
        rest = end.map(|e| &all[e + 1..]);
        let line = &all[..end.unwrap_or(all.len())];
        Some(line.strip_suffix(b"\r").unwrap_or(line))
    };
    (1..).zip(std::iter::from_fn(line))
}

/// Cells of a comma-separated line; quotes around a cell and blanks are taken off.
pub fn comma(line: &[u8]) -> Comma<'_> {
    Comma { rest: Some(line) }
}

/// The cells of one line.
pub struct Comma<'a> {
    rest: Option<&'a [u8]>,
}

impl<'a> Iterator for Comma<'a> {
    type Item = &'a [u8];

    #[inline]
    fn next(&mut self) -> Option<&'a [u8]> {
        let rest = self.rest?;
        if matches!(rest.first(), Some(b' ' | b'"')) {
            return Some(self.quoted(rest));
        }
        Some(self.cut(rest, 0).trim_ascii_end())
    }
}

impl<'a> Comma<'a> {
    /// Cuts the line at the first comma at or after `from`.
    #[inline]
    fn cut(&mut self, rest: &'a [u8], from: usize) -> &'a [u8] {
        let Some(end) = find(&rest[from..], b',') else {
            self.rest = None;
            return rest;
        };
        self.rest = Some(&rest[from + end + 1..]);
        &rest[..from + end]
    }

    /// A cell that begins with a blank or a quote; a comma inside quotes does not end it.
    fn quoted(&mut self, rest: &'a [u8]) -> &'a [u8] {
        let lead = rest.iter().take_while(|b| **b == b' ').count();
        if rest.get(lead) != Some(&b'"') {
            return self.cut(rest, 0).trim_ascii();
        }
        let inner = &rest[lead + 1..];
        let end = inner.iter().position(|b| *b == b'"').unwrap_or(inner.len());
        self.cut(rest, lead + 1 + end);
        inner[..end].trim_ascii()
    }
}

/// A number in hundredths, and whether it carried the noise of binary fractions (more than six decimals).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hundredths {
    /// The number times 100, rounded; numbers beyond a million are held at a million.
    pub value: i32,
    /// More than six decimals were written.
    pub noisy: bool,
}

/// Greatest number that is told apart from greater ones, in hundredths.
const MOST: i32 = 100_000_000;

/// A decimal number, with or without sign, point and exponent.
pub fn number(cell: &[u8]) -> Option<Hundredths> {
    let (negative, digits) = match cell.first()? {
        b'-' => (true, &cell[1..]),
        b'+' => (false, &cell[1..]),
        _ => (false, cell),
    };
    let whole = digits.iter().take_while(|b| b.is_ascii_digit()).count();
    let mut value = digits[..whole]
        .iter()
        .fold(0_i32, |v, b| v.saturating_mul(10).saturating_add(i32::from(b - b'0')))
        .min(MOST / 100)
        * 100;
    let decimals = match digits[whole..].split_first() {
        None => &[][..],
        Some((b'.', rest)) => rest,
        Some((b'e' | b'E', _)) if whole > 0 => return exponent(cell),
        Some(_) => return None,
    };
    if !decimals.iter().all(u8::is_ascii_digit) {
        return decimals.iter().any(|b| matches!(b, b'e' | b'E')).then(|| exponent(cell)).flatten();
    }
    if whole + decimals.len() == 0 {
        return None;
    }
    let digit = |i: usize| decimals.get(i).map_or(0, |b| i32::from(b - b'0'));
    value += 10 * digit(0) + digit(1) + i32::from(digit(2) >= 5);
    let noisy = decimals.len() > 6;
    Some(Hundredths { value: if negative { -value } else { value }, noisy })
}

fn exponent(cell: &[u8]) -> Option<Hundredths> {
    let x: f64 = std::str::from_utf8(cell).ok()?.parse().ok()?;
    let most = f64::from(MOST);
    x.is_finite()
        .then(|| Hundredths { value: (x * 100.0).round().clamp(-most, most) as i32, noisy: true })
}

/// Whether a cell says that nothing was measured: empty, NA, NaN, null, M, −9999 or −999 (and all of CRN's nines).
pub fn missing(cell: &[u8]) -> bool {
    if cell.is_empty() {
        return true;
    }
    if matches!(cell[0], b'N' | b'n' | b'M' | b'm' | b'-' | b'9') {
        let word = |w: &str| cell.eq_ignore_ascii_case(w.as_bytes());
        let nines = cell.strip_prefix(b"-").unwrap_or(cell);
        let nines = nines.split(|b| *b == b'.').next().unwrap_or(nines);
        return ["na", "nan", "null", "none", "m", "-"].into_iter().any(word)
            || (nines.len() >= 4 && nines.iter().all(|b| *b == b'9'))
            || (cell[0] == b'-' && nines == b"999");
    }
    false
}

/// A whole number without sign.
pub fn digits(cell: &[u8]) -> Option<i32> {
    if cell.is_empty() || cell.len() > 8 {
        return None;
    }
    cell.iter().try_fold(0, |n, b| b.is_ascii_digit().then(|| n * 10 + i32::from(b - b'0')))
}

/// A day number from `YYYYMMDD` or `YYYY-MM-DD` (a time after it is left out).
pub fn date(cell: &[u8]) -> Option<i32> {
    let dashed = cell.get(4) == Some(&b'-') && cell.get(7) == Some(&b'-');
    let (y, m, d) = if dashed {
        if cell.len() > 10 && !matches!(cell[10], b'T' | b' ') {
            return None;
        }
        (cell.get(..4)?, cell.get(5..7)?, cell.get(8..10)?)
    } else if cell.len() == 8 {
        (&cell[..4], &cell[4..6], &cell[6..])
    } else {
        return None;
    };
    calendar::checked(digits(y)?, digits(m)?, digits(d)?)
}

/// What stands in a cell, shortened for a message.
pub fn shown(cell: &[u8]) -> String {
    let text: String = String::from_utf8_lossy(cell).chars().take(40).collect();
    format!("`{}`", text.escape_debug())
}

/// A [`ReadError::Row`].
pub fn wrong(line: u64, column: &str, found: String, expected: &str) -> ReadError {
    ReadError::Row { line, column: column.to_owned(), found, expected: expected.to_owned() }
}
