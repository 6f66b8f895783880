//! Rows of photographs become evidence of places: which list is in page order, which language it is
//! in, which place each row names; what names no known place becomes a place of the book's own.

use super::align::{Candidate, Catalogue, Line, Target, match_any_order, match_in_order};
use super::posterior::Posterior;
use super::titles::normalised;
use super::words::{Word, words};
use super::{Book, Change, Entry, Evidence, Kind, Label, Outline, Replaced, State, Step};
use crate::language::PrintedLanguage;
use crate::place::Place;
use crate::text::{Alternative, Reading, Row};

/// One row in its surroundings.
struct Printed<'a> {
    row: &'a Row,
    line: Line,
    /// Ways to read its page; none for a heading without page.
    alternatives: Vec<Alternative>,
    kind: Kind,
    new_photo: bool,
    /// Index of the nearest heading among the printed rows.
    heading: Option<usize>,
    /// The row above or below in its list shows the same page.
    echo: bool,
}

impl Book {
    /// The book that `readings` show. The language is guessed where it is not given and there is an outline.
    pub fn from_readings(
        name: &str,
        readings: &[Reading],
        outline: Option<&Outline>,
        language: Option<PrintedLanguage>,
        when: &str,
    ) -> Self {
        let mut book = Book::new(name, language, outline);
        book.read(readings, when);
        book
    }

    /// Adds what `readings` show and settles the map anew. A photograph read before is replaced.
    pub fn read(&mut self, readings: &[Reading], when: &str) {
        self.guess_language(readings);
        let photos: Vec<String> = readings.iter().map(|r| r.file.clone()).collect();
        let replaced = self.lay_aside(&photos);
        self.history.push(Step { when: when.to_owned(), what: Change::Read { photos, replaced } });
        // Before anything is known of the edition its pages tell nothing: no scale is fitted yet.
        let begun = self.entries.iter().any(Entry::is_observed);
        let mut known = if begun { self.settle() } else { Vec::new() };
        let mut printed = printed_rows(readings);
        if self.entries.is_empty() {
            // No outline: the rows themselves are the first outline, the rest is matched to it.
            printed.iter_mut().for_each(|p| p.kind = Kind::List);
        }
        // The lists in page order first: their pages then tell the rows of an index apart.
        for kind in [Kind::List, Kind::Index] {
            let rows: Vec<usize> =
                (0..printed.len()).filter(|i| printed[*i].kind == kind).collect();
            if !rows.is_empty() {
                self.attach(&printed, &rows, &known);
                known = self.settle();
            }
        }
        self.attach_references(readings, &known, printed.len());
        self.settle();
    }

    /// Finds the language by the rows, where it is not known.
    fn guess_language(&mut self, readings: &[Reading]) {
        let Some(outline) = self.outlined().filter(|_| self.language.is_none()) else { return };
        let rows = readings.iter().flat_map(|r| &r.rows).map(|row| row.title.as_str());
        self.language = outline.language_of(rows);
        for entry in &mut self.entries {
            if let Some(place) = outline.get(&entry.place) {
                entry.title = place.title_in(self.language).to_owned();
            }
        }
    }

    /// A printed row in the spelling of the titles it is compared with.
    pub(super) fn comparable(&self, line: &Line) -> Line {
        let headings = line.headings.iter().map(|heading| self.plain(heading)).collect();
        Line { title: self.plain(&line.title), headings }
    }

    fn plain(&self, title: &str) -> String {
        self.language.map_or_else(|| title.to_owned(), |language| normalised(title, language))
    }

    /// Takes away what these photographs showed when they were read before.
    fn lay_aside(&mut self, photos: &[String]) -> Vec<Replaced> {
        let mut replaced = Vec::new();
        for entry in &mut self.entries {
            let again = |e: &mut Evidence| photos.contains(&e.strip.photo);
            let place = &entry.place;
            let old = entry.evidence.extract_if(.., again);
            replaced.extend(old.map(|evidence| Replaced { place: place.clone(), evidence }));
        }
        replaced
    }

