//! The edition's own lengths: how many pages its texts take compared with the outline, learned from
//! the pages known so far.
//!
//! Each kind of text (a section's headings of one level) has a scale and a habit of beginning new pages.
//! Expectation–maximisation: with them the path gives expected lengths and beginnings, from these come
//! new scales and habits, drawn towards those of the wider kind in proportion to how little is known;
//! what stays unknown of a scale widens the lengths. The spread of the lengths is the likeliest of a few.

use super::begin::Begin;
use super::channel::Emission;
use super::gap::GapTable;
use super::kinds::Kinds;
use super::path::{EXACT, Node, Path, ROUGH, Settled};
use super::posterior::Posterior;

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
    /// It opens a section of the book.
    pub section: bool,
    /// What was read or said of it.
    pub readings: Vec<Emission>,
    /// Its readings break the order of the rest; fitting leaves them out.
    pub wild: bool,
}

/// Rounds of expectation and maximisation; the scales move by under a per cent after the third.
const ROUNDS: usize = 3;
/// Pages of evidence that outweigh the scale of the wider kind, and chances that outweigh its habit.
const INERTIA: f64 = 20.0;
/// Standard deviation of a kind's scale, as part of itself, before anything of the kind is known;
/// by trial on simulated editions.
const UNSURE: f64 = 0.25;
/// Variances of a text's length, in pages for each page of length, that are tried.
const SPREADS: [f64; 5] = [0.02, 0.06, 0.15, 0.4, 1.0];
/// Looseness of lengths that an outline gives; by trial on simulated editions.
pub const OUTLINED: f64 = 0.25;
/// Looseness of lengths of which only the average is known.
pub const UNKNOWN: f64 = 1.0;
/// A heading over a text on the same page still takes some room.
const MIN_LENGTH: f64 = 0.06;
/// Share of texts that begin a new page where they need not, and of sections that open on an odd page,
/// before anything of the edition is known.
const NEW_PAGE: f64 = 0.3;
const ODD: f64 = 0.6;
/// Sections that outweigh this.
const ODD_INERTIA: f64 = 2.0;
/// Cells of a page: a text ends in one of its quarters.
const CELLS: i32 = 4;
/// Pages less probable than this, counted by whole pages, are not looked at by quarters.
const FAINT: f64 = 1e-7;

/// Lengths and habits of one edition.
#[derive(Debug, Clone)]
struct Fit {
    /// For each kind: pages a text takes for each page the outline gives it.
    scales: Vec<f64>,
    /// For each kind: share of texts that begin a new page.
    new_page: Vec<f64>,
    /// Share of sections that open on an odd page.
    odd: f64,
    spread: f64,
}

/// Pages each place may have.
type Windows = Vec<(i32, i32)>;

impl Run {
    /// Fits the edition's lengths and settles every place.
    pub fn settle(&self) -> Vec<Posterior> {
        let kinds = self.kinds.count();
        let mut fit = Fit {
            scales: vec![1.0; kinds],
            new_page: vec![NEW_PAGE; kinds],
            odd: ODD,
            spread: 0.12,
        };
        let mut table = GapTable::default();
        if self.stops.iter().any(|s| !s.readings.is_empty()) {
            let windows = self.windows(&fit, &mut table, false);
            for _ in 0..ROUNDS {
                let nodes = self.nodes(&fit, &mut table, CELLS, false);
                fit.learn(self, &self.path(&table, nodes, &windows, ROUGH).solve());
            }
            fit.spread = self.likeliest_spread(&fit, &mut table, &windows);
        }
        let windows = self.windows(&fit, &mut table, true);
        let nodes = self.nodes(&fit, &mut table, CELLS, true);
        let settled = self.path(&table, nodes, &windows, EXACT).solve();
        settled.into_iter().map(|s| s.posterior).collect()
    }

