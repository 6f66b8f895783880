//! Worked examples: what a day needs, by published norms and handbooks.

mod others;
mod prayers;
mod seasons;
mod solemnities;
mod usual;

use chrono::NaiveDate;
use vitta::calendar::Calendar;
use vitta::language::Language;
use vitta::order::{DayChoices, Service, Settings, service};
use vitta::place::Place;

/// One day, what it must need, and who says so.
pub struct Example {
    pub name: &'static str,
    pub date: &'static str,
    /// The Mass; empty for the first of the day.
    pub mass: &'static str,
    /// What the priest settled, for all days and for this one.
    pub settings: fn(&mut Settings, &mut DayChoices),
    /// A moment and its first place; `*place` is anywhere among its places, `!place` is not, `-` means
    /// that there is no such moment. `note`, `error` and `title-of-…` ask for words, with `!` for their absence.
    pub needs: &'static [(&'static str, &'static str)],
    pub source: &'static str,
}

pub fn as_usual(_: &mut Settings, _: &mut DayChoices) {}

pub fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

/// The priest took the prayers of `mass` on `date`.
pub fn remember(settings: &mut Settings, date: &str, mass: &str) {
    let choices = DayChoices { prayers: Some(place(mass)), ..DayChoices::default() };
    settings.days.insert(date.parse().unwrap(), choices);
}

fn make(example: &Example) -> Result<Service, String> {
    let date: NaiveDate = example.date.parse().unwrap();
    let day = Calendar::shipped("general").unwrap().day(date, Language::En).unwrap();
    let mut settings = Settings::default();
    let mut choices = DayChoices::default();
    (example.settings)(&mut settings, &mut choices);
    settings.days.insert(date, choices);
    service(&day, Place::new(example.mass).as_ref(), &settings).map_err(|e| e.to_string())
}

/// Why `service` does not agree with one expectation, if it does not.
fn miss(service: &Service, moment: &str, expected: &str) -> Option<String> {
    if moment == "note" {
        let (wanted, words) = expected.strip_prefix('!').map_or((true, expected), |w| (false, w));
        let said = service.notes.iter().any(|n| n.en.contains(words));
        return (said != wanted).then(|| format!("notes on \"{expected}\": {:#?}", service.notes));
    }
    if let Some(moment) = moment.strip_prefix("title-of-") {
        let title = service.needs.iter().find(|n| n.moment == moment).map(|n| n.title.en.as_str());
        let (wanted, words) = expected.strip_prefix('!').map_or((true, expected), |w| (false, w));
        let says = title.is_some_and(|t| t.contains(words));
        return (says != wanted).then(|| format!("{moment} is called {title:?}"));
    }
    let found = service.needs.iter().find(|n| n.moment == moment);
    let places: Vec<&str> =
        found.iter().flat_map(|n| &n.places).map(|c| c.place.as_str()).collect();
    let agrees = match expected.chars().next() {
        Some('-') => found.is_none(),
        Some('*') => places.contains(&&expected[1..]),
        Some('!') => !places.is_empty() && !places.contains(&&expected[1..]),
        _ => places.first() == Some(&expected),
    };
    (!agrees).then(|| format!("{moment}: expected {expected}, found {places:?}"))
}

fn misses(example: &Example) -> Vec<String> {
    let made = make(example);
    let refused = example.needs.iter().find(|(m, _)| *m == "error");
    match (made, refused) {
        (Err(said), Some((_, words))) if said.contains(words) => vec![],
        (Err(said), _) => vec![said],
        (Ok(_), Some((_, words))) => vec![format!("not refused, expected \"{words}\"")],
        (Ok(service), None) => {
            example.needs.iter().filter_map(|(m, e)| miss(&service, m, e)).collect()
        }
    }
}

#[test]
fn worked_examples_agree_with_their_sources() {
    let groups = [
        usual::EXAMPLES,
        prayers::EXAMPLES,
        seasons::EXAMPLES,
        solemnities::EXAMPLES,
        others::EXAMPLES,
    ];
    let mut wrong = Vec::new();
    for example in groups.into_iter().flatten() {
        for miss in misses(example) {
            wrong.push(format!("{} ({}): {miss}", example.name, example.source));
        }
    }
    assert!(wrong.is_empty(), "{} misses\n{}", wrong.len(), wrong.join("\n"));
}
