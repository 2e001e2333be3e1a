//! One note as a flat row, the same in CSV and JSON.

use quantities::Moment;
use serde::{Deserialize, Serialize};

use crate::diary::entry::{Act, Entry, Extreme, Place, Sight, State, What, Wrong};
use crate::diary::exchange::rows::Flat;
use crate::diary::id::Id;
use crate::diary::stamp;
use crate::diary::words::Worded as _;
use crate::digest::sha256;

/// One note; columns that do not concern its `what` are empty.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteRow {
    /// 32 hexadecimal digits; may be empty in a file of your own.
    pub id: Option<String>,
    /// When it happened, UTC.
    pub at: String,
    /// When it was written down, UTC; may be empty in a file of your own.
    pub written: Option<String>,
    /// What happened, in one word.
    pub what: String,
    /// Bed.
    pub bed: Option<String>,
    /// `open` or `under`, for a reading.
    #[serde(rename = "where")]
    pub place: Option<String>,
    /// Sheet or pop-up tunnel.
    pub sheet: Option<String>,
    /// °C.
    pub temperature_c: Option<f64>,
    /// Share lost, 0 to 1.
    pub share: Option<f64>,
    /// Id of a plan.
    pub plan: Option<String>,
    /// Task in its order of work, from 1.
    pub task: Option<u32>,
    /// Id of the entry that is taken back.
    pub strikes: Option<String>,
    /// The grower's own words.
    pub note: Option<String>,
}

/// Every word of `what`.
const WHATS: &str = "minimum, maximum, covered, opened, half-open, vented, loss, snow-brushed, voles, \
                     damaged, retired, done or undo";

impl Flat for NoteRow {
    type Item = Entry;
    const FILE: &'static str = "notes.csv";
    const COLUMNS: &'static [&'static str] = &[
        "id",
        "at",
        "written",
        "what",
        "bed",
        "where",
        "sheet",
        "temperature_c",
        "share",
        "plan",
        "task",
        "strikes",
        "note",
    ];

    fn of(e: &Entry) -> Self {
        let mut row = Self {
            id: Some(e.id.to_string()),
            at: stamp::write(e.at),
            written: Some(stamp::write(e.written)),
            what: String::new(),
            bed: e.bed().map(str::to_owned),
            place: None,
            sheet: e.sheet().map(str::to_owned),
            temperature_c: None,
            share: None,
            plan: None,
            task: None,
            strikes: None,
            note: e.note.clone(),
        };
        row.what = match &e.what {
            What::Reading { extreme, celsius, place } => {
                let open = matches!(place, Place::Open { .. });
                row.place = Some(if open { "open" } else { "under" }.to_owned());
                row.temperature_c = Some(*celsius);
                extreme.word()
            }
            What::Cover { act, .. } => act.word(),
            What::Seen { sight, .. } => {
                row.share = sight.parts().1;
                sight.parts().0
            }
            What::Sheet { state, .. } => state.word(),
            What::Done { plan, task } => {
                (row.plan, row.task) = (Some(plan.to_string()), Some(*task));
                "done"
            }
            What::Undo { strikes } => {
                row.strikes = Some(strikes.to_string());
                "undo"
            }
        }
        .to_owned();
        row
    }

    fn item(self) -> Result<Entry, Wrong> {
        let id = match self.id.as_deref().filter(|id| !id.is_empty()) {
            Some(id) => self::id("id", Some(id))?,
            None => self.own_id()?,
        };
        let what = self.what()?;
        let at = moment("at", &self.at)?;
        let written = self.written.as_deref().map_or(Ok(at), |w| moment("written", w))?;
        let entry = Entry { id, at, written, what, note: self.note.clone() };
        entry.check()?;
        // What the entry does not hold is not silently lost.
        let back = Self::of(&entry);
        for (column, given, kept) in [
            ("bed", self.bed.is_some(), back.bed.is_some()),
            ("where", self.place.is_some(), back.place.is_some()),
            ("sheet", self.sheet.is_some(), back.sheet.is_some()),
            ("temperature_c", self.temperature_c.is_some(), back.temperature_c.is_some()),
            ("share", self.share.is_some(), back.share.is_some()),
            ("plan", self.plan.is_some(), back.plan.is_some()),
            ("task", self.task.is_some(), back.task.is_some()),
            ("strikes", self.strikes.is_some(), back.strikes.is_some()),
        ] {
            if given && !kept {
                let expected = format!("nothing, with what = {}", self.what);
                return Err(Wrong::new(column, "a value", expected));
            }
        }
        Ok(entry)
    }
}

impl NoteRow {
    /// A name for a note without one, from its contents: the same row has the same name each time it comes in.
    fn own_id(&self) -> Result<Id, Wrong> {
        let digest = sha256(format!("{self:?}").as_bytes());
        id("id", digest.get(..32))
    }

    fn what(&self) -> Result<What, Wrong> {
        let word = self.what.as_str();
        let bed = || needed("bed", self.bed.as_ref(), "the name of a bed");
        if let Some(extreme) = Extreme::of(word) {
            let celsius = self.temperature_c;
            let celsius =
                celsius.ok_or_else(|| Wrong::new("temperature_c", "", "degrees Celsius"))?;
            let place = match self.place.as_deref() {
                Some("open") => Place::Open { bed: self.bed.clone() },
                Some("under") => Place::Under { bed: bed()?, sheet: self.sheet.clone() },
                other => return Err(Wrong::new("where", other.unwrap_or(""), "open or under")),
            };
            return Ok(What::Reading { extreme, celsius, place });
        }
        if let Some(act) = Act::of(word) {
            return Ok(What::Cover { act, bed: bed()?, sheet: self.sheet.clone() });
        }
        if let Some(state) = State::of(word) {
            let sheet = needed("sheet", self.sheet.as_ref(), "the name of a sheet")?;
            return Ok(What::Sheet { state, sheet });
        }
        match word {
            "loss" => {
                let share = self.share.ok_or_else(|| Wrong::new("share", "", "0 to 1"))?;
                Ok(What::Seen { sight: Sight::Loss(share), bed: bed()? })
            }
            "snow-brushed" => Ok(What::Seen { sight: Sight::SnowBrushed, bed: bed()? }),
            "voles" => Ok(What::Seen { sight: Sight::Voles, bed: bed()? }),
            "done" => {
                let task = self.task.ok_or_else(|| Wrong::new("task", "", "1 or more"))?;
                Ok(What::Done { plan: id("plan", self.plan.as_deref())?, task })
            }
            "undo" => Ok(What::Undo { strikes: id("strikes", self.strikes.as_deref())? }),
            other => Err(Wrong::new("what", other, WHATS)),
        }
    }
}

fn needed(column: &'static str, found: Option<&String>, expected: &str) -> Result<String, Wrong> {
    found.cloned().ok_or_else(|| Wrong::new(column, "", expected))
}

/// A moment in a column.
pub fn moment(column: &'static str, text: &str) -> Result<Moment, Wrong> {
    stamp::read(text).ok_or_else(|| Wrong::new(column, text, stamp::EXPECTED))
}

/// An id in a column.
pub fn id(column: &'static str, text: Option<&str>) -> Result<Id, Wrong> {
    let text = text.unwrap_or_default();
    Id::try_from(text.to_owned())
        .map_err(|_| Wrong::new(column, text, "an id of 32 digits 0-9 and a-f"))
}
