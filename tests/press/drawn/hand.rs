//! Two layouts written by hand for the reporting half, in its fonts, which no draw of the grammar makes: page numbers
//! in brackets after ragged titles with the month beside the column, and a table ruled in boxes.

use super::lines::{Line, Piece, date, piece};
use super::look::{DateForm, List, Type};
use super::source::{pieces, quoted};
use super::stock::{Item, Stock, texts};
use super::{Fit, Label, leaf, order, save, set};
use crate::random::Random;
use crate::shot::{Grade, Intrusion};
use crate::sight::Boxes;
use crate::styles::Half;
use crate::truth::{Row, Says};
use crate::words::Role;
use serde_json::Value;
use std::error::Error;
use std::fmt::Write;
use std::path::Path;

/// A layout written by hand.
#[derive(Debug, Clone, Copy)]
pub struct Hand {
    name: &'static str,
    font: &'static str,
    size: f32,
    columns: usize,
    page: (f32, f32),
    features: &'static [&'static str],
    lines: fn(&Stock) -> Vec<Line>,
    body: fn(&[Line]) -> String,
}

/// Both layouts.
pub const ALL: [Hand; 2] = [
    Hand {
        name: "marlow",
        font: "Vollkorn",
        size: 9.0,
        columns: 2,
        page: (200.0, 280.0),
        features: &["number-brackets", "side-heads", "two-columns", "date-before"],
        lines: side_headed,
        body: side_heads,
    },
    Hand {
        name: "norcia",
        font: "Cardo",
        size: 9.4,
        columns: 1,
        page: (185.0, 265.0),
        features: &["table", "one-column", "date-column-middle"],
        lines: tabled,
        body: table,
    },
];

const LANGUAGES: [&str; 6] = ["de", "fr", "en", "it", "pl", "pt"];

fn row(item: &Item, title: String) -> Option<Says> {
    let page = (!item.pages.is_empty()).then(|| item.pages.join(", "));
    Some(Says::Row(Row {
        title,
        page,
        pages: vec![],
        level: item.level,
        column: 1,
        lead: None,
        place: item.place.clone(),
        boxes: Boxes::default(),
        cut: false,
    }))
}

fn plain(role: Role, text: &str) -> Vec<Piece> {
    vec![piece(Some(role), text, Type::default())]
}

fn side_headed(stock: &Stock) -> Vec<Line> {
    let months = texts(&stock.words["months"]);
    let mut out = Vec::new();
    let mut month = None;
    for item in stock.items(List::Months) {
        let (own, day) = item.day.unwrap_or((0, 1));
        if month != Some(own) {
            let name = months.get(own).cloned().unwrap_or_default();
            let head = Item { title: name.clone(), level: 1, ..Item::default() };
            let face = Type { italic: true, ..Type::default() };
            let title = vec![piece(Some(Role::Title), &name, face)];
            out.push(Line { heading: true, title, says: row(&head, name), ..Line::default() });
        }
        month = Some(own);
        let text = format!("{day}. {}", item.title);
        out.push(Line {
            title: plain(Role::Title, &text),
            label: plain(Role::Label, &item.pages.concat()),
            says: row(&item, text),
            ..Line::default()
        });
    }
    out
}

fn side_heads(lines: &[Line]) -> String {
    let mut out = String::new();
    let mut head = String::new();
    for line in lines {
        if line.heading {
            let turned = format!("text(fill: rubric)[{}]", pieces(&line.title));
            head = format!(
                "#place(top + left, dx: -17mm, box(width: 15.5mm, align(right, {turned})))"
            );
            continue;
        }
        let _ = writeln!(
            out,
            "#block(breakable: false, width: 100%, above: .45em, below: 0pt)[{head}#par(hanging-indent: 1em)[{} \\[{}\\]]]",
            pieces(&line.title),
            pieces(&line.label)
        );
        head.clear();
    }
    format!(
        "#set page(columns: 2, margin: (left: 24mm, right: 14mm, top: 22mm, bottom: 20mm))\n#set columns(gutter: 21mm)\n{out}"
    )
}

fn tabled(stock: &Stock) -> Vec<Line> {
    let mut out = Vec::new();
    for item in stock.items(List::Months) {
        let day = date(stock, DateForm::Short, item.day.unwrap_or((0, 1)));
        let mut title = plain(Role::Title, &item.title);
        title.extend(plain(Role::Title, &day));
        out.push(Line {
            title,
            label: plain(Role::Label, &item.pages.concat()),
            says: row(&item, format!("{} {day}", item.title)),
            ..Line::default()
        });
    }
    out
}

fn table(lines: &[Line]) -> String {
    let mut cells = String::new();
    for line in lines {
        let [title, day] = [&line.title[..1], &line.title[1..]].map(pieces);
        let _ = writeln!(cells, "[{title}], [{day}], [{}],", pieces(&line.label));
    }
    format!(
        "#set page(margin: (x: 19mm, top: 22mm, bottom: 20mm))\n#table(columns: (1fr, 19mm, 13mm), stroke: .5pt, inset: (x: 1.6mm, y: .9mm), align: (left, left, center), {cells})"
    )
}

fn source(hand: &Hand, stock: &Stock, lines: &[Line]) -> String {
    let (w, h) = hand.page;
    format!(
        r#"#let rubric = rgb(184, 20, 26)
#set page(width: {w}mm, height: {h}mm, header: align(center, text(size: .85em, {title})), footer: align(center, context counter(page).display()))
#set text(font: "{font}", size: {size}pt, hyphenate: false, lang: "{language}", top-edge: .75em, bottom-edge: -.25em)
#set par(leading: .16em, spacing: .16em)
{body}"#,
        title = quoted(&stock.word("names", "months")),
        font = hand.font,
        size = hand.size,
        language = stock.language,
        body = (hand.body)(lines),
    )
}

/// Makes the pictures with these numbers in the layout `hand`.
pub fn make(
    hand: &Hand,
    seed: u64,
    grade: Option<Grade>,
    numbers: impl Iterator<Item = usize>,
    dir: &Path,
) -> Result<Vec<(usize, Value)>, Box<dyn Error>> {
    let mut out = Vec::new();
    for (i, nth) in numbers.enumerate() {
        let own = seed.wrapping_mul(1_000_003) + nth as u64;
        let language = LANGUAGES[(i + hand.columns * 2) % LANGUAGES.len()];
        let stock = Stock::draw(language, own)?;
        let lines = (hand.lines)(&stock);
        let stem = format!("report-{nth:04}-{}", hand.name);
        let fit = Fit { label_first: false, columns: hand.columns, size: hand.size };
        let book = set(&source(hand, &stock, &lines), &lines, fit, &dir.join("print").join(&stem))?;
        let leaf = leaf(&book, &mut Random::new(own, "hand"));
        let grade = grade.unwrap_or(Grade::MIX[i % Grade::MIX.len()]);
        let mut order = order(&book, leaf, hand.page, grade, own);
        order.over = Intrusion::default();
        let kind = vec!["months"; book.shown(leaf, order.framing).len()].join("+");
        let features = hand.features.to_vec();
        let (style, font, half) = (hand.name, hand.font, Half::Report.name());
        let label = Label { stem, kind, language, style, font, half, features };
        let entry = save(&book, leaf, &order, label, dir)?;
        eprintln!("{}: {} {}", entry["photo"], entry["grade"], entry["kind"]);
        out.push((nth, entry));
    }
    Ok(out)
}
