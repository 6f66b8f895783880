//! Tests of the stage `calendar`.

mod command;
mod easter;
mod layers;
mod ledger;
mod masses;
pub mod nations;
mod published;
mod spanish;
mod traps;
mod walk;

use vitta::calendar::{Calendar, Day};
use vitta::language::Language;

fn general() -> Calendar {
    Calendar::shipped("general").unwrap()
}

fn day(calendar: &Calendar, date: &str) -> Day {
    calendar.day(date.parse().unwrap(), Language::En).unwrap()
}

/// The id of what is kept on a date.
fn kept(calendar: &Calendar, date: &str) -> String {
    day(calendar, date).celebrations[0].id.to_string()
}

/// The ids of what may be celebrated on a date.
fn offered(calendar: &Calendar, date: &str) -> Vec<String> {
    day(calendar, date).celebrations.iter().map(|c| c.id.to_string()).collect()
}

/// A text from `fixtures/years`.
fn fixture(name: &str) -> String {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/years").join(name);
    std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()))
}
