//! An open book's letters become those of its pages: a strip free of print down the whole picture
//! parts them, if it has the shadow of a gutter or the lines bend where they meet it. The gap between
//! two columns of one page has neither.

use super::ink::{Blob, median};
use super::lines::{Chain, Reach, trace};
use crate::geom::Point;

/// The letters of one page, and what was left out beside it.
#[derive(Debug)]
pub(super) struct Leaf {
    pub letters: Vec<Blob>,
    pub notices: Vec<String>,
}

/// Narrowest gutter, in x-heights: two inner margins. Columns of one page stand closer or as close.
const LEAST_GAP: f32 = 3.5;
/// Gutter darker than the paper beside it by this share. Measured on photographs of bound books:
/// 0.08 to 0.5; between columns below 0.03.
const LEAST_SHADOW: f32 = 0.06;
/// Lines that meet at the gutter at this angle (as a slope) lie on two pages.
const LEAST_KINK: f32 = 0.08;
/// A side with less than this share of the letters is no page.
const LEAST_SHARE: f32 = 0.12;
/// A side with less than this share that runs out of the picture is a strip.
const LEAST_CUT_SHARE: f32 = 0.35;

/// Lines that end nearer to the edge of the picture than this, in x-heights, run out of it: page numbers of a
/// cut-off page have lost their leader. A printed page's own margin is wider.
const CUT_MARGIN: f32 = 5.0;

/// Share of a page's lines, or of the leaders before its numbers, that may run out of the picture.
const MOST_CUT: f32 = 0.4;

/// What is left of a letter at the edge of the picture is nearer to it.
const CUT_LETTER: f32 = 2.0;
/// Share of its lines that runs out of the picture only if it is cut off, however much of it is there.
const CUT_OFF: f32 = 0.75;
/// Share of the other page's width under which the print of a page is a strip of it.
const NARROW: f32 = 0.3;
/// Share of the lines of so narrow a side that may run out: beside its numbers only scraps of titles do.
const MOST_CUT_NARROW: f32 = 0.2;

/// A nearly upright strip x = `middle` + `slope`·(y − `at_y`).
#[derive(Debug, Clone, Copy)]
struct Gap {
    slope: f32,
    at_y: f32,
    from: f32,
    to: f32,
}

impl Gap {
    fn across(&self, x: f32, y: f32) -> f32 {
        x - self.slope * (y - self.at_y)
    }

    fn left_of(&self, letter: &Blob) -> bool {
        self.across(letter.middle_x(), letter.middle_y()) < (self.from + self.to) / 2.0
    }
}

/// Parts the letters of a levelled picture into pages, left first.
///
/// `brightness` is that of the photograph at a point; `beyond` says whether a point lies outside it.
///
/// No page ends within `leaders`, the rows of dots between titles and numbers.
pub(super) fn leaves(
    letters: Vec<Blob>,
    leaders: &[Vec<Blob>],
    x_height: f32,
    brightness: &dyn Fn(Point) -> f32,
    beyond: &dyn Fn(Point) -> bool,
) -> Vec<Leaf> {
    let chains = trace(&letters, x_height, Reach::BENT);
    let lines: Vec<Chain> = chains.into_iter().filter(|c| c.len() >= 3).collect();
    let spans = |slope: f32, at_y: f32| -> Vec<Span> {
        let letters = |line: &Chain| line.iter().filter_map(|&i| letters.get(i)).collect();
        let of_line = |line: &Chain| span(letters(line), line.len() <= SHORT, slope, at_y);
        // Leaders lead to a number on the same page; specks stand in rows too.
        let of_leader = |row: &Vec<Blob>| span(row.iter().collect(), true, slope, at_y);
        lines.iter().map(of_line).chain(leaders.iter().map(of_leader)).collect()
    };
    let at_y = median(letters.iter().map(Blob::middle_y));
    let gutter = (-6..=6)
        .map(|k| k as f32 * 0.05)
        .flat_map(|slope| gaps(&spans(slope, at_y), x_height, slope, at_y))
        .map(|gap| (evidence(&gap, &letters, &lines, x_height, brightness), gap))
        .filter(|(evidence, _)| *evidence >= 1.0)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((_, gutter)) = gutter else { return vec![Leaf { letters, notices: Vec::new() }] };
    let (left, right): (Vec<Blob>, Vec<Blob>) =
        letters.into_iter().partition(|l| gutter.left_of(l));
    let (dots_left, dots_right): (Vec<_>, Vec<_>) =
        leaders.iter().partition(|row| row.first().is_some_and(|dot| gutter.left_of(dot)));
    let side = |side: &[Blob], other: &[Blob], dots: &[&Vec<Blob>]| {
        side_of(side, other, dots, x_height, beyond)
    };
    match (side(&left, &right, &dots_left), side(&right, &left, &dots_right)) {
        (Side::Page, Side::Page) => {
            [left, right].map(|letters| Leaf { letters, notices: Vec::new() }).into()
        }
        (_, Side::Strip) => vec![beside_a_strip(left, "right")],
        (Side::Strip, _) => vec![beside_a_strip(right, "left")],
        // Little print that ends well inside the picture belongs to the page: its page numbers,
        // behind a shadow.
        (Side::Little, _) | (_, Side::Little) => {
            vec![Leaf { letters: [left, right].concat(), notices: Vec::new() }]
        }
    }
}

