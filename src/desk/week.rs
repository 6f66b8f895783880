//! The coming Masses and which ribbons move between them.

use super::books::open;
use super::reply::{Reply, work};
use super::today::{Edge, edges};
use super::{Desk, Shared, date};
use crate::calendar::Colour;
use crate::card;
use crate::language::Language;
use crate::order::Service;
use crate::ribbon::{Plan, plan_week};
use crate::shelf::Mass;
use crate::{Error, Result};
use axum::extract::{Path, Query, State};
use axum::response::Response;
use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

/// A week.
const DAYS: u64 = 7;

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
    /// Ribbons moved over the whole week, and what laying each Mass anew would move.
    moved: usize,
    trouble: Option<super::reply::Said>,
    caution: String,
}

#[derive(Serialize)]
struct OfWeek {
    date: NaiveDate,
    words: String,
    celebration: String,
    particulars: String,
    colour: Colour,
    /// Names of the ribbons to move before it.
    moved: Vec<String>,
    edge: Option<Edge>,
    look: Vec<String>,
}

/// `GET /api/week/{date}`
pub(super) async fn week(
    State(desk): State<Shared>,
    Path(typed): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| Reply::json(&of(desk, date(&typed)?, &asked)?)).await
}

fn of(desk: &Desk, first: NaiveDate, asked: &Asked) -> Result<Week> {
    let parish = desk.shelf.parish()?;
    let calendar = desk.calendar(&parish)?;
    let language = asked.lang.unwrap_or(desk.language);
    let mut masses = Vec::new();
    for ahead in 0..DAYS {
        let Some(date) = first.checked_add_days(Days::new(ahead)) else { break };
        masses.push(Mass::by(&calendar, &parish, date, None, language)?);
    }
    let book = asked.book.as_deref().map(|name| open(desk, name)).transpose()?;
    let services: Vec<Service> = masses.iter().map(|m| m.service.clone()).collect();
    let laid = book.as_ref().map(|book| plan_week(&services, book, None, &parish.costs));
    let (laid, trouble) = match laid {
        Some(Ok(week)) => (Some(week), None),
        Some(Err(error)) => (None, Some(said(&error, desk))),
        None => (None, None),
    };
    let of_day = |(i, mass): (usize, &Mass)| {
        let plan = laid.as_ref().and_then(|w| w.plans.get(i));
        let moved = laid.as_ref().and_then(|w| w.moved.get(i)).cloned().unwrap_or_default();
        let edge = plan
            .zip(book.as_ref())
            .and_then(|(p, b)| edges(p, std::slice::from_ref(b), language).into_iter().next());
        let look = |p: &Plan| p.notices.iter().map(|n| n.say(language)).collect();
        let kept = mass.day.celebrations.iter().find(|c| c.title == mass.service.celebration);
        let kept = kept.or(mass.day.kept());
        OfWeek {
            date: mass.day.date,
            words: language.date(mass.day.date),
            celebration: mass.service.celebration.get(language).to_owned(),
            particulars: kept
                .map(|c| card::particulars(&mass.day, c, language))
                .unwrap_or_default(),
            colour: kept.map_or(Colour::Green, |c| c.colour),
            moved,
            edge,
            look: plan.map(look).unwrap_or_default(),
        }
    };
    let masses: Vec<OfWeek> = masses.iter().enumerate().map(of_day).collect();
    Ok(Week {
        book: book.map(|b| b.name),
        moved: masses.iter().skip(1).map(|m| m.moved.len()).sum(),
        masses,
        trouble,
        caution: card::caution(language),
    })
}

fn said(error: &Error, desk: &Desk) -> super::reply::Said {
    super::reply::Said::of(error, desk)
}
