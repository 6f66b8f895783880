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
//! {"id": "saints/12-12/our-lady-of-guadalupe", "on_sunday": "stays", "from": 2013, "source": "decree"}
//! {"id": "saints/04-28/peter-chanel", "rank": "feast", "impeded": "next free day", "source": "list"}
//! ```
//!
//! How sure an entry is says its `certainty`, else the `how` of its source: what is from memory is marked on
//! its day. Where sources contradict each other, `doubt` says so, there too.
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

use super::Rank;
use super::entry::Entry;
use crate::format::{Format, Source};
use crate::language::{Language, Titles};
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
    /// The nation's code as outlines and formularies have it: `us`, `gb-eng`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nation: Option<String>,
    /// Its table is not known to be complete: said wherever the calendar is chosen.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub partial: bool,
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

impl Layer {
    /// Its title where calendars are chosen from, which says if its table is not complete.
    pub fn chosen_as(&self, language: Language) -> String {
        let title = self.title.get(language);
        match (self.partial, language) {
            (false, _) => title.to_owned(),
            (true, Language::Es) => format!("{title} (incompleto: compruébelo con su calendario)"),
            (true, _) => format!("{title} (partial: check your directory)"),
        }
    }
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
    /// Both are offered as optional that year (reply of the Congregation, 8 December 1998).
    #[default]
    #[serde(rename = "both optional")]
    BothOptional,
    /// The memorial of Mary is kept, where the Notification of 24 March 2018, which is on Mary, Mother of the
    /// Church, is read as covering it too.
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
    /// The rank it has there, if not its own: with it, it is no longer kept before everything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rank: Option<Rank>,
    /// What sources that contradict each other say of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Titles>,
    /// Key of the document in `sources`.
    pub source: String,
}
