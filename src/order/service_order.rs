//! Service orders: which texts a kind of service needs, in order, as data.
//!
//! The Mass as usual is one file, cut into named parts; every other order is a file that lists its
//! own moments and borrows those parts. What a moment needs is either a place, a text of the day's
//! Mass, or something the rules choose (preface, Eucharistic Prayer, blessing).

use super::Stand;
use super::formulary::Part;
use crate::format::{Format, Source};
use crate::language::Titles;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A kind of service: the Mass as usual, Good Friday, a marriage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceOrder {
    /// Where it comes from.
    pub source: Source,
    /// Name of the order, also its file's.
    pub name: String,
    /// Title for people.
    pub title: Titles,
    /// Masses that follow this order: each of these places and all under it. The order with the
    /// longest matching place is taken; the usual Mass serves none by name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub serves: Vec<Place>,
    /// Celebrations on whose day a Mass of this order may be asked for, though it stands at another
    /// address: the Chrism Mass on Holy Thursday, the Vigil on Holy Saturday.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub on: Vec<Place>,
    /// Where the Mass's own texts stand, if not at the place asked for: the entrance on Palm Sunday
    /// and its Mass are two places.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texts: Option<Place>,
    /// Conditions this order settles itself, e.g. no Creed, with its reason.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub settles: Vec<Settled>,
    /// What may be done or left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<ServiceOption>,
    /// The preface, where the order decides it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub preface: Option<Assigned>,
    /// The Eucharistic Prayers that fit, where the order decides it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prayer: Option<Assigned>,
    /// Eucharistic Prayers printed in full with the Mass, as the first is on Holy Thursday.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub printed: Vec<Printed>,
    /// How many of some options at least.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<AtLeast>,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// What the priest or sacristan should know.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Titles>,
}

impl Format for ServiceOrder {
    const NAME: &'static str = "vitta service order";
    const VERSION: u32 = 1;
}

/// A condition and why it holds or not.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Settled {
    /// Its name: `gloria`, `creed`.
    pub condition: String,
    /// Whether it holds.
    pub holds: bool,
    /// Only with the ritual Mass itself, not when its rite is within the Mass of the day.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub with_its_mass: bool,
    /// Document and number.
    pub reason: String,
}

/// Something a service may have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceOption {
    /// Its name, used in `when` and in the choices for a date.
    pub option: String,
    /// For people.
    pub title: Titles,
    /// Done unless somebody says otherwise.
    pub usual: bool,
    /// Never left out, unless somebody sets the rule aside.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub obligatory: bool,
    /// Document and number.
    pub reason: String,
}

/// Where a Mass prints a Eucharistic Prayer of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Printed {
    /// The prayer.
    pub prayer: Place,
    /// Where it is printed.
    pub at: Place,
    /// Pages after that place's first page.
    #[serde(default)]
    pub pages_in: u16,
}

/// A number of options that must be taken in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AtLeast {
    /// How many.
    pub count: usize,
    /// Of these.
    pub of: Vec<String>,
    /// Document and number.
    pub reason: String,
}

/// Texts an order assigns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Assigned {
    /// The places, the first preferred.
    pub places: Vec<Place>,
    /// No other may be taken.
    pub obligatory: bool,
    /// Document and number.
    pub reason: String,
}

/// One step of a service order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Step {
    /// Opens a part of the usual Mass that other orders borrow.
    Part(String),
    /// Borrows a part of the usual Mass.
    AsUsual {
        /// Its name.
        part: String,
        /// Moments left out.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        without: Vec<String>,
    },
    /// A moment.
    Moment(Box<Moment>),
}

/// A moment that needs a text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// Its name, unique in an order.
    pub moment: String,
    /// For people.
    pub title: Titles,
    /// Where the text is.
    pub text: Text,
    /// Pages after the place's first page where the text begins; 0 for where it usually does.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub pages_in: u16,
    /// Where the book stands.
    pub stand: Stand,
    /// How bad a search is, 1–5.
    pub weight: u8,
    /// Most priests know it by heart.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub by_heart: bool,
    /// It is never read from the altar book, but from this: "from the lectionary".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Titles>,
    /// It may be left out whatever the day: it takes no ribbon from a text that may not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub optional: bool,
    /// Conditions and options that must all hold; with `!` before it, must not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub when: Vec<String>,
    /// Document and number.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reason: String,
}

fn is_zero(pages: &u16) -> bool {
    *pages == 0
}

/// Where a moment's text is found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Text {
    /// At any of these places.
    At(Vec<Place>),
    /// A text of the day's Mass.
    Own(Part),
    /// In a section printed under the day's Mass, named by its last step.
    Under(String),
    /// The preface.
    Preface,
    /// The Eucharistic Prayer.
    Prayer,
    /// The solemn blessing.
    Blessing,
}
