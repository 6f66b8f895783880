//! `vitta day`: what is celebrated, why, and what the altar book must give.

use super::args::{Common, Day as Typed};
use super::{Outcome, date, mass_on, print_json, report};
use crate::Result;
use crate::calendar::Day;
use crate::card::{self, DayPage, Elsewhere};
use crate::language::Titles;
use crate::order::{self, Need, Service};
use crate::ribbon::{self, Plan, Stop};
use crate::shelf::Shelf;
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    day: &'a Day,
    needs: &'a [Need],
    /// The needs found in the book, where one was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    stops: Option<&'a [Stop]>,
    notes: &'a [Titles],
}

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let date = date::parse(&command.date)?;
    let shelf = common.shelf()?;
    let mut mass = mass_on(date, &command.asked(), common)?;
    if command.texts {
        mass.service.needs = order::beforehand(&mass.service)?;
    }
    let plan =
        command.book.as_deref().map(|book| pages(&mass.service, book, &shelf)).transpose()?;
    if common.json {
        let Service { needs, notes, .. } = &mass.service;
        let stops = plan.as_ref().map(|p| p.stops.as_slice());
        print_json(&Answer { day: &mass.day, needs, stops, notes })?;
    } else {
        let elsewhere = match &plan {
            Some(plan) => elsewhere(plan, &shelf)?,
            None => vec![],
        };
        let page = DayPage {
            day: &mass.day,
            service: &mass.service,
            in_book: plan.as_ref(),
            elsewhere: &elsewhere,
            beforehand: command.texts,
            in_full: command.all,
            evening: command.evening.then_some(date),
            language: common.language.into(),
        };
        report::result(&card::day_page(&page, report::terminal(common.color)));
    }
    let doubtful = plan.is_some_and(|p| !p.notices.is_empty());
    Ok(if doubtful { Outcome::Look } else { Outcome::Done })
}

/// The service looked up in a book; with one ribbon, as only the pages are wanted.
fn pages(service: &Service, book: &str, shelf: &Shelf) -> Result<Plan> {
    ribbon::plan(service, &shelf.open(book)?, Some(1), &shelf.parish()?.costs)
}

/// Other books of the shelf that have what this one has not.
fn elsewhere(plan: &Plan, shelf: &Shelf) -> Result<Vec<Elsewhere>> {
    let missing: Vec<&Stop> = plan.stops.iter().filter(|s| s.page.is_none()).collect();
    let mut found = vec![];
    if missing.is_empty() {
        return Ok(found);
    }
    for name in shelf.names()? {
        let book = shelf.open(&name)?;
        found.extend(missing.iter().filter_map(|stop| {
            let page = book.entry(&stop.place)?.page.clone()?;
            Some(Elsewhere { place: stop.place.clone(), book: book.name.clone(), page })
        }));
    }
    Ok(found)
}
