//! The Masses of a week as they follow each other.

use super::{Mass, Parish};
use crate::Result;
use crate::calendar::Calendar;
use crate::error::UsageFault;
use crate::language::Language;
use crate::order;
use crate::place::Place;
use crate::ribbon::Occasion;
use chrono::{Days, NaiveDate};

/// A Mass in its place among others.
#[derive(Debug, Clone, PartialEq)]
pub struct MassAt {
    /// The date on which it is celebrated.
    pub date: NaiveDate,
    /// In the evening, where the next day begins on it.
    pub evening: bool,
    /// The Mass.
    pub mass: Mass,
}

impl MassAt {
    /// It as the planner of a row takes it.
    pub fn occasion(&self) -> Occasion<'_> {
        Occasion { date: self.date, evening: self.evening, service: &self.mass.service }
    }
}

/// The Masses of `days` days: of each date those of the day, then that of the evening if the next day
/// begins on it. `first` may leave the first date's day out; the last date's evening then follows.
pub fn masses(
    calendar: &Calendar,
    parish: &Parish,
    (first, from_evening): (NaiveDate, bool),
    days: u16,
    language: Language,
) -> Result<Vec<MassAt>> {
    let mut masses: Vec<MassAt> = vec![];
    for ahead in 0..=u64::from(days) {
        let date = first + Days::new(ahead);
        let (begins, ends) = (ahead == 0, ahead == u64::from(days));
        if ends && !from_evening {
            break;
        }
        let of_the_evening = Mass::of_next_day(calendar, parish, date, language)?;
        if !(begins && from_evening) {
            for mass in of_the_day(calendar, parish, date, language)? {
                // On Holy Saturday there is no other Mass than that of the night.
                let same = |evening: &Mass| evening.service == mass.service;
                if !of_the_evening.as_ref().is_some_and(same) {
                    masses.push(MassAt { date, evening: false, mass });
                }
            }
        }
        let of_the_evening = of_the_evening.filter(|_| !ends);
        masses.extend(of_the_evening.map(|mass| MassAt { date, evening: true, mass }));
    }
    if masses.is_empty() { Err(UsageFault::NoMass.into()) } else { Ok(masses) }
}

/// The Masses of a date, all of them where the day has several, or the one settled for it.
fn of_the_day(
    calendar: &Calendar,
    parish: &Parish,
    date: NaiveDate,
    language: Language,
) -> Result<Vec<Mass>> {
    let settled = parish.settings.days.get(&date).is_some_and(|d| d.mass.is_some());
    let day = calendar.day(date, language)?;
    let kept = day.kept().map(|k| order::masses(&k.id)).transpose()?.unwrap_or_default();
    if settled || kept.len() < 2 {
        return Ok(vec![Mass::by(calendar, parish, date, None, language)?]);
    }
    let one = |id: &Place| Mass::by(calendar, parish, date, Some(id.as_str()), language);
    kept.iter().map(one).collect()
}
