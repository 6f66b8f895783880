//! What may have gone wrong with all labels of a column at once, and how well each such fault explains them.
//!
//! Readers err by whole columns: every number beside the next row, the last figure cut off, days taken for pages.
//! Single rows look clear then. What tells is the other lists, which name some of the same texts; the headings over
//! them; and the pages between two rows, which are as many as the text between them fills, and not the next one.

use super::lists::Column;
use super::{Entry, Kind};
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

/// What became of the labels of a column: nothing, they belong to the row after or before, the last figure is cut
/// off, they are no pages at all, or they are another column's.
pub(super) const FAULTS: usize = 6;
/// How likely each is before anything is known of a column, by trial of four editions read with an
/// earlier reader, in round figures.
pub(super) const PRIOR: [f64; FAULTS] = [0.995, 0.001, 0.001, 0.001, 0.001, 0.001];

/// Each fault's log likelihood.
pub(super) type Logs = [f64; FAULTS];

/// A row of a column.
#[derive(Debug, Clone)]
pub(super) struct Line<'a> {
    /// Its number on the photograph.
    pub row: usize,
    /// Index of its entry.
    pub entry: usize,
    /// Its page.
    pub page: i32,
    /// The kind of its list.
    pub kind: Kind,
    /// Its column.
    pub column: Column<'a>,
}

/// All rows with clear pages, and what the outline says of the lengths between texts.
pub(super) struct Lines<'a> {
    /// The rows of each photograph, in printed order.
    pub photos: HashMap<&'a str, Vec<Line<'a>>>,
    /// For each entry the pages named for it.
    named: Vec<Vec<(Column<'a>, i32)>>,
    /// For each entry the expected pages before it.
    before: Vec<f64>,
    /// For each entry the headings over it, the nearest first.
    over: Vec<Vec<usize>>,
    /// The Order of Mass among the entries.
    order: Range<usize>,
    /// Entries that may stand apart from what precedes them in the outline.
    apart: Vec<bool>,
}

/// A label that is right is read so; one that a fault explains too.
const RIGHT: f64 = 0.98;
/// What a label is taken for at random: one of so many pages.
const PAGES: f64 = 300.0;
/// Weight of the pages between two rows: rows next to each other err together.
const TEMPER: f64 = 0.6;
/// How often a row of a list in page order does not go before the middle of the next column, nor behind that of the
/// column before.
const IN_TURN: f64 = 0.95;
/// Rows of two columns that are out of turn count as so many at most.
const OUT_OF_TURN: f64 = 8.0;
/// Lists of fewer rows may be taken for an index.
const FEW: usize = 12;
/// Columns of fewer rows tell nothing of their order.
const COLUMN: usize = 2;
/// Rows under one heading count as so many at most: its own page may be wrong.
const TOGETHER: f64 = 3.0;
/// A preface printed with its day begins so many pages behind the day's heading at most.
const BESIDE: i32 = 8;
/// Entries further apart in the outline say nothing of the pages between them.
const NEAR: usize = 8;

impl<'a> Lines<'a> {
    /// The rows of `entries`, which are in the outline's order.
    pub fn of(entries: &'a [Entry]) -> Self {
        let mut photos: HashMap<&str, Vec<Line>> = HashMap::new();
        let mut named = Vec::with_capacity(entries.len());
        for (index, entry) in entries.iter().enumerate() {
            let mut pages = Vec::new();
            for reading in &entry.evidence {
                let Some(page) = reading.fair().and_then(|l| l.arabic_number()) else { continue };
                let (row, kind, column) = (reading.row, reading.kind, reading.column());
                pages.push((column, page));
                photos.entry(&reading.strip.photo).or_default().push(Line {
                    row,
                    entry: index,
                    page,
                    kind,
                    column,
                });
            }
            named.push(pages);
        }
        photos.values_mut().for_each(|lines| lines.sort_by_key(|l| l.row));
        let (mut sum, mut open) = (0.0, Vec::<usize>::new());
        let (mut before, mut over) = (Vec::new(), Vec::new());
        for (index, entry) in entries.iter().enumerate() {
            before.push(sum);
            sum += entry.length;
            open.retain(|i| entries[*i].level < entry.level);
            over.push(open.iter().rev().copied().collect());
            open.push(index);
        }
        let apart = entries.iter().map(|e| e.is_day_preface() || e.after.is_some()).collect();
        let in_order = |e: &Entry| e.place.is_under("order");
        let first = entries.iter().position(in_order).unwrap_or(0);
        let end = entries.iter().rposition(in_order).map_or(0, |i| i + 1);
        Lines { photos, named, before, over, order: first..end, apart }
    }

