//! Blobs become lines of print: chains of neighbouring letters, put together into lines by their height.
//!
//! The page is flat, so letters of one line overlap in height; what slope remains is followed from letter to
//! letter. Limits are in units of the letter height and come from trials on printed contents and indexes.

use super::ink::Blob;
use crate::geom::Rect;

/// The widest white gap inside a chain: wider than a justified word space, narrower than the gap before a page
/// number.
pub const WIDEST_SPACE: f32 = 1.8;

/// Letters in a row without a wide gap between them, left to right.
#[derive(Debug, Clone)]
pub struct Chain {
    /// Its blobs, by their left edge.
    pub blobs: Vec<Blob>,
    /// The box around them.
    pub area: Rect,
    /// Median top and bottom of its letters, which capitals and descenders do not move.
    pub band: (i32, i32),
    /// For a dot leader the height of a letter, by which its dots count as high as letters; else 0.
    dots: i32,
    /// By how much it counts as lower than it is.
    lift: i32,
}

/// One line of print in one column.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its parts from left to right, with wide gaps between them.
    pub parts: Vec<Chain>,
    /// The box around it.
    pub area: Rect,
    /// Whether dot leaders ran along it.
    pub leader: bool,
    /// The highest step from part to part where no leader ties them, in letter heights; `None` without such parts.
    pub step: Option<f32>,
}

impl Chain {
    /// A chain of these blobs; `None` if there are none.
    pub fn of(mut blobs: Vec<Blob>) -> Option<Chain> {
        blobs.sort_by_key(|b| b.area.left);
        let area = blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b))?;
        let band = band(&blobs);
        Some(Chain { blobs, area, band, dots: 0, lift: 0 })
    }

    /// A dot leader, which leads the eye from title to number along the slope of the line.
    pub fn of_leader(blobs: Vec<Blob>, letter: f32) -> Option<Chain> {
        let chain = Chain::of(blobs)?;
        let dots = letter as i32;
        Some(Chain { band: (chain.band.1 - dots, chain.band.1), dots, ..chain })
    }

    /// Whether it is a dot leader.
    pub fn is_leader(&self) -> bool {
        self.dots > 0
    }

    /// Lets it count as so many pixels lower for the line it belongs to.
    pub fn lift(&mut self, down: i32) {
        self.lift += down;
        self.band = (self.band.0 + down, self.band.1 + down);
    }

    /// The band of its last few (`right`) or first few letters: slopes are followed this way.
    pub fn end_band(&self, right: bool) -> (i32, i32) {
        let few = 6.min(self.blobs.len());
        let start = if right { self.blobs.len() - few } else { 0 };
        let ends = self.blobs.get(start..start + few).map(band);
        let (top, bottom) = ends.map_or(self.band, |b| (b.0 + self.lift, b.1 + self.lift));
        if self.is_leader() { (bottom - self.dots, bottom) } else { (top, bottom) }
    }
}

/// Medians over the height of the letters, so that the many pieces of a broken one do not outvote its stem.
fn band(blobs: &[Blob]) -> (i32, i32) {
    let half = blobs.iter().map(|b| b.area.height()).sum::<i32>() / 2;
    let median = |edge: fn(&Rect) -> i32| {
        let mut all: Vec<(i32, i32)> =
            blobs.iter().map(|b| (edge(&b.area), b.area.height())).collect();
        all.sort_unstable();
        let mut passed = 0;
        let middle = all.iter().find(|(_, height)| {
            passed += height;
            passed > half
        });
        middle.map_or(0, |m| m.0)
    };
    (median(|a| a.top), median(|a| a.bottom))
}

/// Share of the lower of two bands that lies within the other.
pub fn overlap(a: (i32, i32), b: (i32, i32)) -> f32 {
    let common = a.1.min(b.1) - a.0.max(b.0);
    common as f32 / (a.1 - a.0).min(b.1 - b.0).max(1) as f32
}

/// Whether a blob can carry a line: a letter or a dash, neither a dot, nor a rule, nor a picture.
pub fn carries(blob: &Blob, letter: f32) -> bool {
    let (width, height) = (blob.width_in(letter), blob.height_in(letter));
    let rule = width > 12.0 || (height > 2.6 && width < 0.35);
    let tall_enough = height >= 0.55 || (width >= 0.8 && height >= 0.05);
    tall_enough && height <= 5.0 && !rule
}

