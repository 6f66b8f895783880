//! Address and title of a day of the season, in English, Spanish and Latin, composed by rule after
//! the headings of the Missal.

use super::base::{Base, Part};
use super::when::WEEKDAYS;
use crate::language::{ENGLISH_ORDINALS, Titles};

/// The three titles of a day: English, Spanish, Latin.
type Three = (String, String, String);

const EN_DAYS: [&str; 7] =
    ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const ES_DAYS: [&str; 7] =
    ["Domingo", "Lunes", "Martes", "Miércoles", "Jueves", "Viernes", "Sábado"];
const LA_DAYS: [&str; 7] = [
    "Dominica",
    "Feria secunda",
    "Feria tertia",
    "Feria quarta",
    "Feria quinta",
    "Feria sexta",
    "Sabbato",
];

impl Base {
    /// Its address in a book.
    pub(super) fn path(&self) -> String {
        let day = WEEKDAYS[usize::from(self.weekday % 7)];
        let week = self.week;
        match self.part {
            Part::Advent => format!("time/advent/week-{week}/{day}"),
            Part::LateAdvent => format!("time/advent/12-{}", self.date),
            Part::ChristmasOctave if self.date == 1 => "time/christmas/01-01".into(),
            Part::ChristmasOctave => format!("time/christmas/12-{}", self.date),
            Part::BeforeEpiphany if self.is_sunday() => "time/christmas/second-sunday".into(),
            Part::AfterEpiphany if self.is_sunday() => "time/christmas/last-sunday".into(),
            Part::BeforeEpiphany | Part::AfterEpiphany => format!("time/christmas/weekday/{day}"),
            Part::AshWednesday => "time/lent/ash-wednesday".into(),
            Part::AfterAsh => format!("time/lent/after-ash/{day}"),
            Part::Lent => format!("time/lent/week-{week}/{day}"),
            Part::PalmSunday => "time/holy-week/palm-sunday".into(),
            Part::HolyWeek => format!("time/holy-week/{day}"),
            Part::LordsSupper => "time/triduum/lords-supper".into(),
            Part::GoodFriday => "time/triduum/good-friday".into(),
            Part::HolySaturday => "time/triduum/holy-saturday".into(),
            Part::EasterSunday => "time/easter/sunday".into(),
            Part::EasterOctave => format!("time/easter/octave/{day}"),
            Part::Easter => format!("time/easter/week-{week}/{day}"),
            Part::Ordinary => format!("time/ordinary/week-{week}/{day}"),
        }
    }

    /// Its title; the Second Sunday of Easter is also that of Divine Mercy from 2001 on (decree of
    /// 5 May 2000, date from memory).
    pub(super) fn title(&self, year: i32) -> Titles {
        let (en, es, la) = match self.part {
            Part::Advent => self.counted("of Advent", "de Adviento", ["Adventus", "Adventus"]),
            Part::Lent => {
                self.counted("of Lent", "de Cuaresma", ["in Quadragesima", "Quadragesimae"])
            }
            Part::Easter if self.week == 2 && self.is_sunday() && year >= 2001 => divine_mercy(),
            Part::Easter => self.counted("of Easter", "de Pascua", ["Paschae", "Paschae"]),
            Part::Ordinary => {
                self.counted("in Ordinary Time", "del Tiempo Ordinario", ["per annum", "per annum"])
            }
            Part::LateAdvent => (
                format!("{} December", self.date),
                format!("{} de diciembre", self.date),
                format!("Die {} decembris", self.date),
            ),
            Part::ChristmasOctave => self.octave_of_christmas(),
            Part::BeforeEpiphany | Part::AfterEpiphany => self.christmas_time(),
            Part::AfterAsh => {
                self.after("after Ash Wednesday", "después de Ceniza", "post Cineres")
            }
            Part::EasterOctave => self.after(
                "within the Octave of Easter",
                "de la Octava de Pascua",
                "infra octavam Paschae",
            ),
            Part::HolyWeek => {
                let (en, _, la) = self.after("of Holy Week", "", "Hebdomadae sanctae");
                (en, format!("{} Santo", self.spanish_day()), la)
            }
            _ => self.named(),
        };
        Titles { en, es: Some(es), la: Some(la) }
    }

