//! The calendars that come with the program.

use super::compile::Calendar;
use super::layer::Layer;
use crate::Result;
use crate::error::CalendarFault;
use crate::format;
use std::path::Path;

/// Name of the layer that lies under every other.
pub const GENERAL: &str = "general";

/// Lists the files of `src/data/calendars`.
macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        /// Names of the shipped layers with their files.
        const FILES: &[(&str, &str)] = &[$(
            ($name, include_str!(concat!("../data/calendars/", $name, ".json")))
        ),*];
    };
}
shipped!("general", "europe", "england-and-wales", "england", "wales");

/// Names of the calendars that come with the program.
pub fn names() -> impl Iterator<Item = &'static str> {
    FILES.iter().map(|(name, _)| *name)
}

/// The shipped layer called `name`.
pub fn layer(name: &str) -> Result<Layer> {
    let (name, text) = FILES.iter().find(|(known, _)| *known == name).ok_or_else(|| {
        CalendarFault::UnknownCalendar {
            name: name.to_owned(),
            known: names().collect::<Vec<_>>().join(", "),
        }
    })?;
    format::parse(text, Path::new(&format!("{name}.json")))
}

/// Everything that lies under `top`, lowest first, and `top` itself.
fn stack(top: Layer) -> Result<Vec<Layer>> {
    let mut layers: Vec<Layer> = Vec::new();
    if top.name != GENERAL {
        layers.push(layer(GENERAL)?);
    }
    for under in &top.over {
        for lower in stack(layer(under)?)? {
            if layers.iter().all(|there| there.name != lower.name) {
                layers.push(lower);
            }
        }
    }
    layers.push(top);
    Ok(layers)
}

impl Calendar {
    /// The shipped calendar called `name`, with all that lies under it.
    pub fn shipped(name: &str) -> Result<Calendar> {
        Calendar::of(layer(name)?)
    }

    /// The calendar of a layer of one's own, over the shipped layers it names.
    pub fn of(top: Layer) -> Result<Calendar> {
        Calendar::new(&stack(top)?)
    }

    /// The calendar of a file of one's own.
    pub fn read(file: &Path) -> Result<Calendar> {
        Calendar::of(format::read(file)?)
    }
}
