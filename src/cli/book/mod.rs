//! `vitta book`: the page maps on the shelf, looked at and corrected.

pub mod args;
mod marks;
mod next;
mod show;

use super::args::Common;
use super::{Outcome, named, print_json, report};
use crate::Result;
use crate::book::{Book, State, Step, carry_marks, concordance};
use crate::error::{BookFault, FileFault};
use crate::format;
use crate::order;
use crate::place::Place;
use crate::shelf::now;
use args::{
    Action, Again, Compare, Confirm, Export, Import, List, Redo, Remove, Rename, Set, Undo,
};
use serde::Serialize;

/// Runs the command.
pub fn run(command: &args::Book, common: &Common) -> Result<Outcome> {
    match &command.action {
        Action::List(command) => list(command, common),
        Action::Show(command) => show::run(command, common),
        Action::Set(command) => set(command, common),
        Action::Confirm(command) => confirm(command, common),
        Action::Next(command) => next::run(command, common),
        Action::Remove(command) => remove(command, common),
        Action::Again(command) => again(command, common),
        Action::Rename(command) => rename(command, common),
        Action::Away(command) => {
            common.shelf()?.put_away(&command.name)?;
            report::message(&format!("put away; back again: vitta book back {}", command.name));
            Ok(Outcome::Done)
        }
        Action::Back(command) => {
            common.shelf()?.bring_back(&command.name)?;
            report::message(&format!("{} is on the shelf again", command.name));
            Ok(Outcome::Done)
        }
        Action::Undo(command) => undo(command, common),
        Action::Redo(command) => redo(command, common),
        Action::Export(command) => export(command, common),
        Action::Import(command) => import(command, common),
        Action::Compare(command) => compare(command, common),
        Action::Marks(command) => marks::run(command, common),
    }
}

/// A place as typed: its id, or the title of a text of the missal.
fn place(typed: &str) -> Result<Place> {
    let titled =
        || named::one_of(typed, "text of the missal", &order::texts(order::Kind::Heading)?);
    Place::new(typed).map_or_else(titled, Ok)
}

#[derive(Serialize)]
struct Listed {
    name: String,
    outline: Option<String>,
    places: usize,
    doubtful: usize,
    ribbons: usize,
}

fn list(command: &List, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    if command.away {
        let away = shelf.away()?;
        match common.json {
            true => print_json(&away)?,
            false => away.iter().for_each(|name| report::result(&format!("{name}\n"))),
        }
        return Ok(Outcome::Done);
    }
    let mut listed = Vec::new();
    for name in shelf.names()? {
        let book = shelf.open(&name)?;
        listed.push(Listed {
            places: book.entries.iter().filter(|e| e.state != State::Absent).count(),
            doubtful: book.doubtful(),
            ribbons: book.ribbons.len(),
            outline: book.outline.clone(),
            name,
        });
    }
    if common.json {
        print_json(&listed)?;
        return Ok(Outcome::Done);
    }
    for book in &listed {
        let kind = book.outline.as_deref().unwrap_or("no outline");
        report::result(&format!(
            "{}  {kind}, {} places, {} to look at, {} ribbons\n",
            book.name, book.places, book.doubtful, book.ribbons
        ));
    }
    if listed.is_empty() {
        report::message("the shelf is empty; `vitta read PHOTO… --book NAME` begins a book");
    }
    Ok(Outcome::Done)
}

fn set(command: &Set, common: &Common) -> Result<Outcome> {
    let place = place(&command.place)?;
    change(&command.name, std::slice::from_ref(&place), common, |book| match &command.page {
        Some(page) => {
            if !command.sure {
                book.in_order(&place, page)?;
            }
            book.confirm(&place, page, &now())
        }
        None if command.absent => book.mark_absent(&place, &now()),
        None => book.take_back(&place, &now()),
    })
}

fn confirm(command: &Confirm, common: &Common) -> Result<Outcome> {
    let places: Vec<Place> = command.places.iter().map(|p| place(p)).collect::<Result<_>>()?;
    change(&command.name, &places, common, |book| {
        places.iter().try_for_each(|place| book.confirm_as_is(place, &now()))
    })
}

/// Changes a book on the shelf, puts it back whole, and shows the places.
fn change(
    name: &str,
    places: &[Place],
    common: &Common,
    with: impl FnMut(&mut Book) -> Result<()>,
) -> Result<Outcome> {
    let (book, ()) = common.shelf()?.change(name, with)?;
    let entries: Vec<_> = places.iter().filter_map(|p| book.entry(p)).collect();
    if common.json {
        print_json(&entries)?;
    } else {
        entries.iter().for_each(|e| report::result(&show::line(e)));
        report::message(&format!("{} places are left to look at", book.doubtful()));
    }
    Ok(Outcome::Done)
}

