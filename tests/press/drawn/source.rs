//! Typst source of a drawn list: the text flows through columns and pages by itself.

use super::lines::{Line, Piece};
use super::look::{DateForm, DatePlace, Leader, Look, Number, Running, Type};
use std::fmt::Write;

/// What stands around the list.
#[derive(Debug, Clone)]
pub struct Frame {
    /// Its heading.
    pub title: String,
    /// Sentence under the heading.
    pub intro: Option<String>,
    /// Note at the foot of the first page.
    pub note: Option<String>,
    /// Number of the first page, which lies on the right.
    pub folio: u32,
    /// Language code.
    pub language: &'static str,
}

/// Margins in mm: head, foot, gutter, fore-edge.
pub const MARGINS: [f32; 4] = [19.0, 21.0, 21.0, 16.0];

/// A Typst string.
pub fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

fn typed(inner: &str, face: Type, size: f32) -> String {
    let mut inner = inner.to_owned();
    if face.small_caps {
        inner = format!("smallcaps({inner})");
    }
    if face.caps {
        inner = format!("text(size: .86em, tracking: .04em, upper({inner}))");
    }
    let mut how = String::new();
    if face.red {
        how += "fill: rubric, ";
    }
    if face.bold {
        how += "weight: \"bold\", ";
    }
    if face.italic {
        how += "style: \"italic\", ";
    }
    if size < 1.0 {
        let _ = write!(how, "size: {size}em, ");
    }
    format!("#text({how}{inner})")
}

/// Pieces as Typst markup.
pub fn pieces(list: &[Piece]) -> String {
    list.iter().map(|p| typed(&quoted(&p.text), p.face, p.size.max(0.1))).collect()
}

fn leader(look: &Look) -> String {
    match look.leader {
        Leader::None => "#h(1fr)".into(),
        Leader::Rule => " #box(width: 1fr, line(length: 100%, stroke: .35pt))".into(),
        Leader::Dots(gap) => format!(" #box(width: 1fr, repeat(gap: {gap}em)[.])"),
    }
}

/// Width of the column of dates, ems.
fn date_width(look: &Look) -> f32 {
    match look.form {
        DateForm::Day => 1.3,
        DateForm::Short => 4.2,
        DateForm::Numeric | DateForm::RomanMonth => 3.2,
        DateForm::Long => 7.2,
    }
}

fn par(look: &Look, text: &str) -> String {
    format!("#par(hanging-indent: {}em)[{text}]", look.hang)
}

/// What stands between title and page in a line; references bring their own.
fn before_label(look: &Look, line: &Line) -> &'static str {
    match (line.label.first().is_some_and(|p| p.role.is_none()), look.number) {
        (true, _) => "",
        (_, Number::Dash) => " – ",
        (_, Number::Space) => "  ",
        _ => ", ",
    }
}

/// The cells of an entry with the widths of their columns.
fn cells(look: &Look, line: &Line, after: &str) -> (String, String) {
    let title = pieces(&line.title);
    let label = pieces(&line.label);
    let numbered = !line.label.is_empty();
    let (mut widths, mut cells) = (String::new(), String::new());
    if look.number == Number::Left && !line.inline {
        let wide = if look.list == super::look::List::Contents { 3.4 } else { 2.3 };
        let side = if look.hang > 1.2 { "left" } else { "right" };
        let _ = write!(widths, "{wide}em, ");
        let _ = write!(cells, "align({side})[{label}], ");
    }
    if look.date == DatePlace::Column && !line.heading {
        let side = if look.indent > 0.0 { "right" } else { "left" };
        let _ = write!(widths, "{}em, ", date_width(look));
        let _ = write!(cells, "align({side})[{}], ", pieces(&line.date));
    }
    widths += "1fr, ";
    let mark = before_label(look, line);
    match (line.inline, numbered, look.number) {
        (true, true, _) => {
            let text = format!("{title}#{}{label}{after}", quoted(mark));
            let _ = write!(cells, "[{}], ", par(look, &text));
        }
        (false, true, Number::Right) => {
            let _ = write!(cells, "[{}], ", par(look, &(title + &leader(look))));
            let _ = write!(cells, "align(right + bottom)[{label}], ");
            widths += "auto, ";
        }
        (false, true, Number::RightOfFirst) => {
            let _ = write!(cells, "[{}], ", par(look, &title));
            let _ = write!(cells, "align(right)[{label}], ");
            widths += "auto, ";
        }
        _ => {
            let _ = write!(cells, "[{}], ", par(look, &(title + after)));
        }
    }
    (widths, cells)
}

