//! Words to choose from, and what each means: spelled once, beside the type that they stand for.

use quantities::UnitSystem;
use structure::Material;

/// A word to choose.
#[derive(Clone, Copy, Debug)]
pub struct Choice {
    /// The word.
    pub word: &'static str,
    /// How to tell it from the others.
    pub means: &'static str,
}

/// What words of the garden file stand for.
pub trait Worded: Copy + PartialEq + 'static {
    /// The words, in the order of [`Worded::VALUES`].
    const CHOICES: &'static [Choice];
    /// What each stands for.
    const VALUES: &'static [Self];

    /// Its word.
    #[must_use]
    fn word(self) -> &'static str {
        let words = Self::VALUES.iter().zip(Self::CHOICES);
        words.filter(|(v, _)| **v == self).map(|(_, c)| c.word).next().unwrap_or_default()
    }

    /// What a word stands for, whatever its case.
    #[must_use]
    fn from_word(word: &str) -> Option<Self> {
        let same = |c: &Choice| c.word.eq_ignore_ascii_case(word.trim());
        Self::CHOICES.iter().position(same).and_then(|i| Self::VALUES.get(i).copied())
    }
}

/// Words in a row, as a sentence has them: a, b, c.
#[must_use]
pub fn listed(choices: &[Choice]) -> String {
    choices.iter().map(|c| c.word).collect::<Vec<_>>().join(", ")
}

/// Gives a type its words; with `enum` the type is made too, its meanings as its documentation.
macro_rules! worded {
    ($(#[$doc:meta])* pub enum $name:ident { $($value:ident = $word:literal, $means:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name {
            $(#[doc = $means] $value,)+
        }
        $crate::schema::words::worded!($name { $($value = $word, $means;)+ });
    };
    ($name:ident { $($value:ident = $word:literal, $means:literal;)+ }) => {
        impl $crate::schema::words::Worded for $name {
            const CHOICES: &'static [$crate::schema::words::Choice] =
                &[$($crate::schema::words::Choice { word: $word, means: $means }),+];
            const VALUES: &'static [Self] = &[$(Self::$value),+];
        }
    };
}
pub(crate) use worded;

worded!(UnitSystem {
    Us = "us", "°F, inches, feet, ounces";
    Metric = "metric", "°C, centimetres, metres, grams";
});

worded!(Material {
    SoftWire = "soft wire", "galvanised or bright mild steel; bends and stays bent";
    SpringWire = "spring wire", "hard-drawn steel; springs back";
    Fibreglass = "fibreglass", "rod; springs back, then breaks";
    PvcPipe = "pvc pipe", "rigid; give its wall too";
    PePipe = "polyethylene pipe", "water pipe; give its wall too";
    Conduit = "conduit", "thin-walled steel tube, bent to shape; give its wall too";
});
