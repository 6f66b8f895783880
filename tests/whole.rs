//! The whole line on the photographs of the invented edition: what the program says of the book
//! against what was printed.

use super::text::kept;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use vitta::book::{Book, Entry, Outline, State};
use vitta::calendar::Calendar;
use vitta::language::Language;
use vitta::order::Settings;
use vitta::ribbon::costs::Costs;
use vitta::text::Reading;
use vitta::{order, ribbon};

fn fixture(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(path)
}

/// The book as read from the photographs alone; read once for all tests.
fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| {
        let readings: Vec<Reading> = kept()
            .iter()
            .filter(|(case, _)| case.photo.starts_with(fixture("photos/vallombra")))
            .map(|(_, reading)| reading.clone())
            .collect();
        let outline = Outline::shipped("roman-missal-3").unwrap();
        Book::from_readings("Vallombra", &readings, Some(outline), None, "2026-11-25 12:00:00")
    })
}

/// Where the edition really has `entry`; none where it does not.
fn truth(entry: &Entry) -> Option<String> {
    static TRUTH: OnceLock<Value> = OnceLock::new();
    let truth = TRUTH.get_or_init(|| {
        let file = fixture("books/vallombra.truth.json");
        serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap()
    });
    truth["pages"].get(entry.place.as_str()).and_then(Value::as_str).map(str::to_owned)
}

/// Entries given without a mark that a person must look.
fn settled() -> Vec<&'static Entry> {
    let states = [State::Read, State::Mended];
    book().entries.iter().filter(|e| states.contains(&e.state)).collect()
}

#[test]
fn pages_are_right_or_marked_for_a_look() {
    let wrong: Vec<String> = settled()
        .into_iter()
        .filter(|e| e.page != truth(e))
        .map(|e| format!("{}: {:?}, printed {:?}", e.place, e.page, truth(e)))
        .collect();
    assert!(wrong.is_empty(), "{} silently wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn most_of_what_was_photographed_is_settled() {
    // The photographs list 651 entries; a change that loses some must say why.
    let right = settled().into_iter().filter(|e| e.page == truth(e)).count();
    assert!(right >= 550, "only {right} places are settled and right");
}

#[test]
fn hard_days_have_plans_that_nothing_beats() {
    let calendar = Calendar::shipped("general").unwrap();
    for date in ["2026-12-08", "2027-03-19", "2027-06-20"] {
        let day = calendar.day(date.parse().unwrap(), Language::En).unwrap();
        let service = order::service(&day, None, &Settings::default()).unwrap();
        let mut before = u64::MAX;
        for ribbons in [1, 2, 4, 6] {
            let plan = ribbon::plan(&service, book(), Some(ribbons), &Costs::default()).unwrap();
            // What keeping ribbons apart costs is not part of the optimum.
            let cost = plan.cost - plan.apart;
            assert_eq!(cost, plan.lower_bound, "{date} with {ribbons}");
            assert!(cost <= before, "{date}: {ribbons} ribbons cost more than fewer");
            assert!(plan.rules_of_thumb.iter().all(|rule| rule.cost >= cost), "{date}");
            before = cost;
        }
    }
}
