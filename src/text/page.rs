//! One flattened page becomes rows: the stage's steps in their order.

use super::column::{self, Column};
use super::engine;
use super::ink::{Blob, Ink};
use super::line::{self, Chain, Line};
use super::rows::{self, Entry, Measure};
use super::split::{self, PrintedLabel, SplitLine};
use super::style::{self, Style};
use super::words::{self, ReadLine};
use super::{Alternative, CrossReference, Row, leaders, number, strip, tongue};
use crate::Result;
use crate::language::Language;
use crate::photo::Page;
use rayon::prelude::*;

/// What was read on one page.
pub struct ReadPage {
    /// Rows in reading order.
    pub rows: Vec<Row>,
    /// References on a day's page.
    pub crossrefs: Vec<CrossReference>,
    /// What a person should know.
    pub notices: Vec<String>,
}

/// A column whose lines have been read.
struct ReadColumn {
    number: u8,
    lines: Vec<ReadLine>,
}

/// Reads one page.
pub fn read(page: &Page, language: Option<Language>) -> Result<ReadPage> {
    engine::check(engine::DIGITS_LANGUAGE)?;
    let ink = Ink::of(&page.grey, page.x_height);
    let columns = layout(&ink);
    let columns = read_columns(page, &ink, columns, language)?;
    let all: Vec<&ReadLine> = columns.iter().flat_map(|c| &c.lines).collect();
    let style = style::style(&all, ink.letter);
    let mut notices = Vec::new();
    if style == Style::None {
        notices.push("no page numbers found on this page".to_owned());
    }
    let mut rows = Vec::new();
    for column in &columns {
        let (entries, orphans) = column_entries(column, style, ink.letter);
        notices.extend(orphans.iter().filter(|_| style != Style::None).map(orphan));
        let read: Result<Vec<Row>> =
            entries.par_iter().map(|e| row(page, &ink, e, style)).collect();
        rows.extend(read?);
    }
    Ok(ReadPage { rows, crossrefs: Vec::new(), notices })
}

fn orphan(label: &PrintedLabel) -> String {
    format!("the number {} stands alone and was given to no title", label.text)
}

/// Ink to columns of lines.
fn layout(ink: &Ink) -> Vec<(u8, Vec<Line>)> {
    let leaders = leaders::leaders(&ink.blobs, ink.letter);
    let mut dots: Vec<u32> = leaders.iter().flat_map(|l| l.labels.iter().copied()).collect();
    dots.sort_unstable();
    let is_dot = |label: u32| dots.binary_search(&label).is_ok();
    let kept: Vec<Blob> = ink.blobs.iter().filter(|b| !is_dot(b.label)).copied().collect();
    let columns = column::columns(line::chains(&kept, ink.letter), ink.letter);
    columns.into_iter().map(|c| (c.number, column_lines(c, &kept, &leaders, ink.letter))).collect()
}

fn column_lines(
    column: Column,
    kept: &[Blob],
    leaders: &[leaders::Leader],
    letter: f32,
) -> Vec<Line> {
    let mut lines = line::lines(column.chains, letter);
    line::attach(&mut lines, kept, &|_| false, letter);
    for line in &mut lines {
        let along = |l: &&leaders::Leader| {
            line::overlap((l.area.top, l.area.bottom), (line.area.top, line.area.bottom)) > 0.5
        };
        let beside = |p: &Chain, l: &leaders::Leader| {
            l.area.left > p.area.left && l.area.left - p.area.right < (letter * 6.0) as i32
        };
        line.leader =
            leaders.iter().filter(along).any(|l| line.parts.first().is_some_and(|p| beside(p, l)));
    }
    lines
}

fn read_columns(
    page: &Page,
    ink: &Ink,
    columns: Vec<(u8, Vec<Line>)>,
    language: Option<Language>,
) -> Result<Vec<ReadColumn>> {
    let lines: Vec<Line> = columns.iter().flat_map(|c| c.1.iter().cloned()).collect();
    let language = match language {
        Some(language) => language,
        None => tongue::guess(&page.grey, ink, &lines)?,
    };
    let code = tongue::code(language);
    let mut read = words::read_lines(&page.grey, ink, lines, code)?.into_iter();
    Ok(columns
        .into_iter()
        .map(|(number, lines)| ReadColumn {
            number,
            lines: read.by_ref().take(lines.len()).collect(),
        })
        .collect())
}

fn column_entries(
    column: &ReadColumn,
    style: Style,
    letter: f32,
) -> (Vec<Entry>, Vec<PrintedLabel>) {
    let edge = edge(&column.lines, letter);
    let lines: Vec<SplitLine> =
        column.lines.iter().map(|l| split::split(l, style, edge, letter)).collect();
    let measure = Measure::of(&lines, letter);
    rows::entries(&lines, column.number, measure, style)
}

/// Where most numbers at the end of lines end.
fn edge(lines: &[ReadLine], letter: f32) -> Option<i32> {
    let ends: Vec<i32> = lines
        .iter()
        .filter_map(|l| l.words.last())
        .filter(|w| style::arabic(&w.text))
        .map(|w| w.area.right)
        .collect();
    let near = |x: i32| ends.iter().filter(|e| (x - **e).abs() as f32 <= letter * 0.8).count();
    ends.iter().copied().max_by_key(|x| near(*x))
}

fn row(page: &Page, ink: &Ink, entry: &Entry, style: Style) -> Result<Row> {
    let read: Result<Vec<Vec<number::Answer>>> =
        entry.labels.iter().map(|l| label(page, ink, l)).collect();
    let read = read?;
    let pages: Vec<String> =
        read.iter().filter_map(|a| a.first()).map(|a| a.text.clone()).collect();
    let probability: f64 = read.iter().filter_map(|a| a.first()).map(|a| a.weight).product();
    let due = entry.leader && pages.is_empty() && style != Style::None;
    let alternatives = match read.as_slice() {
        [one] => one
            .iter()
            .map(|a| Alternative { page: a.text.clone(), weight: a.weight * 0.999 })
            .collect(),
        _ => Vec::new(),
    };
    let probability =
        if pages.is_empty() { if due { 0.2 } else { 0.9 } } else { probability * 0.999 };
    Ok(Row {
        title: rows::title(&entry.title),
        page: (!pages.is_empty()).then(|| pages.join(", ")),
        pages: if pages.len() > 1 { pages } else { Vec::new() },
        level: entry.level,
        column: entry.column,
        alternatives,
        probability,
        doubt: due || entry.odd || probability < 0.9,
        strip: strip::strip(page, entry.area),
    })
}

fn label(page: &Page, ink: &Ink, label: &PrintedLabel) -> Result<Vec<number::Answer>> {
    if !label.alone {
        return Ok(vec![number::Answer {
            text: label.text.clone(),
            weight: f64::from(label.word.confidence),
        }]);
    }
    number::read_again(&page.grey, ink, &label.word.blobs, &label.text)
}
