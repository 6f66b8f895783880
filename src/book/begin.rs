//! Where on a page a text begins: right after the one before it, at the head of the next page by the
//! edition's habit, or, where a section opens, on a new page after some blank ones.
//!
//! Positions are cells, `cells` to a page; the first cell of a page is its head.

use super::posterior::Posterior;

/// How a place begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Begin {
    /// Right after the text before it.
    Anywhere,
    /// On a new page with this probability, if it would not stand at the head of one anyway.
    NewPage(f64),
    /// At the head of a page but seldom elsewhere; odd pages (right-hand ones) have this probability.
    Section(f64),
}

/// How many pages stay blank or hold a picture before a section; by trial, of books in general.
const BLANK: [f64; 4] = [0.4, 0.25, 0.2, 0.15];
/// Sections of small books that run on where the one before ends; by trial.
const RUN_ON: f64 = 0.05;

/// The first head of a page that is not before `cell`.
fn head(cell: i32, cells: i32) -> i32 {
    cell + (-cell).rem_euclid(cells)
}

/// What the readings say of a habit: how often it could be followed, and how often it was.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Habit {
    /// Expected number of chances.
    pub chances: f64,
    /// Expected number of times.
    pub times: f64,
}

impl Begin {
    /// The same on pages of so many cells: on one, every place stands at the head.
    pub fn on(self, cells: i32) -> Self {
        match self {
            Begin::NewPage(_) if cells == 1 => Begin::Anywhere,
            other => other,
        }
    }

    /// Where a place begins when the text before it ends in `cell`.
    fn targets(self, cell: i32, cells: i32) -> impl Iterator<Item = (i32, f64)> {
        let mut targets = [(cell, 1.0); BLANK.len() + 1];
        let mut count = 1;
        match self {
            Begin::NewPage(share) if cell.rem_euclid(cells) != 0 => {
                targets[0].1 = 1.0 - share;
                targets[1] = (head(cell, cells), share);
                count = 2;
            }
            Begin::Section(odd) => {
                let share = |page: i32| if page % 2 == 0 { 1.0 - odd } else { odd };
                let first = head(cell, cells) / cells;
                let pages = || (first..).zip(BLANK).map(|(page, blank)| (page, blank * share(page)));
                let sum: f64 = pages().map(|p| p.1).sum();
                for (target, (page, likely)) in targets.iter_mut().zip(pages()) {
                    *target = (page * cells, (1.0 - RUN_ON) * likely / sum);
                }
                targets[BLANK.len()].1 = RUN_ON;
                count = targets.len();
            }
            _ => {}
        }
        targets.into_iter().take(count)
    }

    /// Where a place begins when the one before it ends as `ended`.
    pub fn after(self, ended: &Posterior, cells: i32) -> Posterior {
        let reach = (BLANK.len() as i32 + 1) * cells;
        let mut mass = vec![0.0; ended.mass.len() + reach as usize];
        for (cell, p) in (ended.start..).zip(&ended.mass) {
            for (target, share) in self.targets(cell, cells) {
                let at = usize::try_from(target - ended.start).ok();
                if let Some(to) = at.and_then(|i| mass.get_mut(i)) {
                    *to += p * share;
                }
            }
        }
        Posterior { start: ended.start, mass }
    }

    /// For each cell of `ended`: how well `begun`, a message about where the place begins, is
    /// explained from it; and what both together say of the habit.
    pub fn before(self, begun: &Posterior, ended: &Posterior, cells: i32) -> (Vec<f64>, Habit) {
        let mut habit = Habit::default();
        let mut all = 0.0;
        let back = (ended.start..)
            .zip(&ended.mass)
            .map(|(cell, p)| {
                let mut sum = 0.0;
                let mut followed = 0.0;
                for (target, share) in self.targets(cell, cells) {
                    let likely = share * begun.at(target);
                    sum += likely;
                    followed += if self.follows(cell, target, cells) { likely } else { 0.0 };
                }
                all += p * sum;
                habit.times += p * followed;
                habit.chances += if self.is_free(cell, cells) { p * sum } else { 0.0 };
                sum
            })
            .collect();
        if all > 0.0 {
            habit.times /= all;
            habit.chances /= all;
        }
        (back, habit)
    }

    /// Whether the habit has a say where the text before ends in `cell`.
    fn is_free(self, cell: i32, cells: i32) -> bool {
        match self {
            Begin::Anywhere => false,
            Begin::NewPage(_) => cell.rem_euclid(cells) != 0,
            Begin::Section(_) => true,
        }
    }

    fn follows(self, cell: i32, target: i32, cells: i32) -> bool {
        match self {
            Begin::Anywhere => false,
            Begin::NewPage(_) => target != cell,
            Begin::Section(_) => target.div_euclid(cells) % 2 != 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Begin; 5] = [
        Begin::Anywhere,
        Begin::NewPage(0.0),
        Begin::NewPage(0.7),
        Begin::Section(0.9),
        Begin::Section(0.5),
    ];

    #[test]
    fn every_end_has_a_beginning() {
        let ended = Posterior { start: 7, mass: vec![0.1, 0.2, 0.3, 0.4] };
        for begin in ALL {
            let begun = begin.after(&ended, 4);
            assert!((begun.mass.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{begin:?}");
            let message = Posterior { start: 0, mass: (0..60).map(f64::from).collect() };
            let (back, _) = begin.before(&message, &ended, 4);
            let from_ends: f64 = back.iter().zip(&ended.mass).map(|(b, p)| b * p).sum();
            let pages = (begun.start..).zip(&begun.mass);
            let from_begins: f64 = pages.map(|(cell, p)| p * message.at(cell)).sum();
            assert!((from_ends - from_begins).abs() < 1e-9, "{begin:?}");
        }
    }

    #[test]
    fn sections_open_on_the_head_of_a_page() {
        let ended = Posterior { start: 9, mass: vec![1.0] };
        let begun = Begin::Section(0.95).after(&ended, 4);
        assert_eq!(begun.at(9), RUN_ON);
        assert!(begun.at(12) > 0.6, "page 3: {begun:?}");
    }

    #[test]
    fn a_text_at_the_head_of_a_page_is_not_moved() {
        let ended = Posterior { start: 8, mass: vec![1.0] };
        assert_eq!(Begin::NewPage(0.9).after(&ended, 4).at(8), 1.0);
    }
}
