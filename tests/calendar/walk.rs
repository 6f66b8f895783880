//! Every day from 1970 to 2100 of every shipped calendar.

use std::collections::{HashMap, HashSet};
use vitta::calendar::{Calendar, Celebration, Day, Season, YEARS};
use vitta::language::Language;
use vitta::place::Place;

fn days(calendar: &Calendar, year: i32) -> Vec<Day> {
    calendar.year(year).unwrap().days().map(|day| day.write(Language::En)).collect()
}

/// Seasons follow each other as the Universal Norms 17–44 order them.
fn may_follow(before: Season, after: Season) -> bool {
    use Season::*;
    before == after
        || matches!(
            (before, after),
            (Advent, Christmas)
                | (Christmas, Ordinary)
                | (Ordinary, Lent)
                | (Lent, Triduum)
                | (Triduum, Easter)
                | (Easter, Ordinary)
                | (Ordinary, Advent)
        )
}

/// Every sentence about something that gives way names its ground.
fn names_its_ground(reason: &str) -> bool {
    ["Norms", "Notification", "published decision", "bishops"].iter().any(|w| reason.contains(w))
}

fn check_day(day: &Day, wrong: &mut Vec<String>) {
    let ids: HashSet<&str> = day.celebrations.iter().map(|c| c.id.as_str()).collect();
    if day.celebrations.is_empty() || ids.len() != day.celebrations.len() {
        wrong.push(format!("{}: {:?}", day.date, day.celebrations));
    }
    for celebration in &day.celebrations {
        if Place::new(celebration.id.as_str()).is_none()
            || celebration.line == 0
            || celebration.line > 13
        {
            wrong.push(format!("{}: {celebration:?}", day.date));
        }
    }
    for displaced in &day.displaced {
        if !names_its_ground(&displaced.reason) {
            wrong.push(format!("{}: no ground: {}", day.date, displaced.reason));
        }
    }
}

/// Where a celebration turned up in a year.
#[derive(Default)]
struct Turned {
    kept: usize,
    seen: bool,
}

fn check_year(calendar: &Calendar, year: i32, days: &[Day], wrong: &mut Vec<String>) {
    let mut turned: HashMap<&str, Turned> = HashMap::new();
    let offered: HashMap<_, _> = days.iter().map(|d| (d.date, &d.celebrations)).collect();
    for day in days {
        check_day(day, wrong);
        turned.entry(day.celebrations[0].id.as_str()).or_default().kept += 1;
        for celebration in
            day.celebrations.iter().chain(day.displaced.iter().map(|d| &d.celebration))
        {
            turned.entry(celebration.id.as_str()).or_default().seen = true;
        }
        for displaced in &day.displaced {
            let lands =
                |on: &Vec<_>| on.iter().any(|c: &Celebration| c.id == displaced.celebration.id);
            let landed = displaced.moved_to.map(|to| offered.get(&to).is_some_and(|on| lands(on)));
            if landed == Some(false) {
                wrong.push(format!("{}: {} does not land", day.date, displaced.celebration.id));
            }
        }
    }
    for id in calendar.celebrations_in(year) {
        if !turned.get(id.as_str()).is_some_and(|t| t.seen) {
            wrong.push(format!("{year}: {id} is lost without a word"));
        }
    }
    for (id, turned) in turned {
        if turned.kept > 1 && !id.starts_with("time/christmas/weekday/") {
            wrong.push(format!("{year}: {id} is kept {} times", turned.kept));
        }
    }
}

fn walk(name: &str, years: impl Iterator<Item = i32>) -> Vec<String> {
    let calendar = Calendar::shipped(name).unwrap();
    let mut wrong = Vec::new();
    let mut before: Option<Day> = None;
    for year in years {
        let days = days(&calendar, year);
        for (before, after) in
            before.iter().chain(&days).zip(&days[usize::from(before.is_none())..])
        {
            if before.date.succ_opt() != Some(after.date)
                || !may_follow(before.season, after.season)
            {
                wrong.push(format!("{}: {} after {}", after.date, after.season, before.season));
            }
        }
        check_year(&calendar, year, &days, &mut wrong);
        before = days.into_iter().last();
    }
    wrong.iter().map(|w| format!("{name}: {w}")).take(5).collect()
}

#[test]
fn every_day_of_every_shipped_calendar_is_whole() {
    let wrong: Vec<String> = vitta::calendar::names().flat_map(|name| walk(name, YEARS)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Weeks of Ordinary Time count on without a gap, but for the one left out at Pentecost; 34 weeks
/// exactly when 1 January is a Sunday or Monday, or a Saturday in a leap year (computed; a check of
/// the rule against itself from two ends).
#[test]
fn a_year_has_34_weeks_or_leaves_one_out() {
    use chrono::{Datelike, Weekday};
    let calendar = super::general();
    for year in YEARS {
        let new_year = chrono::NaiveDate::from_ymd_opt(year, 1, 1).unwrap();
        let leap = new_year.leap_year();
        let whole = match new_year.weekday() {
            Weekday::Sun | Weekday::Mon => true,
            Weekday::Sat => leap,
            _ => false,
        };
        let weeks: HashSet<u8> = calendar
            .year(year)
            .unwrap()
            .days()
            .map(|day| day.write(Language::En))
            .filter(|day| day.season == Season::Ordinary)
            .filter_map(|day| day.week)
            .collect();
        assert_eq!(weeks.len(), if whole { 34 } else { 33 }, "{year}");
    }
}
