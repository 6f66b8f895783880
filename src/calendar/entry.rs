//! An entry of a layer: one celebration that it brings or changes.

use super::{Colour, Rank, When};
use crate::language::Titles;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A celebration that a layer brings or changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its address: `saints/MM-DD/name`, or `time/…` for what belongs to a season.
    pub id: Place,
    /// Title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<Titles>,
    /// Its date in a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<When>,
    /// Rank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rank: Option<Rank>,
    /// Colour used by default.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<Colour>,
    /// Colours permitted besides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_colours: Option<Vec<Colour>>,
    /// Of whom it is: the Table puts the Lord before Mary, and Mary before the saints.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<Of>,
    /// What it is to the people whose calendar this is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// Line of the Table, only where rank, kind and role do not give it: Christmas, Epiphany,
    /// Ascension and Pentecost stand in line 2, All Souls in line 3.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1, max = 13))]
    pub line: Option<u8>,
    /// Whether Mass is of precept on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub precept: Option<Precept>,
    /// Whether it has a Mass of its own for the evening before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vigil: Option<bool>,
    /// Days of the week from which it is brought to the Sunday next to them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_sunday: Option<Vec<NearSunday>>,
    /// What becomes of it on a Sunday, where that is not for the Table to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_sunday: Option<OnSunday>,
    /// Where it goes when something higher is kept on its day; without this a solemnity goes to the next
    /// free day, and all else is omitted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impeded: Option<Impeded>,
    /// Where it goes when it meets Holy Week; without this, after the octave of Easter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_holy_week: Option<InHolyWeek>,
    /// The Commons that serve it, the closest first, where its title does not say what the saint was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub commons: Option<Vec<Place>>,
    /// Whether it is left out of this calendar.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub drop: bool,
    /// First civil year in which the entry speaks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<i32>,
    /// Last civil year in which the entry speaks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<i32>,
    /// How sure the entry is; without this, as the `how` of its source says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certainty: Option<Certainty>,
    /// What sources that contradict each other say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Titles>,
    /// Key of the document in `sources`.
    pub source: String,
}

/// How sure an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Certainty {
    /// Read in two sources that do not copy each other.
    #[serde(rename = "two sources")]
    TwoSources,
    /// Read in one source.
    #[serde(rename = "printed")]
    Printed,
    /// The day was read, the rank or the colour is from memory.
    #[serde(rename = "rank from memory")]
    RankFromMemory,
    /// From memory.
    #[serde(rename = "memory")]
    Memory,
}

/// What becomes of a celebration that falls on a Sunday, by the calendar of its nation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum OnSunday {
    /// A feast that takes the place of a Sunday of Ordinary or Christmas Time, like a feast of the Lord.
    #[serde(rename = "replaces an ordinary sunday")]
    ReplacesOrdinary,
    /// A solemnity that stays even on a Sunday of Advent, Lent or Easter, by standing permission.
    #[serde(rename = "stays")]
    Stays,
    /// It goes to the Monday after any Sunday.
    #[serde(rename = "monday")]
    Monday,
}

/// Where a celebration goes when something higher is kept on its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Impeded {
    /// By a general word.
    By(Way),
    /// To a named day.
    To(When),
}

/// What becomes of an impeded celebration, in general words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Way {
    /// It goes to the next day free of lines 1 to 8.
    #[serde(rename = "next free day")]
    NextFreeDay,
    /// It stays and may be said beside the Mass of a privileged weekday, by indult.
    #[serde(rename = "beside the day's")]
    Beside,
}

/// Of whom a celebration is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Of {
    /// Of the Lord.
    Lord,
    /// Of the Blessed Virgin Mary.
    Mary,
    /// Of a saint or of angels.
    Saint,
    /// Of the dead.
    Dead,
}

/// What a celebration is to those whose calendar has it (lines 4, 8 and 11 of the Table).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Principal patron of the place, town or city (line 4a).
    #[serde(rename = "patron of the place")]
    PatronOfPlace,
    /// Dedication of this very church, or its anniversary (line 4b).
    #[serde(rename = "dedication of the church")]
    DedicationOfChurch,
    /// Title of this very church (line 4c).
    #[serde(rename = "title of the church")]
    TitleOfChurch,
    /// Title, founder or principal patron of the order or congregation (line 4d).
    #[serde(rename = "title, founder or patron of the order")]
    OfTheOrder,
    /// Principal patron of the diocese (line 8a).
    #[serde(rename = "patron of the diocese")]
    PatronOfDiocese,
    /// Anniversary of the dedication of the cathedral (line 8b).
    #[serde(rename = "dedication of the cathedral")]
    DedicationOfCathedral,
    /// Principal patron of a region, province, nation or wider territory (line 8c).
    #[serde(rename = "patron of the nation")]
    PatronOfNation,
    /// Secondary patron (line 11a).
    #[serde(rename = "secondary patron")]
    SecondaryPatron,
}

/// Whether Mass is of precept on a day of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Precept {
    /// Of precept.
    #[serde(rename = "always")]
    Always,
    /// Not of precept, unless it falls on a Sunday.
    #[serde(rename = "never")]
    Never,
    /// Not of precept when it falls on a Saturday or a Monday.
    #[serde(rename = "not on saturday or monday")]
    NotNearSunday,
}

/// A day next to a Sunday.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum NearSunday {
    /// Saturday: to the Sunday after.
    Saturday,
    /// Monday: to the Sunday before.
    Monday,
}

/// Where a solemnity goes that meets Holy Week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum InHolyWeek {
    /// To the last free day before Palm Sunday.
    Before,
    /// To the first free day after the octave of Easter.
    After,
}
