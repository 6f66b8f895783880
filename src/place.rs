//! The address of a text in any book, independent of the edition.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};
use std::fmt;

/// A path such as `time/lent/week-1/thursday`, `saints/03-19/joseph`, `order/preface/lent-1`.
///
/// Steps are lower-case ASCII letters, digits and hyphens, divided by slashes.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct Place(#[schemars(regex(pattern = r"^[a-z0-9-]+(/[a-z0-9-]+)*$"))] String);

impl Place {
    /// The place at `path`, or `None` if a step is empty or holds another character.
    ///
    /// ```
    /// use vitta::place::Place;
    /// assert!(Place::new("order/prayer/2").is_some());
    /// assert!(Place::new("order//2").is_none());
    /// ```
    pub fn new(path: &str) -> Option<Self> {
        let good = |step: &str| {
            !step.is_empty()
                && step.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        };
        path.split('/').all(good).then(|| Place(path.to_owned()))
    }

    /// The place at a path that a stage composes of words and numbers, good by construction; the
    /// stage's tests put every such path through [`Place::new`].
    pub(crate) fn composed(path: String) -> Self {
        Place(path)
    }

    /// The path.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether this is `ancestor` or lies under it.
    pub fn is_under(&self, ancestor: &str) -> bool {
        self.0.strip_prefix(ancestor).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl<'de> Deserialize<'de> for Place {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let path = String::deserialize(deserializer)?;
        Place::new(&path).ok_or_else(|| {
            serde::de::Error::custom(format!(
                "place \"{path}\" is not a path of lower-case letters, digits and hyphens"
            ))
        })
    }
}
