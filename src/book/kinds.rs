//! Kinds of text that are alike in an edition: what is learned of a few is expected of the others, and of
//! a narrow kind little known what the wider one shows.

use std::collections::HashMap;

/// Kinds of text, each inside a wider one that comes before it; the first is the whole book.
#[derive(Debug, Clone)]
pub struct Kinds {
    wider: Vec<usize>,
    known: HashMap<(usize, String), usize>,
}

impl Default for Kinds {
    fn default() -> Self {
        Kinds { wider: vec![0], known: HashMap::new() }
    }
}

impl Kinds {
    /// The kind reached from the whole book by these ever narrower names.
    pub fn of(&mut self, names: [String; 3]) -> usize {
        names.into_iter().fold(0, |wider, name| {
            *self.known.entry((wider, name)).or_insert_with(|| {
                self.wider.push(wider);
                self.wider.len() - 1
            })
        })
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.wider.len()
    }

    /// For each kind the sum of parts over the sum of wholes, of all (kind, part, whole) of it,
    /// drawn towards the share of the wider kind as if that had been seen in `inertia` more.
    pub fn shares(
        &self,
        parts: impl Iterator<Item = (usize, f64, f64)>,
        prior: f64,
        inertia: f64,
    ) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.wider.len()];
        for (mut kind, part, whole) in parts {
            loop {
                if let Some(sum) = sums.get_mut(kind) {
                    *sum = (sum.0 + part, sum.1 + whole);
                }
                if kind == 0 {
                    break;
                }
                kind = self.wider.get(kind).copied().unwrap_or(0);
            }
        }
        // A wider kind stands before the narrower ones, so its share is there when they need it.
        let mut shares: Vec<f64> = Vec::with_capacity(sums.len());
        for ((part, whole), wider) in sums.iter().zip(&self.wider) {
            let towards = shares.get(*wider).copied().unwrap_or(prior);
            shares.push((part + inertia * towards) / (whole + inertia));
        }
        shares
    }
}
