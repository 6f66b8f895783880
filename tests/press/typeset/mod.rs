//! Entries become printed pages by real typesetting programs: XeLaTeX, Typst and groff, each with
//! its own line breaking, leaders and spacing. The pages come back as pictures through Poppler.
//!
//! A leaf is filled by estimate and set; where print runs over the foot, everything is set again a
//! little smaller.

mod groff;
mod tex;
mod typst;

use crate::lists::{Entry, Kind};
use crate::photograph::Gathering;
use crate::print::Print;
use crate::{truth, words};
use std::error::Error;
use std::path::Path;
use std::process::Command;

/// The typesetting program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setter {
    /// XeLaTeX with fontspec.
    Xelatex,
    /// The Typst compiler.
    Typst,
    /// groff, PostScript device.
    Groff,
}

impl Setter {
    /// Its name in the truth files.
    pub fn name(self) -> &'static str {
        match self {
            Setter::Xelatex => "xelatex",
            Setter::Typst => "typst",
            Setter::Groff => "groff",
        }
    }
}

/// What stands between title and page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leader {
    /// Close dots.
    Dots,
    /// Dots far apart.
    Wide,
    /// Nothing; the pages stand in their column.
    Space,
    /// A comma and the pages, as indexes do.
    Comma,
}

/// The look of an edition's lists.
#[derive(Debug, Clone)]
pub struct Style {
    /// Its name in the manifest.
    pub name: &'static str,
    /// Who sets it.
    pub setter: Setter,
    /// Font family, as the setter knows it.
    pub font: &'static str,
    /// Size in points.
    pub size: f32,
    /// Line distance as a multiple of `size`.
    pub leading: f32,
    /// Old-style figures.
    pub old_figures: bool,
    /// Mean width of a character in ems, for the estimate of lines.
    pub wide: f32,
    /// Headings in red.
    pub red: bool,
    /// Headings in small capitals (else bold).
    pub small_caps: bool,
    /// Width and height of the page, mm.
    pub page: (f32, f32),
}

/// One printed page, before it is set.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// What it holds.
    pub kind: Kind,
    /// Large title, on a section's first page.
    pub title: Option<String>,
    /// Running head.
    pub head: String,
    /// Page label at the foot.
    pub folio: String,
    /// Whether it lies on the right.
    pub right: bool,
    /// What stands between title and page.
    pub leader: Leader,
    /// Entries, column by column.
    pub columns: Vec<Vec<Entry>>,
}

/// Margins in mm: head, foot, gutter, fore-edge.
pub const MARGINS: [f32; 4] = [19.0, 21.0, 21.0, 16.0];
/// Space between columns, mm.
pub const GAP: f32 = 6.0;

impl Style {
    /// Width of a column, mm.
    pub fn column(&self, columns: usize) -> f32 {
        let text = self.page.0 - MARGINS[2] - MARGINS[3];
        (text - GAP * (columns as f32 - 1.0)) / columns as f32
    }

    /// Height of the type area under the running head, mm.
    pub fn depth(&self) -> f32 {
        self.page.1 - MARGINS[0] - MARGINS[1]
    }

    fn lines(&self, entry: &Entry, width: f32) -> f32 {
        let chars = entry.title.chars().count()
            + entry.subtitle.as_ref().map_or(0, |s| s.chars().count() + 2)
            + entry.pages.iter().map(|p| p.len() + 2).sum::<usize>();
        let em = self.size * 0.3528;
        let room = (width - em * (1.4 + f32::from(entry.level))) / (em * self.wide);
        (chars as f32 / room).ceil() + entry.above()
    }

    /// Takes as many entries as fill a leaf of `columns` columns, `used` mm of it being taken.
    /// A heading is never left alone at the foot.
    pub fn take(&self, list: &mut Vec<Entry>, columns: usize, used: f32) -> Vec<Vec<Entry>> {
        let width = self.column(columns);
        let room = (self.depth() - used) / (self.size * self.leading * 0.3528);
        let mut out = Vec::new();
        for _ in 0..columns {
            let mut fill = 0.0;
            let mut n = 0;
            while n < list.len() && fill + self.lines(&list[n], width) <= room {
                fill += self.lines(&list[n], width);
                n += 1;
            }
            while n > 1 && n < list.len() && list[n - 1].heading && list[n - 1].pages.is_empty() {
                n -= 1;
            }
            out.push(list.drain(..n).collect());
        }
        out
    }
}

fn run(command: &mut Command) -> Result<Vec<u8>, Box<dyn Error>> {
    let done = command.output().map_err(|e| format!("{command:?}: {e}"))?;
    if done.status.success() {
        return Ok(done.stdout);
    }
    let said =
        String::from_utf8_lossy(&done.stdout).to_string() + &String::from_utf8_lossy(&done.stderr);
    let tail: Vec<&str> = said.lines().rev().take(12).collect();
    Err(format!("{command:?} failed:\n{}", tail.into_iter().rev().collect::<Vec<_>>().join("\n"))
        .into())
}

