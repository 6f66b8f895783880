//! Which Masses are permitted besides the Mass of the day.
//!
//! Source: General Instruction of the Roman Missal 355 and 371–381, and the table that older printings
//! of the Missal append to it; the paragraphs from memory.

use super::Rank;
use super::base::Part;
use super::choice::{DayOfYear, Item};
use super::entry::Precept;
use super::version::Version;
use crate::language::Language;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The Masses permitted on a day besides its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Permitted {
    /// The Mass of any saint whom the Martyrology has on the day (355b and c).
    pub saint_of_the_martyrology: bool,
    /// Ritual Masses (372).
    pub ritual: bool,
    /// Masses for various needs and votive Masses in grave need, by order or leave of the bishop (374).
    pub by_leave_of_the_bishop: bool,
    /// The same for pastoral advantage, by the judgement of the rector or the priest (376).
    pub for_pastoral_advantage: bool,
    /// Any Mass for various needs, any votive Mass, any Ordinary Sunday's, any saint's (355c, 375).
    pub free_choice: bool,
    /// The funeral Mass (380).
    pub funeral: bool,
    /// Masses for the dead on news of a death, at the final burial, on the first anniversary (381).
    pub news_burial_anniversary: bool,
    /// Other Masses for the dead, if they are applied for the dead (381).
    pub other_for_the_dead: bool,
}

/// Rows of the table, from nothing permitted to everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Openness {
    Nothing,
    Funerals,
    SundaysAndFeasts,
    PrivilegedWeekdays,
    MemorialsAndSeasons,
    OrdinaryWeekdays,
}

impl Permitted {
    fn on(day: Openness) -> Self {
        Permitted {
            saint_of_the_martyrology: false,
            ritual: day >= Openness::SundaysAndFeasts,
            by_leave_of_the_bishop: day >= Openness::SundaysAndFeasts,
            for_pastoral_advantage: day >= Openness::MemorialsAndSeasons,
            free_choice: day >= Openness::OrdinaryWeekdays,
            funeral: day >= Openness::Funerals,
            news_burial_anniversary: day >= Openness::PrivilegedWeekdays,
            other_for_the_dead: day >= Openness::OrdinaryWeekdays,
        }
    }

    /// One sentence.
    pub(super) fn sentence(&self, language: Language) -> String {
        let needs =
            match (self.free_choice, self.for_pastoral_advantage, self.by_leave_of_the_bishop) {
                (true, _, _) => Some((
                    "votive Masses and Masses for various needs, freely (375)",
                    "misas votivas y por diversas necesidades, libremente (375)",
                )),
                (_, true, _) => Some((
                    "votive Masses and Masses for various needs, for pastoral advantage (376)",
                    "misas votivas y por diversas necesidades, por utilidad pastoral (376)",
                )),
                (_, _, true) => Some((
                    "Masses for a grave need, by leave of the bishop (374)",
                    "misas por una necesidad grave, con permiso del obispo (374)",
                )),
                _ => None,
            };
        let dead = match (self.other_for_the_dead, self.news_burial_anniversary) {
            (true, _) => Some(("any Mass for the dead (381)", "cualquier misa de difuntos (381)")),
            (_, true) => Some((
                "Masses for the dead at news of a death, burial, first anniversary (381)",
                "misas de difuntos al conocer una muerte, en la sepultura y en el primer aniversario \
                 (381)",
            )),
            _ => None,
        };
        let martyrology = (
            "any saint of the day's Martyrology (355)",
            "cualquier santo del Martirologio del día (355)",
        );
        let said: Vec<&str> = [
            self.saint_of_the_martyrology.then_some(martyrology),
            self.ritual.then_some(("ritual Masses (372)", "misas rituales (372)")),
            needs,
            self.funeral.then_some(("the funeral Mass (380)", "la misa exequial (380)")),
            dead,
        ]
        .into_iter()
        .flatten()
        .map(|(english, spanish)| language.either(english, spanish))
        .collect();
        if said.is_empty() {
            let none = language.either(
                "No other Mass is permitted (General Instruction 372, 374, 380).",
                "No se permite otra misa (Instrucción general 372, 374, 380).",
            );
            return none.to_owned();
        }
        let say = language.either(
            "Permitted besides, by the General Instruction",
            "Se permiten además, según la Instrucción general",
        );
        format!("{say}: {}.", said.join("; "))
    }
}

impl DayOfYear<'_, '_> {
    pub(super) fn permitted(&self) -> Permitted {
        match self.kept() {
            Item::Proper(falling) => {
                let version = self.year.version(falling.known, falling.version);
                Permitted::on(version.map_or(Openness::Nothing, |v| self.openness_of(v)))
            }
            _ => {
                let free = self.base.line() == 13;
                let day = Permitted::on(self.openness_of_season());
                Permitted { saint_of_the_martyrology: free, ..day }
            }
        }
    }

    fn openness_of(&self, version: &Version) -> Openness {
        match version.rank {
            Rank::Solemnity if self.is_of_precept(version) => Openness::Nothing,
            _ if version.standing.line <= 4 => Openness::Funerals,
            Rank::FeastOfTheLord | Rank::Feast => Openness::SundaysAndFeasts,
            _ => Openness::MemorialsAndSeasons,
        }
    }

    fn openness_of_season(&self) -> Openness {
        match (self.base.part, self.base.line()) {
            (_, 1) => Openness::Nothing,
            (Part::AshWednesday | Part::HolyWeek | Part::EasterOctave, _) => Openness::Funerals,
            (_, 2) => Openness::Nothing,
            (_, 6) => Openness::SundaysAndFeasts,
            (_, 9) => Openness::PrivilegedWeekdays,
            (Part::Ordinary, _) => Openness::OrdinaryWeekdays,
            _ => Openness::MemorialsAndSeasons,
        }
    }

    /// Whether a solemnity is itself of precept on this day.
    pub(super) fn is_of_precept(&self, version: &Version) -> bool {
        match version.precept {
            Precept::Always => true,
            Precept::Never => false,
            Precept::NotNearSunday => !matches!(self.base.weekday, 1 | 6),
        }
    }
}
