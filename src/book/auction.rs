//! The rows of an alphabetical index have no order to go by: they bid for places in an auction (Bertsekas, "The
//! auction algorithm", 1988), which settles on the best assignment.

use super::align::Match;
use super::catalogue::Candidate;
use std::collections::{HashMap, VecDeque};

/// Bids rise by at least this, so the assignment is within a row's worth of it of the best.
const LEAST_RISE: f64 = 0.01;

/// Matches an index: each place goes to the row that gains most by it, rows without gain stay out.
pub fn match_any_order(candidates: &[Vec<Candidate>]) -> Vec<Option<Match>> {
    let mut prices: HashMap<usize, f64> = HashMap::new();
    let mut holder: HashMap<usize, usize> = HashMap::new();
    let mut matched = vec![None; candidates.len()];
    let mut waiting: VecDeque<usize> = (0..candidates.len()).collect();
    while let Some(row) = waiting.pop_front() {
        let gain = |c: &Candidate| c.score - prices.get(&c.target).copied().unwrap_or(0.0);
        // Staying out gains nothing.
        let (mut best, mut first, mut second) = (None, 0.0, 0.0);
        for candidate in candidates.get(row).into_iter().flatten() {
            let value = gain(candidate);
            if value > first {
                (second, first, best) = (first, value, Some(candidate.target));
            } else if value > second {
                second = value;
            }
        }
        let Some(target) = best else { continue };
        *prices.entry(target).or_insert(0.0) += first - second + LEAST_RISE;
        if let Some(slot) = matched.get_mut(row) {
            *slot = Some(target);
        }
        if let Some(outbid) = holder.insert(target, row)
            && let Some(slot) = matched.get_mut(outbid)
        {
            *slot = None;
            waiting.push_back(outbid);
        }
    }
    let matches = matched.into_iter().zip(candidates);
    matches.map(|(target, found)| bidders_share(target?, found)).collect()
}

/// How likely the row means the target it won, among all it may mean.
fn bidders_share(target: usize, found: &[Candidate]) -> Option<Match> {
    let all: f64 = found.iter().map(|c| c.score.exp()).sum::<f64>();
    let won = found.iter().find(|c| c.target == target)?;
    let probability = won.score.exp() / all;
    Some(Match { target, likeness: won.likeness, probability })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_auction_equals_the_best_of_all_assignments() {
        let score =
            |row: usize, target: usize| ((row * 7 + target * 5 + row * target * 3) % 11) as f64;
        let candidate =
            |row, target| Candidate { target, likeness: 1.0, score: score(row, target) - 3.0 };
        let table: Vec<Vec<Candidate>> =
            (0..4).map(|row| (0..4).map(|target| candidate(row, target)).collect()).collect();
        let worth = |matched: &[Option<usize>]| -> f64 {
            let each = matched.iter().enumerate();
            each.filter_map(|(row, t)| t.map(|t| score(row, t) - 3.0)).sum()
        };
        let matched: Vec<Option<usize>> =
            match_any_order(&table).into_iter().map(|m| m.map(|m| m.target)).collect();
        let mut best = 0.0f64;
        for code in 0..5usize.pow(4) {
            let choice: Vec<Option<usize>> =
                (0..4u32).map(|row| Some(code / 5usize.pow(row) % 5).filter(|t| *t < 4)).collect();
            let taken: Vec<usize> = choice.iter().flatten().copied().collect();
            let apart = taken.iter().enumerate().all(|(i, t)| !taken[..i].contains(t));
            if apart {
                best = best.max(worth(&choice));
            }
        }
        assert!(best - worth(&matched) < 4.0 * LEAST_RISE + 1e-9);
    }
}
