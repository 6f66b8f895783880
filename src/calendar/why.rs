//! The sentences in which a day explains itself.
//!
//! "Norms" are the Universal Norms on the Liturgical Year and the Calendar, "line" a line of the Table
//! of Liturgical Days.

use super::base::Part;
use super::choice::{DayOfYear, Item, Manner};
use super::provenance::provenance;
use super::version::Version;
use super::year::{Falling, Move, Rule};
use super::{Displaced, Evening, Permitted, Rank, Season};
use crate::language::Language;
use std::borrow::Cow;

const MOTHER_OF_THE_CHURCH: &str = "saints/mother-of-the-church";
const IMMACULATE: &str = "saints/12-08/immaculate-conception";

impl DayOfYear<'_, '_> {
    /// Every sentence of the day, the kept celebration first.
    pub(super) fn reasons(
        &self,
        displaced: &[Displaced],
        evening: Option<&Evening>,
        permitted: &Permitted,
        language: Language,
    ) -> Vec<String> {
        let mut reasons = vec![self.kept_sentence(language)];
        reasons.extend(self.came_here_sentence(language));
        reasons.extend(displaced.iter().map(|d| d.reason.clone()));
        reasons.extend(self.choice_sentence(language));
        reasons.extend(self.collect_sentence(language));
        reasons.extend(self.week_sentence(language));
        reasons.extend(evening.map(|evening| evening.reason.clone()));
        reasons.extend(provenance(self.celebrations(), displaced, evening, language));
        reasons.push(permitted.sentence(language));
        reasons
    }

