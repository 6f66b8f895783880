//! Which label goes to which title, all labels of a column together.
//!
//! The model of the page gives for each label by itself how likely each title is. Where a page bends, two neighbours come
//! out alike; together they can only be meant one way: labels stand in the order of their titles, a title seldom has
//! labels on two lines, and one that looks like having a page has one. The best way under these is found by dynamic
//! programming. It decides the pairs alone; how sure each is stays what the model said.

use super::layout::{Opinion, Role};
use super::look::Look;
use super::segment::Segment;

/// Least probability of anything, so that no single opinion forbids a pairing.
const LEAST: f32 = 1e-4;
/// Weight of labels on a second line of print under one title: lists of pages that go on below are that likely
/// (common practice: in an index, hardly elsewhere; where they are, the model is sure of them).
const SECOND_LINE: f32 = 0.03;

/// A title that may take labels.
struct Head {
    segment: usize,
    /// All segments that belong to it.
    parts: Vec<usize>,
    /// Logarithms of how likely it has a page, and none.
    paged: f32,
    bare: f32,
}

/// The head of each segment: as the model has it, for labels as they fit together.
pub fn heads(look: &Look) -> Vec<usize> {
    let opinions = &look.layout.opinions;
    let mut heads: Vec<usize> = (0..opinions.len()).map(|i| settled(opinions, i)).collect();
    let mut places: Vec<(u8, u8)> = opinions.iter().map(|o| (o.leaf, o.column)).collect();
    places.sort_unstable();
    places.dedup();
    for place in places {
        let found = column(look, &heads, place);
        for (label, head) in found {
            if let Some(slot) = heads.get_mut(label) {
                *slot = head;
            }
        }
    }
    heads
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

/// The labels of one column with their heads; without a title a label is its own.
fn column(look: &Look, heads: &[usize], place: (u8, u8)) -> Vec<(usize, usize)> {
    let opinions = &look.layout.opinions;
    let here = |i: &usize| opinions.get(*i).is_some_and(|o| (o.leaf, o.column) == place);
    let role = |i: usize| opinions.get(i).map(Opinion::role);
    let mut labels: Vec<usize> =
        (0..opinions.len()).filter(|i| here(i) && role(*i) == Some(Role::Label)).collect();
    let is_title = |i: &usize| matches!(role(*i), Some(Role::Title | Role::Heading));
    let mut titles: Vec<usize> = (0..opinions.len())
        .filter(|i| here(i) && is_title(i) && heads.get(*i) == Some(i))
        .collect();
    in_order(&look.segments, &mut labels);
    in_order(&look.segments, &mut titles);
    let head = |segment: usize| {
        let is = |role| opinions.get(segment).map_or(0.0, |o| o.is(role));
        Head {
            segment,
            parts: (0..heads.len())
                .filter(|i| heads[*i] == segment && role(*i) != Some(Role::Label))
                .collect(),
            paged: is(Role::Title).max(LEAST).ln(),
            bare: is(Role::Heading).max(0.01).ln(),
        }
    };
    let titles: Vec<Head> = titles.into_iter().map(head).collect();
    let chosen = best(look, &labels, &titles);
    labels.into_iter().zip(chosen).map(|(l, t)| (l, t.map_or(l, |t| titles[t].segment))).collect()
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

/// For each label the number of its title, if it has one, so that the whole is likeliest.
fn best(look: &Look, labels: &[usize], titles: &[Head]) -> Vec<Option<usize>> {
    let count = titles.len();
    // Logarithm of the titles before the n-th having no page.
    let mut bare = vec![0.0f32];
    for title in titles {
        bare.push(bare.last().copied().unwrap_or(0.0) + title.bare);
    }
    // State j: the last title with a label is number j - 1; 0 for none yet.
    let mut score: Vec<f32> =
        (0..=count).map(|j| if j == 0 { 0.0 } else { f32::NEG_INFINITY }).collect();
    let mut back: Vec<Vec<(usize, bool)>> = Vec::new();
    for (n, label) in labels.iter().enumerate() {
        let opinion = look.layout.opinions.get(*label);
        let alone =
            opinion.and_then(|o| o.heads.get(*label)).copied().unwrap_or(0.0).max(LEAST).ln();
        let before = n.checked_sub(1).and_then(|b| labels.get(b));
        let again =
            if before.is_some_and(|b| level(look, *b, *label)) { 0.0 } else { SECOND_LINE.ln() };
        // The label alone leaves the state; the same title again, or a later one, takes it.
        let mut next: Vec<f32> = score.iter().map(|s| s + alone).collect();
        let mut from: Vec<(usize, bool)> = (0..=count).map(|j| (j, false)).collect();
        let mut reach = (f32::NEG_INFINITY, 0);
        for j in 1..=count {
            let earlier = score[j - 1] - bare[j - 1];
            if earlier > reach.0 {
                reach = (earlier, j - 1);
            }
            let likely = opinion.map_or(0.0, |o| {
                titles[j - 1].parts.iter().filter_map(|p| o.heads.get(*p)).sum::<f32>()
            });
            let likely = likely.max(LEAST).ln();
            let first = reach.0 + bare[j - 1] + titles[j - 1].paged + likely;
            let more = score[j] + again + likely;
            let (value, source) = if first >= more { (first, reach.1) } else { (more, j) };
            if value > next[j] {
                next[j] = value;
                from[j] = (source, true);
            }
        }
        score = next;
        back.push(from);
    }
    let whole = |j: usize| score[j] + bare[count] - bare[j];
    let mut at = (0..=count).max_by(|a, b| whole(*a).total_cmp(&whole(*b))).unwrap_or(0);
    let mut chosen = vec![None; labels.len()];
    for (n, from) in back.iter().enumerate().rev() {
        let (source, taken) = from[at];
        if taken {
            chosen[n] = Some(at - 1);
            at = source;
        }
    }
    chosen
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
            let found = heads(&look(titles, labels));
            let found: Vec<Option<usize>> =
                (titles..found.len()).map(|l| Some(found[l]).filter(|h| *h != l)).collect();
            assert_eq!(found, expected, "{case}");
        }
    }
}
