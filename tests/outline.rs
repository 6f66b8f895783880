//! The outlines against the books they describe.

use std::collections::BTreeSet;
use vitta::book::{Outline, OutlinePlace};
use vitta::language::Language;
use vitta::place::Place;

fn missal() -> &'static Outline {
    Outline::shipped("roman-missal-3").unwrap()
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

#[test]
fn every_outline_is_called_by_its_name_and_has_each_address_once() {
    for name in Outline::names() {
        let outline = Outline::shipped(name).unwrap();
        assert_eq!(outline.name, name);
        let mut seen = BTreeSet::new();
        let twice: Vec<_> = outline.places.iter().filter(|p| !seen.insert(&p.place)).collect();
        assert!(twice.is_empty(), "{name}: {twice:?}");
    }
}

/// Every heading stands one level under the one above it, or further out.
#[test]
fn headings_open_one_level_at_a_time() {
    for name in Outline::names() {
        let outline = Outline::shipped(name).unwrap();
        let mut level = 0;
        for p in &outline.places {
            assert!(p.level >= 1 && p.level <= level + 2, "{name}: {} jumps a level", p.place);
            level = p.level;
        }
    }
}

/// Order of the sections: Catholic bishops of the United States, "Parts of the Roman Missal"; the
/// Order of Mass stands in the middle of the book.
#[test]
fn the_sections_follow_the_book() {
    let sections: Vec<_> =
        missal().places.iter().filter(|p| p.level == 1).map(|p| p.place.as_str()).collect();
    assert_eq!(
        sections,
        [
            "front", "time", "order", "saints", "common", "ritual", "needs", "votive", "dead",
            "appendix", "index"
        ]
    );
}

/// Numbers 33–82 of the Order of Mass, third typical edition, are the fifty prefaces: 82 − 33 + 1;
/// number 116 opens Eucharistic Prayer IV (Paul Turner, answer on prefaces, paulturner.org).
#[test]
fn the_order_of_mass_is_numbered_without_gap() {
    let numbered: Vec<_> = missal()
        .places
        .iter()
        .filter(|p| !matches!(p.place.as_str(), "order" | "order/preface"))
        .filter_map(|p| p.order_numbers.map(|n| (p.place.as_str(), n)))
        .collect();
    let mut next = 1;
    for (place, (first, last)) in &numbered {
        assert_eq!(*first, next, "{place}");
        next = last + 1;
    }
    assert_eq!(next, 147);
    let prefaces = numbered.iter().filter(|(p, _)| p.starts_with("order/preface/")).count();
    assert_eq!(prefaces, 50);
    assert_eq!(missal().get(&place("order/prayer/4")).unwrap().order_numbers, Some((116, 123)));
}

/// An altar edition of the third typical edition has some 1,300 to 1,500 pages (common practice).
#[test]
fn the_lengths_add_up_to_an_altar_edition() {
    let general = missal().places.iter().filter(|p| p.nations.is_empty());
    let pages: f64 = general.map(|p| p.pages).sum();
    assert!((1300.0..1500.0).contains(&pages), "{pages}");
}

#[test]
fn saints_follow_the_calendar_year() {
    let days: Vec<_> = missal()
        .places
        .iter()
        .filter_map(|p| p.place.as_str().strip_prefix("saints/"))
        .filter(|rest| rest.as_bytes().get(2) == Some(&b'-'))
        .filter_map(|rest| rest.split('/').next())
        .collect();
    assert!(days.len() > 230);
    assert!(days.is_sorted(), "{:?}", days.windows(2).find(|w| w[0] > w[1]));
}

#[test]
fn a_weekday_stands_under_its_sunday_season_and_section() {
    let at = missal().position(&place("time/lent/week-1/thursday")).unwrap();
    let above: Vec<_> = missal().headings(at).iter().map(|p| p.title.en.as_str()).collect();
    assert_eq!(above, ["Proper of Time", "Lent", "First Sunday of Lent"]);
    assert!(missal().headings(0).is_empty());
    assert!(missal().get(&place("time/lent/week-9/sunday")).is_none());
}

fn shipped(name: &str) -> &'static Outline {
    Outline::shipped(name).unwrap()
}

/// Outlines taken from the missal keep its addresses and titles, so that a correction of one is a
/// correction of all.
#[test]
fn the_same_place_has_the_same_titles_in_every_book_of_the_third_edition() {
    let mut other = Vec::new();
    for name in ["chair-book", "weekday-chapel"] {
        for p in &shipped(name).places {
            let in_missal = missal().get(&p.place);
            let same = |m: &&OutlinePlace| m.title == p.title && m.aliases == p.aliases;
            if in_missal.filter(same).is_none_or(|m| m.level != p.level) {
                other.push((name, &p.place));
            }
        }
    }
    assert!(other.is_empty(), "{other:?}");
}

