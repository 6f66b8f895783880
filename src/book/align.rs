//! Which place a printed row names: likeness of titles first, then the best match of a whole list.
//!
//! A list in page order is matched by dynamic programming: going on in the order of the book is
//! cheap, leaping elsewhere dear. An alphabetical index has no order to go by; its rows bid for places
//! in an auction (Bertsekas, "The auction algorithm", 1988), which settles on the best assignment.

use super::words::{Word, alike, words};
use std::collections::{HashMap, HashSet, VecDeque};

/// A place as titles that may be printed for it.
#[derive(Debug, Clone, Default)]
pub struct Target {
    /// Its titles, its own before those made from it.
    pub titles: Vec<String>,
    /// Titles of the headings over it, and its date: words a list may add or leave out.
    pub context: Vec<String>,
}

/// A row's title and the titles of the headings it stands under.
#[derive(Debug, Clone, Default)]
pub struct Line {
    /// The title.
    pub title: String,
    /// The headings.
    pub headings: Vec<String>,
}

/// A place a row may mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Index of the target.
    pub target: usize,
    /// Likeness of the titles, 0–1.
    pub likeness: f64,
    /// Log odds that the row means it; the match of a list adds them up.
    pub score: f64,
}

/// Titles less alike than this are no candidates. By trial on lists with reading errors.
const LEAST_LIKENESS: f64 = 0.5;
/// Log odds for each step of likeness above [`EVEN`].
const SLOPE: f64 = 8.0;
/// Likeness at which a row means the place or none with equal odds.
const EVEN: f64 = 0.62;
/// Log odds for a title printed in full, word for word: the heading itself, not one of the texts under it
/// that share its words. A title made from the place's own counts half: "The Most Holy Trinity" is the Mass before
/// it is "Preface of the Most Holy Trinity".
const IN_FULL: f64 = 1.0;
/// Most candidates a row keeps: a bare "Monday" fits some fifty places.
const MOST_CANDIDATES: usize = 100;

/// The titles of all targets, ready for comparison.
pub struct Catalogue {
    words: Vec<Word>,
    by_word: HashMap<Word, usize>,
    /// How much a word tells: the rarer, the more.
    weight: Vec<f64>,
    forms: Vec<Form>,
    /// Forms that hold a word.
    holding: Vec<Vec<usize>>,
}

struct Form {
    target: usize,
    /// The target's own title.
    own: bool,
    words: Vec<usize>,
    context: Vec<usize>,
}

impl Catalogue {
    /// Takes the titles of the targets apart.
    pub fn new(targets: &[Target]) -> Self {
        let mut catalogue = Catalogue {
            words: Vec::new(),
            by_word: HashMap::new(),
            weight: Vec::new(),
            forms: Vec::new(),
            holding: Vec::new(),
        };
        for (index, target) in targets.iter().enumerate() {
            let context: Vec<usize> =
                target.context.iter().flat_map(|t| catalogue.learn(t)).collect();
            let mut kept = HashSet::new();
            for title in &target.titles {
                let mut words = catalogue.learn(title);
                words.sort();
                if words.is_empty() || !kept.insert(words.clone()) {
                    continue;
                }
                let form = catalogue.forms.len();
                for &word in &words {
                    if let Some(holding) = catalogue.holding.get_mut(word) {
                        holding.push(form);
                    }
                }
                let own = kept.len() == 1;
                catalogue.forms.push(Form { target: index, own, words, context: context.clone() });
            }
        }
        let count = catalogue.forms.len().max(1) as f64;
        let rarity = |h: &Vec<usize>| (1.0 + count / (h.len().max(1) as f64)).ln();
        catalogue.weight = catalogue.holding.iter().map(rarity).collect();
        catalogue
    }

    fn learn(&mut self, title: &str) -> Vec<usize> {
        let mut known = Vec::new();
        for word in words(title) {
            let next = self.words.len();
            let index = *self.by_word.entry(word.clone()).or_insert(next);
            if index == next {
                self.words.push(word);
                self.holding.push(Vec::new());
            }
            known.push(index);
        }
        known
    }

