//! Worked examples: what a day needs, by published norms and handbooks.

use vitta::calendar::Calendar;
use vitta::language::Language;
use vitta::order::{DayChoices, Service, Settings, service};
use vitta::place::Place;

/// One day, what it must need, and who says so.
struct Example {
    name: &'static str,
    date: &'static str,
    /// The Mass, if not the first of the day.
    mass: &'static str,
    settings: fn(&mut Settings, &mut DayChoices),
    /// Moment and its first place; a place with a star may stand anywhere among the candidates, and
    /// `-` means that the moment is not there.
    needs: &'static [(&'static str, &'static str)],
    source: &'static str,
}

fn as_usual(_: &mut Settings, _: &mut DayChoices) {}

const EXAMPLES: &[Example] = &[Example {
    name: "ordinary Sunday",
    date: "2026-06-21",
    mass: "",
    settings: as_usual,
    needs: &[
        ("gloria", "order/introductory"),
        ("collect", "time/ordinary/week-12"),
        ("creed", "order/word"),
        ("preface", "order/preface/sundays-1"),
        ("preface", "*order/preface/sundays-8"),
        ("eucharistic-prayer", "order/prayer/3"),
        ("over-people", "-"),
    ],
    source: "GIRM 53, 68, 365c; Order of Mass 52–59 (facts of the trade: Sunday with EP III has four openings)",
}];

fn make(example: &Example) -> Result<Service, String> {
    let date = example.date.parse().map_err(|e| format!("{e}"))?;
    let calendar = Calendar::shipped("general").map_err(|e| e.to_string())?;
    let day = calendar.day(date, Language::En).map_err(|e| e.to_string())?;
    let mut settings = Settings::default();
    let mut choices = DayChoices::default();
    (example.settings)(&mut settings, &mut choices);
    settings.days.insert(date, choices);
    let mass = Place::new(example.mass);
    service(&day, mass.as_ref(), &settings).map_err(|e| e.to_string())
}

fn misses(service: &Service, needs: &[(&str, &str)]) -> Vec<String> {
    let mut misses = Vec::new();
    for (moment, expected) in needs {
        let found = service.needs.iter().find(|n| n.moment == *moment);
        let places: Vec<&str> =
            found.iter().flat_map(|n| &n.places).map(|c| c.place.as_str()).collect();
        let agrees = match expected.strip_prefix('*') {
            _ if *expected == "-" => found.is_none(),
            Some(anywhere) => places.contains(&anywhere),
            None => places.first() == Some(expected),
        };
        if !agrees {
            misses.push(format!("{moment}: expected {expected}, found {places:?}"));
        }
    }
    misses
}

#[test]
fn worked_examples_agree_with_their_sources() {
    let mut wrong = Vec::new();
    for example in EXAMPLES {
        let said = match make(example) {
            Ok(service) => misses(&service, example.needs),
            Err(error) => vec![error],
        };
        wrong.extend(said.iter().map(|m| format!("{} ({}): {m}", example.name, example.source)));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