    fn attach(&mut self, printed: &[Printed], rows: &[usize], known: &[Option<Posterior>]) {
        let lines: Vec<Line> = rows.iter().map(|i| self.comparable(&printed[*i].line)).collect();
        let mut candidates = Catalogue::new(&self.targets()).candidates(&lines);
        for (found, row) in candidates.iter_mut().zip(rows) {
            let alternatives = &printed[*row].alternatives;
            found.iter_mut().for_each(|c| c.score += page_odds(c, alternatives, known));
        }
        let matched = match printed[rows[0]].kind {
            Kind::Index => match_any_order(&candidates),
            _ => {
                let new_photo: Vec<bool> = rows.iter().map(|i| printed[*i].new_photo).collect();
                match_in_order(&candidates, &new_photo)
            }
        };
        let mut places: Vec<Option<Place>> = vec![None; printed.len()];
        for ((row, target), found) in rows.iter().zip(&matched).zip(&candidates) {
            let likeness = target.and_then(|t| found.iter().find(|c| c.target == t));
            let place = match (target, likeness) {
                (Some(target), Some(found)) => self.support(*target, printed, *row, found.likeness),
                _ => self.own_place(printed, *row, &places),
            };
            if let Some(slot) = places.get_mut(*row) {
                *slot = place;
            }
        }
    }

    /// Adds the row to the evidence of the entry at `index`.
    fn support(
        &mut self,
        index: usize,
        printed: &[Printed],
        row: usize,
        likeness: f64,
    ) -> Option<Place> {
        let step = self.history.len().saturating_sub(1);
        let entry = self.entries.get_mut(index)?;
        let mut misplaced = some_place_else(likeness);
        if runs_together(&printed[row].line.title, &entry.title) {
            misplaced = misplaced.max(TWO_ROWS);
        }
        if let Some(evidence) = evidence(&printed[row], row, step, misplaced) {
            entry.evidence.push(evidence);
        }
        Some(entry.place.clone())
    }

    /// Makes a place for a row that names none known; needs a page and a word.
    fn own_place(
        &mut self,
        printed: &[Printed],
        row: usize,
        places: &[Option<Place>],
    ) -> Option<Place> {
        let here = printed.get(row)?;
        let wordy = |w: &Word| matches!(w, Word::Plain(w) if w.chars().count() > 2);
        if !words(&here.line.title).iter().any(wordy) {
            return None;
        }
        let above = here.heading.and_then(|h| places.get(h)?.clone());
        let before = places.get(..row)?.iter().rev().flatten().next().cloned();
        let outlined = self.outline.is_some();
        if outlined && here.row.page.is_none() {
            return None;
        }
        let place = self.free_address(above.as_ref(), &here.line.title)?;
        let step = self.history.len().saturating_sub(1);
        let mut entry = Entry {
            place: place.clone(),
            title: here.line.title.clone(),
            page: None,
            state: State::Estimated,
            probability: 0.0,
            interval: None,
            level: if outlined { 9 } else { here.row.level },
            length: if here.row.page.is_none() { 0.0 } else { 1.0 },
            nations: Vec::new(),
            after: if here.kind == Kind::List { before } else { None },
            said: None,
            evidence: Vec::new(),
        };
        let misplaced = if outlined { NO_ENTRY } else { some_place_else(1.0) };
        entry.evidence.extend(evidence(here, row, step, misplaced));
        self.entries.push(entry);
        Some(place)
    }

    /// An address under `above` that no entry has yet.
    fn free_address(&self, above: Option<&Place>, title: &str) -> Option<Place> {
        let slug = slug(title);
        let stem = match (above, &self.outline) {
            (Some(above), _) => format!("{above}/{slug}"),
            (None, Some(_)) => format!("own/{slug}"),
            (None, None) => slug,
        };
        let numbered = (2..1000).map(|n| format!("{stem}-{n}"));
        std::iter::once(stem.clone())
            .chain(numbered)
            .filter_map(|path| Place::new(&path))
            .find(|place| self.entry(place).is_none())
    }

    /// What may be printed for each entry; nothing for places of the outline where the language is none of ours.
    pub(super) fn targets(&self) -> Vec<Target> {
        let outline = self.outlined();
        let mut above: Vec<(u8, String)> = Vec::new();
        let plain = |title: &String| self.plain(title);
        self.entries
            .iter()
            .map(|entry| {
                above.retain(|(level, _)| *level < entry.level);
                let place = outline.and_then(|o| o.get(&entry.place));
                let mut titles = match (place, self.language) {
                    (Some(place), Some(language)) => place.forms(language),
                    (Some(_), None) => Vec::new(),
                    (None, _) => vec![entry.title.clone()],
                };
                titles.extend(entry.evidence.iter().map(|e| e.title.clone()));
                let mut context: Vec<String> = above.iter().map(|a| plain(&a.1)).collect();
                context.extend(place.and_then(|p| p.month_day.clone()));
                above.push((entry.level, entry.title.clone()));
                Target { titles: titles.iter().map(plain).collect(), context }
            })
            .collect()
    }
}

