//! What a day says about what is not certain: entries from memory, and sources that contradict each other.

use super::{Celebration, Certainty, Displaced, Evening};
use crate::language::{Language, Titles};

/// One sentence for all that is from memory, one for each contradiction.
pub(super) fn provenance(
    celebrations: impl Iterator<Item = Celebration>,
    displaced: &[Displaced],
    evening: Option<&Evening>,
    language: Language,
) -> Vec<String> {
    let evening = evening.iter().flat_map(|e| &e.masses).map(|m| m.celebration.clone());
    let displaced = displaced.iter().map(|d| d.celebration.clone());
    let mut told: Vec<Celebration> = Vec::new();
    for celebration in celebrations.chain(displaced).chain(evening) {
        if told.iter().all(|t| t.id != celebration.id) {
            told.push(celebration);
        }
    }
    let memory = from_memory(&told, language);
    memory.into_iter().chain(told.iter().filter_map(|c| contradiction(c, language))).collect()
}

fn from_memory(told: &[Celebration], language: Language) -> Option<String> {
    let named: Vec<String> = told.iter().filter_map(|c| remembered(c, language)).collect();
    let say = language.either(
        "From memory: check your directory",
        "De memoria: compruébelo con el calendario de su diócesis",
    );
    (!named.is_empty()).then(|| format!("{say}: {}.", named.join("; ")))
}

fn remembered(celebration: &Celebration, language: Language) -> Option<String> {
    let title = celebration.title.get(language);
    Some(match celebration.from_memory? {
        Certainty::RankFromMemory => {
            format!("{title} ({})", language.either("its rank", "su grado"))
        }
        _ => title.to_owned(),
    })
}

fn contradiction(celebration: &Celebration, language: Language) -> Option<String> {
    let doubt: &Titles = celebration.doubt.as_ref()?;
    let say = language.either("Sources differ on", "Las fuentes difieren sobre");
    Some(format!("{say} {}: {}.", celebration.title.get(language), doubt.get(language)))
}
