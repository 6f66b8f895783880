//! The card's words in English and Spanish. Latin cards speak English.

use super::Headings;
use crate::calendar::{Celebration, Colour, Day, Rank, Season};
use crate::language::Language;
use crate::order::{MassKind, Said, Stand};
use crate::ribbon::{Deeds, FEW_LEAVES, Landmark, Move, Notice, OtherNumber, Reached, Stop};

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
        Stand::Fire => language.either("At the fire", "Junto al fuego"),
        Stand::Door => language.either("At the door", "En la puerta"),
        Stand::Gathering => {
            language.either("Where the procession begins", "Donde comienza la procesión")
        }
        Stand::Procession => language.either("In procession", "En la procesión"),
        Stand::Ambo => language.either("At the ambo", "En el ambón"),
        Stand::Font => language.either("At the font", "En la fuente bautismal"),
        Stand::Cross => language.either("Before the cross", "Ante la cruz"),
        Stand::Sacristy => language.either("In the sacristy", "En la sacristía"),
        Stand::Elsewhere => language.either("Where it takes place", "Donde tiene lugar"),
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
pub(super) fn hand(stop: &Stop, language: Language) -> String {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    match &stop.hand {
        Move::LaidOpen => say("lies open", "ya abierto"),
        Move::Stay => say("same opening", "misma abertura"),
        Move::Leaf { leaves } if leaves.unsigned_abs() > FEW_LEAVES => {
            format!("{}{}", to_page(stop, language), beside(stop, language))
        }
        Move::Leaf { leaves } => turn(*leaves, stop, language),
        Move::Pull { ribbon, leaves } => {
            and_turn(the_ribbon(ribbon, language), *leaves, stop, language)
        }
        Move::Tab { tab, leaves } => {
            let opened = format!("{} {tab}", language.either("tab", "pestaña"));
            and_turn(opened, *leaves, stop, language)
        }
        Move::Search => {
            let find = language.either("find", "buscar");
            format!("{find} {}{}", page(stop, language), beside(stop, language))
        }
        Move::ByHeart => say("by heart", "de memoria"),
        Move::From { what } => what.get(language).to_owned(),
        Move::OnSheet | Move::NotHere => say("from a sheet", "en una hoja"),
    }
}

/// "gold ribbon", "ribbon 2".
fn the_ribbon(ribbon: &str, language: Language) -> String {
    let name = ribbon_name(ribbon, language);
    match language {
        _ if name != *ribbon || name.starts_with("ribbon") => name,
        Language::Es => format!("cinta {name}"),
        _ => format!("{name} ribbon"),
    }
}

fn and_turn(first: String, leaves: i32, stop: &Stop, language: Language) -> String {
    match leaves {
        0 => first,
        _ => format!("{first}, {}", turn(leaves, stop, language)),
    }
}

/// Few leaves are counted; further away the page is looked for.
fn turn(leaves: i32, stop: &Stop, language: Language) -> String {
    let n = leaves.unsigned_abs();
    let one = n == 1;
    match language {
        _ if n > FEW_LEAVES => {
            let way = match leaves < 0 {
                true => language.either("back ", "atrás "),
                false => language.either("on ", "adelante "),
            };
            format!("{way}{}", to_page(stop, language))
        }
        Language::Es => {
            let noun = if one { "hoja" } else { "hojas" };
            format!("{n} {noun} {}", if leaves < 0 { "atrás" } else { "adelante" })
        }
        _ => {
            let noun = if one { "leaf" } else { "leaves" };
            format!("{n} {noun} {}", if leaves < 0 { "back" } else { "on" })
        }
    }
}

fn page(stop: &Stop, language: Language) -> String {
    match &stop.page {
        Some(page) => format!("p. {page}"),
        None => language.either("the page", "la página").to_owned(),
    }
}

fn to_page(stop: &Stop, language: Language) -> String {
    format!("{} {}", language.either("to", "a la"), page(stop, language))
}

/// ", before the gold ribbon": a page is found by eye from the ribbon nearest to it.
fn beside(stop: &Stop, language: Language) -> String {
    let Some(Landmark { ribbon, before }) = &stop.landmark else { return String::new() };
    let side = match before {
        true => language.either("before", "antes de la"),
        false => language.either("after", "después de la"),
    };
    let ribbon = the_ribbon(ribbon, language);
    let the = if ribbon.ends_with("ribbon") { "the " } else { "" };
    format!(", {side} {the}{ribbon}")
}

