//! Tests of the stage `book`.

mod calibration;
mod command;
mod evidence;
mod limit;
mod misreadings;
mod own;
mod printed;
mod properties;
mod score;
mod simulate;
mod unseen;
mod vallombra;
mod whole_lists;
mod words;
mod year;
