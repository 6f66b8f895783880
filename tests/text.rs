//! Tests of the stage `text`.
