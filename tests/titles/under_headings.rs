//! Lists that print a heading once and under it only what differs: bare weekdays, days of a month without the
//! month, prefaces by their subject. From memory of printed contents.

use super::{found, missal, row};
use vitta::book::Book;
use vitta::language::PrintedLanguage;
use vitta::text::Reading;

/// Headings begin without a mark, the rows under them with "- ", and name a place after "|".
const LISTS: [(PrintedLanguage, &str); 5] = [
    (
        PrintedLanguage::Fr,
        "Temps du Carême
        - Mercredi des Cendres|time/lent/ash-wednesday
        - Premier dimanche|time/lent/week-1/sunday
        - Lundi|time/lent/week-1/monday
        - Mardi|time/lent/week-1/tuesday
        - Deuxième dimanche|time/lent/week-2/sunday
        - Lundi|time/lent/week-2/monday
        Préfaces
        - Avent I|order/preface/advent-1
        - Avent II|order/preface/advent-2
        - Nativité I|order/preface/nativity-1
        Mars
        - 7 Ste Perpétue et Ste Félicité|saints/03-07/perpetua-and-felicity
        - 17 S. Patrick|saints/03-17/patrick
        - 19 S. Joseph|saints/03-19/joseph
        - 25 Annonciation|saints/03-25/annunciation",
    ),
    (
        PrintedLanguage::De,
        "Fastenzeit
        - Aschermittwoch|time/lent/ash-wednesday
        - Erster Sonntag|time/lent/week-1/sunday
        - Montag|time/lent/week-1/monday
        - Dienstag|time/lent/week-1/tuesday
        - Zweiter Sonntag|time/lent/week-2/sunday
        - Montag|time/lent/week-2/monday
        Präfationen
        - Advent I|order/preface/advent-1
        - Advent II|order/preface/advent-2
        - Weihnachten I|order/preface/nativity-1
        März
        - 7. Hll. Perpetua und Felizitas|saints/03-07/perpetua-and-felicity
        - 17. Hl. Patrick|saints/03-17/patrick
        - 19. Hl. Josef|saints/03-19/joseph
        - 25. Verkündigung des Herrn|saints/03-25/annunciation",
    ),
    (
        PrintedLanguage::It,
        "Tempo di Quaresima
        - Mercoledì delle Ceneri|time/lent/ash-wednesday
        - I Domenica|time/lent/week-1/sunday
        - Lunedì|time/lent/week-1/monday
        - Martedì|time/lent/week-1/tuesday
        - II Domenica|time/lent/week-2/sunday
        - Lunedì|time/lent/week-2/monday
        Prefazi
        - Avvento I|order/preface/advent-1
        - Avvento II|order/preface/advent-2
        - Natale I|order/preface/nativity-1
        Marzo
        - 7 Sante Perpetua e Felicita|saints/03-07/perpetua-and-felicity
        - 17 S. Patrizio|saints/03-17/patrick
        - 19 S. Giuseppe|saints/03-19/joseph
        - 25 Annunciazione del Signore|saints/03-25/annunciation",
    ),
    (
        PrintedLanguage::Pt,
        "Tempo da Quaresma
        - Quarta-feira de Cinzas|time/lent/ash-wednesday
        - 1º Domingo|time/lent/week-1/sunday
        - Segunda-feira|time/lent/week-1/monday
        - Terça-feira|time/lent/week-1/tuesday
        - 2º Domingo|time/lent/week-2/sunday
        - Segunda-feira|time/lent/week-2/monday
        Prefácios
        - Advento I|order/preface/advent-1
        - Advento II|order/preface/advent-2
        - Natal I|order/preface/nativity-1
        Março
        - 7 Stas. Perpétua e Felicidade|saints/03-07/perpetua-and-felicity
        - 17 S. Patrício|saints/03-17/patrick
        - 19 S. José|saints/03-19/joseph
        - 25 Anunciação do Senhor|saints/03-25/annunciation",
    ),
    (
        PrintedLanguage::Pl,
        "Okres Wielkiego Postu
        - Środa Popielcowa|time/lent/ash-wednesday
        - 1 Niedziela|time/lent/week-1/sunday
        - Poniedziałek|time/lent/week-1/monday
        - Wtorek|time/lent/week-1/tuesday
        - 2 Niedziela|time/lent/week-2/sunday
        - Poniedziałek|time/lent/week-2/monday
        Prefacje
        - 1 Prefacja adwentowa|order/preface/advent-1
        - 2 Prefacja adwentowa|order/preface/advent-2
        - 1 Prefacja o Narodzeniu Pańskim|order/preface/nativity-1
        Marzec
        - 7 Św. Perpetuy i Felicyty|saints/03-07/perpetua-and-felicity
        - 17 Św. Patryka|saints/03-17/patrick
        - 19 Św. Józefa|saints/03-19/joseph
        - 25 Zwiastowanie Pańskie|saints/03-25/annunciation",
    ),
];

#[test]
fn what_stands_under_a_heading_is_told_by_it() {
    let mut lost = Vec::new();
    for (language, text) in LISTS {
        let rows = || text.lines().map(str::trim).enumerate();
        let printed = rows().map(|(at, line)| match line.strip_prefix("- ") {
            None => row(at, line, None, 1),
            Some(under) => row(at, under.split('|').next().unwrap(), Some(20 + 5 * at), 2),
        });
        let reading = Reading {
            file: "list.jpg".into(),
            rows: printed.collect(),
            crossrefs: vec![],
            notices: vec![],
        };
        let book = Book::from_readings("List", &[reading], Some(missal()), None, "2026-11-28");
        assert_eq!(book.language, Some(language));
        let found = found(&book);
        for (at, line) in rows() {
            let Some((_, place)) = line.split_once('|') else { continue };
            let given = found.get(&at).map_or("no place", |p| p.as_str());
            if given != place {
                lost.push(format!("{language:?} {line}: {given}"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}
