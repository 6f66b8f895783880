//! What the priest or sacristan should know beside the list of needs: choices, options, what was set
//! against a rule.

use super::formulary::Sequence;
use super::printed::formulary_of;
use super::rubrics::Rubrics;
use super::service::Making;
use super::service_order::ServiceOption;
use crate::Result;
use crate::calendar::Season;

/// The notes of a service, the weightiest first.
pub(super) fn notes(
    making: &Making,
    rubrics: &Rubrics,
    by_hand: Vec<String>,
    at_the_altar: Vec<String>,
) -> Result<Vec<String>> {
    let mut notes = making.mass.notes.clone();
    notes.extend(by_hand);
    notes.extend(too_few(making, rubrics));
    notes.extend(making.order.notes.iter().cloned());
    notes.extend(making.formulary.and_then(|f| f.note.as_deref()).map(sentence));
    notes.extend(masses_of_the_day(making)?);
    notes.extend(sequence(making));
    notes.extend(may_sprinkle(making, rubrics));
    notes.extend(at_the_altar);
    notes.extend(options(making, rubrics, true));
    notes.extend(options(making, rubrics, false));
    Ok(notes)
}

fn sentence(note: &str) -> String {
    if note.ends_with('.') { note.to_owned() } else { format!("{note}.") }
}

fn sequence(making: &Making) -> Option<String> {
    let text = "its text is in the lectionary (GIRM 64)";
    Some(match making.formulary?.sequence? {
        Sequence::Obligatory => {
            format!("The sequence is sung or said before the Alleluia; {text}.")
        }
        Sequence::Optional => format!("There is a sequence, which is optional; {text}."),
    })
}

/// Where the day has several Masses: which they are, and which was taken.
fn masses_of_the_day(making: &Making) -> Result<Option<String>> {
    let Some(kept) = making.mass.day.kept().filter(|k| making.mass.asked.is_under(k.id.as_str()))
    else {
        return Ok(None);
    };
    let Some(formulary) = formulary_of(&kept.id)? else { return Ok(None) };
    let masses: Vec<String> = formulary
        .vigil
        .iter()
        .chain(&formulary.masses)
        .map(|place| format!("{} ({place})", making.missal.title(place).en))
        .collect();
    Ok((!masses.is_empty()).then(|| format!("Masses of this day: {}.", masses.join(", "))))
}

fn may_sprinkle(making: &Making, rubrics: &Rubrics) -> Option<String> {
    let mass = making.mass;
    let easter = mass.is_sunday() && mass.day.season == Season::Easter;
    (easter && rubrics.holds("penitential-act") == Some(true)).then(|| {
        "The blessing and sprinkling of water may take the place of the Penitential Act, especially on \
         the Sundays of Easter Time (GIRM 51)."
            .into()
    })
}

/// Options taken in, or those left out, in one sentence.
fn options(making: &Making, rubrics: &Rubrics, taken: bool) -> Option<String> {
    let of_state = |o: &&ServiceOption| rubrics.holds(&o.option) == Some(taken);
    let named: Vec<String> = making
        .order
        .options
        .iter()
        .filter(of_state)
        .map(|o| format!("{} [{}]", o.title.en, o.option))
        .collect();
    let words = if taken { "Taken in, may be left out" } else { "Left out, may be taken in" };
    (!named.is_empty()).then(|| format!("{words}: {}.", named.join("; ")))
}

/// Fewer options than the order demands.
fn too_few(making: &Making, rubrics: &Rubrics) -> Option<String> {
    let at_least = making.order.at_least.as_ref()?;
    let taken = at_least.of.iter().filter(|o| rubrics.holds(o) == Some(true)).count();
    (taken < at_least.count).then(|| {
        format!(
            "Against the rule, by your choice for this day: only {taken} ({}).",
            at_least.reason
        )
    })
}
