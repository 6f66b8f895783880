//! Planted misreadings: a digit swapped, lost, the neighbour's page, a page too few inside a gap. Each
//! stands as confidently in the rows as a right number.

use super::score::*;
use super::simulate::*;
use vitta::book::State;
use vitta::text::{Alternative, Reading};

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

/// How many planted misreadings were mended or doubted, or did no harm, of how many.
pub fn caught(plant: &Plant, habits: &Habits, times: u64) -> (usize, usize) {
    let (mut good, mut all) = (0, 0);
    for seed in 0..times {
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
        let Some(page) = plant.1(row.page.as_deref().unwrap(), &next, dice) else { continue };
        row.alternatives = vec![Alternative { page: page.clone(), weight: 0.985 }];
        (row.page, row.probability, row.doubt) = (Some(page), 0.985, false);
        planted.push(row.title.clone());
    }
    planted
}

/// Of a single reading that is wrong by a page or two, and as sure as a right one, a map can only tell
/// that the lengths are unusual; the rest is counted here openly.
#[test]
fn planted_misreadings_are_mended_or_doubted() {
    let exact = Habits { digit_errors: 0.0, letter_errors: 0.0, lost_rows: 0.0, ..USUAL };
    for (plant, least) in PLANTS.iter().zip([95, 95, 85, 60]) {
        let (good, all) = caught(plant, &exact, 4);
        assert!(good * 100 >= all * least, "{}: {good} of {all}", plant.0);
    }
}
