//! `vitta lay`: the ribbons of one Mass, the card, and the page for the server.

use super::args::{Common, Lay};
use super::table::Table;
use super::{Outcome, date, mass_on, print_json, report, write_card};
use crate::card::{Card, Kind, Paper};
use crate::ribbon::{OnTable, Plan};
use crate::{Result, card, ribbon};

/// Runs the command.
pub fn run(command: &Lay, common: &Common) -> Result<Outcome> {
    let date = date::parse(&command.date)?;
    // A card that cannot be written is refused before anything is computed.
    for file in command.card.iter().chain(&command.server) {
        Kind::of(file)?;
    }
    let paper = command.paper.parse::<Paper>()?;
    let (shelf, language) = (common.shelf()?, common.language.into());
    let parish = shelf.parish()?;
    let table = Table::open(&command.table, &command.bound, &shelf, &parish)?;
    let beside = command.beside.as_ref().map(|name| shelf.open(name)).transpose()?;
    let mass = mass_on(date, &command.asked(), common)?;
    let mut plans = vec![ribbon::plan_table(&mass.service, &table.laid(), &parish.costs)?];
    if let Some(book) = &beside {
        let same = ribbon::as_planned(&mass.service, &plans[0], book);
        let table = [OnTable { book, ribbons: book.usable_ribbons(), stands: &[] }];
        plans.push(ribbon::plan_table(&same, &table, &parish.costs)?);
    }
    // Tonight's card bears tonight's date, though the Mass is tomorrow's.
    let dated = |card: Card| if command.evening { card.on_the_evening_of(date) } else { card };
    let lay_out = |plan| dated(card::lay_out(&mass.day, &mass.service, plan, language));
    let card = plans.iter().map(lay_out).reduce(|card, other| card.beside(other));
    let Some(card) = card else { return Ok(Outcome::Done) };
    if let Some(file) = &command.card {
        write_card(&card, file, paper)?;
        report::message(&format!("card written to {}", file.display()));
    }
    if let Some(file) = &command.server {
        let page = dated(card::lay_out_server(&mass.day, &mass.service, &plans[0], language));
        write_card(&page, file, paper)?;
        report::message(&format!("the server's page written to {}", file.display()));
    }
    if common.json {
        match plans.as_slice() {
            [plan] => print_json(plan)?,
            plans => print_json(&plans)?,
        }
    } else {
        report::result(&card::terminal::write(&card, report::terminal(common.color)));
    }
    Ok(if plans.iter().any(must_look) { Outcome::Look } else { Outcome::Done })
}

/// Whether a page is doubtful or a text is not in the book.
pub fn must_look(plan: &Plan) -> bool {
    !plan.notices.is_empty()
}