/// Links each letter to its right neighbour and follows the links.
pub fn chains(blobs: &[Blob], letter: f32) -> Vec<Chain> {
    let mut letters: Vec<Blob> = blobs.iter().filter(|b| carries(b, letter)).copied().collect();
    letters.sort_by_key(|b| b.area.left);
    let mut groups = Groups::new(letters.len());
    let rights: Vec<Option<usize>> =
        (0..letters.len()).map(|i| right_neighbour(&letters, i, letter)).collect();
    let mut best_left: Vec<Option<(f32, usize)>> = vec![None; letters.len()];
    for (i, right) in rights.iter().enumerate() {
        let Some(j) = *right else { continue };
        let (Some(a), Some(b), Some(slot)) = (letters.get(i), letters.get(j), best_left.get_mut(j))
        else {
            continue;
        };
        let far = distance(a, b);
        if slot.is_none_or(|(least, _)| far < least) {
            *slot = Some((far, i));
        }
    }
    for (j, left) in best_left.iter().enumerate() {
        if let Some((_, i)) = left {
            groups.join(*i, j);
        }
    }
    groups.collect(&letters).into_iter().filter_map(Chain::of).collect()
}

/// Gives a chain of one or two blobs that lies within another to that one: broken print stacks pieces of a letter
/// over each other, and only one of them finds its neighbours.
pub fn absorbed(chains: Vec<Chain>, letter: f32) -> Vec<Chain> {
    let chains = without_strangers(chains, letter);
    let scrap = |c: &Chain| c.blobs.len() <= 2 && c.area.width() as f32 <= letter * 1.5;
    let (scraps, mut hosts): (Vec<Chain>, Vec<Chain>) = chains.into_iter().partition(scrap);
    for chain in scraps {
        let inside = hosts.iter().map(|h| within(&chain, h, letter)).enumerate();
        let best = inside.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|best| best.1 >= 0.7);
        match best.and_then(|(i, _)| hosts.get_mut(i)) {
            Some(host) => {
                let blobs = host.blobs.iter().chain(&chain.blobs).copied().collect();
                if let Some(joined) = Chain::of(blobs) {
                    *host = Chain { band: host.band, ..joined };
                }
            }
            None => hosts.push(chain),
        }
    }
    hosts
}

/// Gives the foot of a broken figure back: it looks like a dash at the end of the title before ("— 940" for
/// "240"), but stands under the first letter of the next chain.
fn without_strangers(mut chains: Vec<Chain>, letter: f32) -> Vec<Chain> {
    for at in 0..chains.len() {
        let Some(chain) = chains.get(at).filter(|c| c.blobs.len() > 1) else { continue };
        let ends = [chain.blobs.last(), chain.blobs.first()];
        let low = |b: &&Blob| b.height_in(letter) < FOOT;
        let owner = |b: &Blob| {
            let stands = |(_, c): &(usize, &Chain)| stands_over(c, b, letter);
            let others = chains.iter().enumerate().filter(|(i, _)| *i != at);
            Some((others.filter(stands).map(|(i, _)| i).next()?, *b))
        };
        let Some((host, piece)) = ends.into_iter().flatten().filter(low).find_map(owner) else {
            continue;
        };
        let kept = chain.blobs.iter().filter(|b| b.label != piece.label).copied().collect();
        let band = chains.get(host).map(|c| c.band);
        let joined = |c: &Chain| Chain::of(c.blobs.iter().chain([&piece]).copied().collect());
        if let (Some(kept), Some(joined), Some(band)) =
            (Chain::of(kept), chains.get(host).and_then(joined), band)
        {
            let joined = Chain { band, ..joined };
            for (index, new) in [(at, kept), (host, joined)] {
                if let Some(slot) = chains.get_mut(index) {
                    *slot = new;
                }
            }
        }
    }
    chains
}

/// Pieces of figures are lower than this, in letter heights.
const FOOT: f32 = 0.6;
/// Share of a piece's width under one letter, from which it is a part of that letter.
const STACKED: f32 = 0.6;

fn stands_over(chain: &Chain, piece: &Blob, letter: f32) -> bool {
    let band = (chain.band.0, chain.band.1 + (letter * 0.2) as i32);
    let inside = piece.area.bottom.min(band.1) - piece.area.top.max(band.0);
    let under = |l: &Blob| {
        overlap((l.area.left, l.area.right), (piece.area.left, piece.area.right)) >= STACKED
    };
    inside * 10 >= piece.area.height() * 7 && chain.blobs.iter().any(under)
}

