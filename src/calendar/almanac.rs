//! A settled year as a list for other programs: what `vitta year --json` prints.

use super::{Celebration, Colour, DayOfYear, Rank, Season, Year};
use crate::language::Language;
use crate::place::Place;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The days of a civil year, in order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Almanac {
    /// 365 or 366 days.
    pub days: Vec<AlmanacDay>,
}

/// One day of an [`Almanac`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlmanacDay {
    /// The civil date.
    pub date: NaiveDate,
    /// The season.
    pub season: Season,
    /// Week of the season, where the weeks are counted.
    pub week: Option<u8>,
    /// `A`, `B` or `C`.
    pub sunday_cycle: char,
    /// 1 or 2.
    pub weekday_cycle: u8,
    /// What is kept by default first, then what may be chosen instead.
    pub celebrations: Vec<AlmanacCelebration>,
}

/// One celebration of an [`AlmanacDay`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlmanacCelebration {
    /// Its address.
    pub id: Place,
    /// Its title in the language asked for.
    pub title: String,
    /// Its rank on this day.
    pub rank: Rank,
    /// Line of the Table of Liturgical Days, 1–13.
    pub line: u8,
    /// Colour used by default.
    pub colour: Colour,
}

impl Year<'_> {
    /// The year as a list, its titles in `language`.
    pub fn almanac(&self, language: Language) -> Almanac {
        Almanac { days: self.days().map(|day| AlmanacDay::of(&day, language)).collect() }
    }
}

impl AlmanacDay {
    fn of(day: &DayOfYear, language: Language) -> Self {
        let cycles = day.cycles();
        AlmanacDay {
            date: day.date(),
            season: day.base.season(),
            week: day.week(),
            sunday_cycle: cycles.sunday,
            weekday_cycle: cycles.weekday,
            celebrations: day.celebrations().map(|c| AlmanacCelebration::of(c, language)).collect(),
        }
    }
}

impl AlmanacCelebration {
    fn of(celebration: Celebration, language: Language) -> Self {
        let title = celebration.title.get(language).to_owned();
        let Celebration { id, rank, line, colour, .. } = celebration;
        AlmanacCelebration { id, title, rank, line, colour }
    }
}
