//! Which place a printed row names: likeness of titles first, then the best match of a whole list.
//!
//! A list in page order is matched by forward and backward sums: going on in the order of the book is
//! likely, the more so the better the pages between two rows fit, leaping elsewhere is not. An alphabetical index has no order to go by; its rows bid for places
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
const SLOPE: f64 = 12.0;
/// Likeness at which a row means the place or none with equal odds.
const EVEN: f64 = 0.62;
/// Log odds for a title printed in full, word for word: the heading itself, not one of the texts under it
/// that share its words. A title made from the place's own counts half: "The Most Holy Trinity" is the Mass before
/// it is "Preface of the Most Holy Trinity".
const IN_FULL: f64 = 1.5;
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

/// Log odds against leaping to another part of the book; by trial.
const LEAP: f64 = 6.0;
/// Against leaping in a list of prefaces: those of single days stand anywhere among the others.
const LEAP_TO_PREFACE: f64 = 1.0;
/// Against going back by one text; further back costs more, up to a leap.
const BACK: f64 = 3.0;
/// Against naming the same place again.
const AGAIN: f64 = 1.5;
/// Against a row that names nothing known, in a list whose rows nearly all do.
const UNKNOWN: f64 = 0.5;
/// States carried from row to row are at least this likely beside the likeliest.
const FAINT: f64 = 1e-9;

/// A list in the order of its pages.
pub struct InOrder<'a> {
    /// What each row may mean.
    pub candidates: &'a [Vec<Candidate>],
    /// The page of each row, where one was read.
    pub pages: &'a [Option<f64>],
    /// For each target the pages before it, as far as an outline tells.
    pub before: &'a [f64],
    /// It lists prefaces.
    pub prefaces: bool,
}

/// A row's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Match {
    /// Index of the target.
    pub target: usize,
    /// Likeness of the titles, 0–1.
    pub likeness: f64,
    /// Probability, 0–1, that the row means it, as far as titles and order tell.
    pub probability: f64,
}

/// Where a list has got to: the target matched last, none yet, and the page of its row.
#[derive(Debug, Clone, Copy, Default)]
struct State {
    target: Option<usize>,
    page: Option<f64>,
}

/// States with their likelihoods.
type States = Vec<(State, f64)>;

