//! Which Mass is said: the day's by default, a form of it, or another the day permits.
//!
//! Rules: General Instruction of the Roman Missal (GIRM) 353–355, 363, 372–381 and the Table of
//! Liturgical Days.

use super::missal::Missal;
use super::notes::note;
use super::orders;
use super::permission::{Permission, permission};
use super::printed::{formulary_of, named_masses, printed_at, printed_form, texts_at};
use super::settings::DayChoices;
use super::{colours, commons};
use crate::Result;
use crate::calendar::{Celebration, Colour, Day, Rank};
use crate::error::OrderFault;
use crate::language::{Language, Titles};
use crate::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What kind of Mass it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MassKind {
    /// A celebration of the day.
    OfTheDay,
    /// The weekday's Mass with the Collect of a saint (GIRM 355a).
    Commemoration,
    /// A ritual Mass.
    Ritual,
    /// A Mass for various needs.
    Needs,
    /// A votive Mass.
    Votive,
    /// A funeral Mass.
    Funeral,
    /// Another Mass for the dead.
    Dead,
    /// A saint the day does not have: any of the Martyrology for that day, or from a Common.
    OwnChoice,
}

/// A celebration whose own texts stand in the proper of a nation, a diocese or an order.
#[derive(Debug, Clone)]
pub(super) struct Unprinted {
    /// Its address.
    pub(super) place: Place,
    pub(super) title: Titles,
}

/// The Mass to be said.
#[derive(Debug, Clone)]
pub(super) struct Mass<'d> {
    pub(super) day: &'d Day,
    pub(super) kind: MassKind,
    pub(super) title: Titles,
    /// What was asked for: picks the service order.
    pub(super) asked: Place,
    /// Where its texts are printed.
    pub(super) place: Place,
    /// Where its Collect is printed, if elsewhere.
    pub(super) collect: Option<Place>,
    /// Set where no altar missal prints the celebration's own texts.
    pub(super) unprinted: Option<Unprinted>,
    /// The Commons that the celebration's calendar or title names, for what its formulary leaves open.
    pub(super) commons: Vec<Place>,
    /// Colours, the usual one first.
    pub(super) colours: Vec<Colour>,
    /// The ritual Mass whose rite is celebrated within it.
    pub(super) rite: Option<Place>,
    /// Rank of the celebration; of the day for a Mass that is not the day's.
    pub(super) rank: Rank,
    pub(super) notes: Vec<Titles>,
}

impl Mass<'_> {
    /// Sundays, solemnities, feasts.
    pub(super) fn is_festive(&self) -> bool {
        self.kind == MassKind::OfTheDay
            && matches!(
                self.rank,
                Rank::Sunday | Rank::Solemnity | Rank::FeastOfTheLord | Rank::Feast
            )
    }

    pub(super) fn is_sunday(&self) -> bool {
        use chrono::Datelike;
        self.day.date.weekday() == chrono::Weekday::Sun
    }

    pub(super) fn is_for_the_dead(&self) -> bool {
        matches!(self.kind, MassKind::Funeral | MassKind::Dead)
            || self.asked.is_under("saints/11-02/all-souls")
    }

    pub(super) fn is_memorial(&self) -> bool {
        matches!(self.rank, Rank::Memorial | Rank::OptionalMemorial)
    }
}

/// The Mass of `day` that was asked for, or its default.
pub(super) fn choose<'d>(
    day: &'d Day,
    asked: Option<&Place>,
    choices: &DayChoices,
    missal: Missal,
) -> Result<Mass<'d>> {
    let kept = day.kept().ok_or(OrderFault::EmptyDay { date: day.date })?;
    let Some(asked) = asked.or(choices.mass.as_ref()) else {
        return of_the_day(day, kept, kept, &kept.id, missal)?.with_rite(choices, missal);
    };
    let own = day
        .celebrations
        .iter()
        .find(|c| asked.is_under(c.id.as_str()) || *asked == printed_at(&c.id));
    let own = match own {
        None => named_by_the_day(day, asked)?,
        found => found,
    };
    match own {
        Some(celebration) => {
            of_the_day(day, kept, celebration, asked, missal)?.with_rite(choices, missal)
        }
        None if orders::serving(asked)?.on.iter().any(|p| kept.id.is_under(p.as_str())) => {
            of_the_day(day, kept, kept, asked, missal)
        }
        None => another(day, kept, asked, choices, missal),
    }
}

