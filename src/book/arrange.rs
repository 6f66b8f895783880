//! The order of this book: clear prints stand where they say, whatever the outline expects; what nobody read
//! stands where the outline has it among those.
//!
//! An outline is a prior, so it places what is unread behind the text that should come before it. A text
//! read clearly, whose list goes on with it or which another list names too, stands on its own page, be it
//! a section, a season or one preface. A reading that fits neither its list nor the outline moves nothing.

use super::apart::apart;
use super::claim::Claim;
use super::label::Label;
use super::lists::Lists;
use super::{Book, Entry};
use crate::ascent;
use crate::place::Place;
use std::collections::HashMap;

/// Where an entry stands: a page, the outline's rank of the entry that gave it, its own rank.
type Key = (Option<Label>, usize, usize);

/// Levels that hold texts under them; deeper headings are texts themselves.
const DEEPEST_SECTION: u8 = 3;

impl Book {
    /// Puts the entries in the outline's order, the book's own places after those they follow.
    pub(super) fn in_outline_order(&mut self) {
        let outline = self.outlined();
        let ranks: HashMap<&Place, usize> = outline
            .map(|o| o.places.iter().enumerate().map(|(i, p)| (&p.place, i)).collect())
            .unwrap_or_default();
        let entries = std::mem::take(&mut self.entries);
        let (mut ranked, mut own) = (Vec::new(), Vec::new());
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
            let at = ordered.iter().position(follows).map_or(ordered.len(), |i| i + 1);
            ordered.insert(at, entry);
        }
        self.entries = ordered;
    }

    /// Puts the entries, which are in the outline's order, in the order of this book; returns what their
    /// readings say, in the same order.
    pub(super) fn arrange(&mut self, lists: &Lists) -> Vec<Option<Claim>> {
        let mut claims: Vec<Option<Claim>> = self.entries.iter().map(|e| e.claim(lists)).collect();
        let anchors = anchors(&self.entries, &claims);
        for (claim, anchor) in claims.iter_mut().zip(&anchors) {
            if let Some(claim) = claim {
                claim.stands = anchor.is_some();
            }
        }
        let keys = keys(&self.entries, &anchors);
        let entries = std::mem::take(&mut self.entries);
        let mut ordered: Vec<(Key, (Entry, Option<Claim>))> =
            keys.into_iter().zip(entries.into_iter().zip(claims)).collect();
        ordered.sort_by(|a, b| a.0.cmp(&b.0));
        let (entries, claims) = ordered.into_iter().map(|o| o.1).unzip();
        self.entries = entries;
        claims
    }
}

/// The page each entry surely stands on.
fn anchors(entries: &[Entry], claims: &[Option<Claim>]) -> Vec<Option<Label>> {
    let clear = |c: &&Claim| c.clear && !c.disputed;
    let mut anchors: Vec<Option<Label>> = claims
        .iter()
        .map(|c| c.as_ref().filter(clear).filter(|c| c.vouched).map(|c| c.label.clone()))
        .collect();
    // What no list vouches for stands if the outline's neighbours frame it.
    let known: Vec<usize> = (0..entries.len()).filter(|i| anchors[*i].is_some()).collect();
    for (index, claim) in claims.iter().enumerate() {
        let Some(claim) = claim.as_ref().filter(clear).filter(|c| !c.vouched) else { continue };
        let at = known.partition_point(|k| *k < index);
        let before = at.checked_sub(1).and_then(|i| anchors[known[i]].clone());
        let after = known.get(at).and_then(|i| anchors[*i].clone());
        let framed =
            before.is_none_or(|b| b <= claim.label) && after.is_none_or(|a| claim.label <= a);
        if framed {
            anchors[index] = Some(claim.label.clone());
        }
    }
    anchors
}

/// Where each entry stands: on its own page, before the first text read under it, or behind the text before. Prefaces
/// of single days that stand apart from their days follow each other.
fn keys(entries: &[Entry], anchors: &[Option<Label>]) -> Vec<Key> {
    let mut strays = strays(entries, anchors);
    let apart = apart(entries, anchors, &strays);
    strays.iter_mut().zip(&apart).for_each(|(stray, apart)| *stray |= apart);
    let first_apart = (0..entries.len()).find_map(|i| {
        let label = anchors[i].as_ref().filter(|_| apart[i])?;
        Some((Some(label.clone()), i))
    });
    let mut leads: [(Option<Label>, usize); 2] = [(None, 0), first_apart.unwrap_or_default()];
    let mut keys: Vec<Key> = Vec::with_capacity(entries.len());
    for index in 0..entries.len() {
        let lead = &mut leads[usize::from(apart[index])];
        let (label, rank) = match &anchors[index] {
            Some(label) => (Some(label.clone()), index),
            None => first_under(entries, anchors, &strays, index).unwrap_or_else(|| lead.clone()),
        };
        if !strays[index] || (apart[index] && anchors[index].is_some()) {
            *lead = (label.clone(), rank);
        }
        keys.push((label, rank, index));
    }
    keys
}

/// The first entry under a heading that was read: the heading stands before it.
fn first_under(
    entries: &[Entry],
    anchors: &[Option<Label>],
    strays: &[bool],
    index: usize,
) -> Option<(Option<Label>, usize)> {
    let level = entries[index].level;
    if level > DEEPEST_SECTION {
        return None;
    }
    let under = (index + 1..entries.len()).take_while(|i| entries[*i].level > level);
    let mut read = under.filter(|i| !strays[*i] && anchors[*i].is_some());
    read.next().map(|i| (anchors[i].clone(), i))
}

/// Texts that stand apart from where the outline has them: outside the longest rise of the texts under their
/// heading. The next text is not looked for behind them.
fn strays(entries: &[Entry], anchors: &[Option<Label>]) -> Vec<bool> {
    let mut strays = vec![false; entries.len()];
    let mut sections: HashMap<&str, Vec<usize>> = HashMap::new();
    let read = entries.iter().enumerate().filter(|e| anchors[e.0].is_some());
    // Whether those of single days are where their days are is another question.
    for (index, entry) in read.filter(|e| !e.1.is_day_preface()) {
        let path = entry.place.as_str();
        // The months of the saints are one run, a season is one of its own.
        let depth = usize::from(!entry.place.is_under("saints"));
        let cut = path.match_indices('/').nth(depth).map_or(path.len(), |m| m.0);
        sections.entry(&path[..cut]).or_default().push(index);
    }
    for members in sections.values() {
        let labels: Vec<&Label> = members.iter().filter_map(|i| anchors[*i].as_ref()).collect();
        let mut outside: Vec<bool> = vec![true; members.len()];
        ascent::longest(&labels).into_iter().for_each(|i| outside[i] = false);
        for (member, outside) in members.iter().zip(outside) {
            strays[*member] = outside;
        }
    }
    strays
}
