//! All integration tests in one binary, a module for each stage.
mod book;
mod calendar;
mod card;
mod cli;
mod order;
mod photo;
mod ribbon;
mod text;
