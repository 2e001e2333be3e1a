//! One note as a flat row, the same in CSV and JSON.

use serde::{Deserialize, Serialize};

use crate::digest::sha256;
use crate::entry::{
    Act, Cover, Entry, Extreme, InvalidValue, PLACEMENTS, Place, Placement, SheetState, Sighting,
    What,
};
use crate::exchange::file_row::{FileRow, id, moment};
use crate::id::Id;
use crate::keyword::Keyword as _;
use crate::utc;

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
    /// Layers of the cover.
    pub layers: Option<u32>,
    /// How the cover lies.
    pub placement: Option<String>,
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

impl FileRow for NoteRow {
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
        "layers",
        "placement",
        "temperature_c",
        "share",
        "plan",
        "task",
        "strikes",
        "note",
    ];

    fn from_item(e: &Entry) -> Self {
        let mut row = Self {
            id: Some(e.id.to_string()),
            at: utc::format(e.at),
            written: Some(utc::format(e.written)),
            what: String::new(),
            bed: e.bed().map(str::to_owned),
            place: None,
            sheet: e.sheet().map(str::to_owned),
            layers: e.cover().and_then(|c| c.layers),
            placement: e.cover().and_then(|c| c.placement).map(|p| p.keyword().to_owned()),
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
                extreme.keyword()
            }
            What::Cover { act, .. } => act.keyword(),
            What::Seen { sighting, .. } => {
                row.share = sighting.parts().1;
                sighting.parts().0
            }
            What::Sheet { state, .. } => state.keyword(),
            What::Done { plan, task, .. } => {
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

    fn into_item(self) -> Result<Entry, InvalidValue> {
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
        let back = Self::from_item(&entry);
        for (column, given, kept) in [
            ("bed", self.bed.is_some(), back.bed.is_some()),
            ("where", self.place.is_some(), back.place.is_some()),
            ("sheet", self.sheet.is_some(), back.sheet.is_some()),
            ("layers", self.layers.is_some(), back.layers.is_some()),
            ("placement", self.placement.is_some(), back.placement.is_some()),
            ("temperature_c", self.temperature_c.is_some(), back.temperature_c.is_some()),
            ("share", self.share.is_some(), back.share.is_some()),
            ("plan", self.plan.is_some(), back.plan.is_some()),
            ("task", self.task.is_some(), back.task.is_some()),
            ("strikes", self.strikes.is_some(), back.strikes.is_some()),
        ] {
            if given && !kept {
                let expected = format!("nothing, with what = {}", self.what);
                return Err(InvalidValue::new(column, "a value", expected));
            }
        }
        Ok(entry)
    }
}

impl NoteRow {
    /// A name for a note without one, from its contents: the same row has the same name each time it comes in.
    ///
    /// The first 32 digits of the SHA-256 of [`NoteRow::identity`].
    fn own_id(&self) -> Result<Id, InvalidValue> {
        let digest = sha256(self.identity().as_bytes());
        id("id", digest.get(..32))
    }

    /// What tells one note from another, written out. It never changes: the name of a note that came in once hangs on
    /// it. Members that came later stand only where they hold something.
    fn identity(&self) -> String {
        let text = |t: Option<&String>| {
            t.map_or_else(|| "None".to_owned(), |t| format!("Some({})", quoted(t)))
        };
        let number =
            |n: Option<String>| n.map_or_else(|| "None".to_owned(), |n| format!("Some({n})"));
        let mut out = format!(
            "NoteRow {{ id: {}, at: {}, written: {}, what: {}, bed: {}, place: {}, sheet: {}, \
             temperature_c: {}, share: {}, plan: {}, task: {}, strikes: {}, note: {}",
            text(self.id.as_ref()),
            quoted(&self.at),
            text(self.written.as_ref()),
            quoted(&self.what),
            text(self.bed.as_ref()),
            text(self.place.as_ref()),
            text(self.sheet.as_ref()),
            number(self.temperature_c.map(decimal)),
            number(self.share.map(decimal)),
            text(self.plan.as_ref()),
            number(self.task.map(|n| n.to_string())),
            text(self.strikes.as_ref()),
            text(self.note.as_ref()),
        );
        if let Some(layers) = self.layers {
            out += &format!(", layers: Some({layers})");
        }
        if let Some(placement) = &self.placement {
            out += &format!(", placement: Some({})", quoted(placement));
        }
        out + " }"
    }

    fn cover(&self, bed: String) -> Result<Cover, InvalidValue> {
        let placement = |word: &String| {
            Placement::from_keyword(word)
                .ok_or_else(|| InvalidValue::new("placement", word, PLACEMENTS))
        };
        let placement = self.placement.as_ref().map(placement).transpose()?;
        Ok(Cover { bed, sheet: self.sheet.clone(), layers: self.layers, placement })
    }

    fn what(&self) -> Result<What, InvalidValue> {
        let word = self.what.as_str();
        let bed = || needed("bed", self.bed.as_ref(), "the name of a bed");
        if let Some(extreme) = Extreme::from_keyword(word) {
            let celsius = self.temperature_c;
            let celsius =
                celsius.ok_or_else(|| InvalidValue::new("temperature_c", "", "degrees Celsius"))?;
            let place = match self.place.as_deref() {
                Some("open") => Place::Open { bed: self.bed.clone() },
                Some("under") => Place::Under { bed: bed()?, sheet: self.sheet.clone() },
                other => {
                    return Err(InvalidValue::new("where", other.unwrap_or(""), "open or under"));
                }
            };
            return Ok(What::Reading { extreme, celsius, place });
        }
        if let Some(act) = Act::from_keyword(word) {
            return Ok(What::Cover { act, cover: self.cover(bed()?)? });
        }
        if let Some(state) = SheetState::from_keyword(word) {
            let sheet = needed("sheet", self.sheet.as_ref(), "the name of a sheet")?;
            return Ok(What::Sheet { state, sheet });
        }
        match word {
            "loss" => {
                let share = self.share.ok_or_else(|| InvalidValue::new("share", "", "0 to 1"))?;
                Ok(What::Seen { sighting: Sighting::Loss(share), bed: bed()? })
            }
            "snow-brushed" => Ok(What::Seen { sighting: Sighting::SnowBrushed, bed: bed()? }),
            "voles" => Ok(What::Seen { sighting: Sighting::Voles, bed: bed()? }),
            "done" => {
                let task = self.task.ok_or_else(|| InvalidValue::new("task", "", "1 or more"))?;
                let cover = self.bed.clone().map(|bed| self.cover(bed)).transpose()?;
                Ok(What::Done { plan: id("plan", self.plan.as_deref())?, task, cover })
            }
            "undo" => Ok(What::Undo { strikes: id("strikes", self.strikes.as_deref())? }),
            other => Err(InvalidValue::new("what", other, WHATS)),
        }
    }
}

fn needed(
    column: &'static str,
    found: Option<&String>,
    expected: &str,
) -> Result<String, InvalidValue> {
    found.cloned().ok_or_else(|| InvalidValue::new(column, "", expected))
}

/// Text in quotes, with quotes, backslashes and line ends marked.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A number that always has a decimal point.
fn decimal(x: f64) -> String {
    if x.fract() == 0.0 { format!("{x:.1}") } else { x.to_string() }
}
