//! Labels in order take titles in order: the best way by dynamic programming, the sum over all ways by the
//! forward-backward algorithm (Rabiner, "A tutorial on hidden Markov models", 1989, section III).
//!
//! A state is how many titles lie behind: state `j` says that title `j - 1` was the last to take a label, state 0 that
//! none has.

/// Labels and titles of a column in reading order. All numbers are logarithms of likelihoods.
#[derive(Debug, Clone, Default)]
pub struct Chain {
    /// For each label each title.
    pub likely: Vec<Vec<f64>>,
    /// For each label that it has no title here.
    pub alone: Vec<f64>,
    /// For each label that it shares the title of the one before.
    pub again: Vec<f64>,
    /// For each title that it has a label, over that it has none.
    pub gain: Vec<f64>,
}

const NEVER: f64 = f64::NEG_INFINITY;

/// Where the best way to a state comes from, and whether the label took the state's title.
type From = (usize, bool);

impl Chain {
    /// For each label the number of its title, if it has one, so that the whole is likeliest.
    pub fn best(&self) -> Vec<Option<usize>> {
        let mut score = self.start();
        let mut ways: Vec<Vec<From>> = Vec::new();
        for n in 0..self.likely.len() {
            let (next, from) = self.step(n, &score);
            score = next;
            ways.push(from);
        }
        let mut at = (0..score.len()).max_by(|a, b| score[*a].total_cmp(&score[*b])).unwrap_or(0);
        let mut chosen: Vec<Option<usize>> = Vec::new();
        for way in ways.iter().rev() {
            let (source, taken) = way.get(at).copied().unwrap_or((at, false));
            chosen.push(at.checked_sub(1).filter(|_| taken));
            at = source;
        }
        chosen.reverse();
        chosen
    }

    /// Best scores after label `n`.
    fn step(&self, n: usize, score: &[f64]) -> (Vec<f64>, Vec<From>) {
        let (alone, again) = (self.alone[n], self.again[n]);
        let mut next: Vec<f64> = score.iter().map(|s| s + alone).collect();
        let mut from: Vec<From> = (0..score.len()).map(|j| (j, false)).collect();
        let mut reach = (NEVER, 0);
        for j in 1..score.len() {
            if score[j - 1] > reach.0 {
                reach = (score[j - 1], j - 1);
            }
            let (first, more) = (reach.0 + self.gain[j - 1], score[j] + again);
            let (value, source) = if first >= more { (first, reach.1) } else { (more, j) };
            if value + self.likely[n][j - 1] > next[j] {
                next[j] = value + self.likely[n][j - 1];
                from[j] = (source, true);
            }
        }
        (next, from)
    }

    /// For each label the probability of each title, summed over all ways.
    pub fn posterior(&self) -> Vec<Vec<f64>> {
        let labels = self.likely.len();
        let mut before = vec![self.start()];
        for n in 0..labels {
            before.push(self.forward(n, &before[n]));
        }
        let mut behind = vec![vec![0.0; self.gain.len() + 1]];
        for n in (0..labels).rev() {
            behind.push(self.backward(n, &behind[labels - 1 - n]));
        }
        let whole = sum(before.last().map_or(&[][..], Vec::as_slice));
        let one = |n: usize| {
            let taken = self.taken(n, &before[n]);
            let after = &behind[labels - 1 - n];
            taken.iter().zip(&after[1..]).map(|(t, a)| (t + a - whole).exp().min(1.0)).collect()
        };
        (0..labels).map(one).collect()
    }

    fn start(&self) -> Vec<f64> {
        let mut start = vec![NEVER; self.gain.len() + 1];
        start[0] = 0.0;
        start
    }

    /// Sum over the ways by which label `n` takes each title.
    fn taken(&self, n: usize, before: &[f64]) -> Vec<f64> {
        let mut reach = NEVER;
        (1..before.len())
            .map(|j| {
                reach = sum(&[reach, before[j - 1]]);
                let again = before[j] + self.again[n];
                sum(&[reach + self.gain[j - 1], again]) + self.likely[n][j - 1]
            })
            .collect()
    }

    fn forward(&self, n: usize, before: &[f64]) -> Vec<f64> {
        let taken = self.taken(n, before);
        let title = |j: usize| j.checked_sub(1).map_or(NEVER, |t| taken[t]);
        (0..before.len()).map(|j| sum(&[before[j] + self.alone[n], title(j)])).collect()
    }

    fn backward(&self, n: usize, behind: &[f64]) -> Vec<f64> {
        let likely = &self.likely[n];
        let mut out = vec![NEVER; behind.len()];
        let mut later = NEVER;
        for j in (0..behind.len()).rev() {
            let again = j.checked_sub(1).map_or(NEVER, |t| self.again[n] + likely[t] + behind[j]);
            out[j] = sum(&[self.alone[n] + behind[j], again, later]);
            if let Some(t) = j.checked_sub(1) {
                later = sum(&[later, likely[t] + self.gain[t] + behind[j]]);
            }
        }
        out
    }
}

/// Logarithm of a sum of what the logarithms stand for.
fn sum(logs: &[f64]) -> f64 {
    let most = logs.iter().copied().fold(NEVER, f64::max);
    if most == NEVER {
        NEVER
    } else {
        most + logs.iter().map(|l| (l - most).exp()).sum::<f64>().ln()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All ways of three labels and three titles, weighed one by one.
    fn enumerated(chain: &Chain) -> (Vec<Vec<f64>>, Vec<Option<usize>>) {
        let (labels, titles) = (chain.likely.len(), chain.gain.len());
        let mut mass = vec![vec![0.0; titles]; labels];
        let (mut whole, mut best) = (0.0, (NEVER, Vec::new()));
        for code in 0..(titles + 1).pow(labels as u32) {
            let pick = |n: usize| (code / (titles + 1).pow(n as u32) % (titles + 1)).checked_sub(1);
            let way: Vec<Option<usize>> = (0..labels).map(pick).collect();
            let (mut last, mut log) = (None, 0.0);
            for (n, taken) in way.iter().enumerate() {
                log += match *taken {
                    None => chain.alone[n],
                    Some(t) if Some(t) == last => chain.again[n] + chain.likely[n][t],
                    Some(t) if last.is_none_or(|l| l < t) => chain.gain[t] + chain.likely[n][t],
                    Some(_) => NEVER,
                };
                last = taken.or(last);
            }
            whole += log.exp();
            for (n, t) in way.iter().enumerate().filter_map(|(n, t)| t.map(|t| (n, t))) {
                mass[n][t] += log.exp();
            }
            if log > best.0 {
                best = (log, way);
            }
        }
        mass.iter_mut().flatten().for_each(|m| *m /= whole);
        (mass, best.1)
    }

    #[test]
    fn sums_and_best_ways_are_those_of_enumeration() {
        let mut seed = 1u64;
        let mut draw = || {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            -4.0 * (seed >> 11) as f64 / (1u64 << 53) as f64
        };
        for _ in 0..50 {
            let mut row = |n: usize| (0..n).map(|_| draw()).collect::<Vec<f64>>();
            let chain = Chain {
                likely: (0..3).map(|_| row(3)).collect(),
                alone: row(3),
                again: row(3),
                gain: row(3),
            };
            let (mass, best) = enumerated(&chain);
            assert_eq!(chain.best(), best);
            for (found, expected) in chain.posterior().iter().flatten().zip(mass.iter().flatten()) {
                assert!((found - expected).abs() < 1e-9, "{found} {expected}");
            }
        }
    }
}
