//! `vitta book next`: the pages whose look-up helps the coming Masses most.

use super::super::args::Common;
use super::super::{Outcome, date, print_json, report};
use super::args::Next;
use crate::Result;
use crate::shelf::wanted;

/// Runs the command.
pub fn run(command: &Next, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let book = shelf.open(&command.name)?;
    let (calendar, parish) = (shelf.calendar()?, shelf.parish()?);
    let today = date::parse("today")?;
    let wanted = wanted(&calendar, &parish, today, command.days)?;
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
