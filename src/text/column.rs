//! Chains of letters become columns: where a gutter runs down the page, left column before right.
//!
//! A gutter shows as many words starting at one x with white before them, text (not just numbers) on both
//! sides, and hardly a line across. The gap before right-aligned page numbers and the one after key numbers
//! fail the middle condition.

use super::ink::Blob;
use super::line::{Chain, overlap};

/// White before a word at a gutter is at least this wide, in letter heights.
const LEAST_GUTTER: f32 = 0.45;
/// White before most words at a gutter, in letter heights: words inside titles stand closer.
const USUAL_GUTTER: f32 = 1.2;
/// A leader ends nearer before its number than this, in letter heights.
const LED: f32 = 2.5;
/// Text beside a gutter is at least this wide in the middle, in letter heights: wider than "1747".
const LEAST_TEXT: f32 = 4.6;
/// Share of the lines of the right column that start at its very edge.
const LEAST_ALIGNED: f32 = 0.08;
/// How far in lines may start, in letter heights.
const DEEPEST_INDENT: f32 = 8.0;
/// Share of the lines of the right column that start at its edge or that far in.
const LEAST_SHARE: f32 = 0.7;
/// Share of the lines that may run across.
const MOST_ACROSS: f32 = 0.12;

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
    /// A day of the month stands close before it.
    after_day: bool,
    /// White before it, up to what stands before it on its line, in pixels.
    white: Option<i32>,
}

