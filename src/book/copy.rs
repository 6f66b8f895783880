//! Copies of one edition: the same pages, each with its own ribbons, tabs and laid-in sheets.

use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A ribbon of a copy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ribbon {
    /// Its colour in the user's words: "red", "gold".
    pub colour: String,
}

/// A tab stuck to the edge of a leaf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tab {
    /// What is written on it.
    pub title: String,
    /// The page it stands at.
    pub page: String,
}

/// A sheet laid or stuck in: a new saint, a diocesan proper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sticker {
    /// Its label, numbered after the page it lies at: "1747a".
    pub page: String,
    /// The text on it.
    pub place: Place,
}

/// Another copy of the edition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Copy {
    /// Its name in the parish: "chapel".
    pub name: String,
    /// Its ribbons in order from the spine.
    pub ribbons: Vec<Ribbon>,
    /// Its tabs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tabs: Vec<Tab>,
    /// Sheets laid into it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stickers: Vec<Sticker>,
}
