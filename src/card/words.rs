//! The card's words in English and Spanish. Latin cards speak English.

use super::Headings;
use crate::calendar::{Celebration, Colour, Day, Rank, Season};
use crate::language::Language;
use crate::order::{MassKind, Said, Stand};
use crate::ribbon::Move;

fn season(season: Season, language: Language) -> &'static str {
    let (english, spanish) = match season {
        Season::Advent => ("Advent", "Adviento"),
        Season::Christmas => ("Christmas Time", "Tiempo de Navidad"),
        Season::Lent => ("Lent", "Cuaresma"),
        Season::Triduum => ("Paschal Triduum", "Triduo Pascual"),
        Season::Easter => ("Easter Time", "Tiempo Pascual"),
        Season::Ordinary => ("Ordinary Time", "Tiempo Ordinario"),
    };
    language.either(english, spanish)
}

fn rank(rank: Rank, language: Language) -> &'static str {
    let (english, spanish) = match rank {
        Rank::Solemnity => ("Solemnity", "Solemnidad"),
        Rank::FeastOfTheLord => ("Feast of the Lord", "Fiesta del Señor"),
        Rank::Feast => ("Feast", "Fiesta"),
        Rank::Memorial => ("Memorial", "Memoria obligatoria"),
        Rank::OptionalMemorial => ("Optional memorial", "Memoria libre"),
        Rank::Sunday => ("Sunday", "Domingo"),
        Rank::Weekday => ("Weekday", "Feria"),
        Rank::Commemoration => ("Commemoration", "Conmemoración"),
        Rank::DayOfPrayer => ("Day of prayer", "Jornada de oración"),
    };
    language.either(english, spanish)
}

/// The vestments' colour.
pub(super) fn colour(colour: Colour, language: Language) -> &'static str {
    let (english, spanish) = match colour {
        Colour::White => ("white", "blanco"),
        Colour::Red => ("red", "rojo"),
        Colour::Green => ("green", "verde"),
        Colour::Violet => ("violet", "morado"),
        Colour::Rose => ("rose", "rosa"),
        Colour::Black => ("black", "negro"),
        Colour::Blue => ("blue", "azul"),
    };
    language.either(english, spanish)
}

/// Rank and colours.
pub(super) fn kind(celebration: &Celebration, language: Language) -> String {
    let colours = [&[celebration.colour], celebration.other_colours.as_slice()].concat();
    format!("{} · {}", rank(celebration.rank, language), either(&colours, language))
}

/// "white or violet".
pub(super) fn either(colours: &[Colour], language: Language) -> String {
    let named: Vec<&str> = colours.iter().map(|&c| colour(c, language)).collect();
    named.join(language.either(" or ", " o "))
}

/// What kind of Mass it is, where it is not the day's own.
fn mass(kind: MassKind, language: Language) -> &'static str {
    let (english, spanish) = match kind {
        MassKind::OfTheDay | MassKind::Commemoration => ("Mass of the day", "Misa del día"),
        MassKind::Ritual => ("Ritual Mass", "Misa ritual"),
        MassKind::Needs => ("Mass for various needs", "Misa por diversas necesidades"),
        MassKind::Votive => ("Votive Mass", "Misa votiva"),
        MassKind::Funeral => ("Funeral Mass", "Misa exequial"),
        MassKind::Dead => ("Mass for the dead", "Misa de difuntos"),
        MassKind::OwnChoice => ("Mass of a saint, by choice", "Misa de un santo, por elección"),
    };
    language.either(english, spanish)
}

/// Rank or kind of a Mass, colours, season with its week, the cycle that is read.
pub fn particulars_of_mass(day: &Day, said: &Said, language: Language) -> String {
    let what = match said.rank {
        Some(own) => rank(own, language),
        None => mass(said.kind, language),
    };
    let kind = format!("{what} · {}", either(&said.colours, language));
    with_season(kind, day, said.rank.unwrap_or(Rank::Weekday), language)
}

/// Rank, colours, season with its week, the cycle that is read.
pub fn particulars(day: &Day, celebration: &Celebration, language: Language) -> String {
    with_season(kind(celebration, language), day, celebration.rank, language)
}

fn with_season(kind: String, day: &Day, rank: Rank, language: Language) -> String {
    let season = match day.week {
        // The Triduum has no weeks.
        Some(week) if day.season != Season::Triduum => {
            let counted = language.either("week", "semana");
            format!("{}, {counted} {week}", season(day.season, language))
        }
        _ => season(day.season, language).to_owned(),
    };
    let year = language.either("year", "año");
    let cycle = match rank {
        Rank::Solemnity | Rank::FeastOfTheLord | Rank::Sunday => {
            format!("{year} {}", day.sunday_cycle)
        }
        _ => format!("{year} {}", if day.weekday_cycle == 1 { "I" } else { "II" }),
    };
    [kind, season, cycle].join(" · ")
}

