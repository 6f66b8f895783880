//! Rows of photographs become evidence of places: which list is in page order, which language it is
//! in, which place each row names; what names no known place becomes a place of the book's own.
//!
//! Every photograph is matched by itself, whatever order they came in, and all of them anew when one is
//! added or taken away: the map is a function of what is kept, not of how it grew.

use super::align::{InOrder, Match};
use super::auction::match_any_order;
use super::catalogue::{Candidate, Catalogue, Line, Target};
use super::seen::Seen;
use super::titles::normalised;
use super::words::{Word, words};
use super::{
    Book, Change, Entry, Evidence, Kind, Label, Numbering, Outline, Replaced, Said, State, Step,
};
use crate::language::PrintedLanguage;
use crate::place::Place;
use crate::text::{Alternative, Reading, Row};
use std::collections::{HashMap, HashSet};

/// One row in its surroundings.
pub(super) struct Printed<'a> {
    pub row: &'a Row,
    pub line: Line,
    /// Ways to read its page; none for a heading without page.
    pub alternatives: Vec<Alternative>,
    pub kind: Kind,
    /// Its number on the photograph.
    number: usize,
    /// Index of the nearest heading among the photograph's rows.
    heading: Option<usize>,
    /// The row above or below in its list shows the same page.
    echo: bool,
}

