//! One date's Mass by a shelf's parish, and what the Masses of the coming days want from the book.

use super::Parish;
use crate::Result;
use crate::book::Book;
use crate::calendar::{Calendar, Day};
use crate::error::UsageFault;
use crate::language::Language;
use crate::order::{self, Service, Stand};
use crate::place::Place;
use crate::ribbon::{self, OnTable, Plan, costs::Costs};
use chrono::{Days, NaiveDate};
use std::collections::HashMap;

/// One date's Mass: the day, and what the Mass chosen on it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Mass {
    /// The day that the Mass belongs to; for the Mass of an evening that is the day after.
    pub day: Day,
    /// Its needs.
    pub service: Service,
}

impl Mass {
    /// The Mass of `date` by a calendar and a parish; `choice` is a celebration's id, in place of what
    /// the parish settled for the date or the calendar keeps.
    pub fn by(
        calendar: &Calendar,
        parish: &Parish,
        date: NaiveDate,
        choice: Option<&str>,
        language: Language,
    ) -> Result<Mass> {
        let choice = choice
            .map(|typed| Place::new(typed).ok_or_else(|| UsageFault::NoPlace(typed.to_owned())))
            .transpose()?;
        let day = calendar.day(date, language)?;
        let service = order::service(&day, choice.as_ref(), &parish.settings)?;
        Ok(Mass { day, service })
    }

    /// The Mass of the evening of `date`: that of the day that begins on it, which it then belongs to,
    /// or that of `date` itself.
    pub fn of_evening(
        calendar: &Calendar,
        parish: &Parish,
        date: NaiveDate,
        language: Language,
    ) -> Result<Mass> {
        let evening = calendar.day(date, language)?.evening;
        let Some(mass) = evening.and_then(|evening| evening.masses.into_iter().next()) else {
            return Mass::by(calendar, parish, date, None, language);
        };
        let place = mass.vigil.unwrap_or(mass.celebration.id);
        Mass::by(calendar, parish, mass.of, Some(place.as_str()), language)
    }

    /// Lays the ribbons of `book`, `ribbons` of them or all it has; a `chair` book is read from at the
    /// chair.
    pub fn lay(
        &self,
        book: &Book,
        ribbons: Option<usize>,
        chair: Option<&Book>,
        costs: &Costs,
    ) -> Result<Plan> {
        let ribbons = ribbons.unwrap_or(book.ribbons.len());
        let Some(chair) = chair.filter(|c| c.name != book.name) else {
            return ribbon::plan(&self.service, book, Some(ribbons), costs);
        };
        let at_altar = OnTable { book, ribbons, stands: &[Stand::Altar, Stand::Elsewhere] };
        let at_chair =
            OnTable { book: chair, ribbons: chair.ribbons.len(), stands: &[Stand::Chair] };
        ribbon::plan_table(&self.service, &[at_altar, at_chair], costs)
    }
}

/// The places that the Masses of `days` days from `first` on want, each with how often. A need's first
/// place counts fully, the others it may be met from half as much each.
pub fn wanted(
    calendar: &Calendar,
    parish: &Parish,
    first: NaiveDate,
    days: u16,
) -> Result<Vec<(Place, f64)>> {
    let mut wanted: HashMap<Place, f64> = HashMap::new();
    for ahead in 0..u64::from(days) {
        let Some(date) = first.checked_add_days(Days::new(ahead)) else { break };
        let mass = Mass::by(calendar, parish, date, None, Language::En)?;
        for need in &mass.service.needs {
            for (rank, candidate) in need.places.iter().enumerate() {
                *wanted.entry(candidate.place.clone()).or_insert(0.0) += 0.5f64.powi(rank as i32);
            }
        }
    }
    let mut wanted: Vec<(Place, f64)> = wanted.into_iter().collect();
    wanted.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(wanted)
}
