//! Tests of the stage `calendar`.

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

/// Universal Norms 60 and the Notification of 2006: seen in the calendars of Brisbane for 2008.
#[test]
fn joseph_in_holy_week_2008_goes_before_palm_sunday() {
    assert_eq!(kept(&general(), "2008-03-15"), "saints/03-19/joseph");
    assert_eq!(kept(&general(), "2008-03-31"), "saints/03-25/annunciation");
}