    /// For every line the targets it may mean, likeliest first.
    pub fn candidates(&self, lines: &[Line]) -> Vec<Vec<Candidate>> {
        let mut seen = HashMap::new();
        lines.iter().map(|line| self.candidates_of(line, &mut seen)).collect()
    }

    fn candidates_of(
        &self,
        line: &Line,
        seen: &mut HashMap<Word, Vec<(usize, f64)>>,
    ) -> Vec<Candidate> {
        let mut look_up = |title: &str| -> Vec<Vec<(usize, f64)>> {
            let found = words(title).into_iter();
            found.map(|w| seen.entry(w.clone()).or_insert_with(|| self.like(&w)).clone()).collect()
        };
        let title = look_up(&line.title);
        let headings: Vec<_> = line.headings.iter().flat_map(|h| look_up(h)).collect();
        let mut shared: HashMap<usize, f64> = HashMap::new();
        for (word, likeness) in title.iter().flatten() {
            for form in self.holding.get(*word).into_iter().flatten() {
                *shared.entry(*form).or_insert(0.0) += likeness * self.weight_of(*word);
            }
        }
        let mut best: HashMap<usize, (f64, f64)> = HashMap::new();
        for form in shared.into_keys().filter_map(|f| self.forms.get(f)) {
            let likeness = self.likeness(&title, &headings, form);
            let full = match (likeness > 0.995, form.own) {
                (true, true) => IN_FULL,
                (true, false) => IN_FULL / 2.0,
                (false, _) => 0.0,
            };
            let known = best.entry(form.target).or_insert((0.0, 0.0));
            *known = (known.0.max(likeness), known.1.max(full));
        }
        let mut found: Vec<Candidate> = best
            .into_iter()
            .filter(|(_, (likeness, _))| *likeness >= LEAST_LIKENESS)
            .map(|(target, (likeness, full))| Candidate {
                target,
                likeness,
                score: SLOPE * (likeness - EVEN) + full,
            })
            .collect();
        found.sort_by(|a, b| b.likeness.total_cmp(&a.likeness).then(a.target.cmp(&b.target)));
        found.truncate(MOST_CANDIDATES);
        found
    }

    /// Known words like `word`, with their likeness.
    fn like(&self, word: &Word) -> Vec<(usize, f64)> {
        if let Some(index) = self.by_word.get(word) {
            return vec![(*index, 1.0)];
        }
        let scored = self.words.iter().enumerate().map(|(i, known)| (i, alike(word, known)));
        scored.filter(|(_, likeness)| *likeness > 0.0).collect()
    }

    fn weight_of(&self, word: usize) -> f64 {
        self.weight.get(word).copied().unwrap_or(1.0)
    }

    /// Likeness of a row to a form: the part of the row's words that the form or its headings
    /// explain, and the part of the form's words found in the row or its headings.
    fn likeness(
        &self,
        title: &[Vec<(usize, f64)>],
        headings: &[Vec<(usize, f64)>],
        form: &Form,
    ) -> f64 {
        let cover = |row: &Vec<(usize, f64)>, words: &[usize]| {
            let found = row.iter().filter(|(w, _)| words.contains(w)).map(|(_, l)| *l);
            found.fold(0.0, f64::max)
        };
        let unknown = 3.0;
        let (mut told, mut all, mut stray_number) = (0.0, 0.0, false);
        for row in title {
            let weight =
                row.iter().map(|(w, _)| self.weight_of(*w)).fold(0.0, f64::max).max(unknown * 0.5);
            let weight = if row.is_empty() { unknown } else { weight };
            let covered = cover(row, &form.words).max(0.9 * cover(row, &form.context));
            stray_number |= covered == 0.0 && self.counts(row);
            told += weight * covered;
            all += weight;
        }
        let (mut found, mut asked, mut lost_number) = (0.0, 0.0, false);
        for word in &form.words {
            let one = [*word];
            let implied = form.context.contains(word);
            let weight = self.weight_of(*word) * if implied { 0.4 } else { 1.0 };
            let here = title.iter().map(|row| cover(row, &one)).fold(0.0, f64::max);
            let above = headings.iter().map(|row| cover(row, &one)).fold(0.0, f64::max);
            lost_number |= here == 0.0 && above == 0.0 && self.counts(&[(*word, 1.0)]);
            found += weight * here.max(0.9 * above);
            asked += weight;
        }
        if all == 0.0 || asked == 0.0 {
            return 0.0;
        }
        let clash = if stray_number && lost_number { 0.7 } else { 1.0 };
        (0.6 * told / all + 0.4 * found / asked) * clash
    }