/// A few things in a row: "a, b and c".
fn listed(things: &[String], language: Language) -> String {
    match things {
        [all @ .., last] if !all.is_empty() => {
            format!("{} {} {last}", all.join(", "), language.either("and", "y"))
        }
        _ => things.join(""),
    }
}

/// "6 times at a ribbon, 7 leaves to turn, nothing to look for": one ribbon may serve more than once.
pub(super) fn deeds(deeds: Deeds, language: Language) -> String {
    let count = |n: u32, one: (&str, &str), more: (&str, &str)| {
        let (english, spanish) = if n == 1 { one } else { more };
        (n > 0).then(|| format!("{n} {}", language.either(english, spanish)))
    };
    let ribbons = count(
        deeds.ribbons,
        ("time at a ribbon", "vez por una cinta"),
        ("times at a ribbon", "veces por una cinta"),
    );
    let tabs = count(
        deeds.tabs,
        ("time at a tab", "vez por una pestaña"),
        ("times at a tab", "veces por una pestaña"),
    );
    let leaves = count(
        deeds.leaves,
        ("leaf to turn", "hoja que pasar"),
        ("leaves to turn", "hojas que pasar"),
    );
    let looked = count(
        deeds.looked_for,
        ("page to look for", "página que buscar"),
        ("pages to look for", "páginas que buscar"),
    )
    .unwrap_or_else(|| language.either("nothing to look for", "nada que buscar").to_owned());
    let all: Vec<String> = [ribbons, tabs, leaves, Some(looked)].into_iter().flatten().collect();
    all.join(", ")
}

/// "A fifth ribbon: the Communion Rite without leafing." Where no text is come to in another way, what the hand
/// does in all.
pub(super) fn other_number(
    other: &OtherNumber,
    better: bool,
    several: bool,
    language: Language,
) -> String {
    let n = other.ribbons;
    let who = match (better, n, language) {
        (true, _, Language::Es) => format!("Con {n} {}", if n == 1 { "cinta" } else { "cintas" }),
        (true, 8, _) => "An eighth ribbon".to_owned(),
        (true, _, _) => format!("A {} ribbon", ordinal(n)),
        (false, 0, _) => language.either("Without ribbons", "Sin cintas").to_owned(),
        (false, 1, _) => language.either("With one ribbon", "Con una cinta").to_owned(),
        (false, _, Language::Es) => format!("Con {n} cintas"),
        (false, _, _) => format!("With {n} ribbons"),
    };
    let book = if several { format!(" ({})", other.book) } else { String::new() };
    format!(
        "{who}{book}: {}.",
        changed(other, better, language).unwrap_or_else(|| deeds(other.deeds, language))
    )
}

/// At most so many texts are named.
const NAMED: usize = 4;

fn changed(other: &OtherNumber, better: bool, language: Language) -> Option<String> {
    if other.changes.is_empty() || other.changes.len() > NAMED {
        return None;
    }
    let of = |way: Reached| -> Vec<String> {
        let those = other.changes.iter().filter(|c| way == if better { c.from } else { c.to });
        those.map(|c| c.title.get(language).to_owned()).collect()
    };
    let said = |way, better_said: (&str, &str), worse_said: (&str, &str)| {
        let texts = of(way);
        let (english, spanish) = if better { better_said } else { worse_said };
        (!texts.is_empty())
            .then(|| format!("{} {}", listed(&texts, language), language.either(english, spanish)))
    };
    let leafing = said(
        Reached::Leafing,
        ("without leafing", "sin pasar hojas"),
        ("by leafing", "pasando hojas"),
    );
    let looking = said(
        Reached::LookingFor,
        ("without looking for the page", "sin buscar la página"),
        ("to be looked for by the page", "por buscar según la página"),
    );
    let all: Vec<String> = [leafing, looking].into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join("; "))
}

fn ordinal(n: usize) -> String {
    let words = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    let word = n.checked_sub(1).and_then(|i| words.get(i));
    word.map_or_else(|| format!("{n}th"), |w| (*w).to_owned())
}

/// "or Preface II of Lent, p. 475".
pub(super) fn or(text: &str, page: &str, language: Language) -> String {
    format!("{} {text}, p. {page}", language.either("or", "o"))
}

