//! Puts it together: the chosen Mass, its service order and the rules become the needs of a service.

use super::altar::{Altar, altar};
use super::check;
use super::formulary::{Formulary, Part};
use super::mass::{self, Mass, MassKind};
use super::missal::Missal;
use super::notes;
use super::orders;
use super::printed::formulary_of;
use super::rubrics::{Grounds, Rubrics, rubrics};
use super::service_order::{Moment, ServiceOrder, Step, Text};
use super::settings::{DayChoices, Settings};
use super::texts::{Found, Sources};
use super::{Candidate, Need, Said, Service, Stand};
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
///
/// ```
/// use vitta::calendar::Calendar;
/// use vitta::language::Language;
/// use vitta::order::{Settings, service};
///
/// let joseph = "2027-03-19".parse().expect("a date");
/// let day = Calendar::shipped("general")?.day(joseph, Language::En)?;
/// let mass = service(&day, None, &Settings::default())?;
/// let preface = mass.needs.iter().find(|n| n.moment == "preface").expect("a preface");
/// assert_eq!(preface.places[0].place.as_str(), "saints/03-19/joseph/preface");
/// # Ok::<(), vitta::Error>(())
/// ```
pub fn service(day: &Day, choice: Option<&Place>, settings: &Settings) -> Result<Service> {
    let none = DayChoices::default();
    let choices = settings.days.get(&day.date).unwrap_or(&none);
    let missal = Missal::shipped()?;
    check::places(settings, choices, missal)?;
    let mass = mass::choose(day, choice, choices, missal)?;
    let order = orders::serving(mass.rite.as_ref().unwrap_or(&mass.asked))?;
    let texts = order.texts.as_ref().filter(|_| mass.rite.is_none());
    let formulary = formulary_of(texts.unwrap_or(&mass.asked), day.nation.as_deref())?;
    let making = Making { mass: &mass, order, formulary, missal, settings, choices };
    making.service()
}