impl InOrder<'_> {
    /// For every row the likeliest target over all ways to match the list, by forward and backward sums
    /// (Rabiner, "A Tutorial on Hidden Markov Models", 1989, section III).
    pub fn matched(&self) -> Vec<Option<Match>> {
        let mut forward: Vec<States> = vec![vec![(State::default(), 1.0)]];
        for row in 0..self.candidates.len() {
            forward.push(self.advance(&forward[row], row));
        }
        let mut later: HashMap<Option<usize>, f64> =
            forward.last().into_iter().flatten().map(|s| (s.0.target, 1.0)).collect();
        let mut matched = vec![None; self.candidates.len()];
        for row in (0..self.candidates.len()).rev() {
            matched[row] = self.likeliest(&forward[row], row, &later);
            later = self.retreat(&forward[row], row, &later);
        }
        matched
    }

    /// The states after one more row: it means one of its candidates, or nothing known.
    fn advance(&self, before: &States, row: usize) -> States {
        let unknown = (-UNKNOWN).exp();
        let mut next: HashMap<Option<usize>, (State, f64)> =
            before.iter().map(|(s, p)| (s.target, (*s, p * unknown))).collect();
        for candidate in &self.candidates[row] {
            let reached = self.arrival(before, candidate, row);
            let state = State { target: Some(candidate.target), page: self.pages[row] };
            let known = next.entry(state.target).or_insert((state, 0.0));
            // A state keeps the page it was more likely reached with.
            let page = if reached > known.1 { state.page } else { known.0.page };
            *known = (State { page, ..state }, known.1 + reached);
        }
        let most = next.values().map(|s| s.1).fold(f64::MIN_POSITIVE, f64::max);
        let mut next: States = next.into_values().filter(|s| s.1 > FAINT * most).collect();
        next.iter_mut().for_each(|s| s.1 /= most);
        next.sort_by_key(|s| s.0.target);
        next
    }

    fn arrival(&self, before: &States, candidate: &Candidate, row: usize) -> f64 {
        let from = before.iter().map(|(s, p)| p * self.going_on(s, candidate.target, row));
        from.sum::<f64>() * candidate.score.exp()
    }

    /// How well the later rows are explained from each state before a row.
    fn retreat(
        &self,
        before: &States,
        row: usize,
        later: &HashMap<Option<usize>, f64>,
    ) -> HashMap<Option<usize>, f64> {
        let of = |target: Option<usize>| later.get(&target).copied().unwrap_or(0.0);
        let weighed: Vec<(usize, f64)> = self.candidates[row]
            .iter()
            .map(|c| (c.target, c.score.exp() * of(Some(c.target))))
            .collect();
        let unknown = (-UNKNOWN).exp();
        let mut back: HashMap<Option<usize>, f64> = HashMap::with_capacity(before.len());
        for (state, _) in before {
            let on: f64 = weighed.iter().map(|(t, p)| p * self.going_on(state, *t, row)).sum();
            back.insert(state.target, on + unknown * of(state.target));
        }
        let most = back.values().copied().fold(f64::MIN_POSITIVE, f64::max);
        back.values_mut().for_each(|p| *p /= most);
        back
    }

    /// The likeliest target of a row, unless it more likely means nothing known.
    fn likeliest(
        &self,
        before: &States,
        row: usize,
        later: &HashMap<Option<usize>, f64>,
    ) -> Option<Match> {
        let of = |target: Option<usize>| later.get(&target).copied().unwrap_or(0.0);
        let none: f64 =
            before.iter().map(|(s, p)| p * of(s.target)).sum::<f64>() * (-UNKNOWN).exp();
        let found = &self.candidates[row];
        let each: Vec<f64> =
            found.iter().map(|c| self.arrival(before, c, row) * of(Some(c.target))).collect();
        let all = none + each.iter().sum::<f64>();
        let best = found.iter().zip(&each).max_by(|a, b| a.1.total_cmp(b.1))?;
        let chosen = *best.1 > none && all > 0.0;
        chosen.then(|| Match {
            target: best.0.target,
            likeness: best.0.likeness,
            probability: best.1 / all,
        })
    }

    /// Weight of going on from the place matched last to `target`, whose row names another page: lists skip
    /// places, the general contents hundreds, and as many pages.
    fn going_on(&self, state: &State, target: usize, row: usize) -> f64 {
        let leap = if self.prefaces { LEAP_TO_PREFACE } else { LEAP };
        let Some(last) = state.target else { return 1.0 };
        let against = match target.abs_diff(last) {
            0 => AGAIN,
            back if target < last => BACK + 0.3 * (back as f64).ln(),
            skipped => {
                0.9 * (skipped as f64).ln() + self.strain(last, target, state.page, self.pages[row])
            }
        };
        (-against.min(leap)).exp()
    }

    /// How far the pages between two rows are from what the outline expects, in parts of it.
    fn strain(&self, last: usize, target: usize, from: Option<f64>, to: Option<f64>) -> f64 {
        let before = |target: usize| self.before.get(target).copied();
        let (Some(from), Some(to), Some(a), Some(b)) = (from, to, before(last), before(target))
        else {
            return 0.0;
        };
        let expected = b - a;
        (to - from - expected).abs() / (1.0 + 0.5 * expected.abs())
    }
}

/// Bids rise by at least this, so the assignment is within a row's worth of it of the best.
const LEAST_RISE: f64 = 0.01;

/// Matches an index: each place goes to the row that gains most by it, rows without gain stay out.
pub fn match_any_order(candidates: &[Vec<Candidate>]) -> Vec<Option<Match>> {
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
    let matches = matched.into_iter().zip(candidates);
    matches.map(|(target, found)| bidders_share(target?, found)).collect()
}

/// How likely the row means the target it won, among all it may mean.
fn bidders_share(target: usize, found: &[Candidate]) -> Option<Match> {
    let all: f64 = found.iter().map(|c| c.score.exp()).sum::<f64>();
    let won = found.iter().find(|c| c.target == target)?;
    let probability = won.score.exp() / all;
    Some(Match { target, likeness: won.likeness, probability })
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

    fn in_order(candidates: &[Vec<Candidate>]) -> Vec<Option<Match>> {
        let pages = vec![None; candidates.len()];
        InOrder { candidates, pages: &pages, before: &[], prefaces: false }.matched()
    }

    fn targets(matched: &[Option<Match>]) -> Vec<Option<usize>> {
        matched.iter().map(|m| m.map(|m| m.target)).collect()
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
        let matched = in_order(&candidates);
        assert_eq!(targets(&matched), [0, 1, 2, 4, 5, 6].map(Some));
    }

    #[test]
    fn a_strange_row_stays_out() {
        let catalogue = Catalogue::new(&weeks());
        let rows = ["First Sunday of Lent", "Harvest Supper Songs", "Second Sunday of Lent"];
        let matched = in_order(&catalogue.candidates(&rows.map(line)));
        assert_eq!(targets(&matched), [Some(0), None, Some(4)]);
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
        assert!(best - worth(&targets(&match_any_order(&table))) < 4.0 * LEAST_RISE + 1e-9);
    }
}