/// What lies on one side of a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    /// A page.
    Page,
    /// The near part of a page that runs out of the picture.
    Strip,
    /// Too little print for a page, all of it in the picture.
    Little,
}

fn beside_a_strip(letters: Vec<Blob>, side: &str) -> Leaf {
    Leaf { letters, notices: vec![format!("a strip of the facing page on the {side} is not read")] }
}

fn side_of(
    side: &[Blob],
    other: &[Blob],
    leaders: &[&Vec<Blob>],
    x_height: f32,
    beyond: &dyn Fn(Point) -> bool,
) -> Side {
    let share = side.len() as f32 / (side.len() + other.len()).max(1) as f32;
    let lines = trace(side, x_height, Reach::BENT);
    let lines: Vec<&Chain> = lines.iter().filter(|c| c.len() >= 2).collect();
    let outside = |at: &Blob, d: f32| beyond(Point { x: at.middle_x() + d, y: at.middle_y() });
    let runs_out = |first: Option<&Blob>, last: Option<&Blob>, near: f32| {
        first.is_some_and(|l| outside(l, -near)) || last.is_some_and(|l| outside(l, near))
    };
    let letter = |i: Option<&usize>| i.and_then(|&i| side.get(i));
    let share_cut = |near: f32| {
        let near = near * x_height;
        let cut = |c: &&&Chain| runs_out(letter(c.first()), letter(c.last()), near);
        let cut_leader = |row: &&&Vec<Blob>| runs_out(row.first(), row.last(), near);
        let count = lines.iter().filter(cut).count() + leaders.iter().filter(cut_leader).count();
        count as f32 / lines.len().max(1) as f32
    };
    let (cut, cut_off) = (share_cut(CUT_MARGIN), share_cut(CUT_LETTER));
    // The numbers of a cut-off page that has no leaders do not run out, but they are all there is of it.
    let narrow = width(side) < NARROW * width(other)
        && side
            .iter()
            .any(|l| outside(l, -CUT_MARGIN * x_height) || outside(l, CUT_MARGIN * x_height));
    match (share, cut > MOST_CUT) {
        _ if cut_off > CUT_OFF || narrow && cut > MOST_CUT_NARROW => Side::Strip,
        (_, true) if share < LEAST_CUT_SHARE => Side::Strip,
        (_, false) if share < LEAST_SHARE => Side::Little,
        _ => Side::Page,
    }
}

fn width(letters: &[Blob]) -> f32 {
    let left = letters.iter().map(|l| l.left).fold(f32::INFINITY, f32::min);
    let right = letters.iter().map(|l| l.right).fold(f32::NEG_INFINITY, f32::max);
    (right - left).max(0.0)
}

/// From where to where a row of print goes, along a slope.
#[derive(Debug, Clone, Copy)]
struct Span {
    from: f32,
    to: f32,
    /// Dots, or so few letters that it may be specks in the dark of a gutter.
    short: bool,
}

fn span(row: Vec<&Blob>, short: bool, slope: f32, at_y: f32) -> Span {
    let gap = Gap { slope, at_y, from: 0.0, to: 0.0 };
    let lefts = row.iter().map(|b| gap.across(b.left, b.middle_y()));
    let rights = row.iter().map(|b| gap.across(b.right, b.middle_y()));
    Span {
        from: lefts.fold(f32::INFINITY, f32::min),
        to: rights.fold(f32::NEG_INFINITY, f32::max),
        short,
    }
}

/// Strips free of print from top to bottom but for a few specks, with print on both sides.
fn gaps(rows: &[Span], x_height: f32, slope: f32, at_y: f32) -> Vec<Gap> {
    // Rows begin (+1) and end (-1) from left to right.
    let mut ends: Vec<(f32, i32, bool)> =
        rows.iter().flat_map(|r| [(r.from, 1, r.short), (r.to, -1, r.short)]).collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let few = (rows.len() as f32 * STRAY) as i32;
    let mut out = Vec::new();
    let (mut specks, mut lines, mut begun) = (0, 0, 0);
    // Where the strip began.
    let mut from = None;
    for (x, step, short) in ends {
        if let Some(from) = from
            && x - from >= LEAST_GAP * x_height
        {
            out.push(Gap { slope, at_y, from, to: x });
        }
        *(if short { &mut specks } else { &mut lines }) += step;
        begun += step.max(0);
        // Print on both sides: enough has begun before, and enough follows.
        let within = begun > 2 * few && begun + 2 * few < rows.len() as i32;
        let free = specks <= few && lines == 0;
        from = if free && within { from.or(Some(x)) } else { None };
    }
    out
}