/// Share of a scrap's height that lies within a chain, which it stands over.
fn within(scrap: &Chain, host: &Chain, letter: f32) -> f32 {
    let (slack, middle) = ((letter * 0.2) as i32, (scrap.area.left + scrap.area.right) / 2);
    let beside = (host.area.left - slack..=host.area.right + slack).contains(&middle);
    // The band is that of small letters; pieces of capitals rise above it.
    let top = host.area.top.max(host.band.0 - (letter * 0.8) as i32).min(host.band.0 - slack);
    let inside = scrap.area.bottom.min(host.band.1 + slack) - scrap.area.top.max(top);
    if beside { inside as f32 / scrap.area.height().max(1) as f32 } else { 0.0 }
}

/// Whether a chain holds at least one mark as high as a letter, or is a dash; specks do not.
pub fn printed(chain: &Chain, letter: f32) -> bool {
    chain.blobs.iter().any(|b| b.height_in(letter) >= 0.55 || b.width_in(letter) >= 1.0)
}

fn distance(a: &Blob, b: &Blob) -> f32 {
    let gap = (b.area.left - a.area.right).max(0) as f32;
    let rise = (a.area.top + a.area.bottom - b.area.top - b.area.bottom).abs() as f32 / 2.0;
    gap + rise
}

fn right_neighbour(letters: &[Blob], i: usize, letter: f32) -> Option<usize> {
    let a = letters.get(i)?;
    let reach = a.area.right + (letter * WIDEST_SPACE) as i32;
    let after = letters.iter().enumerate().skip(i + 1).take_while(|(_, b)| b.area.left <= reach);
    let fits = after.filter(|(_, b)| neighbours(a, b, letter));
    fits.min_by(|(_, b), (_, c)| distance(a, b).total_cmp(&distance(a, c))).map(|(j, _)| j)
}

fn neighbours(a: &Blob, b: &Blob, letter: f32) -> bool {
    let (ha, hb) = (a.area.height(), b.area.height());
    let share = overlap((a.area.top, a.area.bottom), (b.area.top, b.area.bottom));
    let to_the_right =
        b.area.right > a.area.right || b.area.left > (a.area.left + a.area.right) / 2;
    // A drop capital stands beside two lines and belongs to neither chain; a bracket before a comma does.
    let alike = ha.max(hb) as f32 <= (3.2 * ha.min(hb) as f32).max(2.6 * letter)
        || ha.min(hb) * 3 < a.area.width().min(b.area.width());
    let close = (b.area.left - a.area.right) * 3 < ha.max(hb);
    to_the_right && alike && share >= if close { 0.2 } else { 0.4 }
}

/// Sets of indices that grow together (union–find).
struct Groups(Vec<usize>);

impl Groups {
    fn new(n: usize) -> Self {
        Groups((0..n).collect())
    }

    fn root(&self, mut i: usize) -> usize {
        while let Some(&up) = self.0.get(i) {
            if up == i {
                break;
            }
            i = up;
        }
        i
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        if let Some(slot) = self.0.get_mut(a.max(b)) {
            *slot = a.min(b);
        }
    }

    fn collect(&self, letters: &[Blob]) -> Vec<Vec<Blob>> {
        let mut sets: Vec<Vec<Blob>> = vec![Vec::new(); letters.len()];
        for (i, blob) in letters.iter().enumerate() {
            if let Some(set) = sets.get_mut(self.root(i)) {
                set.push(*blob);
            }
        }
        sets
    }
}

/// Puts the chains of one column together into lines, top to bottom.
pub fn lines(mut chains: Vec<Chain>, letter: f32) -> Vec<Line> {
    // Long chains first: they show where the lines run.
    chains.sort_by_key(|c| -(c.area.width()));
    let mut lines: Vec<Line> = Vec::new();
    for chain in chains {
        let scores = lines.iter().map(|line| fit(line, &chain, letter));
        let best = scores.enumerate().max_by(|a, b| a.1.total_cmp(&b.1)).filter(|b| b.1 >= 0.4);
        match best.and_then(|(i, _)| lines.get_mut(i)) {
            Some(line) => {
                line.area = line.area.union(&chain.area);
                line.parts.push(chain);
                line.parts.sort_by_key(|c| c.area.left);
            }
            None => {
                lines.push(Line { area: chain.area, parts: vec![chain], leader: false, step: None })
            }
        }
    }
    for line in &mut lines {
        line.parts = joined(std::mem::take(&mut line.parts), letter);
        line.step = step(&line.parts, letter);
    }
    lines.sort_by_key(|line| line.parts.iter().map(|p| p.band.1).min());
    lines
}

