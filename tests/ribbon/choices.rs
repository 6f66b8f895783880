//! Texts with several valid places and several books, against trying every choice.

use super::optimum::{by_enumeration, movements, runner};
use proptest::prelude::*;
use vitta::ribbon::solve::Movement;
use vitta::ribbon::solve::choose::{Choice, Text, choose, clients, optima};

/// Texts of which each may be read at up to three permitted places, each in up to two of two books; the
/// second and third may have to be taken from the same of them.
pub fn services() -> impl Strategy<Value = Vec<Text>> {
    let choice = (0usize..2, 0i32..9, 0i32..3, 0u64..30, prop::option::weighted(0.2, 0u32..60))
        .prop_map(|(book, opening, length, extra, tab)| Choice {
            book,
            rank: 0,
            opening,
            ends: opening + length,
            extra,
            by_mark: tab.unwrap_or(u32::MAX),
        });
    let text = (0u16..6, 0u8..2, prop::collection::vec(choice, 1..4), 1u32..3).prop_map(
        |(weight, stand, mut choices, of_a_rank)| {
            choices.iter_mut().zip(0..).for_each(|(c, i)| c.rank = i / of_a_rank);
            Text { weight, stand, choices, together: None }
        },
    );
    (prop::collection::vec(text, 0..6), any::<bool>()).prop_map(|(mut texts, together)| {
        let ranks = |t: &Text| t.choices.last().map_or(0, |c| c.rank);
        if let [_, a, b, ..] = &mut texts[..]
            && together
            && ranks(a) == ranks(b)
        {
            (a.together, b.together) = (Some(4), Some(4));
        }
        texts
    })
}

pub fn agree(texts: &[Text], made: &[usize]) -> bool {
    let rank = |i: usize| texts[i].choices[made[i]].rank;
    let pairs = (0..texts.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
    let mut bound = pairs
        .filter(|&(i, j)| texts[i].together.is_some() && texts[i].together == texts[j].together);
    bound.all(|(i, j)| rank(i) == rank(j))
}

/// Every combination of choices; within each, every laying in every book.
fn by_trying_all(texts: &[Text], movement: &Movement, ribbons: &[usize]) -> u64 {
    let mut least = u64::MAX;
    for made in combinations(texts) {
        let extra: u64 = texts.iter().zip(&made).map(|(t, &c)| t.choices[c].extra).sum();
        let books: u64 = (0..ribbons.len())
            .map(|b| {
                let own = clients(texts, movement, &made, b).0;
                by_enumeration(&own, movement, ribbons[b], (0, 8))
            })
            .sum();
        if agree(texts, &made) {
            least = least.min(extra + books);
        }
    }
    least
}

/// Every combination of choices, one after the other as an odometer turns.
pub fn combinations(texts: &[Text]) -> impl Iterator<Item = Vec<usize>> + '_ {
    std::iter::successors(Some(vec![0; texts.len()]), |made| {
        let turn = (0..texts.len()).find(|&i| made[i] + 1 < texts[i].choices.len())?;
        let mut next = made.clone();
        next[turn] += 1;
        next[..turn].fill(0);
        Some(next)
    })
}

#[test]
fn the_best_choices_in_two_books_equal_trying_all() {
    runner(1_500)
        .run(&(movements(), services()), |(movement, texts)| {
            for ribbons in [[0, 0], [1, 1], [2, 1]] {
                let chosen = choose(&texts, &movement, &ribbons);
                prop_assert_eq!(chosen.cost, by_trying_all(&texts, &movement, &ribbons));
                prop_assert_eq!(chosen.lower_bound, chosen.cost);
                let extra: u64 =
                    texts.iter().zip(&chosen.choices).map(|(t, &c)| t.choices[c].extra).sum();
                let books: u64 = (0..2)
                    .map(|b| {
                        optima(&texts, &movement, &chosen.choices, b, ribbons[b]).cost(ribbons[b])
                    })
                    .sum();
                prop_assert_eq!(extra + books, chosen.cost, "the choices given cost what is said");
                prop_assert!(agree(&texts, &chosen.choices));
            }
            Ok(())
        })
        .unwrap();
}

/// Neither the order of the books nor that of the places a text may be read at decides the cost.
#[test]
fn the_order_of_books_and_places_decides_nothing() {
    runner(1_500)
        .run(&(movements(), services()), |(movement, texts)| {
            let mut turned = texts.clone();
            for text in &mut turned {
                text.choices.reverse();
                text.choices.iter_mut().for_each(|c| c.book = 1 - c.book);
            }
            let (one, other) =
                (choose(&texts, &movement, &[2, 1]), choose(&turned, &movement, &[1, 2]));
            prop_assert_eq!(one.cost, other.cost);
            Ok(())
        })
        .unwrap();
}

fn at(opening: i32) -> Choice {
    Choice { book: 0, rank: 0, opening, ends: opening, extra: 0, by_mark: u32::MAX }
}

#[test]
fn the_preferred_place_is_kept_where_another_costs_the_same() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |choices| Text { weight: 3, stand: 0, choices, together: None };
    let texts = [text(vec![at(1)]), text(vec![at(50), at(90), at(20)])];
    assert_eq!(choose(&texts, &movement, &[1]).choices, [0, 0]);
}

#[test]
fn a_place_on_the_opening_before_is_taken() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |choices| Text { weight: 3, stand: 0, choices, together: None };
    let texts = [text(vec![at(1)]), text(vec![at(50), at(1)])];
    let chosen = choose(&texts, &movement, &[1]);
    assert_eq!((chosen.choices, chosen.cost), (vec![0, 1], 0));
}

#[test]
fn a_book_carried_to_the_altar_is_closed() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |stand| Text { weight: 2, stand, choices: vec![at(1)], together: None };
    assert_eq!(choose(&[text(0), text(0)], &movement, &[0]).cost, 0);
    assert_eq!(choose(&[text(0), text(1)], &movement, &[0]).cost, 30);
    assert_eq!(choose(&[text(0), text(1)], &movement, &[1]).cost, 10);
}

#[test]
fn the_prayers_of_one_common_are_taken_together() {
    let movement = Movement::new(vec![0, 10, 15], 5).unwrap();
    let text = |together, choices| Text { weight: 3, stand: 0, choices, together };
    // Apart, the second prayer would be read where the book already lies open.
    let texts = |word| {
        let second = |opening| Choice { rank: 1, ..at(opening) };
        let other = [vec![at(1), second(50)], vec![at(90), second(1)]].map(|c| text(word, c));
        [vec![text(None, vec![at(1)])], other.to_vec()].concat()
    };
    let apart = choose(&texts(None), &movement, &[0]);
    assert_eq!((apart.choices, apart.cost), (vec![0, 0, 1], 0));
    let together = choose(&texts(Some(7)), &movement, &[0]);
    assert_eq!(together.choices[1], together.choices[2]);
    assert_eq!(together.cost, 45);
}
