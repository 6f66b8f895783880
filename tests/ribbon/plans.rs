//! Plans as a priest reads them: services written out here, a book laid out from the shipped outline.

use vitta::book::{Book, Entry, Outline, Ribbon, State, Tab};
use vitta::calendar::{Colour, Rank};
use vitta::language::{Language, Titles};
use vitta::order::{Candidate, MassKind, Need, Said, Service, Stand};
use vitta::place::Place;
use vitta::ribbon::costs::Costs;
use vitta::ribbon::{Move, Notice, OnTable, Plan, plan, plan_table};

/// An invented edition: every place of the outline at its typical distance from the one before.
pub fn edition(colours: &[&str]) -> Book {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let mut book = Book::new("altar", Language::En, None);
    let mut position = 2.0;
    for place in &outline.places {
        let page = (position as u32).to_string();
        book.entries.push(Entry::typed(place.place.clone(), &place.title.en, &page));
        position += place.pages;
    }
    book.ribbons = colours.iter().map(|c| Ribbon::new(c)).collect();
    book
}

pub const SIX: &[&str] = &["red", "green", "gold", "violet", "white", "blue"];

pub fn title(en: &str) -> Titles {
    Titles { en: en.into(), ..Titles::default() }
}

/// "over-people" → "Over people".
fn in_words(moment: &str) -> String {
    let words = moment.replace('-', " ");
    words.chars().take(1).flat_map(char::to_uppercase).chain(words.chars().skip(1)).collect()
}

/// `places` are divided by blanks.
pub fn need(moment: &str, stand: Stand, weight: u8, places: &str) -> Need {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let candidate = |path: &str| {
        let place = Place::new(path).unwrap();
        let title = outline.get(&place).map_or_else(|| title(path), |p| p.title.clone());
        Candidate { place, pages_in: 0, title }
    };
    let named = in_words(moment);
    Need {
        moment: moment.into(),
        title: title(&named),
        places: places.split(' ').map(candidate).collect(),
        stand,
        weight,
        reason: "common practice".into(),
        by_heart: false,
        from: None,
        on_sheet: false,
        no_ribbon: false,
        optional: false,
        together: None,
    }
}

/// A memorial in Lent: the saint's Collect, the weekday's other prayers.
pub fn lent_commemoration() -> Service {
    use Stand::{Altar, Chair};
    let mut greeting = need("greeting", Chair, 1, "order/introductory");
    greeting.by_heart = true;
    Service {
        mass: Place::new("time/lent/week-3/monday").expect("a place"),
        celebration: title("Lenten weekday"),
        said: Said {
            kind: MassKind::Commemoration,
            rank: Some(Rank::Weekday),
            colours: vec![Colour::Violet],
            gloria: false,
            creed: false,
            sequence: None,
            special: vec![],
        },
        needs: vec![
            greeting,
            need("penitential-act", Chair, 2, "order/introductory"),
            need("collect", Chair, 4, "saints/03-09/frances-of-rome"),
            need("preparation", Altar, 2, "order/preparation"),
            need("offerings", Altar, 4, "time/lent/week-3/monday"),
            need("preface", Altar, 5, "order/preface/lent-1 order/preface/lent-2"),
            need("eucharistic-prayer", Altar, 5, "order/prayer/2"),
            need("communion-rite", Altar, 4, "order/communion"),
            need("after-communion", Chair, 4, "time/lent/week-3/monday"),
            need("over-people", Chair, 4, "time/lent/week-3/monday"),
            need("dismissal", Chair, 1, "order/concluding"),
        ],
        notes: vec![],
    }
}

fn hands(plan: &Plan) -> Vec<String> {
    let name = |hand: &Move| match hand {
        Move::Pull { ribbon, leaves: 0 } => ribbon.clone(),
        Move::Pull { ribbon, leaves } => format!("{ribbon} {leaves:+}"),
        Move::Leaf { leaves } => format!("{leaves:+}"),
        other => format!("{other:?}"),
    };
    plan.stops.iter().map(|s| format!("{}: {}", s.moment, name(&s.hand))).collect()
}

/// A ribbon's colour and page.
fn laid(plan: &Plan) -> Vec<(&str, &str)> {
    plan.ribbons.iter().map(|r| (r.ribbon.as_str(), r.place.as_str())).collect()
}

