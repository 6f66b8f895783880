//! Which Mass is said: the day's by default, a form of it, or another the day permits.
//!
//! Rules: General Instruction of the Roman Missal (GIRM) 353–355, 363, 372–381 and the Table of
//! Liturgical Days.

use super::formulary::Formulary;
use super::missal::Missal;
use super::orders;
use super::permission::{Permission, permission};
use super::settings::DayChoices;
use crate::Result;
use crate::calendar::{Celebration, Day, Rank};
use crate::error::OrderFault;
use crate::language::Titles;
use crate::place::Place;

/// What kind of Mass it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
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

/// The Mass to be said.
#[derive(Debug, Clone)]
pub(super) struct Mass<'d> {
    pub(super) day: &'d Day,
    pub(super) kind: Kind,
    pub(super) title: Titles,
    /// What was asked for: picks the service order.
    pub(super) asked: Place,
    /// Where its texts are printed.
    pub(super) place: Place,
    /// Where its Collect is printed, if elsewhere.
    pub(super) collect: Option<Place>,
    /// The ritual Mass whose rite is celebrated within it.
    pub(super) rite: Option<Place>,
    /// Rank of the celebration; of the day for a Mass that is not the day's.
    pub(super) rank: Rank,
    pub(super) notes: Vec<String>,
}

impl Mass<'_> {
    /// Sundays, solemnities, feasts.
    pub(super) fn is_festive(&self) -> bool {
        self.kind == Kind::OfTheDay
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
        matches!(self.kind, Kind::Funeral | Kind::Dead)
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

fn of_the_day<'d>(
    day: &'d Day,
    kept: &Celebration,
    celebration: &'d Celebration,
    asked: &Place,
    missal: Missal,
) -> Result<Mass<'d>> {
    // All Souls has the rank of a commemoration too, on the third line: it is a Mass of its own.
    let collect_only = celebration.rank == Rank::Commemoration && celebration.line > 4;
    let (of, asked) = if collect_only { (kept, &kept.id) } else { (celebration, asked) };
    let title = match () {
        () if collect_only => commemorated(&kept.title, &celebration.title),
        () if *asked == celebration.id => celebration.title.clone(),
        () => missal.title(asked),
    };
    Ok(Mass {
        day,
        kind: if collect_only { Kind::Commemoration } else { Kind::OfTheDay },
        title,
        asked: asked.clone(),
        place: texts_at(asked, missal)?,
        collect: match collect_only {
            true => Some(texts_at(&celebration.id, missal)?),
            false => None,
        },
        rite: None,
        // The Masses of the Triduum stand on the first line whatever the calendar calls the day.
        rank: if asked.is_under("time/triduum") { Rank::Solemnity } else { of.rank },
        notes: vec![],
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
        self.notes.push(format!(
            "Within the Mass of the day: {} (GIRM 372).",
            orders::serving(rite)?.title.en
        ));
        self.rite = Some(printed_form(rite, missal));
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
    let place = texts_at(asked, missal)?;
    let title = missal.title(asked);
    let note = match permission(day, kept, kind) {
        Permission::Free(reason) => format!("Not the Mass of the day: {reason}."),
        Permission::Conditional(reason) => format!("Not the Mass of the day; only {reason}."),
        Permission::Barred(reason) if choices.mass_in_any_case => {
            format!("Against the rule, by your choice for this day: {reason}.")
        }
        Permission::Barred(reason) => {
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
        rite: None,
        rank: kept.rank,
        notes: vec![note],
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

fn kind_of(asked: &Place) -> Option<Kind> {
    let under = |section| asked.is_under(section);
    Some(match () {
        () if under("ritual") => Kind::Ritual,
        () if under("needs") => Kind::Needs,
        () if under("votive") => Kind::Votive,
        () if under("dead/funeral") => Kind::Funeral,
        () if under("dead") => Kind::Dead,
        () if under("common") || under("saints") => Kind::OwnChoice,
        () => return None,
    })
}

/// Where the texts of the Mass asked for are printed: where its order or formulary says, else at its
/// own place, or at the first Mass under it.
fn texts_at(asked: &Place, missal: Missal) -> Result<Place> {
    let named = match &orders::serving(asked)?.texts {
        Some(place) => Some(place.clone()),
        None => formulary_of(asked)?.and_then(|f| f.at.clone()),
    };
    let place = named.unwrap_or_else(|| printed_form(asked, missal));
    if missal.knows(&place) {
        return Ok(place);
    }
    Err(OrderFault::UnknownPlace { place }.into())
}

/// The formulary of a Mass, or of the celebration it is a form of.
pub(super) fn formulary_of(asked: &Place) -> Result<Option<&'static Formulary>> {
    let path = asked.as_str();
    let mut ends: Vec<usize> = path.match_indices('/').map(|(at, _)| at).collect();
    ends.push(path.len());
    for end in ends.into_iter().rev() {
        let above = path.get(..end).and_then(Place::new);
        if let Some(found) = above.map(|p| Formulary::of(&p)).transpose()?.flatten() {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// Calendar address of the free Saturday's memorial, which no book prints under that name.
pub(super) const SATURDAY_OF_MARY: &str = "saints/saturday-of-mary";

/// Where a celebration's Mass is printed: the weekdays of Ordinary Time have the prayers of a Sunday.
pub(super) fn printed_at(id: &Place) -> Place {
    let path = id.as_str();
    let printed = match path.strip_prefix("time/ordinary/week-") {
        Some(rest) => rest
            .split_once('/')
            .and_then(|(week, _)| Place::new(&format!("time/ordinary/week-{week}"))),
        None if path == SATURDAY_OF_MARY => Place::new("common/mary/ordinary/1"),
        None => None,
    };
    printed.unwrap_or_else(|| id.clone())
}

/// The Mass itself where a heading stands over several: the Mass of the day, the first formulary.
fn printed_form(asked: &Place, missal: Missal) -> Place {
    let place = printed_at(asked);
    let forms = ["day", "mass", "1", "a"];
    let under = |form: &&str| Place::new(&format!("{place}/{form}"));
    forms.iter().filter_map(under).find(|p| missal.knows(p)).unwrap_or(place)
}
