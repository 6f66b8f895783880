//! Page labels: what strings a lattice may read there, as labels with their probabilities.

use super::kind;
use super::lattice::Lattice;

/// A way to read a label, with its probability.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelReading {
    /// As printed: "512", "505-507", "xiv".
    pub label: String,
    /// Probability, 0–1.
    pub probability: f64,
}

/// The ways to read the steps `from..to` of a lattice as a label, the likeliest first; what is no label is left out, so
/// that the sum may stay below 1.
pub fn readings(lattice: &Lattice, from: usize, to: usize) -> Vec<LabelReading> {
    let mut found: Vec<LabelReading> = Vec::new();
    for (text, probability) in lattice.strings(from, to) {
        let Some(label) = label(&text) else { continue };
        match found.iter_mut().find(|f| f.label == label) {
            Some(known) => known.probability += probability,
            None => found.push(LabelReading { label, probability }),
        }
    }
    sorted(found)
}

/// Several looks at one label as one: the mean of their probabilities.
pub fn together(looks: Vec<Vec<LabelReading>>) -> Vec<LabelReading> {
    let count = looks.len().max(1) as f64;
    let mut found: Vec<LabelReading> = Vec::new();
    for reading in looks.into_iter().flatten() {
        let share = reading.probability / count;
        match found.iter_mut().find(|f| f.label == reading.label) {
            Some(known) => known.probability += share,
            None => found.push(LabelReading { probability: share, ..reading }),
        }
    }
    sorted(found)
}

fn sorted(mut readings: Vec<LabelReading>) -> Vec<LabelReading> {
    readings.sort_by(|a, b| b.probability.total_cmp(&a.probability).then(a.label.cmp(&b.label)));
    readings
}

/// The label in a string: figures, of which letters alike count as such and white between is none, perhaps a range,
/// perhaps a letter behind; or a roman number in one case.
pub fn label(text: &str) -> Option<String> {
    let core: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let core = core.trim_matches(|c: char| !c.is_alphanumeric());
    if let Some(roman) = kind::roman_in(core) {
        return Some(roman);
    }
    let bare = kind::without_follows(core);
    let follows = &core[bare.len()..];
    if !bare.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let ends: Vec<String> =
        bare.split(kind::DASHES).filter(|e| !e.is_empty()).map(figures).collect::<Option<_>>()?;
    match ends.as_slice() {
        [one] => Some(format!("{one}{follows}")),
        [from, to] => Some(format!("{from}-{to}{follows}")),
        _ => None,
    }
}

fn figures(text: &str) -> Option<String> {
    let figure = |c: char| match kind::TAKEN_FOR.iter().find(|t| t.0 == c) {
        Some((_, figure)) => Some(*figure),
        None => c.is_ascii_digit().then_some(c),
    };
    text.chars()
        .map(figure)
        .collect::<Option<String>>()
        .filter(|f| f.len() <= 5 && !f.starts_with('0'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_become_labels_as_printed() {
        let cases = [
            ("512", Some("512")),
            ("1I9", Some("119")),
            (" 5 12,", Some("512")),
            ("505–507", Some("505-507")),
            ("(xiv)", Some("xiv")),
            ("1747a", Some("1747a")),
            ("12f.", Some("12f")),
            ("Saint", None),
            ("4/10", None),
            ("0", None),
            ("XII", Some("XII")),
        ];
        for (text, wanted) in cases {
            assert_eq!(label(text).as_deref(), wanted, "{text}");
        }
    }
}
