//! The edition's own lengths: how many pages its texts take compared with the outline, learned from
//! the pages known so far.
//!
//! Each kind of text (a section's headings of one level) has a scale. Expectation–maximisation: with
//! the scales the path gives expected gaps, from the gaps come new scales, drawn towards the scale of
//! the wider kind in proportion to how little is known. The spread of the lengths is the likeliest of
//! a few.

use super::channel::Emission;
use super::gap::GapTable;
use super::path::{EXACT, Node, Path, Posterior, ROUGH};
use std::collections::HashMap;

/// One run of places with one numbering, ready for the path model.
#[derive(Debug, Clone, Default)]
pub struct Run {
    /// Places in the order of the book.
    pub stops: Vec<Stop>,
    /// The kinds of text in it.
    pub kinds: Kinds,
    /// Expected pages before the first place.
    pub lead: f64,
    /// Standard deviation of a length as part of itself, beyond the fitted spread.
    pub looseness: f64,
    /// Last page the run can have.
    pub last: i32,
}

/// One place of a run.
#[derive(Debug, Clone, Default)]
pub struct Stop {
    /// Expected length in pages, before any scale.
    pub length: f64,
    /// Its narrowest kind.
    pub kind: usize,
    /// What was read or said of it.
    pub readings: Vec<Emission>,
    /// Its readings break the order of the rest; fitting leaves them out.
    pub wild: bool,
}

/// Kinds of text, each inside a wider one that comes before it; the first is the whole book.
#[derive(Debug, Clone)]
pub struct Kinds {
    wider: Vec<usize>,
    known: HashMap<(usize, String), usize>,
}

impl Default for Kinds {
    fn default() -> Self {
        Kinds { wider: vec![0], known: HashMap::new() }
    }
}

impl Kinds {
    /// The kind reached from the whole book by these ever narrower names.
    pub fn of(&mut self, names: [String; 3]) -> usize {
        names.into_iter().fold(0, |wider, name| {
            *self.known.entry((wider, name)).or_insert_with(|| {
                self.wider.push(wider);
                self.wider.len() - 1
            })
        })
    }
}

/// Rounds of expectation and maximisation; the scales move by under a per cent after the third.
const ROUNDS: usize = 3;
/// Pages of evidence that outweigh the scale of the wider kind.
const INERTIA: f64 = 8.0;
/// Variances of a text's length, in pages for each page of length, that are tried.
const SPREADS: [f64; 5] = [0.02, 0.06, 0.15, 0.4, 1.0];
/// Looseness of lengths that an outline gives.
pub const OUTLINED: f64 = 0.1;
/// Looseness of lengths of which only the average is known.
pub const UNKNOWN: f64 = 1.0;
/// Standard deviation, as part of the whole, of all lengths of a stretch nobody read: they err
/// together, since their kind may be longer in this edition. By trial on simulated editions.
const TOGETHER: f64 = 0.05;
/// A heading over a text on the same page still takes some room.
const MIN_LENGTH: f64 = 0.06;

/// Lengths of one edition: a scale for each kind, and the spread.
#[derive(Debug, Clone)]
struct Fit {
    scales: Vec<f64>,
    spread: f64,
}

impl Run {
    /// Fits the edition's lengths and settles every place.
    pub fn settle(&self) -> Vec<Posterior> {
        let mut fit = Fit { scales: vec![1.0; self.kinds.wider.len()], spread: 0.12 };
        let mut table = GapTable::default();
        if self.stops.iter().any(|s| !s.readings.is_empty()) {
            for _ in 0..ROUNDS {
                let posteriors = self.solve(&fit, &mut table, ROUGH);
                let means: Vec<f64> = posteriors.iter().map(Posterior::mean).collect();
                fit.scales = self.scales(&means);
            }
            fit.spread = self.likeliest_spread(&fit, &mut table);
        }
        self.solve(&fit, &mut table, EXACT)
    }

    fn solve(&self, fit: &Fit, table: &mut GapTable, trim: f64) -> Vec<Posterior> {
        let nodes = self.nodes(fit, table, trim == EXACT);
        Path { gaps: table.gaps(), nodes, first: 1, last: self.last, trim }.solve()
    }

    fn likeliest_spread(&self, fit: &Fit, table: &mut GapTable) -> f64 {
        let mut best = (fit.spread, f64::NEG_INFINITY);
        for spread in SPREADS {
            let nodes = self.nodes(&Fit { spread, ..fit.clone() }, table, false);
            let path = Path { gaps: table.gaps(), nodes, first: 1, last: self.last, trim: ROUGH };
            let likelihood = path.log_likelihood();
            if likelihood > best.1 {
                best = (spread, likelihood);
            }
        }
        best.0
    }

