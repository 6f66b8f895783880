//! `vitta demo`: the whole way with an invented parish and edition, from photographs to the card.

use super::args::{Common, Demo};
use super::photographs::{Came, Work};
use super::read::map_summary;
use super::{Outcome, photographs, report, write_card};
use crate::book::{Book, Outline};
use crate::calendar::Calendar;
use crate::card::{self, Card, Paper};
use crate::error::FileFault;
use crate::language::Language;
use crate::ribbon::Plan;
use crate::shelf::{Mass, Parish, Shelf, now};
use crate::{Error, Result, ribbon};
use chrono::{Days, Local, NaiveDate};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// The photographs of the invented edition, in the project's folder.
const PHOTOS: &str = "fixtures/photos/vallombra";
/// The ribbons of the demo's copies, fewest first.
const RIBBONS: [usize; 3] = [2, 4, 6];
/// The number of ribbons whose card is shown whole, and by which the hard day is found.
const USUAL: usize = 4;

/// The invented parish at work.
struct Sacristy {
    book: Book,
    calendar: Calendar,
    parish: Parish,
    language: Language,
}

/// Runs the command.
pub fn run(command: &Demo, common: &Common) -> Result<Outcome> {
    let photos = PathBuf::from(PHOTOS);
    if !photos.is_dir() {
        return Err(FileFault::NoDemo(photos).into());
    }
    std::fs::create_dir_all(&command.folder)
        .map_err(|e| Error::from(FileFault::Unwritable(command.folder.clone())).because(e))?;
    let shelf = Shelf::at(command.folder.join("shelf"));
    let book = read(&photos)?;
    let file = shelf.put(&book)?;
    report::result(&format!("{}Its file: {}\n", map_summary(&book), file.display()));
    let parish = Parish::default();
    let calendar = crate::shelf::calendar(&parish.calendar)?;
    let sacristy = Sacristy { book, calendar, parish, language: common.language.into() };
    let tomorrow = Local::now().date_naive() + Days::new(1);
    report::result("\n── Tomorrow ──\n");
    sacristy.show(tomorrow, &command.folder, common)?;
    report::result("\n── The hardest day of the coming year ──\n");
    sacristy.show(sacristy.hardest_after(tomorrow)?, &command.folder, common)?;
    report::result(&format!("\nThe cards are in {}\n", command.folder.display()));
    Ok(Outcome::Done)
}

/// Really reads the photographs; the map is made of nothing else.
fn read(photos: &Path) -> Result<Book> {
    let files = photographs::find(&[photos.to_owned()])?;
    report::result(&format!("Reading {} photographs in {}\n", files.len(), photos.display()));
    let Came { readings, failed, .. } = photographs::read(&files, Work::default())?;
    if let Some(error) = failed.into_iter().next() {
        return Err(error);
    }
    for reading in &readings {
        let doubtful = reading.rows.iter().filter(|r| r.doubt).count();
        let line =
            format!("  {}: {} entries, {doubtful} in doubt\n", reading.file, reading.rows.len());
        report::result(&line);
    }
    let outline = Outline::shipped("roman-missal-3")?;
    Ok(Book::from_readings("Vallombra", &readings, Some(outline), None, &now()))
}

impl Sacristy {
    fn plan(&self, date: NaiveDate, ribbons: usize) -> Result<(Plan, Card)> {
        let mass = Mass::by(&self.calendar, &self.parish, date, None, self.language)?;
        let plan = ribbon::plan(&mass.service, &self.book, Some(ribbons), &self.parish.costs)?;
        let card = card::lay_out(&mass.day, &mass.service, &plan, self.language);
        Ok((plan, card))
    }

    /// The day of the year after `first` whose Mass asks most of the hand with the usual ribbons.
    fn hardest_after(&self, first: NaiveDate) -> Result<NaiveDate> {
        let mut hardest = (0, first);
        for ahead in 0..365 {
            let date = first + Days::new(ahead);
            let (plan, _) = self.plan(date, USUAL)?;
            if plan.cost > hardest.0 {
                hardest = (plan.cost, date);
            }
        }
        Ok(hardest.1)
    }

    /// Writes the day's cards and shows the usual one whole, the others by their ribbons.
    fn show(&self, date: NaiveDate, folder: &Path, common: &Common) -> Result<()> {
        for ribbons in RIBBONS {
            let (_, card) = self.plan(date, ribbons)?;
            write_card(&card, &folder.join(format!("{date}-{ribbons}-ribbons.pdf")), Paper::A5)?;
            if ribbons == USUAL {
                report::result(&card::terminal::write(&card, report::terminal(common.color)));
            } else {
                report::result(&in_short(&card, ribbons));
            }
        }
        Ok(())
    }
}

/// The ribbons of a card in a few lines, and what the hand then does.
fn in_short(card: &Card, ribbons: usize) -> String {
    let deeds = card.worth.first().map_or("", String::as_str);
    let mut text = format!("\nWith {ribbons} ribbons: {deeds}\n");
    for line in &card.ribbons {
        let page = format!("{}{}", line.page, if line.doubt { "?" } else { "" });
        let _ = writeln!(text, "  {:<10} p. {page:<6} {}", line.colour, line.text);
    }
    text
}
