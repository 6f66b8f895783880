//! A year from unseen editions: how many days give a card that is right and asks for nothing, how many stops are
//! known and right, how many wrong in silence, and how many looks make the coming month safe.
//!
//! `cargo bench --bench year -- 50` prints and reads 50 editions, `-- 50 1000` those from number 1000 on; under
//! `cargo test --benches` it runs one.

#![allow(clippy::unwrap_used, clippy::print_stdout, dead_code)]

#[path = "../book/printed.rs"]
mod printed;
#[path = "../book/score.rs"]
mod score;
#[path = "../book/simulate.rs"]
mod simulate;
#[path = "../book/unseen.rs"]
mod unseen;
#[path = "../book/year.rs"]
mod year;

use printed::{FAIR, PERFECT};
use score::book_of;
use std::time::Instant;

fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let first = numbers.get(1).copied().unwrap_or(0);
    let count = numbers.first().copied().unwrap_or(1);
    let tell = std::env::var_os("TELL").is_some();
    let start = Instant::now();
    for (name, eyes) in [("perfect rows", PERFECT), ("fair rows", FAIR)] {
        year::measure_year(&eyes, first..first + count, tell).report(name);
    }
    let mut looks: Vec<usize> = Vec::new();
    for number in first..first + count.min(10) {
        let (edition, readings) = year::read(number, &FAIR);
        let book = book_of(&readings);
        looks.extend([0, 90, 200].map(|day| year::looks(&book, &edition, day, 40)));
    }
    looks.sort_unstable();
    println!(
        "looks until the coming month is safe: median {}, most {:?}",
        looks[looks.len() / 2],
        looks.last()
    );
    println!("{:.0} s", start.elapsed().as_secs_f64());
}
