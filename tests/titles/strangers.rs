//! Lists in languages that the outlines have no titles in: no place is found, and none is wrong. From memory.

use super::{found, read};

const DUTCH: [&str; 16] = [
    "Eigen van de tijd",
    "Adventstijd",
    "Eerste zondag van de advent",
    "Maandag in de eerste week van de advent",
    "Kersttijd",
    "Nachtmis",
    "Feest van de heilige Familie",
    "Openbaring des Heren",
    "Veertigdagentijd",
    "Aswoensdag",
    "Palmzondag van het lijden van de Heer",
    "Witte Donderdag",
    "Paaswake",
    "Hemelvaart van de Heer",
    "Tweede zondag door het jaar",
    "Heilige Jozef, bruidegom van de maagd Maria",
];

const HUNGARIAN: [&str; 14] = [
    "Az évközi részek",
    "Adventi idő",
    "Advent első vasárnapja",
    "Hétfő az első adventi héten",
    "Karácsonyi idő",
    "A Szent Család ünnepe",
    "Urunk megjelenése",
    "Nagyböjti idő",
    "Hamvazószerda",
    "Virágvasárnap",
    "Nagycsütörtök",
    "Húsvéti vigília",
    "Urunk mennybemenetele",
    "Szent József, a Boldogságos Szűz Mária jegyese",
];

const CZECH: [&str; 14] = [
    "Doba adventní",
    "První neděle adventní",
    "Pondělí po první neděli adventní",
    "Doba vánoční",
    "Svátek Svaté rodiny",
    "Slavnost Zjevení Páně",
    "Doba postní",
    "Popeleční středa",
    "Květná neděle",
    "Zelený čtvrtek",
    "Velikonoční vigilie",
    "Nanebevstoupení Páně",
    "Druhá neděle v mezidobí",
    "Svatého Josefa, snoubence Panny Marie",
];

const SWEDISH: [&str; 12] = [
    "Adventstiden",
    "Första söndagen i advent",
    "Måndag i första adventsveckan",
    "Jultiden",
    "Den heliga familjen",
    "Herrens uppenbarelse",
    "Fastetiden",
    "Askonsdagen",
    "Palmsöndagen",
    "Påskvakan",
    "Kristi himmelsfärds dag",
    "Den helige Josef, jungfru Marias brudgum",
];

const CROATIAN: [&str; 12] = [
    "Došašće",
    "Prva nedjelja došašća",
    "Ponedjeljak prvoga tjedna došašća",
    "Božićno vrijeme",
    "Sveta obitelj Isusa, Marije i Josipa",
    "Bogojavljenje",
    "Korizma",
    "Pepelnica",
    "Cvjetnica",
    "Vazmeno bdjenje",
    "Uzašašće Gospodinovo",
    "Sveti Josip, zaručnik Blažene Djevice Marije",
];

/// Next of kin to Spanish and French.
const CATALAN: [&str; 14] = [
    "Propi del temps",
    "Temps d'Advent",
    "Diumenge primer d'Advent",
    "Dilluns de la primera setmana d'Advent",
    "Temps de Nadal",
    "La Sagrada Família de Jesús, Maria i Josep",
    "Epifania del Senyor",
    "Temps de Quaresma",
    "Dimecres de Cendra",
    "Diumenge de Rams, de la Passió del Senyor",
    "Dijous Sant: Missa del Sopar del Senyor",
    "Vetlla Pasqual en la Nit Santa",
    "Diumenge segon de durant l'any",
    "Sant Josep, espòs de la Mare de Déu",
];

/// Next of kin to Polish.
const SLOVAK: [&str; 12] = [
    "Adventné obdobie",
    "Prvá adventná nedeľa",
    "Pondelok po prvej adventnej nedeli",
    "Vianočné obdobie",
    "Sviatok Svätej rodiny",
    "Zjavenie Pána",
    "Pôstne obdobie",
    "Popolcová streda",
    "Kvetná nedeľa",
    "Veľkonočná vigília",
    "Nanebovstúpenie Pána",
    "Svätého Jozefa, ženícha Panny Márie",
];

const MANUAL: [&str; 10] = [
    "Wiring diagram of the bell motor",
    "Battery maintenance",
    "Torque settings",
    "Spare fuses",
    "Checking the clapper bearing",
    "Grease schedule",
    "Emergency stop switch",
    "Warranty conditions",
    "Remote control pairing",
    "Firmware update",
];

#[test]
fn a_language_of_no_outline_is_none_of_ours_and_finds_no_place() {
    let lists: [&[&str]; 8] =
        [&DUTCH, &HUNGARIAN, &CZECH, &SWEDISH, &CROATIAN, &MANUAL, &CATALAN, &SLOVAK];
    for titles in lists {
        let rows: Vec<(usize, &str)> = titles.iter().copied().enumerate().collect();
        let book = read(&rows);
        assert_eq!(book.language, None, "{titles:?}");
        let told = book.notices.iter().any(|n| n.contains("none of the languages"));
        assert!(told, "{:?}", book.notices);
        assert!(found(&book).is_empty(), "{:?}", found(&book));
        assert!(book.entries.iter().any(|e| e.title == titles[0]), "rows are places of its own");
    }
}
