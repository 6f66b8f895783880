//! One flattened page becomes rows: the stage's steps in their order.

use super::column::{self, Column};
use super::crossref::{self, Reference};
use super::engine;
use super::ink::{Blob, Ink};
use super::line::{self, Chain, Line};
use super::rows::{self, Entry, Measure};
use super::split::{self, PrintedLabel, SplitLine};
use super::straighten::Lean;
use super::style::{self, Edges, Style};
use super::words::{self, PageWord, ReadLine};
use super::{
    Alternative, CrossReference, Row, accent, beside, leaders, level, lone, number, ordinal, strip,
    tongue, trust,
};
use crate::Result;
use crate::language::Language;
use crate::photo::Page;
use image::GrayImage;
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

/// A page set upright with its ink.
pub struct Sheet<'a> {
    page: &'a Page,
    /// The picture, upright.
    pub grey: GrayImage,
    /// Its ink.
    pub ink: Ink,
    lean: Lean,
}

impl Sheet<'_> {
    /// Finds the ink and sets leaning columns upright.
    pub fn of(page: &Page) -> Sheet<'_> {
        let ink = Ink::of(&page.grey, page.x_height);
        let lean = Lean::of(&line::chains(&ink.blobs, ink.letter), ink.letter, page.grey.height());
        if lean == Lean::NONE {
            return Sheet { page, grey: page.grey.clone(), ink, lean };
        }
        let grey = lean.upright(&page.grey);
        let ink = Ink::of(&grey, page.x_height);
        Sheet { page, grey, ink, lean }
    }
}

/// A column whose lines have been read.
struct ReadColumn {
    number: u8,
    lines: Vec<ReadLine>,
}

/// Reads one page, or both of an open book that its gutter parts.
pub fn read(page: &Page, language: Option<Language>) -> Result<ReadPage> {
    engine::check(engine::DIGITS_LANGUAGE)?;
    let mut sheet = Sheet::of(page);
    let letter = sheet.ink.letter;
    let leaves: Vec<Layout> = sheet.ink.leaves().iter().map(|l| layout(l, letter)).collect();
    sheet.ink.mark_used(leaves.iter().flat_map(Layout::labels));
    let sheet = sheet;
    let lines: Vec<Line> = leaves.iter().flat_map(Layout::lines).cloned().collect();
    let language = match language {
        Some(language) => language,
        None => tongue::guess(&sheet.grey, &sheet.ink, &lines)?,
    };
    let mut all = ReadPage { rows: Vec::new(), crossrefs: Vec::new(), notices: Vec::new() };
    for leaf in leaves {
        let found = read_leaf(&sheet, leaf, language)?;
        all.rows.extend(found.rows);
        all.crossrefs.extend(found.crossrefs);
        all.notices.extend(found.notices);
    }
    Ok(all)
}

fn read_leaf(sheet: &Sheet, leaf: Layout, language: Language) -> Result<ReadPage> {
    let columns = read_columns(sheet, leaf.columns, language)?;
    let references: Vec<Reference> =
        columns.iter().flat_map(|c| crossref::references(&c.lines)).collect();
    if day_page(&columns, references.len()) {
        let crossrefs =
            references.iter().map(|r| cross_reference(sheet, r)).collect::<Result<_>>()?;
        return Ok(ReadPage { rows: Vec::new(), crossrefs, notices: Vec::new() });
    }
    list(sheet, &columns)
}

/// A day's page: most numbers at the ends of its lines belong to references.
fn day_page(columns: &[ReadColumn], references: usize) -> bool {
    let lines = columns.iter().flat_map(|c| &c.lines);
    let numbers = lines.filter(|l| l.words.last().is_some_and(|w| style::arabic(&w.text))).count();
    references > 0 && references * 2 >= numbers
}

fn list(sheet: &Sheet, columns: &[ReadColumn]) -> Result<ReadPage> {
    let all: Vec<&[ReadLine]> = columns.iter().map(|c| c.lines.as_slice()).collect();
    let style = style::style(&all, sheet.ink.letter);
    let mut found = ReadPage { rows: Vec::new(), crossrefs: Vec::new(), notices: Vec::new() };
    if style == Style::None {
        found.notices.push("no page numbers found on this page".to_owned());
        if columns.iter().any(|c| style::prose(&c.lines, sheet.ink.letter)) {
            found.notices.push(
                "it looks like running text, not like a list; nothing was taken from it".to_owned(),
            );
            return Ok(found);
        }
    }
    for column in columns {
        let (entries, orphans) = column_entries(column, style, sheet.ink.letter);
        found.notices.extend(
            orphans.iter().filter(|o| style != Style::None && !o.text.is_empty()).map(orphan),
        );
        let read: Result<Vec<Row>> = entries.par_iter().map(|e| row(sheet, e, style)).collect();
        found.rows.extend(read?);
    }
    trust::distrust_descending_pages(&mut found.rows);
    trust::settle(&mut found.rows);
    if trust::distrust_hard_page(&mut found.rows) {
        found.notices.push("much of this page is hard to read: every row needs a look".to_owned());
    }
    Ok(found)
}

