//! Typst source.

use super::{GAP, Leader, Leaf, MARGINS, Style};
use crate::lists::Entry;
use std::fmt::Write;

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

fn line(style: &Style, leader: Leader, entry: &Entry) -> String {
    let mut title = format!("#{}", quoted(&entry.title));
    if entry.heading {
        let inner = if style.small_caps { "smallcaps" } else { "strong" };
        let fill = if style.red { "rgb(184, 20, 26)" } else { "black" };
        title = format!("#text(fill: {fill}, {inner}({}))", quoted(&entry.title));
    }
    if let Some(subtitle) = &entry.subtitle {
        let _ = write!(title, ". #emph({})", quoted(subtitle));
    }
    let indent = 0.9 * f32::from(entry.level.saturating_sub(1));
    let above = entry.above();
    let lead = entry.lead.as_ref().map_or(String::new(), |l| {
        format!("#box(width: 0pt, place(right, dx: -.4em, dy: -.68em, box({})))", quoted(l))
    });
    let pages = entry.pages.join(", ").replace('-', "\u{2013}");
    let (gap, tail) = match (entry.pages.is_empty(), leader) {
        (true, _) => (String::new(), String::new()),
        (_, Leader::Comma) => (format!(", #{}", quoted(&pages)), String::new()),
        (_, Leader::Dots) => (" #box(width: 1fr, repeat(gap: .16em)[.])".into(), pages),
        (_, Leader::Wide) => (" #box(width: 1fr, repeat(gap: .8em)[.])".into(), pages),
        (_, Leader::Space) => (" #h(1fr)".into(), pages),
    };
    format!("#row({indent}em, {above}, [{lead}{title}{gap}], {})\n", quoted(&tail))
}

fn leaf(style: &Style, leaf: &Leaf) -> String {
    let [head, _, gutter, fore] = MARGINS;
    let left = if leaf.right { gutter } else { fore };
    let width = style.page.0 - gutter - fore;
    let mut out = String::new();
    let mut put = |x: f32, y: f32, w: f32, what: &str| {
        let _ =
            writeln!(out, "#place(top + left, dx: {x}mm, dy: {y}mm, block(width: {w}mm)[{what}])");
    };
    let centred = |size: f32, text: &str| {
        format!("#align(center, text(size: {size}em, smallcaps({})))", quoted(text))
    };
    put(left, head - 11.0, width, &centred(0.9, &leaf.head));
    put(left, style.page.1 - 12.0, width, &format!("#align(center, {})", quoted(&leaf.folio)));
    let mut top = head;
    if let Some(title) = &leaf.title {
        put(left, head, width, &centred(1.5, title));
        top += 13.0;
    }
    let column = style.column(leaf.columns.len());
    for (i, entries) in leaf.columns.iter().enumerate() {
        let lines: String = entries.iter().map(|e| line(style, leaf.leader, e)).collect();
        put(left + i as f32 * (column + GAP), top, column, &format!("\n{lines}"));
    }
    out
}

/// The whole document, a page for each leaf.
pub fn source(style: &Style, leaves: &[Leaf]) -> String {
    let (w, h) = style.page;
    let figures = if style.old_figures { "old-style" } else { "lining" };
    let pages: Vec<String> = leaves.iter().map(|l| leaf(style, l)).collect();
    format!(
        r#"#set page(width: {w}mm, height: {h}mm, margin: 0mm)
#set text(font: "{font}", size: {size}pt, number-type: "{figures}", hyphenate: false, lang: "en",
  top-edge: 0.75em, bottom-edge: -0.25em)
#set par(leading: {extra}em, spacing: {extra}em)
#let row(indent, above, title, page) = block(above: {extra}em + above * {leading}em, below: {extra}em,
  inset: (left: indent), grid(columns: (1fr, auto), column-gutter: .35em, align: (left, right + bottom),
  par(hanging-indent: 1.3em, title), page))
{body}"#,
        font = style.font,
        size = style.size,
        leading = style.leading,
        extra = style.leading - 1.0,
        body = pages.join("#pagebreak()\n")
    )
}