/// A row of at most so many letters may be specks.
const SHORT: usize = 4;
/// Share of the rows that may be specks in the dark of a gutter.
const STRAY: f32 = 0.03;

/// How much speaks for a gutter; 1 is enough.
fn evidence(
    gap: &Gap,
    letters: &[Blob],
    lines: &[Chain],
    x_height: f32,
    brightness: &dyn Fn(Point) -> f32,
) -> f32 {
    let shadow = shadow(gap, letters, x_height, brightness) / LEAST_SHADOW;
    let kink = kink(gap, letters, lines, x_height) / LEAST_KINK;
    shadow.max(kink)
}

/// How much darker the gap is than the paper on its darker side, as a share of that.
fn shadow(gap: &Gap, letters: &[Blob], x_height: f32, brightness: &dyn Fn(Point) -> f32) -> f32 {
    const SAMPLES: usize = 48;
    const BESIDE: f32 = 15.0;
    let top = letters.iter().map(|l| l.top).fold(f32::INFINITY, f32::min);
    let bottom = letters.iter().map(|l| l.bottom).fold(f32::NEG_INFINITY, f32::max);
    let column = |across: f32| -> Vec<f32> {
        let y = |i: usize| top + (bottom - top) * i as f32 / SAMPLES as f32;
        (0..=SAMPLES)
            .map(|i| brightness(Point { x: across + gap.slope * (y(i) - gap.at_y), y: y(i) }))
            .collect()
    };
    let step = 0.5 * x_height;
    let steps = |from: f32, to: f32| {
        (0..=((to - from) / step).max(0.0) as usize).map(move |i| from + i as f32 * step)
    };
    let inside: Vec<f32> = steps(gap.from, gap.to).map(|x| median(column(x).into_iter())).collect();
    // A rule between columns is dark but thin; the shadow of a gutter is wider than a letter.
    let darkest =
        inside.windows(3).map(|w| w.iter().copied().fold(0.0, f32::max)).fold(255.0, f32::min);
    let paper = |from: f32, to: f32| {
        let mut values: Vec<f32> = steps(from, to).flat_map(column).collect();
        values.sort_by(f32::total_cmp);
        values.get(values.len() * 4 / 5).copied().unwrap_or(0.0)
    };
    let left = paper(gap.from - BESIDE * x_height, gap.from);
    let right = paper(gap.to, gap.to + BESIDE * x_height);
    1.0 - darkest / left.min(right).max(1.0)
}

/// Difference of the slopes with which lines reach the gap from its two sides.
fn kink(gap: &Gap, letters: &[Blob], lines: &[Chain], x_height: f32) -> f32 {
    const NEAR: f32 = 12.0;
    const ENOUGH: usize = 6;
    let slopes = |left: bool| -> Vec<f32> {
        let near = |l: &Blob| {
            let across = gap.across(l.middle_x(), l.middle_y());
            let distance = if left { gap.from - across } else { across - gap.to };
            (0.0..NEAR * x_height).contains(&distance)
        };
        let ends = lines.iter().map(|line| line.iter().map(|&i| letters[i]).filter(|l| near(l)));
        ends.filter_map(|end| slope(&end.collect::<Vec<_>>())).collect()
    };
    let (left, right) = (slopes(true), slopes(false));
    if left.len() < ENOUGH || right.len() < ENOUGH {
        return 0.0;
    }
    (median(left.into_iter()) - median(right.into_iter())).abs()
}

