//! Planted misreadings: a digit swapped, lost, the neighbour's page, a page too few inside a gap, each as
//! sure in the rows as a right number; and such as this reader really makes, as sure as it was of them.

use super::score::*;
use super::simulate::*;
use std::ops::Range;
use vitta::book::State;
use vitta::text::{Alternative, Reading};

/// How a number is read: its labels, likeliest first, and what the reader thinks of the row.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Number {
    #[serde(rename = "read")]
    labels: Vec<(String, f64)>,
    probability: f64,
    doubt: bool,
}

/// A kind of misreading: its name, and what becomes of the page; the second page is the next row's.
type Plant = (&'static str, fn(&str, &str, &mut Dice) -> Option<Number>);

pub const PLANTS: [Plant; 5] = [
    ("digit swapped", |page, _, dice| Some(surely(misread_digit(page, dice)))),
    ("digit lost", |page, _, dice| {
        let mut digits = page.to_owned();
        digits.remove(dice.below(page.len()));
        (page.len() > 1 && !digits.starts_with('0')).then(|| surely(digits))
    }),
    ("neighbour's page", |page, next, _| (page != next).then(|| surely(next.to_owned()))),
    ("a page too few", |page, _, _| page.parse::<u32>().ok().map(|n| surely((n - 1).to_string()))),
    ("as this reader misreads", |page, _, dice| as_this_reader(page, dice)),
];

/// Read as surely as a right number.
fn surely(page: String) -> Number {
    Number { labels: vec![(page, 0.985)], probability: 0.985, doubt: false }
}

/// A misreading that happened, and what was printed there.
#[derive(serde::Deserialize)]
struct Misread {
    printed: String,
    #[serde(flatten)]
    number: Number,
}

/// One of the misreadings that happened, carried over to `page`.
fn as_this_reader(page: &str, dice: &mut Dice) -> Option<Number> {
    #[derive(serde::Deserialize)]
    struct Kept {
        misread: Vec<Misread>,
    }
    let text = include_str!("../../fixtures/books/misread-pages.json");
    let kept: Kept = serde_json::from_str(text).unwrap();
    let alike: Vec<&Misread> =
        kept.misread.iter().filter(|m| m.printed.len() == page.len()).collect();
    let Misread { printed, number } = alike.get(dice.below(alike.len().max(1)))?;
    let mut number = number.clone();
    for (label, _) in &mut number.labels {
        *label = carried_over(label, printed, page);
    }
    number.labels.retain(|(label, _)| label.parse::<u32>().is_ok_and(|n| n > 0));
    let first = number.labels.first()?.0.clone();
    (first != page && !first.starts_with('0')).then_some(number)
}

/// What was read of `printed`, had it been `page`: digits that were kept are exchanged, from the right.
fn carried_over(read: &str, printed: &str, page: &str) -> String {
    let (printed, page) = (printed.as_bytes(), page.as_bytes());
    let mut left = printed.len();
    let mut carried: Vec<u8> = Vec::new();
    for (back, digit) in read.bytes().rev().enumerate() {
        let there = printed.len().checked_sub(back + 1);
        let there = there.filter(|at| read.len() == printed.len() && printed[*at] == digit);
        let kept = there.or_else(|| printed[..left].iter().rposition(|p| *p == digit));
        carried.push(kept.map_or(digit, |at| page[at]));
        left = kept.unwrap_or(left);
    }
    carried.reverse();
    String::from_utf8(carried).unwrap()
}

/// How many planted misreadings were mended or doubted, or did no harm, of how many.
pub fn caught(plant: &Plant, habits: &Habits, editions: Range<u64>) -> (usize, usize) {
    let (mut good, mut all) = (0, 0);
    for seed in editions {
        let dice = &mut Dice(1000 + seed);
        let edition = Edition::print(habits, dice);
        let mut readings = photograph(&edition, habits, Photographed::All, dice);
        let planted = plant_some(&mut readings, plant, dice);
        let book = book_of(&readings);
        for title in planted {
            let row = |e: &vitta::book::Entry| {
                e.evidence.iter().any(|r| r.strip.photo == PLANTED_IN && r.title == title)
            };
            for entry in book.entries.iter().filter(|e| row(e)) {
                let truth = edition.page(&entry.place).map(|p| p.to_string());
                good += usize::from(entry.page == truth || entry.state == State::Doubtful);
                all += 1;
            }
        }
    }
    (good, all)
}

const PLANTED_IN: &str = "formularies.jpg";

/// Plants in every sixtieth row; returns the titles of these rows.
fn plant_some(readings: &mut [Reading], plant: &Plant, dice: &mut Dice) -> Vec<String> {
    let reading = readings.iter_mut().find(|r| r.file == PLANTED_IN).unwrap();
    let mut planted = Vec::new();
    for at in (dice.below(60)..reading.rows.len() - 1).step_by(60) {
        let next = reading.rows[at + 1].page.clone().unwrap();
        let row = &mut reading.rows[at];
        let Some(number) = plant.1(row.page.as_deref().unwrap(), &next, dice) else { continue };
        row.page = Some(number.labels[0].0.clone());
        (row.probability, row.doubt) = (number.probability, number.doubt);
        let alternative = |(page, weight)| Alternative { page, weight };
        row.alternatives = number.labels.into_iter().map(alternative).collect();
        planted.push(row.title.clone());
    }
    planted
}

/// A single reading that is wrong by a page, as sure as a right one and right among its neighbours'
/// pages, tells a map only that the lengths are a little unusual. How little, `limit` calculates: an
/// observer who knows each section's true scale, the spread of the lengths and the share of new pages,
/// and weighs every path through the book exactly, catches 83 % of the pages too few if it may doubt 2 %
/// of the right rows, 88 % with 4 %, and has to doubt 10 % to catch 95 % (632 planted in editions 4000 to
/// 4039). So no honest rule reaches 95 % here, nor for a neighbour's page, mostly one off as well; the map,
/// which has to learn all this from the same rows, is held to what it does. Of the 4,475 rows whose
/// misreadings `fixtures/books/misread-pages.json` keeps, none was wrong by one or two pages and sure, but
/// for one photograph whose whole list got the pages of the next rows: no planted row stands for that.
#[test]
fn planted_misreadings_are_mended_or_doubted() {
    for (plant, least) in PLANTS.iter().zip([95, 95, 85, 60, 95]) {
        let (good, all) = caught(plant, &EXACT, 0..4);
        println!("{}: {good} of {all}", plant.0);
        assert!(good * 100 >= all * least, "{}: {good} of {all}", plant.0);
    }
}

/// The bound itself, on a few editions.
#[test]
fn an_observer_who_knows_the_edition_misses_some_pages_too_few() {
    let mut sure = super::limit::sure_of(&EXACT, 0..4);
    let caught = super::limit::caught(&mut sure, 0.04);
    assert!((0.7..0.95).contains(&caught), "{caught} caught by doubting one right row in 25");
}

#[test]
fn a_misreading_is_carried_over_digit_by_digit() {
    for (read, printed, page, expected) in [
        ("485", "486", "731", "735"),
        ("267", "1267", "1431", "431"),
        ("13", "123", "456", "46"),
        ("5396", "596", "712", "7312"),
        ("1", "986", "986", "1"),
    ] {
        assert_eq!(carried_over(read, printed, page), expected, "{read} of {printed}");
    }
}
