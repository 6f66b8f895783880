//! Chains of letters become columns: where a gutter runs down the page, left column before right.
//!
//! A gutter shows as many words starting at one x with white before them, text (not just numbers) on both
//! sides, and hardly a line across. The gap before right-aligned page numbers and the one after key numbers
//! fail the middle condition.

use super::ink::Blob;
use super::line::{Chain, overlap};

/// White before a word at a gutter is at least this wide, in letter heights.
const LEAST_GUTTER: f32 = 0.45;
/// Text beside a gutter is at least this wide in the middle, in letter heights: wider than "1747".
const LEAST_TEXT: f32 = 4.6;
/// Share of the lines that may run across a gutter.
const MOST_ACROSS: f32 = 0.12;
/// Share of the lines of the right column that start at its edge, not at an indent.
const LEAST_SHARE: f32 = 0.45;
/// The fewest lines that make a column.
const LEAST_LINES: usize = 5;

/// A group of chains to be read before the next: a column, or a heading across the page (column 1).
#[derive(Debug)]
pub struct Column {
    /// Its number, 1 the leftmost.
    pub number: u8,
    /// Its chains, in no order.
    pub chains: Vec<Chain>,
}

#[derive(Debug, Clone, Copy)]
struct Gutter {
    /// Where the right column starts.
    x: i32,
    top: i32,
    bottom: i32,
}

/// A place where a word starts after white.
struct Start {
    x: i32,
    top: i32,
    bottom: i32,
    /// How far the text goes on from here, and how far back the text before it started.
    ahead: i32,
    behind: Option<i32>,
    /// Inside a chain, not at its start.
    inside: bool,
}

/// Divides the page into what is read one after the other.
pub fn columns(chains: Vec<Chain>, letter: f32) -> Vec<Column> {
    let gutters = gutters(&chains, letter);
    let Some(top) = gutters.iter().map(|g| g.top).min() else {
        return vec![Column { number: 1, chains }];
    };
    let bottom = gutters.iter().map(|g| g.bottom).max().unwrap_or(top);
    let ruleless = chains.into_iter().filter_map(|c| without_rule(c, &gutters, letter));
    let pieces = ruleless.flat_map(|c| cut(c, &gutters, top, bottom));
    let (mut head, mut foot) = (Vec::new(), Vec::new());
    let mut middle: Vec<Vec<Chain>> = vec![Vec::new(); gutters.len() + 1];
    for chain in pieces {
        let at = (chain.band.0 + chain.band.1) / 2;
        let number =
            gutters.iter().filter(|g| chain.area.left + (letter * 0.3) as i32 >= g.x).count();
        match middle.get_mut(number) {
            _ if at < top => head.push(chain),
            _ if at > bottom && crosses(&chain, &gutters) => foot.push(chain),
            Some(column) => column.push(chain),
            None => {}
        }
    }
    let numbered = (1u8..).zip(middle).map(|(number, chains)| Column { number, chains });
    let head = std::iter::once(Column { number: 1, chains: head });
    let all = head.chain(numbered).chain(std::iter::once(Column { number: 1, chains: foot }));
    all.filter(|c| !c.chains.is_empty()).collect()
}

fn crosses(chain: &Chain, gutters: &[Gutter]) -> bool {
    gutters.iter().any(|g| chain.area.left < g.x && chain.area.right > g.x)
}

/// Drops the pieces of a printed line that runs down a gutter.
fn without_rule(chain: Chain, gutters: &[Gutter], letter: f32) -> Option<Chain> {
    let in_gutter = |b: &Blob| {
        gutters.iter().any(|g| b.area.right <= g.x && (g.x - b.area.left) as f32 <= letter * 1.6)
    };
    let mut kept: Vec<Blob> = Vec::new();
    for blob in &chain.blobs {
        let clear = kept
            .last()
            .is_none_or(|l| (blob.area.left - l.area.right) as f32 > letter * LEAST_GUTTER);
        if !(in_gutter(blob) && clear && blob.width_in(letter) < 0.4) {
            kept.push(*blob);
        }
    }
    if kept.len() == chain.blobs.len() { Some(chain) } else { Chain::of(kept) }
}

/// Cuts a chain that runs on from one column into the next.
fn cut(chain: Chain, gutters: &[Gutter], top: i32, bottom: i32) -> Vec<Chain> {
    let at = (chain.band.0 + chain.band.1) / 2;
    if at < top || at > bottom || !crosses(&chain, gutters) {
        return vec![chain];
    }
    let side =
        |b: &Blob| gutters.iter().filter(|g| (b.area.left + b.area.right) / 2 >= g.x).count();
    let sides =
        (0..=gutters.len()).map(|n| chain.blobs.iter().filter(|b| side(b) == n).copied().collect());
    sides.filter_map(Chain::of).collect()
}

