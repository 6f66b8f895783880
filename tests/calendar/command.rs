//! `vitta year` and the calendar's part of `vitta day`, as another program sees them.

use serde::Deserialize;
use std::process::{Command, Output};

fn vitta(arguments: &[&str]) -> Output {
    let shelf = tempfile::tempdir().unwrap();
    Command::new(env!("CARGO_BIN_EXE_vitta"))
        .args(arguments)
        .env("VITTA_SHELF", shelf.path().join("shelf"))
        .output()
        .unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = vitta(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Year {
    days: Vec<Day>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)]
struct Day {
    date: String,
    season: String,
    week: Option<u8>,
    sunday_cycle: String,
    weekday_cycle: u8,
    celebrations: Vec<Celebration>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Celebration {
    id: String,
    title: String,
    rank: String,
    line: u8,
    colour: String,
}

#[test]
fn the_year_as_json_has_just_these_fields() {
    let text = printed(&["year", "2028", "--calendar", "general", "--json"]);
    let year: Year = serde_json::from_str(&text).unwrap();
    assert_eq!(year.days.len(), 366);
    let day = year.days.iter().find(|d| d.date == "2028-03-20").unwrap();
    let joseph = &day.celebrations[0];
    assert_eq!(
        (joseph.id.as_str(), joseph.rank.as_str(), joseph.line, joseph.colour.as_str()),
        ("saints/03-19/joseph", "solemnity", 3, "white")
    );
    assert_eq!(joseph.title, "Saint Joseph, Spouse of the Blessed Virgin Mary");
    assert_eq!((day.season.as_str(), day.week, day.sunday_cycle.as_str()), ("lent", Some(3), "C"));
}

#[test]
fn the_year_as_table_csv_and_calendar_file() {
    let table = printed(&["year", "2026", "--calendar", "england", "--language", "es"]);
    assert!(table.contains("La Asunción de la Bienaventurada Virgen María (solemnity)"));
    let csv = printed(&["year", "2026", "--calendar", "england", "--csv"]);
    assert!(csv.starts_with("date,season,week,"));
    assert!(csv.contains("2026-08-16,ordinary,20,A,2,1,saints/08-15/assumption,"), "{csv}");
    let ics = printed(&["year", "2026", "--calendar", "england", "--ics"]);
    assert_eq!(ics.matches("BEGIN:VEVENT").count(), 365);
}

#[test]
fn a_year_outside_and_an_unknown_calendar_are_refused() {
    for (arguments, words) in [
        (["year", "1582", "--calendar", "general"], "from 1970 to 2100"),
        (["year", "2026", "--calendar", "atlantis"], "no calendar \"atlantis\""),
    ] {
        let output = vitta(&arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(words) && said.contains("hint: "), "{said}");
        assert!(output.stdout.is_empty());
    }
}

/// Two ways of printing at once are a mistake in typing.
#[test]
fn one_form_at_a_time() {
    assert_eq!(vitta(&["year", "2026", "--csv", "--json"]).status.code(), Some(2));
}

#[test]
fn the_evening_gives_the_mass_that_begins_on_it() {
    for (date, id) in [
        ("2026-07-11", "time/ordinary/week-15/sunday"),
        ("2026-04-04", "time/easter/sunday"),
        ("2026-06-23", "saints/06-24/nativity-of-john-the-baptist"),
        ("2026-12-24", "time/christmas/nativity"),
        ("2026-05-23", "time/easter/pentecost"),
        ("2023-12-24", "time/christmas/nativity"),
        ("2026-02-10", "saints/02-10/scholastica"),
    ] {
        let text = printed(&["day", date, "--evening", "--calendar", "general", "--json"]);
        let answer: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(answer["celebrations"][0]["id"], id, "{date}");
        assert!(answer["needs"].as_array().is_some_and(|needs| !needs.is_empty()), "{date}");
    }
}
