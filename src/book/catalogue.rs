//! Which places a printed title may mean: likeness of its words to theirs, rare words before common ones.

use super::words::{Word, alike, words};
use std::collections::{HashMap, HashSet};

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
const SLOPE: f64 = 12.0;
/// Likeness at which a row means the place or none with equal odds.
const EVEN: f64 = 0.62;
/// Log odds for a title printed in full, word for word: the heading itself, not one of the texts under it
/// that share its words. A title made from the place's own counts half: "The Most Holy Trinity" is the Mass before
/// it is "Preface of the Most Holy Trinity".
const IN_FULL: f64 = 5.0;
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
    /// For each target the words of all its forms.
    names: Vec<Vec<usize>>,
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
            names: Vec::new(),
        };
        for (index, target) in targets.iter().enumerate() {
            let context: Vec<usize> =
                target.context.iter().flat_map(|t| catalogue.learn(t)).collect();
            let mut kept = HashSet::new();
            let mut names = Vec::new();
            for title in &target.titles {
                let mut words = catalogue.learn(title);
                names.extend(&words);
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
            names.sort_unstable();
            names.dedup();
            catalogue.names.push(names);
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
        let names = self.names.get(form.target).map_or(&[][..], Vec::as_slice);
        let (mut told, mut all, mut stray_number) = (0.0, 0.0, false);
        for row in title {
            let weight =
                row.iter().map(|(w, _)| self.weight_of(*w)).fold(0.0, f64::max).max(unknown * 0.5);
            let weight = if row.is_empty() { unknown } else { weight };
            let covered = cover(row, &form.words)
                .max(0.9 * cover(row, &form.context))
                .max(0.9 * cover(row, names));
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
