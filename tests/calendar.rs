//! Tests of the stage `calendar`.
