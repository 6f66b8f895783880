//! The monotone path: exact forward–backward over the pages of one run of places.
//!
//! Places s₁ … s_N start at x₁ ≤ … ≤ x_N, counted in cells: a page has a few of them, since how far down
//! a page a text ends decides where the next ones stand. The forward pass carries P(x_i, readings of
//! s₁ … s_i), the backward pass P(readings of s_{i+1} … s_N | x_i); their product is the posterior of every
//! place, read or not (Rabiner, "A Tutorial on Hidden Markov Models", 1989, section III). Cells outside a
//! band around the mass are dropped, so the work follows the doubt and not the size of the book; the
//! geometric tail of the gaps is a running sum and costs one step a cell.

use super::begin::{Begin, Habit};
use super::channel::Emission;
use super::gap::Gap;
use super::posterior::Posterior;

/// One place on the path.
#[derive(Debug, Clone)]
pub struct Node<'a> {
    /// Index, in the list of gaps, of the gap from the place before (for the first: from the page
    /// before the run).
    pub gap: usize,
    /// Where on a page it begins.
    pub begin: Begin,
    /// What was read or said of it.
    pub readings: &'a [Emission],
}

/// A run of places and the pages it may use.
#[derive(Debug, Clone)]
pub struct Path<'a> {
    /// Gap distributions the nodes point into.
    pub gaps: &'a [Gap],
    /// Places in the order of the book.
    pub nodes: Vec<Node<'a>>,
    /// First page of the run.
    pub first: i32,
    /// Last page the run can have.
    pub last: i32,
    /// Cells of a page.
    pub cells: i32,
    /// First and last page each place may have, where that is known beforehand.
    pub windows: Option<&'a [(i32, i32)]>,
    /// Mass under this share of the largest is dropped. Several readings in a row may be wrong and
    /// the next ones bring the dropped pages back, so the final answer needs it tiny; see [`EXACT`].
    pub trim: f64,
}

/// Keeps the true page through some twenty wrong readings in a row; then nothing near it is dropped.
pub const EXACT: f64 = 1e-120;
/// Enough for the likelihoods and means that fitting compares, once wild readings are left out.
pub const ROUGH: f64 = 1e-11;

/// What the path knows of one place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settled {
    /// Its page.
    pub posterior: Posterior,
    /// Where the text before it is expected to end, in pages.
    pub ended: f64,
    /// Where it is expected to begin, in pages.
    pub begun: f64,
    /// What is seen of the edition's habit here.
    pub habit: Habit,
}

/// The forward pass.
struct Forward {
    /// Where each text before a place ends, before anything of the place is known; none where the
    /// place begins right there.
    ended: Vec<Option<Posterior>>,
    /// Where each place begins, from its own readings and those before.
    begun: Vec<Posterior>,
    log_likelihood: f64,
}

impl Path<'_> {
    /// What is known of every place.
    pub fn solve(&self) -> Vec<Settled> {
        let Forward { ended, begun, .. } = self.forward();
        let mut settled = vec![Settled::default(); begun.len()];
        let mut later: Option<Posterior> = None;
        let cells = f64::from(self.cells);
        for (i, (mut here, ended)) in begun.into_iter().zip(&ended).enumerate().rev() {
            let (Some(node), Some(settled)) = (self.nodes.get(i), settled.get_mut(i)) else {
                continue;
            };
            let after = self.nodes.get(i + 1).and_then(|n| self.gaps.get(n.gap));
            let back = match (&later, after) {
                (Some(later), Some(gap)) => backward_step(later, gap, &here),
                _ => vec![1.0; here.mass.len()],
            };
            let mut message = Posterior { start: here.start, mass: back };
            here.mass.truncate(message.mass.len());
            here.mass.iter_mut().zip(&message.mass).for_each(|(p, b)| *p *= b);
            // Paths through cells without any posterior add nothing to the places before either.
            message.keep(here.kept(EXACT));
            here.normalise(self.trim);
            node.readings.iter().for_each(|r| message.weigh(r, self.cells));
            message.scale();
            let begun = here.mean() / cells;
            *settled = Settled {
                posterior: here.by_page(self.cells),
                begun,
                ended: begun,
                habit: Habit::default(),
            };
            if let Some(ended) = ended {
                let (mass, habit) = node.begin.before(&message, ended, self.cells);
                settled.ended = ended.mean_weighed(&mass) / cells;
                settled.habit = habit;
                message = Posterior { start: ended.start, mass };
            }
            later = Some(message);
        }
        settled
    }

    /// Natural logarithm of the probability of all readings, but for a constant that depends on the
    /// readings alone; the forward pass gives it.
    pub fn log_likelihood(&self) -> f64 {
        self.forward().log_likelihood
    }

    fn forward(&self) -> Forward {
        let mut ended = Vec::with_capacity(self.nodes.len());
        let mut begun: Vec<Posterior> = Vec::with_capacity(self.nodes.len());
        let mut log_likelihood = 0.0;
        let start = Posterior { start: self.first * self.cells, mass: vec![1.0] };
        for (i, node) in self.nodes.iter().enumerate() {
            let before = begun.last().unwrap_or(&start);
            let window = self.windows.and_then(|w| w.get(i)).copied();
            let (first, last) = window.unwrap_or((self.first, self.last));
            let end = match self.gaps.get(node.gap) {
                Some(gap) => forward_step(before, gap, (last + 1) * self.cells - 1, self.trim),
                None => before.clone(),
            };
            let (mut band, end) = match node.begin {
                Begin::Anywhere => (end, None),
                begin => (begin.after(&end, self.cells), Some(end)),
            };
            band.clip((first, last), self.cells);
            node.readings.iter().for_each(|r| band.weigh(r, self.cells));
            log_likelihood += band.normalise(self.trim).ln();
            begun.push(band);
            ended.push(end);
        }
        Forward { ended, begun, log_likelihood }
    }
}

