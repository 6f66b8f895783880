//! Puts it together: the chosen Mass, its service order and the rules become the needs of a service.

use super::blessing;
use super::formulary::{Formulary, Part, Sequence};
use super::mass::{self, Mass};
use super::missal::Missal;
use super::orders;
use super::prayer;
use super::preface::{self, Allowed};
use super::rubrics::{Grounds, Rubrics, rubrics};
use super::service_order::{Moment, ServiceOrder, Step, Text};
use super::settings::{DayChoices, Settings};
use super::texts::{Found, Sources};
use super::{Candidate, Need, Service, Stand};
use crate::Result;
use crate::calendar::Day;
use crate::error::OrderFault;
use crate::language::Titles;
use crate::place::Place;

/// The needs of a Mass on `day`, in the order of the service.
///
/// `choice` is the Mass: one of the day's celebrations, one of its forms (`…/nativity/night`,
/// `…/palm-sunday/simple-entrance`), or another Mass of the book that the day permits. Without it, the
/// choice settled for the date in `settings`, or the first of the day's celebrations. The Mass of an
/// evening that belongs to tomorrow is asked for with tomorrow's day.
pub fn service(day: &Day, choice: Option<&Place>, settings: &Settings) -> Result<Service> {
    let none = DayChoices::default();
    let choices = settings.days.get(&day.date).unwrap_or(&none);
    let missal = Missal::shipped()?;
    let mass = mass::choose(day, choice, choices, missal)?;
    let order = orders::serving(&mass.asked)?;
    let formulary = mass::formulary_of(order.texts.as_ref().unwrap_or(&mass.asked))?;
    let sources =
        Sources { mass: &mass, formulary, outline: missal.outline(), missal, settings, choices };
    Making { mass: &mass, order, formulary, missal, settings, choices, sources }.service()
}

/// Everything a service is made from.
struct Making<'a> {
    mass: &'a Mass<'a>,
    order: &'static ServiceOrder,
    formulary: Option<&'static Formulary>,
    missal: Missal,
    settings: &'a Settings,
    choices: &'a DayChoices,
    sources: Sources<'a>,
}

/// What the rules chose for the altar.
struct AtTheAltar {
    preface: Found,
    prayer: Found,
    blessing: Found,
    /// Words printed apart from the prayer.
    inserts: Option<Need>,
}

