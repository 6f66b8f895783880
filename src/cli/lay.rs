//! `vitta lay`: the ribbons of one Mass, and the card.

use super::args::{Common, Lay};
use super::{Mass, Outcome, date, print_json, report, write_card};
use crate::card::{Kind, Paper};
use crate::error::UsageFault;
use crate::ribbon::Plan;
use crate::{Result, card, ribbon};

/// Runs the command.
pub fn run(command: &Lay, common: &Common) -> Result<Outcome> {
    let date = date::parse(&command.date)?;
    if command.ribbons == Some(0) {
        return Err(UsageFault::NoRibbons.into());
    }
    // A card that cannot be written is refused before anything is computed.
    command.card.as_deref().map(Kind::of).transpose()?;
    let paper = command.paper.parse::<Paper>()?;
    let shelf = common.shelf()?;
    let book = shelf.open(&command.book)?;
    let mass = Mass::on(date, &command.asked(), common)?;
    let plan = ribbon::plan(&mass.service, &book, command.ribbons, &shelf.parish()?.costs)?;
    let card = card::lay_out(&mass.day, &mass.service, &plan, common.language.into());
    if let Some(file) = &command.card {
        write_card(&card, file, paper)?;
        report::message(&format!("card written to {}", file.display()));
    }
    if common.json {
        print_json(&plan)?;
    } else {
        report::result(&card::terminal::write(&card, report::terminal(common.color)));
    }
    Ok(if must_look(&plan) { Outcome::Look } else { Outcome::Done })
}

/// Whether a page is doubtful or a text is not in the book.
pub fn must_look(plan: &Plan) -> bool {
    !plan.notices.is_empty()
}