fn compile(style: &Style, leaves: &[Leaf], shrink: f32, dir: &Path) -> Result<(), Box<dyn Error>> {
    let smaller = Style { size: style.size * shrink, ..style.clone() };
    match style.setter {
        Setter::Xelatex => {
            std::fs::write(dir.join("leaves.tex"), tex::source(&smaller, leaves))?;
            let args = ["-interaction=batchmode", "-halt-on-error", "leaves.tex"];
            run(Command::new("xelatex").args(args).current_dir(dir))?;
        }
        Setter::Typst => {
            typst_compile(&typst::source(&smaller, leaves), dir)?;
        }
        Setter::Groff => {
            std::fs::write(dir.join("leaves.tr"), groff::source(&smaller, leaves))?;
            let paper = format!("-P-p{:.3}c,{:.3}c", style.page.1 / 10.0, style.page.0 / 10.0);
            let args = ["-k", "-Tps", &paper, "leaves.tr"];
            let ps = run(Command::new("groff").args(args).current_dir(dir))?;
            std::fs::write(dir.join("leaves.ps"), ps)?;
            run(Command::new("ps2pdf").args(["leaves.ps", "leaves.pdf"]).current_dir(dir))?;
        }
    }
    Ok(())
}

/// The lowest print of the columns, mm, over all pages; the folio at the foot does not count.
fn lowest(dir: &Path, style: &Style) -> Result<(usize, f32), Box<dyn Error>> {
    let args = ["-bbox", "leaves.pdf", "-"];
    let text = String::from_utf8(run(Command::new("pdftotext").args(args).current_dir(dir))?)?;
    let foot = style.page.1 - 15.5;
    let mut low: f32 = 0.0;
    for line in text.lines().filter(|l| l.contains("<word")) {
        let value = |name: &str| -> Option<f32> {
            let from = line.split_once(&format!("{name}=\""))?.1;
            from.split_once('"')?.0.parse().ok()
        };
        if let (Some(top), Some(bottom)) = (value("yMin"), value("yMax")) {
            let (top, bottom) = (top * 0.352_78, bottom * 0.352_78);
            // The folio stands below the line `foot` by construction.
            if top < foot || bottom > style.page.1 - 6.0 {
                low = low.max(bottom);
            }
        }
    }
    Ok((text.matches("<page ").count(), low))
}

/// Sets a Typst source in `dir`, which is emptied, as `leaves.pdf`.
pub fn typst_pages(source: &str, dir: &Path) -> Result<(), Box<dyn Error>> {
    if dir.exists() {
        std::fs::remove_dir_all(dir)?;
    }
    std::fs::create_dir_all(dir)?;
    typst_compile(source, dir)
}

fn typst_compile(source: &str, dir: &Path) -> Result<(), Box<dyn Error>> {
    std::fs::write(dir.join("leaves.typ"), source)?;
    let script = "import typst; typst.compile('leaves.typ', output='leaves.pdf')";
    run(Command::new("python3").args(["-c", script]).current_dir(dir))?;
    Ok(())
}

/// The first `most` pages of `leaves.pdf` in `dir` as pictures of `dpi`.
pub fn pictures(most: usize, dpi: u32, dir: &Path) -> Result<Vec<Print>, Box<dyn Error>> {
    let resolution = dpi.to_string();
    // Packing the pictures would take longer than all the rest.
    let last = most.to_string();
    let args =
        ["-l", &last, "-r", &resolution, "-tiff", "-tiffcompression", "none", "leaves.pdf", "leaf"];
    run(Command::new("pdftoppm").args(args).current_dir(dir))?;
    let mut files: Vec<_> = std::fs::read_dir(dir)?
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "tif"))
        .collect();
    files.sort();
    let scale = dpi as f32 / 25.4;
    files.iter().map(|f| Ok(Print { picture: image::open(f)?.to_rgb8(), scale })).collect()
}

/// Sets the leaves in type, in `dir`, with pictures at `dpi`.
pub fn set(
    style: &Style,
    leaves: &[Leaf],
    dpi: u32,
    dir: &Path,
) -> Result<Gathering, Box<dyn Error>> {
    // Pages of an earlier run would be taken for this one's.
    if dir.exists() {
        std::fs::remove_dir_all(dir)?;
    }
    std::fs::create_dir_all(dir)?;
    let mut shrink = 1.0;
    loop {
        compile(style, leaves, shrink, dir)?;
        let (pages, low) = lowest(dir, style)?;
        if pages == leaves.len() && low <= style.page.1 - MARGINS[1] + 4.5 {
            break;
        }
        shrink *= 0.97;
        if shrink < 0.75 {
            let what = format!("{}: {pages} pages, print down to {low} mm", style.name);
            return Err(what.into());
        }
    }
    let prints = pictures(leaves.len(), dpi, dir)?;
    let letters = words::pages(&dir.join("leaves.pdf"), style.size * 0.3528 * 1.1)?;
    let printed = leaves.iter().zip(&letters).map(|(l, w)| truth::printed(l, w));
    let printed = printed.collect::<Result<_, _>>()?;
    Ok(Gathering { right: leaves.iter().map(|l| l.right).collect(), prints, printed })
}
