//! What kind of Mass is shown, in which colour, with which preface: by law before distance, by the day as kept.

use vitta::calendar::{Calendar, Colour, Day, Rank};
use vitta::language::Language;
use vitta::order::{DayChoices, MassKind, Service, Settings, service};
use vitta::place::Place;

fn day(calendar: &str, date: &str) -> Day {
    Calendar::shipped(calendar).unwrap().day(date.parse().unwrap(), Language::En).unwrap()
}

fn said(calendar: &str, date: &str, mass: &str) -> Service {
    service(&day(calendar, date), Place::new(mass).as_ref(), &Settings::default())
        .unwrap_or_else(|e| panic!("{calendar} {date} {mass}: {e}"))
}

fn prefaces(service: &Service) -> Vec<&str> {
    let need = service.needs.iter().find(|n| n.moment == "preface").unwrap();
    need.places.iter().map(|c| c.place.as_str().trim_start_matches("order/preface/")).collect()
}

/// GIRM 346 d, e and 347 (read in an Italian quotation): the colour of the Mass, never the weekday's; for the
/// dead violet or black in Poland (Diocese of Radom 2019), also white in the United States (common practice).
#[test]
fn another_mass_has_its_own_kind_and_colour() {
    use Colour::{Black, Red, Violet, White};
    let cases: [(&str, &str, &str, MassKind, &[Colour]); 10] = [
        ("general", "2026-06-18", "ritual/marriage/a", MassKind::Ritual, &[White]),
        ("general", "2026-03-10", "ritual/baptism/a", MassKind::Ritual, &[White]),
        ("general", "2026-06-18", "ritual/confirmation/a", MassKind::Ritual, &[Red, White]),
        ("general", "2026-06-18", "votive/precious-blood", MassKind::Votive, &[Red]),
        ("poland", "2020-04-03", "votive/sacred-heart", MassKind::Votive, &[White, Violet]),
        ("general", "2026-06-18", "needs/31-war", MassKind::Needs, &[Violet]),
        ("general", "2026-06-18", "needs/21-nation", MassKind::Needs, &[Colour::Green]),
        (
            "poland",
            "2026-06-18",
            "dead/funeral/outside-easter",
            MassKind::Funeral,
            &[Violet, Black],
        ),
        (
            "united-states",
            "2026-06-18",
            "dead/funeral/outside-easter",
            MassKind::Funeral,
            &[Violet, White, Black],
        ),
        ("general", "2026-06-18", "common/martyrs/one/1", MassKind::OwnChoice, &[Red]),
    ];
    for (calendar, date, mass, kind, colours) in cases {
        let said = said(calendar, date, mass).said;
        assert_eq!((said.kind, said.colours.as_slice()), (kind, colours), "{calendar} {mass}");
        assert_eq!(said.rank, None, "{mass} has no rank of the day's");
    }
    let vigil = said("general", "2026-04-04", "time/triduum/vigil").said;
    assert_eq!((vigil.colours, vigil.gloria), (vec![White], true));
}

/// General Instruction as adapted in the United States 373: one Mass in white, the other in violet; never the
/// Sunday week's prayers.
#[test]
fn the_day_of_prayer_of_the_united_states_has_its_masses() {
    for (mass, collect, colour) in [
        ("saints/01-22/unborn-children", "needs/48-1-human-life", Colour::White),
        ("needs/30-peace/a", "needs/30-peace/a", Colour::Violet),
    ] {
        let service = said("united-states", "2026-01-22", mass);
        let need = service.needs.iter().find(|n| n.moment == "collect").unwrap();
        assert_eq!(need.places[0].place.as_str(), collect);
        assert_eq!(
            (service.said.rank, &service.said.colours),
            (Some(Rank::DayOfPrayer), &vec![colour])
        );
        assert!(!service.said.gloria && !service.said.creed);
    }
    let usual = service(&day("united-states", "2023-01-23"), None, &Settings::default()).unwrap();
    assert!(usual.needs.iter().any(|n| n.places[0].place.as_str() == "needs/48-1-human-life"));
}

