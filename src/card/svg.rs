//! The card as SVG, its pages below one another, fonts embedded with it.

use super::Card;
use super::letters::{Face, Run};
use super::sheet::{Ink, Mark, Paper, Sheet, set};
use crate::Result;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write;

/// The card on `paper`.
pub fn write(card: &Card, paper: Paper) -> Result<String> {
    Ok(print(&set(card, paper)?))
}

/// The printed pages.
pub(super) fn print(sheet: &Sheet) -> String {
    let (width, height) = sheet.size;
    let pages = i32::try_from(sheet.pages.len()).unwrap_or(1);
    let mut svg = head(sheet, width, height * pages);
    for (top, marks) in (0..).step_by(usize::try_from(height).unwrap_or(1)).zip(&sheet.pages) {
        for mark in marks {
            draw(&mut svg, mark, top);
        }
    }
    svg.push_str("</svg>\n");
    svg
}

fn head(sheet: &Sheet, width: i32, height: i32) -> String {
    let (w, h) = (points(width), points(height));
    let title = escaped(&sheet.title);
    let faces: String = Face::ALL.into_iter().map(font_face).collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}pt\" height=\"{h}pt\" \
         viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n\
         <desc>Fonts: EB Garamond, SIL Open Font License 1.1.</desc>\n<style>\n{faces}\
         text{{white-space:pre}}\n</style>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n"
    )
}

fn font_face(face: Face) -> String {
    let data = STANDARD.encode(face.data());
    format!("@font-face{{font-family:\"{}\";src:url(data:font/ttf;base64,{data})}}\n", face.name())
}

fn draw(svg: &mut String, mark: &Mark, top: i32) {
    // Writing to a string cannot fail.
    let _ = match mark {
        Mark::Text { x, y, run, ink } => text(svg, points(*x), points(*y + top), run, *ink),
        Mark::Ribbon { dye, .. } => {
            let fill = hex(dye.unwrap_or([255, 255, 255]));
            let corners = corners(mark, top);
            let black = hex(Ink::Black.rgb());
            writeln!(
                svg,
                "<polygon points=\"{corners}\" fill=\"{fill}\" stroke=\"{black}\" stroke-width=\".6\"/>"
            )
        }
        Mark::Rule { ink, .. } => {
            let (line, ink) = (corners(mark, top), hex(ink.rgb()));
            writeln!(svg, "<polyline points=\"{line}\" stroke=\"{ink}\" stroke-width=\".6\"/>")
        }
    };
}

fn text(svg: &mut String, x: String, y: String, run: &Run, ink: Ink) -> std::fmt::Result {
    let features: Vec<String> =
        run.style.features().iter().map(|f| format!("&quot;{f}&quot;")).collect();
    let features = match features.is_empty() {
        true => String::new(),
        false => format!(" style=\"font-feature-settings:{}\"", features.join(",")),
    };
    writeln!(
        svg,
        "<text x=\"{x}\" y=\"{y}\" font-family=\"{}\" font-size=\"{}\" fill=\"{}\"{features}>{}</text>",
        run.style.face.name(),
        points(run.style.size),
        hex(ink.rgb()),
        escaped(&run.text)
    )
}

fn corners(mark: &Mark, top: i32) -> String {
    let corner = |&(x, y): &(i32, i32)| format!("{},{}", points(x), points(y + top));
    mark.outline().iter().map(corner).collect::<Vec<_>>().join(" ")
}

/// Hundredths of a point as points, with integers only.
fn points(length: i32) -> String {
    let sign = if length < 0 { "-" } else { "" };
    let length = length.unsigned_abs();
    format!("{sign}{}.{:02}", length / 100, length % 100)
}

fn hex([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
