//! `vitta parish`: what the parish has settled, and the priest's own costs by the clock.

use super::args::{Common, Parish as Typed, ParishAction, ParishSet};
use super::{Outcome, bind, print_json, report};
use crate::Result;
use crate::error::UsageFault;
use crate::order::{self, Kind};
use crate::ribbon::calibrate::{TASKS, Task, Trial, fit};
use crate::ribbon::costs::Costs;
use crate::shelf::{Parish, Shelf};
use std::fmt::Write;
use std::io::BufRead;
use std::time::Instant;

/// Runs the command.
pub fn run(command: &Typed, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let parish = match &command.action {
        ParishAction::Show => shelf.parish()?,
        ParishAction::Set(typed) => change(&shelf, |parish| set(typed, parish, &shelf))?,
        ParishAction::Calibrate => {
            let trials = timed(&mut std::io::stdin().lock())?;
            change(&shelf, |parish| {
                parish.costs = fit(&trials, &parish.costs)?;
                Ok(())
            })?
        }
    };
    if common.json {
        print_json(&parish)?;
    } else {
        report::result(&told(&parish));
    }
    Ok(Outcome::Done)
}

fn change(shelf: &Shelf, change: impl FnMut(&mut Parish) -> Result<()>) -> Result<Parish> {
    let (parish, ()) = shelf.change_parish(change)?;
    report::message(&format!("written to {}", shelf.parish_file().display()));
    Ok(parish)
}

/// Changes what was typed; refused as a whole if any of it cannot be.
fn set(typed: &ParishSet, parish: &mut Parish, shelf: &Shelf) -> Result<()> {
    if let Some(name) = &typed.name {
        parish.name.clone_from(name);
    }
    if let Some(calendar) = &typed.calendar {
        shelf.calendar_called(calendar)?;
        parish.calendar.clone_from(calendar);
    }
    if let Some(book) = &typed.chair_book {
        shelf.open(book)?;
        parish.settings.chair_book = Some(book.clone());
    }
    let Parish { settings, costs, .. } = parish;
    for text in &typed.by_heart {
        move_to(&bind::text(text)?, &mut settings.by_heart, &mut settings.from_the_book);
    }
    for text in &typed.from_the_book {
        move_to(&bind::text(text)?, &mut settings.from_the_book, &mut settings.by_heart);
    }
    for (typed, list) in
        [(&typed.on_sheet, &mut settings.on_sheet), (&typed.no_ribbon, &mut settings.no_ribbon)]
    {
        for typed in typed {
            let text = bind::text(typed)?;
            move_to(&text, list, &mut vec![]);
        }
    }
    for typed in &typed.unbound {
        let text = bind::text(typed)?;
        settings.on_sheet.retain(|t| *t != text);
        settings.no_ribbon.retain(|t| *t != text);
    }
    typed.cost.iter().try_for_each(|typed| set_cost(typed, costs))
}

fn move_to(text: &str, to: &mut Vec<String>, from: &mut Vec<String>) {
    from.retain(|t| t != text);
    if !to.iter().any(|t| t == text) {
        to.push(text.to_owned());
    }
}

/// `pull=180`.
fn set_cost(typed: &str, costs: &mut Costs) -> Result<()> {
    let no_cost = || UsageFault::NoCost(typed.to_owned());
    let (name, value) = typed.split_once('=').ok_or_else(no_cost)?;
    let value: u32 = value.parse().map_err(|_| no_cost())?;
    let cost = match name {
        "leaf" => &mut costs.leaf,
        "bundle" => &mut costs.bundle,
        "leaf-in-bundle" => &mut costs.leaf_in_bundle,
        "search" => &mut costs.search,
        "pull" => &mut costs.pull,
        "tab" => &mut costs.tab,
        "other-text" => &mut costs.other_text,
        "relay" => &mut costs.relay,
        _ => return Err(no_cost().into()),
    };
    *cost = value;
    Ok(())
}

