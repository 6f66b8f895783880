//! The calendars that come with the program.

use super::compile::Calendar;
use super::layer::Layer;
use crate::Result;
use crate::error::CalendarFault;
use crate::format;
use std::collections::HashSet;
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
shipped!(
    "general",
    "europe",
    "england-and-wales",
    "england",
    "wales",
    "ireland",
    "united-states",
    "united-states-ascension-thursday",
    "australia",
    "italy",
    "scotland",
    "canada",
    "new-zealand",
    "spain",
    "mexico",
    "france",
    "german-speaking",
    "germany",
    "austria",
    "switzerland",
    "poland",
    "philippines",
    "india",
    "south-africa",
    "brazil",
    "vietnam",
);

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

/// What gives the layer of a file that another names.
type Beside<'a> = Option<&'a dyn Fn(&str) -> Result<Layer>>;

/// A tower of layers while it is being built.
#[derive(Default)]
struct Tower {
    /// Lowest first.
    layers: Vec<Layer>,
    /// Names of the layers that stand on the one being added.
    above: Vec<String>,
    /// What was named and has been added with all that lies under it: files that share the layers under them
    /// would otherwise have these built once for each way down.
    done: HashSet<String>,
}

impl Tower {
    /// Adds `top` on everything that lies under it; files it names are got from `beside`.
    fn add(&mut self, top: Layer, beside: Beside) -> Result<()> {
        if self.above.contains(&top.name) {
            return Err(CalendarFault::Circle { layer: top.name }.into());
        }
        self.above.push(top.name.clone());
        for under in &top.over {
            if self.done.contains(under) {
                continue;
            }
            let lower = match beside {
                Some(beside) if under.ends_with(".json") => beside(under)?,
                _ => layer(under)?,
            };
            self.add(lower, beside)?;
            self.done.insert(under.clone());
        }
        self.above.pop();
        if self.layers.iter().all(|there| there.name != top.name) {
            self.layers.push(top);
        }
        Ok(())
    }
}

/// Everything that lies under `top`, the general calendar first, and `top` itself.
fn stack(top: Layer, beside: Beside) -> Result<Vec<Layer>> {
    let mut tower = Tower::default();
    if top.name != GENERAL {
        tower.add(layer(GENERAL)?, None)?;
    }
    tower.add(top, beside)?;
    Ok(tower.layers)
}

impl Calendar {
    /// The shipped calendar called `name`, with all that lies under it.
    pub fn shipped(name: &str) -> Result<Calendar> {
        Calendar::of(layer(name)?)
    }

    /// The calendar of a layer of one's own, over the shipped layers it names. That of a parish is
    /// short:
    ///
    /// ```
    /// use std::path::Path;
    /// use vitta::calendar::{Calendar, Layer};
    /// use vitta::language::Language;
    ///
    /// let file = r#"{
    ///   "format": "vitta calendar", "version": 1,
    ///   "source": {"title": "Calendar of our parish", "how": "typed in the sacristy"},
    ///   "sources": {"own": {"title": "Parish register", "how": "read"}},
    ///   "name": "our-parish", "title": {"en": "Saint Blaise, Little Invented"}, "kind": "parish",
    ///   "over": ["england"],
    ///   "celebrations": [
    ///     {"id": "saints/02-03/blaise", "role": "title of the church", "source": "own"},
    ///     {"id": "saints/10-11/dedication-of-our-church", "on": "10-11", "colour": "white", "of": "lord",
    ///      "title": {"en": "The Dedication of our Church"}, "role": "dedication of the church", "source": "own"}
    ///   ]
    /// }"#;
    /// let layer: Layer = vitta::format::parse(file, Path::new("our-parish.json"))?;
    /// let day = Calendar::of(layer)?.day("2027-02-03".parse().expect("a date"), Language::En)?;
    /// assert_eq!(day.reasons[0], "Kept: Saint Blaise, Bishop and Martyr.");
    /// # Ok::<(), vitta::Error>(())
    /// ```
    pub fn of(top: Layer) -> Result<Calendar> {
        Calendar::new(&stack(top, None)?)
    }

    /// The calendar of a layer of one's own that may name files (`*.json`) besides the shipped layers; `beside`
    /// gives the layer of a file's name.
    pub fn over(top: Layer, beside: &dyn Fn(&str) -> Result<Layer>) -> Result<Calendar> {
        Calendar::new(&stack(top, Some(beside))?)
    }

    /// The calendar of a file of one's own, over the shipped layers and the files beside it that it
    /// names: a parish over its diocese, a diocese over its nation.
    pub fn read(file: &Path) -> Result<Calendar> {
        let folder = file.parent().unwrap_or(Path::new(""));
        Calendar::over(format::read(file)?, &|name| format::read(&folder.join(name)))
    }
}