/// Parts that touch were torn by a broken letter ("C" and "ouncil"): read alone, its pieces mean nothing.
fn joined(parts: Vec<Chain>, letter: f32) -> Vec<Chain> {
    let mut joined: Vec<Chain> = Vec::new();
    for part in parts {
        let torn = |before: &&mut Chain| {
            let white = (part.area.left - before.area.right) as f32;
            let level = overlap(before.end_band(true), part.end_band(false)) >= SAME_HEIGHT;
            !before.is_leader() && !part.is_leader() && white < WIDEST_SPACE * letter && level
        };
        match joined.last_mut().filter(torn) {
            Some(before) => {
                let blobs = before.blobs.iter().chain(&part.blobs).copied().collect();
                if let Some(whole) = Chain::of(blobs) {
                    *before = whole;
                }
            }
            None => joined.push(part),
        }
    }
    joined
}

/// Share of their heights that pieces of one word have in common.
const SAME_HEIGHT: f32 = 0.5;

fn step(parts: &[Chain], letter: f32) -> Option<f32> {
    let pairs = parts.iter().zip(parts.iter().skip(1));
    let untied = pairs.filter(|(a, b)| !a.is_leader() && !b.is_leader());
    // Old-style figures hang below the line and lining figures rise above small letters; a number that slipped has
    // both its head and its foot elsewhere.
    let steps = untied.map(|(a, b)| {
        let (a, b) = (a.end_band(true), b.end_band(false));
        (a.0 - b.0).abs().min((a.1 - b.1).abs()) as f32 / letter
    });
    steps.reduce(f32::max)
}

/// How well a chain continues a line: overlap of their bands where they face each other; 0 where it would lie
/// on top of a part.
fn fit(line: &Line, chain: &Chain, letter: f32) -> f32 {
    let slack = (letter * 0.6) as i32;
    let covers = |p: &Chain| {
        p.area.left + slack < chain.area.right && chain.area.left + slack < p.area.right
    };
    let shares = line.parts.iter().map(|part| {
        if covers(part) {
            return if overlap(part.band, chain.band) > 0.5 { 0.45 } else { -9.0 };
        }
        let chain_right = chain.area.left >= part.area.left;
        let share = overlap(part.end_band(chain_right), chain.end_band(!chain_right));
        // Where a page curls down, the number sinks below the leader that points at it.
        let gap = (chain.area.left - part.area.right) as f32;
        let pointed_at =
            part.is_leader() && (0.0..letter * 3.0).contains(&gap) && chain.blobs.len() <= 8;
        if pointed_at && share > 0.1 { share.max(0.4) } else { share }
    });
    let shares: Vec<f32> = shares.collect();
    if shares.iter().any(|s| *s < -1.0) { 0.0 } else { shares.into_iter().fold(0.0, f32::max) }
}

/// Gives the marks too small to carry a line (dots, commas, accents, hyphens) to the part they belong to.
pub fn attach(lines: &mut [Line], blobs: &[Blob], letter: f32) {
    for blob in blobs.iter().filter(|b| !carries(b, letter) && b.height_in(letter) < 1.0) {
        let mut parts = lines.iter_mut().flat_map(|l| l.parts.iter_mut()).collect::<Vec<_>>();
        let near = parts.iter_mut().filter_map(|p| reach(p, blob, letter).map(|far| (far, p)));
        if let Some((_, part)) = near.min_by(|a, b| a.0.total_cmp(&b.0)) {
            let place = part.blobs.partition_point(|b| b.area.left <= blob.area.left);
            part.blobs.insert(place, *blob);
            part.area = part.area.union(&blob.area);
        }
    }
    for line in lines {
        line.area = line.parts.iter().map(|p| p.area).fold(line.area, |a, b| a.union(&b));
    }
}

