//! The one list of the project's formats.

use crate::book::{Book, DigitConfusions, Outline, PrintedTitles};
use crate::calendar::Layer;
use crate::format::schema;
use crate::order::{Formularies, ServiceOrder};
use crate::ribbon::Week;
use crate::shelf::Parish;
use crate::text::{Readings, Words};
use serde_json::Value;

/// Each format's file stem under `schemas/` with its schema.
pub fn all() -> Vec<(&'static str, Value)> {
    vec![
        ("book", schema::<Book>()),
        ("calendar", schema::<Layer>()),
        ("outline", schema::<Outline>()),
        ("titles", schema::<PrintedTitles>()),
        ("digit-confusions", schema::<DigitConfusions>()),
        ("formularies", schema::<Formularies>()),
        ("service-order", schema::<ServiceOrder>()),
        ("parish", schema::<Parish>()),
        ("week", schema::<Week>()),
        ("readings", schema::<Readings>()),
        ("reading-words", schema::<Words>()),
    ]
}