    fn title(&self, item: Item, language: Language) -> Cow<'_, str> {
        match self.version_of(item) {
            Some(version) => version.title.get(language).into(),
            None => {
                let title = self.celebration(item, Manner::Own).title;
                title.get(language).to_owned().into()
            }
        }
    }

    fn version_of(&self, item: Item) -> Option<&Version> {
        match item {
            Item::Proper(f) => self.year.version(f.known, f.version),
            _ => None,
        }
    }

    fn line_of(&self, item: Item) -> u8 {
        match item {
            Item::Base(base) => base.line(),
            Item::SaturdayOfMary => 12,
            Item::Proper(_) => self.version_of(item).map_or(13, |v| v.standing.line),
        }
    }

    fn kept_sentence(&self, language: Language) -> String {
        let title = self.title(self.kept(), language);
        format!("{}: {title}.", language.either("Kept", "Se celebra"))
    }

    /// Why the kept celebration is here and not on the day that is its own, or by whose decision.
    fn came_here_sentence(&self, language: Language) -> Option<String> {
        let Item::Proper(falling) = self.kept() else { return None };
        if let Some(version) = self.year.stays_on_sunday(&falling) {
            let say = language.either(
                "Kept on this Sunday by standing permission",
                "Se celebra este domingo por permiso permanente",
            );
            return Some(format!("{say}: {}.", version.permission));
        }
        if let Some(m) = self.moved_here(&falling) {
            let from = language.date(self.year.frame.civil(m.from));
            let title = self.title(Item::Proper(falling), language);
            let rule = self.rule_words(m, language);
            return Some(match language {
                Language::Es => format!("{title} se traslada aquí desde el {from}: {rule}."),
                _ => format!("{title} is moved here from {from}: {rule}."),
            });
        }
        let year = self.year.frame.year;
        let decided = &self.year.calendar.decided;
        let decision = decided.iter().find(|d| d.is_for(usize::from(falling.known), year))?;
        let say =
            language.either("Kept today by a published decision", "Hoy por decisión publicada");
        Some(format!("{say}: {}.", decision.document))
    }

    pub(super) fn moved_away_sentence(&self, m: &Move, language: Language) -> String {
        let falling =
            Falling { day: m.from, key: 0, known: m.known, version: m.version, moved: true };
        let to = self.year.frame.civil(m.to);
        let title = self.title(Item::Proper(falling), language);
        let date = language.date(to);
        let rule = self.rule_words(m, language);
        match language {
            Language::Es => format!("Se traslada: {title} se celebra el {date}: {rule}."),
            _ => format!("Moved: {title} is kept on {date}: {rule}."),
        }
    }

    fn rule_words(&self, m: &Move, language: Language) -> Cow<'_, str> {
        let (english, spanish) = match m.by {
            Rule::Decision(at) => {
                let document = self.year.calendar.decided.get(usize::from(at));
                let say = language.either("a published decision", "una decisión publicada");
                return format!("{say}, {}", document.map_or("", |d| &d.document)).into();
            }
            Rule::NearSunday => (
                "the bishops bring it from Saturday or Monday to the Sunday",
                "los obispos la llevan del sábado o del lunes al domingo",
            ),
            Rule::ToMonday => (
                "the bishops bring it from a Sunday to the Monday",
                "los obispos la llevan del domingo al lunes",
            ),
            Rule::NamedDay => (
                "the bishops have named that day for years in which its own is taken",
                "los obispos han señalado ese día para los años en que el suyo está ocupado",
            ),
            Rule::Monday => (
                "a solemnity that meets a Sunday of Advent, Lent or Easter goes to the Monday after \
                 (Norms 5)",
                "la solemnidad que coincide con un domingo de Adviento, Cuaresma o Pascua pasa al lunes \
                 siguiente (Normas 5)",
            ),
            Rule::Saturday => (
                "until 1990 a solemnity that met a Sunday of Advent, Lent or Easter was kept on the \
                 Saturday before (Norms 5 as it then stood)",
                "hasta 1990 la solemnidad que coincidía con un domingo de Adviento, Cuaresma o Pascua se \
                 celebraba el sábado anterior (Normas 5, en su texto de entonces)",
            ),
            Rule::NextFree => (
                "an impeded solemnity goes to the nearest day free of lines 1 to 8 (Norms 60)",
                "la solemnidad impedida pasa al día más próximo libre de las líneas 1 a 8 (Normas 60)",
            ),
            Rule::BeforeHolyWeek => (
                "it does not wait until after Easter, and takes the last free day before Palm Sunday \
                 (Norms 56f; Notitiae 42, 96)",
                "no espera hasta después de Pascua, y toma el último día libre antes del Domingo de \
                 Ramos (Normas 56f; Notitiae 42, 96)",
            ),
        };
        if !self.may_be_decided(m) {
            return language.either(english, spanish).into();
        }
        match language {
            Language::Es => format!(
                "su conferencia puede haber decidido otra cosa; según las normas: {spanish}"
            ),
            _ => format!("your conference may have decided; by the norms: {english}"),
        }
        .into()
    }

    /// Whether conferences have often decided such a case: a solemnity of the nation, or the Immaculate
    /// Conception, that meets a Sunday of Advent, Lent or Easter.
    fn may_be_decided(&self, m: &Move) -> bool {
        let by_the_norms = matches!(m.by, Rule::Monday | Rule::Saturday | Rule::NextFree);
        let often = |v: &Version| {
            let indulted = self.year.id(m.known).is_some_and(|id| id.as_str() == IMMACULATE);
            v.rank == Rank::Solemnity
                && (v.particular || indulted && self.year.calendar.nation.is_some())
        };
        by_the_norms
            && self.year.is_high_sunday(m.from)
            && self.year.version(m.known, m.version).is_some_and(often)
    }

    pub(super) fn gives_way_sentence(&self, item: Item, language: Language) -> String {
        let title = self.title(item, language);
        if self.version_of(item).is_some_and(|v| v.rank == Rank::DayOfPrayer) {
            return match language {
                Language::Es => format!("Hoy también: {title}; la misa es la del día (Normas 59)."),
                _ => format!("Also today: {title}; the Mass stays that of the day (Norms 59)."),
            };
        }
        if matches!(self.kept(), Item::Proper(f) if f.key == 0) {
            return match language {
                Language::Es => format!("Cede el lugar: {title} (por decisión publicada)."),
                _ => format!("Gives way: {title} (by a published decision)."),
            };
        }
        let by = match self.paragraph(item) {
            Some(number) => format!("{} {number}", language.either("Norms", "Normas")),
            None => language
                .either("Notification of 24 March 2018", "Notificación del 24 de marzo de 2018")
                .to_owned(),
        };
        match language {
            Language::Es => format!("Cede el lugar: {title} ({by})."),
            _ => format!("Gives way: {title} ({by})."),
        }
    }

    /// The paragraph by which `gone` yields to what is kept; none where a later notification decides.
    fn paragraph(&self, gone: Item) -> Option<&'static str> {
        let kept = self.kept();
        Some(match (kept, gone) {
            (Item::Base(base), _) => match base.part {
                Part::AshWednesday | Part::HolyWeek => "16a",
                Part::EasterOctave => "24",
                Part::LordsSupper | Part::GoodFriday | Part::HolySaturday | Part::EasterSunday => {
                    "18-19"
                }
                _ if base.is_sunday() => "5, 14, 59",
                _ => "59",
            },
            (_, Item::Base(base)) if base.is_sunday() => "5",
            (_, Item::Base(_)) if self.line_of(kept) >= 10 => "16c",
            (Item::Proper(f), Item::Proper(_)) if self.marian_memorial(&f) => return None,
            _ => "59",
        })
    }

    /// Mary, Mother of the Church, which prevails over other memorials.
    fn marian_memorial(&self, falling: &Falling) -> bool {
        self.year.id(falling.known).is_some_and(|id| id.as_str() == MOTHER_OF_THE_CHURCH)
    }

    /// What may be celebrated instead.
    fn choice_sentence(&self, language: Language) -> Option<String> {
        let titles: Vec<Cow<str>> = self
            .offered()
            .skip(1)
            .filter(|(_, manner)| *manner != Manner::CollectOnly)
            .map(|(item, _)| self.title(item, language))
            .collect();
        if titles.is_empty() {
            return None;
        }
        let why = if self.heart_meets_memorial() {
            language.either(
                "memorials that meet are optional this year: reply of the Congregation, 8 December 1998",
                "las memorias que coinciden son libres este año: respuesta de la Congregación, 8 de \
                 diciembre de 1998",
            )
        } else {
            language.either("line 12; Norms 14, 59", "línea 12; Normas 14, 59")
        };
        let say = language.either("May be kept instead", "Se puede celebrar en su lugar");
        Some(format!("{say}: {} ({why}).", titles.join("; ")))
    }

    fn collect_sentence(&self, language: Language) -> Option<String> {
        let titles: Vec<Cow<str>> = self
            .offered()
            .filter(|(_, manner)| *manner == Manner::CollectOnly)
            .map(|(item, _)| self.title(item, language))
            .collect();
        let titles = (!titles.is_empty()).then(|| titles.join("; "))?;
        Some(match language {
            Language::Es => format!(
                "La oración colecta puede tomarse de: {titles} (Normas 16b; Instrucción general 355a)."
            ),
            _ => format!(
                "The Collect may be taken from: {titles} (Norms 16b; General Instruction 355a)."
            ),
        })
    }

    /// Where the count of weeks needs a word.
    fn week_sentence(&self, language: Language) -> Option<String> {
        let frame = &self.year.frame;
        let week = self.base.week;
        if self.day == frame.easter + 50 {
            let (last, first) = frame.weeks_around_lent();
            let left_out = last + 1;
            return Some(match (language, first == left_out) {
                (Language::Es, true) => format!(
                    "El Tiempo Ordinario continúa con la semana {first}: este año no se omite ninguna."
                ),
                (Language::Es, false) => format!(
                    "El Tiempo Ordinario continúa con la semana {first}: este año se omite la {left_out}."
                ),
                (_, true) => {
                    format!(
                        "Ordinary Time resumes with week {first}: no week is left out this year."
                    )
                }
                (_, false) => format!(
                    "Ordinary Time resumes with week {first}: week {left_out} is left out this year."
                ),
            });
        }
        let replaced = self.base.is_sunday() && self.base.season() == Season::Ordinary;
        let kept_other = matches!(self.kept(), Item::Proper(_));
        (replaced && kept_other && week > 1).then(|| match language {
            Language::Es => format!(
                "Las ferias que siguen son de la semana {week}, cuyo domingo queda sustituido."
            ),
            _ => {
                format!("The weekdays that follow are of week {week}, whose Sunday this replaces.")
            }
        })
    }
}