/// The celebration of the day that names `asked`, printed elsewhere, as its Mass.
fn named_by_the_day<'d>(day: &'d Day, asked: &Place) -> Result<Option<&'d Celebration>> {
    for celebration in &day.celebrations {
        if named_masses(&celebration.id, day.nation.as_deref())?.contains(asked) {
            return Ok(Some(celebration));
        }
    }
    Ok(None)
}

fn of_the_day<'d>(
    day: &'d Day,
    kept: &Celebration,
    celebration: &'d Celebration,
    asked: &Place,
    missal: Missal,
) -> Result<Mass<'d>> {
    let nation = day.nation.as_deref();
    let named = named_masses(&celebration.id, nation)?;
    let asked = match named.first() {
        Some(first) if *asked == celebration.id => first,
        _ => asked,
    };
    // All Souls has the rank of a commemoration too, on the third line: it is a Mass of its own.
    let collect_only = celebration.rank == Rank::Commemoration && celebration.line > 4;
    let (of, asked) = if collect_only { (kept, &kept.id) } else { (celebration, asked) };
    let title = match () {
        () if collect_only => commemorated(&kept.title, &celebration.title),
        () if *asked == celebration.id || named.contains(asked) => celebration.title.clone(),
        () => missal.title(asked),
    };
    let (place, of_the_mass) = printed_or_proper(asked, of, missal, day)?;
    let (collect, of_the_collect) = printed_or_proper(&celebration.id, celebration, missal, day)?;
    let unprinted = if collect_only { of_the_collect } else { of_the_mass };
    Ok(Mass {
        day,
        kind: if collect_only { MassKind::Commemoration } else { MassKind::OfTheDay },
        title,
        asked: asked.clone(),
        place,
        collect: collect_only.then_some(collect),
        unprinted,
        commons: commons_of(if collect_only { celebration } else { of }, nation)?,
        colours: colours::of_the_day(of, named.iter().position(|m| m == asked)),
        rite: None,
        // The Masses of the Triduum stand on the first line whatever the calendar calls the day.
        rank: if asked.is_under("time/triduum") { Rank::Solemnity } else { of.rank },
        notes: vec![],
    }
    .with_note_on_proper())
}

/// Where the texts of a celebration are, and whether no altar missal prints them: then it is the proper
/// of a nation, a diocese or an order, which this parish's book may have.
fn printed_or_proper(
    asked: &Place,
    celebration: &Celebration,
    missal: Missal,
    day: &Day,
) -> Result<(Place, Option<Unprinted>)> {
    let place = texts_at(asked, day.nation.as_deref())?
        .unwrap_or_else(|| printed_form(asked, missal, day.season));
    if missal.knows(&place) {
        return Ok((place, None));
    }
    if *asked != celebration.id {
        return Err(OrderFault::UnknownPlace { place }.into());
    }
    Ok((place.clone(), Some(Unprinted { place, title: celebration.title.clone() })))
}

/// The Commons that serve a celebration without a formulary: those its calendar names, else those its title
/// points to.
fn commons_of(celebration: &Celebration, nation: Option<&str>) -> Result<Vec<Place>> {
    if !celebration.id.is_under("saints") || formulary_of(&celebration.id, nation)?.is_some() {
        return Ok(vec![]);
    }
    Ok(match celebration.commons.as_slice() {
        [] => commons::by_title(&celebration.title.en),
        named => named.to_vec(),
    })
}

/// "Weekday, with the commemoration of …" in the languages that both titles have.
fn commemorated(weekday: &Titles, saint: &Titles) -> Titles {
    let join = |day: &Option<String>, words: &str, saint: &Option<String>| {
        Some(format!("{}{words}{}", day.as_ref()?, saint.as_ref()?))
    };
    Titles {
        en: format!("{}, with the commemoration of {}", weekday.en, saint.en),
        es: join(&weekday.es, ", con la conmemoración de ", &saint.es),
        la: join(&weekday.la, ", cum commemoratione: ", &saint.la),
    }
}

