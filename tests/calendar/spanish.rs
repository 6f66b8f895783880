//! A day speaks the reader's language in its own sentences too.

use super::general;
use chrono::{Datelike, NaiveDate};
use vitta::language::Language;

/// Words that every English sentence of the calendar has one of, and no Spanish one.
const ENGLISH: [&str; 12] = [
    " the ",
    "Kept",
    "Gives way",
    "Moved",
    "Norms",
    "(line",
    "Mass",
    "Vespers:",
    "week ",
    "may be",
    "permitted",
    "published",
];

#[test]
fn no_english_in_spanish_sentences() {
    let general = general();
    let first = NaiveDate::from_ymd_opt(2005, 1, 1).unwrap();
    for date in first.iter_days().take_while(|d| d.year() < 2036) {
        let day = general.day(date, Language::Es).unwrap();
        let evening = day.evening.as_ref().map(|e| &e.reason);
        for said in day.reasons.iter().chain(evening) {
            // A document keeps its own title.
            if said.contains("decisión publicada") {
                continue;
            }
            let english = ENGLISH.iter().find(|word| said.contains(**word));
            assert!(english.is_none(), "{date}: {said}");
        }
    }
}

#[test]
fn dates_are_written_in_spanish() {
    let joseph = NaiveDate::from_ymd_opt(2008, 3, 15).unwrap();
    let day = general().day(joseph, Language::Es).unwrap();
    assert!(
        day.reasons
            .iter()
            .any(|r| r.contains("se traslada aquí desde el miércoles 19 de marzo de 2008")),
        "{:#?}",
        day.reasons
    );
}
