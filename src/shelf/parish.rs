//! What a parish has settled once: its calendar, the priest's habits, what a turn of the hand costs.

use crate::Result;
use crate::calendar::Calendar;
use crate::format::Format;
use crate::order::Settings;
use crate::ribbon::costs::Costs;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A parish, as its file on the shelf has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Parish {
    /// Its name, for the head of the card.
    pub name: String,
    /// A calendar that comes with the program, or the name of a calendar file (`*.json`) beside this
    /// one.
    pub calendar: String,
    /// The priest's habits.
    pub settings: Settings,
    /// What turning pages costs.
    pub costs: Costs,
}

impl Default for Parish {
    fn default() -> Self {
        Parish {
            name: String::new(),
            calendar: crate::calendar::GENERAL.to_owned(),
            settings: Settings::default(),
            costs: Costs::default(),
        }
    }
}

impl Format for Parish {
    const NAME: &'static str = "vitta parish";
    const VERSION: u32 = 1;
}

/// The calendar called `name`: one that comes with the program, or a file (`*.json`), looked for in
/// `folder` where its path is not absolute.
pub fn calendar(name: &str, folder: &Path) -> Result<Calendar> {
    if name.ends_with(".json") {
        Calendar::read(&folder.join(name))
    } else {
        Calendar::shipped(name)
    }
}
