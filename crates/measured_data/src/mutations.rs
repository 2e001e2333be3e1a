//! Files damaged at random, the same for the same seed: what every reader is held against.
//!
//! `RIMEFOLD_EXECUTIONS` says how many, else each reader has few enough for `./check`. A file that once made a reader fail is kept among
//! the good ones of its corpus, so that it is read first each time.

use std::cell::RefCell;
use std::path::Path;
use std::time::Instant;

/// Words that mean something to one reader or another.
const WORDS: [&str; 24] = [
    "null",
    "true",
    "NaN",
    "-0",
    "1e308",
    "-1e-308",
    "99999999999999999999",
    "\"\"",
    "[]",
    "{}",
    "[[",
    "\u{0}",
    "\u{feff}",
    "\r\n",
    "\n\n",
    ",,",
    "\t",
    "'",
    "\"",
    "=",
    "-",
    "\u{202e}",
    "9999-12-31T23:59:59Z",
    "P99999D",
];

/// Marsaglia's xorshift (2003, from memory): 64 bits, never nothing.
pub struct Random(u64);

impl Random {
    /// From a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// The next number below `end`; 0 where that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((u128::from(self.0) * end as u128) >> 64) as usize
    }
}

/// A file of the corpus, damaged in one to three ways.
#[must_use]
pub fn damaged(corpus: &[Vec<u8>], random: &mut Random) -> Vec<u8> {
    let mut out = corpus.get(random.below(corpus.len())).cloned().unwrap_or_default();
    for _ in 0..=random.below(3) {
        damage(&mut out, corpus, random);
    }
    out
}

fn damage(out: &mut Vec<u8>, corpus: &[Vec<u8>], random: &mut Random) {
    let at = random.below(out.len() + 1);
    let end = (at + random.below(24)).min(out.len());
    match random.below(9) {
        0 => {
            if let Some(byte) = out.get_mut(at) {
                *byte ^= 1 << random.below(8);
            }
        }
        1 => {
            if let Some(byte) = out.get_mut(at) {
                *byte = random.below(256) as u8;
            }
        }
        2 => drop(out.drain(at..end)),
        3 => {
            let again = out[at..end].to_vec();
            drop(out.splice(at..at, again));
        }
        4 => {
            let word = WORDS[random.below(WORDS.len())];
            drop(out.splice(at..end, word.bytes()));
        }
        5 => out.truncate(at),
        6 => {
            // A digit becomes another: dates, units and sizes that nearly are.
            if let Some(digit) = out.iter_mut().skip(at).find(|b| b.is_ascii_digit()) {
                *digit = b'0' + random.below(10) as u8;
            }
        }
        7 => {
            let other = &corpus[random.below(corpus.len())];
            let from = random.below(other.len() + 1);
            let to = (from + random.below(60)).min(other.len());
            drop(out.splice(at..end, other[from..to].to_vec()));
        }
        _ => {
            let other = random.below(out.len() + 1);
            if at < out.len() && other < out.len() {
                out.swap(at, other);
            }
        }
    }
}

/// Every file of a folder, in the order of their names.
///
/// # Panics
/// Where the folder cannot be read, or is empty.
#[must_use]
#[expect(clippy::expect_used, reason = "a test says what went wrong by failing")]
pub fn corpus(folder: &Path) -> Vec<Vec<u8>> {
    let all = std::fs::read_dir(folder).expect("the corpus is there");
    let mut paths: Vec<_> = all.map(|e| e.expect("an entry").path()).collect();
    paths.sort();
    assert!(!paths.is_empty(), "no file in {}", folder.display());
    paths.iter().map(|p| std::fs::read(p).expect("it is read")).collect()
}

/// Gives a reader the corpus, then damaged files, `few` where nothing else is asked for, and tells how many and how long; one that panics fails the test, which
/// then shows the file.
///
/// # Panics
/// Where the reader does.
pub fn hold_against(name: &str, corpus: &[Vec<u8>], few: u64, mut read: impl FnMut(&[u8])) {
    let number = |name: &str| std::env::var(name).ok().and_then(|n| n.parse::<u64>().ok());
    let count = number("RIMEFOLD_EXECUTIONS").unwrap_or(few);
    let seed = number("RIMEFOLD_SEED").unwrap_or(1);
    let (mut random, begun) = (Random::new(seed), Instant::now());
    let under_way = UnderWay::default();
    let mut give = |file: Vec<u8>| {
        under_way.0.replace(file);
        read(&under_way.0.borrow());
    };
    corpus.iter().cloned().for_each(&mut give);
    (0..count).for_each(|_| give(damaged(corpus, &mut random)));
    let took = begun.elapsed().as_secs_f64();
    println!("{name}: {count} damaged files from seed {seed}, {took:.0} s");
}

/// The file that is being read, told when its reader panics.
#[derive(Default)]
struct UnderWay(RefCell<Vec<u8>>);

impl Drop for UnderWay {
    fn drop(&mut self) {
        if std::thread::panicking() {
            println!("the file: {:?}", String::from_utf8_lossy(&self.0.borrow()));
        }
    }
}
