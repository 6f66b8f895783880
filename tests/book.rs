//! Tests of the stage `book`.

mod calibration;
mod simulate;
