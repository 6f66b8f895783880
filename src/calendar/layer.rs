//! The file of one layer: what a nation, a diocese, a parish or an order adds to the calendar under
//! it. This is the format a person writes; [`super::Calendar`] is what the program makes of it.
//!
//! A layer holds *entries*. The first entry with an id brings a new celebration and gives `title`,
//! `on`, `rank` and `colour`. A later one, in the same layer or in one above it, changes only the
//! fields it gives: it raises, lowers, moves, renames, or drops; in years in which the layers below do
//! not have the celebration, an entry without a title says nothing. `from` and `until` (both inclusive,
//! civil years) say in which years an entry speaks. Every entry names its `source`, a key of the
//! file's `sources`.
//!
//! ```json
//! {"id": "saints/04-23/george", "rank": "solemnity", "role": "patron of the nation", "source": "memory"}
//! {"id": "saints/06-22/john-fisher-and-thomas-more", "rank": "feast", "source": "memory"}
//! {"id": "saints/06-20/alban", "on": "06-20", "rank": "memorial", "colour": "red",
//!  "title": {"en": "Saint Alban, Martyr"}, "source": "memory"}
//! {"id": "saints/01-22/vincent", "on": "01-23", "source": "memory"}
//! {"id": "saints/08-15/assumption", "to_sunday": ["saturday", "monday"], "source": "memory"}
//! {"id": "saints/05-29/paul-vi", "drop": true, "until": 2018, "source": "memory"}
//! ```
//!
//! To add a calendar: write `src/data/calendars/<name>.json` after the pattern of `england.json` (a
//! nation over `england-and-wales`, which holds what the two share: `settings` with years, holy days
//! brought `to_sunday`, days that are not of `precept`; and under that `europe`), name the layers under
//! it in `over`, add `<name>` to the list in `shipped.rs`, and run `cargo test --test all calendar`.
//! Ids are those of `src/data/outlines/roman-missal-3.json` where it has the celebration, else
//! `saints/MM-DD/short-english-name`. `MM-DD` in the id is the day in the General Calendar, or, for what
//! is not in it, the day in the calendar that brings it; only `on` says when it is kept. What a nation
//! has from memory cites a source whose `how` says so.
//!
//! The line of the Table follows from the layer's `kind`, the `rank` and the `role`; see
//! [`super::precedence`].

use super::{Colour, Rank, When};
use crate::format::{Format, Source};
use crate::language::Titles;
use crate::place::Place;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One layer of the calendar, as it stands in its file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// Where the whole comes from.
    pub source: Source,
    /// The documents the entries cite, by a short key.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sources: BTreeMap<String, Source>,
    /// The name it is called by: `england`, `our-parish`.
    pub name: String,
    /// Its title.
    pub title: Titles,
    /// Whose calendar it is.
    pub kind: Kind,
    /// The layers under this one, lowest first: names of shipped ones, or of files (`*.json`) beside
    /// this file. The general calendar lies under everything and is not named.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub over: Vec<String>,
    /// Decisions that concern more than one celebration.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub settings: Vec<Settings>,
    /// The entries, in the order in which celebrations of one day and one rank are offered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub celebrations: Vec<Entry>,
    /// Published decisions for one year, which beat every rule.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub exceptions: Vec<Exception>,
}

impl Format for Layer {
    const NAME: &'static str = "vitta calendar";
    const VERSION: u32 = 1;
}

/// Whose calendar a layer is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// The General Roman Calendar.
    General,
    /// A continent or a region of several nations.
    Region,
    /// A nation, or the territory of one conference of bishops.
    Nation,
    /// A diocese.
    Diocese,
    /// A religious order or congregation.
    Order,
    /// A parish or a single church.
    Parish,
}

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
    /// Where it goes when it meets Holy Week; without this, after the octave of Easter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_holy_week: Option<InHolyWeek>,
    /// Whether it is left out of this calendar.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub drop: bool,
    /// First civil year in which the entry speaks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<i32>,
    /// Last civil year in which the entry speaks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<i32>,
    /// Key of the document in `sources`.
    pub source: String,
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

/// Decisions of a territory that concern several celebrations, for some years.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// First civil year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<i32>,
    /// Last civil year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<i32>,
    /// Epiphany: on 6 January, or on the Sunday from 2 to 8 January.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub epiphany: Option<Kept>,
    /// Ascension: on the Thursday, or on the Seventh Sunday of Easter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ascension: Option<Kept>,
    /// Corpus Christi: on the Thursday, or on the Sunday after Trinity Sunday.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corpus_christi: Option<Kept>,
    /// The Immaculate Heart when it meets another obligatory memorial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub immaculate_heart: Option<ImmaculateHeart>,
    /// Key of the document in `sources`.
    pub source: String,
}

/// Whether a movable solemnity is kept on its own day or on a Sunday (Norms 7).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub enum Kept {
    /// On its own day.
    #[default]
    #[serde(rename = "on its day")]
    OnItsDay,
    /// On the Sunday.
    #[serde(rename = "on sunday")]
    OnSunday,
}

/// How the Immaculate Heart of Mary and another obligatory memorial on one day are settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub enum ImmaculateHeart {
    /// Both are optional that year (reply of the Congregation, 8 December 1998).
    #[default]
    #[serde(rename = "both optional")]
    BothOptional,
    /// The memorial of Mary is kept (the Notification of 24 March 2018 read as covering it).
    #[serde(rename = "mary first")]
    MaryFirst,
}

/// A published decision that puts a celebration on one date, whatever the rules say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exception {
    /// Which celebration.
    pub id: Place,
    /// The date it is kept on; of the days that would be its own, the nearest is meant.
    pub on: NaiveDate,
    /// Key of the document in `sources`.
    pub source: String,
}