impl Making<'_> {
    fn service(&self) -> Result<Service> {
        let grounds = Grounds {
            mass: self.mass,
            formulary: self.formulary,
            order: self.order,
            settings: self.settings,
            choices: self.choices,
        };
        let mut notes = self.mass.notes.clone();
        notes.extend(self.order.notes.iter().cloned());
        notes.extend(self.formulary.and_then(|f| f.note.clone()));
        notes.extend(self.sequence());
        let (rubrics, by_hand) = rubrics(&grounds)?;
        notes.extend(by_hand);
        let altar = self.at_the_altar(&mut notes);
        notes.extend(self.option_notes(&rubrics));
        let mut needs = Vec::new();
        self.steps(&self.order.steps, &[], &rubrics, &altar, &mut needs)?;
        let after_prayer = needs.iter().position(|n: &Need| n.moment == "eucharistic-prayer");
        if let Some(at) = after_prayer {
            close_at(self.settings.closing, needs.get_mut(at..).unwrap_or_default());
        }
        Ok(Service { celebration: self.mass.title.clone(), needs, notes })
    }

    fn sequence(&self) -> Option<String> {
        Some(match self.formulary?.sequence? {
            Sequence::Obligatory => {
                "The sequence is sung or said before the Alleluia; its text is in the lectionary (GIRM 64).".into()
            }
            Sequence::Optional => {
                "There is a sequence, which is optional; its text is in the lectionary (GIRM 64).".into()
            }
        })
    }

    fn at_the_altar(&self, notes: &mut Vec<String>) -> AtTheAltar {
        let allowed = preface::allowed(self.mass, self.formulary, self.order, self.missal);
        let chosen = prayer::choose(
            self.mass,
            allowed,
            self.order.prayer.as_ref(),
            self.settings,
            self.choices,
        );
        let preface = self.preface(&chosen.preface, notes);
        notes.extend(chosen.notes);
        let inserts = self.inserts(&chosen.prayer, notes);
        AtTheAltar {
            inserts,
            preface,
            prayer: self.found(&[self.chant(chosen.prayer)], chosen.reason),
            blessing: self.blessing(),
        }
    }

    fn found(&self, places: &[Place], reason: String) -> Found {
        let places = places.iter().map(|p| self.missal.candidate(p.clone())).collect();
        Found { places, reason, together: None }
    }

    /// The preface chosen for the date, or those allowed with the priest's favourites first.
    fn preface(&self, allowed: &Allowed, notes: &mut Vec<String>) -> Found {
        if let Some(chosen) = &self.choices.preface {
            if !allowed.places.contains(chosen) {
                notes.push(format!(
                    "Against the rule, by your choice for this day: another preface than {}.",
                    allowed.reason
                ));
            }
            return self.found(std::slice::from_ref(chosen), "chosen for this day".into());
        }
        let liked = self.settings.prefaces.iter().filter(|p| allowed.places.contains(p));
        let mut places: Vec<Place> = liked.cloned().collect();
        places
            .extend(allowed.places.iter().filter(|p| !self.settings.prefaces.contains(p)).cloned());
        if !self.settings.nearest_preface {
            places.truncate(1);
        }
        self.found(&places, allowed.reason.clone())
    }

    /// The sung form of a prayer, where the book prints it apart.
    fn chant(&self, prayer: Place) -> Place {
        let number = prayer.as_str().strip_prefix("order/prayer/");
        let sung = number.and_then(|n| Place::new(&format!("order/chant/prayer-{n}")));
        match sung {
            Some(sung) if self.settings.sung_prayer && self.missal.knows(&sung) => sung,
            _ => prayer,
        }
    }

    fn blessing(&self) -> Found {
        let reason = "Order of Mass 142, GIRM 167: optional".to_owned();
        match &self.choices.blessing {
            Some(chosen) => {
                self.found(std::slice::from_ref(chosen), format!("chosen for this day; {reason}"))
            }
            None => self.found(&blessing::fitting(self.mass, self.formulary), reason),
        }
    }

    /// The day's words in the Eucharistic Prayer: a need where they are printed with the Mass, a note
    /// where they stand inside the prayer.
    fn inserts(&self, prayer: &Place, notes: &mut Vec<String>) -> Option<Need> {
        let inserts: Vec<_> = self
            .formulary
            .iter()
            .flat_map(|f| &f.inserts)
            .filter(|i| i.prayers.contains(prayer))
            .collect();
        let inside: Vec<&str> =
            inserts.iter().filter(|i| i.at == *prayer).map(|i| insert_title(&i.name)).collect();
        if !inside.is_empty() {
            notes.push(format!(
                "Within the Eucharistic Prayer, the form of the day: {}.",
                inside.join(", ")
            ));
        }
        let apart = inserts.iter().find(|i| i.at != *prayer)?;
        let rite = |place: &Place| self.missal.part(place.clone(), Part::Rite);
        Some(Need {
            moment: "inserts".into(),
            title: Titles {
                en: "Words for the Eucharistic Prayer".into(),
                es: Some("Embolismos de la plegaria eucarística".into()),
                la: Some("Formulae propriae in prece eucharistica".into()),
            },
            places: vec![rite(&apart.at)],
            stand: Stand::Altar,
            weight: 5,
            reason: "printed with this Mass, said within the Eucharistic Prayer".into(),
            by_heart: false,
            together: None,
        })
    }

    /// What may be done or left out, one sentence for each option.
    fn option_notes(&self, rubrics: &Rubrics) -> Vec<String> {
        let options = self.order.options.iter();
        let sentence = |o: &super::service_order::ServiceOption| {
            let done = if rubrics.holds(&o.option) == Some(true) { "taken in" } else { "left out" };
            format!("{}: {done}; may be changed for the day ({}).", o.title.en, o.reason)
        };
        options.map(sentence).collect()
    }

    fn steps(
        &self,
        steps: &[Step],
        without: &[String],
        rubrics: &Rubrics,
        altar: &AtTheAltar,
        needs: &mut Vec<Need>,
    ) -> Result<()> {
        for step in steps {
            match step {
                Step::Part(_) => {}
                Step::AsUsual { part, without } => {
                    let borrowed = orders::usual_part(part)?;
                    self.steps(borrowed, without, rubrics, altar, needs)?;
                }
                Step::Moment(moment) if without.contains(&moment.moment) => {}
                Step::Moment(moment) => {
                    if self.happens(moment, rubrics)? {
                        needs.push(self.need(moment, rubrics, altar)?);
                        if moment.text == Text::Prayer {
                            needs.extend(altar.inserts.clone());
                        }
                    }
                }
            }
        }
        Ok(())
    }

    fn happens(&self, moment: &Moment, rubrics: &Rubrics) -> Result<bool> {
        for condition in &moment.when {
            match rubrics.holds(condition) {
                Some(true) => {}
                Some(false) => return Ok(false),
                None => {
                    let said = format!(
                        "moment {} asks for the unknown condition {condition}",
                        moment.moment
                    );
                    return Err(
                        OrderFault::BrokenOrder { order: self.order.name.clone(), said }.into()
                    );
                }
            }
        }
        Ok(true)
    }

    fn need(&self, moment: &Moment, rubrics: &Rubrics, altar: &AtTheAltar) -> Result<Need> {
        let found = self.text(moment, altar)?;
        let asked = moment.when.iter().find(|c| !c.starts_with('!'));
        let rule = asked.and_then(|c| rubrics.reason(c)).unwrap_or_default();
        let parts = [moment.reason.as_str(), found.reason.as_str(), rule];
        let mut reasons: Vec<&str> = Vec::new();
        for part in parts {
            if !part.is_empty() && !reasons.contains(&part) {
                reasons.push(part);
            }
        }
        Ok(Need {
            moment: moment.moment.clone(),
            title: moment.title.clone(),
            by_heart: self.by_heart(moment, &found.places),
            places: found.places,
            stand: moment.stand,
            weight: moment.weight,
            reason: reasons.join("; "),
            together: found.together.map(str::to_owned),
        })
    }

    fn text(&self, moment: &Moment, altar: &AtTheAltar) -> Result<Found> {
        Ok(match &moment.text {
            Text::At(places) => self.begin(self.found(places, String::new()), moment.pages_in),
            Text::Own(Part::OverPeople) => match &self.choices.blessing {
                Some(chosen) => {
                    self.found(std::slice::from_ref(chosen), "chosen for this day".into())
                }
                None => self.sources.find(Part::OverPeople),
            },
            Text::Own(part) => self.sources.find(*part),
            Text::Under(step) => {
                self.begin(self.found(&[self.under(step)?], String::new()), moment.pages_in)
            }
            Text::Preface => altar.preface.clone(),
            Text::Prayer => altar.prayer.clone(),
            Text::Blessing => altar.blessing.clone(),
        })
    }

    /// The same texts, beginning some pages into their places.
    fn begin(&self, mut found: Found, pages_in: u16) -> Found {
        for candidate in &mut found.places {
            candidate.pages_in = pages_in;
        }
        found
    }

    /// A section printed with the Mass: under its own place, or beside it under the same heading.
    fn under(&self, step: &str) -> Result<Place> {
        let base = self.mass.place.as_str();
        let heading = base.rsplit_once('/').map_or(base, |(above, _)| above);
        let paths = [base, heading].map(|b| Place::new(&format!("{b}/{step}")));
        paths.into_iter().flatten().find(|p| self.missal.knows(p)).ok_or_else(|| {
            let said = format!("no section \"{step}\" is printed with {base}");
            OrderFault::BrokenOrder { order: self.order.name.clone(), said }.into()
        })
    }

    fn by_heart(&self, moment: &Moment, places: &[Candidate]) -> bool {
        let named = |list: &[String]| {
            list.iter().any(|name| {
                *name == moment.moment || places.first().is_some_and(|p| p.place.as_str() == name)
            })
        };
        let whole_prayer = matches!(moment.text, Text::Preface | Text::Prayer);
        let usual = moment.by_heart && !whole_prayer;
        !named(&self.settings.from_the_book) && (usual || named(&self.settings.by_heart))
    }
}

/// The usual name of an insert.
fn insert_title(name: &str) -> &str {
    match name {
        "communicantes" => "Communicantes",
        "hanc-igitur" => "Hanc igitur",
        "qui-pridie" => "Qui pridie",
        other => other,
    }
}

/// The prayers after Communion are said at the chair or at the altar (GIRM 165).
fn close_at(closing: Stand, needs: &mut [Need]) {
    for need in needs.iter_mut().filter(|n| n.stand == Stand::Chair) {
        need.stand = closing;
    }
}
