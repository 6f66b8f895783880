//! One date's Mass by a shelf's parish, and what the Masses of the coming days want from the book.

use super::Parish;
use crate::Result;
use crate::book::Book;
use crate::calendar::{Calendar, Day, EveningMass};
use crate::error::UsageFault;
use crate::language::Language;
use crate::order::{self, Service, Stand};
use crate::place::Place;
use crate::ribbon::OnTable;
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

    /// The Mass of the evening of `date`: that of the day that begins on it, or that of `date` itself.
    pub fn of_evening(
        calendar: &Calendar,
        parish: &Parish,
        date: NaiveDate,
        language: Language,
    ) -> Result<Mass> {
        match Mass::of_next_day(calendar, parish, date, language)? {
            Some(mass) => Ok(mass),
            None => Mass::by(calendar, parish, date, None, language),
        }
    }

    /// The Mass of the evening of `date` where that is of the day that begins on it.
    pub(super) fn of_next_day(
        calendar: &Calendar,
        parish: &Parish,
        date: NaiveDate,
        language: Language,
    ) -> Result<Option<Mass>> {
        let evening = calendar.day(date, language)?.evening;
        let mass = evening.and_then(|e| e.masses.into_iter().next()).filter(|m| m.of != date);
        let Some(EveningMass { celebration, of, vigil }) = mass else { return Ok(None) };
        // What is settled for the next day holds on its evening, unless that has a Mass of its own.
        let settled = parish.settings.days.get(&of).is_some_and(|d| d.mass.is_some());
        let choice = vigil.or((!settled).then_some(celebration.id));
        let choice = choice.as_ref().map(Place::as_str);
        Mass::by(calendar, parish, of, choice, language).map(Some)
    }
}

/// The chair book serves where the altar book is not.
const AT_THE_CHAIR: &[Stand] = &[
    Stand::Chair,
    Stand::Fire,
    Stand::Door,
    Stand::Gathering,
    Stand::Procession,
    Stand::Ambo,
    Stand::Font,
    Stand::Cross,
    Stand::Sacristy,
    Stand::Elsewhere,
];
const AT_THE_ALTAR: &[Stand] = &[Stand::Altar];

/// The books on the table, each with all its ribbons; `chair` is the index of the one for the chair.
/// Without one, and where it is the only book, every book is used everywhere.
pub fn table(books: &[Book], chair: Option<usize>) -> Vec<OnTable<'_>> {
    let chair = chair.filter(|_| books.len() > 1);
    let stands = |index: usize| match chair {
        None => &[][..],
        Some(chair) if chair == index => AT_THE_CHAIR,
        Some(_) => AT_THE_ALTAR,
    };
    let all = books.iter().enumerate();
    all.map(|(i, book)| OnTable { book, ribbons: book.usable_ribbons(), stands: stands(i) })
        .collect()
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
        for need in mass.service.needs.iter().filter(|n| n.from.is_none()) {
            for (rank, candidate) in need.places.iter().enumerate() {
                *wanted.entry(candidate.place.clone()).or_insert(0.0) += 0.5f64.powi(rank as i32);
            }
        }
    }
    let mut wanted: Vec<(Place, f64)> = wanted.into_iter().collect();
    wanted.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(wanted)
}
