//! The order of a book's places: the outline's, with whole sections moved to where the pages say they
//! are.
//!
//! Sections are compared by the median of the pages read in them. The heaviest increasing sequence of
//! sections stays; a section outside it moves if two readings or the printed order of its list agree,
//! so that one misread number moves nothing.

use super::{Book, Entry, Kind, Label, Said};
use crate::place::Place;
use std::collections::HashMap;

/// Levels whose blocks may stand elsewhere than the outline says: sections, then their parts.
const MOVABLE_LEVELS: [u8; 2] = [1, 2];

impl Book {
    /// Puts the entries in the order of the book.
    pub(super) fn arrange(&mut self) {
        self.canonical_order();
        for level in MOVABLE_LEVELS {
            let entries = std::mem::take(&mut self.entries);
            self.entries = move_blocks(entries, level);
        }
    }

    /// The outline's order; the book's own places after those they follow in a list.
    fn canonical_order(&mut self) {
        let outline = self.outlined();
        let ranks: HashMap<&Place, usize> = outline
            .map(|o| o.places.iter().enumerate().map(|(i, p)| (&p.place, i)).collect())
            .unwrap_or_default();
        let entries = std::mem::take(&mut self.entries);
        let mut ranked: Vec<(usize, Entry)> = Vec::new();
        let mut own = Vec::new();
        for entry in entries {
            match ranks.get(&entry.place) {
                Some(rank) => ranked.push((*rank, entry)),
                None => own.push(entry),
            }
        }
        ranked.sort_by_key(|r| r.0);
        let mut ordered: Vec<Entry> = ranked.into_iter().map(|r| r.1).collect();
        for entry in own {
            let follows = |e: &Entry| Some(&e.place) == entry.after.as_ref();
            let followed = ordered.iter().position(follows);
            let at = followed.map_or_else(|| by_page(&ordered, &entry), |i| i + 1);
            ordered.insert(at.min(ordered.len()), entry);
        }
        self.entries = ordered;
    }
}

/// Where an entry without a printed neighbour goes: before the first that was read on a later page.
fn by_page(ordered: &[Entry], entry: &Entry) -> usize {
    let Some(page) = read_label(entry) else { return ordered.len() };
    let later = |e: &Entry| read_label(e).is_some_and(|l| l > page);
    ordered.iter().position(later).unwrap_or(ordered.len())
}

/// The likeliest label of an entry before anything is inferred.
fn read_label(entry: &Entry) -> Option<Label> {
    if let Some(Said::Page(page)) = &entry.said {
        return Label::parse(page);
    }
    entry.evidence.iter().find_map(|e| Label::parse(e.label()?))
}

struct Block {
    entries: Vec<Entry>,
    median: Option<Label>,
    readings: usize,
    /// A list names it between pages that frame its own, or a person named a page in it.
    vouched: bool,
}

fn move_blocks(entries: Vec<Entry>, level: u8) -> Vec<Entry> {
    let listed = in_list_order(&entries);
    let mut done = Vec::new();
    let mut siblings: Vec<Vec<Entry>> = Vec::new();
    for entry in entries {
        if entry.level < level {
            done.extend(sorted(std::mem::take(&mut siblings), &listed));
            done.push(entry);
        } else if entry.level == level || siblings.is_empty() {
            siblings.push(vec![entry]);
        } else if let Some(block) = siblings.last_mut() {
            block.push(entry);
        }
    }
    done.extend(sorted(siblings, &listed));
    done
}

impl Block {
    fn of(entries: Vec<Entry>, listed: &[Listed]) -> Self {
        let mut labels: Vec<Label> = entries.iter().filter_map(read_label).collect();
        labels.sort();
        let vouched = |e: &Entry| {
            matches!(e.said, Some(Said::Page(_)))
                || e.evidence.iter().any(|r| r.kind == Kind::List && framed(listed, r.step, r.row))
        };
        Block {
            median: labels.get(labels.len() / 2).cloned(),
            readings: labels.len(),
            vouched: labels.len() == 1 && entries.iter().any(vouched),
            entries,
        }
    }
}

/// A list row: the step that read it, its number there, its label.
type Listed = (usize, usize, Label);

/// All list rows in printed order.
fn in_list_order(entries: &[Entry]) -> Vec<Listed> {
    let readings = entries.iter().flat_map(|e| &e.evidence).filter(|r| r.kind == Kind::List);
    let mut listed: Vec<_> =
        readings.filter_map(|r| Some((r.step, r.row, Label::parse(r.label()?)?))).collect();
    listed.sort();
    listed
}

/// Whether the two rows above and the two below frame the row's page.
fn framed(listed: &[Listed], step: usize, row: usize) -> bool {
    let Ok(at) = listed.binary_search_by_key(&(step, row), |l| (l.0, l.1)) else { return false };
    let around = |i: usize| listed.get(i).filter(|l| l.0 == step).map(|l| &l.2);
    let here = around(at);
    let above = [at.checked_sub(1), at.checked_sub(2)].map(|i| i.and_then(around));
    let below = [around(at + 1), around(at + 2)];
    let rises = above.iter().flatten().all(|l| Some(*l) <= here)
        && below.iter().flatten().all(|l| Some(*l) >= here);
    rises && above.iter().chain(&below).flatten().count() >= 2
}

/// Blocks in the order of their pages; blocks nobody read follow the one before them.
fn sorted(blocks: Vec<Vec<Entry>>, listed: &[Listed]) -> Vec<Entry> {
    let blocks: Vec<Block> = blocks.into_iter().map(|b| Block::of(b, listed)).collect();
    let keep = heaviest_rise(&blocks);
    let mut groups: Vec<(Option<Label>, Vec<Entry>)> = Vec::new();
    let mut movers: Vec<(Label, Vec<Entry>)> = Vec::new();
    for (block, stays) in blocks.into_iter().zip(keep) {
        match block.median {
            Some(median) if !stays && (block.readings > 1 || block.vouched) => {
                movers.push((median, block.entries));
            }
            Some(median) if stays => groups.push((Some(median), block.entries)),
            _ => match groups.last_mut() {
                Some(group) => group.1.extend(block.entries),
                None => groups.push((None, block.entries)),
            },
        }
    }
    for (median, entries) in movers {
        let later = |g: &(Option<Label>, _)| g.0.as_ref().is_some_and(|l| *l > median);
        let at = groups.iter().position(later).unwrap_or(groups.len());
        groups.insert(at, (Some(median), entries));
    }
    groups.into_iter().flat_map(|g| g.1).collect()
}

/// Which blocks belong to the increasing sequence of medians with the most readings.
fn heaviest_rise(blocks: &[Block]) -> Vec<bool> {
    let mut best: Vec<(usize, Option<usize>)> = Vec::new();
    for (i, block) in blocks.iter().enumerate() {
        let before = (0..i)
            .filter(|&j| blocks[j].median.is_some() && blocks[j].median <= block.median)
            .max_by_key(|&j| best[j].0);
        let weight = if block.median.is_some() { block.readings.min(20) } else { 0 };
        best.push((weight + before.map_or(0, |j| best[j].0), before));
    }
    let mut keep = vec![false; blocks.len()];
    let mut at = (0..blocks.len()).max_by_key(|&i| best[i].0);
    while let Some(i) = at {
        keep[i] = blocks[i].median.is_some();
        at = best[i].1;
    }
    keep
}