/// What needs a look: the pages in doubt in one line, with room to write, then whatever else.
pub(super) fn notices<'a>(
    notices: impl Iterator<Item = &'a Notice>,
    language: Language,
) -> Vec<String> {
    let (mut pages, mut others): (Vec<String>, Vec<String>) = (vec![], vec![]);
    for notice in notices {
        let (list, said) = match notice {
            Notice::Look { page, reckoned: Some(reckoned), .. } => {
                (&mut pages, format!("{page} {} {reckoned}", language.either("or", "o")))
            }
            Notice::Look { page, .. } => (&mut pages, page.clone()),
            Notice::Reckoned { pages: among, .. } => {
                let among = among.trim_start_matches("≈ ");
                let joined = pages.last().and_then(|last| joined(last, among));
                if joined.is_some() {
                    pages.pop();
                }
                (&mut pages, joined.unwrap_or_else(|| among.to_owned()))
            }
            other => (&mut others, other.say(language)),
        };
        if !list.contains(&said) {
            list.push(said);
        }
    }
    if !pages.is_empty() {
        let one = pages.len() == 1 && !pages.iter().any(|p| p.contains('–'));
        let check = if one {
            language.either("Check p.", "Compruebe la p.")
        } else {
            language.either("Check pp.", "Compruebe las pp.")
        };
        others.insert(0, format!("{check} {}: {}", pages.join(", "), "_".repeat(24)));
    }
    others
}

/// Two runs of pages that meet or overlap as one: "231–233" and "232–234" are "231–234".
fn joined(a: &str, b: &str) -> Option<String> {
    let ends = |run: &str| -> Option<(u32, u32)> {
        let (from, to) = run.split_once('–').unwrap_or((run, run));
        Some((from.parse().ok()?, to.parse().ok()?))
    };
    let (a, b) = (ends(a)?, ends(b)?);
    let (from, to) = (a.0.min(b.0), a.1.max(b.1));
    (a.0.max(b.0) <= a.1.min(b.1) + 1).then(|| match from == to {
        true => from.to_string(),
        false => format!("{from}–{to}"),
    })
}

/// The headings of a card, with ribbons or without.
pub(super) fn headings(language: Language, no_ribbons: bool) -> Headings {
    let say = |english: &str, spanish: &str| language.either(english, spanish).to_owned();
    Headings {
        ribbons: if no_ribbons { say("Book", "Libro") } else { say("Ribbons", "Cintas") },
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

#[cfg(test)]
mod tests {
    use super::*;

    fn stop(hand: serde_json::Value) -> Stop {
        serde_json::from_value(serde_json::json!({
            "moment": "preparation", "title": { "en": "Preparation" }, "text": { "en": "Liturgy" },
            "place": "order/preparation", "book": "altar", "page": "436", "doubt": false,
            "stand": "altar", "weight": 2, "reason": "", "hand": hand,
            "landmark": { "ribbon": "gold", "before": true },
        }))
        .unwrap()
    }

    /// A hand counts a few leaves; it does not count 25, but finds p. 436 before the gold ribbon.
    #[test]
    fn a_movement_can_be_followed() {
        use serde_json::json;
        for (move_, english, spanish) in [
            (json!({ "move": "leaf", "leaves": 1 }), "1 leaf on", "1 hoja adelante"),
            (json!({ "move": "leaf", "leaves": -4 }), "4 leaves back", "4 hojas atrás"),
            (
                json!({ "move": "leaf", "leaves": -25 }),
                "to p. 436, before the gold ribbon",
                "a la p. 436, antes de la cinta gold",
            ),
            (
                json!({ "move": "pull", "ribbon": "gold", "leaves": -25 }),
                "gold ribbon, back to p. 436",
                "cinta gold, atrás a la p. 436",
            ),
            (
                json!({ "move": "search" }),
                "find p. 436, before the gold ribbon",
                "buscar p. 436, antes de la cinta gold",
            ),
        ] {
            let stop = stop(move_);
            assert_eq!([Language::En, Language::Es].map(|l| hand(&stop, l)), [english, spanish]);
        }
    }

    #[test]
    fn runs_of_pages_that_meet_are_one() {
        for (a, b, one) in [
            ("231–233", "232–234", Some("231–234")),
            ("235–237", "238–240", Some("235–240")),
            ("204", "204", Some("204")),
            ("204", "207–213", None),
            ("iv–v", "5–6", None),
        ] {
            assert_eq!(joined(a, b).as_deref(), one, "{a}, {b}");
        }
    }
}
