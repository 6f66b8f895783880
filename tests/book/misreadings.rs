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
type Plant = (&'static str, fn(&str, &str, &mut Dice) -> Option<String>);

pub const PLANTS: [Plant; 4] = [
    ("digit swapped", |page, _, dice| Some(misread_digit(page, dice))),
    ("digit lost", |page, _, dice| {
        let mut digits = page.to_owned();
        digits.remove(dice.below(page.len()));
        (page.len() > 1 && !digits.starts_with('0')).then_some(digits)
    }),
    ("neighbour's page", |page, next, _| (page != next).then(|| next.to_owned())),
    ("a page too few", |page, _, _| page.parse::<u32>().ok().map(|n| (n - 1).to_string())),
];

/// How a row is misread, given its page and the next row's.
type Misreader<'a> = &'a dyn Fn(&str, &str, &mut Dice) -> Option<Number>;

/// Misread so, and as surely as a right number.
pub fn surely(plant: &Plant) -> impl Fn(&str, &str, &mut Dice) -> Option<Number> {
    let number = |page| Number { labels: vec![(page, 0.985)], probability: 0.985, doubt: false };
    move |page, next, dice| plant.1(page, next, dice).map(number)
}

/// Misread so, and as surely as this reader was of a misreading of that shape, or else of any.
pub fn as_unsure(plant: &Plant) -> impl Fn(&str, &str, &mut Dice) -> Option<Number> {
    |page, next, dice| {
        let planted = plant.1(page, next, dice)?;
        let alike = |m: &Misread| shape(&m.number.labels[0].0, &m.printed) == shape(&planted, page);
        let mut number = carried(page, dice, alike).or_else(|| carried(page, dice, |_| true))?;
        let weight = number.labels.first().map_or(number.probability, |label| label.1);
        let others = number.labels.into_iter().skip(1).filter(|label| label.0 != planted);
        number.labels = others.collect();
        number.labels.insert(0, (planted, weight));
        Some(number)
    }
}

/// Misread as this reader once did.
pub fn as_this_reader(page: &str, _: &str, dice: &mut Dice) -> Option<Number> {
    let number = carried(page, dice, |_| true)?;
    let first = &number.labels.first()?.0;
    (first != page && !first.starts_with('0')).then_some(number)
}

/// A misreading that happened, and what was printed there.
#[derive(Clone, serde::Deserialize)]
struct Misread {
    printed: String,
    #[serde(flatten)]
    number: Number,
}

/// How many digits were read, how many printed, and whether one alone was taken for another.
fn shape(read: &str, printed: &str) -> (usize, usize, bool) {
    let other = read.bytes().zip(printed.bytes()).filter(|(r, p)| r != p).count();
    (read.len(), printed.len(), read.len() == printed.len() && other == 1)
}

/// One of the misreadings that happened to a number as long, and are `alike`, carried over to `page`.
fn carried(page: &str, dice: &mut Dice, alike: impl Fn(&Misread) -> bool) -> Option<Number> {
    #[derive(serde::Deserialize)]
    struct Kept {
        misread: Vec<Misread>,
    }
    let text = include_str!("../../fixtures/books/misread-pages.json");
    let mut kept = serde_json::from_str::<Kept>(text).unwrap().misread;
    kept.retain(|m| m.printed.len() == page.len() && alike(m));
    let Misread { printed, mut number } = kept.get(dice.below(kept.len().max(1)))?.clone();
    for (label, _) in &mut number.labels {
        *label = carried_over(label, &printed, page);
    }
    number.labels.retain(|(label, _)| label.parse::<u32>().is_ok_and(|n| n > 0));
    Some(number)
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
pub fn caught(misread: Misreader, habits: &Habits, editions: Range<u64>) -> (usize, usize) {
    let (mut good, mut all) = (0, 0);
    for seed in editions {
        let dice = &mut Dice(1000 + seed);
        let edition = Edition::print(habits, dice);
        let mut readings = photograph(&edition, habits, Photographed::All, dice);
        let planted = plant_some(&mut readings, misread, dice);
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
fn plant_some(readings: &mut [Reading], misread: Misreader, dice: &mut Dice) -> Vec<String> {
    let reading = readings.iter_mut().find(|r| r.file == PLANTED_IN).unwrap();
    let mut planted = Vec::new();
    for at in (dice.below(60)..reading.rows.len() - 1).step_by(60) {
        let next = reading.rows[at + 1].page.clone().unwrap();
        let row = &mut reading.rows[at];
        let Some(number) = misread(row.page.as_deref().unwrap(), &next, dice) else { continue };
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
/// observer who knows each section's true scale, the spread of the lengths, the share of new pages and
/// which kind is planted, and weighs every path through the book exactly, catches of the pages too few
/// 81 % if it may doubt 2 % of the right rows, 86 % with 4 %, and has to doubt more than 10 % to catch 95 %
/// (3,148 planted in editions 6000 to 6199); of the pages of the next row, of which a row beside it that
/// shows the same page warns, 94 % with 2 % and 95 % with 2.5 % (2,425 planted there). The map doubts 2 % of
/// the right rows, and has to learn all this from the same rows: it is held to what it does. All the
/// neighbour's pages it misses are named by one list alone and off by a page or two between pages that fit
/// either way. Read as unsurely as this reader was, 95 % of the pages too few are caught and 98 % or more of
/// every other kind (editions 5000 to 5019 and 6000 to 6029). Of the 4,475 rows whose
/// misreadings `fixtures/books/misread-pages.json` keeps, none was wrong by one or two pages and sure, but
/// for one photograph whose whole list got the pages of the next rows: no planted row stands for that.
#[test]
fn planted_misreadings_are_mended_or_doubted() {
    for (plant, least) in PLANTS.iter().zip([80, 80, 70, 60]) {
        check(plant.0, &surely(plant), 0..4, least);
        check(plant.0, &as_unsure(plant), 4..6, 85);
    }
    check("as this reader misreads", &as_this_reader, 0..4, 85);
}

fn check(name: &str, misread: Misreader, editions: Range<u64>, least: usize) {
    let (good, all) = caught(misread, &EXACT, editions);
    println!("{name}: {good} of {all}");
    assert!(good * 100 >= all * least, "{name}: {good} of {all}");
}

/// The bound itself, on a few editions.
#[test]
fn an_observer_who_knows_the_edition_misses_some_that_are_off_by_a_page() {
    use super::limit::{Planted, sure_of};
    for (what, doubted, most) in
        [(Planted::PageTooFew, 0.04, 0.95), (Planted::NextRowsPage, 0.02, 0.98)]
    {
        let caught = super::limit::caught(&mut sure_of(what, &EXACT, 6000..6008), doubted);
        println!("{what:?}: {caught}");
        assert!((0.7..most).contains(&caught), "{caught} of {what:?} caught by doubting {doubted}");
    }
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