    fn path<'a>(
        &self,
        table: &'a GapTable,
        nodes: Vec<Node<'a>>,
        windows: &'a Windows,
        trim: f64,
    ) -> Path<'a> {
        let windows = Some(windows.as_slice());
        Path { gaps: table.gaps(), nodes, first: 1, last: self.last, cells: CELLS, windows, trim }
    }

    /// The pages worth a closer look, from a pass that knows whole pages only.
    fn windows(&self, fit: &Fit, table: &mut GapTable, wild: bool) -> Windows {
        let nodes = self.nodes(fit, table, 1, wild);
        let (gaps, last) = (table.gaps(), self.last);
        let trim = if wild { EXACT } else { ROUGH };
        let path = Path { gaps, nodes, first: 1, last, cells: 1, windows: None, trim };
        path.solve().iter().map(|s| s.posterior.beyond(FAINT)).collect()
    }

    fn likeliest_spread(&self, fit: &Fit, table: &mut GapTable, windows: &Windows) -> f64 {
        let mut best = (fit.spread, f64::NEG_INFINITY);
        for spread in SPREADS {
            let nodes = self.nodes(&Fit { spread, ..fit.clone() }, table, CELLS, false);
            let likelihood = self.path(table, nodes, windows, ROUGH).log_likelihood();
            if likelihood > best.1 {
                best = (spread, likelihood);
            }
        }
        best.0
    }

    /// The path's nodes under `fit`, with the wild readings or without.
    fn nodes(&self, fit: &Fit, table: &mut GapTable, cells: i32, wild: bool) -> Vec<Node<'_>> {
        let lengths: Vec<f64> = self
            .stops
            .iter()
            .map(|s| s.length.max(MIN_LENGTH) * fit.scales.get(s.kind).copied().unwrap_or(1.0))
            .collect();
        let unsure = self.unsure(&lengths);
        let mut gap = table.index(self.lead, self.lead.max(1.0), cells);
        let mut nodes = Vec::with_capacity(self.stops.len());
        for (i, (stop, length)) in self.stops.iter().zip(lengths).enumerate() {
            let readings: &[Emission] = if stop.wild && !wild { &[] } else { &stop.readings };
            nodes.push(Node { gap, begin: self.begin(i, fit).on(cells), readings });
            let relative = self.looseness.powi(2) + unsure.get(stop.kind).copied().unwrap_or(0.0);
            let variance = fit.spread * length + relative * length * length;
            // Whole pages cannot tell what stays blank before a new page.
            let blank = match self.begin(i + 1, fit) {
                Begin::NewPage(share) if cells == 1 => 0.5 * share,
                _ => 0.0,
            };
            gap = table.index(length + blank, variance.sqrt(), cells);
        }
        nodes
    }

    /// For each kind the variance of its scale, as part of itself: what is left of it by the texts
    /// between two places read.
    fn unsure(&self, lengths: &[f64]) -> Vec<f64> {
        let mut known = vec![0.0; self.kinds.count()];
        let read = |s: &Stop| !s.readings.is_empty();
        for (pair, length) in self.stops.windows(2).zip(lengths) {
            let [stop, next] = pair else { continue };
            if let Some(known) = known.get_mut(stop.kind).filter(|_| read(stop) && read(next)) {
                *known += length;
            }
        }
        known.iter().map(|known| UNSURE.powi(2) * INERTIA / (INERTIA + known)).collect()
    }

    /// How the place at `at` begins: a text is not broken from the heading over it.
    fn begin(&self, at: usize, fit: &Fit) -> Begin {
        let headed =
            at.checked_sub(1).and_then(|i| self.stops.get(i)).is_some_and(|s| s.length == 0.0);
        match self.stops.get(at) {
            Some(stop) if stop.section => Begin::Section(fit.odd),
            Some(stop) if !headed => {
                Begin::NewPage(fit.new_page.get(stop.kind).copied().unwrap_or(NEW_PAGE))
            }
            _ => Begin::Anywhere,
        }
    }
}

impl Fit {
    /// New scales and habits from what is known of all places.
    fn learn(&mut self, run: &Run, settled: &[Settled]) {
        let known = run.stops.iter().rposition(|s| !s.readings.is_empty()).unwrap_or(0);
        let texts = run.stops.iter().zip(settled.windows(2)).take(known).map(|(stop, pair)| {
            // One foreign insertion must not stretch its whole kind.
            let length = pair[1].ended - pair[0].begun;
            let length = length.min(4.0 * stop.length + 4.0);
            (stop.kind, length, stop.length.max(MIN_LENGTH))
        });
        self.scales = run.kinds.shares(texts, 1.0, INERTIA);
        let habits = || run.stops.iter().zip(settled);
        let free = habits().filter(|(stop, _)| !stop.section);
        let free = free.map(|(stop, s)| (stop.kind, s.habit.times, s.habit.chances));
        self.new_page = run.kinds.shares(free, NEW_PAGE, INERTIA);
        let sections = habits().filter(|(stop, _)| stop.section && !stop.readings.is_empty());
        let (odd, all) = sections
            .fold((0.0, 0.0), |(odd, all), (_, s)| (odd + s.habit.times, all + s.habit.chances));
        self.odd = (odd + ODD_INERTIA * ODD) / (all + ODD_INERTIA);
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
            section: false,
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
