//! What must hold for every edition and every word.

use super::score::*;
use super::simulate::*;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use vitta::book::{Book, Label, State};

/// Pages in the order of the book, roman before arabic.
fn labels(book: &Book) -> Vec<Label> {
    let pages = book.entries.iter().filter_map(|e| e.page.as_deref());
    pages.map(|p| Label::parse(p).unwrap()).collect()
}

fn width(entry: &vitta::book::Entry) -> u32 {
    let number = |l: &str| Label::parse(l).unwrap().number;
    entry.interval.as_ref().map_or(0, |(a, b)| number(b) - number(a))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..Default::default() })]

    #[test]
    fn pages_never_go_back(seed in 0u64..10_000, errors in 0.0..0.2f64) {
        let dice = &mut Dice(seed);
        let habits = Habits { digit_errors: errors, ..USUAL };
        let edition = Edition::print(&habits, dice);
        let which = if seed % 2 == 0 { Photographed::All } else { Photographed::ContentsAndPrefaces };
        let book = book_of(&photograph(&edition, &habits, which, dice));
        let pages = labels(&book);
        prop_assert!(pages.windows(2).all(|w| w[0] <= w[1]));
        for entry in &book.entries {
            prop_assert!((0.0..=1.0 + 1e-9).contains(&entry.probability));
            if let (Some((a, b)), Some(page)) = (&entry.interval, &entry.page) {
                let [a, page, b] = [a, page, b].map(|l| Label::parse(l).unwrap());
                prop_assert!(a <= page && page <= b, "{a} {page} {b}");
            }
        }
    }

    #[test]
    fn a_word_that_agrees_widens_nothing(seed in 0u64..10_000, at in 0.0..1.0f64) {
        let dice = &mut Dice(seed);
        let edition = Edition::print(&USUAL, dice);
        let mut book =
            book_of(&photograph(&edition, &USUAL, Photographed::ContentsAndPrefaces, dice));
        let estimated: Vec<_> = book
            .entries
            .iter()
            .filter(|e| e.state == State::Estimated && e.place.is_under("time"))
            .map(|e| e.place.clone())
            .collect();
        let place = &estimated[(at * estimated.len() as f64) as usize];
        let before = book.clone();
        book.confirm_as_is(place, "2026-11-25").unwrap();
        let sum = |book: &Book| book.entries.iter().map(width).sum::<u32>();
        prop_assert!(sum(&book) <= sum(&before));
        // Elsewhere the lengths, fitted anew with the word, may turn out to vary more than was thought.
        let season = place.as_str().split('/').take(2).collect::<Vec<_>>().join("/");
        for (was, is) in before.entries.iter().zip(&book.entries) {
            let widened = was.place.is_under(&season) && width(is) > width(was) + 1;
            prop_assert!(!widened, "{}: {} to {}", is.place, width(was), width(is));
        }
    }
}