fn orphan(label: &PrintedLabel) -> String {
    format!("the number {} stands alone and was given to no title", label.text)
}

/// The lines of a page.
pub struct Layout {
    /// Columns of lines, each with its number.
    pub columns: Vec<(u8, Vec<Line>)>,
    /// Labels of the leaders' dots.
    dots: Vec<u32>,
}

impl Layout {
    fn lines(&self) -> impl Iterator<Item = &Line> {
        self.columns.iter().flat_map(|c| &c.1)
    }

    fn labels(&self) -> impl Iterator<Item = u32> + '_ {
        let blobs = self.lines().flat_map(|l| &l.parts).flat_map(|p| &p.blobs);
        blobs.map(|b| b.label).chain(self.dots.iter().copied())
    }
}

/// Ink to columns of lines.
pub fn layout(blobs: &[Blob], letter: f32) -> Layout {
    let leaders = leaders::leaders(blobs, letter);
    let mut dots: Vec<u32> = leaders.iter().flat_map(|l| l.labels.iter().copied()).collect();
    dots.sort_unstable();
    let is_dot = |b: &&Blob| dots.binary_search(&b.label).is_ok();
    let kept: Vec<Blob> = blobs.iter().filter(|b| !is_dot(b)).copied().collect();
    let dotted = |l: &leaders::Leader| {
        let blobs = blobs.iter().filter(|b| l.labels.contains(&b.label)).copied().collect();
        Chain::of_leader(blobs, letter)
    };
    let chains = line::absorbed(line::chains(&kept, letter), letter);
    let columns = column::columns(chains, leaders.iter().filter_map(dotted).collect(), letter);
    let lines = |c: Column| (c.number, column_lines(c, &kept, letter));
    Layout { columns: columns.into_iter().map(lines).collect(), dots }
}

fn column_lines(column: Column, kept: &[Blob], letter: f32) -> Vec<Line> {
    let printed = |c: &Chain| c.is_leader() || line::printed(c, letter);
    let mut chains: Vec<Chain> = column.chains.into_iter().filter(printed).collect();
    level::level(&mut chains, letter);
    let mut lines = line::lines(chains, letter);
    for line in &mut lines {
        line.leader = line.parts.iter().any(Chain::is_leader);
        line.parts.retain(|p| !p.is_leader());
        line.area =
            line.parts.iter().map(|p| p.area).reduce(|a, b| a.union(&b)).unwrap_or(line.area);
    }
    lines.retain(|l| !l.parts.is_empty());
    line::attach(&mut lines, kept, letter);
    lines
}

fn read_columns(
    sheet: &Sheet,
    columns: Vec<(u8, Vec<Line>)>,
    language: Language,
) -> Result<Vec<ReadColumn>> {
    let lines: Vec<Line> = columns.iter().flat_map(|c| c.1.iter().cloned()).collect();
    let code = tongue::code(language);
    let mut read = words::read_lines(&sheet.grey, &sheet.ink, lines, code)?;
    restore_accents(&mut read, &sheet.ink);
    ordinal::restore(&mut read);
    read.par_iter_mut().try_for_each(|line| lone::correct(line, &sheet.grey, &sheet.ink))?;
    let mut read = read.into_iter();
    let column = |(number, lines): (u8, Vec<Line>)| ReadColumn {
        number,
        lines: read.by_ref().take(lines.len()).collect(),
    };
    Ok(columns.into_iter().map(column).collect())
}

/// How many accented letters Tesseract must find before single marks over letters count as accents too.
const ACCENTED_PAGE: usize = 3;

fn restore_accents(lines: &mut [ReadLine], ink: &Ink) {
    let letters = lines.iter().flat_map(|l| &l.words).flat_map(|w| w.text.chars());
    let accented = letters.filter(|c| c.is_alphabetic() && !c.is_ascii()).count() >= ACCENTED_PAGE;
    for word in lines.iter_mut().flat_map(|l| &mut l.words) {
        accent::restore(word, ink, accented);
    }
}

