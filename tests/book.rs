//! Tests of the stage `book`.

mod calibration;
mod command;
mod evidence;
mod history;
mod limit;
mod misreadings;
mod own;
// Shared with the bench of a year, which uses the rest.
#[allow(dead_code)]
mod printed;
mod properties;
mod score;
mod simulate;
#[allow(dead_code)]
mod unseen;
mod vallombra;
mod whole_lists;
mod words;
#[allow(dead_code)]
mod year;
