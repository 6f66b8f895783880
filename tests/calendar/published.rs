//! Days as published calendars keep them: `fixtures/years`, each day with its source.

use super::fixture;
use serde::Deserialize;
use std::collections::HashMap;
use std::path::Path;
use vitta::calendar::{Calendar, Celebration, Day};
use vitta::language::Language;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Published {
    #[serde(rename = "source")]
    _source: vitta::format::Source,
    sources: Vec<String>,
    days: Vec<PublishedDay>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PublishedDay {
    date: chrono::NaiveDate,
    calendar: String,
    published: String,
    kept: String,
    #[serde(default)]
    evening: bool,
    rank: Option<String>,
    published_rank: Option<String>,
    colour: String,
    week: Option<u8>,
    psalter_week: Option<u8>,
    sunday_cycle: char,
    weekday_cycle: u8,
    #[serde(default)]
    options: Vec<String>,
    #[serde(default)]
    options_in_wales: Vec<String>,
    difference: Option<String>,
    status: String,
    source: usize,
}

/// The calendars asked for, each made once.
#[derive(Default)]
struct Calendars(HashMap<String, Calendar>);

impl Calendars {
    fn get(&mut self, name: &str) -> &Calendar {
        self.0.entry(name.to_owned()).or_insert_with(|| {
            let own = Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("fixtures/years/layers")
                .join(format!("{name}.json"));
            let made = if own.exists() { Calendar::read(&own) } else { Calendar::shipped(name) };
            made.unwrap_or_else(|e| panic!("{name}: {e}"))
        })
    }
}

fn differences(published: &PublishedDay, day: &Day) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut differ = |what: &str, expected: String, found: String| {
        if expected != found {
            wrong.push(format!("{what}: published {expected}, found {found}"));
        }
    };
    let celebration: &Celebration = match (&day.evening, published.evening) {
        (Some(evening), true) => &evening.masses[0].celebration,
        _ => &day.celebrations[0],
    };
    differ("kept", published.kept.clone(), celebration.id.to_string());
    if let Some(rank) = &published.rank {
        differ("rank", rank.clone(), celebration.rank.to_string());
    }
    differ("colour", published.colour.clone(), celebration.colour.to_string());
    differ("Sunday cycle", published.sunday_cycle.to_string(), day.sunday_cycle.to_string());
    differ("weekday cycle", published.weekday_cycle.to_string(), day.weekday_cycle.to_string());
    if let Some(week) = published.week {
        differ("week", week.to_string(), day.week.map_or("none".into(), |w| w.to_string()));
    }
    if let Some(week) = published.psalter_week {
        let found = day.psalter_week.map_or("none".into(), |w| w.to_string());
        differ("week of the psalter", week.to_string(), found);
    }
    wrong.extend(missing(&published.options, day));
    wrong
}

/// Published options that the day does not offer.
fn missing(options: &[String], day: &Day) -> Vec<String> {
    let offered = |id: &&String| day.celebrations.iter().any(|c| c.id.as_str() == id.as_str());
    options.iter().filter(|id| !offered(id)).map(|id| format!("{id} is not offered")).collect()
}

fn check(name: &str, at_least: usize) {
    let published: Published = serde_json::from_str(&fixture(name)).unwrap();
    assert!(published.days.len() >= at_least, "{name} has only {} days", published.days.len());
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for expected in &published.days {
        assert!(
            expected.published_rank.is_none() || expected.difference.is_some(),
            "{}: a difference from the source must be explained",
            expected.date
        );
        let day = calendars.get(&expected.calendar).day(expected.date, Language::En).unwrap();
        let mut found = differences(expected, &day);
        if !expected.options_in_wales.is_empty() {
            let in_wales = calendars.get("wales").day(expected.date, Language::En).unwrap();
            found.extend(missing(&expected.options_in_wales, &in_wales));
        }
        if !found.is_empty() {
            let source = &published.sources[expected.source];
            wrong.push(format!(
                "{} {} ({}, {}): {}\n    {source}",
                expected.date,
                expected.calendar,
                expected.published,
                expected.status,
                found.join("; ")
            ));
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// 158 days read in published calendars of 1985 to 2028, and 30 from memory, each with its source.
#[test]
fn days_are_kept_as_published() {
    check("published-days.json", 188);
}

/// Monthly Liturgical Calendar of the Bishops' Conference of England and Wales: September 2008,
/// August 2009, February 2023.
#[test]
fn whole_months_are_kept_as_in_england_and_wales() {
    check("england-and-wales-months.json", 80);
}