impl Printed<'_> {
    /// The page it names, where that is clear.
    fn label(&self) -> Option<Label> {
        let first = self.alternatives.first().filter(|a| a.weight >= super::lists::CLEAR)?;
        Label::parse(&first.page)
    }

    /// The same as a number, where it is arabic.
    fn page(&self) -> Option<f64> {
        let label = self.label().filter(|l| l.numbering == Numbering::Arabic)?;
        Some(f64::from(label.number))
    }
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
        let told_language = self.guess_language(readings);
        let photos: Vec<String> = readings.iter().map(|r| r.file.clone()).collect();
        self.forget_rows();
        let again = |r: &mut Reading| photos.contains(&r.file);
        let set_aside: Vec<Reading> = self.readings.extract_if(.., again).collect();
        let replaced = self.lay_aside(&photos);
        self.keep(readings);
        self.record(when, Change::Read { photos, replaced, set_aside, told_language });
        self.match_rows();
        self.settle();
    }

    /// Finds the language by the rows, where it is not known; tells whether they told it.
    fn guess_language(&mut self, readings: &[Reading]) -> bool {
        let Some(outline) = self.outlined().filter(|_| self.language.is_none()) else {
            return false;
        };
        let rows = readings.iter().flat_map(|r| &r.rows).map(|row| row.title.as_str());
        self.speak(outline.language_of(rows));
        self.language.is_some()
    }

    /// Gives the book's texts their titles in `language`.
    pub(super) fn speak(&mut self, language: Option<PrintedLanguage>) {
        self.language = language;
        let Some(outline) = self.outlined() else { return };
        for entry in &mut self.entries {
            if let Some(place) = outline.get(&entry.place) {
                entry.title = place.title_in(language).to_owned();
            }
        }
    }

    fn lines(&self, photo: &[Printed]) -> Vec<Line> {
        photo.iter().map(|p| self.comparable(&p.line)).collect()
    }

    /// A printed row in the spelling of the titles it is compared with.
    pub(super) fn comparable(&self, line: &Line) -> Line {
        let headings = line.headings.iter().map(|heading| self.plain(heading)).collect();
        Line { title: self.plain(&line.title), headings }
    }

    fn plain(&self, title: &str) -> String {
        self.language.map_or_else(|| title.to_owned(), |language| normalised(title, language))
    }

    /// The names of the photographs that it was read from.
    pub fn photos(&self) -> Vec<String> {
        let evidence = self.entries.iter().flat_map(|e| &e.evidence);
        let mut photos: Vec<String> = evidence.map(|e| e.strip.photo.clone()).collect();
        photos.extend(self.readings.iter().map(|r| r.file.clone()));
        photos.sort();
        photos.dedup();
        photos
    }

    /// Keeps what photographs showed, by their names.
    pub(super) fn keep(&mut self, readings: &[Reading]) {
        self.readings.extend(readings.iter().cloned());
        self.readings.sort_by(|a, b| a.file.cmp(&b.file));
    }

    /// Takes the photograph called `photo` away: nothing it showed counts any more. False where there is none.
    pub fn remove_photo(&mut self, photo: &str, when: &str) -> bool {
        let known = self.readings.iter().any(|r| r.file == photo)
            || self.entries.iter().flat_map(|e| &e.evidence).any(|e| e.strip.photo == photo);
        if !known {
            return false;
        }
        self.forget_rows();
        let set_aside = self.readings.extract_if(.., |r| r.file == photo).collect();
        let replaced = self.lay_aside(&[photo.to_owned()]);
        self.record(when, Change::Removed { photo: photo.to_owned(), replaced, set_aside });
        self.match_rows();
        self.settle();
        true
    }

    /// Takes away what photographs showed that were read before their rows were kept.
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

    /// Drops the evidence of all kept rows, and the places of the book's own that nothing else names.
    pub(super) fn forget_rows(&mut self) {
        let kept: HashSet<String> = self.readings.iter().map(|r| r.file.clone()).collect();
        self.forget(&kept);
    }

    fn forget(&mut self, photos: &HashSet<String>) {
        for entry in &mut self.entries {
            entry.evidence.retain(|e| !photos.contains(&e.strip.photo));
        }
        let outline = self.outlined();
        let known = |e: &Entry| {
            e.said.is_some()
                || !e.evidence.is_empty()
                || outline.is_some_and(|o| o.get(&e.place).is_some())
        };
        self.entries.retain(known);
    }

    /// Gives all kept rows to places.
    pub(super) fn match_rows(&mut self) {
        self.in_outline_order();
        // A person's words settle pages, they do not say what a row means.
        let said: HashMap<Place, Said> = self
            .entries
            .iter_mut()
            .filter_map(|e| Some((e.place.clone(), e.said.take()?)))
            .collect();
        // A place of the book's own that only a word names keeps it meanwhile.
        for entry in &mut self.entries {
            entry.said = said.get(&entry.place).filter(|_| entry.after.is_some()).cloned();
        }
        let readings = std::mem::take(&mut self.readings);
        let photos: Vec<Vec<Printed>> = in_fixed_order(&readings).map(printed_rows).collect();
        match self.outline {
            None => self.match_without_outline(&photos),
            Some(_) => self.match_to_outline(&photos),
        }
        self.attach_references(&readings);
        self.readings = readings;
        for entry in &mut self.entries {
            entry.said = said.get(&entry.place).cloned();
        }
    }

    /// No outline: each list is the outline of the next.
    fn match_without_outline(&mut self, photos: &[Vec<Printed>]) {
        for photo in photos {
            let candidates = Catalogue::new(&self.targets()).candidates(&self.lines(photo));
            self.attach(photo, candidates, None);
        }
    }

    /// Lists in page order first, and once more when all of them have told their pages; these then tell the
    /// rows of an index apart.
    fn match_to_outline(&mut self, photos: &[Vec<Printed>]) {
        let of_kind =
            |kind: Kind| photos.iter().filter(move |p| p.first().is_some_and(|r| r.kind == kind));
        let catalogue = Catalogue::new(&self.targets());
        let lists: Vec<(&Vec<Printed>, Vec<Vec<Candidate>>)> =
            of_kind(Kind::List).map(|p| (p, catalogue.candidates(&self.lines(p)))).collect();
        for (photo, candidates) in &lists {
            self.attach(photo, candidates.clone(), None);
        }
        let seen = Seen::of(&self.entries);
        let photos = lists.iter().flat_map(|l| l.0.first()).map(|p| p.row.strip.photo.clone());
        self.forget(&photos.collect());
        for (photo, candidates) in lists {
            self.attach(photo, candidates, Some(&seen));
        }
        self.settle();
        let catalogue = Catalogue::new(&self.targets());
        for photo in of_kind(Kind::Index) {
            let candidates = catalogue.candidates(&self.lines(photo));
            self.attach(photo, candidates, None);
        }
    }

    fn attach(
        &mut self,
        photo: &[Printed],
        mut candidates: Vec<Vec<Candidate>>,
        seen: Option<&Seen>,
    ) {
        let prefaces = self.by_kind_of_list(photo, &mut candidates);
        for (found, printed) in candidates.iter_mut().zip(photo) {
            let row = (printed.row.strip.photo.as_str(), printed.number);
            let seen = seen.filter(|s| s.believes(row.0, printed.row.column));
            // A heading without page says little: some are no text's.
            if printed.alternatives.is_empty() {
                found.iter_mut().for_each(|c| c.score -= PAGELESS);
            }
            if let Some((seen, page)) = seen.zip(printed.label()) {
                let odds: Vec<f64> = found.iter().map(|c| seen.odds(c, &page, row)).collect();
                // Where the page fits none of them, it tells nothing of which is meant.
                let most = odds.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                found.iter_mut().zip(odds).for_each(|(c, odds)| c.score += odds - most);
            }
        }
        let matched = if photo.first().is_some_and(|p| p.kind == Kind::Index) {
            for (found, printed) in candidates.iter_mut().zip(photo) {
                found.iter_mut().for_each(|c| c.score += self.page_odds(c, &printed.alternatives));
            }
            match_any_order(&candidates)
        } else {
            let pages: Vec<Option<f64>> = photo.iter().map(Printed::page).collect();
            let before = &self.pages_before();
            InOrder { candidates: &candidates, pages: &pages, before, prefaces }.matched()
        };
        let mut places: Vec<Option<Place>> = vec![None; photo.len()];
        for (row, found) in matched.iter().enumerate() {
            let place = match found {
                Some(found) => self.support(found, &photo[row]),
                None => self.own_place(photo, row, &places),
            };
            if let Some(slot) = places.get_mut(row) {
                *slot = place;
            }
        }
    }

    /// For each entry the pages before it, as far as expected lengths tell; nothing without an outline.
    fn pages_before(&self) -> Vec<f64> {
        let mut before = 0.0;
        let mut add = |e: &Entry| {
            before += e.length;
            before - e.length
        };
        let known = self.outline.is_some();
        self.entries.iter().take_while(|_| known).map(&mut add).collect()
    }

    /// Adds the row to the evidence of the entry it matches.
    fn support(&mut self, found: &Match, printed: &Printed) -> Option<Place> {
        let step = self.step_of(&printed.row.strip.photo);
        let entry = self.entries.get_mut(found.target)?;
        let mut misplaced = some_place_else(found.likeness);
        misplaced = misplaced.max(1.0 - found.probability).min(MOST_MISPLACED);
        if runs_together(&printed.line.title, &entry.title) {
            misplaced = misplaced.max(TWO_ROWS);
        }
        if let Some(evidence) = evidence(printed, step, misplaced) {
            entry.evidence.push(evidence);
        }
        Some(entry.place.clone())
    }

    /// The step of the history that brought a photograph.
    pub(super) fn step_of(&self, photo: &str) -> usize {
        let brought = |s: &Step| match &s.what {
            Change::Read { photos, .. } => photos.iter().any(|p| p == photo),
            _ => false,
        };
        self.history.iter().rposition(brought).unwrap_or(0)
    }

    /// Makes a place for a row that names none known; needs a page and a word.
    fn own_place(
        &mut self,
        photo: &[Printed],
        row: usize,
        places: &[Option<Place>],
    ) -> Option<Place> {
        let here = photo.get(row)?;
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
        let place = self.free_address(above.as_ref(), here)?;
        let step = self.step_of(&here.row.strip.photo);
        let misplaced = if outlined { NO_ENTRY } else { some_place_else(1.0) };
        let evidence = evidence(here, step, misplaced);
        if let Some(known) = self.entries.iter_mut().find(|e| e.place == place) {
            known.evidence.extend(evidence);
            return Some(place);
        }
        self.entries.push(Entry {
            place: place.clone(),
            title: here.line.title.clone(),
            page: None,
            state: State::Estimated,
            probability: 0.0,
            interval: None,
            reckoned: None,
            level: if outlined { 9 } else { here.row.level },
            length: if here.row.page.is_none() { 0.0 } else { 1.0 },
            nations: Vec::new(),
            after: if here.kind == Kind::List { before } else { None },
            said: None,
            evidence: evidence.into_iter().collect(),
        });
        Some(place)
    }

    /// An address under `above` that no entry has yet, or one whose entry no other row of this photograph
    /// names: the same title again, or a place of which only a person has spoken.
    fn free_address(&self, above: Option<&Place>, here: &Printed) -> Option<Place> {
        let slug = slug(&here.line.title);
        let stem = match (above, &self.outline) {
            (Some(above), _) => format!("{above}/{slug}"),
            (None, Some(_)) => format!("own/{slug}"),
            (None, None) => slug,
        };
        let photo = &here.row.strip.photo;
        let free = |place: &Place| {
            self.entry(place).is_none_or(|e| {
                let own = self.outlined().is_none_or(|o| o.get(place).is_none());
                own && e.evidence.iter().all(|r| r.strip.photo != *photo)
            })
        };
        let numbered = (2..1000).map(|n| format!("{stem}-{n}"));
        std::iter::once(stem.clone())
            .chain(numbered)
            .filter_map(|path| Place::new(&path))
            .find(free)
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
                if place.is_none() {
                    titles.extend(entry.evidence.iter().map(|e| e.title.clone()));
                }
                let mut context: Vec<String> = above.iter().map(|a| plain(&a.1)).collect();
                context.extend(place.and_then(|p| p.month_day.clone()));
                above.push((entry.level, entry.title.clone()));
                Target { titles: titles.iter().map(plain).collect(), context }
            })
            .collect()
    }
}

