//! Prints and photographs books that do not exist: pictures for tests, for the demo and for
//! measuring, with the exact truth beside each.
//!
//! ```text
//! outline ─edition→ page map ─lists→ entries ─compose, typeset→ printed pages ─┐
//!                              scene of sheet, light, camera, film ────────────┴→ photograph
//! ```
//!
//! It needs XeLaTeX, Typst, groff, Ghostscript, Poppler and the fonts named in
//! `fixtures/photos/SOURCE.md`. It is a tool of the tests: it prints, and it stops at the first
//! fault.
#![allow(clippy::print_stderr)]

mod camera;
mod compose;
mod corpus;
mod demo;
mod drawn;
mod edition;
mod film;
mod lists;
mod photograph;
mod print;
mod random;
mod scene;
mod sheet;
mod shot;
mod sight;
mod styles;
mod truth;
mod typeset;
mod words;

use clap::Parser;
use std::error::Error;
use std::path::PathBuf;

/// Makes photographs of invented altar books with their truth.
#[derive(Debug, Parser)]
struct Words {
    /// Folder for pictures and truth.
    #[arg(long)]
    out: PathBuf,
    /// The demo's eight photographs instead of a corpus.
    #[arg(long)]
    demo: bool,
    /// Number of photographs.
    #[arg(long, default_value_t = 24)]
    count: usize,
    /// Half of the fonts and layouts.
    #[arg(long, value_enum, default_value = "report")]
    half: styles::Half,
    /// Only this grade.
    #[arg(long, value_enum)]
    grade: Option<shot::Grade>,
    /// Layouts drawn at random for the tune half's fonts.
    #[arg(long, conflicts_with = "half")]
    drawn: bool,
    /// Seed of the corpus; with --demo, other takes of the same pages.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..))]
    seed: u64,
    /// Long side of the demo's pictures, in pixels.
    #[arg(long, default_value_t = 2560)]
    long_side: u32,
}

fn main() -> Result<(), Box<dyn Error>> {
    let words = Words::parse();
    if words.demo {
        return demo::make(&words.out, &words.out.join("print"), words.long_side, words.seed - 1);
    }
    let Words { half, count, seed, grade, drawn, .. } = words;
    let half = if drawn { styles::Half::Tune } else { half };
    corpus::make(&corpus::Wish { half, count, seed, grade, drawn }, &words.out)
}
