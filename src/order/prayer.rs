//! Which Eucharistic Prayer is said, and what it does to the preface.
//!
//! GIRM 365; for the fourth, Order of Mass 116: its preface is not exchanged. "A preface of its own" is
//! read as a preface of the day that must be said, not one of the season, as the Congregation answered
//! (reply to Italy in the 1970s, known from McNamara, Zenit, 22 November 2005).

use super::mass::{Mass, MassKind};
use super::notes::{Rule, note};
use super::preface::{Allowed, Bound};
use super::service_order::Assigned;
use super::settings::{DayChoices, Settings};
use crate::calendar::Season;
use crate::language::Titles;
use crate::place::Place;

/// Whether a prayer may be said at a Mass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Verdict {
    Fits(Rule),
    /// Possible, but the norms look for a particular occasion.
    OnOccasion(Rule),
    Refused(Rule),
}

impl Verdict {
    fn reason(&self) -> &'static str {
        match self {
            Verdict::Fits(r) | Verdict::OnOccasion(r) | Verdict::Refused(r) => r.0,
        }
    }
}

/// What was settled.
pub(super) struct Chosen {
    pub(super) prayer: Place,
    pub(super) reason: String,
    /// Preface and reason, changed to go with the prayer.
    pub(super) preface: Allowed,
    pub(super) notes: Vec<Titles>,
}

/// The prayers of the book, in its order.
pub(super) const PRAYERS: [&str; 10] = [
    "order/prayer/1",
    "order/prayer/2",
    "order/prayer/3",
    "order/prayer/4",
    "order/prayer/reconciliation-1",
    "order/prayer/reconciliation-2",
    "order/prayer/needs-1",
    "order/prayer/needs-2",
    "order/prayer/needs-3",
    "order/prayer/needs-4",
];

/// Whether `prayer` may be said at `mass`, whose prefaces are `allowed`.
pub(super) fn verdict(prayer: &Place, mass: &Mass, allowed: &Allowed) -> Verdict {
    let festive = mass.is_festive();
    match prayer.as_str() {
        "order/prayer/1" => {
            Verdict::Fits(("GIRM 365a: may always be used", "OGMR 365a: puede usarse siempre"))
        }
        "order/prayer/2" if festive => Verdict::Fits((
            "GIRM 365b: meant rather for weekdays and special circumstances",
            "OGMR 365b: más bien para las ferias y circunstancias particulares",
        )),
        "order/prayer/2" => {
            Verdict::Fits(("GIRM 365b: suited to weekdays", "OGMR 365b: propia de las ferias"))
        }
        "order/prayer/3" if festive => Verdict::Fits((
            "GIRM 365c: preferred on Sundays and festive days",
            "OGMR 365c: preferible los domingos y días festivos",
        )),
        "order/prayer/3" => {
            Verdict::Fits(("GIRM 365c: with any preface", "OGMR 365c: con cualquier prefacio"))
        }
        "order/prayer/4" => fourth(mass, allowed),
        p if p.starts_with("order/prayer/reconciliation") => reconciliation(mass, allowed),
        p if p.starts_with("order/prayer/needs") => needs(mass, allowed),
        _ => Verdict::OnOccasion((
            "not among the prayers of the altar missal",
            "no está entre las plegarias del misal del altar",
        )),
    }
}

