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

/// Pages at whose heads a place may begin, with their probabilities.
type Heads = [(i32, f64); BLANK.len()];

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

    /// Of texts that end before the head of `page`, after that of the page before: the share that the
    /// place follows at once, and the heads where it begins otherwise.
    fn split(self, page: i32) -> (f64, Heads) {
        let mut heads = [(page, 0.0); BLANK.len()];
        match self {
            Begin::Anywhere => (1.0, heads),
            Begin::NewPage(share) => {
                heads[0].1 = share;
                (1.0 - share, heads)
            }
            Begin::Section(odd) => {
                let share = |page: i32| if page % 2 == 0 { 1.0 - odd } else { odd };
                for ((head, page), blank) in heads.iter_mut().zip(page..).zip(BLANK) {
                    *head = (page, blank * share(page));
                }
                let sum: f64 = heads.iter().map(|h| h.1).sum();
                heads.iter_mut().for_each(|h| h.1 = (1.0 - RUN_ON) * h.1 / sum);
                (RUN_ON, heads)
            }
        }
    }

    /// Whether the habit has a say where the text before ends at the head of a page, or elsewhere.
    fn is_free(self, at_head: bool) -> bool {
        match self {
            Begin::Anywhere => false,
            Begin::NewPage(_) => !at_head,
            Begin::Section(_) => true,
        }
    }

    /// Whether a place that begins on `page`, moved to its head or not, follows the habit.
    fn follows(self, page: i32, moved: bool) -> bool {
        match self {
            Begin::Anywhere => false,
            Begin::NewPage(_) => moved,
            Begin::Section(_) => page % 2 != 0,
        }
    }

    /// Where a place begins when the one before it ends as `ended`.
    pub fn after(self, ended: &Posterior, cells: i32) -> Posterior {
        let mut mass = vec![0.0; ended.mass.len() + BLANK.len() * cells as usize];
        for (page, cells_before) in up_to_heads(ended, cells) {
            let (stay, heads) = self.split(page);
            let mut moved = 0.0;
            for (i, at_head) in cells_before {
                let (p, free) = (ended.mass[i], self.is_free(at_head));
                mass[i] += if free { stay * p } else { p };
                moved += if free { p } else { 0.0 };
            }
            for (head, share) in heads {
                mass[(head * cells - ended.start) as usize] += share * moved;
            }
        }
        Posterior { start: ended.start, mass }
    }

    /// For each cell of `ended`: how well `begun`, a message about where the place begins, is
    /// explained from it; and what both together say of the habit.
    pub fn before(self, begun: &Posterior, ended: &Posterior, cells: i32) -> (Vec<f64>, Habit) {
        let mut habit = Habit::default();
        let mut all = 0.0;
        let mut back = Vec::with_capacity(ended.mass.len());
        for (page, cells_before) in up_to_heads(ended, cells) {
            let (stay, heads) = self.split(page);
            let (mut away, mut followed) = (0.0, 0.0);
            for (head, share) in heads {
                let likely = share * begun.at(head * cells);
                away += likely;
                followed += if self.follows(head, true) { likely } else { 0.0 };
            }
            for (i, at_head) in cells_before {
                let (p, here) = (ended.mass[i], begun.at(ended.start + i as i32));
                let explained = if self.is_free(at_head) {
                    let on = if at_head { page } else { page - 1 };
                    let stays = if self.follows(on, false) { stay * here } else { 0.0 };
                    habit.times += p * (stays + followed);
                    habit.chances += p * (stay * here + away);
                    stay * here + away
                } else {
                    here
                };
                all += p * explained;
                back.push(explained);
            }
        }
        if all > 0.0 {
            habit.times /= all;
            habit.chances /= all;
        }
        (back, habit)
    }
}

/// For each page at whose head or before it some of `ended` lies, after the page before: the indices of
/// these cells, and whether one is the head itself.
fn up_to_heads(
    ended: &Posterior,
    cells: i32,
) -> impl Iterator<Item = (i32, impl Iterator<Item = (usize, bool)>)> {
    let (start, end) = (ended.start, ended.start + ended.mass.len() as i32);
    let page_up = move |cell: i32| -(-cell).div_euclid(cells);
    (page_up(start)..=page_up(end - 1)).map(move |page| {
        let head = page * cells;
        let before = (head - cells + 1).max(start)..(head + 1).min(end);
        (page, before.map(move |cell| ((cell - start) as usize, cell == head)))
    })
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