/// Photographs in an order that their rows alone decide, each content once: readings of one photograph
/// under two names are one.
fn in_fixed_order(readings: &[Reading]) -> impl Iterator<Item = &Reading> {
    let first = |r: &Reading| {
        let mut labels: Vec<Label> =
            r.rows.iter().filter_map(|r| Label::parse(r.page.as_deref()?)).collect();
        labels.sort();
        labels.get(labels.len() / 2).cloned()
    };
    let mut ordered: Vec<_> = readings.iter().map(|r| (first(r), r)).collect();
    let content = |r: &Reading| -> Vec<(String, Option<String>, [i32; 4])> {
        let area = |r: &Row| {
            [r.strip.area.left, r.strip.area.top, r.strip.area.right, r.strip.area.bottom]
        };
        r.rows.iter().map(|r| (r.title.clone(), r.page.clone(), area(r))).collect()
    };
    ordered.sort_by(|a, b| {
        a.0.cmp(&b.0)
            .then_with(|| content(a.1).cmp(&content(b.1)))
            .then_with(|| a.1.file.cmp(&b.1.file))
    });
    ordered.dedup_by(|a, b| !a.1.rows.is_empty() && content(a.1) == content(b.1));
    ordered.into_iter().map(|o| o.1)
}

/// The rows of a photograph with their headings and the kind of their list.
fn printed_rows(reading: &Reading) -> Vec<Printed<'_>> {
    let mut printed: Vec<Printed> = Vec::new();
    let mut above: Vec<(f64, usize)> = Vec::new();
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
        let echo = kind == Kind::List && echoes(&reading.rows, i);
        printed.push(Printed { row, line, alternatives, kind, number: i, heading, echo });
        if kind == Kind::Index {
            printed.extend(further_pages(row, i, heading));
        }
    }
    printed
}

