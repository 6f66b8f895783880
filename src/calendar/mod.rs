//! A date and layers of calendars become a day: what is celebrated, what gives way, and why.
//!
//! - [`Layer`] is the file a person writes; [`Calendar`] is layers laid over each other.
//! - [`Calendar::year`] settles a civil year; [`Calendar::day`] gives one [`Day`] with its sentences.
//! - The calendar is made for 1970–2100. From 2002 it agrees with the published calendars kept under
//!   `fixtures/years`; before 2002 the years in which names were added are from memory.
//! - `norms.md` beside this file goes through the Universal Norms paragraph by paragraph.
//!
//! The day is the diocese's to settle: check against your diocese's directory.
//!
//! ```
//! use vitta::calendar::Calendar;
//! use vitta::language::Language;
//!
//! let calendar = Calendar::shipped("general")?;
//! let date = "2025-11-09".parse().expect("a date");
//! let day = calendar.day(date, Language::En)?;
//! assert_eq!(day.celebrations[0].title.en, "The Dedication of the Lateran Basilica");
//! assert_eq!(day.reasons[0], "Kept: The Dedication of the Lateran Basilica.");
//! # Ok::<(), vitta::Error>(())
//! ```

mod almanac;
mod base;
mod base_title;
mod choice;
mod compile;
mod computus;
mod day;
mod entry;
mod evening;
mod frame;
mod layer;
mod permitted;
mod precedence;
mod provenance;
mod shipped;
mod version;
mod when;
mod why;
mod year;

pub use almanac::{Almanac, AlmanacCelebration, AlmanacDay};
pub use choice::DayOfYear;
pub use compile::Calendar;
pub use computus::{easter, easter_date};
pub use entry::{
    Certainty, Entry, Impeded, InHolyWeek, NearSunday, Of, OnSunday, Precept, Role, Way,
};
pub use evening::{Evening, EveningMass};
pub use layer::{Exception, ImmaculateHeart, Kept, Kind, Layer, Settings};
pub use permitted::Permitted;
pub use shipped::{GENERAL, layer, names};
pub use when::{MonthDay, When};
pub use year::{YEARS, Year};

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
    /// A memorial of which only the Collect may be taken (line 12); also the Commemoration of All the
    /// Faithful Departed (line 3), which has no other rank.
    #[serde(rename = "commemoration")]
    Commemoration,
    /// A day of prayer or a civil day with a Mass of its own or one named for it, without the rank of a
    /// memorial.
    #[serde(rename = "day of prayer")]
    DayOfPrayer,
}

/// A solemnity, as the territory keeps it, after which other texts are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum After {
    /// After the Epiphany, to the Baptism of the Lord.
    Epiphany,
    /// After the Ascension, to Pentecost.
    Ascension,
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
    /// The Commons that serve it, where its calendar names them and its title does not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub commons: Vec<Place>,
    /// What of it is from memory; nothing, where its day and rank were read in a source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_memory: Option<Certainty>,
    /// Where sources contradict each other, what they say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Titles>,
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
    /// Week of the psalter, where the four weeks run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub psalter_week: Option<u8>,
    /// Where it follows the Epiphany or the Ascension, as they are kept here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<After>,
    /// The code of the nation whose calendar it is: `us`, `gb-eng`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nation: Option<String>,
    /// What is kept by default first, then what may be chosen instead.
    pub celebrations: Vec<Celebration>,
    /// What gives way.
    pub displaced: Vec<Displaced>,
    /// The evening, if the day that follows begins on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub evening: Option<Evening>,
    /// Masses permitted besides the Mass of the day.
    pub permitted: Permitted,
    /// Sentences that explain the day.
    pub reasons: Vec<String>,
}

impl Day {
    /// What is kept by default; a day that this stage made always has it.
    pub fn kept(&self) -> Option<&Celebration> {
        self.celebrations.first()
    }
}

impl Rank {
    /// Its name, as in the files.
    pub fn name(self) -> &'static str {
        match self {
            Rank::Solemnity => "solemnity",
            Rank::FeastOfTheLord => "feast of the Lord",
            Rank::Feast => "feast",
            Rank::Memorial => "memorial",
            Rank::OptionalMemorial => "optional memorial",
            Rank::Sunday => "Sunday",
            Rank::Weekday => "weekday",
            Rank::Commemoration => "commemoration",
            Rank::DayOfPrayer => "day of prayer",
        }
    }

    /// The higher of two ranks.
    fn higher(self, other: Rank) -> Rank {
        if (self as u8) <= (other as u8) { self } else { other }
    }
}

impl std::fmt::Display for Rank {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.pad(self.name())
    }
}

impl Colour {
    /// Its name, as in the files.
    pub fn name(self) -> &'static str {
        match self {
            Colour::White => "white",
            Colour::Red => "red",
            Colour::Green => "green",
            Colour::Violet => "violet",
            Colour::Rose => "rose",
            Colour::Black => "black",
            Colour::Blue => "blue",
        }
    }
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.pad(self.name())
    }
}

impl Season {
    /// Its name, as in the files.
    pub fn name(self) -> &'static str {
        match self {
            Season::Advent => "advent",
            Season::Christmas => "christmas",
            Season::Lent => "lent",
            Season::Triduum => "triduum",
            Season::Easter => "easter",
            Season::Ordinary => "ordinary",
        }
    }
}

impl std::fmt::Display for Season {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.pad(self.name())
    }
}