/// Asks for each task and times it: Enter starts the clock, Enter stops it.
fn timed(input: &mut impl BufRead) -> Result<Vec<Trial>> {
    report::message_plain(
        "Take the altar book and turn its pages as you do at Mass, without haste.\n\
         Each time: read what to do, press Enter to start, do it, press Enter.",
    );
    let mut trials = vec![];
    for (n, &task) in TASKS.iter().enumerate() {
        report::message_plain(&format!("{} of {}. {}", n + 1, TASKS.len(), asked(task)));
        enter(input)?;
        let start = Instant::now();
        enter(input)?;
        let millis = u32::try_from(start.elapsed().as_millis()).unwrap_or(u32::MAX);
        trials.push(Trial { task, millis });
    }
    Ok(trials)
}

fn enter(input: &mut impl BufRead) -> Result<()> {
    let mut line = String::new();
    match input.read_line(&mut line) {
        Ok(n) if n > 0 => Ok(()),
        _ => Err(UsageFault::NoMoreEnter.into()),
    }
}

fn asked(task: Task) -> String {
    match task {
        Task::Nothing => "Only press Enter and Enter again.".into(),
        Task::Leaves(n) => format!("Turn {n} leaves one by one."),
        Task::Bundle(n) => {
            format!("Go {} pages on at once, and to the very page ({n} leaves).", 2 * n)
        }
        Task::Ribbon => "Close the book. Open it at a ribbon.".into(),
        Task::Search => {
            "Close the book and think of a page number. Find that page, without a ribbon.".into()
        }
    }
}

/// The parish on a few lines.
fn told(parish: &Parish) -> String {
    let (s, c) = (&parish.settings, &parish.costs);
    let named_or = |texts: &[String], none: &str| match texts {
        [] => none.to_owned(),
        texts => texts.iter().map(|t| titled(t)).collect::<Vec<_>>().join(", "),
    };
    let mut text = String::new();
    let lines = [
        ("name", parish.name.clone()),
        ("calendar", format!("{}{}", parish.calendar, partial(&parish.calendar))),
        ("chair book", s.chair_book.clone().unwrap_or_else(|| "none".into())),
        ("by heart", named_or(&s.by_heart, "as usual")),
        ("from the book", named_or(&s.from_the_book, "as usual")),
        ("on a sheet", named_or(&s.on_sheet, "none")),
        ("without a ribbon", named_or(&s.no_ribbon, "none")),
        ("prayer on Sundays", titled(s.sunday_prayer.as_str())),
        ("prayer on weekdays", titled(s.weekday_prayer.as_str())),
        ("settled dates", s.days.len().to_string()),
    ];
    for (what, value) in lines {
        let _ = writeln!(text, "{what:<20} {value}");
    }
    let _ = writeln!(text, "\ncosts, in hundredths of one leaf turned while nobody waits:");
    for (what, value) in [
        ("leaf", c.leaf),
        ("bundle", c.bundle),
        ("leaf-in-bundle", c.leaf_in_bundle),
        ("pull", c.pull),
        ("tab", c.tab),
        ("search", c.search),
        ("other-text", c.other_text),
        ("relay", c.relay),
    ] {
        let _ = writeln!(text, "{what:<20} {value:>6}");
    }
    text
}

/// The title of a moment or text; as it is where none goes by that name.
fn titled(name: &str) -> String {
    let named = |kind| order::texts(kind).unwrap_or_default();
    let all = named(Kind::Moment).into_iter().chain(named(Kind::Heading));
    let title = all.into_iter().find(|n| n.place.as_str() == name).map(|n| n.title.en);
    title.unwrap_or_else(|| name.to_owned())
}

/// What is to be said of a shipped calendar whose table is not complete.
fn partial(calendar: &str) -> &'static str {
    match crate::calendar::layer(calendar) {
        Ok(layer) if layer.partial => " (partial: check your directory)",
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn enter_is_pressed_twice_for_each_task() {
        let trials = timed(&mut "\n\n".repeat(TASKS.len()).as_bytes()).unwrap();
        assert_eq!(trials.len(), TASKS.len());
        let few = "\n".repeat(2 * TASKS.len() - 1);
        assert!(timed(&mut few.as_bytes()).is_err());
    }

    #[test]
    fn costs_are_set_by_name() {
        let mut costs = Costs::default();
        set_cost("pull=180", &mut costs).unwrap();
        assert_eq!(costs, Costs { pull: 180, ..Costs::default() });
        for typed in ["pull", "pull=fast", "walk=3", "=3"] {
            assert!(set_cost(typed, &mut costs).is_err(), "{typed}");
        }
    }
}