/// Everything a service is made from.
pub(super) struct Making<'a> {
    pub(super) mass: &'a Mass<'a>,
    pub(super) order: &'static ServiceOrder,
    pub(super) formulary: Option<&'static Formulary>,
    pub(super) missal: Missal,
    pub(super) settings: &'a Settings,
    pub(super) choices: &'a DayChoices,
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
        let (rubrics, by_hand) = rubrics(&grounds)?;
        let altar = altar(self)?;
        let mut needs = Vec::new();
        self.steps(&self.order.steps, &[], &rubrics, &altar, &mut needs)?;
        let is_mass = needs.iter().any(|n: &Need| n.moment == "eucharistic-prayer");
        let altar_notes = if is_mass { altar.notes } else { vec![] };
        let notes = notes::notes(self, &rubrics, by_hand, altar_notes)?;
        close_at(self.settings.closing, &mut needs);
        bind(self.settings, &mut needs);
        // An order that serves several addresses, the Vigil's also Holy Saturday's, goes by its first.
        let by_order = self.order.serves.first().filter(|_| self.is_titled_by_order());
        let mass = by_order.unwrap_or(&self.mass.asked).clone();
        let said = self.said(&mass, &rubrics, is_mass);
        Ok(Service { mass, celebration: self.title(), said, needs, notes })
    }

    /// What is said at `address`: on the evening before it may be another celebration's, as the Vigil on Holy
    /// Saturday is Easter's.
    fn said(&self, address: &Place, rubrics: &Rubrics, is_mass: bool) -> Said {
        let mass = self.mass;
        let mut evening = mass.day.evening.iter().flat_map(|e| &e.masses);
        let vigil = evening.find(|m| m.vigil.as_ref() == Some(address)).map(|m| &m.celebration);
        let of_the_day = matches!(mass.kind, MassKind::OfTheDay | MassKind::Commemoration);
        let holds = |condition| is_mass && rubrics.holds(condition) == Some(true);
        let own_order = self.is_titled_by_order().then(|| self.order.title.clone());
        let note = self.formulary.and_then(|f| f.note.clone());
        Said {
            kind: mass.kind,
            rank: of_the_day.then_some(mass.rank),
            colours: vigil.map_or_else(|| mass.colours.clone(), |c| vec![c.colour]),
            gloria: holds("gloria"),
            creed: holds("creed"),
            sequence: self.formulary.and_then(|f| f.sequence),
            special: own_order.into_iter().chain(note).chain(mass.notes.iter().cloned()).collect(),
        }
    }

    /// The title of the order where it is one kind of service by itself, else of the Mass.
    fn title(&self) -> Titles {
        let titled = if self.is_titled_by_order() { &self.order.title } else { &self.mass.title };
        titled.clone()
    }

    fn is_titled_by_order(&self) -> bool {
        self.mass.rite.is_none() && self.order.serves.contains(&self.mass.asked)
    }

    fn steps(
        &self,
        steps: &[Step],
        without: &[String],
        rubrics: &Rubrics,
        altar: &Altar,
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
                Step::Moment(moment) if self.happens(moment, rubrics)? => {
                    needs.push(self.need(moment, rubrics, altar)?);
                    if moment.text == Text::Prayer {
                        needs.extend(altar.inserts.iter().cloned());
                    }
                }
                Step::Moment(_) => {}
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
                    let name = &moment.moment;
                    let said = format!("moment {name} asks for the unknown condition {condition}");
                    return Err(self.broken(said));
                }
            }
        }
        Ok(true)
    }

    fn broken(&self, said: String) -> crate::Error {
        OrderFault::BrokenOrder { order: self.order.name.clone(), said }.into()
    }

    fn need(&self, moment: &Moment, rubrics: &Rubrics, altar: &Altar) -> Result<Need> {
        let found = self.text(moment, altar)?;
        let condition = moment.when.iter().find(|c| !c.starts_with('!'));
        let rule = condition.and_then(|c| rubrics.reason(c)).unwrap_or_default();
        Ok(Need {
            moment: moment.moment.clone(),
            title: moment.title.clone(),
            by_heart: self.by_heart(moment, &found.places),
            from: moment.from.clone(),
            on_sheet: false,
            no_ribbon: false,
            places: found.places,
            stand: moment.stand,
            weight: moment.weight,
            optional: self.is_optional(moment),
            reason: joined(&[&moment.reason, &found.reason, rule]),
            together: found.together.map(str::to_owned),
        })
    }

    fn text(&self, moment: &Moment, altar: &Altar) -> Result<Found> {
        Ok(match &moment.text {
            Text::At(places) => begin(self.found(places, ""), moment.pages_in),
            Text::Own(Part::OverPeople) if self.choices.blessing.is_some() => {
                altar.blessing.clone()
            }
            Text::Own(part) if moment.pages_in > 0 => {
                begin(self.sources().find(*part), moment.pages_in)
            }
            Text::Own(part) => self.sources().find(*part),
            Text::Under(step) => begin(self.found(&[self.under(step)?], ""), moment.pages_in),
            Text::Preface => altar.preface.clone(),
            Text::Prayer => altar.prayer.clone(),
            Text::Blessing => altar.blessing.clone(),
        })
    }

    fn sources(&self) -> Sources<'_> {
        Sources {
            mass: self.mass,
            formulary: self.formulary,
            missal: self.missal,
            settings: self.settings,
            choices: self.choices,
        }
    }

    pub(super) fn found(&self, places: &[Place], reason: &str) -> Found {
        let places = places.iter().map(|p| self.missal.candidate(p.clone())).collect();
        Found { places, reason: reason.to_owned(), together: None }
    }

    /// A section printed with the Mass or the rite: under its own place, or beside it under the same
    /// heading.
    fn under(&self, step: &str) -> Result<Place> {
        let base = self.mass.rite.as_ref().unwrap_or(&self.mass.place).as_str();
        let heading = base.rsplit_once('/').map_or(base, |(above, _)| above);
        let paths = [base, heading].map(|b| Place::new(&format!("{b}/{step}")));
        let known = paths.into_iter().flatten().find(|p| self.missal.knows(p));
        known.ok_or_else(|| self.broken(format!("no section \"{step}\" is printed with {base}")))
    }

    /// What may be left out whatever the day, and the prayer over the people on weekdays of Lent; what was chosen
    /// for the day is no longer open.
    fn is_optional(&self, moment: &Moment) -> bool {
        let name = moment.moment.as_str();
        let blessing = ["over-people", "solemn-blessing"].contains(&name);
        let chosen = self.choices.set.contains_key(name);
        let chosen = chosen || (blessing && self.choices.blessing.is_some());
        let lenten = ["time/lent/week", "time/holy-week"];
        let asked = self.mass.asked.as_str();
        let weekday = !self.mass.is_sunday() && lenten.iter().any(|p| asked.starts_with(p));
        let may_be = name == "over-people" && weekday;
        !chosen && (moment.optional || may_be)
    }

    /// By the priest's word on the moment or the place; else as the order says for fixed texts.
    fn by_heart(&self, moment: &Moment, places: &[Candidate]) -> bool {
        let named = |list: &[String]| {
            list.iter().any(|name| {
                *name == moment.moment || places.first().is_some_and(|p| p.place.as_str() == name)
            })
        };
        !named(&self.settings.from_the_book) && (moment.by_heart || named(&self.settings.by_heart))
    }
}

/// Reasons in one line, each once.
fn joined(parts: &[&str]) -> String {
    let mut reasons: Vec<&str> = Vec::new();
    for part in parts {
        if !part.is_empty() && !reasons.contains(part) {
            reasons.push(part);
        }
    }
    reasons.join("; ")
}

/// The same texts, beginning some pages into their places.
fn begin(mut found: Found, pages_in: u16) -> Found {
    for candidate in &mut found.places {
        candidate.pages_in = pages_in;
    }
    found
}

/// What follows Communion is said at the chair or at the altar (GIRM 165).
fn close_at(closing: Stand, needs: &mut [Need]) {
    let after = needs.iter_mut().skip_while(|n| n.moment != "eucharistic-prayer");
    for need in after.filter(|n| n.stand == Stand::Chair) {
        need.stand = closing;
    }
}

/// What the parish reads from sheets, and what it lays no ribbon for.
fn bind(settings: &Settings, needs: &mut [Need]) {
    for need in needs {
        let named = |list: &[String]| {
            let is = |name: &String| {
                *name == need.moment
                    || need.places.first().is_some_and(|p| p.place.as_str() == name)
            };
            list.iter().any(is)
        };
        (need.on_sheet, need.no_ribbon) = (named(&settings.on_sheet), named(&settings.no_ribbon));
    }
}