/// Distance of a mark from a part, if it is near enough to belong to it.
fn reach(part: &Chain, blob: &Blob, letter: f32) -> Option<f32> {
    let (middle_x, middle_y) =
        ((blob.area.left + blob.area.right) / 2, (blob.area.top + blob.area.bottom) / 2);
    let beside = (part.area.left - middle_x).max(middle_x - part.area.right).max(0) as f32;
    let (top, bottom) =
        part.blobs.iter().min_by_key(|b| (b.area.left + b.area.right - 2 * middle_x).abs()).map_or(
            part.band,
            // The neighbouring letter, so that a sloping line keeps its own dots, and the band, so that a
            // descender does not reach into the line below.
            |b| {
                (
                    b.area.top.min(part.band.0),
                    b.area.bottom.min(part.band.1 + (letter * 0.5) as i32),
                )
            },
        );
    let above = (top - middle_y).max(0) as f32;
    let below = (middle_y - bottom).max(0) as f32;
    let near = beside <= letter * 0.8 && above <= letter * 0.7 && below <= letter * 0.4;
    near.then_some(beside + above + below)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letter_at(label: u32, left: i32, top: i32) -> Blob {
        Blob { label, area: Rect { left, top, right: left + 14, bottom: top + 20 }, pixels: 150 }
    }

    #[test]
    fn the_foot_of_a_broken_figure_comes_back_to_it() {
        let mut blobs: Vec<Blob> = (0..6).map(|i| letter_at(i, 16 * i as i32, 100)).collect();
        // A 2 broken in two behind the title, and two more figures.
        let piece = |label, left, top, right, bottom| Blob {
            label,
            area: Rect { left, top, right, bottom },
            pixels: 90,
        };
        blobs.extend([piece(20, 121, 90, 135, 108), piece(21, 118, 112, 136, 120)]);
        blobs.extend([piece(22, 140, 90, 154, 120), piece(23, 158, 90, 172, 120)]);
        let found = absorbed(chains(&blobs, 20.0), 20.0);
        let labels = |c: &Chain| c.blobs.iter().map(|b| b.label).collect::<Vec<_>>();
        let number = found.iter().find(|c| c.blobs.iter().any(|b| b.label == 22)).unwrap();
        assert_eq!(labels(number), [21, 20, 22, 23], "{found:?}");
    }

    #[test]
    fn a_sloping_line_with_a_far_number_stays_one_line() {
        let mut blobs: Vec<Blob> =
            (0..20).map(|i| letter_at(i, 16 * i as i32, 100 + i as i32)).collect();
        blobs.extend((0..3).map(|i| letter_at(50 + i, 600 + 16 * i as i32, 121)));
        blobs.extend((0..20).map(|i| letter_at(100 + i, 16 * i as i32, 150 + i as i32)));
        let chains = chains(&blobs, 20.0);
        assert_eq!(chains.len(), 3);
        let lines = lines(chains, 20.0);
        assert_eq!(lines.iter().map(|l| l.parts.len()).collect::<Vec<_>>(), [2, 1]);
    }

    #[test]
    fn a_number_that_slipped_steps_and_a_hanging_figure_does_not() {
        let line = |number: (i32, i32)| {
            let mut blobs: Vec<Blob> = (0..20).map(|i| letter_at(i, 16 * i as i32, 100)).collect();
            blobs.extend((0..3).map(|i| {
                let left = 600 + 16 * i as i32;
                let area = Rect { left, top: number.0, right: left + 14, bottom: number.1 };
                Blob { label: 50 + i, area, pixels: 150 }
            }));
            let lines = lines(chains(&blobs, 20.0), 20.0);
            assert_eq!(lines.len(), 1);
            lines[0].step.unwrap()
        };
        assert!(line((91, 120)) < 0.1, "figures as high as capitals");
        assert!(line((100, 130)) < 0.1, "old-style figures that hang");
        assert!(line((112, 132)) > 0.5, "half a line lower");
    }

    #[test]
    fn a_word_torn_by_a_broken_capital_is_one_part() {
        // "C" in two pieces, of which the upper one stands between it and the next letter.
        let mut blobs: Vec<Blob> = (0..6).map(|i| letter_at(i, 40 + 16 * i as i32, 100)).collect();
        let piece = |label, left, top, right, bottom| Blob {
            label,
            area: Rect { left, top, right, bottom },
            pixels: 90,
        };
        blobs.extend([piece(20, 10, 90, 20, 120), piece(21, 22, 90, 34, 102)]);
        let lines = lines(absorbed(chains(&blobs, 20.0), 20.0), 20.0);
        assert_eq!(lines.iter().map(|l| l.parts.len()).collect::<Vec<_>>(), [1]);
        assert_eq!(lines[0].parts[0].blobs.len(), 8);
    }
}
