//! The texts of the nations: every celebration they bring has texts that stand in the missal, by its class;
//! and days whose preface, Gloria, Creed, colour and Common have been printed.

use crate::calendar::nations::{Calendars, Row, a_day, rows};
use serde::Deserialize;
use std::collections::HashSet;
use vitta::book::Outline;
use vitta::calendar::{Celebration, Day, Rank};
use vitta::language::Language;
use vitta::order::{Service, Settings, service};
use vitta::place::Place;

fn places<'s>(service: &'s Service, moment: &str) -> Vec<&'s str> {
    let need = service.needs.iter().find(|n| n.moment == moment);
    need.iter().flat_map(|n| &n.places).map(|c| c.place.as_str()).collect()
}

/// A row of `fixtures/years/text-checks.csv`.
#[derive(Debug, Deserialize)]
struct Printed {
    date: String,
    celebration: String,
    gloria: String,
    creed: String,
    colour: String,
    source: String,
    calendar: String,
    /// The Mass, where it is not what the day keeps.
    mass: String,
    /// Each must be among the prefaces offered.
    prefaces: String,
    /// Each must head a Common offered.
    commons: String,
    difference: String,
}

fn faults(row: &Printed, service: &Service) -> Vec<String> {
    let mut faults = Vec::new();
    let offered = places(service, "preface");
    for preface in row.prefaces.split(';').filter(|p| !p.is_empty()) {
        if !offered.contains(&preface) {
            faults.push(format!("preface {preface}, found {offered:?}"));
        }
    }
    for (what, printed, found) in
        [("Gloria", &row.gloria, service.said.gloria), ("Creed", &row.creed, service.said.creed)]
    {
        if (printed == "yes" && !found) || (printed == "no" && found) {
            faults.push(format!("{what} {printed}, found {found}"));
        }
    }
    let colours: Vec<&str> = service.said.colours.iter().map(|c| c.name()).collect();
    let printed: Vec<&str> = row.colour.split(" or ").filter(|c| !c.is_empty()).collect();
    if !printed.iter().all(|c| colours.contains(c)) {
        faults.push(format!("colour {}, found {colours:?}", row.colour));
    }
    let all: Vec<&str> = ["collect", "offerings"].iter().flat_map(|m| places(service, m)).collect();
    for common in row.commons.split(';').filter(|c| !c.is_empty()) {
        if !all.iter().any(|p| p.starts_with(common)) {
            faults.push(format!("Common {common}, found {all:?}"));
        }
    }
    faults
}

