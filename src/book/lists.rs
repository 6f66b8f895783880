//! What the lists say of each other: which rows stand between their printed neighbours, and how likely each column is
//! misread as a whole ([`super::fault`]).
//!
//! A column that is more likely faulty than not is believed by nobody; what a column names alone is known only where a
//! fault of it is unlikely.

use super::fault::{FAULTS, Line, Lines, Logs, PRIOR};
use super::words::words;
use super::{Entry, Evidence, Kind, Label};
use crate::ascent;
use crate::text::{Reading, Row};
use std::collections::{BTreeMap, HashMap, HashSet};

/// Least weight of a label that may contradict another.
pub(super) const CLEAR: f64 = 0.8;
/// A row less surely of its place says nothing about another list.
pub(super) const PLACED: f64 = 0.25;
/// A row less surely of its place does not even confirm another list's.
const LIKELIER: f64 = 0.5;
/// How often the columns of a photograph share a fault, where one has it.
const SHARED: f64 = 0.7;
/// No evidence of a list weighs more than this, as a logarithm.
const MOST: f64 = 500.0;
/// A row at the end of a list whose page is missing: how often one that names a text does, and one that may be a
/// heading; and how often where every number belongs to the row beside it.
const PAGELESS_TEXT: f64 = 0.03;
const PAGELESS: f64 = 0.3;
const LEFT_OVER: f64 = 0.9;
/// What is named by columns all of which may be faulty more likely than this is looked at.
const UNSAFE: f64 = 0.01;

/// A column of one photograph.
pub(super) type Column<'a> = (&'a str, u8);
/// Photograph and row.
type RowId = (String, usize);

/// What is known of the rows of all lists.
#[derive(Debug, Default)]
pub(super) struct Lists {
    framed: HashSet<RowId>,
    /// How likely each column is faulty.
    faulty: HashMap<String, Vec<(u8, f64)>>,
}

impl Evidence {
    /// The likeliest label, where it is clear and surely of this place.
    pub(super) fn clear(&self) -> Option<Label> {
        let first = self.alternatives.first()?;
        let clear = first.weight >= CLEAR && self.misplaced <= PLACED;
        Label::parse(&first.page).filter(|_| clear)
    }

    /// The likeliest label, where it is clear and this place is likelier than any other.
    pub(super) fn fair(&self) -> Option<Label> {
        let first = self.alternatives.first()?;
        let fair = first.weight >= CLEAR && self.misplaced <= LIKELIER;
        Label::parse(&first.page).filter(|_| fair)
    }

    pub(super) fn column(&self) -> Column<'_> {
        (&self.strip.photo, self.column)
    }
}

impl Lists {
    /// What the readings of `entries`, in the outline's order, say of each other; `kept` are the rows they come
    /// from, where they are at hand.
    pub fn of(entries: &[Entry], kept: &[Reading]) -> Self {
        let mut faulty: HashMap<String, Vec<(u8, f64)>> = HashMap::new();
        for ((photo, column), doubt) in Columns::of(entries, kept).doubts() {
            faulty.entry(photo.to_owned()).or_default().push((column, doubt));
        }
        Lists { framed: framed(entries), faulty }
    }

    /// How likely all labels of a column are misread alike.
    pub fn doubt(&self, photo: &str, column: u8) -> f64 {
        let columns = self.faulty.get(photo).into_iter().flatten();
        columns.filter(|c| c.0 == column).map(|c| c.1).fold(0.0, f64::max)
    }

    /// Whether a reading is believed as far as its list goes.
    pub fn believes(&self, reading: &Evidence) -> bool {
        self.believes_column(&reading.strip.photo, reading.column)
    }

    /// Whether a column of a photograph is believed.
    pub fn believes_column(&self, photo: &str, column: u8) -> bool {
        self.doubt(photo, column) < 0.5
    }

