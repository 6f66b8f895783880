//! A date and layers of calendars become a day: what is celebrated, what gives way, and why.

use crate::language::Titles;
use crate::place::Place;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A part of the liturgical year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Season {
    /// From the First Sunday of Advent to 24 December.
    Advent,
    /// From Christmas to the Baptism of the Lord.
    Christmas,
    /// From Ash Wednesday to Holy Thursday morning.
    Lent,
    /// From the evening of Holy Thursday to Easter Sunday.
    Triduum,
    /// From Easter Monday to Pentecost.
    Easter,
    /// The rest of the year.
    Ordinary,
}

/// The rank of a celebration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub enum Rank {
    /// Solemnity.
    #[serde(rename = "solemnity")]
    Solemnity,
    /// Feast of the Lord.
    #[serde(rename = "feast of the Lord")]
    FeastOfTheLord,
    /// Feast.
    #[serde(rename = "feast")]
    Feast,
    /// Obligatory memorial.
    #[serde(rename = "memorial")]
    Memorial,
    /// Optional memorial.
    #[serde(rename = "optional memorial")]
    OptionalMemorial,
    /// A Sunday.
    #[serde(rename = "Sunday")]
    Sunday,
    /// A weekday.
    #[serde(rename = "weekday")]
    Weekday,
    /// A memorial of which only the Collect may be taken.
    #[serde(rename = "commemoration")]
    Commemoration,
}

/// Colour of the vestments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Colour {
    /// White.
    White,
    /// Red.
    Red,
    /// Green.
    Green,
    /// Violet.
    Violet,
    /// Rose.
    Rose,
    /// Black.
    Black,
    /// Blue, by indult.
    Blue,
}

/// One celebration that is kept or may be chosen on a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Celebration {
    /// Its address, which is also the place of its Mass in a book: `saints/03-19/joseph`.
    pub id: Place,
    /// Its title.
    pub title: Titles,
    /// Its rank on this day.
    pub rank: Rank,
    /// Line of the Table of Liturgical Days, 1–13.
    pub line: u8,
    /// Colour used by default.
    pub colour: Colour,
    /// Colours permitted besides.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub other_colours: Vec<Colour>,
}

/// A celebration that gives way, and why.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Displaced {
    /// What gives way.
    pub celebration: Celebration,
    /// Where it goes, if it is moved.
    pub moved_to: Option<NaiveDate>,
    /// One sentence that quotes the paragraph.
    pub reason: String,
}

/// One date's liturgy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Day {
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
    pub celebrations: Vec<Celebration>,
    /// What gives way.
    pub displaced: Vec<Displaced>,
    /// Sentences that explain the day.
    pub reasons: Vec<String>,
}
