//! What is counted.

/// Of many nights.
#[derive(Clone, Debug, Default)]
pub struct Count {
    pub nights: u32,
    pub seasons: u32,
    pub frosts: u32,
    /// Frost nights by what told them first in time.
    pub evening: u32,
    pub change: u32,
    pub night: u32,
    /// By a warning that something cannot be seen.
    pub blind: u32,
    /// By the phone's calendar alone, which rings for the plan that it holds and where none has come.
    pub calendar: u32,
    /// By nothing.
    pub untold: Vec<String>,
    /// By nothing, the program dead for hours before, after an evening on which frost was unlikely.
    pub dead: Vec<String>,
    /// Evenings told to cover, and how many of them stayed 2 K above the limit.
    pub told: u32,
    pub false_alarms: u32,
    /// Messages a night: how many nights had so many, the last of all that had more.
    pub by_number: [u32; 8],
    pub messages: u32,
    pub deaths: u32,
    /// Messages that reached nobody although somebody could be reached before they were of no use.
    pub lost: u32,
    /// Messages handed over twice under one name, after a death between sending and noting it.
    pub twice: u32,
    /// The same thing said twice under two names.
    pub doubled: u32,
}

impl Count {
    pub fn add(&mut self, other: &Self) {
        for (sum, one) in [
            (&mut self.nights, other.nights),
            (&mut self.seasons, other.seasons),
            (&mut self.frosts, other.frosts),
            (&mut self.evening, other.evening),
            (&mut self.change, other.change),
            (&mut self.night, other.night),
            (&mut self.blind, other.blind),
            (&mut self.calendar, other.calendar),
            (&mut self.told, other.told),
            (&mut self.false_alarms, other.false_alarms),
            (&mut self.messages, other.messages),
            (&mut self.deaths, other.deaths),
            (&mut self.lost, other.lost),
            (&mut self.twice, other.twice),
            (&mut self.doubled, other.doubled),
        ] {
            *sum += one;
        }
        for (sum, one) in self.by_number.iter_mut().zip(other.by_number) {
            *sum += one;
        }
        self.untold.extend(other.untold.iter().cloned());
        self.dead.extend(other.dead.iter().cloned());
    }

    /// Whether no frost night passed without a word, and no message was lost or doubled.
    pub fn sound(&self) -> bool {
        self.untold.is_empty() && self.lost == 0 && self.doubled == 0 && self.frosts > 0
    }
}

impl std::fmt::Display for Count {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let share = |n: u32, of: u32| 100.0 * f64::from(n) / f64::from(of.max(1));
        writeln!(f, "{} nights, {} of them with frost", self.nights, self.frosts)?;
        for (what, n) in [
            ("told the evening before", self.evening),
            ("told by a change of plan", self.change),
            ("told in the night", self.night),
            ("warned that something could not be seen", self.blind),
            ("rung by the phone's calendar alone", self.calendar),
        ] {
            writeln!(f, "  {n:5} ({:4.1} %) {what}", share(n, self.frosts))?;
        }
        for (what, nights) in [
            ("unforetold, the program dead for four hours before: nobody could tell", &self.dead),
            ("without a word in time", &self.untold),
        ] {
            writeln!(f, "  {:5}          {what}", nights.len())?;
            for night in nights {
                writeln!(f, "        {night}")?;
            }
        }
        let seasons = f64::from(self.seasons.max(1));
        writeln!(
            f,
            "told to cover in {} evenings; {} stayed 2 K above the limit ({:.1} a season)",
            self.told,
            self.false_alarms,
            f64::from(self.false_alarms) / seasons
        )?;
        let nights: Vec<String> = self.by_number.iter().map(u32::to_string).collect();
        writeln!(f, "nights with 0, 1, 2 … 7 or more messages: {}", nights.join(" "))?;
        write!(
            f,
            "{} messages, {} deaths: {} lost, {} doubled, {} handed over twice under one name",
            self.messages, self.deaths, self.lost, self.doubled, self.twice
        )
    }
}
