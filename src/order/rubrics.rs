//! What the day's Mass has and has not: Gloria, Creed, Penitential Act, sprinkling, prayer over the
//! people, solemn blessing, Alleluia at the dismissal. Each answer carries its rule.
//!
//! The answers are named conditions, which the moments of a service order ask for. Stronger sources
//! replace weaker ones: the general rule, the formulary, the service order, the choice for the date.

use super::formulary::{Formulary, Part};
use super::mass::{Mass, MassKind};
use super::notes::note;
use super::service_order::ServiceOrder;
use super::settings::{DayChoices, On, Penitential, Settings};
use crate::Result;
use crate::calendar::{Rank, Season};
use crate::error::OrderFault;
use crate::language::Titles;
use std::collections::BTreeMap;

/// Whether something holds, and by which rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ruling {
    pub(super) holds: bool,
    pub(super) reason: String,
}

impl Ruling {
    fn new(holds: bool, reason: &str) -> Self {
        Ruling { holds, reason: reason.to_owned() }
    }
}

/// The conditions of one Mass by name.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Rubrics(BTreeMap<String, Ruling>);

impl Rubrics {
    /// Whether `condition` holds; with `!` before it, whether it does not. `None` if nobody knows it.
    pub(super) fn holds(&self, condition: &str) -> Option<bool> {
        match condition.strip_prefix('!') {
            Some(other) => self.0.get(other).map(|r| !r.holds),
            None => self.0.get(condition).map(|r| r.holds),
        }
    }

    /// The rule behind a condition.
    pub(super) fn reason(&self, condition: &str) -> Option<&str> {
        self.0.get(condition).map(|r| r.reason.as_str())
    }

    fn set(&mut self, condition: &str, ruling: Ruling) {
        self.0.insert(condition.to_owned(), ruling);
    }
}

/// Everything that decides the conditions.
pub(super) struct Grounds<'a> {
    pub(super) mass: &'a Mass<'a>,
    pub(super) formulary: Option<&'a Formulary>,
    pub(super) order: &'a ServiceOrder,
    pub(super) settings: &'a Settings,
    pub(super) choices: &'a DayChoices,
}

/// The conditions of a Mass, and the notes on what was set by hand.
pub(super) fn rubrics(on: &Grounds) -> Result<(Rubrics, Vec<Titles>)> {
    let mut rubrics = Rubrics::default();
    rubrics.set("gloria", gloria(on));
    rubrics.set("creed", creed(on));
    from_settings(on, &mut rubrics);
    let over_people = over_people(on);
    rubrics.set("solemn-blessing", solemn_blessing(on, over_people.holds));
    rubrics.set("over-people", over_people);
    rubrics.set("dismissal-alleluia", dismissal_alleluia(on));
    for option in &on.order.options {
        rubrics.set(&option.option, Ruling::new(option.usual, &option.reason));
    }
    let within_the_days = on.mass.rite.is_some();
    for settled in on.order.settles.iter().filter(|s| !(s.with_its_mass && within_the_days)) {
        rubrics.set(&settled.condition, Ruling::new(settled.holds, &settled.reason));
    }
    let notes = by_hand(on, &mut rubrics)?;
    let sprinkled = rubrics.holds("sprinkling") == Some(true);
    if sprinkled {
        let reason = "GIRM 51: the sprinkling takes the place of the Penitential Act";
        rubrics.set("penitential-act", Ruling::new(false, reason));
    }
    Ok((rubrics, notes))
}

