//! `vitta day`: what is celebrated, why, and what the altar book must give.

use super::args::{Common, Day as Typed};
use super::{Mass, Outcome, date, print_json, report};
use crate::calendar::Day;
use crate::order::{self, Need, Service};
use crate::{Result, card};
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    day: &'a Day,
    needs: &'a [Need],
    notes: &'a [String],
}

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let date = date::parse(&command.date)?;
    let mut mass = Mass::on(date, &command.asked(), common)?;
    if command.texts {
        mass.service.needs = order::beforehand(&mass.service)?;
    }
    if common.json {
        let Service { needs, notes, .. } = &mass.service;
        print_json(&Answer { day: &mass.day, needs, notes })?;
    } else {
        report::result(&card::day_page(&mass.day, &mass.service, common.language.into()));
    }
    Ok(Outcome::Done)
}
