//! Type: text in one of three faces becomes a row of glyphs with its width.
//!
//! All lengths are integers, in hundredths of a point, or in font units (1000 to the em), so that a
//! card is the same to the byte everywhere.

use crate::Result;
use crate::error::CardFault;

/// A face of the built-in family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Face {
    Text,
    Italic,
    Bold,
}

impl Face {
    pub const ALL: [Face; 3] = [Face::Text, Face::Italic, Face::Bold];

    /// The font file.
    pub fn data(self) -> &'static [u8] {
        match self {
            Face::Text => include_bytes!("../data/fonts/ebgaramond-medium.ttf"),
            Face::Italic => include_bytes!("../data/fonts/ebgaramond-medium-italic.ttf"),
            Face::Bold => include_bytes!("../data/fonts/ebgaramond-bold.ttf"),
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Face::Text => "EB Garamond Medium",
            Face::Italic => "EB Garamond Medium Italic",
            Face::Bold => "EB Garamond Bold",
        }
    }
}

/// Face and size of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Style {
    pub face: Face,
    /// In hundredths of a point.
    pub size: i32,
    pub small_caps: bool,
}

impl Style {
    /// OpenType features: bold numbers stand as tall as capitals, to be found at a glance.
    pub fn features(self) -> &'static [&'static str] {
        match self.face {
            Face::Bold => &["lnum"],
            _ if self.small_caps => &["smcp"],
            _ => &[],
        }
    }
}

fn on(feature: &&str) -> rustybuzz::Feature {
    let tag = rustybuzz::ttf_parser::Tag::from_bytes_lossy(feature.as_bytes());
    rustybuzz::Feature::new(tag, 1, ..)
}

/// A glyph; lengths in font units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Glyph {
    pub id: u32,
    /// Bytes of the run's text that it stands for.
    pub from: usize,
    pub to: usize,
    pub advance: i32,
    pub x: i32,
    pub y: i32,
}

/// Text set in one style.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Run {
    pub style: Style,
    pub text: String,
    pub glyphs: Vec<Glyph>,
    /// In hundredths of a point.
    pub width: i32,
}

/// Font units to the em of all three faces; a test holds it.
pub(super) const EM: i32 = 1000;

/// The three faces, ready to set.
pub(super) struct Letters {
    faces: Vec<rustybuzz::Face<'static>>,
}

impl Letters {
    pub fn load() -> Result<Self> {
        let load = |face: Face| {
            rustybuzz::Face::from_slice(face.data(), 0).ok_or(CardFault::Font(face.name()))
        };
        let faces: std::result::Result<_, _> = Face::ALL.into_iter().map(load).collect();
        Ok(Letters { faces: faces? })
    }

    /// Sets `text` in one line.
    pub fn set(&self, text: &str, style: Style) -> Run {
        // The faces have no "≈", which would be printed as an empty box.
        let text = text.replace('≈', "~");
        let glyphs = self.shape(&text, style);
        let advance: i64 = glyphs.iter().map(|g| i64::from(g.advance)).sum();
        let width = advance * i64::from(style.size) / i64::from(EM);
        // A title of a million letters is cut to the line by its width.
        let width = i32::try_from(width).unwrap_or(i32::MAX / 4).min(i32::MAX / 4);
        Run { style, text, glyphs, width }
    }

    fn shape(&self, text: &str, style: Style) -> Vec<Glyph> {
        let Some(face) = self.faces.get(style.face as usize) else { return vec![] };
        let mut buffer = rustybuzz::UnicodeBuffer::new();
        buffer.push_str(text);
        let features: Vec<rustybuzz::Feature> = style.features().iter().map(on).collect();
        let shaped = rustybuzz::shape(face, &features, buffer);
        let starts: Vec<usize> = shaped.glyph_infos().iter().map(|i| i.cluster as usize).collect();
        let glyph =
            |(i, (info, at)): (usize, (&rustybuzz::GlyphInfo, &rustybuzz::GlyphPosition))| {
                let from = info.cluster as usize;
                let to = starts[i..].iter().copied().find(|&s| s > from).unwrap_or(text.len());
                Glyph {
                    id: info.glyph_id,
                    from,
                    to,
                    advance: at.x_advance,
                    x: at.x_offset,
                    y: at.y_offset,
                }
            };
        shaped.glyph_infos().iter().zip(shaped.glyph_positions()).enumerate().map(glyph).collect()
    }

    /// Sets pieces of different styles one after the other in lines of at most `room`, broken at
    /// blanks, not at those that are marked as unbroken (U+00A0). A longer word stands alone. Each line is runs to be set with a blank between them.
    pub fn flow(&self, pieces: &[(&str, Style)], room: i32) -> Vec<Vec<Run>> {
        let mut lines: Vec<Vec<Run>> = vec![];
        let mut used = 0;
        for &(text, style) in pieces {
            for word in text.split([' ', '\n']).filter(|w| !w.is_empty()) {
                let width = self.set(word, style).width;
                let blank = self.blank(style);
                match lines.last_mut() {
                    Some(line) if used + blank + width <= room => {
                        self.append(line, word, style);
                        used = self.width(line);
                    }
                    _ => {
                        lines.push(vec![self.set(word, style)]);
                        used = width;
                    }
                }
            }
        }
        lines
    }

    /// Adds a word to the line's last run, or as a new run where the style changes.
    fn append(&self, line: &mut Vec<Run>, word: &str, style: Style) {
        match line.last_mut() {
            Some(last) if last.style == style => {
                *last = self.set(&format!("{} {word}", last.text), style);
            }
            _ => line.push(self.set(word, style)),
        }
    }

    /// Width of runs with a blank between them.
    pub fn width(&self, line: &[Run]) -> i32 {
        let between = line.iter().skip(1).map(|r| self.blank(r.style));
        line.iter().map(|r| r.width).sum::<i32>() + between.sum::<i32>()
    }

    /// Width of the blank before a run of this style.
    pub fn blank(&self, style: Style) -> i32 {
        self.set(" ", style).width
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_faces_have_a_thousand_units_to_the_em() {
        for face in &Letters::load().unwrap().faces {
            assert_eq!(face.units_per_em(), EM);
        }
    }

    #[test]
    fn lines_keep_to_their_room_and_lose_no_word() {
        let letters = Letters::load().unwrap();
        let text = Style { face: Face::Text, size: 1400, small_caps: false };
        let italic = Style { face: Face::Italic, ..text };
        let pieces =
            [("Prayer after Communion", text), ("Saturday of the Fourth Week of Lent", italic)];
        for room in [6_000, 9_000, 15_000, 60_000] {
            let lines = letters.flow(&pieces, room);
            assert!(lines.iter().all(|l| letters.width(l) <= room || l.len() == 1), "{room}");
            let words: Vec<String> = lines.iter().flatten().map(|r| r.text.clone()).collect();
            assert_eq!(
                words.join(" "),
                "Prayer after Communion Saturday of the Fourth Week of Lent"
            );
        }
    }
}