fn fourth(mass: &Mass, allowed: &Allowed) -> Verdict {
    let sunday = mass.is_festive() && mass.is_sunday();
    match (allowed.bound, mass.day.season) {
        (Bound::Day, _) => Verdict::Refused((
            "GIRM 365d, Order of Mass 116: Eucharistic Prayer IV keeps its own preface, and \
             this Mass has one that must be said",
            "OGMR 365d, Ordinario de la Misa 116: la Plegaria eucarística IV conserva su \
             prefacio, y esta misa tiene uno que debe decirse",
        )),
        (_, Season::Advent | Season::Lent | Season::Easter | Season::Christmas) if sunday => {
            Verdict::Refused((
                "GIRM 365d: of the Sundays only those in Ordinary Time",
                "OGMR 365d: de los domingos, solo los del Tiempo Ordinario",
            ))
        }
        (Bound::Season, Season::Lent) if in_passiontide(mass) => Verdict::Refused((
            "the Preface of the Passion is prescribed in the fifth week of Lent and in Holy \
             Week (McNamara, EWTN, 23 February 2010)",
            "el Prefacio de la Pasión está prescrito en la quinta semana de Cuaresma y en la \
             Semana Santa (McNamara, EWTN, 23 de febrero de 2010)",
        )),
        (Bound::Season, Season::Easter) if allowed.places.len() == 1 => Verdict::Refused((
            "Order of Mass 45: the first Preface of Easter is prescribed in the Octave",
            "Ordinario de la Misa 45: en la Octava está prescrito el Prefacio I de Pascua",
        )),
        _ => Verdict::Fits((
            "GIRM 365d: the Mass has no preface of its own",
            "OGMR 365d: la misa no tiene prefacio propio",
        )),
    }
}

fn in_passiontide(mass: &Mass) -> bool {
    mass.day.week == Some(5) || mass.day.week == Some(6) || mass.asked.is_under("time/holy-week")
}

/// Masses whose theme is reconciliation, by the introduction of the two prayers.
const OF_RECONCILIATION: [&str; 8] = [
    "needs/15-harmony",
    "needs/16-reconciliation",
    "needs/30-peace",
    "needs/31-war",
    "needs/38-forgiveness",
    "needs/40-charity",
    "votive/cross",
    "votive/precious-blood",
];

fn reconciliation(mass: &Mass, allowed: &Allowed) -> Verdict {
    let theme = OF_RECONCILIATION.iter().any(|p| mass.asked.is_under(p))
        || mass.asked.is_under("votive/eucharist");
    match (allowed.bound, mass.day.season) {
        (Bound::Season | Bound::Free, Season::Lent) => Verdict::Fits((
            "introduction to the prayers for Reconciliation: in Lent, with a preface of Lent",
            "introducción a las plegarias de la Reconciliación: en Cuaresma, con un prefacio de \
             Cuaresma",
        )),
        (Bound::Day, Season::Lent) if mass.is_festive() && mass.is_sunday() => Verdict::Fits((
            "introduction to the prayers for Reconciliation: in Lent, with the preface of the \
             Sunday (McNamara, EWTN, 4 March 2008)",
            "introducción a las plegarias de la Reconciliación: en Cuaresma, con el prefacio \
             del domingo (McNamara, EWTN, 4 de marzo de 2008)",
        )),
        _ if theme => Verdict::Fits((
            "introduction to the prayers for Reconciliation: the theme of this Mass",
            "introducción a las plegarias de la Reconciliación: el tema de esta misa",
        )),
        (Bound::Day, _) => Verdict::Refused((
            "this Mass has a preface of its own, and the prayers for Reconciliation take only \
             theirs or one of penance",
            "esta misa tiene prefacio propio, y las plegarias de la Reconciliación solo llevan \
             el suyo o uno penitencial",
        )),
        (Bound::Season, _) => Verdict::Refused((
            "the preface of this season does not speak of penance, as the prayers for \
             Reconciliation require",
            "el prefacio de este tiempo no habla de la penitencia, como piden las plegarias de \
             la Reconciliación",
        )),
        (Bound::Free, _) => Verdict::OnOccasion((
            "the prayers for Reconciliation look for a Mass on reconciliation or penance",
            "las plegarias de la Reconciliación piden una misa sobre la reconciliación o la \
             penitencia",
        )),
    }
}

