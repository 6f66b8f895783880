//! The coming Masses and which ribbons move between them; the sheet for the sacristy wall.

use super::reply::{Reply, Said, work};
use super::today::{Edge, edges, on_table};
use super::{Desk, Shared, date};
use crate::Result;
use crate::book::Book;
use crate::calendar::{Colour, Day};
use crate::card::{self, Kind};
use crate::language::Language;
use crate::order::Service;
use crate::ribbon::{self, LaidMass, Occasion};
use crate::shelf::{MassAt, Parish, masses, table};
use axum::extract::{Path, Query, State};
use axum::response::Response;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// A week.
const DAYS: u16 = 7;

/// What a page may ask besides the first date.
#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    book: Option<String>,
    lang: Option<Language>,
}

#[derive(Serialize)]
struct Week {
    book: Option<String>,
    masses: Vec<OfWeek>,
    /// Ribbons moved over the whole week, and what laying each Mass by itself would move.
    moved: usize,
    moved_one_by_one: usize,
    trouble: Option<Said>,
    caution: String,
}

#[derive(Serialize)]
struct OfWeek {
    date: NaiveDate,
    evening: bool,
    words: String,
    celebration: String,
    particulars: String,
    colour: Colour,
    /// Names of the ribbons to move before it.
    moved: Vec<String>,
    edges: Vec<Edge>,
    look: Vec<String>,
}

/// `GET /api/week/{date}`
pub(super) async fn week(
    State(desk): State<Shared>,
    Path(typed): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| Reply::json(&Coming::new(desk, date(&typed)?, &asked)?.answer(desk)))
        .await
}

/// `GET /api/week/{date}/sheet.pdf`, `.svg`
pub(super) async fn sheet(
    State(desk): State<Shared>,
    Path((typed, file)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| {
        let kind = Kind::of(std::path::Path::new(&file))?;
        let coming = Coming::new(desk, date(&typed)?, &asked)?;
        let days: Vec<(&Day, &Service)> =
            coming.masses.iter().map(|m| (&m.mass.day, &m.mass.service)).collect();
        let sheet = card::lay_out_week(&days, &coming.plan()?, coming.language);
        let bytes = kind.week_bytes(&sheet)?;
        Ok(Reply::File { kind: super::reply::media(kind), name: None, bytes })
    })
    .await
}

/// The Masses of a week and the books on the table.
struct Coming {
    language: Language,
    parish: Parish,
    masses: Vec<MassAt>,
    books: Vec<Book>,
}

impl Coming {
    fn new(desk: &Desk, first: NaiveDate, asked: &Asked) -> Result<Coming> {
        let parish = desk.shelf.parish()?;
        let calendar = desk.calendar(&parish)?;
        let language = asked.lang.unwrap_or(desk.language);
        let masses = masses(&calendar, &parish, (first, false), DAYS, language)?;
        let books = on_table(desk, &parish, asked.book.as_deref())?;
        Ok(Coming { language, parish, masses, books })
    }

    fn plan(&self) -> Result<ribbon::Week> {
        let occasions: Vec<Occasion> = self.masses.iter().map(MassAt::occasion).collect();
        ribbon::plan_week(&occasions, &table(&self.books, Some(1)), &self.parish.costs)
    }

    fn answer(&self, desk: &Desk) -> Week {
        let laid = (!self.books.is_empty()).then(|| self.plan());
        let (laid, trouble) = match laid {
            Some(Ok(week)) => (Some(week), None),
            Some(Err(error)) => (None, Some(Said::of(&error, desk))),
            None => (None, None),
        };
        let plan = |i: usize| laid.as_ref().and_then(|w| w.masses.get(i));
        Week {
            book: self.books.first().map(|b| b.name.clone()),
            masses: self.masses.iter().enumerate().map(|(i, m)| self.of(m, plan(i))).collect(),
            moved: laid.as_ref().map_or(0, ribbon::Week::moved),
            moved_one_by_one: laid.as_ref().map_or(0, |w| w.moved_one_by_one),
            trouble,
            caution: card::caution(self.language),
        }
    }

    fn of(&self, at: &MassAt, laid: Option<&LaidMass>) -> OfWeek {
        let (language, mass) = (self.language, &at.mass);
        let plan = laid.map(|l| &l.plan);
        OfWeek {
            date: at.date,
            evening: at.evening,
            words: language.date(at.date),
            celebration: mass.service.celebration.get(language).to_owned(),
            particulars: card::particulars_of_mass(&mass.day, &mass.service.said, language),
            colour: mass.service.said.colours.first().copied().unwrap_or(Colour::Green),
            moved: laid
                .map(|l| l.moved.iter().map(|r| card::ribbon_name(&r.ribbon, language)).collect())
                .unwrap_or_default(),
            edges: plan.map(|p| edges(p, &self.books, language)).unwrap_or_default(),
            look: plan
                .map(|p| p.notices.iter().map(|n| n.say(language)).collect())
                .unwrap_or_default(),
        }
    }
}
