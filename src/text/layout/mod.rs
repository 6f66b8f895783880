//! One model of the page: which role each segment plays, and to which entry it belongs, as probabilities.
//!
//! A small network (attention between all segments of a page, biased by how each pair lies; Vaswani and others 2017,
//! "Attention is all you need") weighs all layouts at once: columns, wrapped titles, numbers at either side, dates,
//! the facing page. It was fitted on pages drawn by `tests/layouts`, whose truth is exact. No limit decides anything;
//! what it is unsure of comes out as a probability.

pub mod features;

use super::kind::Kind;
use super::segment::Segment;
use crate::Result;
use crate::net::{Net, Numbers};
use features::Frame;
use std::sync::OnceLock;

/// What a segment is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Part of the title of an entry that has a page.
    Title,
    /// Part of a title that has none: a heading.
    Heading,
    /// A day, a date or an ordinal of an entry.
    Date,
    /// A page label of an entry.
    Label,
    /// Leaders, "p.": it joins title and label.
    Leader,
    /// Folio, running head, dirt.
    Furniture,
    /// A number in the margin that is no page.
    Marginal,
    /// Running text.
    Prose,
    /// What a cross-reference names.
    ReferenceText,
    /// A page of a cross-reference.
    ReferencePage,
    /// Print of another page that the picture cuts.
    Facing,
}

impl Role {
    /// All, in the order of the network's answers.
    pub const ALL: [Role; 11] = [
        Role::Title,
        Role::Heading,
        Role::Date,
        Role::Label,
        Role::Leader,
        Role::Furniture,
        Role::Marginal,
        Role::Prose,
        Role::ReferenceText,
        Role::ReferencePage,
        Role::Facing,
    ];
}

/// Kinds of printed lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ListKind {
    /// Sections and their parts.
    Contents,
    /// All of one section.
    Section,
    /// Prefaces with their subtitles.
    Prefaces,
    /// Saints by months.
    Months,
    /// Alphabetical index.
    Alphabet,
    /// Entries one behind the other in paragraphs.
    RunIn,
    /// A page of the book itself, with cross-references.
    Day,
    /// No list.
    None,
}

impl ListKind {
    /// All, in the order of the network's answers.
    pub const ALL: [ListKind; 8] = [
        ListKind::Contents,
        ListKind::Section,
        ListKind::Prefaces,
        ListKind::Months,
        ListKind::Alphabet,
        ListKind::RunIn,
        ListKind::Day,
        ListKind::None,
    ];
}

/// What the model says of one segment.
#[derive(Debug, Clone, PartialEq)]
pub struct Opinion {
    /// Probability of each role, in the order of [`Role::ALL`].
    pub roles: [f32; Role::ALL.len()],
    /// Probability that each segment of the page is the first of the title it belongs to.
    pub heads: Vec<f32>,
    /// Depth of its entry, 1 the outermost.
    pub level: u8,
    /// Column of its entry on its page, 0 the leftmost.
    pub column: u8,
    /// Page of an open book, 0 the left one or the only one.
    pub leaf: u8,
}

impl Opinion {
    /// The likeliest role.
    pub fn role(&self) -> Role {
        best(&self.roles).and_then(|i| Role::ALL.get(i)).copied().unwrap_or(Role::Furniture)
    }

    /// Probability of one role.
    pub fn is(&self, role: Role) -> f32 {
        Role::ALL
            .iter()
            .position(|r| *r == role)
            .and_then(|i| self.roles.get(i))
            .copied()
            .unwrap_or(0.0)
    }

    /// The likeliest head.
    pub fn head(&self) -> usize {
        best(&self.heads).unwrap_or(0)
    }
}

/// What the model says of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// One for each segment.
    pub opinions: Vec<Opinion>,
    /// Probability of each kind of list, in the order of [`ListKind::ALL`].
    pub kinds: [f32; ListKind::ALL.len()],
}

impl Layout {
    /// The likeliest kind of list.
    pub fn likeliest(&self) -> Option<ListKind> {
        best(&self.kinds).and_then(|i| ListKind::ALL.get(i)).copied()
    }
}

