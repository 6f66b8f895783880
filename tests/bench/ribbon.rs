//! How long the optimum takes: one service, a year of services with certificates, services
//! in a row.
//! Fixed instances; each bench asserts that its answer is proven.

#![allow(clippy::unwrap_used, clippy::panic)]

use chrono::{Days, NaiveDate};
use vitta::book::{Book, Entry, Outline};
use vitta::calendar::Calendar;
use vitta::language::Language;
use vitta::order::{self, Service, Settings};
use vitta::ribbon::costs::Costs;
use vitta::ribbon::solve::dual::{bound, certify};
use vitta::ribbon::solve::horizon::{Course, Row, course};
use vitta::ribbon::solve::{Client, Movement, solve};
use vitta::ribbon::{Occasion, OnTable, plan_week};

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

/// Services in a row as a missal has them: the Order of Mass the same every day, some prefaces and
/// prayers that come again, three texts of the day's own within a few leaves.
fn services(days: usize) -> Vec<Vec<Client>> {
    let mut numbers = Numbers(23);
    let shared = service(3, &mut numbers);
    let again: Vec<Client> = service(12, &mut numbers);
    let day = |day: usize| {
        let own = |n: u64| Client {
            opening: 2 * day as i32 + n as i32 % 2,
            weight: 3 + n as u16 % 3,
            alternative: [1000, 300][n as usize % 2],
        };
        let some = (0..3).map(|_| again[numbers.below(12) as usize]).collect();
        [shared.clone(), some, (0..3).map(own).collect()].concat()
    };
    (0..days).map(day).collect()
}

fn lay(services: &[Vec<Client>], movement: &Movement, ribbons: usize) -> Course {
    let row = Row { services, movement, ribbons, relay: 100, before: None };
    let course = course(divan::black_box(&row));
    assert_eq!(course.cost, course.lower_bound, "not proven");
    course
}

/// A week, a season (Lent to Pentecost).
#[divan::bench(args = [(8, 4), (8, 6), (90, 4)], sample_count = 10)]
fn a_row_of_services(bencher: divan::Bencher, (days, ribbons): (usize, usize)) {
    let (services, movement) = (services(days), movement());
    // Proven by HiGHS 1.16.0 and by microlp 0.6 on the same instances.
    let known = [((8, 4), 69_990), ((90, 4), 775_910)];
    let known = known.iter().find(|(row, _)| *row == (days, ribbons)).map(|(_, cost)| *cost);
    bencher.bench(|| {
        let course = lay(&services, &movement, ribbons);
        assert!(known.is_none_or(|cost| course.cost == cost), "{}", course.cost);
        course
    });
}

/// The Masses of the calendar in an edition laid out from the shipped outline, their texts found and
/// chosen too: a week, a season, a year.
#[divan::bench(args = [(7, 4), (90, 4), (90, 6), (365, 4)], sample_count = 5)]
fn real_masses(bencher: divan::Bencher, (days, ribbons): (u64, usize)) {
    let book = edition();
    let masses = masses(days);
    let occasions: Vec<Occasion> = masses
        .iter()
        .map(|(date, service)| Occasion { date: *date, evening: false, service })
        .collect();
    let table = [OnTable { book: &book, ribbons, stands: &[] }];
    bencher.bench(|| {
        let week = plan_week(divan::black_box(&occasions), &table, &Costs::default()).unwrap();
        assert_eq!(week.cost, week.lower_bound, "not proven");
        week
    });
}

/// Every place of the outline at its typical distance from the one before.
fn edition() -> Book {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let mut book = Book::new("altar", Language::En, None);
    let mut position = 2.0;
    for place in &outline.places {
        let page = (position as u32).to_string();
        book.entries.push(Entry::typed(place.place.clone(), &place.title.en, &page));
        position += place.pages;
    }
    book
}

/// The Masses from Ash Wednesday 2027 on; on Holy Saturday there is none.
fn masses(days: u64) -> Vec<(NaiveDate, Service)> {
    let calendar = Calendar::shipped("general").unwrap();
    let first = NaiveDate::from_ymd_opt(2027, 2, 10).unwrap();
    let mass = |ahead| {
        let date = first + Days::new(ahead);
        let day = calendar.day(date, Language::En).unwrap();
        Some((date, order::service(&day, None, &Settings::default()).ok()?))
    };
    (0..days).filter_map(mass).collect()
}