/// Rubrics of the prefaces, Order of Mass 62–71 (from memory): those of Mary in her Masses, those of a class
/// on feasts; the season's only beside a memorial. Epiphany and Ascension by the day as kept.
#[test]
fn the_preface_follows_the_law_and_the_day_as_kept() {
    let own = ["saints/07-04/independence-day"];
    let cases: [(&str, &str, &str, &[&str]); 13] = [
        (
            "united-states",
            "2026-12-12",
            "saints/12-12/our-lady-of-guadalupe",
            &["mary-1", "mary-2"],
        ),
        ("mexico", "2027-12-12", "saints/12-12/our-lady-of-guadalupe", &["mary-1", "mary-2"]),
        ("general", "2026-12-10", "saints/12-10/our-lady-of-loreto", &["mary-1", "mary-2"]),
        (
            "australia",
            "2026-04-25",
            "saints/04-25/anzac-day",
            &["easter-1", "easter-2", "easter-3", "easter-4", "easter-5"],
        ),
        ("england", "2027-03-17", "saints/03-17/patrick", &["pastors"]),
        ("wales", "2027-03-01", "saints/03-01/david", &["pastors"]),
        ("italy", "2027-04-29", "saints/04-29/catherine-of-siena", &["virgins"]),
        ("united-states", "2026-07-04", "saints/07-04/independence-day", &own),
        ("united-states", "2026-11-26", "saints/thanksgiving", &["saints/thanksgiving"]),
        (
            "united-states",
            "2026-01-06",
            "time/christmas/weekday/tuesday",
            &["epiphany", "nativity-1", "nativity-2", "nativity-3"],
        ),
        (
            "england",
            "2026-01-05",
            "time/christmas/weekday/monday",
            &["nativity-1", "nativity-2", "nativity-3"],
        ),
        (
            "england",
            "2026-05-15",
            "time/easter/week-6/friday",
            &[
                "ascension-1",
                "ascension-2",
                "easter-1",
                "easter-2",
                "easter-3",
                "easter-4",
                "easter-5",
            ],
        ),
        (
            "united-states",
            "2026-05-15",
            "time/easter/week-6/friday",
            &["easter-1", "easter-2", "easter-3", "easter-4", "easter-5"],
        ),
    ];
    for (calendar, date, mass, expected) in cases {
        let service = said(calendar, date, mass);
        assert_eq!(prefaces(&service), expected, "{calendar} {date} {mass}");
    }
}

/// Eucharistic Prayer IV keeps its own preface (Order of Mass 116, GIRM 365d): not on a feast whose class has
/// one, but on a memorial that may take another.
#[test]
fn the_fourth_prayer_yields_to_the_preface_of_a_class() {
    for (calendar, date, against) in
        [("england", "2027-03-17", true), ("general", "2026-01-31", false)]
    {
        let day = day(calendar, date);
        let mut settings = Settings::default();
        let fourth = DayChoices { prayer: Place::new("order/prayer/4"), ..DayChoices::default() };
        settings.days.insert(day.date, fourth);
        let service = service(&day, None, &settings).unwrap();
        let told = service.notes.iter().any(|n| n.en.contains("Against the rule"));
        assert_eq!(told, against, "{calendar} {date}");
    }
}

/// GIRM 355 b, c and 375: a saint from the Martyrology only on the day he stands there; on free days any saint
/// has a votive Mass.
#[test]
fn a_saint_is_chosen_on_his_day_or_as_a_votive_mass() {
    let francis = "saints/10-04/francis-of-assisi";
    let matthias = said("germany", "2027-05-14", "saints/05-14/matthias");
    assert!(matthias.notes.iter().any(|n| n.en.contains("a saint of this day")));
    let votive = said("general", "2026-02-12", francis);
    assert!(votive.notes.iter().any(|n| n.en.contains("GIRM 375")), "{:?}", votive.notes);
    let easter = day("general", "2026-04-14");
    let refused = service(&easter, Place::new(francis).as_ref(), &Settings::default());
    assert!(refused.unwrap_err().to_string().contains("only on the day on which he stands there"));
    let common = said("general", "2026-02-12", "common/pastors/one");
    assert!(common.notes.iter().any(|n| n.en.contains("not known here")));
}

/// The extended Vigil of Pentecost is named beside the Vigil and may be chosen.
#[test]
fn pentecost_has_a_longer_vigil() {
    let extended = "time/easter/pentecost/vigil-extended";
    let service = said("general", "2026-05-24", extended);
    assert!(service.needs.iter().any(|n| n.moment == "reading-4"));
    assert_eq!(service.said.colours, [Colour::Red]);
    let day = said("general", "2026-05-24", "time/easter/pentecost");
    assert!(day.notes.iter().any(|n| n.en.contains("Extended Form")), "{:?}", day.notes);
    let vigil = Place::new("time/easter/pentecost/vigil").unwrap();
    assert_eq!(vitta::order::longer_form(&vigil).unwrap(), Place::new(extended));
}
