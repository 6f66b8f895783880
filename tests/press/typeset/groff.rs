//! groff source. The fonts are the PostScript families T, P, N, B (Times, Palatino, New Century
//! Schoolbook, Bookman in their URW cuts).

use super::{GAP, Leader, Leaf, MARGINS, Style};
use crate::lists::Entry;
use std::fmt::Write;

fn escaped(text: &str) -> String {
    let text = text.replace('\\', "\\e").replace(['\'', '’'], "\\[cq]");
    format!("\\&{text}")
}

fn line(style: &Style, leader: Leader, width: f32, entry: &Entry) -> String {
    let mut title = escaped(&entry.title);
    if entry.heading {
        title = match style.small_caps {
            true => format!("\\s-1{}\\s+1", title.to_uppercase()),
            false => format!("\\fB{title}\\fP"),
        };
        if style.red {
            title = format!("\\m[rubric]{title}\\m[]");
        }
    }
    if let Some(subtitle) = &entry.subtitle {
        let _ = write!(title, ". \\fI{subtitle}\\fP");
    }
    let em = style.size * 0.3528;
    let indent = em * (0.9 * f32::from(entry.level.saturating_sub(1)) + 1.3);
    let pages = entry.pages.join(", ").replace('-', "\\[en]");
    let mut out = String::new();
    if entry.heading {
        let _ = writeln!(out, ".sp {}", entry.above());
    }
    let lead = entry
        .lead
        .as_ref()
        .map_or(String::new(), |l| format!("\\h'-\\w'{l}\\0'u'{l}\\h'\\w'\\0'u'"));
    let after_title = leader == Leader::Comma && !entry.pages.is_empty();
    let tail = if after_title { format!(", {pages}") } else { String::new() };
    let room = if entry.pages.is_empty() || after_title {
        String::new()
    } else {
        format!("-\\w'{pages}'u-1.5m")
    };
    let _ = writeln!(out, ".ll {:.3}c{room}\n.in {:.2}m\n.ti -1.3m", width / 10.0, indent / em);
    let _ = writeln!(out, "{lead}{title}{tail}");
    if !room.is_empty() {
        // The number stands at the right edge of the title's last line, wherever that ends; a tab in the
        // title itself would print over it where the title leaves no room.
        let to_edge = if leader == Leader::Space { "\t" } else { "\\ \u{1}\\ " };
        let _ = writeln!(
            out,
            ".nr end \\n[.in]+\\n[.k]-\\w' 'u\n.br\n.sp -1\n.in 0\n.ll {:.3}c\n.ta {:.3}cR\n\\&\\h'\\n[end]u'{to_edge}{pages}",
            width / 10.0,
            width / 10.0
        );
    }
    out.push_str(".br\n");
    out
}

fn leaf(style: &Style, leaf: &Leaf) -> String {
    let [head, _, gutter, fore] = MARGINS;
    let left = if leaf.right { gutter } else { fore };
    let width = style.page.0 - gutter - fore;
    let mut out = String::new();
    let centred = |y: f32, size: f32, text: &str| {
        format!(
            ".sp |{:.3}c\n.po {:.3}c\n.ll {:.3}c\n.in 0\n.ps {size:.0}\n.ce 1\n{}\n.br\n.ps\n",
            y / 10.0,
            left / 10.0,
            width / 10.0,
            escaped(text)
        )
    };
    out.push_str(&centred(head - 11.0, style.size - 1.0, &leaf.head.to_uppercase()));
    let mut top = head - style.size * 0.3;
    if let Some(title) = &leaf.title {
        out.push_str(&centred(head - 3.0, style.size * 1.5, title));
        top += 13.0;
    }
    let column = style.column(leaf.columns.len());
    for (i, entries) in leaf.columns.iter().enumerate() {
        let x = left + i as f32 * (column + GAP);
        let _ = writeln!(
            out,
            ".sp |{:.3}c\n.po {:.3}c\n.ll {:.3}c\n.ad l\n.nh",
            top / 10.0,
            x / 10.0,
            column / 10.0
        );
        for entry in entries {
            out.push_str(&line(style, leaf.leader, column, entry));
        }
    }
    out.push_str(&centred(style.page.1 - 12.0, style.size, &leaf.folio));
    out
}

/// The whole document, a page for each leaf.
pub fn source(style: &Style, leaves: &[Leaf]) -> String {
    let (w, h) = style.page;
    let pages: Vec<String> = leaves.iter().map(|l| leaf(style, l)).collect();
    format!(
        ".pl {:.3}c\n.ll {:.3}c\n.fam {}\n.ps {:.2}\n.vs {:.2}p\n.linetabs 1\n.lc .\n.defcolor rubric rgb 0.72 0.08 0.10\n{}",
        h / 10.0,
        w / 10.0,
        style.font,
        style.size,
        style.size * style.leading,
        pages.join(".bp\n")
    )
}
