//! What a parish has settled once: its calendar, the priest's habits, what a turn of the hand costs.

use super::{Mark, PARISH, Shelf};
use crate::Result;
use crate::calendar::{Calendar, Layer};
use crate::error::FileFault;
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

/// The calendar called `name`: one that comes with the program, or a file (`*.json`) of this machine.
pub fn calendar(name: &str) -> Result<Calendar> {
    if name.ends_with(".json") { Calendar::read(Path::new(name)) } else { Calendar::shipped(name) }
}

impl Shelf {
    /// The calendar called `name`: one that comes with the program, or a file (`*.json`) of the shelf; an
    /// absolute path is a file of this machine.
    pub fn calendar_called(&self, name: &str) -> Result<Calendar> {
        if !name.ends_with(".json") || Path::new(name).is_absolute() {
            return calendar(name);
        }
        self.calendar_over(self.layer(name)?)
    }

    /// The calendar of a layer that may name files of the shelf besides the shipped layers.
    pub fn calendar_over(&self, top: Layer) -> Result<Calendar> {
        Calendar::over(top, &|name| self.layer(name))
    }

    /// A calendar's file of the shelf.
    pub fn layer(&self, file: &str) -> Result<Layer> {
        Ok(self.get(file)?.ok_or_else(|| FileFault::Missing(self.store.name(file)))?)
    }

    /// Keeps a calendar's file, in place of the one that was there.
    pub fn put_layer(&self, file: &str, layer: &Layer) -> Result<()> {
        self.alter(file, |_: Option<Layer>| Ok((layer.clone(), ()))).map(drop)
    }

    /// The names of the JSON files beside the parish's, sorted, each with a mark that is another one when the
    /// file was changed.
    pub fn beside_parish(&self) -> Result<Vec<(String, Mark)>> {
        let mut files = self.store.list("")?;
        files.retain(|(name, _)| name.ends_with(".json") && name != PARISH);
        Ok(files)
    }
}
