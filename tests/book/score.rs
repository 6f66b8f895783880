//! Counts what a map claims against the truth of simulated editions.

use super::simulate::*;
use std::collections::BTreeMap;
use std::ops::Range;
use vitta::book::{Book, Label, Outline, State};
use vitta::language::PrintedLanguage;
use vitta::text::Reading;

/// Counts over many editions.
#[derive(Default, Debug)]
pub struct Score {
    by_state: BTreeMap<&'static str, (usize, usize)>,
    intervals: (usize, usize),
    /// By tenths of the probability: how many were right, of how many, and the sum of probabilities;
    /// of places nobody read, and of places read.
    reliability: [[(usize, usize, f64); 10]; 2],
    off: Vec<u32>,
    /// Of places whose best page was read: the probability given, and whether it was right.
    pub seen: Vec<(f64, bool)>,
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
    pub fn add(&mut self, book: &Book, edition: &Edition) {
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
            if entry.evidence.iter().any(|e| e.label() == entry.page.as_deref()) {
                self.seen.push((entry.probability, right));
            }
            let bin = ((entry.probability * 10.0) as usize).min(9);
            let bin = &mut self.reliability[usize::from(entry.state != State::Estimated)][bin];
            *bin = (bin.0 + usize::from(right), bin.1 + 1, bin.2 + entry.probability);
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
    pub fn check(&self, complete: bool) {
        let (right, all) = self.by_state.get("read").copied().unwrap_or_default();
        assert!(all - right <= 1 + all / 1000, "{} of {all} read are wrong", all - right);
        let (inside, all) = self.intervals;
        assert!(inside as f64 >= 0.9 * all as f64, "intervals hold {inside} of {all}");
        if complete {
            let sure = ["read", "mended"].map(|s| self.by_state.get(s).map_or(0, |c| c.0));
            let every: usize = self.by_state.values().map(|c| c.1).sum();
            assert!(sure[0] + sure[1] > every * 9 / 10, "{sure:?} of {every}");
        } else {
            let median = self.off.get(self.off.len() / 2).copied().unwrap_or(0);
            assert!(median <= 3, "estimates are {median} pages off");
        }
    }

    pub fn report(&mut self, name: &str) {
        println!("{name}: right of all, by state {:?}", self.by_state);
        let (inside, all) = self.intervals;
        self.off.sort();
        let median = self.off.get(self.off.len() / 2);
        println!(
            "  intervals hold {inside} of {all} = {:.3}; median off {median:?}",
            inside as f64 / all as f64
        );
        for least in [0.9, 0.95, 0.97, 0.98, 0.99, 0.995] {
            let kept: Vec<bool> = self.seen.iter().filter(|s| s.0 >= least).map(|s| s.1).collect();
            let wrong = kept.iter().filter(|right| !**right).count();
            println!(
                "  called read from {least}: {} of {}, wrong {wrong}",
                kept.len(),
                self.seen.len()
            );
        }
        for (name, bins) in ["estimated", "read"].iter().zip(self.reliability) {
            for (right, all, sum) in bins.into_iter().filter(|b| b.1 > 0) {
                let share = |part: f64| part / all as f64;
                println!(
                    "  {name}: said {:.3} was {:.3} of {all}",
                    share(sum),
                    share(right as f64)
                );
            }
        }
    }
}

/// Which lists of an edition are photographed.
#[derive(Clone, Copy, PartialEq)]
pub enum Photographed {
    ContentsAndPrefaces,
    All,
}

/// The photographs of an edition.
pub fn photograph(
    edition: &Edition,
    habits: &Habits,
    which: Photographed,
    dice: &mut Dice,
) -> Vec<Reading> {
    let mut readings = vec![
        edition.list("contents.jpg", habits, dice, general),
        edition.list("prefaces.jpg", habits, dice, prefaces),
    ];
    if which == Photographed::All {
        readings.push(edition.list("formularies.jpg", habits, dice, formularies));
        readings.push(edition.index("index.jpg", habits, dice, celebrations));
    }
    readings
}

/// The book of a simulated edition.
pub fn book_of(readings: &[Reading]) -> Book {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let english = Some(PrintedLanguage::En);
    Book::from_readings("Simulated", readings, Some(outline), english, "2026-11-25")
}

/// Prints and reads the editions of these numbers and counts.
pub fn measure(habits: &Habits, which: Photographed, editions: Range<u64>) -> Score {
    let mut score = Score::default();
    for seed in editions {
        let dice = &mut Dice(seed * 77 + 5);
        let edition = Edition::print(habits, dice);
        score.add(&book_of(&photograph(&edition, habits, which, dice)), &edition);
    }
    score
}
