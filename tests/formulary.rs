//! The formularies against the outline, the calendar, and published rules.

use std::collections::{BTreeMap, BTreeSet};
use vitta::book::Outline;
use vitta::calendar::{Calendar, Season};
use vitta::language::Language;
use vitta::order::{Binding, Formulary, Part};
use vitta::place::Place;

fn missal() -> &'static Outline {
    Outline::shipped("roman-missal-3").unwrap()
}

fn at(date: &str) -> chrono::NaiveDate {
    date.parse().unwrap()
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

fn formulary(path: &str) -> &'static Formulary {
    Formulary::of(&place(path)).unwrap().unwrap_or_else(|| panic!("no formulary for {path}"))
}

/// Every place a formulary names is in the outline.
#[test]
fn formularies_name_only_places_of_the_outline() {
    let mut unknown = BTreeSet::new();
    for f in Formulary::shipped().unwrap() {
        let named =
            f.at.iter()
                .chain(&f.commons)
                .chain(f.prefaces.iter().flat_map(|p| &p.places))
                .chain(f.inserts.iter().flat_map(|i| i.prayers.iter().chain([&i.at])))
                .chain(&f.blessings)
                .chain(&f.vigil)
                .chain(&f.masses);
        unknown.extend(named.filter(|p| missal().get(p).is_none()).map(|p| (&f.serves, p)));
    }
    assert!(unknown.is_empty(), "{unknown:#?}");
}

/// Every Mass of the Proper of Time has a formulary, and its texts stand in the book.
#[test]
fn every_mass_of_the_proper_of_time_has_a_formulary() {
    let mut without = Vec::new();
    let days = missal().places.iter().map(|p| &p.place).filter(|p| p.is_under("time"));
    for day in days {
        let depth = day.as_str().split('/').count();
        let part = day.as_str().ends_with("/preface")
            || depth < 3
            || (depth == 4 && day.is_under("time/triduum"));
        let heading = matches!(
            day.as_str(),
            "time/christmas/weekday" | "time/easter/octave" | "time/ordinary/solemnities"
        );
        let entrance = day.as_str().contains("-entrance") || day.as_str().ends_with("/procession");
        if part || heading || entrance {
            continue;
        }
        match Formulary::of(day).unwrap() {
            Some(f) if is_printed(day, f) => {}
            _ => without.push(day.as_str()),
        }
    }
    assert!(without.is_empty(), "{without:?}");
}