fn gloria(on: &Grounds) -> Ruling {
    let mass = on.mass;
    if let Some(holds) = on.formulary.and_then(|f| f.gloria) {
        return Ruling::new(holds, "GIRM 53 and the rubric of this Mass");
    }
    let penitential = matches!(mass.day.season, Season::Advent | Season::Lent);
    match (mass.kind, mass.rank) {
        (MassKind::OfTheDay, Rank::Sunday) if penitential => {
            Ruling::new(false, "GIRM 53: not on Sundays of Advent and Lent")
        }
        (MassKind::OfTheDay, Rank::Sunday) => {
            Ruling::new(true, "GIRM 53: Sunday outside Advent and Lent")
        }
        (MassKind::OfTheDay, Rank::Solemnity) => Ruling::new(true, "GIRM 53: solemnity"),
        (MassKind::OfTheDay, Rank::Feast | Rank::FeastOfTheLord) => {
            Ruling::new(true, "GIRM 53: feast")
        }
        (MassKind::OfTheDay | MassKind::Commemoration, _) if in_an_octave(mass) => {
            Ruling::new(true, "GIRM 53: day within an octave")
        }
        _ => Ruling::new(false, "GIRM 53: not on weekdays, memorials and in other Masses"),
    }
}

/// The weekdays of the two octaves.
fn in_an_octave(mass: &Mass) -> bool {
    let days = ["time/christmas/12-29", "time/christmas/12-30", "time/christmas/12-31"];
    days.contains(&mass.asked.as_str()) || mass.asked.is_under("time/easter/octave")
}

fn creed(on: &Grounds) -> Ruling {
    if let Some(holds) = on.formulary.and_then(|f| f.creed) {
        return Ruling::new(holds, "GIRM 68 and the rubric of this Mass");
    }
    match (on.mass.kind, on.mass.rank) {
        (MassKind::OfTheDay, Rank::Sunday) => Ruling::new(true, "GIRM 68: Sunday"),
        (MassKind::OfTheDay, Rank::Solemnity) => Ruling::new(true, "GIRM 68: solemnity"),
        (MassKind::OfTheDay, _) if on.mass.is_sunday() => Ruling::new(true, "GIRM 68: Sunday"),
        _ => Ruling::new(false, "GIRM 68: on Sundays and solemnities only"),
    }
}

fn from_settings(on: &Grounds, rubrics: &mut Rubrics) {
    let settings = on.settings;
    let form = on.choices.penitential.unwrap_or(settings.penitential);
    let third = matches!(form, Penitential::Third | Penitential::ThirdFromAppendix);
    let habit = "the priest’s settings";
    rubrics.set("penitential-act", Ruling::new(true, "GIRM 51"));
    rubrics.set("third-form", Ruling::new(third, habit));
    rubrics.set("third-form-appendix", Ruling::new(form == Penitential::ThirdFromAppendix, habit));
    rubrics.set("sprinkling", sprinkling(on));
    rubrics.set("antiphons", Ruling::new(settings.antiphons, habit));
    rubrics.set("universal-prayer", Ruling::new(settings.universal_prayer, habit));
    rubrics.set("sung-preface", Ruling::new(settings.sung_preface, habit));
    let seasons = [
        ("advent", Season::Advent),
        ("christmas", Season::Christmas),
        ("lent", Season::Lent),
        ("easter", Season::Easter),
        ("ordinary", Season::Ordinary),
    ];
    for (name, season) in seasons {
        rubrics.set(name, Ruling::new(on.mass.day.season == season, "the season"));
    }
}

fn sprinkling(on: &Grounds) -> Ruling {
    let holds = on.mass.is_sunday() && happens(on.settings.sprinkling, on.mass);
    Ruling::new(holds, "GIRM 51: on Sundays, especially in Easter Time, at the priest’s choice")
}

/// Whether something done `on` certain days is done at this Mass.
fn happens(on: On, mass: &Mass) -> bool {
    let solemnity = mass.kind == MassKind::OfTheDay && mass.rank == Rank::Solemnity;
    match on {
        On::Never => false,
        On::EasterSundays => mass.is_sunday() && mass.day.season == Season::Easter,
        On::Solemnities => solemnity,
        On::SundaysAndSolemnities => solemnity || mass.is_sunday(),
    }
}