#[test]
fn a_lent_commemoration_with_six_ribbons() {
    let plan = plan(&lent_commemoration(), &edition(SIX), None, &Costs::default()).unwrap();
    assert_eq!(
        laid(&plan),
        [
            ("red", "time/lent/week-3/monday"),
            ("green", "order/preface/lent-1"),
            ("gold", "order/prayer/2"),
            ("violet", "order/communion"),
            ("white", "order/preparation"),
            ("blue", "saints/03-09/frances-of-rome"),
        ]
    );
    assert_eq!(
        hands(&plan),
        [
            "greeting: ByHeart",
            "penitential-act: LaidOpen",
            "collect: blue",
            "preparation: white",
            "offerings: red",
            "preface: green",
            "eucharistic-prayer: gold",
            "communion-rite: violet",
            "after-communion: red",
            "over-people: Stay",
            "dismissal: violet +4",
        ]
    );
    assert_eq!(plan.cost, plan.lower_bound);
    assert!(plan.cost_without > plan.cost_with_one_fewer && plan.cost_with_one_fewer > plan.cost);
    assert!(
        plan.rules_of_thumb.iter().all(|r| r.cost >= plan.lower_bound),
        "{:?}",
        plan.rules_of_thumb
    );
}

/// By hand, with the default costs: laid open at the Order of Mass 0; a pull (150) at the Collect (4),
/// the offerings (4), the preface (5), the prayer (5), after Communion (4), the communion rite (4) and
/// the preparation (2): 28 · 150 = 4200; over the people stays 0; the dismissal (1) is four leaves from
/// the communion rite: 150 + 380 = 530.
#[test]
fn its_cost_worked_by_hand() {
    let plan = plan(&lent_commemoration(), &edition(SIX), None, &Costs::default()).unwrap();
    assert_eq!(plan.cost, 4730);
}

/// The French servers' page on the missal wants at least two: "one for the three prayers, one for the
/// preface". The optimum says the same.
#[test]
fn with_two_ribbons_the_prayers_and_the_preface_have_them() {
    let plan = plan(&lent_commemoration(), &edition(SIX), Some(2), &Costs::default()).unwrap();
    assert_eq!(
        laid(&plan),
        [("red", "time/lent/week-3/monday"), ("green", "order/preface/lent-1")]
    );
}

#[test]
fn a_preface_on_the_way_is_taken_and_the_card_can_say_so() {
    let mut service = lent_commemoration();
    service.needs[5].places =
        need("", Stand::Altar, 5, "order/preface/lent-1 order/prayer/2").places;
    let plan = plan(&service, &edition(SIX), Some(4), &Costs::default()).unwrap();
    let preface = &plan.stops[5];
    assert_eq!(preface.place.as_str(), "order/prayer/2");
    assert_eq!(preface.others[0].text.en, "Preface I of Lent");
    assert!(plan.notices.iter().any(|n| matches!(n, Notice::OtherText { .. })));
}

#[test]
fn a_text_without_page_is_looked_for_under_its_heading() {
    let mut book = edition(SIX);
    book.entries.retain(|e| e.place.as_str() != "saints/03-09/frances-of-rome");
    let plan = plan(&lent_commemoration(), &book, None, &Costs::default()).unwrap();
    let collect = &plan.stops[2];
    assert!(collect.doubt && collect.place.as_str().starts_with("saints"), "{collect:?}");
    assert!(matches!(&plan.notices[..], [Notice::UnderHeading { .. }]), "{:?}", plan.notices);
}

#[test]
fn a_text_in_no_book_keeps_its_line_without_page() {
    let mut service = lent_commemoration();
    service.needs.insert(6, need("insert", Stand::Altar, 5, "ritual-of-our-own/insert"));
    let plan = plan(&service, &edition(SIX), None, &Costs::default()).unwrap();
    assert_eq!((plan.stops[6].page.as_deref(), &plan.stops[6].hand), (None, &Move::NotHere));
    assert!(
        plan.notices.iter().any(
            |n| matches!(n, Notice::NotInBook { text } if text.en == "ritual-of-our-own/insert")
        )
    );
}

#[test]
fn an_estimated_page_is_said_and_costs_its_expected_search() {
    let certain = plan(&lent_commemoration(), &edition(SIX), None, &Costs::default()).unwrap();
    let mut book = edition(SIX);
    let entry = book.entries.iter_mut().find(|e| e.place.as_str() == "order/prayer/2").unwrap();
    let page: i32 = entry.page.as_deref().unwrap().parse().unwrap();
    entry.state = State::Estimated;
    entry.interval = Some(((page - 2).to_string(), (page + 2).to_string()));
    let doubtful = plan(&lent_commemoration(), &book, None, &Costs::default()).unwrap();
    // One opening to either side, each as likely as the middle: 2/3 of a leaf, weight 5; in integers 66.
    assert_eq!(doubtful.cost, certain.cost + 5 * 66);
    assert!(doubtful.ribbons.iter().any(|r| r.doubt && r.ribbon == "gold"));
    assert!(matches!(&doubtful.notices[..], [Notice::Reckoned { .. }]));
}