/// Preface II of Advent from 17 December, also on a Third Sunday (Portsmouth diocese, Prefaces of
/// the Roman Missal (8); Paul Turner, Third Sunday of Advent); the preface of the Samaritan Woman
/// with the Gospel of Year A only (And With Your Spirit, 9 March 2012).
#[test]
fn a_preface_may_depend_on_the_date_or_the_cycle() {
    let mut day =
        Calendar::shipped("general").unwrap().day(at("2026-06-01"), Language::En).unwrap();
    let mut first = |id: &str, on: &str, cycle: char| {
        let f = formulary(id);
        (day.date, day.sunday_cycle) = (at(&format!("2026-{on}")), cycle);
        let prefaces = f.prefaces_on(&day).unwrap();
        (prefaces.binding, prefaces.places[0].as_str().to_owned())
    };
    let cases = [
        ("time/advent/week-3/sunday", "12-16", 'A', Binding::Season, "order/preface/advent-1"),
        ("time/advent/week-3/sunday", "12-17", 'A', Binding::Season, "order/preface/advent-2"),
        (
            "time/lent/week-3/sunday",
            "03-08",
            'A',
            Binding::Assigned,
            "time/lent/week-3/sunday/preface",
        ),
        ("time/lent/week-3/sunday", "03-08", 'B', Binding::Season, "order/preface/lent-1"),
        ("time/lent/week-5/friday", "03-28", 'B', Binding::Season, "order/preface/passion-1"),
        ("time/lent/after-ash/friday", "03-01", 'B', Binding::Season, "order/preface/lent-3"),
    ];
    let wrong: Vec<_> = cases
        .iter()
        .filter(|(day, on, cycle, binding, preface)| {
            first(day, on, *cycle) != (*binding, (*preface).to_owned())
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Whether the book has a place for the celebration's own texts: the one its entry names, its own,
/// or for a weekday of Ordinary Time that of the week.
fn is_printed(id: &Place, f: &Formulary) -> bool {
    let week = id.as_str().rsplit_once('/').filter(|(week, _)| week.contains("/ordinary/week-"));
    let places = [f.at.clone(), Some(id.clone()), week.map(|(week, _)| place(week))];
    places.iter().flatten().any(|p| missal().get(p).is_some())
}

/// Whether the formulary leads to a Collect, or says why there is none.
fn has_texts(id: &Place, f: &Formulary, season: Season) -> bool {
    let own = f.own.contains(&Part::Collect) && is_printed(id, f);
    let commons = !f.commons_in(season, missal()).is_empty();
    own || commons || !f.masses.is_empty() || id.as_str() == "time/triduum/holy-saturday"
}

/// On every day of seven years, whatever the general calendar lets one celebrate has its texts.
#[test]
fn every_celebration_of_2024_to_2030_has_its_texts() {
    let calendar = Calendar::shipped("general").unwrap();
    let mut without = BTreeMap::new();
    let mut checked = BTreeSet::new();
    for year in 2024..=2030 {
        for day in calendar.year(year).unwrap().days() {
            let day = day.write(Language::En);
            let mut new = |id: &Place| checked.insert((id.clone(), day.season.name()));
            for c in day.celebrations.iter().filter(|c| new(&c.id)) {
                let found = Formulary::of(&c.id).unwrap();
                if !found.is_some_and(|f| has_texts(&c.id, f, day.season)) {
                    without.entry(c.id.to_string()).or_insert(day.date);
                }
            }
        }
    }
    assert!(without.is_empty(), "{without:#?}");
}

/// Every celebration of the general calendar has an entry of its own, not a pattern's.
#[test]
fn every_saint_of_the_general_calendar_has_an_entry() {
    let calendar = Calendar::shipped("general").unwrap();
    let year = calendar.year(2027).unwrap();
    let mut checked = BTreeSet::new();
    let mut without = BTreeSet::new();
    for day in year.days() {
        for c in day.celebrations().filter(|c| c.id.is_under("saints")) {
            let f = Formulary::of(&c.id).unwrap();
            if !f.is_some_and(|f| f.serves.iter().any(|s| s == c.id.as_str())) {
                without.insert(c.id.to_string());
            }
            checked.insert(c.id.to_string());
        }
    }
    assert!(without.is_empty(), "{without:#?}");
    assert!(checked.len() > 180, "{}", checked.len());
}

fn names(places: &[Place]) -> Vec<&str> {
    places.iter().map(Place::as_str).collect()
}

/// Days whose preface is printed with the day: Liturgy Brisbane, "Finding Things in the New Missal"
/// (September 2011), and for Mary Magdalene the decree of 3 June 2016; obligatory, so that
/// Eucharistic Prayer IV is excluded (Order of Mass 116).
#[test]
fn days_with_a_preface_of_their_own() {
    let days = [
        "time/christmas/baptism",
        "time/lent/week-1/sunday",
        "time/lent/week-2/sunday",
        "time/holy-week/palm-sunday",
        "time/holy-week/chrism",
        "time/easter/pentecost",
        "time/ordinary/trinity",
        "time/ordinary/sacred-heart",
        "time/ordinary/christ-the-king",
        "saints/02-02/presentation",
        "saints/03-19/joseph",
        "saints/03-25/annunciation",
        "saints/06-24/nativity-of-john-the-baptist",
        "saints/06-29/peter-and-paul",
        "saints/07-22/mary-magdalene",
        "saints/08-06/transfiguration",
        "saints/08-15/assumption",
        "saints/09-14/exaltation-of-the-cross",
        "saints/09-29/archangels",
        "saints/11-01/all-saints",
        "saints/12-08/immaculate-conception",
    ];
    let new_year =
        Calendar::shipped("general").unwrap().day(at("2027-01-01"), Language::En).unwrap();
    let wrong: Vec<_> = days
        .iter()
        .filter(|day| {
            let prefaces = formulary(day).prefaces_on(&new_year).unwrap();
            let own = format!("{day}/preface");
            prefaces.binding != Binding::Assigned || prefaces.places[0].as_str() != own
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// A published insert sheet prints under Saint Marianne Cope "From the Common of Virgins: For One
/// Virgin, or from the Common of Holy Men and Women: For Those Who Practiced Works of Mercy".
#[test]
fn commons_stand_in_the_order_of_the_heading() {
    let cope = formulary("saints/01-23/marianne-cope");
    let masses = cope.commons_in(Season::Ordinary, missal());
    assert_eq!(
        names(&masses),
        [
            "common/virgins/one/1",
            "common/virgins/one/2",
            "common/virgins/one/3",
            "common/holy/mercy"
        ]
    );
}

/// The Commons of Martyrs and of the Virgin Mary are divided by season (from memory of their
/// headings).
#[test]
fn commons_follow_the_season() {
    let george = formulary("saints/04-23/george");
    let easter = george.commons_in(Season::Easter, missal());
    assert_eq!(names(&easter), ["common/martyrs/easter-one/1", "common/martyrs/easter-one/2"]);
    assert_eq!(george.commons_in(Season::Ordinary, missal()).len(), 5);
    let fatima = formulary("saints/05-13/our-lady-of-fatima");
    assert_eq!(names(&fatima.commons_in(Season::Easter, missal())), ["common/mary/easter"]);
    let saturday = formulary("saints/saturday-of-mary");
    assert_eq!(saturday.commons_in(Season::Ordinary, missal()).len(), 8);
}

/// Double Alleluia at the dismissal: from the Easter Vigil through the Second Sunday of Easter, and
/// at Pentecost, vigil and day; never between (Paul Turner, "Double alleluia"; EPriest, 21 April
/// 2024).
#[test]
fn the_double_alleluia_ends_with_the_second_sunday_of_easter() {
    let cases = [
        ("time/triduum/vigil", true),
        ("time/easter/sunday", true),
        ("time/easter/octave/thursday", true),
        ("time/easter/week-2/sunday", true),
        ("time/easter/week-2/monday", false),
        ("time/easter/week-3/sunday", false),
        ("time/easter/ascension", false),
        ("time/easter/week-7/sunday", false),
        ("time/easter/pentecost/vigil", true),
        ("time/easter/pentecost", true),
        ("time/ordinary/trinity", false),
    ];
    let wrong: Vec<_> =
        cases.iter().filter(|(day, double)| formulary(day).dismissal_alleluia != *double).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Sequences: obligatory at Easter and Pentecost, elsewhere optional (GIRM 64).
#[test]
fn sequences() {
    use vitta::order::Sequence::{Obligatory, Optional};
    let cases = [
        ("time/easter/sunday", Some(Obligatory)),
        ("time/easter/pentecost", Some(Obligatory)),
        ("time/easter/octave/monday", Some(Optional)),
        ("time/ordinary/corpus-christi", Some(Optional)),
        ("saints/09-15/our-lady-of-sorrows", Some(Optional)),
        ("time/easter/week-2/sunday", None),
        ("time/easter/pentecost/vigil", None),
    ];
    let wrong: Vec<_> =
        cases.iter().filter(|(day, sequence)| formulary(day).sequence != *sequence).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Masses of the evening before: Nativity, Epiphany, Ascension, Pentecost, the Birth of John the
/// Baptist, Peter and Paul, the Assumption (third typical edition, from memory).
#[test]
fn celebrations_with_a_vigil_mass() {
    let with: BTreeSet<_> = Formulary::shipped()
        .unwrap()
        .iter()
        .filter_map(|f| f.vigil.as_ref().map(Place::as_str))
        .collect();
    let expected = BTreeSet::from([
        "time/christmas/nativity/vigil",
        "time/christmas/epiphany/vigil",
        "time/easter/ascension/vigil",
        "time/easter/pentecost/vigil",
        "saints/06-24/nativity-of-john-the-baptist/vigil",
        "saints/06-29/peter-and-paul/vigil",
        "saints/08-15/assumption/vigil",
    ]);
    assert_eq!(with, expected);
}