    /// Whether some of the columns that show these readings are surely sound.
    pub fn are_safe<'a>(&self, readings: impl Iterator<Item = &'a Evidence>) -> bool {
        let columns: HashSet<Column> = readings.map(Evidence::column).collect();
        columns.into_iter().map(|(photo, column)| self.doubt(photo, column)).product::<f64>()
            < UNSAFE
    }

    /// Whether the rows above and below frame the reading's page, or another run of its list goes on with it.
    pub fn frames(&self, reading: &Evidence) -> bool {
        reading.kind == Kind::List
            && self.framed.contains(&(reading.strip.photo.clone(), reading.row))
    }

    /// Photographs with a column that is not believed.
    pub fn doubted(&self) -> impl Iterator<Item = &str> {
        let doubted = self.faulty.iter().filter(|(_, columns)| columns.iter().any(|c| c.1 >= 0.5));
        let mut photos: Vec<&str> = doubted.map(|d| d.0.as_str()).collect();
        photos.sort_unstable();
        photos.into_iter()
    }
}

/// Rows in a run of their list that never goes back: the longest of the list, or one of three rows at least.
fn framed(entries: &[Entry]) -> HashSet<RowId> {
    let mut lists: HashMap<&str, Vec<(usize, Label)>> = HashMap::new();
    for reading in entries.iter().flat_map(|e| &e.evidence).filter(|r| r.kind == Kind::List) {
        if let Some(label) = reading.label().and_then(Label::parse) {
            lists.entry(&reading.strip.photo).or_default().push((reading.row, label));
        }
    }
    let mut framed = HashSet::new();
    for (photo, mut rows) in lists {
        rows.sort();
        let labels: Vec<&Label> = rows.iter().map(|r| &r.1).collect();
        let mut kept: HashSet<usize> = ascent::longest(&labels).into_iter().collect();
        let (strays, rest): (Vec<usize>, Vec<&Label>) =
            (0..rows.len()).filter(|i| !kept.contains(i)).map(|i| (i, labels[i])).unzip();
        let second = ascent::longest(&rest);
        if second.len() >= 3 && second.len() * 4 >= rest.len() * 3 {
            kept.extend(second.into_iter().map(|i| strays[i]));
        }
        framed.extend(kept.into_iter().map(|i| (photo.to_owned(), rows[i].0)));
    }
    framed
}

/// All columns, and what is left over at their ends.
struct Columns<'a> {
    lines: Lines<'a>,
    ends: HashMap<Column<'a>, Logs>,
    /// For each entry the part of the book it is in.
    parts: Vec<&'a str>,
}

