//! Masses in a row become a sheet for the sacristy wall: a column for each ribbon, a row for each Mass.

use super::layout::{books, particulars};
use super::words;
use crate::book::PageState;
use crate::calendar::Day;
use crate::language::Language;
use crate::order::Service;
use crate::ribbon::{Deeds, Laid, LaidMass, Move, Stop, Week};
use chrono::NaiveDate;

/// The sheet for the wall.
#[derive(Debug, Clone, PartialEq)]
pub struct WeekCard {
    /// The sheet's language.
    pub language: Language,
    /// The days it is for, in words.
    pub title: String,
    /// Names of the books.
    pub book: String,
    /// The ribbons, by book, from the spine.
    pub columns: Vec<Column>,
    /// The Masses; neighbours with the same texts and ribbons share a row.
    pub rows: Vec<Row>,
    /// What needs a look, each once.
    pub notices: Vec<String>,
    /// What laying the Masses together is worth.
    pub worth: Vec<String>,
    /// How the sheet is read.
    pub key: String,
    /// What stands beside the ribbons to be laid, and beside those that stay.
    pub words: WeekWords,
    /// The diocese's directory prevails; the priest decides.
    pub caution: String,
}

/// Words of the sheet in its language.
#[derive(Debug, Clone, PartialEq)]
pub struct WeekWords {
    /// Before the ribbons to be laid.
    pub lay: String,
    /// Before the ribbons that stay.
    pub stay: String,
    /// Before the page at which the book is laid open.
    pub open: String,
    /// Above what needs a look.
    pub notices: String,
}

/// A ribbon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its colour, named.
    pub colour: String,
    /// Name of the book, where there are several.
    pub book: Option<String>,
}

/// A Mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// When it is celebrated, in words, each time.
    pub dates: Vec<String>,
    /// What is celebrated.
    pub celebration: String,
    /// Rank, colour, season.
    pub particulars: String,
    /// Where each ribbon lies, by column.
    pub cells: Vec<Option<Cell>>,
    /// Page at which each book is laid open.
    pub open_at: Vec<String>,
}

/// Where a ribbon lies at a Mass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The page, as printed.
    pub page: String,
    /// The text there.
    pub text: String,
    /// A person must look at the page.
    pub doubt: bool,
    /// It is laid there before this Mass.
    pub moved: bool,
}

/// The sheet in `language`; `days` are those of the week's Masses, with their services.
pub fn lay_out_week(days: &[(&Day, &Service)], week: &Week, language: Language) -> WeekCard {
    let books = books(week.masses.iter().flat_map(|m| &m.plan.stops));
    let columns = columns(week);
    let mut rows: Vec<Row> = vec![];
    for (mass, (day, service)) in week.masses.iter().zip(days) {
        let row = row(mass, day, service, &columns, language);
        let same = |last: &&mut Row| last.celebration == row.celebration && mass.moved.is_empty();
        match rows.last_mut().filter(same) {
            Some(last) => last.dates.extend(row.dates),
            None => rows.push(row),
        }
    }
    let notices = words::notices(week.masses.iter().flat_map(|m| &m.plan.notices), language);
    let several = books.len() > 1;
    WeekCard {
        language,
        title: title(week, language),
        book: books.join(", "),
        columns: columns
            .iter()
            .map(|c| Column {
                colour: words::ribbon_name(&c.ribbon, language),
                book: several.then(|| c.book.clone()),
            })
            .collect(),
        rows,
        notices,
        worth: worth(week, language),
        key: language.either("Where a ribbon's end is drawn, lay it there before that Mass; elsewhere it stays.",
            "Donde se dibuja el extremo de una cinta, póngala allí antes de esa Misa; donde no, se queda.",
        )
        .to_owned(),
        words: WeekWords {
            lay: language.either("Lay", "Poner").to_owned(),
            stay: language.either("Stays", "Se queda").to_owned(),
            open: language.either("Laid open at", "Abierto en").to_owned(),
            notices: language.either("To look at", "Para mirar").to_owned(),
        },
        caution: words::caution(language),
    }
}

/// One laying of each ribbon, by book in the order of the table, from the spine.
fn columns(week: &Week) -> Vec<&Laid> {
    let mut columns: Vec<&Laid> = vec![];
    for laid in week.masses.iter().flat_map(|m| &m.plan.ribbons) {
        if !columns.iter().any(|c| is_same(c, laid)) {
            let after = |c: &&Laid| c.book == laid.book && c.number > laid.number;
            let at = columns.iter().position(after).unwrap_or_else(|| {
                columns.iter().rposition(|c| c.book == laid.book).map_or(columns.len(), |p| p + 1)
            });
            columns.insert(at, laid);
        }
    }
    columns
}

fn is_same(a: &Laid, b: &Laid) -> bool {
    (&a.book, a.number) == (&b.book, b.number)
}

fn row(
    mass: &LaidMass,
    day: &Day,
    service: &Service,
    columns: &[&Laid],
    language: Language,
) -> Row {
    let cell = |column: &&Laid| {
        let laid = mass.plan.ribbons.iter().find(|r| is_same(r, column))?;
        Some(Cell {
            page: laid.page.clone(),
            text: laid.text.get(language).to_owned(),
            doubt: laid.doubt && laid.state != PageState::Reckoned,
            moved: mass.moved.iter().any(|m| is_same(m, laid)),
        })
    };
    let several = columns.iter().any(|c| c.book != columns[0].book);
    let page = |s: &Stop| match several {
        true => Some(format!("{} ({})", s.page.as_ref()?, s.book)),
        false => s.page.clone(),
    };
    let open = mass.plan.stops.iter().filter(|s| s.hand == Move::LaidOpen);
    Row {
        dates: vec![when(mass.date, mass.evening, language)],
        celebration: service.celebration.get(language).to_owned(),
        particulars: particulars(day, service, language),
        cells: columns.iter().map(cell).collect(),
        open_at: open.filter_map(page).collect(),
    }
}

