//! Texts that may be read at one of several places, and several books on the table. Integers only.
//!
//! With every choice made, each book is a problem of its own ([`super`]). The choices are searched
//! depth first with a lower bound: texts still open are left out, which can only lower the cost, and a
//! settled text is reached by the cheapest way from any text that may come before it in its book. The
//! bound of the whole is the optimum of what is left, so a branch is dropped only when nothing in it
//! can be better. The search is exact; its cost grows with the choices that matter, not with the texts.

use super::{Client, Movement, Optima, solve};

/// One place where a text may be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// Which book.
    pub book: usize,
    /// Which of the permitted texts it is, 0 the preferred; the same text may be in several books.
    pub rank: u32,
    /// Opening where it begins.
    pub opening: i32,
    /// Opening where it ends.
    pub ends: i32,
    /// Cost of this choice whatever the ribbons are, weight included.
    pub extra: u64,
    /// Cost of reaching it by a fixed mark such as a tab; `u32::MAX` if there is none.
    pub by_mark: u32,
}

/// A text of the service.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// How much each unit of cost counts here.
    pub weight: u16,
    /// Where the book stands; a book carried to another stand is closed meanwhile.
    pub stand: u8,
    /// Where it may be read, the preferred place first; never empty.
    pub choices: Vec<Choice>,
    /// Texts with the same number here take choices of the same rank, from whichever books.
    pub together: Option<usize>,
}

/// The least cost found, and the choices it takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// Index of the choice of each text.
    pub choices: Vec<usize>,
    /// Its cost with the ribbons laid best.
    pub cost: u64,
    /// No choices and no laying cost less; equal to `cost` unless the search was cut short.
    pub lower_bound: u64,
}

/// Nodes after which the search stops and says what it has proven: less than a second (by trial); the programme
/// ([`super::programme`]) then goes on.
const PATIENCE: u32 = 10_000;

/// The best choices with `ribbons[b]` ribbons in book `b`. Ties go to the earlier choice.
pub fn choose(texts: &[Text], movement: &Movement, ribbons: &[usize]) -> Chosen {
    let mut search = Search {
        texts,
        movement,
        ribbons,
        open: (0..texts.len()).filter(|&i| texts[i].choices.len() > 1).collect(),
        made: texts.iter().map(|t| (t.choices.len() < 2).then_some(0)).collect(),
        best: Chosen { choices: vec![0; texts.len()], cost: u64::MAX, lower_bound: u64::MAX },
        unproven: u64::MAX,
        patience: PATIENCE,
    };
    let preferred = vec![Some(0); texts.len()];
    if (0..texts.len()).all(|i| search.agrees(&preferred, i, 0)) {
        search.best.cost = search.bound(&preferred);
    }
    search.descend(0);
    search.best.lower_bound = search.best.cost.min(search.unproven);
    search.best
}

/// The clients of one book when every choice is made, with the index of each one's text.
pub fn clients(
    texts: &[Text],
    movement: &Movement,
    choices: &[usize],
    book: usize,
) -> (Vec<Client>, Vec<usize>) {
    let made: Vec<Option<usize>> = choices.iter().copied().map(Some).collect();
    let here = |&i: &usize| chosen(texts, &made, i).is_some_and(|c| c.book == book);
    let indices: Vec<usize> = (0..texts.len()).filter(here).collect();
    let client = |&i: &usize| settled_client(texts, movement, &made, i).map(|(_, client)| client);
    (indices.iter().filter_map(client).collect(), indices)
}

/// The optima of one book when every choice is made.
pub fn optima(
    texts: &[Text],
    movement: &Movement,
    choices: &[usize],
    book: usize,
    most: usize,
) -> Optima {
    solve(&clients(texts, movement, choices, book).0, movement, most)
}

fn chosen(texts: &[Text], made: &[Option<usize>], index: usize) -> Option<Choice> {
    texts[index].choices.get(made[index]?).copied()
}