impl<'a> Columns<'a> {
    fn of(entries: &'a [Entry], kept: &'a [Reading]) -> Self {
        let lines = Lines::of(entries);
        let mut ends: HashMap<Column, Logs> = HashMap::new();
        for reading in kept {
            let Some(rows) = lines.photos.get(reading.file.as_str()) else { continue };
            for (row, line, fault) in left_over(&reading.rows, rows) {
                let sound = if names_text(row, entries) { PAGELESS_TEXT } else { PAGELESS };
                let mut logs = [sound.ln(); FAULTS];
                logs[fault] = LEFT_OVER.ln();
                ends.insert(line.column, logs);
            }
        }
        let part = |e: &'a Entry| match e.is_preface() {
            true => "preface",
            false => e.place.as_str().split('/').next().unwrap_or_default(),
        };
        Columns { lines, ends, parts: entries.iter().map(part).collect() }
    }

    /// How likely each column is faulty. The one that is most surely so is set aside first: what it says is not held
    /// against the others then.
    fn doubts(&self) -> HashMap<Column<'a>, f64> {
        let sound = 1.0 - PRIOR[0];
        let lists = self.lists();
        let mut doubts: HashMap<Column, f64> = HashMap::new();
        let each = loop {
            let known = |c: Column| doubts.get(&c).copied().unwrap_or(sound);
            let each: Vec<Vec<(Column, f64, f64)>> =
                lists.iter().map(|photos| self.posterior(photos, &known)).collect();
            let open = each.iter().flatten().filter(|c| !doubts.contains_key(&c.0));
            let worst = open.max_by(|a, b| a.2.total_cmp(&b.2).then_with(|| b.0.cmp(&a.0)));
            let Some((column, doubt, _)) = worst.filter(|w| w.1 > 0.5) else { break each };
            doubts.insert(*column, *doubt);
        };
        each.into_iter().flatten().map(|c| (c.0, c.1)).collect()
    }

    /// Photographs that show parts of one list, as far as the part of the book tells that most of their rows name.
    fn lists(&self) -> Vec<Vec<&'a str>> {
        let mut lists: BTreeMap<(Kind, &str), Vec<&str>> = BTreeMap::new();
        for (photo, lines) in &self.lines.photos {
            let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
            lines.iter().for_each(|l| *counts.entry(self.parts[l.entry]).or_default() += 1);
            let part = counts.into_iter().max_by_key(|c| c.1).map_or("", |c| c.0);
            let kind = lines.first().map_or(Kind::List, |l| l.kind);
            lists.entry((kind, part)).or_default().push(photo);
        }
        lists.into_values().collect()
    }

    /// For each column of a list how likely it is faulty, and the logarithm of the odds.
    fn posterior(
        &self,
        photos: &[&str],
        doubt: &dyn Fn(Column) -> f64,
    ) -> Vec<(Column<'a>, f64, f64)> {
        let explained = photos.iter().flat_map(|photo| self.lines.explained(photo, doubt));
        let mut columns: Vec<(Column, Logs)> = explained.collect();
        columns.sort_by_key(|c| c.0);
        for (column, logs) in &mut columns {
            let ends = self.ends.get(column).copied().unwrap_or([0.0; FAULTS]);
            logs.iter_mut()
                .zip(ends)
                .zip(PRIOR)
                .for_each(|((log, end), prior)| *log += end + prior.ln());
            let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let sum = most + logs.iter().map(|log| (log - most).exp()).sum::<f64>().ln();
            logs.iter_mut().for_each(|log| *log -= sum);
        }
        // By itself, or as all the others.
        let together: Vec<f64> = (0..FAULTS)
            .map(|f| {
                let each = columns.iter().map(|c| c.1[f] - PRIOR[f].ln());
                SHARED * (PRIOR[f].ln() + each.sum::<f64>()).min(MOST).exp()
            })
            .collect();
        let mut posterior = Vec::new();
        for (column, logs) in &columns {
            let each: Vec<f64> = logs
                .iter()
                .zip(&together)
                .map(|(own, all)| (1.0 - SHARED) * own.exp() + all)
                .collect();
            let (sound, faulty) = (each[0] + f64::MIN_POSITIVE, each[1..].iter().sum::<f64>());
            posterior.push((*column, faulty / (faulty + sound), faulty.ln() - sound.ln()));
        }
        posterior
    }
}

/// Rows without page at the ends of a list, no headings over others, with the row next to them and the fault that
/// leaves them over: of the numbers of the row after, the last row has none, and the first of the row before.
fn left_over<'r, 'l, 'a>(
    rows: &'r [Row],
    lines: &'l [Line<'a>],
) -> Vec<(&'r Row, &'l Line<'a>, usize)> {
    let mut found = Vec::new();
    if let ([first, second, ..], Some(line)) = (rows, lines.first())
        && first.page.is_none()
        && second.page.is_some()
        && second.level <= first.level
    {
        found.push((first, line, 2));
    }
    if let ([.., before, last], Some(line)) = (rows, lines.last())
        && last.page.is_none()
        && before.page.is_some()
        && before.level <= last.level
    {
        found.push((last, line, 1));
    }
    found
}

/// Whether a row has all the words of a text's title.
fn names_text(row: &Row, entries: &[Entry]) -> bool {
    let printed = words(&row.title);
    let mut texts = entries.iter().filter(|e| e.length > 0.0);
    texts.any(|e| words(&e.title).iter().all(|w| printed.contains(w)))
}

impl Entry {
    /// A preface of a single day: some editions print it with the day, some among the prefaces.
    pub(super) fn is_day_preface(&self) -> bool {
        let last = self.place.as_str().rsplit('/').next().unwrap_or_default();
        last.starts_with("preface") && !self.place.is_under("order")
    }
}
