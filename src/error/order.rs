//! Faults of the stage `order`.

use crate::place::Place;
use chrono::NaiveDate;
use std::fmt;

/// The order of service could not be made.
#[derive(Debug)]
pub enum OrderFault {
    /// The calendar gave a day without a celebration.
    EmptyDay {
        /// Its date.
        date: NaiveDate,
    },
    /// The Mass asked for belongs to another day.
    NotThisDay {
        /// The date.
        date: NaiveDate,
        /// The Mass asked for.
        asked: Place,
        /// What is kept on that date.
        day: String,
    },
    /// The Mass asked for is said on the evening before its own day.
    EveningBefore {
        /// The Mass asked for.
        asked: Place,
        /// The day it belongs to.
        of: NaiveDate,
    },
    /// The norms do not permit the Mass on that day.
    Barred {
        /// The date.
        date: NaiveDate,
        /// The Mass asked for.
        asked: String,
        /// The rule.
        reason: String,
    },
    /// No altar missal has this place.
    UnknownPlace {
        /// The place.
        place: Place,
    },
    /// A place that is not what it should be.
    WrongPlace {
        /// The place found.
        place: Place,
        /// What was expected, with an example.
        expected: &'static str,
    },
    /// A date's choices name something that the Mass does not have.
    UnknownOption {
        /// The name.
        option: String,
        /// What may be named.
        known: Vec<String>,
    },
    /// A service order speaks of something that is not there.
    BrokenOrder {
        /// Name of the order.
        order: String,
        /// What is wrong, found against expected.
        said: String,
    },
}

impl fmt::Display for OrderFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::EmptyDay { date } => write!(f, "the calendar has no celebration on {date}"),
            Self::NotThisDay { date, asked, day } => {
                write!(f, "the Mass {asked} does not belong to {date}, which keeps {day}")
            }
            Self::EveningBefore { asked, of } => {
                write!(f, "the Mass {asked} is the evening Mass of {of}")
            }
            Self::Barred { date, asked, reason } => {
                write!(f, "the Mass \"{asked}\" may not be said on {date}: {reason}")
            }
            Self::WrongPlace { place, expected } => {
                write!(f, "the settings name {place}, expected {expected}")
            }
            Self::UnknownPlace { place } => write!(f, "the altar missal has no place {place}"),
            Self::UnknownOption { option, .. } => {
                write!(f, "this Mass has nothing called \"{option}\" to take in or leave out")
            }
            Self::BrokenOrder { order, said } => write!(f, "service order \"{order}\": {said}"),
        }
    }
}

impl OrderFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::EmptyDay { .. } => "check the calendar layers in use".into(),
            Self::NotThisDay { .. } => {
                "take one of the day's celebrations, or a place under ritual, needs, votive, dead or common".into()
            }
            Self::EveningBefore { of, .. } => format!("ask for it with the date {of}"),
            Self::Barred { .. } => {
                "take the Mass of the day, with the rite in it where that may be; or settle for this date that it is said in any case".into()
            }
            Self::WrongPlace { .. } | Self::UnknownPlace { .. } => "check the spelling of the place against the outline".into(),
            Self::UnknownOption { known, .. } => format!("it has: {}", known.join(", ")),
            Self::BrokenOrder { .. } => "correct the order's file".into(),
        })
    }
}
