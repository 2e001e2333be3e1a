//! Sheets noted as damaged: the plan takes them as worn until the garden file says more.

use diary::Diary;
use diary::entries::JudgedEntry;
use diary::entry::{SheetState, What};
use garden::Garden;
use garden::lying::alike;
use garden::stock::Condition;
use quantities::Moment;

/// Names of the sheets that were damaged when they were last told of, by the entries that stand until a moment.
pub fn damaged(entries: &[JudgedEntry], at: Moment) -> Vec<String> {
    let mut told: Vec<(Moment, &str, SheetState)> = entries
        .iter()
        .filter(|e| e.stands && e.entry.at <= at)
        .filter_map(|e| match &e.entry.what {
            What::Sheet { state, sheet } => Some((e.entry.at, sheet.as_str(), *state)),
            _ => None,
        })
        .collect();
    told.sort_by_key(|t| t.0);
    let mut out: Vec<String> = Vec::new();
    for (_, sheet, state) in told {
        out.retain(|name| !alike(name, sheet));
        if state == SheetState::Damaged {
            out.push(sheet.to_owned());
        }
    }
    out
}

/// The same from a diary; nothing where it cannot be read.
pub fn damaged_in(diary: Option<&Diary>, at: Moment) -> Vec<String> {
    damaged(&diary.and_then(|d| d.entries().ok()).unwrap_or_default(), at)
}

/// Takes damaged sheets as worn where the garden file calls them good and does not say what share of them is open. Of several
/// pieces all: the diary does not tell which.
///
/// Checked by `upkeep::a_sheet_noted_as_damaged_protects_less`.
pub fn take_as_worn(garden: &mut Garden, damaged: &[String]) {
    for sheet in &mut garden.stock.sheets {
        let noted = damaged.iter().any(|name| alike(name, &sheet.name));
        if noted && sheet.condition == Condition::Good && sheet.torn_share.is_none() {
            sheet.condition = Condition::Worn;
        }
    }
}