    /// How well each fault explains each column of a photograph, where other columns are faulty as likely as `doubt`
    /// says.
    pub fn explained(
        &self,
        photo: &str,
        doubt: &dyn Fn(Column) -> f64,
    ) -> HashMap<Column<'a>, Logs> {
        let mut logs: HashMap<Column, Logs> = HashMap::new();
        let Some(lines) = self.photos.get(photo) else { return logs };
        let mut under: HashMap<(Column, usize), (f64, [f64; 2])> = HashMap::new();
        for (at, line) in lines.iter().enumerate() {
            let told = self.told(line, doubt);
            let column = logs.entry(line.column).or_default();
            if let Some(told) = told {
                add(column, &self.beside(lines, at, told, doubt));
            }
            if line.kind == Kind::List {
                add(column, &self.steps(lines, at).map(|log| TEMPER * log));
                if let Some((heading, inside)) = self.under_heading(line, doubt) {
                    let sum = under.entry((line.column, heading)).or_default();
                    sum.0 += 1.0;
                    sum.1[usize::from(inside)] += 1.0;
                }
            }
        }
        for ((column, _), (count, [outside, inside])) in under {
            let share = TOGETHER.min(count) / count;
            let told = |most: f64| share * (inside * most.ln() + outside * (1.0 - most).ln());
            let column = logs.entry(column).or_default();
            add(column, &[told(0.98), told(0.95), told(0.95), told(0.05), told(0.15), told(0.5)]);
        }
        for (column, rows, share) in out_of_turn(lines) {
            let told = |most: f64| {
                OUT_OF_TURN.min(rows) * ((1.0 - share) * most.ln() + share * (1.0 - most).ln())
            };
            let (sound, exchanged) = (told(IN_TURN), told(1.0 - IN_TURN));
            let column = logs.entry(column).or_default();
            add(column, &[sound, sound, sound, sound, sound.max(exchanged), exchanged]);
        }
        logs
    }

    /// The page that other columns name for the entry of a row, with the share of doubt left in it.
    fn told(&self, line: &Line, doubt: &dyn Fn(Column) -> f64) -> Option<(i32, f64)> {
        let mut pages: HashMap<i32, f64> = HashMap::new();
        for (column, page) in self.named[line.entry].iter().filter(|n| n.0 != line.column) {
            let doubt = doubt(*column).max(0.01);
            *pages.entry(*page).or_insert(1.0) *= doubt;
        }
        pages.into_iter().min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
    }

    /// How well each fault explains a row's label beside the page another list names for its text.
    fn beside(
        &self,
        lines: &[Line],
        at: usize,
        (page, doubt): (i32, f64),
        others: &dyn Fn(Column) -> f64,
    ) -> Logs {
        let line = &lines[at];
        let any = 1.0 / PAGES;
        let is = |truth: i32| {
            if line.page == truth { RIGHT } else { (1.0 - RIGHT) * 0.1 }
        };
        let [next, previous] = [1, -1].map(|step| beside(lines, at, step));
        let shifted = |neighbour: Option<&Line>, sign: i32| {
            let told = neighbour.and_then(|n| self.told(n, others));
            match (told, neighbour) {
                (Some((truth, doubt)), _) => (1.0 - doubt) * is(truth) + doubt * any,
                (None, Some(n)) if line.kind == Kind::List => {
                    let (first, last) = if sign > 0 { (line, n) } else { (n, line) };
                    let gap = self.between(first.entry, last.entry);
                    gap.map_or(any * 10.0, |length| probability(sign * (line.page - page), length))
                }
                _ => any * 10.0,
            }
        };
        let explained = [
            is(page),
            shifted(next, 1),
            shifted(previous, -1),
            is(page / 10),
            if line.page <= 31 { 1.0 / 31.0 } else { any },
            any,
        ];
        explained.map(|p| ((1.0 - doubt) * p + doubt * any).ln())
    }

    /// How well each fault explains the pages from the row above to a row.
    fn steps(&self, lines: &[Line], at: usize) -> Logs {
        let none = [0.0; FAULTS];
        let line = &lines[at];
        let Some(above) = beside(lines, at, -1) else { return none };
        let (next, before) =
            (beside(lines, at, 1), at.checked_sub(1).and_then(|b| beside(lines, b, -1)));
        let step = line.page - above.page;
        let Some(own) = self.between(above.entry, line.entry) else { return none };
        let length = |a: Option<&Line>, b: Option<&Line>| {
            a.zip(b).and_then(|(a, b)| self.between(a.entry, b.entry))
        };
        let explained = |length: Option<f64>| probability(step, length.unwrap_or(own)).ln();
        [
            explained(Some(own)),
            explained(length(Some(line), next)),
            explained(length(before, Some(above))),
            explained(Some(own / 10.0)),
            if (0..=2).contains(&step) { 0.25f64.ln() } else { 0.02f64.ln() },
            // Another column's steps are as long as these.
            explained(Some(own)),
        ]
    }

    /// Expected pages from one text to another, where the outline has them near each other in this order.
    fn between(&self, from: usize, to: usize) -> Option<f64> {
        let near = from < to && to - from <= NEAR && !self.apart[from] && !self.apart[to];
        near.then(|| self.before[to] - self.before[from])
    }

    /// The nearest heading over a row whose page another photograph names, and whether the row's page may lie under
    /// it.
    fn under_heading(&self, line: &Line, doubt: &dyn Fn(Column) -> f64) -> Option<(usize, bool)> {
        if self.apart[line.entry] {
            return self.among_prefaces(line, doubt);
        }
        self.over[line.entry].iter().find_map(|heading| {
            let named = self.named[*heading].iter();
            let mut apart = named.filter(|n| n.0.0 != line.column.0 && doubt(n.0) < 0.5);
            apart.next().map(|n| (*heading, n.1 <= line.page))
        })
    }
}

