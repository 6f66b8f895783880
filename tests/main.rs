//! All integration tests in one binary, a module for each stage.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]
mod book;
#[cfg(feature = "bucket")]
mod bucket;
mod calendar;
mod card;
mod cli;
mod desk;
mod faults;
mod fixtures;
mod formulary;
mod imports;
mod kinds;
mod manual;
mod many;
mod old_files;
mod order;
mod outline;
mod pdf;
mod photo;
mod ribbon;
mod schemas;
#[allow(dead_code)]
mod score;
mod sheet;
mod supply;
mod text;
mod titles;
mod unusual;
mod week;
mod whole;
