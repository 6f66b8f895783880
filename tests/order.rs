//! Tests of the stage `order`.

mod every_day;
mod examples;
mod nations;
mod orders;
mod said;
