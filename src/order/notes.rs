//! What the priest or sacristan should know beside the list of needs: choices, options, what was set
//! against a rule.

use super::formulary::Sequence;
use super::printed::formulary_of;
use super::rubrics::Rubrics;
use super::service::Making;
use super::service_order::ServiceOption;
use crate::Result;
use crate::calendar::Season;
use crate::language::{Language, Titles};

/// A rule in English and in Spanish.
pub(super) type Rule = (&'static str, &'static str);

/// A note in English and in Spanish.
pub(super) fn note(english: impl Into<String>, spanish: impl Into<String>) -> Titles {
    Titles { en: english.into(), es: Some(spanish.into()), la: None }
}

/// The notes of a service, the weightiest first.
pub(super) fn notes(
    making: &Making,
    rubrics: &Rubrics,
    by_hand: Vec<Titles>,
    at_the_altar: Vec<Titles>,
) -> Result<Vec<Titles>> {
    let mut notes = making.mass.notes.clone();
    notes.extend(by_hand);
    notes.extend(too_few(making, rubrics));
    notes.extend(making.order.notes.iter().cloned());
    notes.extend(making.formulary.and_then(|f| f.note.as_ref()).map(sentence));
    notes.extend(masses_of_the_day(making)?);
    notes.extend(sequence(making));
    notes.extend(may_sprinkle(making, rubrics));
    notes.extend(at_the_altar);
    notes.extend(options(making, rubrics, true));
    notes.extend(options(making, rubrics, false));
    Ok(notes)
}

fn sentence(note: &Titles) -> Titles {
    let ended = |text: &str| format!("{}.", text.trim_end_matches('.'));
    Titles {
        en: ended(&note.en),
        es: note.es.as_deref().map(ended),
        la: note.la.as_deref().map(ended),
    }
}

fn sequence(making: &Making) -> Option<Titles> {
    Some(match making.formulary?.sequence? {
        Sequence::Obligatory => note(
            "The sequence is sung or said before the Alleluia; its text is in the lectionary (GIRM 64).",
            "La secuencia se canta o se dice antes del Aleluya; su texto está en el leccionario (OGMR 64).",
        ),
        Sequence::Optional => note(
            "There is a sequence, which is optional; its text is in the lectionary (GIRM 64).",
            "Hay secuencia, que es libre; su texto está en el leccionario (OGMR 64).",
        ),
    })
}

/// Where the day has several Masses: which they are, and which was taken.
fn masses_of_the_day(making: &Making) -> Result<Option<Titles>> {
    let Some(kept) = making.mass.day.kept().filter(|k| making.mass.asked.is_under(k.id.as_str()))
    else {
        return Ok(None);
    };
    let nation = making.mass.day.nation.as_deref();
    let Some(formulary) = formulary_of(&kept.id, nation)? else { return Ok(None) };
    let places =
        || formulary.vigil.iter().chain(&formulary.extended_vigil).chain(&formulary.masses);
    let named = |language| {
        let named: Vec<String> =
            places().map(|place| making.missal.title(place).get(language).to_owned()).collect();
        named.join("; ")
    };
    Ok(places().next().is_some().then(|| {
        note(
            format!("Masses of this day: {}.", named(Language::En)),
            format!("Misas de este día: {}.", named(Language::Es)),
        )
    }))
}

fn may_sprinkle(making: &Making, rubrics: &Rubrics) -> Option<Titles> {
    let mass = making.mass;
    let easter = mass.is_sunday() && mass.day.season == Season::Easter;
    (easter && rubrics.holds("penitential-act") == Some(true)).then(|| {
        note(
            "The blessing and sprinkling of water may take the place of the Penitential Act, especially \
             on the Sundays of Easter Time (GIRM 51).",
            "La bendición y aspersión del agua puede sustituir al acto penitencial, sobre todo los \
             domingos de Pascua (OGMR 51).",
        )
    })
}

/// Options taken in, or those left out, in one sentence.
fn options(making: &Making, rubrics: &Rubrics, taken: bool) -> Option<Titles> {
    let of_state = |o: &&ServiceOption| rubrics.holds(&o.option) == Some(taken);
    let options = || making.order.options.iter().filter(of_state);
    options().next()?;
    let named = |language| {
        let named: Vec<String> = options().map(|o| o.title.get(language).to_owned()).collect();
        named.join("; ")
    };
    let (english, spanish) = match taken {
        true => ("Taken in, may be left out", "Incluido, puede omitirse"),
        false => ("Left out, may be taken in", "Omitido, puede incluirse"),
    };
    Some(note(
        format!("{english}: {}.", named(Language::En)),
        format!("{spanish}: {}.", named(Language::Es)),
    ))
}

/// Fewer options than the order demands.
fn too_few(making: &Making, rubrics: &Rubrics) -> Option<Titles> {
    let at_least = making.order.at_least.as_ref()?;
    let taken = at_least.of.iter().filter(|o| rubrics.holds(o) == Some(true)).count();
    (taken < at_least.count).then(|| {
        note(
            format!(
                "Against the rule, by your choice for this day: only {taken} ({}).",
                at_least.reason
            ),
            format!(
                "Contra la norma, por su elección para este día: solo {taken}, de al menos {}.",
                at_least.count
            ),
        )
    })
}