/// The rows of all photographs with their headings and the kind of their list.
fn printed_rows(readings: &[Reading]) -> Vec<Printed<'_>> {
    let mut printed: Vec<Printed> = Vec::new();
    let mut above: Vec<(f64, usize)> = Vec::new();
    for reading in readings {
        let kind = kind_of(&reading.rows);
        for (i, row) in reading.rows.iter().enumerate() {
            // A heading without a page stands over rows of its own indent too, if none is deeper.
            let next = reading.rows.get(i + 1);
            let flat = row.page.is_none() && next.is_none_or(|n| n.level <= row.level);
            let depth = f64::from(row.level) - if flat { 0.5 } else { 0.0 };
            above.retain(|(level, _)| *level < depth);
            let titles = |at: &(f64, usize)| printed.get(at.1).map(|p| p.line.title.clone());
            let headings = above.iter().filter_map(titles).collect();
            let heading = above.last().map(|a| a.1);
            let line = Line { title: row.title.clone(), headings };
            above.push((depth, printed.len()));
            let alternatives = alternatives(row);
            let new_photo = i == 0;
            let echo = kind == Kind::List && echoes(&reading.rows, i);
            printed.push(Printed { row, line, alternatives, kind, new_photo, heading, echo });
            if kind == Kind::Index {
                printed.extend(further_pages(row, heading));
            }
        }
    }
    printed
}

/// An index names a title once with the pages of all places that bear it; each page is a row of its
/// own here.
fn further_pages(row: &Row, heading: Option<usize>) -> impl Iterator<Item = Printed<'_>> {
    let others = row.pages.iter().filter(|p| Some(*p) != row.page.as_ref());
    others.filter_map(move |page| {
        // Of a range only the start counts.
        let page = page.split(['-', '–']).next().and_then(Label::parse)?.to_string();
        Some(Printed {
            row,
            line: Line { title: row.title.clone(), headings: Vec::new() },
            alternatives: vec![Alternative { page, weight: row.probability }],
            kind: Kind::Index,
            new_photo: false,
            heading,
            echo: false,
        })
    })
}

/// A list whose pages mostly rise is in page order; one whose pages leap about is an index.
fn kind_of(rows: &[Row]) -> Kind {
    let pages: Vec<Label> = rows.iter().filter_map(|r| Label::parse(r.page.as_deref()?)).collect();
    let rises = pages.windows(2).filter(|w| w[0] <= w[1]).count();
    // In random order half of the steps rise; misread numbers spoil two steps each.
    let index = pages.len() >= 6 && (rises as f64) < 0.7 * (pages.len() - 1) as f64;
    if index { Kind::Index } else { Kind::List }
}

/// What the page says about a candidate: log odds of the reading on the candidate's pages against
/// any page.
pub(super) fn page_odds(
    candidate: &Candidate,
    alternatives: &[Alternative],
    known: &[Option<Posterior>],
) -> f64 {
    let Some(Some(posterior)) = known.get(candidate.target) else { return 0.0 };
    let labels = alternatives.iter().filter_map(|a| Some((Label::parse(&a.page)?, a.weight)));
    let explained: f64 = labels.map(|(l, weight)| weight * posterior.at(l.number as i32)).sum();
    let any = 1.0 / 1000.0;
    if alternatives.is_empty() {
        0.0
    } else {
        ((explained + any * 0.1) / any).ln().clamp(-2.0, 2.0)
    }
}

/// Probability that a row with titles this alike belongs elsewhere; by trial.
pub(super) fn some_place_else(likeness: f64) -> f64 {
    (0.005 + 2.0 * (1.0 - likeness).powi(2)).min(0.7)
}

/// Probability that the page of two rows run together is the other one's.
const TWO_ROWS: f64 = 0.5;

/// Whether a printed title looks like two rows read as one: a number in its midst, before two words
/// at least, that is no part of the place's own title.
fn runs_together(printed: &str, title: &str) -> bool {
    let own = words(title);
    let printed = words(printed);
    let inner = printed.iter().enumerate().skip(1);
    let stray = |(i, word): (usize, &Word)| {
        let followed = printed.iter().skip(i + 1).filter(|w| matches!(w, Word::Plain(_))).count();
        matches!(word, Word::Number(_)) && !own.contains(word) && followed > 1
    };
    inner.into_iter().any(stray)
}