impl WeekCard {
    /// "Laid open at p. 141", with the book's name where there are several; nothing where no book is.
    pub(super) fn open_at(&self, row: &Row) -> String {
        let pages: Vec<String> = row.open_at.iter().map(|page| format!("p. {page}")).collect();
        if pages.is_empty() {
            return String::new();
        }
        format!("{} {}", self.words.open, pages.join(", "))
    }
}

/// "Saturday 27 March, evening".
pub(super) fn when(date: NaiveDate, evening: bool, language: Language) -> String {
    let day = language.day_and_month(date);
    if evening { format!("{day}, {}", language.either("evening", "por la tarde")) } else { day }
}

/// "Saturday 27 March 2027, evening".
pub(super) fn when_in_full(date: NaiveDate, language: Language) -> String {
    format!("{}, {}", language.date(date), language.either("evening", "por la tarde"))
}

fn title(week: &Week, language: Language) -> String {
    let dates = week.masses.iter().map(|m| m.date);
    match (dates.clone().min(), dates.max()) {
        (Some(first), Some(last)) if first != last => {
            let dash = language.either("to", "al");
            format!("{} {dash} {}", language.day_and_month(first), language.date(last))
        }
        (Some(first), _) => language.date(first),
        _ => String::new(),
    }
}

/// How many ribbons are moved, against laying each Mass by itself, and what the hand does at all Masses.
fn worth(week: &Week, language: Language) -> Vec<String> {
    let deeds = words::deeds(Deeds::of_all(week.masses.iter().map(|m| &m.plan)), language);
    let alone = week.moved_one_by_one;
    match (language, week.moved()) {
        (Language::Es, moved) => vec![
            match moved {
                0 => "Ninguna cinta se mueve entre las Misas.".to_owned(),
                1 if alone <= 1 => "Una cinta se mueve entre las Misas.".to_owned(),
                1 if alone > 1 => format!(
                    "Una cinta se mueve entre las Misas; poniendo cada Misa por sí sola serían {alone}."
                ),
                _ if moved >= alone => format!("{moved} cintas se mueven entre las Misas."),
                _ => format!(
                    "{moved} cintas se mueven entre las Misas; poniendo cada Misa por sí sola serían {alone}."
                ),
            },
            format!("En todas las Misas: {deeds}."),
        ],
        (_, moved) => vec![
            match moved {
                0 => "No ribbon is moved between the Masses.".to_owned(),
                1 if alone <= 1 => "One ribbon is moved between the Masses.".to_owned(),
                1 if alone > 1 => format!(
                    "One ribbon is moved between the Masses; laying each Mass by itself it would be {alone}."
                ),
                _ if moved >= alone => format!("{moved} ribbons are moved between the Masses."),
                _ => format!(
                    "{moved} ribbons are moved between the Masses; laying each Mass by itself it would be {alone}."
                ),
            },
            format!("At all the Masses: {deeds}."),
        ],
    }
}

/// The sheet as text, `width` columns wide, ending with a newline.
pub fn week_text(card: &WeekCard, width: usize) -> String {
    let mut text = format!("\n  {}\n  {}\n", card.title, card.book);
    let say = |text: &mut String, indent: usize, line: &str| {
        for line in super::terminal::wrap(line, width.clamp(40, 100) - indent) {
            text.push_str(&format!("{}{line}\n", " ".repeat(indent)));
        }
    };
    for row in &card.rows {
        text.push('\n');
        say(&mut text, 2, &row.dates.join(" · "));
        say(&mut text, 2, &row.celebration.to_uppercase());
        say(&mut text, 2, &row.particulars);
        say(&mut text, 4, &card.open_at(row));
        let cells = || card.columns.iter().zip(&row.cells);
        for (column, cell) in cells().filter_map(|(c, cell)| Some((c, cell.as_ref()?))) {
            if cell.moved {
                let book = column.book.as_ref().map_or(String::new(), |b| format!(" ({b})"));
                let doubt = if cell.doubt { "?" } else { "" };
                say(
                    &mut text,
                    4,
                    &format!(
                        "{}: {}{book} p. {}{doubt}, {}",
                        card.words.lay, column.colour, cell.page, cell.text
                    ),
                );
            }
        }
        let stay: Vec<String> = cells()
            .filter_map(|(c, cell)| Some((c, cell.as_ref().filter(|c| !c.moved)?)))
            .map(|(c, cell)| format!("{} p. {}", c.colour, cell.page))
            .collect();
        if !stay.is_empty() {
            say(&mut text, 4, &format!("{}: {}", card.words.stay, stay.join(", ")));
        }
    }
    if !card.notices.is_empty() {
        text.push('\n');
        say(&mut text, 2, &card.words.notices.to_uppercase());
        card.notices.iter().for_each(|n| say(&mut text, 2, &format!("? {n}")));
    }
    text.push('\n');
    card.worth.iter().for_each(|w| say(&mut text, 2, w));
    text.push('\n');
    say(&mut text, 2, &card.caution);
    text
}