#[test]
fn without_ribbons_the_pages_are_told_in_order() {
    let plan = plan(&lent_commemoration(), &edition(SIX), Some(0), &Costs::default()).unwrap();
    assert!(plan.ribbons.is_empty());
    assert_eq!(
        hands(&plan)[1..4],
        ["penitential-act: LaidOpen", "collect: Search", "preparation: Search"]
    );
    assert_eq!((plan.cost, plan.lower_bound), (plan.cost_without, plan.cost_without));
}

#[test]
fn a_service_with_nothing_in_the_book_is_refused() {
    let mut book = edition(SIX);
    book.entries.clear();
    let refused = plan(&lent_commemoration(), &book, None, &Costs::default()).unwrap_err();
    assert!(refused.to_string().contains("none of the 11 texts"), "{refused}");
}

#[test]
fn a_chair_book_leaves_the_altar_book_open() {
    let (altar, mut chair) = (edition(SIX), edition(&["red", "green", "gold"]));
    chair.name = "chair".into();
    chair
        .entries
        .retain(|e| !e.place.is_under("order/preface") && !e.place.is_under("order/prayer"));
    let table = [
        OnTable { book: &chair, ribbons: 3, stands: &[Stand::Chair] },
        OnTable { book: &altar, ribbons: 6, stands: &[Stand::Altar] },
    ];
    let both = plan_table(&lent_commemoration(), &table, &Costs::default()).unwrap();
    for stop in &both.stops {
        let book = if stop.stand == Stand::Chair { "chair" } else { "altar" };
        assert_eq!(stop.book, book, "{}", stop.moment);
    }
    let one = plan(&lent_commemoration(), &altar, None, &Costs::default()).unwrap();
    assert!(both.cost < one.cost && both.lower_bound == both.cost);
    assert_eq!(both.proofs.len(), 2);
}

/// Two books that both have everything: which is named first decides nothing.
#[test]
fn the_order_of_the_books_decides_nothing() {
    let (one, mut other) = (edition(SIX), edition(&["red", "green"]));
    other.name = "another".into();
    other.entries.retain(|e| !e.place.is_under("order/communion"));
    let at = |book| OnTable { book, ribbons: 2, stands: &[] };
    let service = lent_commemoration();
    let there = plan_table(&service, &[at(&one), at(&other)], &Costs::default()).unwrap();
    let back = plan_table(&service, &[at(&other), at(&one)], &Costs::default()).unwrap();
    assert_eq!((there.cost, &there.stops), (back.cost, &back.stops));
}

/// Order of Mass 142: a solemn blessing may be given or not. It takes no ribbon that another text wants.
#[test]
fn an_optional_text_takes_no_ribbon_from_a_required_one() {
    let mut service = lent_commemoration();
    let with = |ribbons, service: &Service| {
        plan(service, &edition(SIX), Some(ribbons), &Costs::default()).unwrap()
    };
    let without: Vec<_> = (1..=6).map(|n| with(n, &service).cost).collect();
    let mut blessing = need("solemn-blessing", Stand::Chair, 5, "order/blessing/passion");
    blessing.optional = true;
    service.needs.insert(10, blessing);
    for (n, &least) in (1..=6).zip(&without) {
        let plan = with(n, &service);
        assert!(plan.cost <= least + plan.apart, "{n} ribbons");
        let there = plan.ribbons.iter().any(|r| r.place.as_str() == "order/blessing/passion");
        assert!(!there || n > 4, "{n} ribbons");
    }
}

#[test]
fn ribbons_of_one_colour_are_told_apart() {
    let plan = plan(&lent_commemoration(), &edition(&["red"; 6]), None, &Costs::default()).unwrap();
    let names: Vec<&str> = plan.ribbons.iter().map(|r| r.ribbon.as_str()).collect();
    assert_eq!(names, ["red 1", "red 2", "red 3", "red 4", "red 5", "red 6"]);
}

#[test]
fn a_tab_at_the_preface_spares_its_ribbon() {
    let mut book = edition(SIX);
    let preface = Place::new("order/preface/lent-1").unwrap();
    let page = book.entry(&preface).unwrap().page.clone().unwrap();
    book.tabs.push(Tab { title: "Prefaces".into(), page });
    let plan = plan(&lent_commemoration(), &book, Some(2), &Costs::default()).unwrap();
    assert_eq!(plan.stops[5].hand, Move::Tab { tab: "Prefaces".into(), leaves: 0 });
    assert!(plan.ribbons.iter().all(|r| r.place != preface));
}