const LEVELS: usize = 5;
const COLUMNS: usize = 6;
const LEAVES: usize = 2;

fn net() -> Result<&'static Net> {
    static NET: OnceLock<Option<Net>> = OnceLock::new();
    Net::once(&NET, "model of the page", include_bytes!("../../data/reading/page.onnx"))
}

/// Weighs a page.
pub fn weigh(segments: &[Segment], frame: Frame) -> Result<Layout> {
    let empty = Layout { opinions: Vec::new(), kinds: [0.0; ListKind::ALL.len()] };
    if segments.is_empty() {
        return Ok(empty);
    }
    let rows = features::features(segments, frame);
    let shape = vec![rows.len(), features::NAMES.len()];
    let found = net()?.run(Numbers { shape, values: rows.into_iter().flatten().collect() })?;
    let [each, heads, kinds] = found.as_slice() else { return Ok(empty) };
    let (wide, count) = (each.values.len() / segments.len(), segments.len());
    let rows = each.values.chunks_exact(wide.max(1)).zip(heads.values.chunks_exact(count));
    let opinions = rows.map(|(each, heads)| opinion(each, heads)).zip(segments);
    Ok(Layout {
        opinions: opinions.map(|(o, s)| if is_led(s, segments) { led(o) } else { o }).collect(),
        kinds: first(&softmax(&kinds.values)),
    })
}

/// A number of the margin, or what is no part of the list, is that much less likely than a title to have a leader behind
/// it, and than a label to have one before it (of such ends on computed pages, fewer than one in a hundred).
const LED: f32 = 0.02;

/// Whether a leader begins behind a segment, or ends before it.
fn is_led(segment: &Segment, segments: &[Segment]) -> bool {
    let reaches = |from: &Segment| {
        from.leads.is_some_and(|end| {
            let (across, along) = (segment.left.y - end.y, segment.left.x - end.x);
            across.abs() < 0.4 * segment.height
                && (-0.3..2.0).contains(&(along / segment.height.max(1.0)))
        })
    };
    segment.kind != Kind::Leader && (segment.leads.is_some() || segments.iter().any(reaches))
}

/// The opinion of a segment at one end of a leader.
fn led(mut opinion: Opinion) -> Opinion {
    for (role, p) in Role::ALL.iter().zip(&mut opinion.roles) {
        if matches!(role, Role::Marginal | Role::Furniture | Role::Prose) {
            *p *= LED;
        }
    }
    let sum: f32 = opinion.roles.iter().sum();
    opinion.roles.iter_mut().for_each(|p| *p /= sum.max(1e-6));
    opinion
}

fn opinion(each: &[f32], heads: &[f32]) -> Opinion {
    let (roles, rest) = each.split_at(Role::ALL.len().min(each.len()));
    let (levels, rest) = rest.split_at(LEVELS.min(rest.len()));
    let (columns, leaves) = rest.split_at(COLUMNS.min(rest.len()));
    let choice = |logits: &[f32]| best(logits).unwrap_or(0) as u8;
    Opinion {
        roles: first(&softmax(roles)),
        heads: softmax(heads),
        level: choice(levels).max(1),
        column: choice(columns),
        leaf: choice(&leaves[..LEAVES.min(leaves.len())]),
    }
}

fn best(values: &[f32]) -> Option<usize> {
    (0..values.len()).max_by(|a, b| values[*a].total_cmp(&values[*b]))
}

fn first<const N: usize>(values: &[f32]) -> [f32; N] {
    std::array::from_fn(|i| values.get(i).copied().unwrap_or(0.0))
}

fn softmax(logits: &[f32]) -> Vec<f32> {
    let most = logits.iter().copied().fold(f32::MIN, f32::max);
    let raised: Vec<f32> = logits.iter().map(|l| (l - most).exp()).collect();
    let sum: f32 = raised.iter().sum();
    raised.into_iter().map(|r| r / sum).collect()
}