/// A line and those that run on in its paragraph.
fn block(look: &Look, line: &Line, joined: &[Line]) -> String {
    let after: String = joined
        .iter()
        .map(|l| {
            let mark = quoted(before_label(look, l));
            format!("{}#{mark}{}", pieces(&l.title), pieces(&l.label))
        })
        .collect();
    let over = match (line.heading, line.level) {
        (true, 1) => 0.8,
        (true, _) => 0.35,
        _ => look.apart,
    };
    let indent = look.indent * f32::from(line.level.saturating_sub(1));
    let above = look.leading - 1.0 + over;
    let margin = line.margin.as_ref().map_or(String::new(), |m| {
        format!("#place(top + left, dx: -8.5mm - {indent}em, text(size: .78em, {}))", quoted(m))
    });
    let under = match line.under.is_empty() {
        true => String::new(),
        false => format!(
            "#v({}em, weak: true)#pad(left: {}em)[{}]",
            look.leading - 1.0,
            under_indent(look),
            pieces(&line.under)
        ),
    };
    let sticky = if line.heading { "sticky: true, " } else { "" };
    let body = if line.heading && look.centred && line.label.is_empty() {
        format!("#align(center)[{}]", pieces(&line.title))
    } else {
        let (widths, cells) = cells(look, line, &after);
        let wide = if look.number == Number::RightOfFirst { 1.4 } else { 0.55 };
        format!("#grid(columns: ({widths}), column-gutter: {wide}em, {cells})")
    };
    format!(
        "#block({sticky}breakable: false, width: 100%, above: {above}em, below: 0pt, inset: (left: {indent}em))[{margin}{body}{under}]\n"
    )
}

/// Lines under a title stand under the title, not under date or number.
fn under_indent(look: &Look) -> f32 {
    let date = if look.date == DatePlace::Column { date_width(look) + 0.55 } else { 0.0 };
    let number = if look.number == Number::Left { 2.85 } else { 0.0 };
    date + number + look.hang.min(1.0)
}

fn running(look: &Look, frame: &Frame) -> String {
    let head = quoted(&frame.title);
    let folio = "context counter(page).display()";
    let outer = "if calc.odd(counter(page).get().first()) { right } else { left }";
    match look.running {
        Running::HeadAndFoot => format!(
            "header: align(center, text(size: .82em, smallcaps({head}))), footer: align(center, {folio}),"
        ),
        Running::Head => format!(
            "header: context {{ let outer = {outer}; align(outer, text(size: .85em, style: \"italic\", if outer == right {{ [#{head}#h(1.5em)#counter(page).display()] }} else {{ [#counter(page).display()#h(1.5em)#{head}] }})) }}, footer: none,"
        ),
        Running::Foot => format!("header: none, footer: align(center, [– #{folio} –]),"),
        Running::Nothing => "header: none, footer: none,".into(),
    }
}

fn rules(look: &Look, gutter: f32) -> String {
    if !look.column_rule {
        return String::new();
    }
    let [head, foot, inner, outer] = MARGINS;
    let text = look.page.0 - inner - outer;
    let step = (text + gutter) / look.columns as f32;
    let mut out =
        String::from("background: context { let odd = calc.odd(counter(page).get().first())\n");
    for i in 1..look.columns {
        let x = step * i as f32 - gutter / 2.0;
        let _ = writeln!(
            out,
            "let from = if here().page() == 1 {{ {}mm }} else {{ {head}mm }}\nplace(top + left, dx: {x}mm + if odd {{ {inner}mm }} else {{ {outer}mm }}, dy: from, line(angle: 90deg, length: {}mm - from, stroke: .4pt))",
            head + 24.0,
            look.page.1 - foot
        );
    }
    out + "},"
}

/// Source up to the list itself: page, font, heading.
pub fn opening(look: &Look, frame: &Frame) -> String {
    let [head, foot, inner, outer] = MARGINS;
    let (w, h) = look.page;
    let gutter = if look.marginal { 12.0 } else { 6.5 };
    let extra = look.leading - 1.0;
    let figures = if look.old_figures { "old-style" } else { "lining" };
    let intro = frame.intro.as_ref().map_or(String::new(), |i| {
        format!("#v(.6em)#text(size: .88em, style: \"italic\", {})", quoted(i))
    });
    let note = frame.note.as_ref().map_or(String::new(), |n| {
        format!(
            "#place(bottom, scope: \"parent\", float: true, clearance: 1em)[#line(length: 18%, stroke: .4pt)#v(.3em)#text(size: .8em, {})]\n",
            quoted(n)
        )
    });
    format!(
        r#"#let rubric = rgb(184, 20, 26)
#set page(width: {w}mm, height: {h}mm, margin: (top: {head}mm, bottom: {foot}mm, inside: {inner}mm, outside: {outer}mm), binding: left, columns: {columns}, {running} {rules})
#set columns(gutter: {gutter}mm)
#set text(font: "{font}", size: {size}pt, number-type: "{figures}", hyphenate: false, lang: "{language}", top-edge: .75em, bottom-edge: -.25em)
#set par(leading: {extra}em, spacing: {extra}em, justify: false)
#counter(page).update({folio})
#place(top, scope: "parent", float: true, clearance: 1.3em, block(width: 100%)[#align(center, text(size: 1.55em, {title})){intro}])
{note}"#,
        columns = look.columns,
        running = running(look, frame),
        rules = rules(look, gutter),
        font = look.font.name,
        size = look.size,
        language = frame.language,
        folio = frame.folio,
        title = quoted(&frame.title),
    )
}

/// The whole document.
pub fn source(look: &Look, frame: &Frame, lines: &[Line]) -> String {
    let mut out = opening(look, frame);
    let mut i = 0;
    while i < lines.len() {
        let joined = lines[i + 1..].iter().take_while(|l| l.joined).count();
        out += &block(look, &lines[i], &lines[i + 1..=i + joined]);
        i += joined + 1;
    }
    out
}
