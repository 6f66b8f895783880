//! How well the page map knows what it knows, over many simulated editions, and how fast it settles.
//!
//! `cargo bench --bench book -- 200` prints and reads 200 editions for each case, `-- 200 1000` those from
//! number 1000 on (lengths and habits were tuned on numbers below 100); under `cargo test --benches` it
//! runs two.

#![allow(clippy::unwrap_used, clippy::print_stdout, dead_code)]

#[path = "../book/limit.rs"]
mod limit;
#[path = "../book/misreadings.rs"]
mod misreadings;
#[path = "../book/score.rs"]
mod score;
#[path = "../book/simulate.rs"]
mod simulate;

use limit::Planted;
use misreadings::{PLANTS, as_this_reader, as_unsure, caught, surely};
use score::{Photographed, book_of, measure, photograph};
use simulate::{Dice, EXACT, Edition, Habits, USUAL};
use std::time::Instant;
use vitta::place::Place;

fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let first = numbers.get(1).copied().unwrap_or(0);
    let editions = first..first + numbers.first().copied().unwrap_or(2);
    let permuted = Habits { permuted: true, ..USUAL };
    for (name, habits, which) in [
        ("contents and prefaces", USUAL, Photographed::ContentsAndPrefaces),
        ("all lists", USUAL, Photographed::All),
        ("all lists, sections moved", permuted, Photographed::All),
    ] {
        measure(&habits, which, editions.clone()).report(name);
    }
    for plant in &PLANTS {
        for (sure, (good, all)) in [
            ("as surely as a right one", caught(&surely(plant), &EXACT, editions.clone())),
            ("as unsurely as this reader", caught(&as_unsure(plant), &EXACT, editions.clone())),
        ] {
            println!(
                "planted, {}, read {sure}: {good} of {all} mended, doubted or harmless",
                plant.0
            );
        }
    }
    let (good, all) = caught(&as_this_reader, &EXACT, editions.clone());
    println!("planted, as this reader misreads: {good} of {all} mended, doubted or harmless");
    for (name, what) in
        [("a page too few", Planted::PageTooFew), ("neighbour's page", Planted::NextRowsPage)]
    {
        let mut sure = limit::sure_of(what, &EXACT, editions.clone());
        for share in [0.02, 0.025, 0.04, 0.1] {
            let caught = limit::caught(&mut sure, share);
            println!(
                "{name}, knowing all habits: {caught:.3} caught by doubting {share} of the rest"
            );
        }
    }
    speed();
}

/// A word on one page settles the whole book: as fast as a key is pressed.
fn speed() {
    for which in [Photographed::ContentsAndPrefaces, Photographed::All] {
        let dice = &mut Dice(3);
        let edition = Edition::print(&USUAL, dice);
        let mut book = book_of(&photograph(&edition, &USUAL, which, dice));
        let place = Place::new("time/lent/week-2/thursday").unwrap();
        let page = edition.page(&place).unwrap().to_string();
        let mut times: Vec<f64> = (0..11)
            .map(|_| {
                let start = Instant::now();
                book.confirm(&place, &page, "2026-11-25").unwrap();
                start.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("{} places settled in {:.1} ms (median of 11)", book.entries.len(), times[5]);
        assert_eq!(book.entry(&place).unwrap().page.as_deref(), Some(page.as_str()));
    }
}
