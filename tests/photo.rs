//! Tests of the stage `photo`.
