//! Layouts drawn from a grammar as wide as real books: each picture shows a list of its own edition in a layout of
//! its own, set in the tuning half's fonts.

mod features;
pub mod hand;
pub mod lines;
pub mod look;
pub mod source;
mod stock;

use crate::photograph::{self, Gathering};
use crate::random::Random;
use crate::shot::{Framing, Grade, Intrusion, Order};
use crate::styles::Half;
use crate::truth::{self, Printed, Says};
use crate::typeset;
use crate::words::{self, Role};
use lines::{Line, Piece};
use look::{List, Look};
use serde_json::{Value, json};
use source::Frame;
use std::error::Error;
use std::path::Path;
use stock::Stock;

/// Pages of a document that are looked at.
const PAGES: usize = 6;

/// An element of a deck that is shuffled anew whenever it is through.
fn dealt<T: Copy>(deck: &[T], seed: u64, purpose: &str, nth: usize) -> T {
    let mut random = Random::new(seed.wrapping_mul(1009) + (nth / deck.len()) as u64, purpose);
    let mut left = deck.to_vec();
    let mut out = deck[0];
    for _ in 0..=nth % deck.len() {
        out = left.swap_remove(random.index(left.len()));
    }
    out
}

/// What a line prints in order, with the letters of each piece.
fn printed_pieces(line: &Line, label_first: bool) -> Vec<&Piece> {
    let label = line.label.iter();
    match label_first && !line.inline {
        true => label.chain(&line.date).chain(&line.title).chain(&line.under).collect(),
        false => line.date.iter().chain(&line.title).chain(label).chain(&line.under).collect(),
    }
}

/// What must be known of a document to find its lines in it.
#[derive(Debug, Clone, Copy)]
pub struct Fit {
    /// Whether page labels are set before their titles.
    pub label_first: bool,
    /// Columns.
    pub columns: usize,
    /// Size of the type in points.
    pub size: f32,
}

/// Finds the lines on the pages of the PDF in `dir`; the pages after `PAGES` are left out.
fn find(lines: &[Line], fit: Fit, dir: &Path) -> Result<Vec<Vec<Printed>>, Box<dyn Error>> {
    let pages = words::pages(&dir.join("leaves.pdf"), fit.size * 0.3528 * 1.15)?;
    let mut out: Vec<Vec<Printed>> = pages.iter().map(|_| vec![]).collect();
    let (mut page, mut next) = (0, 0);
    for line in lines {
        let pieces: Vec<(Option<Role>, &str)> = printed_pieces(line, fit.label_first)
            .into_iter()
            .map(|p| (p.role, p.text.as_str()))
            .collect();
        let here = pages.get(page).and_then(|p| p.find(next, &pieces));
        let found = here.or_else(|| {
            (page, next) = (page + 1, 0);
            pages.get(page)?.find(0, &pieces)
        });
        let text = || pieces.iter().map(|p| p.1).collect::<Vec<_>>().join("|");
        let (marks, after) = found.ok_or_else(|| format!("not in {dir:?}: {}", text()))?;
        next = after;
        if let Some(says) = &line.says {
            out[page].push(Printed { says: says.clone(), marks });
        }
    }
    out.truncate(PAGES);
    out.iter_mut().for_each(|page| number_columns(page, fit.columns));
    Ok(out)
}

/// Rows say in which column they stand: a new one begins where print jumps back up.
fn number_columns(page: &mut [Printed], columns: usize) {
    let (mut column, mut low) = (1, 0.0);
    for printed in page {
        let top = printed.marks.iter().map(|m| m.rect[1]).fold(f32::MAX, f32::min);
        if top < low - 8.0 && column < columns {
            column += 1;
        }
        low = top;
        if let Says::Row(row) = &mut printed.says {
            row.column = column as u8;
        }
    }
}

/// Sets a document in type.
pub fn set(
    source: &str,
    lines: &[Line],
    fit: Fit,
    dir: &Path,
) -> Result<Gathering, Box<dyn Error>> {
    typeset::typst_pages(source, dir)?;
    let printed = find(lines, fit, dir)?;
    let prints = typeset::pictures(PAGES, 300, dir)?;
    let right = (0..prints.len()).map(|i| i % 2 == 0).collect();
    Ok(Gathering { right, prints, printed })
}

/// The leaf to show: one with some rows, each as likely as the other.
pub fn leaf(book: &Gathering, random: &mut Random) -> usize {
    let rows = |i: &usize| book.printed.get(*i).map_or(0, Vec::len);
    let most = (0..book.prints.len()).map(|i| rows(&i)).max().unwrap_or(0);
    let full: Vec<usize> = (0..book.prints.len()).filter(|i| rows(i) * 2 >= most).collect();
    *random.pick(&full)
}

/// How the photograph is taken.
pub fn order(book: &Gathering, leaf: usize, page: (f32, f32), grade: Grade, seed: u64) -> Order {
    let mut random = Random::new(seed, "drawn order");
    let right = book.right[leaf];
    let facing = if right { leaf.checked_sub(1) } else { Some(leaf + 1) };
    let both = facing.is_some_and(|f| f < book.prints.len());
    let open = grade != Grade::Flat && both && random.chance(0.1);
    let framing = if open { Framing::Both } else { Framing::One { right } };
    let long_side = if open { 3600 } else { 2300 } + random.index(6) as u32 * 120;
    let through = random.between(0.02, 0.98);
    let copy = random.bits();
    let over =
        if grade == Grade::Flat { Intrusion::default() } else { intrusion(&mut random, open) };
    Order { grade, framing, page, through, long_side, seed, copy, over }
}

