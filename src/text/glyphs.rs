//! The ink of a number taken apart into glyphs, each read by the figure network.

use super::crop::Crop;
use super::figure::{self, CLASSES, NO_FIGURE, normalise};
use super::ink::{Blob, Ink};
use super::line::overlap;
use crate::Result;
use crate::geom::Rect;
use image::GrayImage;

/// The glyphs of a number as far as its ink shows them.
pub struct Seen<'a> {
    grey: &'a GrayImage,
    ink: &'a Ink,
    groups: Vec<Group>,
}

/// Ink that stands at one place of the line.
#[derive(Debug, Clone)]
struct Group {
    blobs: Vec<Blob>,
    area: Rect,
}

/// Below this a belief from evenly cut glyphs is none.
const UNTOLD: f64 = 0.1;

type Belief = [f64; CLASSES];

impl<'a> Seen<'a> {
    /// Takes the ink apart where white runs through it.
    pub fn of(grey: &'a GrayImage, ink: &'a Ink, blobs: &[Blob]) -> Seen<'a> {
        Seen { grey, ink, groups: groups(blobs) }
    }

    /// The likeliest reading if every glyph stands alone and looks like a figure.
    pub fn best(&self) -> Result<Option<String>> {
        let mut text = String::new();
        let height = self.height();
        for group in &self.groups {
            if dash(group, height) {
                text.push('-');
                continue;
            }
            let read = self.read(group, group.area)?;
            let best = read
                .iter()
                .enumerate()
                .max_by(|a, b| a.1.total_cmp(b.1))
                .map_or(NO_FIGURE, |b| b.0);
            match u32::try_from(best)
                .ok()
                .filter(|_| best != NO_FIGURE)
                .and_then(|b| char::from_digit(b, 10))
            {
                Some(figure) => text.push(figure),
                None => return Ok(None),
            }
        }
        Ok(super::label::tokens(&text).filter(|t| t.len() == 1).map(|_| text))
    }

    /// How far the glyphs agree with `text`; `None` where they do not fit it at all.
    pub fn belief(&self, text: &str) -> Result<Option<f64>> {
        let Some(places) = self.places(text.chars().count()) else { return Ok(None) };
        let height = self.height();
        let mut belief = 1.0;
        for (c, (group, area)) in text.chars().zip(places) {
            belief *= match c.to_digit(10) {
                Some(figure) => {
                    self.read(group, area)?.get(figure as usize).copied().unwrap_or(0.0)
                }
                None if c == '-' => f64::from(u8::from(dash(group, height))),
                None => 0.5,
            };
        }
        // Evenly cut glyphs tell little when they look wrong.
        let cut = text.chars().count() > self.groups.len();
        Ok((!cut || belief >= UNTOLD).then_some(belief))
    }

    fn height(&self) -> i32 {
        self.groups.iter().map(|g| g.area.height()).max().unwrap_or(1)
    }

    /// One box for each of `count` characters; a wide group is cut evenly where glyphs touch.
    fn places(&self, count: usize) -> Option<Vec<(&Group, Rect)>> {
        let missing = count.checked_sub(self.groups.len())?;
        let widest = self.groups.iter().map(|g| g.area.width()).max()?;
        let mut out = Vec::with_capacity(count);
        let mut left_over = missing;
        for group in &self.groups {
            let takes = if missing > 0 && group.area.width() == widest {
                std::mem::take(&mut left_over)
            } else {
                0
            };
            let parts = takes as i32 + 1;
            let width = group.area.width();
            out.extend((0..parts).map(|i| {
                let (left, right) = (
                    group.area.left + width * i / parts,
                    group.area.left + width * (i + 1) / parts,
                );
                (group, Rect { left, right, ..group.area })
            }));
        }
        (out.len() == count).then_some(out)
    }

    fn read(&self, group: &Group, area: Rect) -> Result<Belief> {
        let net = figure::net()?;
        let picture = Crop::glyph(self.grey, self.ink, &group.blobs, area);
        Ok(net.read(&normalise(&picture)))
    }
}

