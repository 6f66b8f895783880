//! Faults of the stage `calendar`.

use crate::place::Place;
use std::fmt;

/// A date or a calendar was refused.
#[derive(Debug)]
pub enum CalendarFault {
    /// A year the calendar is not made for.
    YearOutside {
        /// The year asked for.
        year: i32,
    },
    /// No calendar of that name is shipped.
    UnknownCalendar {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A layer that lies over itself.
    Circle {
        /// Name of the layer.
        layer: String,
    },
    /// An entry cites a document that the file does not list.
    UnknownSource {
        /// Name of the layer.
        layer: String,
        /// The entry.
        about: String,
        /// The key it cites.
        key: String,
    },
    /// A decision about a celebration that no layer has.
    UnknownCelebration {
        /// Name of the layer.
        layer: String,
        /// The celebration.
        id: Place,
    },
    /// A celebration without title, date, rank or colour.
    Incomplete {
        /// Name of the last layer that speaks of it.
        layer: String,
        /// The celebration.
        id: Place,
        /// The field that is missing.
        missing: &'static str,
    },
    /// A rank that belongs to the seasons.
    NotARank {
        /// Name of the layer.
        layer: String,
        /// The celebration.
        id: Place,
        /// The rank given.
        rank: &'static str,
    },
    /// A date so far from Easter or Advent that it leaves the year.
    TooFar {
        /// Name of the layer.
        layer: String,
        /// The celebration.
        id: Place,
        /// The date given.
        when: String,
    },
}

impl fmt::Display for CalendarFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::YearOutside { year } => {
                write!(f, "the year {year} is outside the calendar, which holds from 1970 to 2100")
            }
            Self::UnknownCalendar { name, known } => {
                write!(f, "there is no calendar \"{name}\", there are {known}")
            }
            Self::Circle { layer } => {
                write!(
                    f,
                    "calendar {layer} lies over itself, by way of the layers it names in \"over\""
                )
            }
            Self::UnknownSource { layer, about, key } => write!(
                f,
                "calendar {layer}, {about}: cites \"{key}\", which \"sources\" does not list"
            ),
            Self::UnknownCelebration { layer, id } => {
                write!(f, "calendar {layer}: decides about {id}, which no layer has")
            }
            Self::Incomplete { layer, id, missing } => {
                write!(f, "calendar {layer}, {id}: \"{missing}\" is missing")
            }
            Self::NotARank { layer, id, rank } => write!(
                f,
                "calendar {layer}, {id}: the rank \"{rank}\" is of the season, expected solemnity, feast or memorial"
            ),
            Self::TooFar { layer, id, when } => write!(
                f,
                "calendar {layer}, {id}: {when} leaves the year, expected at most 100 days before or 200 after"
            ),
        }
    }
}

impl CalendarFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::YearOutside { .. } => "ask for a year from 1970 to 2100".into(),
            Self::UnknownCalendar { .. } => "take one of these names, or give the file of your own calendar".into(),
            Self::Circle { .. } => "name only layers that lie under it, and give each its own name".into(),
            Self::UnknownSource { .. } => "add the document to \"sources\", or cite one that is there".into(),
            Self::UnknownCelebration { .. } => "write the id as the layer below has it".into(),
            Self::Incomplete { .. } => "the first entry of a celebration gives title, on, rank and colour; to change one from a layer below, write its id as it stands there".into(),
            Self::NotARank { .. } => "give one of those ranks".into(),
            Self::TooFar { .. } => "give the date as MM-DD".into(),
        })
    }
}