/// The client that a settled text is, reached without a ribbon by the cheapest way that the choices
/// still open allow.
fn settled_client(
    texts: &[Text],
    movement: &Movement,
    made: &[Option<usize>],
    index: usize,
) -> Option<(usize, Client)> {
    let choice = chosen(texts, made, index)?;
    let search = movement.walk(u32::MAX);
    let mut alternative = choice.by_mark.min(search);
    // A book nobody has used yet lies open where it is first needed.
    let mut first = true;
    for before in (0..index).rev() {
        let all = &texts[before].choices;
        let possible = match made[before] {
            Some(one) => all.get(one..=one).unwrap_or_default(),
            None => all,
        };
        let same_stand = texts[before].stand == texts[index].stand;
        for p in possible.iter().filter(|p| p.book == choice.book && same_stand) {
            alternative = alternative.min(movement.walk(p.ends.abs_diff(choice.opening)));
        }
        if possible.iter().all(|p| p.book == choice.book) {
            first = false;
            break;
        }
    }
    if first {
        alternative = 0;
    }
    let client = Client { opening: choice.opening, weight: texts[index].weight, alternative };
    Some((choice.book, client))
}

struct Search<'a> {
    texts: &'a [Text],
    movement: &'a Movement,
    ribbons: &'a [usize],
    /// The texts with more than one choice.
    open: Vec<usize>,
    made: Vec<Option<usize>>,
    best: Chosen,
    /// Least bound of a branch left unsearched.
    unproven: u64,
    patience: u32,
}

impl Search<'_> {
    /// Least cost that the choices made allow.
    fn bound(&self, made: &[Option<usize>]) -> u64 {
        let settled: Vec<(usize, Client)> = (0..self.texts.len())
            .filter_map(|i| settled_client(self.texts, self.movement, made, i))
            .collect();
        let extra = |i: usize| match chosen(self.texts, made, i) {
            Some(choice) => choice.extra,
            None => self.texts[i].choices.iter().map(|c| c.extra).min().unwrap_or(0),
        };
        let extras: u64 = (0..self.texts.len()).map(extra).sum();
        let book = |(b, &most): (usize, &usize)| {
            let own: Vec<Client> = settled.iter().filter(|s| s.0 == b).map(|s| s.1).collect();
            solve(&own, self.movement, most).cost(most)
        };
        extras + self.ribbons.iter().enumerate().map(book).sum::<u64>()
    }

    /// Whether `choice` of a text is of the rank that the texts taken together with it have so far.
    fn agrees(&self, made: &[Option<usize>], text: usize, choice: usize) -> bool {
        let together = self.texts[text].together;
        let rank = self.texts[text].choices.get(choice).map(|c| c.rank);
        let same = |i: usize| chosen(self.texts, made, i).is_none_or(|c| Some(c.rank) == rank);
        let mut others = (0..self.texts.len()).filter(|&i| self.texts[i].together == together);
        together.is_none() || others.all(same)
    }

    fn descend(&mut self, depth: usize) {
        let Some(&text) = self.open.get(depth) else {
            return self.finish();
        };
        let allowed: Vec<usize> = (0..self.texts[text].choices.len())
            .filter(|&choice| self.agrees(&self.made, text, choice))
            .collect();
        let mut branches: Vec<(u64, usize)> = vec![];
        for choice in allowed {
            self.made[text] = Some(choice);
            branches.push((self.bound(&self.made), choice));
        }
        branches.sort_unstable();
        for (bound, choice) in branches {
            if bound >= self.best.cost {
                continue;
            }
            if self.patience == 0 {
                self.unproven = self.unproven.min(bound);
                continue;
            }
            self.patience -= 1;
            self.made[text] = Some(choice);
            self.descend(depth + 1);
        }
        self.made[text] = None;
    }

    /// Every choice is made, and this one is better than the best so far: its bound was below it.
    fn finish(&mut self) {
        let cost = self.bound(&self.made);
        if cost < self.best.cost {
            self.best.cost = cost;
            self.best.choices = self.made.iter().map(|m| m.unwrap_or(0)).collect();
        }
    }
}