impl<'d> Mass<'d> {
    fn with_note_on_proper(mut self) -> Mass<'d> {
        if let Some(unprinted) = &self.unprinted {
            self.notes.push(note(
                format!(
                    "The texts of {} stand in a national or diocesan proper, perhaps a supplement of its \
                     own; without it, take a Common (GIRM 363).",
                    unprinted.title.en
                ),
                format!(
                    "Los textos de {} están en un propio nacional o diocesano, quizá en un suplemento; sin \
                     él, tome un Común (OGMR 363).",
                    unprinted.title.get(Language::Es)
                ),
            ));
        }
        self
    }

    /// The same Mass with the rite settled for the date within it.
    fn with_rite(mut self, choices: &DayChoices, missal: Missal) -> Result<Mass<'d>> {
        let Some(rite) = &choices.rite else { return Ok(self) };
        let own_order = !orders::serving(&self.asked)?.serves.is_empty();
        if own_order && !choices.mass_in_any_case {
            let reason =
                "this day's service has an order of its own, to which no other rite is joined";
            let asked = missal.title(rite).en;
            let fault = OrderFault::Barred { date: self.day.date, asked, reason: reason.into() };
            return Err(fault.into());
        }
        let title = &orders::serving(rite)?.title;
        self.notes.push(note(
            format!("Within the Mass of the day: {} (GIRM 372).", title.en),
            format!("Dentro de la misa del día: {} (OGMR 372).", title.get(Language::Es)),
        ));
        self.rite = Some(printed_form(rite, missal, self.day.season));
        Ok(self)
    }
}

fn another<'d>(
    day: &'d Day,
    kept: &Celebration,
    asked: &Place,
    choices: &DayChoices,
    missal: Missal,
) -> Result<Mass<'d>> {
    let kind = kind_of(asked).ok_or_else(|| not_this_day(day, kept, asked))?;
    let nation = day.nation.as_deref();
    let place = texts_at(asked, nation)?.unwrap_or_else(|| printed_form(asked, missal, day.season));
    if !missal.knows(&place) {
        return Err(OrderFault::UnknownPlace { place }.into());
    }
    let title = missal.title(asked);
    let formulary = formulary_of(asked, nation)?;
    // A saint of another calendar has no texts here either.
    let commons = match formulary {
        None if asked.is_under("saints") => commons::by_title(&title.en),
        _ => vec![],
    };
    let said = match permission(day, kept, kind, asked) {
        Permission::Free(reason) => note(
            format!("Not the Mass of the day: {}.", reason.0),
            format!("No es la misa del día: {}.", reason.1),
        ),
        Permission::Conditional(reason) => note(
            format!("Not the Mass of the day; only {}.", reason.0),
            format!("No es la misa del día; solo {}.", reason.1),
        ),
        Permission::Barred(reason) if choices.mass_in_any_case => note(
            format!("Against the rule, by your choice for this day: {}.", reason.0),
            format!("Contra la norma, por su elección para este día: {}.", reason.1),
        ),
        Permission::Barred((reason, _)) => {
            let reason = reason.to_owned();
            return Err(OrderFault::Barred { date: day.date, asked: title.en, reason }.into());
        }
    };
    Ok(Mass {
        day,
        kind,
        title,
        asked: asked.clone(),
        place,
        collect: None,
        unprinted: None,
        colours: colours::of_another(kind, asked, formulary, &commons, day),
        commons,
        rite: None,
        rank: kept.rank,
        notes: vec![said],
    })
}

/// A Mass of tomorrow's on today's evening belongs to tomorrow's day.
fn not_this_day(day: &Day, kept: &Celebration, asked: &Place) -> OrderFault {
    let masses = day.evening.iter().flat_map(|e| &e.masses);
    let evening = masses
        .filter(|m| m.of != day.date)
        .find(|m| asked.is_under(m.celebration.id.as_str()) || m.vigil.as_ref() == Some(asked));
    match evening {
        Some(mass) => OrderFault::EveningBefore { asked: asked.clone(), of: mass.of },
        None => OrderFault::NotThisDay {
            date: day.date,
            asked: asked.clone(),
            day: kept.title.en.clone(),
        },
    }
}

fn kind_of(asked: &Place) -> Option<MassKind> {
    let under = |section| asked.is_under(section);
    Some(match () {
        () if under("ritual") => MassKind::Ritual,
        () if under("needs") => MassKind::Needs,
        () if under("votive") => MassKind::Votive,
        () if under("dead/funeral") => MassKind::Funeral,
        () if under("dead") => MassKind::Dead,
        () if under("common") || under("saints") => MassKind::OwnChoice,
        () => return None,
    })
}
