//! How long the calendar takes: `cargo bench --bench calendar`. Aims: 131 years in 20 ms, one day in
//! 50 µs once the calendar is made.

#![allow(clippy::unwrap_used, clippy::panic)]

use divan::{Bencher, black_box};
use vitta::calendar::{Calendar, YEARS};
use vitta::language::Language;

fn main() {
    divan::main();
}

/// Every day of 1970–2100: what is kept and in how many ways the day may be celebrated.
#[divan::bench]
fn all_years(bencher: Bencher) {
    let calendar = Calendar::shipped("general").expect("the general calendar is shipped");
    bencher.bench_local(|| {
        let (mut days, mut in_triduum, mut choices) = (0, 0, 0);
        for year in YEARS {
            let settled = calendar.year(black_box(year)).expect("the year is in range");
            for day in settled.days() {
                days += 1;
                in_triduum += usize::from(day.kept_line() == 1);
                choices += day.choices();
            }
        }
        assert_eq!((days, in_triduum), (47_847, 4 * 131));
        assert!(choices > days);
    });
}

/// One day with all its sentences, the calendar being made.
#[divan::bench]
fn one_day(bencher: Bencher) {
    let calendar = Calendar::shipped("general").expect("the general calendar is shipped");
    let date = "2024-12-09".parse().expect("a date");
    bencher.bench_local(|| {
        let day = calendar.day(black_box(date), Language::En).expect("the date is in range");
        assert_eq!(day.celebrations[0].id.as_str(), "saints/12-08/immaculate-conception");
    });
}

/// The calendar made from its files.
#[divan::bench(args = ["general", "england"])]
fn made(bencher: Bencher, name: &str) {
    bencher.bench_local(|| {
        let calendar = Calendar::shipped(black_box(name)).expect("the calendar is shipped");
        assert_eq!(calendar.name(), name);
    });
}
