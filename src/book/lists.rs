//! What the lists say of each other: which rows stand between their printed neighbours, and which whole
//! columns cannot be believed because other lists, or the headings over their texts, say otherwise.
//!
//! A reader errs by whole columns too: days of the month taken for pages, every number beside the next row,
//! the last figure cut off. Single rows look clear then; only another list tells. A column that is
//! contradicted more than it is confirmed is believed by nobody, and what it alone names is looked at.

use super::{Entry, Evidence, Kind, Label};
use crate::ascent;
use crate::text::Reading;
use std::collections::{HashMap, HashSet};

/// Least weight of a label that may contradict another.
pub(super) const CLEAR: f64 = 0.8;
/// A row less surely of its place says nothing about another list.
pub(super) const PLACED: f64 = 0.25;
/// A row less surely of its place does not even confirm another list's.
const LIKELIER: f64 = 0.5;
/// What a row left over at the end of a column counts for: headings stand there too.
const LEFT_OVER: f64 = 0.7;
/// Contradictions that each agreement outweighs.
const FORGIVEN: f64 = 0.34;

/// A column of one photograph.
type Column<'a> = (&'a str, u8);
/// Photograph and row.
type RowId = (String, usize);

/// What is known of the rows of all lists.
#[derive(Debug, Default)]
pub(super) struct Lists {
    framed: HashSet<RowId>,
    doubted: HashSet<(String, u8)>,
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

    fn column(&self) -> Column<'_> {
        (&self.strip.photo, self.column)
    }
}

impl Lists {
    /// What the readings of `entries`, in the outline's order, say of each other; `kept` are the rows they come
    /// from, where they are at hand.
    pub fn of(entries: &[Entry], kept: &[Reading]) -> Self {
        let framed = framed(entries);
        let doubted = doubted(entries, &dangling(kept));
        Lists { framed, doubted }
    }

    /// Whether a reading is believed as far as its list goes.
    pub fn believes(&self, reading: &Evidence) -> bool {
        self.believes_column(&reading.strip.photo, reading.column)
    }

    /// Whether a column of a photograph is believed.
    pub fn believes_column(&self, photo: &str, column: u8) -> bool {
        self.doubted.is_empty() || !self.doubted.contains(&(photo.to_owned(), column))
    }

    /// Whether the rows above and below frame the reading's page, or another run of its list goes on with it.
    pub fn frames(&self, reading: &Evidence) -> bool {
        reading.kind == Kind::List
            && self.framed.contains(&(reading.strip.photo.clone(), reading.row))
    }

    /// Photographs with a column that is not believed.
    pub fn doubted(&self) -> impl Iterator<Item = &str> {
        let mut photos: Vec<&str> = self.doubted.iter().map(|c| c.0.as_str()).collect();
        photos.sort_unstable();
        photos.dedup();
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

/// Columns that begin or end with a row whose page is missing although no text stands under it: where every number
/// stands beside the next row or the one before, one row is left over.
fn dangling(kept: &[Reading]) -> Vec<Column<'_>> {
    let mut columns = Vec::new();
    for reading in kept {
        if let [first, second, ..] = reading.rows.as_slice()
            && first.page.is_none()
            && second.page.is_some()
            && second.level <= first.level
        {
            columns.push((reading.file.as_str(), first.column));
        }
        if let [.., before, last] = reading.rows.as_slice()
            && last.page.is_none()
            && before.page.is_some()
            && before.level <= last.level
        {
            columns.push((reading.file.as_str(), last.column));
        }
    }
    columns
}

/// Agreements and contradictions of a column.
#[derive(Debug, Default, Clone, Copy)]
struct Told {
    agreed: f64,
    contradicted: f64,
}

impl Told {
    fn doubt(&self) -> f64 {
        self.contradicted - FORGIVEN * self.agreed
    }

