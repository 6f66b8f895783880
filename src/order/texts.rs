//! Where the prayers of the Mass itself are: its own, from a Common, from the weekday.
//!
//! GIRM 363: a memorial has at least its own Collect; the Prayer over the Offerings and the Prayer after
//! Communion, where they are not its own, come from the Common or from the weekday. On weekdays in
//! Ordinary Time the prayers of any Sunday in Ordinary Time may be taken.

use super::Candidate;
use super::formulary::masses_of;
use super::formulary::{Formulary, Part};
use super::mass::{Mass, MassKind, Unprinted};
use super::missal::Missal;
use super::printed::{SATURDAY_OF_MARY, printed_at};
use super::settings::{DayChoices, MemorialPrayers, Settings};
use crate::calendar::Season;
use crate::place::Place;

/// Where a text is, by which rule.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) places: Vec<Candidate>,
    pub(super) reason: String,
    /// Texts found at the same place together: take the same candidate for all of them.
    pub(super) together: Option<&'static str>,
}

/// What decides where the Mass's texts are.
pub(super) struct Sources<'a> {
    pub(super) mass: &'a Mass<'a>,
    pub(super) formulary: Option<&'a Formulary>,
    pub(super) missal: Missal,
    pub(super) settings: &'a Settings,
    pub(super) choices: &'a DayChoices,
}

impl Sources<'_> {
    /// The places of `part`, the preferred first; never empty.
    pub(super) fn find(&self, part: Part) -> Found {
        if part == Part::Collect
            && let Some(found) = self.collect_from_elsewhere()
        {
            return found;
        }
        if let Some(rite) = self.mass.rite.as_ref().filter(|_| part == Part::Rite) {
            return self.at_each(
                std::slice::from_ref(rite),
                part,
                "printed with the rite".into(),
                None,
            );
        }
        if self.is_ordinary_weekday() {
            return self.ordinary_weekday(part);
        }
        if self.mass.asked.as_str() == SATURDAY_OF_MARY {
            let reason =
                "GIRM 378: the Saturday memorial, from the Common of the Blessed Virgin Mary";
            return self.at_each(&self.commons(), part, reason.into(), Some("mass"));
        }
        let unprinted = self.mass.unprinted.as_ref().filter(|_| self.mass.collect.is_none());
        if let Some(found) = unprinted.and_then(|u| self.in_a_proper(u, part)) {
            return found;
        }
        if self.is_own(part) {
            let reason = match self.mass.kind {
                MassKind::OfTheDay if self.mass.is_memorial() => "GIRM 363: its own texts",
                MassKind::Commemoration => "GIRM 355a: the texts of the weekday",
                _ => "the texts of this Mass",
            };
            return self.at_each(std::slice::from_ref(&self.mass.place), part, reason.into(), None);
        }
        self.common_or_weekday(part)
    }

    /// What the proper of a nation, diocese or order prints: of a memorial its Collect, else all. A Common
    /// stands in for it.
    fn in_a_proper(&self, unprinted: &Unprinted, part: Part) -> Option<Found> {
        if self.mass.is_memorial() && part != Part::Collect {
            return None;
        }
        let places: Vec<Place> =
            [unprinted.place.clone()].into_iter().chain(self.commons()).collect();
        let reason = "the proper of the nation, diocese or order; GIRM 363: or from a Common";
        let together = if self.mass.is_memorial() { None } else { Some("proper") };
        Some(self.at_each(&places, part, reason.into(), together))
    }

    fn at_each(
        &self,
        places: &[Place],
        part: Part,
        reason: String,
        together: Option<&'static str>,
    ) -> Found {
        let places: Vec<_> = places.iter().map(|p| self.candidate(p, part)).collect();
        let together = together.filter(|_| places.len() > 1);
        Found { places, reason, together }
    }

    fn candidate(&self, place: &Place, part: Part) -> Candidate {
        let mut candidate = self.missal.part(place.clone(), part);
        if let Some(unprinted) = self.mass.unprinted.as_ref().filter(|u| u.place == *place) {
            candidate.title = unprinted.title.clone();
        }
        candidate
    }

    /// The Collect of a commemorated saint, or the one chosen for the date.
    fn collect_from_elsewhere(&self) -> Option<Found> {
        let (place, reason) = match (&self.choices.collect, &self.mass.collect) {
            (Some(place), _) => (place, "chosen for this day; GIRM 355, 363"),
            (None, Some(place)) => {
                (place, "GIRM 355a: of a memorial on this weekday only the Collect is taken")
            }
            (None, None) => return None,
        };
        let mut places = vec![place.clone()];
        // The Collect of a proper that is not here: a Common's may stand in for it.
        if self.choices.collect.is_none() && self.mass.unprinted.is_some() {
            let (season, outline) = (self.mass.day.season, self.missal.outline());
            places.extend(masses_of(&self.mass.commons, season, outline));
        }
        Some(self.at_each(&places, Part::Collect, reason.into(), None))
    }

    fn is_ordinary_weekday(&self) -> bool {
        self.mass.kind == MassKind::OfTheDay
            && self.mass.asked.is_under("time/ordinary")
            && !self.mass.asked.as_str().ends_with("/sunday")
            && self.mass.asked.as_str().contains("/week-")
    }

    fn ordinary_weekday(&self, part: Part) -> Found {
        let (place, reason) = match &self.choices.prayers {
            Some(place) => (place.clone(), "chosen for this day; GIRM 363"),
            None => match self.remembered() {
                Some(place) => (
                    place,
                    "GIRM 363: from any Sunday in Ordinary Time; the one you took earlier this week",
                ),
                None => (
                    self.mass.place.clone(),
                    "GIRM 363: from any Sunday in Ordinary Time; suggested is that of the week",
                ),
            },
        };
        self.at_each(&[place], part, reason.into(), None)
    }

    /// The prayers settled for the latest earlier day of the same week.
    fn remembered(&self) -> Option<Place> {
        use chrono::Datelike;
        let today = self.mass.day.date;
        let sunday = today - chrono::Days::new(u64::from(today.weekday().num_days_from_sunday()));
        let days = self.settings.days.range(sunday..today);
        days.rev().find_map(|(_, choices)| choices.prayers.clone())
    }

    /// Whether the Mass has `part` of its own. Without an entry, a Mass whose heading takes less than
    /// a page has its Collect only, as the Proper of Saints is laid out.
    fn is_own(&self, part: Part) -> bool {
        if let Some(formulary) = self.formulary {
            let weekday_part = part == Part::OverPeople || part == Part::Rite;
            return weekday_part
                || formulary.own.contains(&part)
                || self.commons().is_empty() && !self.mass.is_memorial();
        }
        let full = self.missal.outline().get(&self.mass.place).is_some_and(|p| p.pages >= 1.0);
        part == Part::Collect || full || self.mass.commons.is_empty()
    }

    fn commons(&self) -> Vec<Place> {
        if let Some(common) = &self.choices.common {
            return vec![common.clone()];
        }
        let season = self.mass.day.season;
        if let Some(formulary) = self.formulary.filter(|f| !f.commons.is_empty()) {
            return formulary.commons_in(season, self.missal.outline());
        }
        if self.mass.asked.as_str() == SATURDAY_OF_MARY {
            return of_mary(season);
        }
        if self.formulary.is_some() {
            return vec![];
        }
        masses_of(&self.mass.commons, season, self.missal.outline())
    }

    fn common_or_weekday(&self, part: Part) -> Found {
        let weekday = self.weekday();
        let commons = self.commons();
        if self.choices.common.is_some() || weekday.is_none() {
            let reason = "GIRM 363: from the Common".to_owned();
            let places = if commons.is_empty() { vec![self.mass.place.clone()] } else { commons };
            return self.at_each(&places, part, reason, Some("common"));
        }
        let first_common = self.settings.memorial_prayers == MemorialPrayers::Common;
        let mut places = commons;
        let at = if first_common { places.len() } else { 0 };
        places.splice(at..at, weekday);
        let reason = if first_common {
            "GIRM 363: not its own, so from the Common its heading names, or from the weekday"
        } else {
            "GIRM 363: not its own, so from the weekday, or from the Common its heading names"
        };
        self.at_each(&places, part, reason.into(), Some("common"))
    }

    /// Where the weekday's own prayers are, on a day that keeps something else.
    fn weekday(&self) -> Option<Place> {
        let day = self.mass.day;
        let weekday = day.celebrations.iter().find(|c| c.rank == crate::calendar::Rank::Weekday);
        let id = match weekday {
            Some(weekday) => weekday.id.clone(),
            None => by_date(self.mass)?,
        };
        let place = printed_at(&id);
        (self.mass.is_memorial() && self.missal.knows(&place)).then_some(place)
    }
}