fn needs(mass: &Mass, allowed: &Allowed) -> Verdict {
    match (mass.kind, allowed.bound) {
        (_, Bound::Day) => Verdict::Refused((
            "the prayer for Various Needs keeps its own preface, and this Mass has one that \
             must be said",
            "la plegaria para diversas circunstancias conserva su prefacio, y esta misa tiene \
             uno que debe decirse",
        )),
        (MassKind::Needs, _) => Verdict::Fits((
            "rubric of the prayer: in Masses for various needs",
            "rúbrica de la plegaria: en las misas por diversas necesidades",
        )),
        _ if mass.is_festive() => Verdict::Refused((
            "rubric of the prayer: in Masses for various needs, not on Sundays and feasts",
            "rúbrica de la plegaria: en las misas por diversas necesidades, no los domingos y \
             fiestas",
        )),
        (_, Bound::Season) => Verdict::Refused((
            "the season has a preface, and this prayer keeps its own",
            "el tiempo tiene prefacio, y esta plegaria conserva el suyo",
        )),
        _ => Verdict::OnOccasion((
            "rubric of the prayer: in Masses for various needs",
            "rúbrica de la plegaria: en las misas por diversas necesidades",
        )),
    }
}

/// The prayer said at `mass`: the choice for the date even against a rule, else the priest's usual one
/// if it fits, else another that does.
pub(super) fn choose(
    mass: &Mass,
    allowed: Allowed,
    assigned: Option<&Assigned>,
    settings: &Settings,
    choices: &DayChoices,
) -> Chosen {
    let mut notes = Vec::new();
    let usual = if mass.is_festive() { &settings.sunday_prayer } else { &settings.weekday_prayer };
    let (prayer, reason) = match (&choices.prayer, assigned) {
        (Some(prayer), _) => {
            let verdict = verdict(prayer, mass, &allowed);
            if let Verdict::Refused(rule) = verdict {
                notes.push(note(
                    format!("Against the rule, by your choice for this day: {}.", rule.0),
                    format!("Contra la norma, por su elección para este día: {}.", rule.1),
                ));
            }
            (prayer.clone(), format!("chosen for this day; {}", verdict.reason()))
        }
        (None, Some(assigned)) if !assigned.places.contains(usual) => {
            let first = assigned.places.first().unwrap_or(usual);
            (first.clone(), assigned.reason.clone())
        }
        (None, _) => usual_or_other(usual, mass, &allowed, settings, &mut notes),
    };
    notes.extend(others(&prayer, mass, &allowed));
    let preface = with_prayer(&prayer, mass, allowed);
    Chosen { prayer, reason, preface, notes }
}

fn usual_or_other(
    usual: &Place,
    mass: &Mass,
    allowed: &Allowed,
    settings: &Settings,
    notes: &mut Vec<Titles>,
) -> (Place, String) {
    let verdict_of = |p: &Place| verdict(p, mass, allowed);
    match verdict_of(usual) {
        Verdict::Fits(rule) => return (usual.clone(), rule.0.to_owned()),
        Verdict::OnOccasion(rule) => {
            notes.push(note(
                format!("Your usual Eucharistic Prayer: {}.", rule.0),
                format!("Su Plegaria eucarística habitual: {}.", rule.1),
            ));
            return (usual.clone(), rule.0.to_owned());
        }
        Verdict::Refused(rule) => {
            notes.push(note(
                format!("Your usual Eucharistic Prayer is not taken today: {}.", rule.0),
                format!("Hoy no se toma su Plegaria eucarística habitual: {}.", rule.1),
            ));
        }
    }
    let third = Place::new("order/prayer/3");
    let second = Place::new("order/prayer/2");
    let next = [Some(settings.sunday_prayer.clone()), third, second];
    let fits = |p: &Place| matches!(verdict_of(p), Verdict::Fits(_));
    let other = next.into_iter().flatten().find(fits).unwrap_or_else(|| usual.clone());
    let reason = verdict_of(&other).reason().to_owned();
    (other, reason)
}