fn intrusion(random: &mut Random, open: bool) -> Intrusion {
    Intrusion {
        strip: (!open && random.chance(0.3)).then(|| random.between(28.0, 65.0)),
        thumb: random.chance(0.2).then(|| random.between(6.0, 20.0)),
        ribbon: random.chance(0.13).then(|| random.between(0.08, 0.95)),
        crop: random.chance(0.1).then(|| random.between(0.08, 0.3)),
    }
}

fn lines_of(stock: &Stock, look: &Look, random: &mut Random) -> Vec<Line> {
    match look.list {
        List::Day => lines::days(stock, look, random),
        List::Prose => lines::prose(stock, random),
        _ => lines::lines(stock, look, random),
    }
}

fn frame(stock: &Stock, look: &Look, random: &mut Random) -> Frame {
    let intro = stock.words["intro"].as_array().map(|i| i.len()).unwrap_or(0);
    let sentence = |i: usize| stock.words["intro"][i].as_str().map(str::to_owned);
    let listed = !matches!(look.list, List::Prose | List::Day);
    Frame {
        title: stock.word("names", look.list.name()),
        intro: sentence(random.index(intro)).filter(|_| look.intro && listed),
        note: stock.words["note"].as_str().map(str::to_owned).filter(|_| look.note && listed),
        folio: 2 * random.index(700) as u32 + 1,
        language: stock.language,
    }
}

/// Languages, English as often as books are.
const LANGUAGES: [&str; 9] = ["en", "en", "es", "la", "de", "fr", "it", "pt", "pl"];

/// Makes one picture and returns its entry for the manifest.
fn picture(seed: u64, nth: usize, grade: Grade, dir: &Path) -> Result<Value, Box<dyn Error>> {
    let list = dealt(&List::DECK, seed, "lists", nth);
    // Every other day's page is a page without list or reference.
    let list =
        if list == List::Day && (nth / List::DECK.len()) % 2 == 1 { List::Prose } else { list };
    let language = dealt(&LANGUAGES, seed, "languages", nth);
    let own = seed.wrapping_mul(1_000_003) + nth as u64;
    let mut random = Random::new(own, "layout");
    let look = look::draw(&mut random, list);
    let stock = Stock::draw(language, own)?;
    let lines = lines_of(&stock, &look, &mut random);
    let frame = frame(&stock, &look, &mut random);
    let stem = format!("drawn-{nth:04}-{language}");
    let work = dir.join("print").join(&stem);
    let label_first = look.number == look::Number::Left;
    let fit = Fit { label_first, columns: look.columns, size: look.size };
    let book = set(&source::source(&look, &frame, &lines), &lines, fit, &work)?;
    let leaf = leaf(&book, &mut random);
    let order = order(&book, leaf, look.page, grade, own);
    let features = features::of(&look, &book, leaf, &order);
    if let Some(edition) = stock.edition() {
        truth::write(&truth::page_map(edition), &dir.join(format!("{stem}.truth.json")))?;
    }
    let kind = vec![list.kind(); book.shown(leaf, order.framing).len()].join("+");
    let (style, font, half) = ("drawn", look.font.name, Half::Tune.name());
    let label = Label { stem, kind, language, style, font, half, features };
    save(&book, leaf, &order, label, dir)
}

/// What the truth says of a picture besides its rows.
#[derive(Debug, Clone)]
pub struct Label {
    /// Name of its files.
    pub stem: String,
    /// Kind of the page.
    pub kind: String,
    /// Language code.
    pub language: &'static str,
    /// Style.
    pub style: &'static str,
    /// Font.
    pub font: &'static str,
    /// Half of the corpus.
    pub half: &'static str,
    /// What is unusual.
    pub features: Vec<&'static str>,
}

/// Takes the photograph, writes the truth beside it and returns its entry for the manifest.
pub fn save(
    book: &Gathering,
    leaf: usize,
    order: &Order,
    label: Label,
    dir: &Path,
) -> Result<Value, Box<dyn Error>> {
    let photo = format!("{}.jpg", label.stem);
    let sight = photograph::take(&book.open(leaf, *order), &dir.join(&photo))?;
    let seen = book.seen(leaf, order, &sight);
    let how = format!("generated by tests/press, picture seed {}", order.seed);
    let sheet = truth::Sheet {
        source: json!({ "title": "A page of an invented edition", "how": how }),
        photo,
        kind: label.kind,
        language: label.language,
        grade: order.grade.name(),
        half: Some(label.half),
        style: label.style,
        font: label.font,
        setter: "typst",
        rows: seen.rows,
        features: label.features,
        crossrefs: seen.references,
    };
    truth::write(&sheet, &dir.join(format!("{}.rows.json", label.stem)))?;
    Ok(truth::manifest_entry(&sheet))
}

/// Makes `count` pictures in `dir` and returns their entries for the manifest.
pub fn make(
    seed: u64,
    count: usize,
    grade: Option<Grade>,
    dir: &Path,
) -> Result<Vec<Value>, Box<dyn Error>> {
    let mut out = Vec::new();
    for nth in 0..count {
        let grade = grade.unwrap_or(Grade::MIX[nth % Grade::MIX.len()]);
        let entry = picture(seed, nth, grade, dir)?;
        eprintln!("{}: {} {} {}", entry["photo"], entry["grade"], entry["kind"], entry["features"]);
        out.push(entry);
    }
    Ok(out)
}