    /// Whether a row's word is a number or a counting letter.
    fn counts(&self, row: &[(usize, f64)]) -> bool {
        row.iter().any(|(w, _)| !matches!(self.words.get(*w), Some(Word::Plain(_))))
    }
}

/// Cost of leaping to another part of the book.
const LEAP: f64 = 4.0;
/// Cost of naming the same place again.
const AGAIN: f64 = 1.5;
/// Part of the leap's cost at the start of another photograph.
const NEW_PHOTO: f64 = 0.4;
/// States carried from row to row.
const MOST_STATES: usize = 120;

struct Trail {
    target: Option<usize>,
    before: Option<usize>,
}

/// Matches a list in page order; `new_photo` tells at which rows another photograph starts.
pub fn match_in_order(candidates: &[Vec<Candidate>], new_photo: &[bool]) -> Vec<Option<usize>> {
    let mut trails: Vec<Trail> = Vec::new();
    // Best score of having last matched a target, with the trail that led there.
    let mut states: Vec<(Option<usize>, f64, Option<usize>)> = vec![(None, 0.0, None)];
    for (row, found) in candidates.iter().enumerate() {
        let leap = if new_photo.get(row) == Some(&true) { LEAP * NEW_PHOTO } else { LEAP };
        let mut next: HashMap<Option<usize>, (f64, Option<usize>, Option<usize>)> = HashMap::new();
        for candidate in found {
            let arrivals = states.iter().map(|(last, score, trail)| {
                (score + candidate.score - going_on(*last, candidate.target, leap), *trail)
            });
            if let Some((score, trail)) = arrivals.max_by(|a, b| a.0.total_cmp(&b.0)) {
                next.insert(Some(candidate.target), (score, Some(candidate.target), trail));
            }
        }
        for (last, score, trail) in &states {
            let better = next.get(last).is_none_or(|known| known.0 < *score);
            if better {
                next.insert(*last, (*score, None, *trail));
            }
        }
        let mut ranked: Vec<_> = next.into_iter().collect();
        ranked.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
        ranked.truncate(MOST_STATES);
        states = ranked
            .into_iter()
            .map(|(last, (score, target, before))| {
                trails.push(Trail { target, before });
                (last, score, Some(trails.len() - 1))
            })
            .collect();
    }
    walk_back(&trails, states.first().and_then(|s| s.2), candidates.len())
}

fn going_on(last: Option<usize>, target: usize, leap: f64) -> f64 {
    match last {
        None => 0.0,
        Some(last) if last == target => AGAIN,
        // Lists skip places, the general contents hundreds: each doubling costs the same.
        Some(last) if last < target => (0.3 * ((target - last) as f64).ln()).min(leap),
        Some(_) => leap,
    }
}

fn walk_back(trails: &[Trail], end: Option<usize>, rows: usize) -> Vec<Option<usize>> {
    let mut matched = Vec::with_capacity(rows);
    let mut at = end;
    while let Some(trail) = at.and_then(|i| trails.get(i)) {
        matched.push(trail.target);
        at = trail.before;
    }
    matched.reverse();
    matched.resize(rows, None);
    matched
}

/// Bids rise by at least this, so the assignment is within a row's worth of it of the best.
const LEAST_RISE: f64 = 0.01;

