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
use rayon::prelude::*;

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
    /// The page it stands on as clearly printed, where it does.
    pub stands: Vec<Emission>,
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
/// Beyond this something that no outline knows stands between two texts.
const MOST_SCALE: f64 = 3.0;
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

/// What counts of the readings: of those out of order nothing, with what is clearly printed taken as certain, while
/// the edition's lengths are learned; all, to weigh what was read; all, but what is clearly printed as certain, to
/// reckon what lies between.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Heard {
    Tame,
    All,
    Standing,
}

impl Heard {
    /// Mass that may be dropped: wrong readings in a row may bring it back only where all are weighed.
    fn trim(self) -> f64 {
        if self == Heard::All { EXACT } else { ROUGH }
    }
}

/// Pages each place may have.
type Windows = Vec<(i32, i32)>;

/// The pages on which places stand as far as a rough pass tells.
fn worth(rough: &[Settled]) -> Windows {
    rough.iter().map(|s| s.posterior.beyond(FAINT)).collect()
}

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
            fit.scales = self.even_scales();
            let windows = self.windows(&fit, &mut table);
            for _ in 0..ROUNDS {
                let nodes = self.nodes(&fit, &mut table, CELLS, Heard::Tame);
                fit.learn(self, &self.path(&table, nodes, &windows, ROUGH).solve());
            }
            fit.spread = self.likeliest_spread(&fit, &mut table, &windows);
        }
        // Pages stand where they are clearly printed; so what nobody read is reckoned between those.
        let unread = |s: &Stop| s.readings.is_empty();
        let between =
            self.stops.iter().any(unread) && self.stops.iter().any(|s| !s.stands.is_empty());
        let heard: &[Heard] = if between { &[Heard::All, Heard::Standing] } else { &[Heard::All] };
        let mut passes = self.posteriors(&fit, &mut table, heard);
        let reckoned = passes.split_off(1).pop().unwrap_or_default();
        let mut weighed = passes.pop().unwrap_or_default();
        let stops = self.stops.iter().zip(weighed.iter_mut().zip(reckoned));
        stops.filter(|s| unread(s.0)).for_each(|(_, (old, new))| *old = new);
        weighed
    }

    /// Scales to begin with: between two prints that stand, all texts take more or less pages alike. Begun with none,
    /// fitting would hold a whole season printed large for one great insertion.
    fn even_scales(&self) -> Vec<f64> {
        let stands = |i: usize| {
            let page = self.stops[i].stands.first()?.peaks.first()?.0;
            (!self.stops[i].wild).then_some((i, f64::from(page)))
        };
        let known: Vec<(usize, f64)> = (0..self.stops.len()).filter_map(stands).collect();
        let mut texts = Vec::new();
        for pair in known.windows(2) {
            let between = &self.stops[pair[0].0..pair[1].0];
            let expected: f64 = between.iter().map(|s| s.length.max(MIN_LENGTH)).sum();
            let scale = ((pair[1].1 - pair[0].1) / expected).min(MOST_SCALE);
            let text =
                |s: &Stop| (s.kind, scale * s.length.max(MIN_LENGTH), s.length.max(MIN_LENGTH));
            texts.extend(between.iter().map(text));
        }
        self.kinds.shares(texts.into_iter(), 1.0, INERTIA)
    }

    /// What is known of every place, for each way to hear the readings.
    fn posteriors(&self, fit: &Fit, table: &mut GapTable, heard: &[Heard]) -> Vec<Vec<Posterior>> {
        let solved = |passes: Vec<(Heard, Vec<Node>, Option<Windows>)>, table: &GapTable| {
            let solve = |(heard, nodes, windows): (Heard, Vec<Node>, Option<Windows>)| {
                let (cells, windows) = (if windows.is_some() { CELLS } else { 1 }, windows);
                let (gaps, windows, last) = (table.gaps(), windows.as_deref(), self.last);
                Path { gaps, nodes, first: 1, last, cells, windows, trim: heard.trim() }.solve()
            };
            passes.into_par_iter().map(solve).collect::<Vec<_>>()
        };
        let rough = heard.iter().map(|h| (*h, self.nodes(fit, table, 1, *h), None)).collect();
        let rough = solved(rough, table);
        let close = heard
            .iter()
            .zip(rough)
            .map(|(h, rough)| (*h, self.nodes(fit, table, CELLS, *h), Some(worth(&rough))))
            .collect();
        let posteriors = |settled: Vec<Settled>| settled.into_iter().map(|s| s.posterior).collect();
        solved(close, table).into_iter().map(posteriors).collect()
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
    fn windows(&self, fit: &Fit, table: &mut GapTable) -> Windows {
        let nodes = self.nodes(fit, table, 1, Heard::Tame);
        let (gaps, last) = (table.gaps(), self.last);
        worth(&Path { gaps, nodes, first: 1, last, cells: 1, windows: None, trim: ROUGH }.solve())
    }

    fn likeliest_spread(&self, fit: &Fit, table: &mut GapTable, windows: &Windows) -> f64 {
        let tried = SPREADS.map(|spread| {
            let fit = Fit { spread, ..fit.clone() };
            (spread, self.nodes(&fit, table, CELLS, Heard::Tame))
        });
        let likelihood =
            |(spread, nodes)| (spread, self.path(table, nodes, windows, ROUGH).log_likelihood());
        let tried: Vec<(f64, f64)> = tried.into_par_iter().map(likelihood).collect();
        let best = tried.into_iter().reduce(|best, next| if next.1 > best.1 { next } else { best });
        best.map_or(fit.spread, |best| best.0)
    }

    /// The path's nodes under `fit`, with what is heard of the readings.
    fn nodes(&self, fit: &Fit, table: &mut GapTable, cells: i32, heard: Heard) -> Vec<Node<'_>> {
        let lengths: Vec<f64> = self
            .stops
            .iter()
            .map(|s| s.length.max(MIN_LENGTH) * fit.scales.get(s.kind).copied().unwrap_or(1.0))
            .collect();
        let unsure = self.unsure(&lengths);
        let mut gap = table.index(self.lead, self.lead.max(1.0), cells);
        let mut nodes = Vec::with_capacity(self.stops.len());
        for (i, (stop, length)) in self.stops.iter().zip(lengths).enumerate() {
            let readings: &[Emission] = match heard {
                Heard::Tame if stop.wild => &[],
                Heard::Tame | Heard::Standing if !stop.stands.is_empty() => &stop.stands,
                _ => &stop.readings,
            };
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
            stands: Vec::new(),
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
