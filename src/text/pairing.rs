//! Which label goes to which title, all labels of a column together.
//!
//! The model of the page gives for each label by itself how likely each title is. Where a page bends, two neighbours come
//! out alike; together they can only be meant one way: labels stand in the order of their titles, a title seldom has
//! labels on two lines, and one that looks like having a page has one. [`Chain`] finds the best way under these, and how
//! likely each pair is over all ways.

use super::chain::Chain;
use super::layout::{Opinion, Role};
use super::look::Look;
use super::segment::Segment;
use std::collections::BTreeMap;

/// Least probability of anything, so that no single opinion forbids a pairing.
const LEAST: f32 = 1e-5;
/// How far the model's opinions of neighbours are believed together: it errs alike on them. Of 0.4 to 1 the most at which
/// of the rows said to be 0.97 to 0.99 at least 99 in a hundred are right, on 60 pages of `press --drawn` and
/// `fixtures/photos`.
const TRUST: f64 = 0.7;
/// Weight of labels on a second line of print under one title: lists of pages that go on below are that likely
/// (common practice: in an index, hardly elsewhere; where they are, the model is sure of them).
const SECOND_LINE: f64 = 0.03;

/// A title that may take labels.
struct Head {
    segment: usize,
    /// All segments that belong to it.
    parts: Vec<usize>,
    /// Logarithms of how likely it has a page, and none.
    paged: f32,
    bare: f32,
}

/// What belongs to what.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pairs {
    /// The head of each segment: as the model has it, for labels as they fit together.
    pub heads: Vec<usize>,
    /// For each label of the page the heads it may have, with their probabilities.
    pub labels: BTreeMap<usize, Vec<(usize, f64)>>,
}

/// Pairs all labels with titles.
pub fn pairs(look: &Look) -> Pairs {
    let opinions = &look.layout.opinions;
    let mut pairs = Pairs {
        heads: (0..opinions.len()).map(|i| settled(opinions, i)).collect(),
        labels: BTreeMap::new(),
    };
    let mut places: Vec<(u8, u8)> = opinions.iter().map(|o| (o.leaf, o.column)).collect();
    places.sort_unstable();
    places.dedup();
    for place in places {
        pair(look, place, &mut pairs);
    }
    pairs
}

/// The head of a segment, followed until one names itself.
fn settled(opinions: &[Opinion], start: usize) -> usize {
    let mut at = start;
    for _ in 0..4 {
        match opinions.get(at).map(Opinion::head) {
            Some(next) if next != at => at = next,
            _ => break,
        }
    }
    at
}

/// The titles of one column that labels may take, in reading order.
fn titles(look: &Look, heads: &[usize], place: (u8, u8)) -> Vec<Head> {
    let opinions = &look.layout.opinions;
    let is = |i: usize, role| opinions.get(i).map_or(0.0, |o| o.is(role));
    let role = |i: usize| opinions.get(i).map(Opinion::role);
    let mut firsts = of_place(opinions, place);
    firsts.retain(|i| {
        matches!(role(*i), Some(Role::Title | Role::Heading)) && heads.get(*i) == Some(i)
    });
    in_order(&look.segments, &mut firsts);
    let belongs = |i: &usize, first: usize| heads[*i] == first && role(*i) != Some(Role::Label);
    let head = |first: usize| Head {
        segment: first,
        parts: (0..heads.len()).filter(|i| belongs(i, first)).collect(),
        paged: is(first, Role::Title).max(LEAST).ln(),
        bare: is(first, Role::Heading).max(0.01).ln(),
    };
    firsts.into_iter().map(head).collect()
}

/// The segments of one column of one page.
fn of_place(opinions: &[Opinion], place: (u8, u8)) -> Vec<usize> {
    let here = |i: &usize| opinions.get(*i).is_some_and(|o| (o.leaf, o.column) == place);
    (0..opinions.len()).filter(here).collect()
}

/// Pairs the labels of one column; without a title a label is its own head.
fn pair(look: &Look, place: (u8, u8), pairs: &mut Pairs) {
    let titles = titles(look, &pairs.heads, place);
    let opinions = &look.layout.opinions;
    let mut labels = of_place(opinions, place);
    labels.retain(|i| opinions.get(*i).is_some_and(|o| o.role() == Role::Label));
    in_order(&look.segments, &mut labels);
    let chain = chain(look, &labels, &titles);
    let title = |t: usize| titles.get(t).map(|t| t.segment);
    let found = chain.best().into_iter().zip(chain.posterior());
    for (label, (chosen, row)) in labels.into_iter().zip(found) {
        if let Some(head) = pairs.heads.get_mut(label) {
            *head = chosen.and_then(title).unwrap_or(label);
        }
        let named = row.into_iter().enumerate().filter(|(_, p)| *p > 1e-6);
        let beliefs = named.filter_map(|(t, p)| Some((title(t)?, p))).collect();
        pairs.labels.insert(label, beliefs);
    }
}

