//! Guesses the language of a page from a few of its lines, by which of Tesseract's data reads them best.

use super::ink::Ink;
use super::line::{Chain, Line};
use super::words::{PageWord, read_part};
use crate::Result;
use crate::language::Language;
use image::GrayImage;
use rayon::prelude::*;

/// How many lines are tried.
const LINES: usize = 8;

/// Short words that hardly stand in the other two languages.
const SIGNS: [(Language, &[&str]); 3] = [
    (
        Language::En,
        &[
            "the", "of", "and", "for", "our", "in", "saint", "saints", "mass", "masses", "week",
            "sunday", "day", "lord", "time",
        ],
    ),
    (
        Language::Es,
        &[
            "el", "los", "las", "del", "y", "por", "san", "santa", "santo", "misa", "misas",
            "semana", "domingo", "para", "tiempo",
        ],
    ),
    (
        Language::La,
        &[
            "ad",
            "et",
            "pro",
            "beatae",
            "sancti",
            "sanctae",
            "sanctorum",
            "missa",
            "missae",
            "hebdomada",
            "dominica",
            "feria",
            "die",
            "tempus",
            "ordo",
        ],
    ),
];

/// Tesseract's code of a language's data.
pub fn code(language: Language) -> &'static str {
    match language {
        Language::En => "eng",
        Language::Es => "spa",
        Language::La => "lat",
    }
}

/// Guesses by trying: confidence of the reading, and words that only one language has.
pub fn guess(grey: &GrayImage, ink: &Ink, lines: &[Line]) -> Result<Language> {
    let mut parts: Vec<&Chain> = lines.iter().flat_map(|l| &l.parts).collect();
    parts.sort_by_key(|p| std::cmp::Reverse(p.blobs.len()));
    let parts: Vec<&Chain> = parts.into_iter().skip(1).step_by(2).take(LINES).collect();
    let scored: Result<Vec<(f64, Language)>> = SIGNS
        .par_iter()
        .map(|(language, signs)| {
            let mut words = Vec::new();
            for part in &parts {
                words.extend(read_part(grey, ink, part, 0, code(*language))?);
            }
            Ok((score(&words, signs), *language))
        })
        .collect();
    Ok(scored?.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).map_or(Language::En, |s| s.1))
}

fn score(words: &[PageWord], signs: &[&str]) -> f64 {
    let letters: f64 = words.iter().map(|w| w.text.chars().count() as f64).sum();
    let sure: f64 =
        words.iter().map(|w| f64::from(w.confidence) * w.text.chars().count() as f64).sum();
    let known = words
        .iter()
        .filter(|w| {
            signs.contains(&w.text.to_lowercase().trim_matches(|c: char| !c.is_alphabetic()))
        })
        .count();
    sure / letters.max(1.0) + known as f64 / words.len().max(1) as f64
}