fn column_entries(
    column: &ReadColumn,
    style: Style,
    letter: f32,
) -> (Vec<Entry>, Vec<PrintedLabel>) {
    let edges = Edges::of(&column.lines, letter);
    let lines: Vec<SplitLine> =
        column.lines.iter().map(|l| split::split(l, style, edges, letter)).collect();
    let measure = Measure::of(&lines, letter);
    let (mut entries, orphans) = rows::entries(&lines, column.number, &measure, style);
    entries.retain(|e| !grain(e));
    if slips(&column.lines) {
        entries.iter_mut().filter(|e| !e.leader && !e.labels.is_empty()).for_each(|e| e.odd = true);
    }
    (entries, orphans)
}

/// Whether the parts of many lines stand on different heights: on a sheet that is not quite flat a number can slip
/// to the title above or below, and then the whole column has.
fn slips(lines: &[ReadLine]) -> bool {
    let steps: Vec<f32> = lines.iter().filter_map(|l| l.step).collect();
    let high = steps.iter().filter(|s| **s > HIGH_STEP).count();
    steps.len() >= 5 && high as f32 > MOST_HIGH * steps.len() as f32
}

/// Within a printed line the parts step by less than this, in letter heights.
const HIGH_STEP: f32 = 0.4;
/// Share of the lines that may step higher: torn letters do.
const MOST_HIGH: f32 = 0.2;

fn row(sheet: &Sheet, entry: &Entry, style: Style) -> Result<Row> {
    let read = entry.labels.iter().map(|l| label(sheet, l)).collect::<Result<Vec<_>>>()?;
    let best: Vec<&number::Answer> = read.iter().filter_map(|a| a.first()).collect();
    let pages: Vec<String> = best.iter().map(|a| a.text.clone()).collect();
    let alternatives = match read.as_slice() {
        [one] => {
            one.iter().map(|a| Alternative { page: a.text.clone(), weight: a.weight }).collect()
        }
        _ => Vec::new(),
    };
    let lost = entry.labels.len() > pages.len()
        || (entry.leader && pages.is_empty() && style != Style::None);
    let shape = trust::Shape { lost, odd: entry.odd || garbled(entry) };
    let probability = trust::probability(&best, shape);
    Ok(Row {
        title: rows::title(&entry.title),
        page: (!pages.is_empty()).then(|| pages.join(", ")),
        pages: if pages.len() > 1 { pages } else { Vec::new() },
        level: entry.level,
        column: entry.column,
        alternatives,
        probability,
        doubt: probability < trust::SURE,
        strip: strip::strip(sheet.page, sheet.lean.box_back(entry.area)),
    })
}

/// A title that Tesseract itself hardly believes: a person must look, whatever its number.
fn garbled(entry: &Entry) -> bool {
    believed(entry) < GARBLED
}

/// Tesseract's confidence in a title, mean over its letters.
fn believed(entry: &Entry) -> f32 {
    let letters = |w: &PageWord| w.text.chars().count() as f32;
    let all: f32 = entry.title.iter().map(letters).sum();
    let sure: f32 = entry.title.iter().map(|w| w.confidence * letters(w)).sum();
    if all > 0.0 { sure / all } else { 1.0 }
}

/// Specks of a table or a cover that were taken for letters: Tesseract believes none of them.
fn grain(entry: &Entry) -> bool {
    believed(entry) < GRAIN && (entry.labels.is_empty() || rows::letters(&entry.title) <= 2)
}

/// Mean confidence of a title below which it is grain, if no number says otherwise.
const GRAIN: f32 = 0.3;
/// Mean confidence of a title below which it is garbled. By trial: clean print stays above 0.8.
const GARBLED: f32 = 0.6;

fn cross_reference(sheet: &Sheet, reference: &Reference) -> Result<CrossReference> {
    let read = reference.labels.iter().map(|l| label(sheet, l)).collect::<Result<Vec<_>>>()?;
    let best: Vec<&number::Answer> = read.iter().filter_map(|a| a.first()).collect();
    let shape = trust::Shape { lost: reference.labels.len() > best.len(), odd: false };
    let doubt = trust::probability(&best, shape) < trust::SURE;
    Ok(CrossReference {
        label: reference.label.clone(),
        pages: best.iter().map(|a| a.text.clone()).collect(),
        doubt,
    })
}

fn label(sheet: &Sheet, label: &PrintedLabel) -> Result<Vec<number::Answer>> {
    if label.blobs.is_empty() {
        // Nothing to look at twice: half of Tesseract's confidence, which puts it in doubt.
        return Ok(vec![number::Answer {
            text: label.text.clone(),
            weight: f64::from(label.confidence) / 2.0,
        }]);
    }
    let mut answers = number::read_again(&sheet.grey, &sheet.ink, &label.blobs, &label.text)?;
    if beside::unclaimed(&sheet.grey, &sheet.ink, &label.blobs) {
        answers.iter_mut().for_each(|a| a.weight *= beside::KEEPS);
    }
    Ok(answers)
}
