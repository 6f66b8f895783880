//! Tests of the stage `book`.
