//! Weighed segments become entries: those that name one head belong together.

use super::layout::Role;
use super::look::Look;
use super::pairing::{self, Pairs};
use super::segment::Segment;
use std::collections::BTreeMap;

/// An entry, as numbers of segments.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Entry {
    /// What is printed of it besides its labels, in reading order.
    pub title: Vec<usize>,
    /// Its labels, in reading order.
    pub labels: Vec<usize>,
    /// Whether it is a cross-reference.
    pub reference: bool,
    /// Depth, 1 the outermost.
    pub level: u8,
    /// Page of an open book, then column of that page, both from 0.
    pub place: (u8, u8),
    /// Probability, 0–1, that it is one entry with all its labels and no other's.
    pub probability: f64,
}

/// The entries of a page in reading order: left page first, left column first, from the top.
pub fn entries(look: &Look) -> Vec<Entry> {
    let pairs = pairing::pairs(look);
    let mut entries = grouped(look, &pairs);
    for entry in &mut entries {
        entry.probability = probability(look, &pairs, entry);
    }
    entries
}

fn grouped(look: &Look, pairs: &Pairs) -> Vec<Entry> {
    let opinions = &look.layout.opinions;
    let mut groups: BTreeMap<usize, Entry> = BTreeMap::new();
    for (i, opinion) in opinions.iter().enumerate() {
        let role = opinion.role();
        let Some(head) = pairs.heads.get(i).copied() else { continue };
        let entry = groups.entry(head).or_default();
        match role {
            Role::Title | Role::Heading | Role::Date => entry.title.push(i),
            Role::ReferenceText => {
                entry.title.push(i);
                entry.reference = true;
            }
            Role::Label => entry.labels.push(i),
            Role::ReferencePage => {
                entry.labels.push(i);
                entry.reference = true;
            }
            _ => {}
        }
    }
    let mut found: Vec<Entry> = Vec::new();
    for (head, mut entry) in groups {
        if entry.title.is_empty() && entry.labels.is_empty() {
            continue;
        }
        sort(&look.segments, &mut entry.title);
        sort(&look.segments, &mut entry.labels);
        if let Some(opinion) = opinions.get(head) {
            entry.level = opinion.level;
            entry.place = (opinion.leaf, opinion.column);
        }
        found.push(entry);
    }
    let top = |e: &Entry| {
        let first = e.title.first().or(e.labels.first()).and_then(|i| look.segments.get(*i));
        first.map_or((0.0, 0.0), |s| (s.left.y, s.left.x))
    };
    // Entries of one line stand one behind the other; heights of a line differ by less than half a band.
    found.sort_by(|a, b| a.place.cmp(&b.place).then(top(a).0.total_cmp(&top(b).0)));
    in_lines(look, found)
}

/// Reading order inside an entry: by line, a line being what lies level with its longest part.
fn sort(segments: &[Segment], parts: &mut [usize]) {
    let width = |s: &Segment| s.right.x - s.left.x;
    let printed = parts.iter().filter_map(|i| segments.get(*i));
    let Some(longest) = printed.max_by(|a, b| width(a).total_cmp(&width(b))) else { return };
    let slope = (longest.right.y - longest.left.y) / width(longest).max(longest.height);
    let slope = if width(longest) > 3.0 * longest.height { slope } else { 0.0 };
    let key = |i: &usize| {
        segments.get(*i).map_or((0, 0.0), |s| {
            let down = s.left.y - longest.left.y - slope * (s.left.x - longest.left.x);
            ((down / (0.9 * s.height)).round() as i32, s.left.x)
        })
    };
    parts.sort_by(|a, b| key(a).0.cmp(&key(b).0).then(key(a).1.total_cmp(&key(b).1)));
}

/// Entries whose first parts share a line are set from left to right.
fn in_lines(look: &Look, mut entries: Vec<Entry>) -> Vec<Entry> {
    let first =
        |e: &Entry| e.title.first().or(e.labels.first()).and_then(|i| look.segments.get(*i));
    for i in 1..entries.len() {
        let mut j = i;
        while j > 0 {
            let (Some(a), Some(b)) = (first(&entries[j - 1]), first(&entries[j])) else { break };
            let level = entries[j - 1].place == entries[j].place
                && (a.line == b.line || (a.left.y - b.left.y).abs() < 0.4 * a.height);
            if level && a.left.x > b.left.x {
                entries.swap(j - 1, j);
                j -= 1;
            } else {
                break;
            }
        }
    }
    entries
}

/// Whether print of the title stands between the labels of an entry: then two entries may have been taken for one.
pub fn interrupted(look: &Look, entry: &Entry) -> bool {
    let mut parts: Vec<usize> = entry.title.iter().chain(&entry.labels).copied().collect();
    sort(&look.segments, &mut parts);
    let changes =
        parts.windows(2).filter(|w| entry.labels.contains(&w[0]) != entry.labels.contains(&w[1]));
    let first = parts.first().is_some_and(|p| entry.labels.contains(p));
    // Title, labels, title; or labels, title.
    changes.count() > if first { 1 } else { 2 }
}

/// Probability that the labels are those printed of the entry: each is a label and belongs here, none is missing, and the
/// entry is one.
fn probability(look: &Look, pairs: &Pairs, entry: &Entry) -> f64 {
    let opinions = &look.layout.opinions;
    let labelled = |i: usize| {
        opinions.get(i).map_or(0.0, |o| f64::from(o.is(Role::Label) + o.is(Role::ReferencePage)))
    };
    let own: f64 =
        entry.labels.iter().map(|i| labelled(*i) * belongs(look, pairs, *i, entry)).product();
    let strangers = (0..opinions.len()).filter(|i| !entry.labels.contains(i));
    let none_missing: f64 =
        strangers.map(|i| 1.0 - labelled(i) * belongs(look, pairs, i, entry)).product();
    let titled = entry.title.first().and_then(|i| opinions.get(*i)).map_or(0.0, |o| {
        // An entry without a label is printed so where it is a heading.
        f64::from(if entry.labels.is_empty() {
            o.is(Role::Heading)
        } else {
            1.0 - o.is(Role::Furniture) - o.is(Role::Facing) - o.is(Role::Prose)
        })
    });
    let words = |i: usize| {
        opinions.get(i).map_or(0.0, |o| f64::from(o.is(Role::Title) + o.is(Role::Heading)))
    };
    let kept = entry.title.iter().map(|i| belongs(look, pairs, *i, entry));
    let torn = (0..opinions.len())
        .filter(|i| !entry.title.contains(i))
        .map(|i| words(i) * belongs(look, pairs, i, entry));
    let entire = kept.fold(1.0, f64::min).min(1.0 - torn.fold(0.0, f64::max));
    // That a label is the neighbour's and that the neighbour's is this one's are one doubt, seen from both sides.
    (own.min(none_missing).min(entire) * titled).clamp(0.0, 1.0)
}

/// Probability that a segment belongs to an entry: for a label by all labels of its column together, for others the
/// mass of its heads among the entry's title.
fn belongs(look: &Look, pairs: &Pairs, segment: usize, entry: &Entry) -> f64 {
    let among = |head: usize| entry.title.contains(&head);
    if let Some(beliefs) = pairs.labels.get(&segment) {
        return beliefs.iter().filter(|(head, _)| among(*head)).map(|b| b.1).sum::<f64>().min(1.0);
    }
    let Some(opinion) = look.layout.opinions.get(segment) else { return 0.0 };
    let mass = entry.title.iter().filter_map(|i| opinion.heads.get(*i)).map(|p| f64::from(*p));
    mass.sum::<f64>().min(1.0)
}
