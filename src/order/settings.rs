//! What a priest has settled once for all his Masses, and what he has settled for one date.
//!
//! Both are part of the parish file. A habit is used where the rules allow it and left aside, with a
//! note, where they do not; a choice for one date is always followed, and the service says which
//! rule it sets aside.

use super::Stand;
use crate::place::Place;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The form of the Penitential Act (Order of Mass 4–6).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Penitential {
    /// The Confiteor.
    #[default]
    First,
    /// The versicles.
    Second,
    /// Invocations, those printed in the Order of Mass.
    Third,
    /// Invocations taken from the samples at the back of the book.
    ThirdFromAppendix,
}

/// On which days something optional is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum On {
    /// On none.
    #[default]
    Never,
    /// On the Sundays of Easter Time.
    EasterSundays,
    /// On solemnities.
    Solemnities,
    /// On Sundays and solemnities.
    SundaysAndSolemnities,
}

/// Where the two prayers of a memorial come from when only its Collect is its own (GIRM 363).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MemorialPrayers {
    /// From the Common the heading names.
    #[default]
    Common,
    /// From the weekday.
    Weekday,
}

/// A priest's habits and what he has settled for single dates.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// Moments (`greeting`) or places (`order/prayer/2`) known by heart, besides those usually known.
    pub by_heart: Vec<String>,
    /// Moments or places usually known by heart that this priest reads from the book.
    pub from_the_book: Vec<String>,
    /// Moments or places read from a sheet, not from a book.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on_sheet: Vec<String>,
    /// Moments or places that no ribbon is laid for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub no_ribbon: Vec<String>,
    /// Usual Eucharistic Prayer on Sundays, solemnities and feasts.
    pub sunday_prayer: Place,
    /// Usual Eucharistic Prayer on other days.
    pub weekday_prayer: Place,
    /// Prefaces he likes, taken first where they are allowed.
    pub prefaces: Vec<Place>,
    /// Among several allowed prefaces take the nearest in the book; otherwise the first.
    pub nearest_preface: bool,
    /// He sings the Eucharistic Prayer, where the book prints its chant apart.
    pub sung_prayer: bool,
    /// The preface and its dialogue are sung, so the dialogue is wanted from the book.
    pub sung_preface: bool,
    /// Usual form of the Penitential Act.
    pub penitential: Penitential,
    /// Blessing and sprinkling of water instead of the Penitential Act.
    pub sprinkling: On,
    /// Solemn blessing at the end.
    pub solemn_blessing: On,
    /// The prayer over the people on weekdays of Lent, where it may be used or left out.
    pub lent_weekday_prayer_over_people: bool,
    /// The two other prayers of a memorial whose Collect alone is its own.
    pub memorial_prayers: MemorialPrayers,
    /// The antiphons are read from the missal because nothing is sung.
    pub antiphons: bool,
    /// The Universal Prayer is taken from the samples in the missal, not from a sheet.
    pub universal_prayer: bool,
    /// Where the Prayer after Communion is said: the chair or the altar.
    pub closing: Stand,
    /// Name of the parish's book for the chair, if it has one.
    pub chair_book: Option<String>,
    /// What is settled for single dates.
    pub days: BTreeMap<NaiveDate, DayChoices>,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            by_heart: vec![],
            from_the_book: vec![],
            on_sheet: vec![],
            no_ribbon: vec![],
            // GIRM 365b and 365c: II suits weekdays, III Sundays and festive days.
            sunday_prayer: Place::composed("order/prayer/3".into()),
            weekday_prayer: Place::composed("order/prayer/2".into()),
            prefaces: vec![],
            nearest_preface: true,
            sung_prayer: false,
            sung_preface: false,
            penitential: Penitential::First,
            sprinkling: On::Never,
            solemn_blessing: On::Solemnities,
            lent_weekday_prayer_over_people: true,
            memorial_prayers: MemorialPrayers::Common,
            antiphons: false,
            universal_prayer: false,
            closing: Stand::Chair,
            chair_book: None,
            days: BTreeMap::new(),
        }
    }
}

/// What is settled for one date. Whatever is here is followed, even against a rule.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct DayChoices {
    /// The Mass: one of the day's celebrations, one of its forms, or another Mass of the book.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass: Option<Place>,
    /// Celebrate `mass` although the day does not permit it.
    #[serde(skip_serializing_if = "is_false")]
    pub mass_in_any_case: bool,
    /// A rite celebrated within the Mass of the day, named by its ritual Mass: `ritual/marriage/a` on a
    /// day that bars that Mass, `ritual/baptism/a` on a Sunday.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rite: Option<Place>,
    /// On a weekday in Ordinary Time: the Mass whose prayers are used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prayers: Option<Place>,
    /// The Collect from elsewhere: a saint of the day, a Mass for various needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub collect: Option<Place>,
    /// The Common for what is not the celebration's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub common: Option<Place>,
    /// The preface.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub preface: Option<Place>,
    /// The Eucharistic Prayer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prayer: Option<Place>,
    /// The solemn blessing or prayer over the people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blessing: Option<Place>,
    /// The form of the Penitential Act.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub penitential: Option<Penitential>,
    /// Conditions and options of the service order set by hand, e.g. `"gloria": true`,
    /// `"baptism": true`, `"reading-4": false`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub set: BTreeMap<String, bool>,
}

fn is_false(b: &bool) -> bool {
    !b
}
