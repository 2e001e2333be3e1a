//! Paragraphs and heads of a given width, for a terminal of 80 columns or a phone.

use textwrap::{WordSeparator, WordSplitter};

/// Text being written.
pub struct Paragraphs {
    out: String,
    width: usize,
}

impl Paragraphs {
    /// An empty one of `width` columns.
    pub fn new(width: usize) -> Self {
        Self { out: String::new(), width }
    }

    /// Columns.
    pub fn width(&self) -> usize {
        self.width
    }

    /// One paragraph, wrapped, its lines after the first indented by `indent`.
    pub fn say(&mut self, first: &str, indent: usize, text: &str) {
        let words: Vec<&str> = text.split_whitespace().collect();
        let rest = " ".repeat(indent);
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(&rest)
            .break_words(false)
            .word_separator(WordSeparator::AsciiSpace)
            .word_splitter(WordSplitter::NoHyphenation);
        let filled = textwrap::fill(&words.join(" "), options);
        self.out.push_str(filled.trim_end());
        self.out.push('\n');
    }

    /// A line whose own indent is kept, its further lines indented by `indent`.
    pub fn list_item(&mut self, indent: usize, text: &str) {
        let first = " ".repeat(text.len() - text.trim_start().len());
        self.say(&first, indent, text);
    }

    /// A head after an empty line.
    pub fn head(&mut self, text: &str) {
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        let bold = anstyle::Style::new().bold();
        self.out.push_str(&format!("{bold}{text}{bold:#}\n"));
    }

    /// Lines as they are.
    pub fn raw(&mut self, lines: &str) {
        self.out.push_str(lines);
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.out.push('\n');
    }

    /// The text.
    pub fn finish(self) -> String {
        self.out
    }
}
