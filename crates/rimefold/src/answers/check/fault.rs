//! A fault of the garden file in words: line and word in a sentence, the line itself, what could stand there.

use garden::file::Fault;

/// Longest part of a line that is shown, characters.
const LONGEST: usize = 68;
/// Longest word that is named, characters.
const LONGEST_WORD: usize = 30;

/// Three parts, a line each: what is wrong where, the line indented, what could stand there.
pub fn told(text: &str, fault: &Fault) -> String {
    let start = boundary(text, fault.span.start);
    let end = boundary(text, fault.span.end).max(start);
    let number = text[..start].matches('\n').count() + 1;
    let from = text[..start].rfind('\n').map_or(0, |i| i + 1);
    let line = text[from..].lines().next().unwrap_or_default();
    let word = text[start..end].trim_matches(['"', '\'', ' ']);
    // A word that the sentence names already, or that is no single word, is not named again.
    let named = word.is_empty()
        || word.contains('\n')
        || word.chars().count() > LONGEST_WORD
        || fault.message.contains(word);
    let at = if named { String::new() } else { format!(", at “{word}”") };
    let shown = around(line, text[from..start].chars().count());
    format!("Line {number}{at}: {}.\n    {shown}\n{}", fault.message, fault.could_stand())
}

/// The nearest place at or before `at` where a letter begins.
fn boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// A line without its indent; of a long one the part around a column.
fn around(line: &str, column: usize) -> String {
    let letters: Vec<char> = line.chars().collect();
    if letters.len() <= LONGEST {
        return line.trim().to_owned();
    }
    let from = column.saturating_sub(LONGEST / 2).min(letters.len() - LONGEST);
    let part: String = letters[from..from + LONGEST].iter().collect();
    let before = if from > 0 { "… " } else { "" };
    let after = if from + LONGEST < letters.len() { " …" } else { "" };
    format!("{before}{}{after}", part.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(span: std::ops::Range<usize>, message: &str) -> Fault {
        let expected = "a number from -66 to 66".to_owned();
        Fault { span, message: message.into(), expected, nearest: None }
    }

    #[test]
    fn line_word_and_what_could_stand_there() {
        let text = "[place]\n  latitude = \"north\"\n";
        let at = text.find("\"north").expect("it is there");
        assert_eq!(
            told(text, &fault(at..at + 7, "latitude is not a number")),
            "Line 2, at “north”: latitude is not a number.\n    latitude = \"north\"\nWhat could stand there: a number from -66 to 66."
        );
    }

    #[test]
    fn any_span_of_any_text_is_told() {
        let text = "é = \"ü\"\n".repeat(40).replace('\n', " ");
        for start in 0..text.len() + 2 {
            let line = told(&text, &fault(start..start + 3, "no"));
            assert!(line.lines().all(|l| l.chars().count() <= 80), "{line}");
        }
    }
}