/// The distribution one gap further on, up to page `last` or where the tail falls under `trim`.
fn forward_step(before: &Posterior, gap: &Gap, last: i32, trim: f64) -> Posterior {
    let room = usize::try_from(last - before.start + 1).unwrap_or(0).max(before.mass.len());
    let near = before.mass.len() + gap.core.len();
    let length = if room <= near { room } else { room.min(before.mass.len() + gap.reach(trim)) };
    let mut mass = vec![0.0; length];
    // Gap by gap and not page by page: the inner loop then runs over neighbours, several at a time.
    for (reach, share) in gap.core.iter().enumerate().rev() {
        let Some(reached) = mass.get_mut(reach..) else { continue };
        reached.iter_mut().zip(&before.mass).for_each(|(to, p)| *to += p * share);
    }
    let mut tail = 0.0;
    let share = gap.tail();
    let (near, far) = mass.split_at_mut(before.mass.len());
    for (to, p) in near.iter_mut().zip(&before.mass) {
        tail = tail * gap.decay + p;
        *to += share * tail;
    }
    for to in far {
        tail *= gap.decay;
        *to += share * tail;
    }
    Posterior { start: before.start, mass }
}

/// For each cell of `here`: how well `later`, the message at the next place, is explained from it.
fn backward_step(later: &Posterior, gap: &Gap, here: &Posterior) -> Vec<f64> {
    let shift = later.start - here.start;
    let end = usize::try_from(shift + later.mass.len() as i32).unwrap_or(0);
    let mut back = vec![0.0; end.clamp(1, here.mass.len())];
    for (reach, share) in (0..).zip(&gap.core) {
        let [skip, skip_later] = [shift - reach, reach - shift].map(|n| n.max(0) as usize);
        let reached = later.mass.iter().skip(skip_later);
        back.iter_mut().skip(skip).zip(reached).for_each(|(to, value)| *to += value * share);
    }
    let (mut tail, share) = (0.0, gap.tail());
    for (i, value) in later.mass.iter().enumerate().rev() {
        tail = tail * gap.decay + value;
        if let Some(to) = usize::try_from(shift + i as i32).ok().and_then(|i| back.get_mut(i)) {
            *to += share * tail;
        }
    }
    for to in back.iter_mut().take(shift.max(0) as usize).rev() {
        tail *= gap.decay;
        *to += share * tail;
    }
    back
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn reading(page: i32) -> Emission {
        Emission { floor: 1e-4, peaks: vec![(page, 0.9)] }
    }

    /// Sums over all paths by plain enumeration.
    fn enumerate(path: &Path) -> (Vec<Posterior>, f64) {
        let size = (path.last - path.first + 1) as usize;
        let empty = Posterior { start: path.first, mass: vec![0.0; size] };
        let mut sums = vec![empty; path.nodes.len()];
        let mut total = 0.0;
        let mut stack: Vec<(Vec<i32>, f64)> = vec![(vec![], 1.0)];
        let beyond = (path.last + 1) * path.cells;
        while let Some((begun, weight)) = stack.pop() {
            let Some(node) = path.nodes.get(begun.len()) else {
                total += weight;
                for (sum, cell) in sums.iter_mut().zip(&begun) {
                    sum.mass[(cell.div_euclid(path.cells) - path.first) as usize] += weight;
                }
                continue;
            };
            let before = *begun.last().unwrap_or(&(path.first * path.cells));
            for end in before..beyond {
                let ended = Posterior { start: end, mass: vec![1.0] };
                let begins = node.begin.after(&ended, path.cells);
                for (cell, share) in (begins.start..beyond).zip(begins.mass).filter(|b| b.1 > 0.0) {
                    let page = cell.div_euclid(path.cells);
                    let seen: f64 = node.readings.iter().map(|r| r.at(page)).product();
                    let next = weight * path.gaps[node.gap].at(end - before) * share * seen;
                    stack.push(([begun.clone(), vec![cell]].concat(), next));
                }
            }
        }
        sums.iter_mut().for_each(|s| s.mass.iter_mut().for_each(|p| *p /= total));
        (sums, total.ln())
    }

    #[test]
    fn equal_to_summing_over_every_path() {
        let readings = [
            vec![vec![], vec![], vec![]],
            vec![vec![reading(2)], vec![], vec![reading(5)]],
            vec![vec![reading(6)], vec![reading(3), reading(4)], vec![]],
            vec![vec![], vec![Emission::certain(5)], vec![Emission::certain(3)]],
        ];
        let begins = [Begin::NewPage(0.4), Begin::Section(0.8), Begin::Anywhere];
        for (cells, readings) in
            [1, 2].into_iter().flat_map(|c| readings.iter().map(move |r| (c, r)))
        {
            let gap = |length, spread| Gap::around(length, spread, cells);
            let gaps = [gap(1.0, 0.4), gap(2.0, 1.0), gap(0.3, 0.3)];
            let node = |(i, r)| Node { gap: i % 3, begin: begins[i % 3], readings: r };
            let nodes = readings.iter().map(Vec::as_slice).enumerate().map(node).collect();
            let gaps = gaps.as_slice();
            let path = Path { gaps, nodes, first: 1, last: 7, cells, windows: None, trim: EXACT };
            let solution = path.solve();
            let (expected, log) = enumerate(&path);
            let floors: f64 = readings.iter().flatten().map(|r| r.floor.ln()).sum();
            assert!((path.log_likelihood() + floors - log).abs() < 1e-6, "{cells} cells");
            for (got, expected) in solution.iter().zip(&expected) {
                for page in 1..=7 {
                    let (got, expected) = (got.posterior.at(page), expected.at(page));
                    assert!((got - expected).abs() < 1e-6, "{cells} cells, page {page}");
                }
            }
        }
    }

    #[test]
    fn windows_around_the_mass_change_nothing() {
        let gaps = [Gap::around(1.0, 0.4, 4)];
        let readings = [vec![reading(10)], vec![], vec![], vec![reading(14)], vec![]];
        let node = |r| Node { gap: 0, begin: Begin::NewPage(0.3), readings: r };
        let nodes: Vec<Node> = readings.iter().map(Vec::as_slice).map(node).collect();
        let windows = [(9, 11), (9, 14), (9, 14), (13, 15), (13, 40)];
        let free =
            Path { gaps: &gaps, nodes, first: 9, last: 60, cells: 4, windows: None, trim: EXACT };
        let closed = Path { windows: Some(&windows), ..free.clone() };
        for (free, closed) in free.solve().iter().zip(closed.solve()) {
            for page in 9..20 {
                assert!((free.posterior.at(page) - closed.posterior.at(page)).abs() < 1e-2);
            }
        }
    }

    #[test]
    fn a_swapped_digit_between_good_neighbours_is_overruled() {
        let gaps = [Gap::around(1.0, 0.3, 2)];
        let read = [240, 241, 272, 243, 244];
        let readings = read.map(|page| {
            let alternative = crate::text::Alternative { page: page.to_string(), weight: 0.97 };
            let numbering = super::super::label::Numbering::Arabic;
            vec![Emission::of(&[alternative], numbering, 0.03, 0.01, 1500.0)]
        });
        let node = |r| Node { gap: 0, begin: Begin::NewPage(0.3), readings: r };
        let nodes = readings.iter().map(Vec::as_slice).map(node).collect();
        let (gaps, windows) = (gaps.as_slice(), None);
        let path = Path { gaps, nodes, first: 1, last: 1500, cells: 2, windows, trim: EXACT };
        assert_eq!(path.solve()[2].posterior.mode().0, 242);
    }
}