/// The weekday's address from season and week, for a day on which the calendar offers no weekday.
fn by_date(mass: &Mass) -> Option<Place> {
    use chrono::Datelike;
    let names = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
    let name = names.get(mass.day.date.weekday().num_days_from_monday() as usize)?;
    let week = mass.day.week;
    Place::new(&match (mass.day.season, week) {
        (Season::Ordinary, Some(week)) => format!("time/ordinary/week-{week}/{name}"),
        (Season::Easter, Some(week)) => format!("time/easter/week-{week}/{name}"),
        (Season::Advent, _) if mass.day.date.month() == 12 && mass.day.date.day() >= 17 => {
            mass.day.date.format("time/advent/%m-%d").to_string()
        }
        (Season::Advent, Some(week)) => format!("time/advent/week-{week}/{name}"),
        (Season::Christmas, _) => format!("time/christmas/weekday/{name}"),
        _ => return None,
    })
}

/// The Common of the Blessed Virgin Mary in a season.
fn of_mary(season: Season) -> Vec<Place> {
    let names: Vec<String> = match season {
        Season::Advent => vec!["common/mary/advent".into()],
        Season::Christmas => vec!["common/mary/christmas".into()],
        Season::Easter => vec!["common/mary/easter".into()],
        _ => (1..=8).map(|n| format!("common/mary/ordinary/{n}")).collect(),
    };
    names.iter().filter_map(|n| Place::new(n)).collect()
}
