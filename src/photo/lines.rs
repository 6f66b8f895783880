//! Letters become pieces of lines of print: chains of neighbours from left to right.

use super::ink::Blob;

/// Letters that follow each other in one line, left to right, by their place in the list traced.
pub(super) type Chain = Vec<usize>;

/// Whether a piece of ink has the size of a letter, or of a few that touch, beside letters `x_height` high.
pub(super) fn fits(blob: &Blob, x_height: f32) -> bool {
    (0.6..3.2).contains(&(blob.height() / x_height)) && blob.width() < 12.0 * x_height
}

/// Links each letter with the next one in its line where both agree that they are neighbours.
pub(super) fn trace(letters: &[Blob], x_height: f32, reach: Reach) -> Vec<Chain> {
    let highest = reach.step * x_height;
    link(letters, reach.gap * x_height, |a, b| link_cost(a, b, x_height, highest))
}

/// Chains of pieces from left to right: each is linked with the next within `gap` where each is the other's
/// cheapest. `cost` tells how ill two pieces suit each other, the left one first; none when they cannot.
pub(super) fn link(
    pieces: &[Blob],
    gap: f32,
    cost: impl Fn(&Blob, &Blob) -> Option<f32>,
) -> Vec<Chain> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|&a, &b| pieces[a].left.total_cmp(&pieces[b].left));
    let sorted: Vec<Blob> = order.iter().map(|&i| pieces[i]).collect();
    let next = best_links(&sorted, gap, cost);
    let mut linked = vec![false; sorted.len()];
    for &to in next.iter().flatten() {
        linked[to] = true;
    }
    let starts = (0..sorted.len()).filter(|&i| !linked[i]);
    starts
        .map(|start| std::iter::successors(Some(start), |&i| next[i]).map(|i| order[i]).collect())
        .collect()
}

/// How far a link may reach.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reach {
    /// Widest gap to the next letter, in x-heights.
    pub gap: f32,
    /// Highest step from letter to letter, in x-heights.
    pub step: f32,
}

impl Reach {
    /// On the photograph, where lines fall and rise: the space between words, little more.
    pub(super) const BENT: Reach = Reach { gap: 1.8, step: 0.7 };
    /// On lines that are nearly straight.
    pub(super) const FLAT: Reach = Reach { gap: 2.6, step: 0.3 };
}

/// For each piece the next one, where each is the other's best.
fn best_links(
    order: &[Blob],
    gap: f32,
    cost: impl Fn(&Blob, &Blob) -> Option<f32>,
) -> Vec<Option<usize>> {
    let mut after: Vec<Option<(usize, f32)>> = vec![None; order.len()];
    let mut before = after.clone();
    for (i, a) in order.iter().enumerate() {
        let limit = a.right + gap;
        let candidates = order.iter().enumerate().skip(i + 1).take_while(|(_, b)| b.left < limit);
        for (j, b) in candidates {
            let Some(cost) = cost(a, b) else { continue };
            let better = |old: &Option<(usize, f32)>| old.is_none_or(|(_, c)| cost < c);
            if better(&after[i]) {
                after[i] = Some((j, cost));
            }
            if better(&before[j]) {
                before[j] = Some((i, cost));
            }
        }
    }
    let mutual = |(i, to): (usize, &Option<(usize, f32)>)| {
        to.map(|(j, _)| j).filter(|&j| before[j].is_some_and(|(back, _)| back == i))
    };
    after.iter().enumerate().map(mutual).collect()
}

/// How ill two letters suit each other as neighbours in a line; none when they cannot be.
fn link_cost(a: &Blob, b: &Blob, x_height: f32, highest: f32) -> Option<f32> {
    let apart = (b.left - a.right).max(0.0);
    let overlap = a.bottom.min(b.bottom) - a.top.max(b.top);
    if overlap < 0.35 * a.height().min(b.height()) || b.middle_x() <= a.middle_x() {
        return None;
    }
    // A letter that rises above the small ones and one that hangs below the line share neither top
    // nor foot, but just the height of the small ones.
    let step =
        (b.bottom - a.bottom).abs().min((b.top - a.top).abs()).min((overlap - x_height).abs());
    (step < highest).then_some(apart + 2.0 * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blob(left: f32, top: f32, height: f32) -> Blob {
        Blob { left, top, right: left + 8.0, bottom: top + height, area: 40.0 }
    }

    #[test]
    fn letters_chain_along_tilted_lines_and_not_across_them() {
        // Two lines, 25 apart, that fall by one in seven.
        let letters: Vec<Blob> = (0..40)
            .map(|i| (i % 20, i / 20))
            .map(|(n, line)| {
                blob(10.0 * n as f32, 25.0 * line as f32 + 10.0 * n as f32 / 7.0, 10.0)
            })
            .collect();
        let chains = trace(&letters, 10.0, Reach::BENT);
        assert_eq!(chains.iter().map(|c| c.len()).collect::<Vec<_>>(), [20, 20]);
    }

    #[test]
    fn a_wide_gap_parts_a_line() {
        let letters = [
            blob(0.0, 0.0, 10.0),
            blob(10.0, 0.0, 10.0),
            blob(60.0, 0.0, 10.0),
            blob(70.0, 0.0, 14.0),
        ];
        assert_eq!(trace(&letters, 10.0, Reach::BENT).len(), 2);
    }
}