/// Slope of the line through the feet of some letters.
fn slope(letters: &[Blob]) -> Option<f32> {
    if letters.len() < 5 {
        return None;
    }
    let n = letters.len() as f32;
    let mean_x = letters.iter().map(Blob::middle_x).sum::<f32>() / n;
    let mean_y = letters.iter().map(|l| l.bottom).sum::<f32>() / n;
    let across: f32 = letters.iter().map(|l| (l.middle_x() - mean_x).powi(2)).sum();
    let both: f32 = letters.iter().map(|l| (l.middle_x() - mean_x) * (l.bottom - mean_y)).sum();
    (across > 0.0).then(|| both / across)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two blocks of 20 lines of 25 letters each, 60 px apart.
    fn two_blocks(slopes: [f32; 2]) -> Vec<Blob> {
        let block = |left: f32, slope: f32| {
            (0..500).map(move |i| {
                let (x, y) = (left + 10.0 * (i % 25) as f32, 50.0 + 30.0 * (i / 25) as f32);
                let top = y + slope * (x - 360.0);
                Blob { left: x, top, right: x + 8.0, bottom: top + 10.0, area: 50.0 }
            })
        };
        block(100.0, slopes[0]).chain(block(400.0, slopes[1])).collect()
    }

    fn count(letters: Vec<Blob>, brightness: &dyn Fn(Point) -> f32) -> usize {
        leaves(letters, &[], 10.0, brightness, &|p| p.x < 0.0 || p.x > 800.0).len()
    }

    #[test]
    fn a_shadowed_gutter_parts_pages_and_a_rule_between_columns_does_not() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let rule = |p: Point| if (p.x - 370.0).abs() < 2.0 { 40.0 } else { 230.0 };
        let lamp = |p: Point| 120.0 + 0.15 * p.x;
        assert_eq!(count(two_blocks([0.0, 0.0]), &shadow), 2);
        assert_eq!(count(two_blocks([0.0, 0.0]), &rule), 1);
        assert_eq!(count(two_blocks([0.05, 0.05]), &lamp), 1);
    }

    #[test]
    fn leaders_run_through_no_gutter() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let dot = |x: i32, line: i32| {
            let (left, top) = (x as f32, 58.0 + 30.0 * line as f32);
            Blob { left, top, right: left + 2.0, bottom: top + 2.0, area: 4.0 }
        };
        let rows: Vec<Vec<Blob>> =
            (0..8).map(|line| (0..5).map(|i| dot(352 + 9 * i, line)).collect()).collect();
        let pages = |rows: &[Vec<Blob>]| {
            leaves(two_blocks([0.0, 0.0]), rows, 10.0, &shadow, &|_| false).len()
        };
        assert_eq!((pages(&[]), pages(&rows)), (2, 1));
    }

    #[test]
    fn lines_that_meet_at_an_angle_lie_on_two_pages() {
        assert_eq!(count(two_blocks([0.06, -0.06]), &|_| 230.0), 2);
    }

    #[test]
    fn a_column_of_page_numbers_behind_a_shadow_stays_with_its_page() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let letters = two_blocks([0.0, 0.0]).into_iter().filter(|l| l.left < 430.0).collect();
        let leaves = leaves(letters, &[], 10.0, &shadow, &|p| p.x < 0.0 || p.x > 800.0);
        assert_eq!(leaves.len(), 1);
        assert!(leaves[0].letters.len() > 500 && leaves[0].notices.is_empty());
    }

    #[test]
    fn a_strip_of_the_facing_page_is_left_out_with_a_notice() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let letters = two_blocks([0.0, 0.0]).into_iter().filter(|l| l.left > 300.0).collect();
        let leaves = leaves(letters, &[], 10.0, &shadow, &|p| p.x < 305.0);
        assert_eq!(leaves.len(), 1);
        assert_eq!(leaves[0].letters.len(), 500);
        assert!(leaves[0].notices[0].contains("on the left"));
    }

    #[test]
    fn specks_in_a_gutter_do_not_join_two_pages() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let mut letters = two_blocks([0.0, 0.0]);
        letters.extend((0..3).map(|i| {
            let left = 365.0 + 10.0 * i as f32;
            Blob { left, top: 335.0, right: left + 8.0, bottom: 345.0, area: 40.0 }
        }));
        assert_eq!(count(letters, &shadow), 2);
    }

    #[test]
    fn a_column_of_numbers_whose_leaders_are_cut_off_is_a_strip() {
        let shadow = |p: Point| 230.0 - 60.0 * (1.0 - (p.x - 372.0).abs() / 40.0).max(0.0);
        let letters: Vec<Blob> =
            two_blocks([0.0, 0.0]).into_iter().filter(|l| l.left > 295.0).collect();
        let dots = |line: i32| -> Vec<Blob> {
            let dot = |i: i32| {
                let (left, top) = (240.0 + 9.0 * i as f32, 58.0 + 30.0 * line as f32);
                Blob { left, top, right: left + 2.0, bottom: top + 2.0, area: 4.0 }
            };
            (0..6).map(dot).collect()
        };
        let rows: Vec<Vec<Blob>> = (0..20).map(dots).collect();
        let leaves = leaves(letters, &rows, 10.0, &shadow, &|p| p.x < 230.0);
        assert_eq!(leaves.len(), 1);
        assert_eq!(leaves[0].letters.len(), 500);
        assert!(leaves[0].notices[0].contains("on the left"));
    }
}
