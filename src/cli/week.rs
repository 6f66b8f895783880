//! `vitta week`: the Masses of a week, the ribbons moved between them, the sheet for the wall.

use super::args::{Common, Week as Typed};
use super::table::Table;
use super::{Outcome, date, lay, report};
use crate::Result;
use crate::book::PageState;
use crate::card::{self, Kind, WeekCard};
use crate::format;
use crate::language::Language;
use crate::ribbon::{self, LaidMass, Occasion, Week};
use crate::shelf::{MassAt, masses};
use std::path::Path;

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let (first, evening) = match &command.date {
        Some(typed) => (date::parse(typed)?, command.evening),
        None => (date::saturday(), true),
    };
    let kind = command.card.as_deref().map(Kind::of).transpose()?;
    let (shelf, language) = (common.shelf()?, common.language.into());
    let mut parish = shelf.parish()?;
    command.bound.settle(&mut parish.settings)?;
    let table = Table::open(&command.table, &command.bound, &shelf, &parish)?;
    let calendar = common.calendar(command.calendar.as_deref())?;
    let masses = masses(&calendar, &parish, (first, evening), command.days, language)?;
    let occasions: Vec<Occasion> = masses.iter().map(MassAt::occasion).collect();
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
        report::result(&ics(&week, &masses, &sheet, language));
    } else {
        report::result(&card::week_text(&sheet, report::terminal(common.color).width));
    }
    let look = week.masses.iter().any(|m| lay::must_look(&m.plan));
    Ok(if look { Outcome::Look } else { Outcome::Done })
}

/// An event for each Mass.
fn ics(week: &Week, masses: &[MassAt], sheet: &WeekCard, language: Language) -> String {
    let mut file = icalendar::Calendar::new();
    file.name(&sheet.title);
    for (laid, mass) in week.masses.iter().zip(masses) {
        let title = laid.celebration.get(language);
        let (summary, when) = match laid.evening {
            false => (title.to_owned(), "day"),
            true => {
                (format!("{title} ({})", language.either("evening", "por la tarde")), "evening")
            }
        };
        let id = format!("{when}-{}", mass.mass.service.mass);
        file.push(super::ics::event(laid.date, &id, &summary, &ribbons(laid, sheet, language)));
    }
    super::ics::written(&file)
}

/// The ribbons of a Mass, a line each, those to be laid first.
fn ribbons(mass: &LaidMass, sheet: &WeekCard, language: Language) -> String {
    let line = |word: &str, r: &ribbon::Laid| {
        let doubt = if r.doubt && r.state != PageState::Reckoned { "?" } else { "" };
        let book = if sheet.book == r.book { String::new() } else { format!(" ({})", r.book) };
        let name = card::ribbon_name(&r.ribbon, language);
        format!("{word}: {name}{book}, p. {}{doubt}, {}", r.page, r.text.get(language))
    };
    let stay = mass.plan.ribbons.iter().filter(|r| !mass.moved.contains(r));
    let lay = mass.moved.iter().map(|r| line(&sheet.words.lay, r));
    let mut lines: Vec<String> = lay.chain(stay.map(|r| line(&sheet.words.stay, r))).collect();
    lines.push(sheet.caution.clone());
    lines.join("\n")
}
