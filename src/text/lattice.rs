//! What a crop may read: the likeliest characters at each step along it (connectionist temporal classification,
//! Graves and others 2006), its best path, and the likeliest strings of any part of it.

use super::recognise::characters;
use std::collections::HashMap;

/// The likeliest classes at a step, the likeliest first, each with its probability; class 0 is no character.
pub type Step = Vec<(u16, f32)>;

/// What a crop may read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Lattice {
    /// From the left.
    pub steps: Vec<Step>,
}

/// A character of the best path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// The character.
    pub letter: char,
    /// First step.
    pub from: usize,
    /// Just behind its last step.
    pub to: usize,
    /// Highest probability among its steps, 0–1.
    pub probability: f32,
}

impl Lattice {
    /// The characters that are likeliest at each step, repeats as one.
    pub fn best(&self) -> Vec<Glyph> {
        let mut found: Vec<Glyph> = Vec::new();
        let mut last = 0;
        for (i, step) in self.steps.iter().enumerate() {
            let Some((class, probability)) = step.first().copied() else { continue };
            match found.last_mut() {
                Some(glyph) if class == last && class != 0 => {
                    glyph.to = i + 1;
                    glyph.probability = glyph.probability.max(probability);
                }
                _ if class != 0 => {
                    let letter = characters().get(usize::from(class)).copied().unwrap_or(' ');
                    found.push(Glyph { letter, from: i, to: i + 1, probability });
                }
                _ => {}
            }
            last = class;
        }
        found
    }

    /// The likeliest strings of the steps `from..to` with their probabilities, the likeliest first: prefix beam
    /// search (Hannun and others 2014, "First-pass large vocabulary continuous speech recognition", algorithm 1)
    /// without a language model.
    pub fn strings(&self, from: usize, to: usize) -> Vec<(String, f64)> {
        const BEAM: usize = 24;
        let to = to.min(self.steps.len());
        // Each prefix with the weight of its paths that end in no character, and in its last one.
        let mut beam: Vec<(Vec<u16>, [f64; 2])> = vec![(Vec::new(), [1.0, 0.0])];
        for step in self.steps.get(from.min(to)..to).unwrap_or_default() {
            let mut next: HashMap<Vec<u16>, [f64; 2]> = HashMap::new();
            for (prefix, [blank, solid]) in &beam {
                for (class, probability) in step {
                    let p = f64::from(*probability);
                    if *class == 0 {
                        next.entry(prefix.clone()).or_default()[0] += p * (blank + solid);
                        continue;
                    }
                    let mut longer = prefix.clone();
                    longer.push(*class);
                    if prefix.last() == Some(class) {
                        next.entry(prefix.clone()).or_default()[1] += p * solid;
                        next.entry(longer).or_default()[1] += p * blank;
                    } else {
                        next.entry(longer).or_default()[1] += p * (blank + solid);
                    }
                }
            }
            beam = next.into_iter().collect();
            beam.sort_by(|a, b| {
                (b.1[0] + b.1[1]).total_cmp(&(a.1[0] + a.1[1])).then(a.0.cmp(&b.0))
            });
            beam.truncate(BEAM);
        }
        let letters = characters();
        let text = |classes: &[u16]| {
            classes.iter().filter_map(|c| letters.get(usize::from(*c))).collect::<String>()
        };
        beam.iter().map(|(prefix, [a, b])| (text(prefix), a + b)).collect()
    }
}