impl Lines<'_> {
    /// A preface of a single day stands behind the heading of its day, or in the Order of Mass; the nearest heading
    /// over it, and whether it may.
    fn among_prefaces(&self, line: &Line, doubt: &dyn Fn(Column) -> f64) -> Option<(usize, bool)> {
        let named = |entry: usize| {
            let named = self.named[entry].iter();
            named.filter(|n| n.0.0 != line.column.0 && doubt(n.0) < 0.5).map(|n| n.1)
        };
        let day = *self.over[line.entry].first()?;
        let beside = named(day).any(|page| (0..=BESIDE).contains(&(line.page - page)));
        let order: Vec<i32> = self.order.clone().flat_map(named).collect();
        let (first, last) = (order.iter().min()?, order.iter().max()?);
        Some((self.order.start, beside || (first..=last).contains(&&line.page)))
    }
}

/// For each column of a list that stands beside another: the rows of both, and the share of them that are out of turn,
/// as all are where the labels of the two are exchanged.
fn out_of_turn<'a>(lines: &[Line<'a>]) -> Vec<(Column<'a>, f64, f64)> {
    let mut columns: BTreeMap<Column, Vec<i32>> = BTreeMap::new();
    // Few rows so exchanged leap about like those of an index.
    let few = lines.len() < FEW;
    for line in lines.iter().filter(|l| few || l.kind == Kind::List) {
        columns.entry(line.column).or_default().push(line.page);
    }
    let columns: Vec<(Column, Vec<i32>)> =
        columns.into_iter().filter(|c| c.1.len() >= COLUMN).collect();
    let middle = |pages: &[i32]| {
        let mut pages = pages.to_vec();
        pages.sort_unstable();
        pages[pages.len() / 2]
    };
    let mut shares = Vec::new();
    for pair in columns.windows(2) {
        let [(left, first), (right, second)] = pair else { continue };
        let (before, after) = (middle(first), middle(second));
        let out = first.iter().filter(|page| **page > after).count()
            + second.iter().filter(|page| **page < before).count();
        // The two are exchanged together or not at all.
        let rows = (first.len() + second.len()) as f64;
        shares.extend([*left, *right].map(|column| (column, rows, out as f64 / rows)));
    }
    shares
}

/// The row printed next above or below in the same list, where it has a page.
fn beside<'l, 'a>(lines: &'l [Line<'a>], at: usize, step: isize) -> Option<&'l Line<'a>> {
    let line = lines.get(at)?;
    let other = lines.get(at.checked_add_signed(step)?)?;
    (other.row.abs_diff(line.row) == 1).then_some(other)
}

fn add(logs: &mut Logs, more: &Logs) {
    logs.iter_mut().zip(more).for_each(|(log, more)| *log += more);
}

/// Probability of so many pages from one text to the next where so many are expected; falling off on both sides.
fn probability(step: i32, expected: f64) -> f64 {
    let width = 0.4 + 0.5 * expected;
    let rate = (-1.0 / width).exp();
    // All steps from none on, summed as two geometric rows around the expected one.
    let sum = (1.0 + rate - rate.powf(expected + 1.0)) / (1.0 - rate);
    let usual =
        if step < 0 { 0.0 } else { (-(f64::from(step) - expected).abs() / width).exp() / sum };
    0.97 * usual + 0.03 / 50.0
}