/// 72 days of printed directories, 2008 to 2025: each row names its source, and says where it is not followed
/// to the letter and why. "silent" and an empty field ask for nothing; what follows from the ranks is asked
/// by other tests.
#[test]
fn printed_texts_agree() {
    let rows: Vec<Printed> = rows("text-checks.csv");
    assert_eq!(rows.len(), 72);
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for row in rows.iter().filter(|r| !r.difference.starts_with("not asked")) {
        let calendar = calendars.get(&row.calendar);
        let day = calendar.day(row.date.parse().unwrap(), Language::En).unwrap();
        let asked = Place::new(&row.mass);
        let found = match service(&day, asked.as_ref(), &Settings::default()) {
            Ok(service) => faults(row, &service),
            Err(error) => vec![error.to_string()],
        };
        if !found.is_empty() {
            let Printed { date, celebration, source, .. } = row;
            wrong.push(format!("{date} {celebration}: {}\n    {source}", found.join("; ")));
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// The headings of the Commons for a class of the table.
fn commons_of(class: &str) -> &'static [&'static str] {
    match class {
        "mary" => &["common/mary"],
        "martyr" => &["common/martyrs"],
        "pastor" => &["common/pastors"],
        "missionary" => &[
            "common/pastors/missionaries",
            "common/martyrs/missionar",
            "common/pastors",
            "common/holy",
            "common/martyrs",
        ],
        "doctor" => &["common/doctors"],
        "virgin" => &["common/virgins", "common/martyrs/virgin"],
        "religious" => &["common/holy", "common/virgins"],
        "holy-woman" => &["common/holy/women", "common/holy/mercy", "common/holy/religious"],
        _ => &[""],
    }
}

/// The prefaces that a class may have on a feast.
fn prefaces_of(class: &str) -> &'static [&'static str] {
    match class {
        "mary" => &["order/preface/mary"],
        "martyr" => &["order/preface/martyrs"],
        "pastor" | "missionary" => &["order/preface/pastors"],
        "virgin" | "religious" => &["order/preface/virgins"],
        "doctor" => &["order/preface/pastors", "order/preface/saints", "order/preface/virgins"],
        "holy-woman" => &["order/preface/saints", "order/preface/virgins"],
        _ => &[""],
    }
}

fn faults_of_class(row: &Row, day: &Day, celebration: &Celebration) -> Vec<String> {
    let service = service(day, Some(&celebration.id), &Settings::default()).unwrap();
    let classes: Vec<&str> = row.class.split('+').collect();
    let all: Vec<&str> =
        ["collect", "offerings"].iter().flat_map(|m| places(&service, m)).collect();
    let own = all.iter().all(|p| !p.starts_with("common/"));
    let fits = |p: &&str| classes.iter().any(|c| commons_of(c).iter().any(|h| p.starts_with(h)));
    let mut faults = Vec::new();
    if !own && !all.iter().any(fits) {
        faults.push(format!("{}: Commons {all:?}", row.class));
    }
    let prefaces = places(&service, "preface");
    let festive = matches!(celebration.rank, Rank::Solemnity | Rank::Feast | Rank::FeastOfTheLord);
    let of_class = |p: &&str| {
        let own = !p.starts_with("order/preface");
        own || classes.iter().any(|c| prefaces_of(c).iter().any(|h| p.starts_with(h)))
    };
    if festive && !prefaces.iter().all(of_class) {
        faults.push(format!("{}: prefaces {prefaces:?}", row.class));
    }
    if festive != service.said.gloria && celebration.rank != Rank::DayOfPrayer {
        faults.push(format!("Gloria {}", service.said.gloria));
    }
    faults
}

/// The class that each row of the table names leads to its Commons, and on feasts to its preface.
#[test]
fn a_celebration_has_the_commons_and_prefaces_of_its_class() {
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for row in rows::<Row>("nations.csv").iter().filter(|r| !r.id.is_empty() && !r.class.is_empty())
    {
        let Some((day, celebration)) = a_day(row, calendars.get(&row.calendar)) else { continue };
        for fault in faults_of_class(row, &day, &celebration) {
            wrong.push(format!("{} {} {}: {fault}", row.nation, day.date, row.celebration));
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// Whatever a nation lets one celebrate in these years has, for each moment, a text that the missal has.
#[test]
fn every_celebration_of_every_nation_in_2024_to_2030_has_texts_in_the_missal() {
    let missal = Outline::shipped("roman-missal-3").unwrap();
    let mut calendars = Calendars::default();
    let mut wrong = Vec::new();
    for name in vitta::calendar::names() {
        let mut seen = HashSet::new();
        for year in 2024..=2030 {
            for day in calendars.get(name).year(year).unwrap().days() {
                let day = day.write(Language::En);
                for c in &day.celebrations {
                    if !seen.insert((c.id.clone(), c.rank.name(), day.season.name(), day.after)) {
                        continue;
                    }
                    match service(&day, Some(&c.id), &Settings::default()) {
                        Ok(service) => wrong.extend(
                            service
                                .needs
                                .iter()
                                .filter(|n| n.places.iter().all(|p| missal.get(&p.place).is_none()))
                                .map(|n| format!("{name} {} {}: {}", day.date, c.id, n.moment)),
                        ),
                        Err(error) => wrong.push(format!("{name} {} {}: {error}", day.date, c.id)),
                    }
                }
            }
        }
        assert!(seen.len() > 300, "{name}: {}", seen.len());
    }
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}

/// Ten celebrations of each nation, drawn at random from 2024 to 2030, were read as a master of ceremonies reads
/// them; what was wrong there stays mended. A martyr has the preface of martyrs, whichever Common a list names
/// first (Order of Mass 66–67: its heading; common practice). Boniface's feast is Germany's, its rank elsewhere in
/// the German-speaking area not known, so that of the General Calendar (from memory).
#[test]
fn what_a_reader_of_national_cards_found_stays_mended() {
    let mut calendars = Calendars::default();
    for (calendar, date, id) in [
        ("germany", "2029-09-18", "saints/09-18/lambert"),
        ("austria", "2026-07-20", "saints/07-20/margaret-of-antioch"),
    ] {
        let day = calendars.get(calendar).day(date.parse().unwrap(), Language::En).unwrap();
        let mass = service(&day, Place::new(id).as_ref(), &Settings::default()).unwrap();
        assert_eq!(places(&mass, "preface")[0], "order/preface/martyrs-1", "{id}");
    }
    // A saint of another nation's calendar, on a free day elsewhere.
    let day = calendars.get("general").day("2026-06-16".parse().unwrap(), Language::En).unwrap();
    let vitus =
        service(&day, Place::new("saints/06-15/vitus").as_ref(), &Settings::default()).unwrap();
    assert_eq!(vitus.said.colours, [vitta::calendar::Colour::Red]);
    assert!(places(&vitus, "offerings").iter().all(|p| p.starts_with("common/martyrs")));
    assert_eq!(places(&vitus, "preface")[0], "order/preface/martyrs-1");
    for (calendar, rank) in
        [("germany", Rank::Feast), ("austria", Rank::Memorial), ("switzerland", Rank::Memorial)]
    {
        let day = calendars.get(calendar).day("2029-06-05".parse().unwrap(), Language::En).unwrap();
        let kept = day.kept().unwrap();
        assert_eq!((kept.id.as_str(), kept.rank), ("saints/06-05/boniface", rank), "{calendar}");
    }
}
