//! Tests of the stage `book`.

mod calibration;
mod command;
mod limit;
mod misreadings;
mod own;
mod properties;
mod score;
mod simulate;
mod vallombra;
mod words;
