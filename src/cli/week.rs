//! `vitta week`: the Masses of a week, the ribbons moved between them, the sheet for the wall.

use super::args::{Common, Week as Typed};
use super::table::Table;
use super::{Mass, Outcome, date, lay, report};
use crate::Result;
use crate::calendar::{Calendar, EveningMass};
use crate::card::{self, Kind, WeekCard};
use crate::error::UsageFault;
use crate::format;
use crate::language::Language;
use crate::order;
use crate::ribbon::{self, LaidMass, Occasion, Week};
use crate::shelf::Parish;
use chrono::{Days, NaiveDate};
use icalendar::{Component, Event, EventLike};
use std::path::Path;

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let (first, evening) = match &command.date {
        Some(typed) => (date::parse(typed)?, command.evening),
        None => (date::saturday(), true),
    };
    let kind = command.card.as_deref().map(Kind::of).transpose()?;
    let (shelf, language) = (common.shelf()?, common.language.into());
    let parish = shelf.parish()?;
    let table = Table::open(&command.table, &shelf, &parish)?;
    let calendar = common.calendar(command.calendar.as_deref())?;
    let masses = masses(&calendar, &parish, (first, evening), command.days, language)?;
    let occasions: Vec<Occasion> = masses
        .iter()
        .map(|m| Occasion { date: m.date, evening: m.evening, service: &m.mass.service })
        .collect();
    let week = ribbon::plan_week(&occasions, &table.laid(), &parish.costs)?;
    let days: Vec<_> = masses.iter().map(|m| (&m.mass.day, &m.mass.service)).collect();
    let sheet = card::lay_out_week(&days, &week, language);
    if let (Some(kind), Some(file)) = (kind, &command.card) {
        format::write_bytes(&kind.week_bytes(&sheet)?, file)?;
        report::message(&format!("sheet written to {}", file.display()));
    }
    if common.json {
        report::result(&format::to_text(&week, Path::new("the result"))?);
    } else if command.ics {
        report::result(&ics(&week, &sheet, language));
    } else {
        report::result(&card::week_text(&sheet, report::terminal(common.color).width));
    }
    let look = week.masses.iter().any(|m| lay::must_look(&m.plan));
    Ok(if look { Outcome::Look } else { Outcome::Done })
}

/// A Mass of the week.
struct MassAt {
    date: NaiveDate,
    evening: bool,
    mass: Mass,
}

/// The Masses of `days` days: of each date those of the day, then that of the evening if the next day
/// begins on it. `first` may leave the first date's day out; the last date's evening then follows.
fn masses(
    calendar: &Calendar,
    parish: &Parish,
    (first, from_evening): (NaiveDate, bool),
    days: u16,
    language: Language,
) -> Result<Vec<MassAt>> {
    let mut masses: Vec<MassAt> = vec![];
    for ahead in 0..=u64::from(days) {
        let date = first + Days::new(ahead);
        let (begins, ends) = (ahead == 0, ahead == u64::from(days));
        if ends && !from_evening {
            break;
        }
        let of_the_evening = evening_mass(calendar, parish, date, language)?;
        if !(begins && from_evening) {
            for mass in of_the_day(calendar, parish, date, language)? {
                // On Holy Saturday there is no other Mass than that of the night.
                let same = |evening: &Mass| evening.service == mass.service;
                if !of_the_evening.as_ref().is_some_and(same) {
                    masses.push(MassAt { date, evening: false, mass });
                }
            }
        }
        let of_the_evening = of_the_evening.filter(|_| !ends);
        masses.extend(of_the_evening.map(|mass| MassAt { date, evening: true, mass }));
    }
    if masses.is_empty() { Err(UsageFault::NoMass.into()) } else { Ok(masses) }
}

/// The Masses of a date, all of them where the day has several, or the one settled for it.
fn of_the_day(
    calendar: &Calendar,
    parish: &Parish,
    date: NaiveDate,
    language: Language,
) -> Result<Vec<Mass>> {
    let settled = parish.settings.days.get(&date).is_some_and(|d| d.mass.is_some());
    let day = calendar.day(date, language)?;
    let kept = day.kept().map(|k| order::masses(&k.id)).transpose()?.unwrap_or_default();
    if settled || kept.len() < 2 {
        return Ok(vec![Mass::by(calendar, parish, date, None, language)?]);
    }
    let one =
        |id: &crate::place::Place| Mass::by(calendar, parish, date, Some(id.as_str()), language);
    kept.iter().map(one).collect()
}

/// The Mass of a date's evening if it is of the day that follows.
fn evening_mass(
    calendar: &Calendar,
    parish: &Parish,
    date: NaiveDate,
    language: Language,
) -> Result<Option<Mass>> {
    let evening = calendar.day(date, language)?.evening;
    let Some(EveningMass { celebration, of, vigil }) =
        evening.and_then(|e| e.masses.into_iter().next())
    else {
        return Ok(None);
    };
    if of == date {
        return Ok(None);
    }
    // What is settled for the next day holds on its evening, unless that has a Mass of its own.
    let settled = parish.settings.days.get(&of).is_some_and(|d| d.mass.is_some());
    let choice = vigil.or((!settled).then_some(celebration.id));
    let mass = Mass::by(calendar, parish, of, choice.as_ref().map(|c| c.as_str()), language)?;
    Ok(Some(mass))
}

/// An event for each Mass. The stamp is the day itself, so that the same week is the same file wherever
/// and whenever it is made.
fn ics(week: &Week, sheet: &WeekCard, language: Language) -> String {
    let mut file = icalendar::Calendar::new();
    file.name(&sheet.title);
    for (n, mass) in week.masses.iter().enumerate() {
        let stamp = mass.date.and_time(chrono::NaiveTime::MIN).and_utc();
        let summary = match (mass.evening, language) {
            (false, _) => mass.celebration.get(language).to_owned(),
            (true, Language::Es) => format!("{} (por la tarde)", mass.celebration.get(language)),
            (true, _) => format!("{} (evening)", mass.celebration.get(language)),
        };
        let event = Event::new()
            .uid(&format!("{}-{n}-mass@vitta", mass.date))
            .timestamp(stamp)
            .summary(&summary)
            .description(&ribbons(mass, sheet, language))
            .all_day(mass.date)
            .done();
        file.push(event);
    }
    file.to_string()
}

/// The ribbons of a Mass, a line each, those to be laid first.
fn ribbons(mass: &LaidMass, sheet: &WeekCard, language: Language) -> String {
    let line = |word: &str, r: &ribbon::Laid| {
        let doubt = if r.doubt { "?" } else { "" };
        let book = if sheet.book == r.book { String::new() } else { format!(" ({})", r.book) };
        format!("{word}: {}{book}, p. {}{doubt}, {}", r.ribbon, r.page, r.text.get(language))
    };
    let stay = mass.plan.ribbons.iter().filter(|r| !mass.moved.contains(r));
    let lay = mass.moved.iter().map(|r| line(&sheet.words.lay, r));
    let mut lines: Vec<String> = lay.chain(stay.map(|r| line(&sheet.words.stay, r))).collect();
    lines.push(sheet.caution.clone());
    lines.join("\n")
}