/// Probability that a row which names no known place is no entry at all but a misread line.
const NO_ENTRY: f64 = 0.3;

/// Ways to read the row's page, at least the page itself; none where no page is printed.
fn alternatives(row: &Row) -> Vec<Alternative> {
    match &row.page {
        None => Vec::new(),
        Some(_) if !row.alternatives.is_empty() => as_sure_as_the_row(row),
        Some(_) if row.pages.len() > 1 => one_of(&row.pages, row.probability),
        Some(page) => vec![Alternative { page: page.clone(), weight: row.probability }],
    }
}

/// The row's numbers, no surer together than the row: the reader may doubt it for its shape, its order or
/// its page, however clear the digits are.
fn as_sure_as_the_row(row: &Row) -> Vec<Alternative> {
    let clear = row.alternatives.first().map_or(1.0, |a| a.weight);
    let keeps = (row.probability / clear.max(f64::MIN_POSITIVE)).min(1.0);
    let lessened = |a: &Alternative| Alternative { weight: a.weight * keeps, ..a.clone() };
    row.alternatives.iter().map(lessened).collect()
}

/// Share of the first of several pages: the Mass stands there, what follows refers elsewhere (common
/// practice of indexes).
const FIRST_PAGE: f64 = 0.6;

/// Several pages of one row as ways to read the place's one page.
fn one_of(pages: &[String], probability: f64) -> Vec<Alternative> {
    let others = (1.0 - FIRST_PAGE) / pages.len().saturating_sub(1).max(1) as f64;
    let share = |i: usize| if i == 0 { FIRST_PAGE } else { others };
    let alternative = |(i, page): (usize, &String)| Alternative {
        page: page.clone(),
        weight: probability * share(i),
    };
    pages.iter().enumerate().map(alternative).collect()
}

/// The row as evidence; none for a row without page.
fn evidence(printed: &Printed, row: usize, step: usize, misplaced: f64) -> Option<Evidence> {
    let told: f64 = printed.alternatives.iter().map(|a| a.weight).sum();
    (!printed.alternatives.is_empty()).then(|| Evidence {
        title: printed.row.title.clone(),
        alternatives: printed.alternatives.clone(),
        strip: printed.row.strip.clone(),
        kind: printed.kind,
        misread: (1.0 - told).clamp(if printed.echo { ECHO } else { LEAST_MISREAD }, 0.3),
        misplaced,
        step,
        row,
    })
}

/// No reader is surer of a number than this.
const LEAST_MISREAD: f64 = 0.01;
/// Nor than this where the row above or below shows the same page: that may be the neighbour's number,
/// taken for this row's. Where texts are short enough to share a page, the lengths outweigh it.
const ECHO: f64 = 0.025;

/// Whether the row above or below with a page shows the page of row `at`.
fn echoes(rows: &[Row], at: usize) -> bool {
    let Some(page) = rows.get(at).and_then(|r| r.page.as_ref()) else { return false };
    let above = rows.iter().take(at).rev().find_map(|r| r.page.as_ref());
    let below = rows.iter().skip(at + 1).find_map(|r| r.page.as_ref());
    above == Some(page) || below == Some(page)
}

/// A step of an address: letters and digits in lower case, hyphens between words.
fn slug(title: &str) -> String {
    let word = |w: &Word| match w {
        Word::Plain(word) => word.chars().filter(char::is_ascii_alphanumeric).collect(),
        Word::Number(number) => number.to_string(),
        Word::Letter(letter) => letter.to_ascii_lowercase().to_string(),
    };
    let steps: Vec<String> = words(title).iter().map(word).filter(|w| !w.is_empty()).collect();
    if steps.is_empty() { "unnamed".into() } else { steps.join("-") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_rows_read_as_one_are_noticed() {
        for (printed, title, expected) in [
            (
                "Monday of the Second Week of Advent 16 Second Sunday of Lent",
                "Monday of the Second Week of Advent",
                true,
            ),
            ("16 Saint Margaret of Scotland", "Saint Margaret of Scotland", false),
            ("Prayer over the People 25", "Prayer over the People 25", false),
            ("17. For the Unity of Christians", "17. For the Unity of Christians", false),
            ("Monday of the Second Week of Advent", "Monday of the Second Week of Advent", false),
        ] {
            assert_eq!(runs_together(printed, title), expected, "{printed}");
        }
    }
}
