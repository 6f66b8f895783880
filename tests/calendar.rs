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

#[test]
fn every_shipped_calendar_is_read_and_bears_its_own_name() {
    for name in vitta::calendar::names() {
        let calendar = Calendar::shipped(name).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(calendar.name(), name);
    }
}

/// Table of principal dates 2025–2028 and monthly calendars of the Liturgy Office of England and Wales.
#[test]
fn england_and_wales_bring_holy_days_from_saturday_and_monday_to_sunday() {
    let england = Calendar::shipped("england").unwrap();
    for (date, id) in [
        ("2025-11-02", "saints/11-01/all-saints"),
        ("2025-11-03", "saints/11-02/all-souls"),
        ("2026-08-16", "saints/08-15/assumption"),
        ("2015-06-28", "saints/06-29/peter-and-paul"),
        ("2024-01-07", "time/christmas/epiphany"),
        ("2024-01-08", "time/christmas/baptism"),
        ("2025-01-05", "time/christmas/epiphany"),
        ("2026-01-06", "time/christmas/epiphany"),
        ("2026-05-14", "time/easter/ascension"),
        ("2017-05-28", "time/easter/ascension"),
        ("2017-01-08", "time/christmas/epiphany"),
    ] {
        assert_eq!(kept(&england, date), id, "{date}");
    }
}