fn gutters(chains: &[Chain], letter: f32) -> Vec<Gutter> {
    // A lone mark is more often dust than print.
    let chains: Vec<Chain> = chains.iter().filter(|c| c.blobs.len() > 1).cloned().collect();
    let chains = &chains;
    let starts = starts(chains, letter);
    let mut found: Vec<Gutter> = Vec::new();
    let mut at: Vec<i32> = starts.iter().map(|s| s.x).collect();
    at.sort_unstable();
    at.dedup();
    let mut candidates: Vec<(usize, Gutter)> =
        at.iter().filter_map(|&x| gutter_at(x, &starts, chains, letter)).collect();
    candidates.sort_by_key(|(count, g)| (std::cmp::Reverse(*count), g.x));
    let apart = (letter * LEAST_TEXT) as i32;
    for (_, gutter) in candidates {
        if found.len() < 3 && found.iter().all(|g| (g.x - gutter.x).abs() > apart) {
            found.push(gutter);
        }
    }
    found.sort_by_key(|g| g.x);
    found
}

fn starts(chains: &[Chain], letter: f32) -> Vec<Start> {
    let least = (letter * LEAST_GUTTER) as i32;
    chains.iter().flat_map(|chain| chain_starts(chain, chains, least, letter)).collect()
}

fn chain_starts(chain: &Chain, all: &[Chain], least: i32, letter: f32) -> Vec<Start> {
    let middle = (chain.band.0 + chain.band.1) / 2;
    let before = all.iter().filter(|c| {
        c.area.right <= chain.area.left
            && c.band.0 <= middle
            && c.band.1 >= middle
            && c.area.right > chain.area.left - (letter * 40.0) as i32
    });
    let left = before.map(|c| c.area.left).min();
    let mut starts = Vec::new();
    let mut reach = i32::MIN;
    for blob in &chain.blobs {
        if reach == i32::MIN || blob.area.left - reach >= least {
            let behind =
                if reach == i32::MIN { left } else { Some(left.unwrap_or(chain.area.left)) };
            let (top, bottom) = chain.band;
            starts.push(Start {
                inside: reach != i32::MIN,
                x: blob.area.left,
                top,
                bottom,
                ahead: chain.area.right - blob.area.left,
                behind,
            });
        }
        reach = reach.max(blob.area.right);
    }
    starts
}

/// A gutter whose right column starts at `x`, with the number of lines that start there; `None` if it fails.
fn gutter_at(x: i32, starts: &[Start], chains: &[Chain], letter: f32) -> Option<(usize, Gutter)> {
    // Swashes and leaning columns let the starts wander to the right of the outermost.
    let (slack, wander) = ((letter * 0.3) as i32, (letter * 0.9) as i32);
    let here: Vec<&Start> =
        starts.iter().filter(|s| (-slack / 2..=wander).contains(&(s.x - x))).collect();
    // Words of a heading over the columns may start here too by chance, but within its line.
    let clear: Vec<&&Start> = here.iter().filter(|s| !s.inside).collect();
    let clear = if clear.len() >= LEAST_LINES { clear } else { here.iter().collect() };
    let top = clear.iter().map(|s| s.top).min()?;
    let bottom = clear.iter().map(|s| s.bottom).max()?;
    let beside = here.iter().filter(|s| s.behind.is_some()).count();
    let wide = (letter * LEAST_TEXT) as i32;
    let ahead = median(here.iter().map(|s| s.ahead).collect());
    let behind = median(here.iter().filter_map(|s| s.behind.map(|b| s.x - b)).collect());
    let edge = x - slack;
    let across = chains
        .iter()
        .filter(|c| (top..bottom).contains(&((c.band.0 + c.band.1) / 2)))
        .filter(|c| blocks(c, edge, letter))
        .count();
    let enough = here.len() >= LEAST_LINES && beside >= LEAST_LINES.min(here.len() * 3 / 10 + 1);
    let apart = across as f32 <= MOST_ACROSS * here.len() as f32;
    let firsts = firsts(chains, edge, top, bottom) + here.iter().filter(|s| s.inside).count();
    let enough = enough && here.len() as f32 >= LEAST_SHARE * firsts as f32;
    let gutter = Gutter { x: here.iter().map(|s| s.x).min()?, top, bottom };
    (enough && apart && ahead >= wide && behind >= wide + wide / 2).then_some((here.len(), gutter))
}

/// How many chains between two heights are the first of their line to the right of `edge`.
fn firsts(chains: &[Chain], edge: i32, top: i32, bottom: i32) -> usize {
    let between = |c: &&Chain| (top..bottom).contains(&((c.band.0 + c.band.1) / 2));
    let right: Vec<&Chain> =
        chains.iter().filter(between).filter(|c| c.area.right > edge).collect();
    let before = |a: &Chain, b: &Chain| a.area.left < b.area.left && overlap(a.band, b.band) > 0.3;
    right.iter().filter(|c| c.area.left >= edge && !right.iter().any(|d| before(d, c))).count()
}

/// Whether ink of the chain stands across `x`, so that no gutter passes there.
fn blocks(chain: &Chain, x: i32, letter: f32) -> bool {
    let need = (letter * LEAST_GUTTER * 0.5) as i32;
    let spans = chain.area.left < x && chain.area.right > x;
    let white = |b: &Blob| b.area.right <= x - need / 2 || b.area.left >= x - need / 4;
    spans && !chain.blobs.iter().all(white)
}

fn median(mut values: Vec<i32>) -> i32 {
    values.sort_unstable();
    values.get(values.len() / 2).copied().unwrap_or(0)
}