/// Where the book stands.
pub fn stand(stand: Stand, language: Language) -> &'static str {
    match stand {
        Stand::Chair => language.either("At the chair", "En la sede"),
        Stand::Altar => language.either("At the altar", "En el altar"),
        Stand::Elsewhere => language.either("Elsewhere", "En otro lugar"),
    }
}

/// A ribbon's name: its colour in the parish's own words, or its number where no colour is named.
pub fn ribbon_name(name: &str, language: Language) -> String {
    match name.strip_prefix("ribbon ") {
        Some(number) => format!("{} {number}", language.either("ribbon", "cinta")),
        None => name.to_owned(),
    }
}

/// The movement of the hand.
pub(super) fn hand(hand: &Move, language: Language) -> String {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    match hand {
        Move::LaidOpen => say("lies open", "ya abierto"),
        Move::Stay => say("same opening", "misma abertura"),
        Move::Leaf { leaves } => turn(*leaves, language),
        Move::Pull { ribbon, leaves } => {
            let name = ribbon_name(ribbon, language);
            let pulled = match language {
                _ if name != *ribbon || name.starts_with("ribbon") => name,
                Language::Es => format!("cinta {name}"),
                _ => format!("{name} ribbon"),
            };
            and_turn(pulled, *leaves, language)
        }
        Move::Tab { tab, leaves } => {
            let opened = format!("{} {tab}", language.either("tab", "pestaña"));
            and_turn(opened, *leaves, language)
        }
        Move::Search => say("find the page", "buscar la página"),
        Move::ByHeart => say("by heart", "de memoria"),
        Move::NotHere => say("from a sheet", "en una hoja"),
    }
}

fn and_turn(first: String, leaves: i32, language: Language) -> String {
    match leaves {
        0 => first,
        _ => format!("{first}, {}", turn(leaves, language)),
    }
}

/// Leaves that a hand counts; more are taken by the thickness of the bundle.
const COUNTED: u32 = 12;

fn turn(leaves: i32, language: Language) -> String {
    let n = leaves.unsigned_abs();
    let about = n > COUNTED;
    let n = if about { (n + 2) / 5 * 5 } else { n };
    match language {
        Language::Es => {
            let noun = if n == 1 { "hoja" } else { "hojas" };
            let about = if about { "unas " } else { "" };
            format!("{about}{n} {noun} {}", if leaves < 0 { "atrás" } else { "adelante" })
        }
        _ => {
            let noun = if n == 1 { "leaf" } else { "leaves" };
            let about = if about { "about " } else { "" };
            format!("{about}{n} {noun} {}", if leaves < 0 { "back" } else { "on" })
        }
    }
}

/// "or Preface II of Lent, p. 475".
pub(super) fn or(text: &str, page: &str, language: Language) -> String {
    format!("{} {text}, p. {page}", language.either("or", "o"))
}

pub(super) fn headings(language: Language) -> Headings {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    Headings {
        ribbons: say("Ribbons", "Cintas"),
        open_at: say("Lay the book open at", "Deje el libro abierto en"),
        steps: say("Order of service", "Orden de la Misa"),
        notices: say("To look at", "Para mirar"),
        reasons: say("Why", "Por qué"),
        worth: say("What it is worth", "Lo que vale"),
    }
}

/// What every card ends with.
pub fn caution(language: Language) -> String {
    language.either("A suggestion: check it against your diocese's directory, which prevails. The priest decides.",
        "Es una sugerencia: compruébela con el calendario de su diócesis, que prevalece. El sacerdote decide.",
    )
    .to_owned()
}

/// Costs as leaves: 4730 → "47.3", in Spanish "47,3".
pub(super) fn leaves(cost: u64, language: Language) -> String {
    format!("{}{}{}", cost / 100, language.either(".", ","), cost % 100 / 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_leaves_are_counted_and_many_are_not() {
        for (leaves, english, spanish) in [
            (1, "1 leaf on", "1 hoja adelante"),
            (-12, "12 leaves back", "12 hojas atrás"),
            (13, "about 15 leaves on", "unas 15 hojas adelante"),
            (-27, "about 25 leaves back", "unas 25 hojas atrás"),
        ] {
            let said = [Language::En, Language::Es].map(|l| turn(leaves, l));
            assert_eq!(said, [english, spanish]);
        }
    }
}
