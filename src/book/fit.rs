//! The edition's own lengths: how many pages its texts take compared with the outline, learned from
//! the pages known so far.
//!
//! Each kind of text (a section's headings of one level) has a scale. Expectation–maximisation: with
//! the scales the path gives expected gaps, from the gaps come new scales, drawn towards the scale of
//! the wider kind in proportion to how little is known. The spread of the lengths is the likeliest of
//! a few.

use super::channel::Emission;
use super::gap::GapTable;
use super::path::{Node, Path, Posterior};
use std::collections::HashMap;

/// One run of places with one numbering, ready for the path model.
#[derive(Debug, Clone, Default)]
pub struct Run {
    /// Places in the order of the book.
    pub stops: Vec<Stop>,
    /// Expected pages before the first place, and how far to trust it.
    pub lead: f64,
    /// Last page the run can have.
    pub last: i32,
}

/// One place of a run.
#[derive(Debug, Clone, Default)]
pub struct Stop {
    /// Expected length in pages, before any scale.
    pub length: f64,
    /// Names of its kind from wide to narrow; each has a scale.
    pub kinds: Vec<String>,
    /// What was read or said of it.
    pub readings: Vec<Emission>,
}

/// Rounds of expectation and maximisation; the scales move by under a per cent after the third.
const ROUNDS: usize = 3;
/// Pages of evidence that outweigh the scale of the wider kind.
const INERTIA: f64 = 8.0;
/// Variances of a text's length, in pages for each page of length, that are tried.
const SPREADS: [f64; 6] = [0.02, 0.05, 0.12, 0.25, 0.5, 1.0];
/// Standard deviation of a length as part of itself, beyond the fitted spread.
const OWN: f64 = 0.1;
/// Standard deviation, as part of the whole, of all lengths of a stretch nobody read: they err
/// together, since their kind may be longer in this edition. By trial on simulated editions.
const TOGETHER: f64 = 0.1;

/// Lengths of one edition.
#[derive(Debug, Clone)]
pub struct Fit {
    scales: HashMap<String, f64>,
    spread: f64,
}

impl Run {
    /// Fits the edition's lengths and settles every place.
    pub fn settle(&self) -> Vec<Posterior> {
        let mut fit = Fit { scales: HashMap::new(), spread: 0.12 };
        if self.stops.iter().any(|s| !s.readings.is_empty()) {
            for _ in 0..ROUNDS {
                let means = self.means(&fit);
                fit.scales = self.scales(&means);
            }
            fit.spread = self.likeliest_spread(&fit);
        }
        self.solve(&fit)
    }

    fn solve(&self, fit: &Fit) -> Vec<Posterior> {
        let (table, nodes) = self.nodes(fit);
        Path { gaps: table.gaps(), nodes, first: 1, last: self.last }.solve()
    }

    fn means(&self, fit: &Fit) -> Vec<f64> {
        self.solve(fit).iter().map(|p| p.mean()).collect()
    }

    fn likeliest_spread(&self, fit: &Fit) -> f64 {
        let likelihood = |spread: f64| {
            let (table, nodes) = self.nodes(&Fit { spread, ..fit.clone() });
            Path { gaps: table.gaps(), nodes, first: 1, last: self.last }.log_likelihood()
        };
        let tried = SPREADS.map(|spread| (spread, likelihood(spread)));
        tried.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(fit.spread, |t| t.0)
    }

    /// New scales from the expected pages of all places.
    fn scales(&self, means: &[f64]) -> HashMap<String, f64> {
        let known = self.stops.iter().rposition(|s| !s.readings.is_empty()).unwrap_or(0);
        let mut sums: HashMap<&str, (f64, f64, Option<&str>)> = HashMap::new();
        let gaps = means.windows(2).map(|w| w[1] - w[0]);
        for (stop, gap) in self.stops.iter().zip(gaps).take(known) {
            // One foreign insertion must not stretch its whole kind.
            let gap = gap.min(4.0 * stop.length + 4.0);
            let mut wider = None;
            for kind in &stop.kinds {
                let sum = sums.entry(kind).or_insert((0.0, 0.0, wider));
                sum.0 += gap;
                sum.1 += stop.length.max(MIN_LENGTH);
                wider = Some(kind);
            }
        }
        let mut scales = HashMap::new();
        for kind in sums.keys() {
            scale_of(kind, &sums, &mut scales);
        }
        scales
    }

    /// The path's nodes under `fit`.
    fn nodes(&self, fit: &Fit) -> (GapTable, Vec<Node>) {
        let expected: Vec<f64> = self.stops.iter().map(|s| fit.length(s)).collect();
        let stretches = self.stretches(&expected);
        let mut table = GapTable::default();
        let mut nodes = Vec::with_capacity(self.stops.len());
        let mut gap = table.index(self.lead, self.lead.max(1.0));
        for (i, stop) in self.stops.iter().enumerate() {
            nodes.push(Node { gap, readings: stop.readings.clone() });
            let (length, stretch) = (expected[i], stretches[i]);
            let variance =
                fit.spread * length + (OWN * length).powi(2) + TOGETHER.powi(2) * length * stretch;
            gap = table.index(length, variance.sqrt());
        }
        (table, nodes)
    }

    /// For each place the expected pages of the stretch without readings that its text is part of.
    fn stretches(&self, expected: &[f64]) -> Vec<f64> {
        let mut stretches = vec![0.0; expected.len()];
        let mut from = 0;
        for at in 0..=expected.len() {
            let ends = self.stops.get(at).is_none_or(|s| !s.readings.is_empty());
            if ends {
                let whole: f64 = expected[from..at].iter().sum();
                stretches[from..at].iter_mut().for_each(|s| *s = whole);
                from = at;
            }
        }
        stretches
    }
}

/// A heading over a text on the same page still takes some room.
const MIN_LENGTH: f64 = 0.06;

impl Fit {
    fn length(&self, stop: &Stop) -> f64 {
        let known = stop.kinds.iter().rev().find_map(|k| self.scales.get(k));
        stop.length.max(MIN_LENGTH) * known.copied().unwrap_or(1.0)
    }
}

type Sums<'a> = HashMap<&'a str, (f64, f64, Option<&'a str>)>;

/// The scale of `kind`, drawn towards that of the wider kind, or towards one.
fn scale_of(kind: &str, sums: &Sums, scales: &mut HashMap<String, f64>) -> f64 {
    if let Some(scale) = scales.get(kind) {
        return *scale;
    }
    let Some((gaps, lengths, wider)) = sums.get(kind) else { return 1.0 };
    let towards = wider.map_or(1.0, |w| scale_of(w, sums, scales));
    let scale = (gaps + INERTIA * towards) / (lengths + INERTIA);
    scales.insert(kind.to_owned(), scale);
    scale
}