/// In Lent one stands in each formulary: on Sundays it must be said, on weekdays it may be.
fn over_people(on: &Grounds) -> Ruling {
    let has_own = match on.formulary {
        Some(formulary) => formulary.own.contains(&Part::OverPeople),
        None => on.mass.day.season == Season::Lent && on.mass.asked.is_under("time"),
    };
    let from_collection = on.choices.blessing.as_ref().is_some_and(|b| b.is_under("order/people"));
    match (has_own, on.mass.is_sunday()) {
        _ if from_collection => Ruling::new(true, "chosen for this day; GIRM 90, 167"),
        _ if on.choices.blessing.is_some() => Ruling::new(false, "another blessing was chosen"),
        (true, true) => Ruling::new(true, "rubric of the Missal: said on Sundays of Lent"),
        (true, false) => Ruling::new(
            on.settings.lent_weekday_prayer_over_people,
            "rubric of the Missal: may be said on weekdays of Lent",
        ),
        (false, _) => Ruling::new(false, "GIRM 90: optional outside Lent"),
    }
}

fn solemn_blessing(on: &Grounds, over_people: bool) -> Ruling {
    let chosen = on.choices.blessing.as_ref().is_some_and(|b| !b.is_under("order/people"));
    let holds = chosen || (!over_people && happens(on.settings.solemn_blessing, on.mass));
    Ruling::new(holds, "Order of Mass 142, GIRM 167: optional, at the priest’s choice")
}

fn dismissal_alleluia(on: &Grounds) -> Ruling {
    let octave = on.mass.asked.is_under("time/easter/octave")
        || ["time/easter/sunday", "time/easter/week-2/sunday"].contains(&on.mass.asked.as_str())
        || on.mass.asked.is_under("time/easter/pentecost");
    let holds = on.formulary.is_some_and(|f| f.dismissal_alleluia) || octave;
    Ruling::new(
        holds,
        "rubric of the Missal: from the Vigil to the Second Sunday of Easter, and at Pentecost",
    )
}

/// Conditions that a rule decides, so that a choice against it is worth a note.
const RULED: [&str; 4] = ["gloria", "creed", "penitential-act", "dismissal-alleluia"];

/// What was set for the date replaces every rule; a note says so where it differs from the rule.
fn by_hand(on: &Grounds, rubrics: &mut Rubrics) -> Result<Vec<Titles>> {
    let mut notes = Vec::new();
    let obligatory = |c: &str| on.order.options.iter().any(|o| o.option == c && o.obligatory);
    for (condition, holds) in &on.choices.set {
        let Some(before) = rubrics.0.get(condition) else {
            let known = rubrics.0.keys().cloned().collect::<Vec<_>>();
            return Err(OrderFault::UnknownOption { option: condition.clone(), known }.into());
        };
        let sunday = condition == "over-people" && on.mass.is_sunday();
        if before.holds != *holds
            && (sunday || obligatory(condition) || RULED.contains(&condition.as_str()))
        {
            let (what, spanish) =
                if *holds { ("is taken in", "se incluye") } else { ("is left out", "se omite") };
            notes.push(note(
                format!(
                    "Against the rule, by your choice for this day: {condition} {what} ({}).",
                    before.reason
                ),
                format!("Contra la norma, por su elección para este día: {spanish} {condition}."),
            ));
        }
        rubrics.set(condition, Ruling::new(*holds, "chosen for this day"));
    }
    let own = on.formulary.is_some_and(|f| f.own.contains(&Part::OverPeople));
    if own && on.mass.is_sunday() && on.choices.blessing.is_some() {
        notes.push(note(
            "Against the rule, by your choice for this day: another blessing than the Sunday’s prayer \
             over the people, which is said on Sundays of Lent (rubric of the Missal).",
            "Contra la norma, por su elección para este día: otra bendición que la oración sobre el \
             pueblo, que se dice los domingos de Cuaresma (rúbrica del Misal).",
        ));
    }
    Ok(notes)
}