/// A book for the chair holds the rites at the chair and no Eucharistic Prayer (Adoremus, 15 March
/// 2016: antiphon, Collect, Prayer after Communion).
#[test]
fn a_chair_book_holds_sundays_and_solemnities_only() {
    let chair = shipped("chair-book");
    let has = |path: &str| chair.get(&place(path)).is_some();
    assert!(has("time/ordinary/week-5") && has("saints/08-15/assumption/day"));
    assert!(has("order/introductory") && has("appendix/sprinkling"));
    let not = ["order/prayer/2", "order/preface/lent-1", "time/lent/week-1/monday", "common"];
    assert!(!not.iter().any(|path| has(path)));
    assert!(!has("saints/01-21/agnes"));
}

#[test]
fn a_weekday_book_leaves_sundays_and_holy_week_to_the_large_one() {
    let chapel = shipped("weekday-chapel");
    let has = |path: &str| chapel.get(&place(path)).is_some();
    assert!(has("time/lent/week-1/monday") && has("saints/01-21/agnes") && has("order/prayer/2"));
    assert!(has("time/ordinary/week-5") && has("common/virgins/one/1"));
    let not = ["time/lent/week-1/sunday", "time/triduum/vigil", "ritual", "time/easter/pentecost"];
    assert!(!not.iter().any(|path| has(path)));
}

/// Before the newer missal the Order and Canon stood in the middle of the Proper of the Season,
/// between Holy Saturday and Easter Sunday (description of a Franciscan altar missal, 2021).
#[test]
fn the_canon_of_1962_stands_before_easter_sunday() {
    let old = shipped("roman-missal-1962");
    let at = |path: &str| old.position(&place(path)).unwrap();
    let order = ["time/triduum/vigil", "order/preface", "order/prayer/1", "time/easter/sunday"];
    assert!(order.map(at).is_sorted());
    let before: f64 = old.places.iter().take(at("order/prayer/1")).map(|p| p.pages).sum();
    let all: f64 = old.places.iter().map(|p| p.pages).sum();
    assert!((0.3..0.6).contains(&(before / all)), "{}", before / all);
    let sections = old.places.iter().filter(|p| p.place.is_under("saints") && p.level == 2);
    assert_eq!(sections.map(|p| p.place.as_str()).next(), Some("saints/november-advent"));
}

/// The forms of a title help only if they rarely lead to another place: of the titles as printed in
/// full none does, in any language.
#[test]
fn no_two_places_have_the_same_full_title() {
    for language in [Language::En, Language::Es, Language::La] {
        let mut seen = BTreeSet::new();
        let titled = missal().places.iter().filter(|p| match language {
            Language::En => true,
            Language::Es => p.title.es.is_some(),
            Language::La => p.title.la.is_some(),
        });
        let twice: Vec<_> =
            titled.map(|p| p.title.get(language)).filter(|title| !seen.insert(*title)).collect();
        assert!(twice.is_empty(), "{language:?}: {twice:?}");
        assert!(seen.len() > 980, "{language:?}: {}", seen.len());
    }
}

/// Older English books called it otherwise (Federation of Diocesan Liturgical Commissions, region 7,
/// glossary); contents and indexes abbreviate (common practice).
#[test]
fn places_are_known_by_their_other_names() {
    let cases = [
        ("time", "Proper of Seasons"),
        ("order/blessing", "Solemn Blessings"),
        ("time/christmas", "Christmas Season"),
        ("saints/03-19/joseph", "St. Joseph"),
        ("saints/03-19/joseph", "Joseph, Husband of the Blessed Virgin Mary, St."),
        ("saints/11-02/all-souls", "All Souls"),
        ("saints/07-29/martha-mary-and-lazarus", "St. Martha"),
        ("order/preface/nativity-1", "Christmas I"),
        ("order/preface/lent-4", "The Fruits of Fasting"),
        ("time/ordinary/corpus-christi", "Corpus Christi"),
        ("common/holy/mercy", "For Those Who Worked for the Underprivileged"),
    ];
    let known = |(path, name): &&(&str, &str)| {
        missal().get(&place(path)).unwrap().forms(Language::En).iter().any(|form| form == name)
    };
    let missing: Vec<_> = cases.iter().filter(|case| !known(case)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