    fn share(&self) -> f64 {
        self.contradicted / (self.contradicted + self.agreed).max(1.0)
    }
}

/// Columns that cannot be believed, the worst first; what it said is then left out of what is held against
/// others.
fn doubted(entries: &[Entry], dangling: &[Column]) -> HashSet<(String, u8)> {
    let over = Headings::of(entries);
    let mut doubted: HashSet<Column> = HashSet::new();
    loop {
        let mut told = tell(entries, &over, &doubted);
        for column in dangling {
            // A heading over a list looks the same: it counts where something else contradicts the column.
            if let Some(told) = told.get_mut(column).filter(|t| t.contradicted > 0.0) {
                told.contradicted += LEFT_OVER;
            }
        }
        let suspects = told.iter().filter(|t| t.1.doubt() > 0.6);
        let worst = suspects.clone().map(|t| t.1.share()).fold(0.0, f64::max);
        let next: Vec<Column> =
            suspects.filter(|t| t.1.share() > worst - 0.05).map(|t| *t.0).collect();
        if next.is_empty() {
            break;
        }
        doubted.extend(next);
    }
    // What errs in one column of a list errs in the others that nothing confirms.
    let parts: HashSet<&str> =
        doubted.iter().filter_map(|column| main_part(entries, column)).collect();
    let told = tell(entries, &over, &doubted);
    let alike = told.iter().filter(|t| t.1.agreed == 0.0).map(|t| *t.0);
    let alike: Vec<Column> =
        alike.filter(|c| main_part(entries, c).is_some_and(|p| parts.contains(p))).collect();
    doubted.extend(alike);
    doubted.into_iter().map(|(photo, column)| (photo.to_owned(), column)).collect()
}

/// The part of the book that most rows of a column name: its section, or the prefaces.
fn main_part<'a>(entries: &'a [Entry], column: &Column) -> Option<&'a str> {
    let mut counts: HashMap<&str, usize> = HashMap::new();
    for entry in entries {
        if entry.evidence.iter().any(|r| r.column() == *column) {
            let section = entry.place.as_str().split('/').next().unwrap_or_default();
            let part = if entry.is_preface() { "preface" } else { section };
            *counts.entry(part).or_default() += 1;
        }
    }
    counts.into_iter().max_by_key(|c| (c.1, c.0)).map(|c| c.0)
}

fn tell<'a>(
    entries: &'a [Entry],
    over: &Headings,
    doubted: &HashSet<Column<'a>>,
) -> HashMap<Column<'a>, Told> {
    let mut told: HashMap<Column, Told> = HashMap::new();
    for (index, entry) in entries.iter().enumerate() {
        let clear: Vec<(&Evidence, Label)> = entry
            .evidence
            .iter()
            .filter(|r| !doubted.contains(&r.column()))
            .filter_map(|r| Some((r, r.clear()?)))
            .collect();
        for (i, (reading, label)) in clear.iter().enumerate() {
            let told = told.entry(reading.column()).or_default();
            let others = clear
                .iter()
                .enumerate()
                .filter(|(j, o)| *j != i && o.0.column() != reading.column());
            for (_, (_, other)) in others {
                match other == label {
                    true => told.agreed += 1.0,
                    false => told.contradicted += 1.0,
                }
            }
            if reading.kind == Kind::List {
                over.tell(entries, index, reading, label, doubted, told);
            }
        }
    }
    told
}

/// For each entry the headings over it.
struct Headings {
    above: Vec<Option<usize>>,
}

impl Headings {
    fn of(entries: &[Entry]) -> Self {
        let mut open: Vec<usize> = Vec::new();
        let mut above = Vec::with_capacity(entries.len());
        for (index, entry) in entries.iter().enumerate() {
            open.retain(|i| entries[*i].level < entry.level);
            above.push(open.last().copied());
            open.push(index);
        }
        Headings { above }
    }

    /// Holds the heading over an entry, as another photograph has it, against a label: a text stands behind
    /// its heading, the first one on the same page or the next.
    fn tell(
        &self,
        entries: &[Entry],
        index: usize,
        reading: &Evidence,
        label: &Label,
        doubted: &HashSet<Column>,
        told: &mut Told,
    ) {
        let entry = &entries[index];
        if entry.is_day_preface() || entry.after.is_some() {
            return;
        }
        let mut at = self.above[index];
        while let Some(i) = at {
            let heading = &entries[i];
            let other = heading.evidence.iter().find_map(|r| {
                let apart = r.strip.photo != reading.strip.photo && !doubted.contains(&r.column());
                r.clear().filter(|_| apart)
            });
            if let Some(page) = other.filter(|p| p.numbering == label.numbering) {
                let first = i + 1 == index && heading.length == 0.0;
                match first {
                    _ if *label < page => told.contradicted += 1.0,
                    true if *label == page => told.agreed += 1.0,
                    true if label.number > page.number + 1 => told.contradicted += 1.0,
                    _ => {}
                }
                return;
            }
            at = self.above[i];
        }
    }
}

impl Entry {
    /// A preface of a single day: some editions print it with the day, some among the prefaces.
    pub(super) fn is_day_preface(&self) -> bool {
        let last = self.place.as_str().rsplit('/').next().unwrap_or_default();
        last.starts_with("preface") && !self.place.is_under("order")
    }
}
