//! The date of a celebration in a year, in a few words:
//! `03-19` · `easter+68` · `advent-7` · `sunday from 10-25` (the first Sunday on or after that date) ·
//! `epiphany` · `ascension` · `corpus christi` · `holy family` · `baptism` (the days the norms place).

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// When a celebration falls, before anything gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum When {
    /// A month (1–12) and day; 29 February is kept on the 28th in common years (common practice).
    Date(MonthDay),
    /// Days after (or, negative, before) Easter Sunday.
    Easter(i16),
    /// Days after (or, negative, before) the First Sunday of Advent of the civil year.
    Advent(i16),
    /// The first such weekday (0 = Sunday) on or after a date.
    WeekdayFrom(u8, MonthDay),
    /// Epiphany, as the territory keeps it.
    Epiphany,
    /// Ascension, as the territory keeps it.
    Ascension,
    /// Corpus Christi, as the territory keeps it.
    CorpusChristi,
    /// Sunday in the octave of Christmas, or 30 December (Norms 35a).
    HolyFamily,
    /// Sunday after 6 January, or the Monday after an Epiphany on 7 or 8 January (Norms 38).
    Baptism,
}

/// A day of a month.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct MonthDay {
    /// 1–12.
    pub month: u8,
    /// 1–31, a day that the month has.
    pub day: u8,
}

/// Days of each month in a leap year.
const MONTH_LENGTHS: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

pub(super) const WEEKDAYS: [&str; 7] =
    ["sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];

const NAMED: [(&str, When); 5] = [
    ("epiphany", When::Epiphany),
    ("ascension", When::Ascension),
    ("corpus christi", When::CorpusChristi),
    ("holy family", When::HolyFamily),
    ("baptism", When::Baptism),
];

impl MonthDay {
    /// The day, or `None` if no year has it.
    pub fn new(month: u8, day: u8) -> Option<Self> {
        let length = *MONTH_LENGTHS.get(usize::from(month).checked_sub(1)?)?;
        (1..=length).contains(&day).then_some(MonthDay { month, day })
    }
}

impl FromStr for MonthDay {
    type Err = ();
    fn from_str(text: &str) -> Result<Self, ()> {
        let (month, day) = text.split_once('-').ok_or(())?;
        let two = |s: &str| if s.len() == 2 { s.parse().map_err(drop) } else { Err(()) };
        MonthDay::new(two(month)?, two(day)?).ok_or(())
    }
}

impl fmt::Display for MonthDay {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

impl FromStr for When {
    type Err = ();
    fn from_str(text: &str) -> Result<Self, ()> {
        let offset = |rest: &str| match rest {
            "" => Ok(0),
            _ if rest.starts_with(['+', '-']) => rest.parse().map_err(drop),
            _ => Err(()),
        };
        if let Some((_, when)) = NAMED.iter().find(|(name, _)| *name == text) {
            Ok(*when)
        } else if let Some(rest) = text.strip_prefix("easter") {
            offset(rest).map(When::Easter)
        } else if let Some(rest) = text.strip_prefix("advent") {
            offset(rest).map(When::Advent)
        } else if let Some((weekday, date)) = text.split_once(" from ") {
            let index = WEEKDAYS.iter().position(|name| *name == weekday).ok_or(())?;
            Ok(When::WeekdayFrom(index as u8, date.parse()?))
        } else {
            text.parse().map(When::Date)
        }
    }
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            When::Date(date) => date.fmt(f),
            When::Easter(days) => write!(f, "easter{days:+}"),
            When::Advent(days) => write!(f, "advent{days:+}"),
            When::WeekdayFrom(weekday, date) => {
                write!(f, "{} from {date}", WEEKDAYS[usize::from(*weekday % 7)])
            }
            named => {
                let name =
                    NAMED.iter().find(|(_, when)| when == named).map_or("", |(name, _)| name);
                f.write_str(name)
            }
        }
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for When {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(|()| {
            serde::de::Error::custom(format!(
                "\"{text}\" is not a date such as 03-19, easter+68, advent-7 or sunday from 10-25"
            ))
        })
    }
}

impl JsonSchema for When {
    fn schema_name() -> Cow<'static, str> {
        "When".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "03-19, easter+68, advent-7, sunday from 10-25, epiphany, ascension, corpus christi, holy family or baptism",
            "type": "string",
            "pattern": "^((0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])|(easter|advent)([+-][0-9]{1,3})?|(sunday|monday|tuesday|wednesday|thursday|friday|saturday) from (0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])|epiphany|ascension|corpus christi|holy family|baptism)$"
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_is_written_as_it_is_read() {
        for text in [
            "03-19",
            "02-29",
            "easter+68",
            "easter-7",
            "advent-7",
            "sunday from 10-25",
            "epiphany",
            "holy family",
        ] {
            assert_eq!(text.parse::<When>().map(|w| w.to_string()), Ok(text.to_owned()));
        }
    }

    #[test]
    fn dates_no_year_has_are_refused() {
        for text in ["02-30", "13-01", "3-19", "easter68", "someday from 10-25", "", "04-31"] {
            assert_eq!(text.parse::<When>(), Err(()), "{text}");
        }
    }
}