/// An index names a title once with the pages of all places that bear it; each page is a row of its
/// own here.
fn further_pages(
    row: &Row,
    number: usize,
    heading: Option<usize>,
) -> impl Iterator<Item = Printed<'_>> {
    let others = row.pages.iter().filter(|p| Some(*p) != row.page.as_ref());
    others.filter_map(move |page| {
        // Of a range only the start counts.
        let page = page.split(['-', '–']).next().and_then(Label::parse)?.to_string();
        Some(Printed {
            row,
            line: Line { title: row.title.clone(), headings: Vec::new() },
            alternatives: vec![Alternative { page, weight: row.probability }],
            kind: Kind::Index,
            number,
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

/// Probability that a row with titles this alike belongs elsewhere; by trial.
pub(super) fn some_place_else(likeness: f64) -> f64 {
    (0.005 + 2.0 * (1.0 - likeness).powi(2)).min(0.7)
}

/// Log odds against a row without page meaning a text; by trial.
const PAGELESS: f64 = 2.0;

/// However little a match is worth, some of its row is kept.
const MOST_MISPLACED: f64 = 0.9;

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
fn evidence(printed: &Printed, step: usize, misplaced: f64) -> Option<Evidence> {
    let told: f64 = printed.alternatives.iter().map(|a| a.weight).sum();
    let untold = (1.0 - told).max(LEAST_MISREAD);
    let echoed = if printed.echo { (ECHO * untold).min(MOST_ECHO).max(untold) } else { untold };
    (!printed.alternatives.is_empty()).then(|| Evidence {
        title: printed.row.title.clone(),
        alternatives: printed.alternatives.clone(),
        strip: printed.row.strip.clone(),
        column: printed.row.column,
        kind: printed.kind,
        misread: echoed.min(0.3),
        misplaced,
        step,
        row: printed.number,
    })
}

/// No reader is surer of a number than this.
const LEAST_MISREAD: f64 = 0.0005;
/// Where the row above or below shows the same page, that may be the neighbour's number, taken for this row's:
/// so many times likelier is a misreading, up to the most. Where texts are short enough to share a page, the
/// lengths outweigh it.
const ECHO: f64 = 2.5;
const MOST_ECHO: f64 = 0.025;

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
