//! The way back and the way there again.

use super::score::*;
use super::simulate::*;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use vitta::book::{Book, Change, Copy, Outline, Ribbon, Tab, carry_marks};
use vitta::place::Place;
use vitta::text::Reading;

const WHEN: &str = "2026-11-28";

/// A small list of each kind, so that many steps are quick.
fn few(edition: &Edition, dice: &mut Dice) -> Vec<Reading> {
    let mut readings = photograph(edition, &USUAL, Photographed::ContentsAndPrefaces, dice);
    readings.iter_mut().for_each(|r| r.rows.truncate(24));
    readings
}

/// One step of each kind.
fn step(book: &mut Book, kind: usize, readings: &[Reading], other: &Book) {
    let place = Place::new("time/lent/week-2/friday").unwrap();
    match kind {
        0 => book.confirm(&place, "210", WHEN).unwrap(),
        1 => book.mark_absent(&place, WHEN).unwrap(),
        2 => book.take_back(&place, WHEN).unwrap(),
        3 => {
            let ribbons = vec![Ribbon::new(&format!("red {}", book.history.len()))];
            book.mark(None, Copy { ribbons, ..book.marks(None) }, WHEN);
        }
        4 => {
            let tabs = vec![Tab { title: "Prefaces".into(), page: "531".into() }];
            book.mark(Some("crypt"), Copy { tabs, ..book.marks(Some("crypt")) }, WHEN);
        }
        5 => drop(carry_marks(other, book, WHEN)),
        6 => drop(book.remove_photo(&readings[1].file, WHEN)),
        _ => book.read(&readings[1..], WHEN),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, rng_seed: RngSeed::Fixed(2), ..Default::default() })]

    #[test]
    fn undo_then_redo_is_the_identity(seed in 0u64..1000, kinds in proptest::collection::vec(0usize..8, 3..6)) {
        let dice = &mut Dice(seed);
        let edition = Edition::print(&USUAL, dice);
        let readings = few(&edition, dice);
        let outline = Outline::shipped("roman-missal-3").unwrap();
        // Its language is guessed, which is part of the step too.
        let mut book = Book::new("Simulated", None, Some(outline));
        let mut other = book.clone();
        other.tabs.push(Tab { title: "Lent".into(), page: "1".into() });
        other.ribbons.push(Ribbon::new("gold"));
        book.read(&readings, WHEN);
        let mut stages = vec![book.clone()];
        for kind in kinds {
            step(&mut book, kind, &readings, &other);
            stages.push(book.clone());
        }
        stages.dedup();
        let last = stages.len() - 1;
        for stage in (0..last).rev() {
            prop_assert!(book.undo().is_some());
            let undone = Book { undone: Vec::new(), ..book.clone() };
            prop_assert_eq!(&undone, &stages[stage], "back to {}", stage);
        }
        prop_assert!(book.undo().is_some(), "the first reading");
        prop_assert!(book.language.is_none() && book.readings.is_empty());
        for stage in &stages {
            prop_assert!(book.redo().is_some());
            let done = Book { undone: Vec::new(), ..book.clone() };
            prop_assert_eq!(&done, stage);
        }
        prop_assert!(book.redo().is_none());
        prop_assert_eq!(&book, &stages[last], "nothing is left to do again");
    }
}

#[test]
fn another_step_ends_what_could_be_done_again() {
    let mut book = Book::new("Chapel", None, Some(Outline::shipped("roman-missal-3").unwrap()));
    let ribbon = |colour: &str| Copy { ribbons: vec![Ribbon::new(colour)], ..Copy::default() };
    book.mark(None, ribbon("red"), WHEN);
    book.undo();
    assert!(book.redoable().is_some_and(|s| matches!(s.what, Change::Marks { .. })));
    book.mark(None, ribbon("gold"), WHEN);
    assert!(book.redo().is_none());
    // Marks that a copy has are no step.
    book.mark(None, ribbon("gold"), WHEN);
    assert_eq!(book.history.len(), 1);
}
