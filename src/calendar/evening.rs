//! The evening, when the day that follows already begins on it.
//!
//! Sundays and solemnities begin on the evening before (Universal Norms 3, 11). When two days claim one
//! evening, Vespers are of the higher in the Table (Norms 61). For the Mass the documents differ:
//! Notitiae 10 (1974) 222 applies the same rule, a later reply (about 1984, Notitiae 20; both seen
//! quoted) lets the celebration of precept win. So both Masses are offered and the default is marked:
//! the only one of precept; of two, or of none, the higher in the Table, and today's if they are equal.

use super::base::Part;
use super::choice::{DayOfYear, Item, Manner};
use super::{Celebration, Rank};
use crate::language::Language;
use crate::place::Place;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The evening of a day on which the next begins.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Evening {
    /// The Masses that may be said, the default first.
    pub masses: Vec<EveningMass>,
    /// The day whose Vespers are said.
    pub vespers_of: NaiveDate,
    /// One sentence that says why.
    pub reason: String,
}

/// A Mass of the evening.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EveningMass {
    /// The celebration.
    pub celebration: Celebration,
    /// The day it belongs to.
    pub of: NaiveDate,
    /// Place of the Mass proper to the evening, where the celebration has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vigil: Option<Place>,
}

/// One of the two that claim an evening.
struct Claim<'y, 'c> {
    day: DayOfYear<'y, 'c>,
    item: Item,
}

impl Claim<'_, '_> {
    fn version(&self) -> Option<&super::version::Version> {
        match self.item {
            Item::Proper(f) => self.day.year.version(f.known, f.version),
            _ => None,
        }
    }

    fn of_precept(&self) -> bool {
        self.day.base.is_sunday() || self.version().is_some_and(|v| self.day.is_of_precept(v))
    }

    /// Precedence in the Table, whatever was decided for this year.
    fn key(&self) -> u16 {
        self.version().map_or(self.day.season_key(), |v| super::year::key(v.standing))
    }

    fn begins_the_evening_before(&self) -> bool {
        let solemnity = self.version().is_some_and(|v| v.rank == Rank::Solemnity);
        solemnity || self.day.base.is_sunday()
    }

    /// Whether it may hold its own evening against a Sunday or solemnity.
    fn holds_its_evening(&self) -> bool {
        self.day.base.is_sunday() || self.key() < 600
    }

    fn mass(&self) -> EveningMass {
        EveningMass {
            celebration: self.day.celebration(self.item, Manner::Own),
            of: self.day.year.frame.civil(self.day.day),
            vigil: None,
        }
    }

    /// Its Mass on the evening before.
    fn mass_before(&self) -> EveningMass {
        let mut mass = self.mass();
        let easter = self.day.base.part == Part::EasterSunday;
        if easter {
            mass.vigil = Some(Place::composed("time/triduum/vigil".into()));
        } else if self.version().is_some_and(|v| v.vigil) {
            mass.vigil = Some(Place::composed(format!("{}/vigil", mass.celebration.id)));
        }
        mass
    }
}

impl DayOfYear<'_, '_> {
    fn season_key(&self) -> u16 {
        u16::from(self.base.line()) * 100 + u16::from(self.base.place_in_line())
    }

    /// The evening of this day, if tomorrow begins on it.
    pub(super) fn evening(&self, language: Language) -> Option<Evening> {
        let tomorrow = self.year.at(self.day + 1);
        let today = Claim { day: *self, item: self.kept() };
        let next = Claim { day: tomorrow, item: tomorrow.kept() };
        match self.base.part {
            Part::LordsSupper | Part::GoodFriday => None,
            Part::HolySaturday => Some(easter_vigil(&next, language)),
            _ if !next.begins_the_evening_before() => None,
            _ if !today.holds_its_evening() => Some(only_tomorrow(&next, language)),
            _ => Some(concurrence(&today, &next, language)),
        }
    }
}

fn easter_vigil(next: &Claim, language: Language) -> Evening {
    let reason = language.either(
        "After nightfall: the Easter Vigil, held wholly at night (Norms 21).",
        "Ya de noche: la Vigilia Pascual, toda ella de noche (Normas 21).",
    );
    Evening {
        masses: vec![next.mass_before()],
        vespers_of: next.mass().of,
        reason: reason.to_owned(),
    }
}

fn only_tomorrow(next: &Claim, language: Language) -> Evening {
    let mass = next.mass_before();
    let title = mass.celebration.title.get(language);
    let (kind, spanish_kind) = if next.day.base.is_sunday() {
        ("a Sunday", "el domingo")
    } else {
        ("a solemnity", "la solemnidad")
    };
    let own = mass.vigil.is_some();
    let reason = match language {
        Language::Es => {
            let own = if own { " y tiene misa propia de la vigilia" } else { "" };
            format!(
                "Misa de la tarde: {title}; {spanish_kind} empieza la tarde anterior{own} (Normas 3, 11)."
            )
        }
        _ => {
            let own = if own { " and has a vigil Mass of its own" } else { "" };
            format!("Evening Mass: {title}; {kind} begins the evening before{own} (Norms 3, 11).")
        }
    };
    Evening { reason, vespers_of: mass.of, masses: vec![mass] }
}

fn concurrence(today: &Claim, next: &Claim, language: Language) -> Evening {
    let next_is_higher = next.key() < today.key();
    let only_one = (
        "it alone is of precept (reply in Notitiae 20)",
        "es la única de precepto (respuesta en Notitiae 20)",
    );
    let (next_first, (why, spanish_why)) = match (today.of_precept(), next.of_precept()) {
        (true, false) => (false, only_one),
        (false, true) => (true, only_one),
        (true, true) => (
            next_is_higher,
            (
                "of two days of precept the higher in the Table",
                "de dos días de precepto, el superior en la Tabla",
            ),
        ),
        (false, false) => (
            next_is_higher,
            ("the higher in the Table (Norms 61)", "el superior en la Tabla (Normas 61)"),
        ),
    };
    let winner = if next_first { next } else { today };
    let both_of_precept = today.of_precept() && next.of_precept();
    // On a Sunday that meets a solemnity of its own line printed calendars allow either (June 2019).
    let level = today.day.base.is_sunday() && today.key() / 100 == next.key() / 100;
    let disputed =
        winner.key() >= 300 && (both_of_precept || level) || next_first != next_is_higher;
    let (evening, day) = (next.mass_before(), today.mass());
    let vespers_of = if next_is_higher { evening.of } else { day.of };
    let (first, second) = if next_first { (evening, day) } else { (day, evening) };
    let title = |mass: &EveningMass| mass.celebration.title.get(language).to_owned();
    let say = |english, spanish| language.either(english, spanish);
    let mut reason = format!(
        "{}: {}; {}.",
        say("Evening Mass", "Misa de la tarde"),
        title(&first),
        say(why, spanish_why)
    );
    if disputed {
        reason += &format!(
            " {}: {} ({}: Notitiae 10, 222; 20).",
            say("Elsewhere", "En otros lugares"),
            title(&second),
            say("documents differ", "los documentos difieren")
        );
    }
    if vespers_of != first.of {
        reason += &format!(
            " {}: {} ({} 61).",
            say("Vespers", "Vísperas"),
            title(&second),
            say("Norms", "Normas")
        );
    }
    let masses = if disputed { vec![first, second] } else { vec![first] };
    Evening { masses, vespers_of, reason }
}
