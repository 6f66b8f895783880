//! Whatever comes from outside may be broken: every reader is given thousands of files, words and requests
//! that went wrong somewhere.
//!
//! A case is a seed, a real file or request, with a few changes that proptest draws and, where a case fails,
//! takes back one by one until only the guilty ones are left (`change`). What must hold: no panic, an answer
//! within [`engine::LONGEST`] and [`engine::MOST_MEMORY`], and what is refused is refused with one sentence and
//! a hint. `cargo test` runs a fixed number of cases; for as long as one wants, on one core:
//!
//! ```text
//! FUZZ_MINUTES=24 cargo test --test fuzz -- --test-threads=1 --nocapture [TARGET]
//! ```
//!
//! The minutes are for each target. What brings a new kind of answer becomes a seed itself. A failing case is
//! left in `target/tmp/fuzz`; mended, it is kept in `fixtures/fuzz/TARGET/` and is run first from then on.
//!
//! It is a test binary of its own because it watches the memory of its process, and because an overflown
//! stack would end the other tests.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]
mod change;
mod engine;
mod formats;
mod pages;
#[path = "../pdf.rs"]
mod pdf;
mod pictures;
mod requests;
mod typed;
mod words;
