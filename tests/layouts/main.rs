//! Pages that do not exist, as the eyes would give them, without a picture: what the model of the page is fitted on.
//!
//! ```text
//! layouts --seed S --count N --out FILE
//! ```
//! writes N pages, each a record of little-endian numbers: the count n of segments and the kind of list (u32), the
//! features of [`vitta::text::layout::features`] row by row (f32), then for each segment role, head, level, column
//! and leaf (u16). The head of an entry is the first segment of its title; every segment of the entry names it.

#![allow(clippy::unwrap_used)]

mod compose;
mod eyes;
#[path = "../press/random.rs"]
#[allow(dead_code)]
mod random;
mod sheet;
mod style;
mod words;

use clap::Parser;
use compose::Role;
use random::Random;
use std::collections::HashMap;
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

/// The truth of one segment.
#[derive(Clone, Copy)]
struct Answer {
    role: Role,
    head: usize,
    level: u8,
    column: u8,
    leaf: u8,
}

fn answers(found: &[Segment], read: &[eyes::Read]) -> Vec<Answer> {
    let mut heads: HashMap<usize, usize> = HashMap::new();
    let own: Vec<(Answer, Option<usize>)> =
        found.iter().enumerate().map(|(i, s)| own(i, s, read)).collect();
    let in_title = |a: &Answer| matches!(a.role, Role::Title | Role::Heading | Role::ReferenceText);
    for (i, (answer, entry)) in own.iter().enumerate() {
        let Some(entry) = entry.filter(|_| in_title(answer)) else { continue };
        let before = |other: usize| {
            let (a, b) = (&found[i], &found[other]);
            let same_line = (a.left.y - b.left.y).abs() < 0.6 * a.height;
            let same_column = answer.column == own[other].0.column;
            if same_column && !same_line { a.left.y < b.left.y } else { a.left.x < b.left.x }
        };
        if heads.get(&entry).is_none_or(|other| before(*other)) {
            heads.insert(entry, i);
        }
    }
    let with_head = |(i, (answer, entry)): (usize, &(Answer, Option<usize>))| Answer {
        head: entry.and_then(|e| heads.get(&e).copied()).unwrap_or(i),
        ..*answer
    };
    own.iter().enumerate().map(with_head).collect()
}

fn own(i: usize, segment: &Segment, read: &[eyes::Read]) -> (Answer, Option<usize>) {
    let truth = &read[segment.line].truth[segment.marks.0..segment.marks.1];
    let printed: Vec<_> = truth.iter().filter(|s| s.char.letter != ' ').collect();
    let mut counts: Vec<(Role, Option<usize>, usize)> = Vec::new();
    for s in &printed {
        match counts.iter_mut().find(|c| c.0 == s.char.role && c.1 == s.entry) {
            Some(count) => count.2 += 1,
            None => counts.push((s.char.role, s.entry, 1)),
        }
    }
    let best = counts.iter().max_by_key(|c| c.2).copied();
    let (role, entry, _) = best.unwrap_or((Role::Furniture, None, 0));
    let place = printed.iter().find(|s| s.entry == entry).copied();
    let (level, column, leaf) = place.map_or((1, 0, 0), |s| (s.level, s.column, s.leaf));
    let belongs = !matches!(
        role,
        Role::Furniture | Role::Marginal | Role::Prose | Role::Facing | Role::Leader
    );
    (Answer { role, head: i, level, column, leaf }, entry.filter(|_| belongs))
}

fn write(
    out: &mut impl Write,
    view: &sheet::View,
    found: &[Segment],
    answers: &[Answer],
    show: bool,
) -> std::io::Result<()> {
    if show {
        writeln!(out, "--- {:?} {} segments", view.list, found.len())?;
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
    let list = List::ALL.iter().position(|l| *l == view.list).unwrap_or(0) as u32;
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
