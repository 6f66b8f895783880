//! Tests of the stage `order`.
