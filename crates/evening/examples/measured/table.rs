//! Bias and RMSE of a quantity beside its rival's, as rows of one table.

/// Pairs of what was said and what was measured.
#[derive(Clone, Debug, Default)]
pub struct Pairs {
    errors: Vec<f64>,
}

impl Pairs {
    /// Adds one pair.
    pub fn add(&mut self, said: f64, measured: f64) {
        self.errors.push(said - measured);
    }

    /// Number of pairs.
    pub fn n(&self) -> usize {
        self.errors.len()
    }

    /// Mean of said − measured.
    pub fn bias(&self) -> f64 {
        self.errors.iter().sum::<f64>() / self.n() as f64
    }

    /// A row of these pairs, aimed at nothing.
    pub fn row(&self, site: &'static str, quantity: impl Into<String>) -> Row {
        Row {
            site,
            quantity: quantity.into(),
            n: self.n(),
            bias: self.bias(),
            rmse: self.rmse(),
            rival: None,
            target: None,
        }
    }

    /// Root of the mean square.
    pub fn rmse(&self) -> f64 {
        (self.errors.iter().map(|e| e * e).sum::<f64>() / self.n() as f64).sqrt()
    }
}

/// One row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Where and when.
    pub site: &'static str,
    /// What.
    pub quantity: String,
    /// Number of values.
    pub n: usize,
    /// Mean of said − measured.
    pub bias: f64,
    /// Root mean square.
    pub rmse: f64,
    /// The same of the rival, if there is one.
    pub rival: Option<f64>,
    /// What was aimed at, and whether it was met; `None` when only reported.
    pub target: Option<(String, bool)>,
}

impl Row {
    /// The same row with a target and whether it was met.
    pub fn aim(self, target: &str, met: bool) -> Self {
        Self { target: Some((target.to_owned(), met)), ..self }
    }

    /// The same row beside its rival.
    pub fn against(self, rival: &Pairs) -> Self {
        Self { rival: Some(rival.rmse()), ..self }
    }
}

/// The table in Markdown.
pub fn markdown(rows: &[Row]) -> String {
    let mut out = String::from(
        "| site, season | quantity | n | bias | RMSE | rival's RMSE | target |\n|---|---|--:|--:|--:|--:|---|\n",
    );
    for r in rows {
        let rival = r.rival.map_or_else(String::new, |x| format!("{x:.2}"));
        let target = match &r.target {
            None => String::new(),
            Some((t, true)) => format!("{t}: met"),
            Some((t, false)) => format!("{t}: **missed**"),
        };
        out.push_str(&format!(
            "| {} | {} | {} | {:+.2} | {:.2} | {rival} | {target} |\n",
            r.site, r.quantity, r.n, r.bias, r.rmse
        ));
    }
    out
}
