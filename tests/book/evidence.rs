//! Evidence without end, in any order: nothing overflows, what agrees adds no doubt, and more lists never make
//! the map worse.

use super::printed::*;
use super::score::book_of;
use super::year::*;
use vitta::book::Book;
use vitta::text::Reading;

fn same_map(a: &Book, b: &Book) {
    for entry in &a.entries {
        let other = b.entry(&entry.place).unwrap_or_else(|| panic!("{} is lost", entry.place));
        assert_eq!((&entry.page, entry.state), (&other.page, other.state), "{}", entry.place);
    }
}

fn named(reading: &Reading, file: &str) -> Reading {
    let mut again = reading.clone();
    again.file = file.into();
    again.rows.iter_mut().for_each(|r| r.strip.photo = file.into());
    again
}

#[test]
fn a_page_read_thirty_times_adds_no_doubt_and_overflows_nothing() {
    let (_, readings) = read(7, &FAIR);
    let once = book_of(&readings);
    let mut often = readings.clone();
    for n in 0..30 {
        // Each photograph is held a little otherwise.
        let mut again = named(&readings[2], &format!("again-{n}.jpg"));
        again.rows.iter_mut().for_each(|r| r.strip.area.top += n);
        often.push(again);
    }
    let often = book_of(&often);
    for entry in &once.entries {
        let again = often.entry(&entry.place).unwrap();
        assert!(again.probability.is_finite());
        assert!(!vouched(entry) || vouched(again), "{} is in doubt after all", entry.place);
    }
}

#[test]
fn a_photograph_under_two_names_counts_once() {
    let (_, readings) = read(8, &FAIR);
    let once = book_of(&readings);
    let mut twice = readings.clone();
    twice.push(named(&readings[1], "copy.jpg"));
    same_map(&once, &book_of(&twice));
}

#[test]
fn the_order_of_the_photographs_changes_nothing() {
    let (_, readings) = read(9, &FAIR);
    let forward = book_of(&readings);
    let mut backward = readings.clone();
    backward.reverse();
    same_map(&forward, &book_of(&backward));
    // One by one as well as all at once.
    let mut grown = book_of(&readings[..1]);
    readings[1..].chunks(7).for_each(|some| grown.read(some, "2026-11-28"));
    same_map(&forward, &grown);
}

#[test]
fn a_photograph_taken_away_leaves_no_trace() {
    let (_, readings) = read(10, &FAIR);
    let mut book = book_of(&readings);
    let all = book.clone();
    assert!(book.remove_photo(&readings[3].file, "2026-11-28"));
    let mut without = readings.clone();
    without.remove(3);
    same_map(&book_of(&without), &book);
    book.undo();
    assert_eq!(book.entries, all.entries);
    assert!(!book.remove_photo("no-such.jpg", "2026-11-28"));
}

/// Lists added one by one in several orders: the share of right places falls by a place or two at most.
#[test]
fn more_lists_never_make_the_map_worse() {
    for number in 20..21 {
        let (edition, readings) = read(number, &PERFECT);
        for start in 0..2 {
            let mut order: Vec<&Reading> = readings.iter().collect();
            order.rotate_left(start * readings.len() / 2);
            if start == 1 {
                order.reverse();
            }
            let mut best = 0;
            for count in (1..=order.len()).step_by(5) {
                let some: Vec<Reading> = order[..count].iter().map(|r| (*r).clone()).collect();
                let book = book_of(&some);
                let right = |e: &&vitta::book::Entry| {
                    e.page.is_some()
                        && e.page == edition.page(&e.place).map(|p| p.to_string())
                        && !e.evidence.is_empty()
                };
                let now = book.entries.iter().filter(right).count();
                assert!(
                    now + 2 >= best,
                    "{number}: {now} right with {count} photographs, {best} before"
                );
                best = best.max(now);
            }
        }
    }
}
