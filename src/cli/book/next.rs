//! `vitta book next`: the pages whose look-up helps the coming Masses most.

use super::super::args::Common;
use super::super::{Mass, Outcome, date, print_json, report};
use super::args::Next;
use crate::Result;
use crate::order::Service;
use crate::place::Place;
use chrono::Days;
use std::collections::HashMap;

/// Runs the command.
pub fn run(command: &Next, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let book = shelf.open(&command.name)?;
    let (calendar, parish) = (shelf.calendar()?, shelf.parish()?);
    let today = date::parse("today")?;
    let mut wanted: HashMap<Place, f64> = HashMap::new();
    for days in 0..u64::from(command.days) {
        let Some(date) = today.checked_add_days(Days::new(days)) else { break };
        let mass = Mass::by(&calendar, &parish, date, None, common.language.into())?;
        count(&mass.service, &mut wanted);
    }
    let wanted: Vec<(Place, f64)> = wanted.into_iter().collect();
    let looks = book.look_next(&wanted, command.most);
    if common.json {
        print_json(&looks)?;
        return Ok(Outcome::Done);
    }
    for look in &looks {
        report::result(&format!(
            "{:>6}  {}  {}  (clears {:.1} doubtful texts)\n",
            look.page, look.title, look.place, look.teaches
        ));
    }
    if looks.is_empty() {
        report::message("no page the coming Masses need is in doubt");
    }
    Ok(Outcome::Done)
}

/// A need's first place counts fully, the others it may be met from half as much each.
fn count(service: &Service, wanted: &mut HashMap<Place, f64>) {
    for need in &service.needs {
        for (rank, candidate) in need.places.iter().enumerate() {
            *wanted.entry(candidate.place.clone()).or_insert(0.0) += 0.5f64.powi(rank as i32);
        }
    }
}