fn remove(command: &Remove, common: &Common) -> Result<Outcome> {
    let photo = &command.photo;
    let (book, ()) = common.shelf()?.change(&command.name, |book| {
        let removed = book.remove_photo(photo, &now());
        let unknown = || BookFault::UnknownPhoto { photo: photo.clone(), known: book.photos() };
        if removed { Ok(()) } else { Err(unknown().into()) }
    })?;
    report::message(&format!(
        "{photo} is taken away; {} places are left to look at",
        book.doubtful()
    ));
    Ok(Outcome::Done)
}

fn again(command: &Again, common: &Common) -> Result<Outcome> {
    let (shelf, photo) = (common.shelf()?, &command.photo);
    let book = shelf.open(&command.name)?;
    if !book.photos().contains(photo) {
        return Err(BookFault::UnknownPhoto { photo: photo.clone(), known: book.photos() }.into());
    }
    let reading = [shelf.read_again(&book.name, photo)?];
    let (book, ()) = shelf.change(&command.name, |book| {
        book.read(&reading, &now());
        Ok(())
    })?;
    report::message(&format!(
        "{photo} is read again; {} places are left to look at",
        book.doubtful()
    ));
    Ok(if book.doubtful() > 0 { Outcome::Look } else { Outcome::Done })
}

fn rename(command: &Rename, common: &Common) -> Result<Outcome> {
    let book = common.shelf()?.rename(&command.name, &command.to)?;
    report::message(&format!("the book is called {} now", book.name));
    Ok(Outcome::Done)
}

fn undo(command: &Undo, common: &Common) -> Result<Outcome> {
    let undone = steps(&command.name, command.steps, common, |book| {
        if let Some(photographs) = book.undoable().and_then(Step::reading)
            && !command.reading
        {
            return Err(BookFault::WholeReading { photographs }.into());
        }
        Ok(book.undo())
    })?;
    told(&undone, "undo", "undone", common)
}

fn redo(command: &Redo, common: &Common) -> Result<Outcome> {
    let done = steps(&command.name, command.steps, common, |book| Ok(book.redo()))?;
    told(&done, "do again", "done again", common)
}

/// Goes so many steps back or forth in a book, all of them or none.
fn steps(
    name: &str,
    most: usize,
    common: &Common,
    step: impl Fn(&mut Book) -> Result<Option<Step>>,
) -> Result<Vec<Step>> {
    let shelf = common.shelf()?;
    let mut seen = None;
    let (_, gone) = shelf.change(name, |book| {
        // What somebody else did meanwhile is not what was meant.
        if *seen.get_or_insert_with(|| book.history.clone()) != book.history {
            return Err(FileFault::Contended(shelf.book_file(name)?).into());
        }
        (0..most).map_while(|_| step(book).transpose()).collect::<Result<Vec<_>>>()
    })?;
    Ok(gone)
}

fn told(gone: &[Step], what: &str, done: &str, common: &Common) -> Result<Outcome> {
    if gone.is_empty() {
        report::message(&format!("there is nothing to {what}"));
    } else if common.json {
        print_json(&gone)?;
    } else {
        gone.iter().for_each(|s| report::result(&format!("{done}: {}\n", show::step(s))));
    }
    Ok(Outcome::Done)
}

fn export(command: &Export, common: &Common) -> Result<Outcome> {
    let book = common.shelf()?.open(&command.name)?;
    format::write(&book.to_share(), &command.out)?;
    report::message(&format!("written to {}", command.out.display()));
    Ok(Outcome::Done)
}

fn import(command: &Import, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let shared: Book = format::read(&command.file)?;
    let file = shelf.begin(&Book::brought(&shared, &command.name, &now())?)?;
    report::message(&format!("written to {}", file.display()));
    Ok(Outcome::Done)
}

fn compare(command: &Compare, common: &Common) -> Result<Outcome> {
    let shelf = common.shelf()?;
    let old = shelf.open(&command.old)?;
    if command.carry {
        let (_, left) = shelf.change(&command.new, |new| Ok(carry_marks(&old, new, &now())))?;
        left.iter().for_each(|l| report::message(&format!("{} stays behind: {}", l.mark, l.why)));
        return Ok(if left.is_empty() { Outcome::Done } else { Outcome::Look });
    }
    let pairs = concordance(&old, &shelf.open(&command.new)?);
    if common.json {
        print_json(&pairs)?;
    } else {
        pairs.iter().for_each(|pair| report::result(&show::pair(pair)));
    }
    Ok(Outcome::Done)
}