    fn spanish_day(&self) -> &'static str {
        ES_DAYS[usize::from(self.weekday % 7)]
    }

    /// A weekday with words after it.
    fn after(&self, en: &str, es: &str, la: &str) -> Three {
        let day = usize::from(self.weekday % 7);
        (
            format!("{} {en}", EN_DAYS[day]),
            format!("{} {es}", ES_DAYS[day]),
            format!("{} {la}", LA_DAYS[day]),
        )
    }

    /// A Sunday or weekday of a numbered week; Latin has one form after the Sunday, another after
    /// the week.
    fn counted(&self, en: &str, es: &str, la: [&str; 2]) -> Three {
        let (ordinal, roman) = (ordinal(self.week), roman(self.week));
        if self.is_sunday() {
            return (
                format!("{ordinal} Sunday {en}"),
                format!("Domingo {roman} {es}"),
                format!("Dominica {roman} {}", la[0]),
            );
        }
        let day = usize::from(self.weekday % 7);
        (
            format!("{} of the {ordinal} Week {en}", EN_DAYS[day]),
            format!("{} de la {roman} semana {es}", ES_DAYS[day]),
            format!("{} hebdomadae {roman} {}", LA_DAYS[day], la[1]),
        )
    }

    fn octave_of_christmas(&self) -> Three {
        let day = if self.date == 1 { 8 } else { self.date.saturating_sub(24) };
        let (es, la) = match day {
            5 => ("quinto", "quinta"),
            6 => ("sexto", "sexta"),
            7 => ("séptimo", "septima"),
            8 => ("octavo", "octava"),
            2 => ("segundo", "secunda"),
            3 => ("tercero", "tertia"),
            4 => ("cuarto", "quarta"),
            _ => ("primero", "prima"),
        };
        (
            format!("{} Day within the Octave of the Nativity of the Lord", ordinal(day)),
            format!("Día {es} dentro de la Octava de Navidad"),
            format!("De die {la} infra octavam Nativitatis"),
        )
    }

    fn christmas_time(&self) -> Three {
        match (self.part, self.is_sunday()) {
            (Part::BeforeEpiphany, true) => (
                "Second Sunday after the Nativity".into(),
                "Domingo II después de Navidad".into(),
                "Dominica II post Nativitatem".into(),
            ),
            (_, true) => (
                "Sunday after the Epiphany".into(),
                "Domingo después de Epifanía".into(),
                "Dominica post Epiphaniam".into(),
            ),
            (Part::BeforeEpiphany, false) => self.after(
                "of Christmas Time, before Epiphany",
                "del Tiempo de Navidad, antes de Epifanía",
                "temporis Nativitatis, ante Epiphaniam",
            ),
            _ => self.after(
                "of Christmas Time, after Epiphany",
                "del Tiempo de Navidad, después de Epifanía",
                "temporis Nativitatis, post Epiphaniam",
            ),
        }
    }

    fn named(&self) -> Three {
        let (en, es, la) = match self.part {
            Part::AshWednesday => ("Ash Wednesday", "Miércoles de Ceniza", "Feria quarta Cinerum"),
            Part::PalmSunday => (
                "Palm Sunday of the Passion of the Lord",
                "Domingo de Ramos en la Pasión del Señor",
                "Dominica in Palmis de Passione Domini",
            ),
            Part::LordsSupper => (
                "Thursday of the Lord's Supper",
                "Jueves Santo en la Cena del Señor",
                "Feria quinta in Cena Domini",
            ),
            Part::GoodFriday => (
                "Friday of the Passion of the Lord",
                "Viernes Santo en la Pasión del Señor",
                "Feria sexta in Passione Domini",
            ),
            Part::HolySaturday => ("Holy Saturday", "Sábado Santo", "Sabbatum Sanctum"),
            _ => (
                "Easter Sunday of the Resurrection of the Lord",
                "Domingo de Pascua de la Resurrección del Señor",
                "Dominica Paschae in Resurrectione Domini",
            ),
        };
        (en.into(), es.into(), la.into())
    }
}

fn divine_mercy() -> Three {
    (
        "Second Sunday of Easter (or of Divine Mercy)".into(),
        "Domingo II de Pascua (o de la Divina Misericordia)".into(),
        "Dominica II Paschae (seu de divina Misericordia)".into(),
    )
}

/// English ordinal of 1 to 39.
fn ordinal(n: u8) -> String {
    let word = |n: u8| {
        let at = usize::from(n).checked_sub(1);
        at.and_then(|i| ENGLISH_ORDINALS.get(i)).copied().unwrap_or_default()
    };
    match (n / 10, n % 10) {
        (2, 0) => "Twentieth".into(),
        (3, 0) => "Thirtieth".into(),
        (2, ones) => format!("Twenty-{}", word(ones)),
        (3, ones) => format!("Thirty-{}", word(ones)),
        _ => word(n).into(),
    }
}

/// Roman numeral of 1 to 39.
fn roman(n: u8) -> String {
    const ONES: [&str; 10] = ["", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"];
    "X".repeat(usize::from(n / 10)) + ONES[usize::from(n % 10)]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(part: Part, week: u8, weekday: u8, date: u8) -> Base {
        Base { part, week, weekday, date }
    }

    /// Headings of the Missale Romanum, third typical edition, and of the Spanish Missal: from memory.
    #[test]
    fn titles_read_as_printed() {
        let cases = [
            (
                day(Part::Ordinary, 23, 0, 0),
                "Twenty-Third Sunday in Ordinary Time",
                "Domingo XXIII del Tiempo Ordinario",
                "Dominica XXIII per annum",
            ),
            (
                day(Part::Lent, 4, 4, 0),
                "Thursday of the Fourth Week of Lent",
                "Jueves de la IV semana de Cuaresma",
                "Feria quinta hebdomadae IV Quadragesimae",
            ),
            (
                day(Part::Lent, 1, 0, 0),
                "First Sunday of Lent",
                "Domingo I de Cuaresma",
                "Dominica I in Quadragesima",
            ),
            (
                day(Part::AfterAsh, 0, 6, 0),
                "Saturday after Ash Wednesday",
                "Sábado después de Ceniza",
                "Sabbato post Cineres",
            ),
            (day(Part::LateAdvent, 3, 3, 17), "17 December", "17 de diciembre", "Die 17 decembris"),
            (
                day(Part::ChristmasOctave, 0, 2, 30),
                "Sixth Day within the Octave of the Nativity of the Lord",
                "Día sexto dentro de la Octava de Navidad",
                "De die sexta infra octavam Nativitatis",
            ),
            (
                day(Part::HolyWeek, 0, 2, 0),
                "Tuesday of Holy Week",
                "Martes Santo",
                "Feria tertia Hebdomadae sanctae",
            ),
        ];
        for (day, en, es, la) in cases {
            let title = day.title(2026);
            assert_eq!(
                (title.en.as_str(), title.es.as_deref(), title.la.as_deref()),
                (en, Some(es), Some(la))
            );
        }
    }
}