    /// New scales from the expected pages of all places.
    fn scales(&self, means: &[f64]) -> Vec<f64> {
        let known = self.stops.iter().rposition(|s| !s.readings.is_empty()).unwrap_or(0);
        let mut sums = vec![(0.0, 0.0); self.kinds.wider.len()];
        let gaps = means.windows(2).map(|w| w[1] - w[0]);
        for (stop, gap) in self.stops.iter().zip(gaps).take(known) {
            // One foreign insertion must not stretch its whole kind.
            let gap = gap.min(4.0 * stop.length + 4.0);
            let mut kind = stop.kind;
            loop {
                if let Some(sum) = sums.get_mut(kind) {
                    *sum = (sum.0 + gap, sum.1 + stop.length.max(MIN_LENGTH));
                }
                if kind == 0 {
                    break;
                }
                kind = self.kinds.wider.get(kind).copied().unwrap_or(0);
            }
        }
        // A wider kind stands before the narrower ones, so its scale is there when they need it.
        let mut scales: Vec<f64> = Vec::with_capacity(sums.len());
        for ((gaps, lengths), wider) in sums.iter().zip(&self.kinds.wider) {
            let towards = scales.get(*wider).copied().unwrap_or(1.0);
            scales.push((gaps + INERTIA * towards) / (lengths + INERTIA));
        }
        scales
    }

    /// The path's nodes under `fit`, with the wild readings or without.
    fn nodes(&self, fit: &Fit, table: &mut GapTable, wild: bool) -> Vec<Node<'_>> {
        let scale = |s: &Stop| fit.scales.get(s.kind).copied().unwrap_or(1.0);
        let expected: Vec<f64> =
            self.stops.iter().map(|s| s.length.max(MIN_LENGTH) * scale(s)).collect();
        let stretches = self.stretches(&expected);
        let mut gap = table.index(self.lead, self.lead.max(1.0));
        let mut nodes = Vec::with_capacity(self.stops.len());
        for ((stop, length), stretch) in self.stops.iter().zip(expected).zip(stretches) {
            let readings: &[Emission] = if stop.wild && !wild { &[] } else { &stop.readings };
            nodes.push(Node { gap, readings });
            let variance = fit.spread * length
                + (self.looseness * length).powi(2)
                + TOGETHER.powi(2) * length * stretch;
            gap = table.index(length, variance.sqrt());
        }
        nodes
    }

    /// For each place the expected pages of the stretch without readings that its text is part of.
    fn stretches(&self, expected: &[f64]) -> Vec<f64> {
        let mut stretches = Vec::with_capacity(expected.len());
        let mut whole = 0.0;
        let mut places = 0;
        for (at, length) in expected.iter().enumerate() {
            whole += length;
            places += 1;
            let ends = self.stops.get(at + 1).is_none_or(|s| !s.readings.is_empty());
            if ends {
                stretches.extend(std::iter::repeat_n(whole, places));
                (whole, places) = (0.0, 0);
            }
        }
        stretches
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn run(lengths: &[f64], read: &[(usize, i32)]) -> Run {
        let mut kinds = Kinds::default();
        let kind = kinds.of(["time".into(), "time 4".into(), "time/lent 4".into()]);
        let readings = |i: usize| {
            let said = read.iter().filter(|r| r.0 == i);
            said.map(|r| Emission::certain(r.1)).collect()
        };
        let stop = |(i, length): (usize, &f64)| Stop {
            length: *length,
            kind,
            readings: readings(i),
            wild: false,
        };
        Run {
            stops: lengths.iter().enumerate().map(stop).collect(),
            kinds,
            lead: 2.0,
            looseness: OUTLINED,
            last: 400,
        }
    }

    #[test]
    fn an_edition_in_large_print_spreads_evenly() {
        let run = run(&[1.0; 41], &[(0, 10), (40, 90)]);
        let posteriors = run.settle();
        let middle = posteriors[20].mean();
        assert!((middle - 50.0).abs() < 1.0, "{middle}");
        // After the last known page the lengths go on as they were.
        let (known, after) = (run.stops.len() - 1, posteriors[40].mean());
        assert!((after - 90.0).abs() < 0.01, "{known}: {after}");
    }

    #[test]
    fn lengths_learned_in_one_part_tell_the_next() {
        let read: Vec<(usize, i32)> = (0..30).map(|i| (i, 10 + 2 * i as i32)).collect();
        let posteriors = run(&[1.0; 40], &read).settle();
        assert!((posteriors[39].mean() - 88.0).abs() < 2.0, "{}", posteriors[39].mean());
    }
}