/// Matches an index: each place goes to the row that gains most by it, rows without gain stay out.
pub fn match_any_order(candidates: &[Vec<Candidate>]) -> Vec<Option<usize>> {
    let mut prices: HashMap<usize, f64> = HashMap::new();
    let mut holder: HashMap<usize, usize> = HashMap::new();
    let mut matched = vec![None; candidates.len()];
    let mut waiting: VecDeque<usize> = (0..candidates.len()).collect();
    while let Some(row) = waiting.pop_front() {
        let gain = |c: &Candidate| c.score - prices.get(&c.target).copied().unwrap_or(0.0);
        // Staying out gains nothing.
        let (mut best, mut first, mut second) = (None, 0.0, 0.0);
        for candidate in candidates.get(row).into_iter().flatten() {
            let value = gain(candidate);
            if value > first {
                (second, first, best) = (first, value, Some(candidate.target));
            } else if value > second {
                second = value;
            }
        }
        let Some(target) = best else { continue };
        *prices.entry(target).or_insert(0.0) += first - second + LEAST_RISE;
        if let Some(slot) = matched.get_mut(row) {
            *slot = Some(target);
        }
        if let Some(outbid) = holder.insert(target, row)
            && let Some(slot) = matched.get_mut(outbid)
        {
            *slot = None;
            waiting.push_back(outbid);
        }
    }
    matched
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn target(title: &str, context: &[&str]) -> Target {
        let context = context.iter().map(|t| (*t).to_owned()).collect();
        Target { titles: vec![title.into()], context }
    }

    fn weeks() -> Vec<Target> {
        let mut targets = Vec::new();
        for week in ["First", "Second", "Third"] {
            targets.push(target(&format!("{week} Sunday of Lent"), &["Lent"]));
            let heading = format!("{week} Sunday of Lent");
            for day in ["Monday", "Tuesday", "Wednesday"] {
                let title = format!("{day} of the {week} Week of Lent");
                targets.push(target(&title, &["Lent", &heading]));
            }
        }
        targets
    }

    fn line(title: &str) -> Line {
        Line { title: title.into(), headings: vec![] }
    }

    #[test]
    fn bare_weekdays_follow_their_sunday() {
        let catalogue = Catalogue::new(&weeks());
        let rows =
            ["First Sunday of Lent", "Monday", "Tuesday", "Second Sunday", "Monday", "Tue5day"];
        let candidates = catalogue.candidates(&rows.map(line));
        let matched = match_in_order(&candidates, &[]);
        assert_eq!(matched, [0, 1, 2, 4, 5, 6].map(Some));
    }

    #[test]
    fn a_strange_row_stays_out() {
        let catalogue = Catalogue::new(&weeks());
        let rows = ["First Sunday of Lent", "Harvest Supper Songs", "Second Sunday of Lent"];
        let matched = match_in_order(&catalogue.candidates(&rows.map(line)), &[]);
        assert_eq!(matched, [Some(0), None, Some(4)]);
    }

    #[test]
    fn an_auction_equals_the_best_of_all_assignments() {
        let score =
            |row: usize, target: usize| ((row * 7 + target * 5 + row * target * 3) % 11) as f64;
        let candidate =
            |row, target| Candidate { target, likeness: 1.0, score: score(row, target) - 3.0 };
        let table: Vec<Vec<Candidate>> =
            (0..4).map(|row| (0..4).map(|target| candidate(row, target)).collect()).collect();
        let worth = |matched: &[Option<usize>]| -> f64 {
            let each = matched.iter().enumerate();
            each.filter_map(|(row, t)| t.map(|t| score(row, t) - 3.0)).sum()
        };
        let mut best = 0.0f64;
        for code in 0..5usize.pow(4) {
            let choice: Vec<Option<usize>> =
                (0..4u32).map(|row| Some(code / 5usize.pow(row) % 5).filter(|t| *t < 4)).collect();
            let taken: Vec<usize> = choice.iter().flatten().copied().collect();
            let apart = taken.iter().enumerate().all(|(i, t)| !taken[..i].contains(t));
            if apart {
                best = best.max(worth(&choice));
            }
        }
        assert!(best - worth(&match_any_order(&table)) < 4.0 * LEAST_RISE + 1e-9);
    }
}