/// What else might be said, for the notes.
fn others(prayer: &Place, mass: &Mass, allowed: &Allowed) -> Option<Titles> {
    let names: Vec<Rule> = PRAYERS
        .iter()
        .filter(|p| **p != prayer.as_str())
        .filter_map(|p| Some((p, Place::new(p)?)))
        .filter(|(_, place)| matches!(verdict(place, mass, allowed), Verdict::Fits(_)))
        .map(|(p, _)| short_name(p))
        .collect();
    let listed =
        |pick: fn(&Rule) -> &'static str| names.iter().map(pick).collect::<Vec<_>>().join(", ");
    (!names.is_empty()).then(|| {
        note(
            format!("Eucharistic Prayers that also fit: {}.", listed(|n| n.0)),
            format!("También convienen las Plegarias eucarísticas: {}.", listed(|n| n.1)),
        )
    })
}

fn short_name(prayer: &str) -> Rule {
    match prayer {
        "order/prayer/1" => ("I", "I"),
        "order/prayer/2" => ("II", "II"),
        "order/prayer/3" => ("III", "III"),
        "order/prayer/4" => ("IV", "IV"),
        "order/prayer/reconciliation-1" => ("Reconciliation I", "Reconciliación I"),
        "order/prayer/reconciliation-2" => ("Reconciliation II", "Reconciliación II"),
        "order/prayer/needs-1" => ("Various Needs I", "diversas circunstancias I"),
        "order/prayer/needs-2" => ("Various Needs II", "diversas circunstancias II"),
        "order/prayer/needs-3" => ("Various Needs III", "diversas circunstancias III"),
        _ => ("Various Needs IV", "diversas circunstancias IV"),
    }
}

/// The prefaces that go with `prayer`.
fn with_prayer(prayer: &Place, mass: &Mass, allowed: Allowed) -> Allowed {
    let only_its_own = |reason: &str| Allowed {
        places: vec![prayer.clone()],
        besides: vec![],
        bound: allowed.bound,
        reason: reason.to_owned(),
    };
    match prayer.as_str() {
        "order/prayer/4" => only_its_own(
            "Order of Mass 116, GIRM 365d: Eucharistic Prayer IV and its preface are one",
        ),
        p if p.starts_with("order/prayer/needs") => {
            only_its_own("the prayer for Various Needs has its own preface")
        }
        p if p.starts_with("order/prayer/reconciliation") => {
            with_reconciliation(prayer, mass, allowed)
        }
        "order/prayer/2" if allowed.bound == Bound::Free && !mass.is_festive() => {
            with_second(prayer, allowed)
        }
        _ => allowed,
    }
}

/// The prayers for Reconciliation keep their own preface or take one of penance: those of Lent.
fn with_reconciliation(prayer: &Place, mass: &Mass, mut allowed: Allowed) -> Allowed {
    match allowed.bound {
        Bound::Free => {
            let lent = ["lent-1", "lent-2", "lent-3", "lent-4"];
            allowed.besides =
                lent.iter().filter_map(|n| Place::new(&format!("order/preface/{n}"))).collect();
            allowed.places = vec![prayer.clone()];
            allowed.reason =
                "the prayer for Reconciliation has its own preface; one of penance may be taken"
                    .into();
        }
        Bound::Season if !mass.is_sunday() && !in_passiontide(mass) => {
            allowed.places.push(prayer.clone());
            allowed.reason += "; or the prayer’s own preface";
        }
        Bound::Season | Bound::Day => {}
    }
    allowed
}

/// The second prayer offers its own preface where only common ones would be taken.
fn with_second(prayer: &Place, mut allowed: Allowed) -> Allowed {
    let common = |p: &Place| p.as_str().starts_with("order/preface/common");
    if allowed.places.first().is_some_and(common) {
        allowed.places.insert(0, prayer.clone());
        allowed.reason = format!(
            "GIRM 365b: Eucharistic Prayer II has its own preface, or others may be taken; {}",
            allowed.reason
        );
    } else {
        allowed.besides.push(prayer.clone());
    }
    allowed
}