fn dash(group: &Group, height: i32) -> bool {
    group.area.height() * 3 < height && group.area.width() > group.area.height()
}

/// The boxes of the glyphs that the ink shows, left to right; touching ones count as one.
pub fn areas(blobs: &[Blob]) -> Vec<Rect> {
    groups(blobs).iter().map(|g| g.area).collect()
}

/// Blobs that share most of their width are one glyph; a small scrap belongs to its nearest neighbour.
fn groups(blobs: &[Blob]) -> Vec<Group> {
    let mut blobs: Vec<Blob> = blobs.to_vec();
    blobs.sort_by_key(|b| b.area.left);
    let height = blobs.iter().map(|b| b.area.height()).max().unwrap_or(1);
    let mut groups: Vec<Group> = Vec::new();
    for blob in blobs {
        let shares =
            |g: &Group| overlap((g.area.left, g.area.right), (blob.area.left, blob.area.right));
        let scrap = blob.area.height() * 3 < height && blob.area.width() < height / 2;
        match groups.last_mut() {
            Some(last)
                if shares(last) > 0.4
                    || (scrap && blob.area.left - last.area.right <= height / 12) =>
            {
                last.area = last.area.union(&blob.area);
                last.blobs.push(blob);
            }
            _ => groups.push(Group { blobs: vec![blob], area: blob.area }),
        }
    }
    groups
}

/// Parts the ink of "135,207,208" at its commas, which are left out, as are full stops.
pub fn between_commas(blobs: &[Blob]) -> Vec<Vec<Blob>> {
    let height = blobs.iter().map(|b| b.area.height()).max().unwrap_or(1);
    let tall = |b: &&Blob| b.area.height() * 4 > height * 3;
    let mut bottoms: Vec<i32> = blobs.iter().filter(tall).map(|b| b.area.bottom).collect();
    bottoms.sort_unstable();
    let base = bottoms.get(bottoms.len() / 2).copied().unwrap_or(0);
    let comma = |b: &Blob| {
        let low = (b.area.top + b.area.bottom) / 2 > base - height / 4;
        let top = b.area.top > base - height * 2 / 5;
        b.area.height() * 8 <= height * 5 && b.area.width() * 2 <= height && low && top
    };
    let mut sorted: Vec<Blob> = blobs.to_vec();
    sorted.sort_by_key(|b| b.area.left);
    let inside_glyph = |b: &Blob| {
        blobs.iter().any(|g| {
            g.label != b.label
                && g.area.height() * 2 > height
                && overlap((g.area.left, g.area.right), (b.area.left, b.area.right)) > 0.6
        })
    };
    let mut parts: Vec<Vec<Blob>> = vec![Vec::new()];
    for blob in sorted {
        if comma(&blob) && !inside_glyph(&blob) {
            parts.push(Vec::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(blob);
        }
    }
    parts.retain(|p| p.iter().any(|b| b.area.height() * 2 > height));
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blob(label: u32, left: i32, top: i32, right: i32, bottom: i32) -> Blob {
        Blob { label, area: Rect { left, top, right, bottom }, pixels: 50 }
    }

    #[test]
    fn a_list_is_parted_at_its_commas() {
        // "13,2." with figures 20 high
        let ink = [
            blob(1, 0, 0, 10, 20),
            blob(2, 14, 0, 24, 20),
            blob(3, 27, 16, 30, 24),
            blob(4, 34, 0, 44, 20),
            blob(5, 47, 17, 50, 20),
        ];
        let parts: Vec<Vec<u32>> =
            between_commas(&ink).iter().map(|p| p.iter().map(|b| b.label).collect()).collect();
        assert_eq!(parts, [vec![1, 2], vec![4]]);
    }

    #[test]
    fn a_broken_figure_is_one_glyph() {
        let ink = [blob(1, 0, 0, 10, 9), blob(2, 1, 11, 10, 20), blob(3, 14, 0, 24, 20)];
        assert_eq!(groups(&ink).len(), 2);
    }
}
