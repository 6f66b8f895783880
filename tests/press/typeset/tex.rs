//! XeLaTeX source.

use super::{GAP, Leader, Leaf, MARGINS, Style};
use crate::lists::Entry;
use std::fmt::Write;

fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if "&%$#_{}".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

fn line(style: &Style, leader: Leader, entry: &Entry) -> String {
    let title = escaped(&entry.title);
    let mut title = match (&entry.heading, style.small_caps) {
        (true, true) => format!("\\textsc{{{title}}}"),
        (true, false) => format!("\\textbf{{{title}}}"),
        _ => title,
    };
    if entry.heading && style.red {
        title = format!("\\textcolor{{red}}{{{title}}}");
    }
    if let Some(subtitle) = &entry.subtitle {
        let _ = write!(title, ". \\textit{{{}}}", escaped(subtitle));
    }
    let indent = 0.9 * f32::from(entry.level.saturating_sub(1));
    let above = entry.above();
    let before = if above > 0.0 { format!("\\vskip {above}\\baselineskip") } else { String::new() };
    let lead = entry.lead.as_ref().map_or(String::new(), |l| format!("\\llap{{{l}\\enspace}}"));
    let pages = entry.pages.join(", ").replace('-', "--");
    let macro_name = match (entry.pages.is_empty(), leader) {
        (true, _) => "Bare",
        (_, Leader::Dots) => "Dots",
        (_, Leader::Wide) => "Wide",
        (_, Leader::Space) => "Space",
        (_, Leader::Comma) => "Comma",
    };
    format!("{before}\\{macro_name}{{{indent}em}}{{{lead}{title}}}{{{pages}}}\n")
}

fn leaf(style: &Style, leaf: &Leaf) -> String {
    let mut out = String::new();
    let [head, _, gutter, fore] = MARGINS;
    let left = if leaf.right { gutter } else { fore };
    let width = style.page.0 - gutter - fore;
    let _ = writeln!(
        out,
        "\\At{{{left}}}{{{}}}{{\\hbox to {width}mm{{\\hfil\\small\\textsc{{{}}}\\hfil}}}}",
        head - 9.0,
        escaped(&leaf.head).to_lowercase()
    );
    let foot = style.page.1 - 11.0;
    let _ = writeln!(
        out,
        "\\At{{{left}}}{{{foot}}}{{\\hbox to {width}mm{{\\hfil {}\\hfil}}}}",
        leaf.folio
    );
    let mut top = head;
    if let Some(title) = &leaf.title {
        let _ = writeln!(
            out,
            "\\At{{{left}}}{{{head}}}{{\\hbox to {width}mm{{\\hfil\\LARGE {}\\hfil}}}}",
            escaped(title)
        );
        top += 14.0;
    }
    let column = style.column(leaf.columns.len());
    for (i, entries) in leaf.columns.iter().enumerate() {
        let x = left + i as f32 * (column + GAP);
        let lines: String = entries.iter().map(|e| line(style, leaf.leader, e)).collect();
        let lines = lines.strip_prefix("\\vskip 0.75\\baselineskip").unwrap_or(&lines);
        let _ = writeln!(
            out,
            "\\At{{{x}}}{{{top}}}{{\\vtop{{\\hsize={column}mm\\linewidth=\\hsize\\Lead\n{lines}}}}}"
        );
    }
    out + "\\mbox{}\\newpage\n"
}

/// The font's name for fontspec. EB Garamond comes in two optical sizes under one name, so its files
/// are named.
fn family(style: &Style) -> String {
    let figures = if style.old_figures { "OldStyle" } else { "Lining" };
    let (name, files) = match style.font {
        "EB Garamond" => {
            ("EBGaramond12", ",Extension=.otf,UprightFont=*-Regular,ItalicFont=*-Italic")
        }
        other => (other, ""),
    };
    format!("{{{name}}}[Numbers={figures}{files}]")
}

/// The whole document, a page for each leaf.
pub fn source(style: &Style, leaves: &[Leaf]) -> String {
    let (w, h) = style.page;
    let (size, skip) = (style.size, style.size * style.leading);
    let body: String = leaves.iter().map(|l| leaf(style, l)).collect();
    format!(
        r"\documentclass{{article}}
\usepackage[paperwidth={w}mm,paperheight={h}mm,margin=0mm]{{geometry}}
\usepackage{{fontspec,xcolor}}
\definecolor{{red}}{{rgb}}{{.72,.08,.10}}
\setmainfont{family}
\pagestyle{{empty}}\parindent=0pt\parskip=0pt\topskip=0pt\hbadness=10000\hyphenpenalty=9000
\makeatletter
\renewcommand\normalsize{{\@setfontsize\normalsize{{{size}pt}}{{{skip}pt}}}}\normalsize
\makeatother
\def\At#1#2#3{{\vbox to 0pt{{\kern#2mm\hbox to 0pt{{\kern#1mm{{#3}}\hss}}\vss}}\nointerlineskip}}
\def\Lead{{\normalsize\emergencystretch=2em\tolerance=3000\relax}}
\def\Shape#1{{\leftskip=#1\advance\leftskip1.3em\parindent=-1.3em\rightskip=2.4em plus 4em\parfillskip=-2.4em}}
\def\Dots#1#2#3{{{{\Shape{{#1}}\indent#2\nobreak\leaders\hbox to .42em{{\hss.\hss}}\hskip .8em plus 1fill\nobreak\hbox{{\kern.35em#3}}\par}}}}
\def\Wide#1#2#3{{{{\Shape{{#1}}\indent#2\nobreak\leaders\hbox to 1.05em{{\hss.\hss}}\hskip 1em plus 1fill\nobreak\hbox{{\kern.5em#3}}\par}}}}
\def\Space#1#2#3{{{{\Shape{{#1}}\indent#2\nobreak\hskip 1em plus 1fill\nobreak\hbox{{#3}}\par}}}}
\def\Comma#1#2#3{{{{\Shape{{#1}}\rightskip=0pt plus 4em\parfillskip=0pt plus 1fil\indent#2, #3\par}}}}
\def\Bare#1#2#3{{{{\Shape{{#1}}\parfillskip=0pt plus 1fil\indent#2\par}}}}
\begin{{document}}\frenchspacing
{body}\end{{document}}
",
        family = family(style)
    )
}
