//! Evidence without end, in any order: nothing overflows, what agrees adds no doubt, and more lists never make
//! the map worse.

use super::printed::*;
use super::score::book_of;
use super::simulate::Dice;
use super::year::*;
use vitta::book::{Book, Entry, Label};
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
    assert!(widths(&often) <= widths(&once), "{} from {}", widths(&often), widths(&once));
}

/// Pages between the ends of all intervals together.
fn widths(book: &Book) -> u32 {
    let number = |label: &String| Label::parse(label).unwrap().number;
    let width = |e: &Entry| e.interval.as_ref().map_or(0, |(a, b)| number(b) - number(a));
    book.entries.iter().map(width).sum()
}

/// One list named by another edition of itself, photographed better: what agrees widens nothing and doubts nothing.
#[test]
fn a_second_reading_that_agrees_adds_no_doubt_and_widens_nothing() {
    let (edition, readings) = read(11, &FAIR);
    let once = book_of(&readings);
    let (_, sure) = read(11, &PERFECT);
    for (n, list) in sure.iter().enumerate().step_by(4) {
        let mut more = readings.clone();
        more.push(named(list, &format!("second-{n}.jpg")));
        let book = book_of(&more);
        assert!(widths(&book) <= widths(&once), "{}", list.file);
        let settled = |b: &Book| b.entries.iter().filter(|e| vouched(e)).count();
        assert!(settled(&book) + 1 >= settled(&once), "{}", list.file);
        for entry in book.entries.iter().filter(|e| vouched(e)) {
            let truth = edition.page(&entry.place).map(|p| p.to_string());
            assert!(truth.is_none() || entry.page == truth, "{} is wrong", entry.place);
        }
    }
}

#[test]
fn pages_never_go_back_along_the_order_that_the_lists_show() {
    for number in 12..16 {
        for eyes in [&PERFECT, &FAIR] {
            let (_, readings) = read(number, eyes);
            let some = readings.iter().step_by(1 + number as usize % 2).cloned();
            let book = book_of(&some.collect::<Vec<_>>());
            let pages: Vec<Label> =
                book.entries.iter().filter_map(|e| Label::parse(e.page.as_deref()?)).collect();
            assert!(pages.windows(2).all(|w| w[0] <= w[1]), "edition {number}");
        }
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

/// Lists added one by one in random orders: the share of right places falls by a place or two at most.
#[test]
fn more_lists_never_make_the_map_worse() {
    for number in 20..22 {
        let (edition, readings) = read(number, &PERFECT);
        let dice = &mut Dice(number);
        let mut order: Vec<&Reading> = readings.iter().collect();
        for at in (1..order.len()).rev() {
            order.swap(at, dice.below(at + 1));
        }
        let mut best = 0;
        for count in (1..=order.len()).step_by(3) {
            let some: Vec<Reading> = order[..count].iter().map(|r| (*r).clone()).collect();
            let book = book_of(&some);
            let right = |e: &&Entry| {
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
