//! `vitta book marks`: the ribbons, tabs and laid-in sheets of each copy.

use super::super::args::Common;
use super::super::{Outcome, bind, print_json, report};
use super::args::Marks;
use super::place;
use crate::Result;
use crate::book::{Copy, Label, Ribbon, Sticker, Tab};
use crate::error::UsageFault;
use crate::order;
use crate::place::Place;
use crate::shelf::now;

/// Runs the command.
pub fn run(command: &Marks, common: &Common) -> Result<Outcome> {
    let copy = command.copy.as_deref();
    let (_, marks) = common.shelf()?.change(&command.name, |book| {
        let mut marks = book.marks(copy);
        change(&mut marks, command)?;
        book.mark(copy, marks.clone(), &now());
        Ok(marks)
    })?;
    if common.json {
        print_json(&marks)?;
    } else {
        report::result(&lines(&marks));
    }
    Ok(Outcome::Done)
}

fn change(marks: &mut Copy, command: &Marks) -> Result<()> {
    if let Some(colours) = &command.ribbons {
        marks.ribbons = Ribbon::renamed(colours.iter().map(String::as_str), &marks.ribbons);
    }
    for typed in &command.torn {
        bind::one(typed, &mut marks.ribbons)?.torn = true;
    }
    for typed in &command.keep {
        let (ribbon, section) = bind::kept(typed)?;
        bind::one(&ribbon, &mut marks.ribbons)?.stays = Some(section);
    }
    for typed in &command.free {
        let ribbon = bind::one(typed, &mut marks.ribbons)?;
        (ribbon.torn, ribbon.stays) = (false, None);
    }
    for typed in &command.tab {
        let (page, title) = divided(typed)?;
        marks.tabs.push(Tab { title, page });
    }
    for typed in &command.sheet {
        let (page, path) = divided(typed)?;
        marks.stickers.push(Sticker { page, place: place(&path)? });
    }
    Ok(())
}

/// "531=Prefaces" as page and the rest.
fn divided(typed: &str) -> Result<(String, String)> {
    let parts = typed.split_once('=');
    let good =
        parts.and_then(|(page, rest)| Some((Label::parse(page)?.to_string(), rest.to_owned())));
    Ok(good.ok_or_else(|| UsageFault::NoMark(typed.to_owned()))?)
}

/// "green (stays in The Order of Mass)", "gold (torn)".
fn described(ribbon: &Ribbon) -> String {
    let title = |p: &Place| order::title_of(p).ok().flatten().map_or(p.to_string(), |t| t.en);
    match (ribbon.torn, &ribbon.stays) {
        (true, _) => format!("{} (torn)", ribbon.colour),
        (_, Some(section)) => format!("{} (stays in {})", ribbon.colour, title(section)),
        _ => ribbon.colour.clone(),
    }
}

fn lines(marks: &Copy) -> String {
    let colours: Vec<String> = marks.ribbons.iter().map(described).collect();
    let mut text = format!("ribbons: {}\n", colours.join(", "));
    for tab in &marks.tabs {
        text.push_str(&format!("tab at {}: {}\n", tab.page, tab.title));
    }
    for sheet in &marks.stickers {
        text.push_str(&format!("sheet {}: {}\n", sheet.page, sheet.place));
    }
    text
}
