//! What the map claims against the truth of simulated editions.

use super::simulate::*;
use std::collections::BTreeMap;
use vitta::book::{Book, Label, Outline, State};
use vitta::language::Language;

/// Counts over many editions.
#[derive(Default, Debug)]
struct Score {
    by_state: BTreeMap<&'static str, (usize, usize)>,
    intervals: (usize, usize),
    reliability: [(usize, usize, f64); 10],
    off: Vec<u32>,
}

fn state_name(state: State) -> &'static str {
    match state {
        State::Read => "read",
        State::Mended => "mended",
        State::Doubtful => "doubtful",
        State::Estimated => "estimated",
        State::Confirmed => "confirmed",
        State::Absent => "absent",
    }
}

impl Score {
    fn add(&mut self, book: &Book, edition: &Edition) {
        for entry in &book.entries {
            let Some(truth) = edition.page(&entry.place) else { continue };
            let number = |l: &str| Label::parse(l).unwrap().number;
            let page = entry.page.as_deref().map_or(0, number);
            let right = page == truth;
            let count = self.by_state.entry(state_name(entry.state)).or_default();
            count.0 += usize::from(right);
            count.1 += 1;
            if matches!(entry.state, State::Absent | State::Confirmed) {
                continue;
            }
            let bin = ((entry.probability * 10.0) as usize).min(9);
            self.reliability[bin].0 += usize::from(right);
            self.reliability[bin].1 += 1;
            self.reliability[bin].2 += entry.probability;
            if entry.state == State::Estimated {
                let inside = match &entry.interval {
                    Some((a, b)) => (number(a)..=number(b)).contains(&truth),
                    None => right,
                };
                self.intervals.0 += usize::from(inside);
                self.intervals.1 += 1;
                self.off.push(page.abs_diff(truth));
            }
        }
    }

    /// Bounds for a few editions; `cargo bench --bench book` measures many.
    fn check(&self, name: &str, complete: bool) {
        let (right, all) = self.by_state.get("read").copied().unwrap_or_default();
        assert!(all - right <= 1 + all / 1000, "{name}: {} of {all} read are wrong", all - right);
        let (inside, all) = self.intervals;
        assert!(inside as f64 >= 0.9 * all as f64, "{name}: intervals hold {inside} of {all}");
        if complete {
            let sure = ["read", "mended"].map(|s| self.by_state.get(s).map_or(0, |c| c.0));
            let every: usize = self.by_state.values().map(|c| c.1).sum();
            assert!(sure[0] + sure[1] > every * 9 / 10, "{name}: {sure:?} of {every}");
        } else {
            let median = self.off.get(self.off.len() / 2).copied().unwrap_or(0);
            assert!(median <= 3, "{name}: estimates are {median} pages off");
        }
    }

    fn report(&mut self, name: &str) {
        println!("{name}: right of all, by state {:?}", self.by_state);
        let (inside, all) = self.intervals;
        self.off.sort();
        let median = self.off.get(self.off.len() / 2);
        println!(
            "  intervals hold {inside} of {all} = {:.3}; median off {median:?}",
            inside as f64 / all as f64
        );
        for (right, all, sum) in self.reliability {
            if all > 0 {
                println!(
                    "  said {:.3} was {:.3} of {all}",
                    sum / all as f64,
                    right as f64 / all as f64
                );
            }
        }
    }
}

fn missal() -> &'static Outline {
    Outline::shipped("roman-missal-3").unwrap()
}

fn book_of(readings: &[vitta::text::Reading]) -> Book {
    Book::from_readings("Simulated", readings, Some(missal()), Some(Language::En), "2026-11-25")
}

#[test]
fn simulated_editions() {
    let runs: u64 = 2;
    for (name, lists) in
        [("contents and prefaces", 0), ("all lists", 1), ("all lists, sections moved", 2)]
    {
        let mut score = Score::default();
        for seed in 0..runs {
            let dice = &mut Dice(seed * 77 + lists);
            let habits = Habits { permuted: lists == 2, ..USUAL };
            let edition = Edition::print(&habits, dice);
            let mut readings = vec![
                edition.list("contents.jpg", &habits, dice, general),
                edition.list("prefaces.jpg", &habits, dice, prefaces),
            ];
            if lists > 0 {
                readings.push(edition.list("formularies.jpg", &habits, dice, formularies));
                readings.push(edition.index("index.jpg", &habits, dice, celebrations));
            }
            score.add(&book_of(&readings), &edition);
        }
        score.report(name);
        score.check(name, lists > 0);
    }
}
