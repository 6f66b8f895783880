//! What the stage saw on a photograph, as a picture: every segment in the colour of its role, every part of an entry
//! joined to its head, what was read beside it. For tracing a bad row to its step.

use super::layout::Role;
use super::look::Look;
use super::pairing;
use crate::geom::Point;
use image::{Rgb, RgbImage};
use imageproc::drawing::draw_line_segment_mut;

fn colour(role: Role) -> Rgb<u8> {
    match role {
        Role::Title => Rgb([20, 150, 60]),
        Role::Heading => Rgb([40, 90, 220]),
        Role::Date => Rgb([0, 170, 190]),
        Role::Label | Role::ReferencePage => Rgb([220, 40, 40]),
        Role::ReferenceText => Rgb([150, 40, 180]),
        Role::Leader => Rgb([230, 180, 60]),
        Role::Marginal => Rgb([240, 130, 30]),
        Role::Furniture | Role::Prose | Role::Facing => Rgb([150, 150, 150]),
    }
}

/// The photograph with its segments: green titles, blue headings, cyan dates, red labels, violet references, orange
/// numbers of the margin, grey what is no part of the list. Unsure ones are dashed.
pub fn show(picture: &RgbImage, look: &Look) -> RgbImage {
    let mut out = picture.clone();
    let middle = |i: usize| -> Option<Point> {
        let segment = look.segments.get(i)?;
        let line = look.lines.get(segment.line)?;
        let marks = look.read.get(segment.line)?.marks.get(segment.marks.0..segment.marks.1)?;
        let along = crate::photo::Along::of(&line.axis);
        Some(along.at((marks.first()?.from + marks.last()?.to) / 2.0).0)
    };
    let pairs = pairing::pairs(look);
    for (i, (segment, opinion)) in look.segments.iter().zip(&look.layout.opinions).enumerate() {
        let Some(line) = look.lines.get(segment.line) else { continue };
        let marks =
            look.read.get(segment.line).and_then(|r| r.marks.get(segment.marks.0..segment.marks.1));
        let Some((first, last)) = marks.and_then(|m| Some((m.first()?, m.last()?))) else {
            continue;
        };
        let role = opinion.role();
        let along = crate::photo::Along::of(&line.axis);
        let sure = opinion.is(role) > 0.9;
        underline(
            &mut out,
            |at| {
                let (p, way) = along.at(first.from + (last.to - first.from) * at);
                let down = 0.38 * line.height;
                Point { x: p.x - way.y * down, y: p.y + way.x * down }
            },
            colour(role),
            sure,
        );
        if let (Some(from), Some(to)) =
            (middle(i), middle(pairs.heads.get(i).copied().unwrap_or(i)))
        {
            draw_line_segment_mut(&mut out, (from.x, from.y), (to.x, to.y), colour(role));
        }
    }
    out
}

/// A line three pixels wide; dashed where it is not `solid`.
fn underline(picture: &mut RgbImage, at: impl Fn(f32) -> Point, colour: Rgb<u8>, solid: bool) {
    const PARTS: usize = 16;
    for i in 0..PARTS {
        if !solid && i % 2 == 1 {
            continue;
        }
        let (a, b) = (at(i as f32 / PARTS as f32), at((i + 1) as f32 / PARTS as f32));
        for down in [-1.0, 0.0, 1.0] {
            draw_line_segment_mut(picture, (a.x, a.y + down), (b.x, b.y + down), colour);
        }
    }
}

/// Every segment as a line of text: where it stands, its role and head with their probabilities, the second-best of
/// both, and what was read.
pub fn told(look: &Look) -> String {
    let mut out = String::new();
    for (segment, opinion) in look.segments.iter().zip(&look.layout.opinions) {
        let mut roles: Vec<(f32, Role)> = Role::ALL.iter().map(|r| (opinion.is(*r), *r)).collect();
        roles.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut heads: Vec<(f32, usize)> =
            opinion.heads.iter().enumerate().map(|(i, p)| (*p, i)).collect();
        heads.sort_by(|a, b| b.0.total_cmp(&a.0));
        let role = |i: usize| roles.get(i).map_or(String::new(), |(p, r)| format!("{r:?} {p:.3}"));
        let head = |i: usize| {
            heads.get(i).map_or(String::new(), |(p, h)| {
                format!("{:?} {p:.3}", look.segments.get(*h).map_or("", |s| s.text.as_str()))
            })
        };
        let text = format!(
            "{:6.0} {:6.0}{}  {:?}  {}, {}  of {}, {}  level {} column {} leaf {}\n",
            segment.left.x,
            segment.left.y,
            segment.leads.map_or(String::new(), |p| format!(" leads to {:.0} {:.0}", p.x, p.y)),
            segment.text,
            role(0),
            role(1),
            head(0),
            head(1),
            opinion.level,
            opinion.column,
            opinion.leaf
        );
        out.push_str(&text);
    }
    out
}
