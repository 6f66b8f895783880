//! Tests of the stage `card`.
