//! How long the optimum takes: one service, a year of services with certificates, a week's horizon.
//! Fixed instances; each bench asserts its answer against the certificate or the other method.

#![allow(clippy::unwrap_used, clippy::panic)]

use vitta::ribbon::solve::dual::{bound, certify};
use vitta::ribbon::solve::horizon::{Row, by_linear_programme, by_subsets};
use vitta::ribbon::solve::{Client, Movement, solve};

fn main() {
    divan::main();
}

/// Numbers that look random and are the same on every run (Knuth's MMIX generator).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) % limit
    }
}

/// Leafing 100 a leaf, in a bundle 300 and 20 a leaf, a search 1000, a pull 150.
fn movement() -> Movement {
    Movement::new((0..=35).map(|d| (100 * d).min(300 + 20 * d).min(1000)).collect(), 150).unwrap()
}

fn service(texts: u64, numbers: &mut Numbers) -> Vec<Client> {
    let text = |_| Client {
        opening: numbers.below(700) as i32,
        weight: 1 + numbers.below(5) as u16,
        alternative: [1000, 1000, 480, 300][numbers.below(4) as usize],
    };
    (0..texts).map(text).collect()
}

#[divan::bench(args = [(10, 4), (25, 8)])]
fn one_service(bencher: divan::Bencher, (texts, ribbons): (u64, usize)) {
    let (clients, movement) = (service(texts, &mut Numbers(7)), movement());
    bencher.bench(|| solve(divan::black_box(&clients), &movement, ribbons).cost(ribbons));
}

#[divan::bench]
fn a_year_with_certificates(bencher: divan::Bencher) {
    let movement = movement();
    let mut numbers = Numbers(11);
    let year: Vec<Vec<Client>> = (0..365).map(|_| service(12, &mut numbers)).collect();
    bencher.bench(|| {
        for clients in &year {
            let optima = solve(clients, &movement, 7);
            let certificate = certify(clients, &movement, optima.cost(6) - optima.cost(7));
            assert_eq!(bound(clients, &movement, 6, &certificate), Some(optima.cost(6)));
        }
    });
}

/// Seven services: the Order of Mass the same every day, two or three texts of the day's own.
fn week() -> Vec<Vec<Client>> {
    let mut numbers = Numbers(23);
    let shared = service(4, &mut numbers);
    (0..7).map(|_| [shared.clone(), service(3, &mut numbers)].concat()).collect()
}

#[divan::bench(args = [4, 6])]
fn a_week_by_subsets(bencher: divan::Bencher, ribbons: usize) {
    let (services, movement) = (week(), movement());
    let row = Row { services: &services, movement: &movement, ribbons, relay: 100, before: None };
    bencher.bench(|| by_subsets(divan::black_box(&row)).map(|c| c.cost));
}

#[divan::bench(args = [4, 6])]
fn a_week_by_linear_programme(bencher: divan::Bencher, ribbons: usize) {
    let (services, movement) = (week(), movement());
    let row = Row { services: &services, movement: &movement, ribbons, relay: 100, before: None };
    let known = by_subsets(&row).map(|c| c.cost);
    bencher.bench(|| {
        let cost = by_linear_programme(divan::black_box(&row)).map(|c| c.cost);
        assert!(known.is_none() || cost == known);
        cost
    });
}
