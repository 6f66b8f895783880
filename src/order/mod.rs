//! A celebration becomes needs: which text, at which moment of the service, from which place.
//!
//! [`service`] takes a day of the calendar, the Mass chosen and the priest's [`Settings`], picks the
//! [`ServiceOrder`] that the Mass follows, and fills its moments: fixed texts from the Order of Mass,
//! the Mass's own texts from its formulary or a Common, and preface, Eucharistic Prayer and blessing by
//! rule. Every need carries its rule with document and number. Readings are not here: they stand in
//! the lectionary.
//!
//! Sources: Order of Mass 1–146 and General Instruction (GIRM) of the Missal's third typical edition.
//! A long text, such as a Eucharistic Prayer over several openings, is one need at its start. What a
//! diocese's directory says prevails, and the priest decides.

mod altar;
mod beforehand;
mod blessing;
mod check;
mod colours;
mod commons;
mod formulary;
mod mass;
mod missal;
mod named;
mod notes;
mod orders;
mod permission;
mod prayer;
mod preface;
mod printed;
mod rubrics;
mod service;
mod service_order;
mod settings;
mod texts;

pub use beforehand::beforehand;
pub use formulary::{Binding, Formularies, Formulary, Insert, Part, Prefaces, Sequence};
pub use mass::MassKind;
pub use named::{Kind, Named, masses_of, texts};
pub use orders::{serving, shipped as service_orders};
pub use printed::{longer_form, masses};
pub use service::service;
pub use service_order::{
    Assigned, AtLeast, Moment, Printed, ServiceOption, ServiceOrder, Settled, Step, Text,
};
pub use settings::{DayChoices, MemorialPrayers, On, Penitential, Settings};

use crate::Result;
use crate::calendar::{Colour, Rank};
use crate::language::Titles;
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where the book stands at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Stand {
    /// Held or on a stand at the chair.
    Chair,
    /// On the altar.
    Altar,
    /// At the fire of the Easter Vigil.
    Fire,
    /// At the door of the church.
    Door,
    /// Where a procession gathers: another church, or a place outside.
    Gathering,
    /// Carried in a procession.
    Procession,
    /// At the ambo.
    Ambo,
    /// At the font.
    Font,
    /// Before the cross.
    Cross,
    /// In the sacristy.
    Sacristy,
    /// Where the moment takes place, which its title says.
    Elsewhere,
}

/// A text required at a moment of the service.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// The moment, e.g. `collect`, `preface`, `eucharistic-prayer`; unique in one service.
    pub moment: String,
    /// What the moment is called on the card.
    pub title: Titles,
    /// Valid places, the preferred one first; never empty.
    pub places: Vec<Candidate>,
    /// Where the book stands.
    pub stand: Stand,
    /// How bad it is to search at this moment: 1 covered by singing or walking … 5 no cover at all.
    pub weight: u8,
    /// Why this text: the rule with its document and number.
    pub reason: String,
    /// The priest knows it by heart: shown in the order of service, no ribbon spent.
    #[serde(default)]
    pub by_heart: bool,
    /// It may be left out: it takes no ribbon from a text that may not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub optional: bool,
    /// Never read from the altar book, but from this: "from the lectionary". It has a line of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Titles>,
    /// It is read from a sheet: no book is opened for it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub on_sheet: bool,
    /// No ribbon is laid for its sake.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub no_ribbon: bool,
    /// Needs with the same word here have their candidates in the same order and take the same one:
    /// the two prayers of one Common.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together: Option<String>,
}

/// One place where a need may be met.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Candidate {
    /// The place in the book.
    pub place: Place,
    /// Pages after the place's first page where the text begins, 0 at its start.
    #[serde(default)]
    pub pages_in: u16,
    /// What it is, for the card: "Preface I of Lent".
    pub title: Titles,
}

/// The title of a text of the altar missal, if its outline lists it.
///
/// # Errors
/// If the shipped outline cannot be read.
pub fn title_of(place: &Place) -> Result<Option<Titles>> {
    let missal = missal::Missal::shipped()?;
    Ok(missal.knows(place).then(|| missal.title(place)))
}

/// What kind of Mass it is and how it is celebrated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Said {
    /// The day's own, or another.
    pub kind: MassKind,
    /// Rank of the celebration, of a Mass of the day; others have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rank: Option<Rank>,
    /// Colours of the vestments, the usual one first; never empty.
    pub colours: Vec<Colour>,
    /// Whether the Gloria is said.
    pub gloria: bool,
    /// Whether the Creed is said.
    pub creed: bool,
    /// Whether there is a sequence; its text is in the lectionary.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sequence: Option<Sequence>,
    /// What is out of the ordinary at this Mass, in short.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub special: Vec<Titles>,
}

/// The needs of one Mass, in the order of the service.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Address of the Mass.
    pub mass: Place,
    /// What is celebrated.
    pub celebration: Titles,
    /// What kind of Mass it is, and how it is celebrated.
    pub said: Said,
    /// In the order of the service.
    pub needs: Vec<Need>,
    /// What the priest may choose, and what was overridden.
    pub notes: Vec<Titles>,
}
