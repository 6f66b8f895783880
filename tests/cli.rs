//! Tests of the stage `cli`.