/// Reading order in a column: what lies level from the left.
fn in_order(segments: &[Segment], some: &mut [usize]) {
    let place =
        |i: usize| segments.get(i).map_or((0.0, 0.0, 1.0), |s| (s.left.y, s.left.x, s.height));
    some.sort_by(|a, b| place(*a).0.total_cmp(&place(*b).0));
    for i in 1..some.len() {
        let mut j = i;
        while j > 0 {
            let (a, b) = (place(some[j - 1]), place(some[j]));
            if (a.0 - b.0).abs() < 0.3 * a.2 && a.1 > b.1 {
                some.swap(j - 1, j);
                j -= 1;
            } else {
                break;
            }
        }
    }
}

/// What the labels of a column say of its titles, as logarithms.
fn chain(look: &Look, labels: &[usize], titles: &[Head]) -> Chain {
    let opinion = |label: usize| look.layout.opinions.get(label);
    let log = |p: f32| f64::from(p.max(LEAST)).ln();
    let mass = |label: usize, title: &Head| {
        opinion(label)
            .map_or(0.0, |o| title.parts.iter().filter_map(|p| o.heads.get(*p)).sum::<f32>())
    };
    let likely = |label: &usize| titles.iter().map(|t| log(mass(*label, t))).collect();
    let alone = |label: &usize| {
        log(opinion(*label).and_then(|o| o.heads.get(*label)).copied().unwrap_or(0.0))
    };
    let again = |n: usize| {
        let before = n.checked_sub(1).and_then(|b| labels.get(b));
        let same = before.zip(labels.get(n)).is_some_and(|(a, b)| level(look, *a, *b));
        if same { 0.0 } else { SECOND_LINE.ln() }
    };
    let tempered = |logs: Vec<f64>| -> Vec<f64> { logs.into_iter().map(|l| TRUST * l).collect() };
    Chain {
        likely: labels.iter().map(likely).map(tempered).collect(),
        alone: tempered(labels.iter().map(alone).collect()),
        again: tempered((0..labels.len()).map(again).collect()),
        gain: tempered(titles.iter().map(|t| f64::from(t.paged - t.bare)).collect()),
    }
}

/// Whether two labels stand on one line of print.
fn level(look: &Look, a: usize, b: usize) -> bool {
    match (look.segments.get(a), look.segments.get(b)) {
        (Some(a), Some(b)) => a.line == b.line || (a.left.y - b.left.y).abs() < 0.4 * a.height,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::text::kind::Kind;
    use crate::text::layout::{Layout, ListKind};

    /// Titles below one another, then labels below one another; each label with its opinion of each title, and of none.
    fn look(titles: usize, labels: &[(&[f32], f32)]) -> Look {
        let count = titles + labels.len();
        let segment = |i: usize| {
            let (x, row) = if i < titles { (0.0, i) } else { (500.0, i - titles) };
            let y = 40.0 * row as f32;
            Segment {
                line: i,
                marks: (0, 1),
                text: "1".into(),
                kind: Kind::Words,
                left: Point { x, y },
                right: Point { x: x + 60.0, y },
                height: 30.0,
                red: 0.0,
                sure: 1.0,
                leads: None,
            }
        };
        let opinion = |i: usize| {
            let mut roles = [0.0; Role::ALL.len()];
            roles[if i < titles { 0 } else { 3 }] = 1.0;
            let mut heads = vec![0.0; count];
            match i.checked_sub(titles).and_then(|l| labels.get(l)) {
                Some((some, none)) => {
                    heads[..titles].copy_from_slice(some);
                    heads[i] = *none;
                }
                None => heads[i] = 1.0,
            }
            Opinion { roles, heads, level: 1, column: 0, leaf: 0 }
        };
        Look {
            lines: Vec::new(),
            lattices: Vec::new(),
            read: Vec::new(),
            segments: (0..count).map(segment).collect(),
            layout: Layout {
                opinions: (0..count).map(opinion).collect(),
                kinds: [0.0; ListKind::ALL.len()],
            },
            steps: Vec::new(),
        }
    }

    #[test]
    fn neighbours_that_come_out_alike_are_settled_together() {
        type Case<'a> = (&'a str, usize, &'a [(&'a [f32], f32)], &'a [Option<usize>]);
        let cases: [Case; 4] = [
            (
                "the first is sure, so the others follow",
                3,
                &[(&[0.99, 0.01, 0.0], 0.0), (&[0.55, 0.45, 0.0], 0.0), (&[0.0, 0.52, 0.48], 0.0)],
                &[Some(0), Some(1), Some(2)],
            ),
            (
                "labels that hardly know their titles, as many as there are",
                2,
                &[(&[0.03, 0.0], 0.97), (&[0.0, 0.03], 0.97)],
                &[Some(0), Some(1)],
            ),
            (
                "a label whose title was not read",
                1,
                &[(&[0.0], 0.99), (&[0.99], 0.0)],
                &[None, Some(0)],
            ),
            (
                "a list of pages that goes on below",
                1,
                &[(&[0.99], 0.0), (&[0.99], 0.01)],
                &[Some(0), Some(0)],
            ),
        ];
        for (case, titles, labels, expected) in cases {
            let found = pairs(&look(titles, labels)).heads;
            let found: Vec<Option<usize>> =
                (titles..found.len()).map(|l| Some(found[l]).filter(|h| *h != l)).collect();
            assert_eq!(found, expected, "{case}");
        }
    }
}