/// Divides the page into what is read one after the other.
/// Gutters do not start at leaders, because their dots stand in columns of their own; but an entry goes on
/// as far as its leader does.
pub fn columns(mut chains: Vec<Chain>, leaders: Vec<Chain>, letter: f32) -> Vec<Column> {
    let gutters = gutters(&chains, &leaders, letter);
    let Some(top) = gutters.iter().map(|g| g.top).min() else {
        chains.extend(leaders);
        return vec![Column { number: 1, chains }];
    };
    let bottom = gutters.iter().map(|g| g.bottom).max().unwrap_or(top);
    let ruleless = chains.into_iter().filter_map(|c| without_rule(c, &gutters, letter));
    let pieces = ruleless.flat_map(|c| cut(c, &gutters, top, bottom)).chain(leaders);
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

fn gutters(chains: &[Chain], leaders: &[Chain], letter: f32) -> Vec<Gutter> {
    // A lone mark is more often dust than print, but not before a leader or a number.
    let before_number = |c: &Chain| {
        let number = |o: &&Chain| o.blobs.len() > 1 && o.area.left > c.area.right;
        // A rule between columns is thinner.
        let figure =
            |b: &Blob| (0.8..2.0).contains(&b.height_in(letter)) && b.width_in(letter) >= 0.4;
        let high = c.blobs.iter().any(figure);
        high && chains.iter().filter(number).any(|o| overlap(o.band, c.band) > 0.6)
    };
    let printed = |c: &&Chain| {
        c.blobs.len() > 1 || leader_end(c, leaders, letter) > c.area.right || before_number(c)
    };
    let chains: Vec<Chain> = chains.iter().filter(printed).cloned().collect();
    let chains = &chains;
    let starts = starts(chains, leaders, letter);
    let mut found: Vec<Gutter> = Vec::new();
    let mut at: Vec<i32> = starts.iter().map(|s| s.x).collect();
    at.sort_unstable();
    at.dedup();
    let mut candidates: Vec<(usize, Gutter)> =
        at.iter().filter_map(|&x| gutter_at(x, &starts, chains, leaders, letter)).collect();
    candidates.sort_by_key(|(count, g)| (std::cmp::Reverse(*count), g.x));
    let apart = (letter * LEAST_TEXT) as i32;
    for (_, gutter) in candidates {
        if found.len() < 3 && found.iter().all(|g| (g.x - gutter.x).abs() > apart) {
            found.push(gutter);
        }
    }
    found.sort_by_key(|g| g.x);
    for gutter in &mut found {
        gutter.x = outermost(gutter, chains, letter);
    }
    found
}

/// The outermost start of a line right of where the left column ends: headings may hang out to the left.
fn outermost(gutter: &Gutter, chains: &[Chain], letter: f32) -> i32 {
    let at = |c: &&Chain| (gutter.top..gutter.bottom).contains(&((c.band.0 + c.band.1) / 2));
    let far = gutter.x - (letter * HANGING) as i32;
    let ends = chains.iter().filter(at).map(|c| c.area.right).filter(|r| *r < gutter.x);
    let end = ends.max().unwrap_or(far).max(far) + (letter * LEAST_GUTTER) as i32;
    let starts = chains.iter().filter(at).map(|c| c.area.left);
    starts.filter(|left| (end..=gutter.x).contains(left)).min().unwrap_or(gutter.x)
}

/// How far headings hang out at most, in letter heights.
const HANGING: f32 = 4.0;

fn starts(chains: &[Chain], leaders: &[Chain], letter: f32) -> Vec<Start> {
    chains.iter().flat_map(|chain| chain_starts(chain, chains, leaders, letter)).collect()
}

fn chain_starts(chain: &Chain, all: &[Chain], leaders: &[Chain], letter: f32) -> Vec<Start> {
    let least = (letter * LEAST_GUTTER) as i32;
    let middle = (chain.band.0 + chain.band.1) / 2;
    let before = all.iter().filter(|c| {
        c.area.right <= chain.area.left
            && c.band.0 <= middle
            && c.band.1 >= middle
            && c.area.right > chain.area.left - (letter * 40.0) as i32
    });
    let left = before.clone().map(|c| c.area.left).min();
    let white_before = before.map(|c| leader_end(c, leaders, letter)).max();
    let white_before = white_before.map(|end| chain.area.left - end);
    let end = leader_end(chain, leaders, letter).max(text_end(chain, all, letter));
    let close = |gap: i32| (0.0..letter * DAY_GAP).contains(&(gap as f32));
    let day_before = all.iter().any(|c| {
        could_be_day(&c.blobs, letter)
            && close(chain.area.left - c.area.right)
            && overlap(c.band, chain.band) > 0.4
    });
    let mut starts: Vec<Start> = Vec::new();
    let mut reach = i32::MIN;
    for (at, blob) in chain.blobs.iter().enumerate() {
        if reach == i32::MIN || blob.area.left - reach >= least {
            let behind =
                if reach == i32::MIN { left } else { Some(left.unwrap_or(chain.area.left)) };
            let (top, bottom) = chain.band;
            starts.push(Start {
                inside: reach != i32::MIN,
                after_day: match starts.as_slice() {
                    [] => day_before,
                    [_] => {
                        let before = chain.blobs.get(..at).unwrap_or_default();
                        could_be_day(before, letter) && close(blob.area.left - reach)
                    }
                    _ => false,
                },
                x: blob.area.left,
                top,
                bottom,
                ahead: end - blob.area.left,
                behind,
                white: if reach == i32::MIN { white_before } else { Some(blob.area.left - reach) },
            });
        }
        reach = reach.max(blob.area.right);
    }
    starts
}

/// Where the text of a chain ends; a day of the month has its title close behind it.
fn text_end(chain: &Chain, all: &[Chain], letter: f32) -> i32 {
    if !could_be_day(&chain.blobs, letter) {
        return chain.area.right;
    }
    let behind = |c: &&Chain| {
        let gap = (c.area.left - chain.area.right) as f32;
        (0.0..letter * DAY_GAP).contains(&gap) && overlap(c.band, chain.band) > 0.4
    };
    all.iter().find(behind).map_or(chain.area.right, |c| c.area.right)
}

/// Where the leader behind a chain ends, or the chain itself.
fn leader_end(chain: &Chain, leaders: &[Chain], letter: f32) -> i32 {
    let behind = |l: &&Chain| {
        let gap = (l.area.left - chain.area.right) as f32;
        (0.0..letter * 2.0).contains(&gap) && overlap(l.band, chain.band) > 0.1
    };
    leaders.iter().filter(behind).map(|l| l.area.right).max().unwrap_or(chain.area.right)
}

/// A title stands nearer behind its day than this, in letter heights; a column stands farther off.
const DAY_GAP: f32 = 2.0;
/// Two figures of a wide type are narrower than this, in letter heights.
const DAY_WIDTH: f32 = 3.6;

/// Whether these are one or two figures; a page number beside the next column has more.
fn could_be_day(blobs: &[Blob], letter: f32) -> bool {
    let area = blobs.iter().map(|b| b.area).reduce(|a, b| a.union(&b));
    blobs.len() <= 2 && area.is_some_and(|a| a.width() as f32 <= letter * DAY_WIDTH)
}

/// A gutter whose right column starts at `x`, with its worth; `None` if it fails.
fn gutter_at(
    x: i32,
    starts: &[Start],
    chains: &[Chain],
    leaders: &[Chain],
    letter: f32,
) -> Option<(usize, Gutter)> {
    let (slack, wander) = ((letter * 0.3) as i32, (letter * 0.9) as i32);
    let deepest = (letter * DEEPEST_INDENT) as i32;
    let from = |s: &&Start, to: i32| (-slack / 2..=to).contains(&(s.x - x));
    let near: Vec<&Start> = starts.iter().filter(|s| from(s, wander)).collect();
    // Lines of the right column start here or at an indent.
    let lines: Vec<&Start> = starts.iter().filter(|s| !s.inside && from(s, deepest)).collect();
    // Words of a heading over the columns may start here too by chance, but within its line.
    let clear = if lines.len() >= LEAST_LINES { &lines } else { &near };
    let top = clear.iter().map(|s| s.top).min()?;
    let bottom = clear.iter().map(|s| s.bottom).max()?;
    let wide = (letter * LEAST_TEXT) as i32;
    let ahead = median(clear.iter().map(|s| s.ahead).collect());
    // At an indent of numbers the next column may start.
    let at_the_edge = median(near.iter().map(|s| s.ahead).collect());
    let behind = median(clear.iter().filter_map(|s| s.behind.map(|b| s.x - b)).collect());
    let edge = x - slack;
    let between = chains.iter().filter(|c| (top..bottom).contains(&((c.band.0 + c.band.1) / 2)));
    let across = between.filter(|c| blocks(c, edge, letter)).count();
    // Above and below fewer lines may run across than the columns have.
    let across_page = chains.iter().filter(|c| blocks(c, edge, letter)).count();
    let inside = near.iter().filter(|s| s.inside).count();
    let [rows, at_edge] = firsts(chains, edge, x + deepest, top, bottom).map(|n| n + inside);
    let beside = clear.iter().filter(|s| s.behind.is_some()).count();
    // The day of the month belongs to the line it starts.
    let days = near.iter().filter(|s| s.after_day).count();
    if 3 * days > near.len() {
        return None;
    }
    let enough = rows >= LEAST_LINES && at_edge as f32 >= LEAST_SHARE * rows as f32;
    let aligned = near.len() >= 2 && near.len() as f32 >= LEAST_ALIGNED * rows as f32;
    let two_sided = beside >= LEAST_LINES.min(clear.len() * 3 / 10 + 1);
    let apart = across as f32 <= MOST_ACROSS * rows as f32 + 1.0;
    let whites: Vec<i32> = near.iter().filter_map(|s| s.white).collect();
    let white = whites.is_empty() || median(whites) as f32 >= letter * USUAL_GUTTER;
    let before = ends_before(edge, chains, (top, bottom), letter);
    let wide_enough = median(before.iter().map(|c| x - c.area.right).collect()) as f32;
    // What a leader leads to is a page number, not the start of a column.
    let led_to = |c: &&&Chain| {
        let end = leader_end(c, leaders, letter);
        end > c.area.right && ((x - end) as f32) < letter * LED
    };
    let led = before.iter().filter(led_to).count() * 2 > before.len();
    let good = enough
        && wide_enough >= letter * USUAL_GUTTER
        && !led
        && aligned
        && two_sided
        && apart
        && white
        && across_page <= rows
        && ahead >= wide
        && at_the_edge >= wide
        && behind >= wide + wide / 2;
    good.then_some((
        (at_edge + near.len() / 2).saturating_sub(3 * across),
        Gutter { x, top, bottom },
    ))
}

/// The last text of each line that ends before `edge`; a printed rule in the gutter is none.
fn ends_before(edge: i32, chains: &[Chain], (top, bottom): (i32, i32), letter: f32) -> Vec<&Chain> {
    let between = |c: &&Chain| (top..bottom).contains(&((c.band.0 + c.band.1) / 2));
    let rule = |c: &Chain| (c.area.width() as f32) < 0.4 * letter;
    let before = |c: &&Chain| c.area.right <= edge + 2 * (letter * 0.3) as i32 && !rule(c);
    let left: Vec<&Chain> = chains.iter().filter(between).filter(before).collect();
    let after = |a: &Chain, b: &Chain| a.area.left > b.area.left && overlap(a.band, b.band) > 0.3;
    let last = |c: &&Chain| !left.iter().any(|d| after(d, c));
    left.iter().copied().filter(last).collect()
}

/// How many lines between two heights start to the right of `edge`, and how many of them before `to`. Single marks
/// far from the edge count no line: beside the page they are grain of the table.
fn firsts(chains: &[Chain], edge: i32, to: i32, top: i32, bottom: i32) -> [usize; 2] {
    let between = |c: &&Chain| (top..bottom).contains(&((c.band.0 + c.band.1) / 2));
    let print = |c: &&Chain| c.area.left <= to || c.blobs.len() > 2;
    let right: Vec<&Chain> =
        chains.iter().filter(between).filter(|c| c.area.right > edge).filter(print).collect();
    let before = |a: &Chain, b: &Chain| a.area.left < b.area.left && overlap(a.band, b.band) > 0.3;
    let first = |c: &&&Chain| c.area.left >= edge && !right.iter().any(|d| before(d, c));
    let firsts = || right.iter().filter(first);
    [firsts().count(), firsts().filter(|c| c.area.left <= to).count()]
}

/// Whether ink of the chain stands across `x`, so that no gutter passes there: the white must be wider than
/// between letters.
fn blocks(chain: &Chain, x: i32, letter: f32) -> bool {
    let (before, after) = (x - (letter * 0.2) as i32, x + (letter * 0.1) as i32);
    let spans = chain.area.left < x && chain.area.right > x;
    let white = |b: &Blob| b.area.right <= before || b.area.left >= after;
    spans && !chain.blobs.iter().all(white)
}

fn median(mut values: Vec<i32>) -> i32 {
    values.sort_unstable();
    values.get(values.len() / 2).copied().unwrap_or(0)
}
