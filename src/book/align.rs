//! Which places the rows of a list in page order name, by forward and backward sums over all ways to match it: going
//! on in the order of the book is likely, the more so the better the pages between two rows fit, leaping elsewhere is
//! not.

use super::catalogue::Candidate;
use std::collections::HashMap;

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
/// The same, for each step of likeness beyond [`FAMILIAR`], where the row has the words of a known place: texts of
/// no outline seldom bear the title of another. With [`IN_FULL`] it more than halves the rows misplaced of computed
/// editions 0 to 7 of `tests/book/unseen.rs`.
const STRANGE: f64 = 60.0;
const FAMILIAR: f64 = 0.8;
/// Against skipping texts, for each factor e of their number, and for pages that do not fit what was skipped; by
/// trial on the same editions.
const SKIPPED: f64 = 0.9;
const STRAIN: f64 = 0.7;
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

    /// Likelihood that a row names nothing known: the less, the more its words are a known place's.
    fn unknown(&self, row: usize) -> f64 {
        let best = self.candidates[row].iter().map(|c| c.likeness).fold(0.0, f64::max);
        (-UNKNOWN - STRANGE * (best - FAMILIAR).max(0.0)).exp()
    }

    /// The states after one more row: it means one of its candidates, or nothing known.
    fn advance(&self, before: &States, row: usize) -> States {
        let unknown = self.unknown(row);
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
        let unknown = self.unknown(row);
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
            before.iter().map(|(s, p)| p * of(s.target)).sum::<f64>() * self.unknown(row);
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
                SKIPPED * (skipped as f64).ln()
                    + STRAIN * self.strain(last, target, state.page, self.pages[row])
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::catalogue::{Catalogue, Line, Target};
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
}
