//! Paragraphs and heads of a given width, for a terminal of 80 columns or a phone.

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
        let mut line = first.to_owned();
        let mut empty = true;
        for word in text.split_whitespace() {
            let length = line.chars().count() + 1 + word.chars().count();
            if !empty && length > self.width {
                self.out.push_str(line.trim_end());
                self.out.push('\n');
                line = " ".repeat(indent);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.out.push_str(line.trim_end());
        self.out.push('\n');
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
