//! Pages that do not exist, as the eyes would give them, without a picture: what the model of the page is fitted on.
//!
//! ```text
//! layouts --seed S --count N --out FILE
//! ```
//! writes N pages, each a record of little-endian numbers: the count n of segments and the kind of list (u32), the
//! features of [`vitta::text::layout::features`] row by row (f32), then for each segment role, head, level, column
//! and leaf (u16). The head of an entry is the first segment of its title; every segment of the entry names it.

#![allow(clippy::unwrap_used)]

mod answers;
mod compose;
mod eyes;
#[path = "../press/random.rs"]
#[allow(dead_code)]
mod random;
mod sheet;
mod style;
mod words;

use answers::{Answer, answers};
use clap::Parser;
use random::Random;
use std::io::Write;
use style::List;
use vitta::text::layout::features::{self, Frame};
use vitta::text::segment::{Segment, segments};

#[derive(Parser)]
struct Words {
    /// Seed of the first page.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many pages.
    #[arg(long, default_value_t = 100)]
    count: u64,
    /// Where the records go; standard output if there is none.
    #[arg(long)]
    out: Option<std::path::PathBuf>,
    /// Prints the pages as text instead.
    #[arg(long)]
    show: bool,
}

fn main() {
    let words = Words::parse();
    let mut out: Box<dyn Write> = match &words.out {
        Some(file) => Box::new(std::io::BufWriter::new(std::fs::File::create(file).unwrap())),
        None => Box::new(std::io::BufWriter::new(std::io::stdout().lock())),
    };
    for page in 0..words.count {
        let mut random = Random::new(words.seed.wrapping_mul(1_000_003) + page, "layouts");
        let list = List::draw(&mut random);
        let view = sheet::photograph(list, &mut random);
        let read = eyes::read(&view, &mut random);
        let lines: Vec<_> = read.iter().map(|r| r.line.clone()).collect();
        let found = segments(&lines);
        let answers = answers(&found, &read);
        // A closed pipe is a quiet end.
        if write(&mut out, &view, &found, &answers, words.show).is_err() {
            return;
        }
    }
}

fn write(
    out: &mut impl Write,
    view: &sheet::View,
    found: &[Segment],
    answers: &[Answer],
    show: bool,
) -> std::io::Result<()> {
    if show {
        writeln!(out, "--- {:?} {} segments", view.style.list, found.len())?;
        for (s, a) in found.iter().zip(answers) {
            let head = &found[a.head].text;
            writeln!(
                out,
                "{:6.0} {:6.0} {:4} {:?} c{} l{} {:40} <- {}",
                s.left.x, s.left.y, s.line, a.role, a.column, a.level, s.text, head
            )?;
        }
        return Ok(());
    }
    let list = List::ALL.iter().position(|l| *l == view.style.list).unwrap_or(0) as u32;
    out.write_all(&(found.len() as u32).to_le_bytes())?;
    out.write_all(&list.to_le_bytes())?;
    for row in features::features(found, Frame { left: view.left, right: view.right }) {
        for value in row {
            out.write_all(&value.to_le_bytes())?;
        }
    }
    for a in answers {
        for value in [
            a.role as u16,
            a.head as u16,
            u16::from(a.level),
            u16::from(a.column),
            u16::from(a.leaf),
        ] {
            out.write_all(&value.to_le_bytes())?;
        }
    }
    Ok(())
}
