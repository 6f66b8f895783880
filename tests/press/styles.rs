//! The looks of the invented editions: fonts and layouts, half of them to tune the reading on and
//! half, with other fonts and other layouts, to report it on.

use crate::typeset::{Leader, Setter, Style};
use vitta::language::Language;

/// Half of the corpus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Half {
    /// To tune on.
    Tune,
    /// Never tuned on.
    Report,
}

impl Half {
    /// Its name in the manifest.
    pub fn name(self) -> &'static str {
        match self {
            Half::Tune => "tune",
            Half::Report => "report",
        }
    }
}

/// How an edition lays out its lists.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// Half it belongs to.
    pub half: Half,
    /// Language of its titles.
    pub language: Language,
    /// Columns of the section lists.
    pub section_columns: usize,
    /// Columns of the alphabetical index.
    pub index_columns: usize,
    /// Columns of the list of prefaces.
    pub preface_columns: usize,
    /// Leader of the contents.
    pub leader: Leader,
    /// Leader of the month list.
    pub month_leader: Leader,
    /// Roman front matter.
    pub roman: bool,
    /// Headings over a group have no page.
    pub bare_headings: bool,
}

const EN: Language = Language::En;

const fn layout(
    half: Half,
    language: Language,
    columns: [usize; 3],
    leaders: [Leader; 2],
) -> Layout {
    Layout {
        half,
        language,
        section_columns: columns[0],
        index_columns: columns[1],
        preface_columns: columns[2],
        leader: leaders[0],
        month_leader: leaders[1],
        roman: true,
        bare_headings: true,
    }
}

const fn style(
    name: &'static str,
    setter: Setter,
    font: &'static str,
    size: f32,
    wide: f32,
    page: (f32, f32),
) -> Style {
    Style {
        name,
        setter,
        font,
        size,
        leading: 1.18,
        wide,
        old_figures: false,
        red: true,
        small_caps: true,
        page,
    }
}

/// All editions with their layouts.
pub fn all() -> Vec<(Style, Layout)> {
    use Half::{Report, Tune};
    use Leader::{Comma, Dots, Space, Wide};
    use Setter::{Groff, Typst, Xelatex};
    let (es, la) = (Language::Es, Language::La);
    vec![
        (
            style("ashgrove", Xelatex, "TeX Gyre Pagella", 9.2, 0.47, (190.0, 270.0)),
            layout(Tune, EN, [1, 2, 1], [Dots, Space]),
        ),
        (
            Style {
                old_figures: true,
                ..style("brindle", Typst, "Linux Libertine O", 10.0, 0.43, (203.0, 285.0))
            },
            layout(Tune, EN, [2, 3, 1], [Wide, Space]),
        ),
        (
            Style {
                red: false,
                small_caps: false,
                ..style("carrow", Groff, "T", 10.0, 0.43, (170.0, 240.0))
            },
            Layout { bare_headings: false, ..layout(Tune, EN, [1, 2, 1], [Dots, Dots]) },
        ),
        (
            Style {
                small_caps: false,
                ..style("dehesa", Xelatex, "Gentium Plus", 9.0, 0.46, (180.0, 260.0))
            },
            layout(Tune, es, [2, 2, 1], [Dots, Comma]),
        ),
        (
            style("elmstead", Typst, "Old Standard TT", 10.0, 0.45, (195.0, 275.0)),
            Layout { roman: false, ..layout(Tune, EN, [2, 2, 2], [Dots, Dots]) },
        ),
        (
            Style { red: false, ..style("fontana", Groff, "P", 9.5, 0.47, (190.0, 270.0)) },
            layout(Tune, la, [1, 2, 1], [Dots, Space]),
        ),
        (
            Style {
                old_figures: true,
                ..style("garnet", Xelatex, "EB Garamond", 10.4, 0.40, (195.0, 275.0))
            },
            layout(Report, EN, [2, 2, 1], [Wide, Space]),
        ),
        (
            style("hollin", Typst, "Cardo", 9.2, 0.46, (200.0, 280.0)),
            Layout { bare_headings: false, ..layout(Report, EN, [1, 2, 1], [Dots, Dots]) },
        ),
        (
            Style { small_caps: false, ..style("ivyhurst", Groff, "N", 9.2, 0.49, (185.0, 265.0)) },
            layout(Report, EN, [1, 2, 1], [Dots, Space]),
        ),
        (
            Style { red: false, ..style("jarama", Typst, "Vollkorn", 9.2, 0.47, (175.0, 250.0)) },
            layout(Report, es, [1, 2, 1], [Wide, Comma]),
        ),
        (
            style("kestrel", Xelatex, "CMU Serif", 9.6, 0.46, (205.0, 290.0)),
            Layout { roman: false, ..layout(Report, EN, [2, 3, 2], [Dots, Dots]) },
        ),
        (
            Style {
                small_caps: false,
                ..style("lupara", Xelatex, "TeX Gyre Schola", 8.8, 0.49, (195.0, 275.0))
            },
            layout(Report, la, [1, 2, 1], [Space, Space]),
        ),
    ]
}
