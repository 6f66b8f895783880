//! Tests of the stage `ribbon`.
