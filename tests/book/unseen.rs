//! Editions nobody has seen: the same texts as the outline, but sections, prefaces, weekdays and
//! solemnities in an order of the edition's own, and lengths of a distribution of its own.
//!
//! The orders are those that printed altar missals and sacramentaries show (common practice); which of them
//! meet in one edition is drawn.

use super::simulate::Dice;
use std::collections::HashMap;
use vitta::book::{Outline, OutlinePlace};
use vitta::place::Place;

pub type Order = Vec<&'static OutlinePlace>;

/// How an edition orders and prints; every choice is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The prefaces stand here: 0 before the Eucharistic Prayers, 1 after them, 2 after the Order of Mass.
    pub prefaces: usize,
    /// The prefaces of single days: 0 with their days, 1 among those of their season, 2 after all.
    pub day_prefaces: usize,
    /// The weekdays of a season after all its Sundays.
    pub weekdays_apart: bool,
    /// The solemnities of the Lord before the weeks in Ordinary Time.
    pub solemnities_first: bool,
    /// Ordinary Time: 0 last, 1 after Christmas Time.
    pub ordinary: usize,
    /// The Order of Mass: 0 after the Proper of Time, 1 first of all, 2 after the Proper of Saints.
    pub order: usize,
    /// All Eucharistic Prayers together.
    pub prayers_together: bool,
    /// The Baptism of the Lord before the weekdays of Christmas Time.
    pub baptism_first: bool,
    /// The Ascension after the sixth week.
    pub ascension_late: bool,
    /// Sections after the saints exchanged, two of [`MOVABLE`].
    pub exchanged: (usize, usize),
    /// Distribution of lengths: 0 log-normal, 1 gamma-like (sum of three), 2 even, 3 all alike.
    pub lengths: usize,
    /// In lists: weekdays as "Monday" alone, the day of the month before a saint, headings without page.
    pub bare_weekdays: bool,
    pub days_lead: bool,
    pub bare_headings: bool,
    /// Prefaces with their subtitles.
    pub subtitles: bool,
    /// Share of small places that are left out.
    pub omits: f64,
}

pub const MOVABLE: [&str; 5] = ["common", "ritual", "needs", "votive", "dead"];

impl Layout {
    pub fn draw(dice: &mut Dice) -> Self {
        Layout {
            prefaces: dice.below(3),
            day_prefaces: dice.below(3),
            weekdays_apart: dice.chance(0.25),
            solemnities_first: dice.chance(0.4),
            ordinary: usize::from(dice.chance(0.25)),
            order: [0, 0, 0, 1, 2][dice.below(5)],
            prayers_together: dice.chance(0.5),
            baptism_first: dice.chance(0.4),
            ascension_late: dice.chance(0.4),
            exchanged: (dice.below(5), dice.below(5)),
            lengths: dice.below(4),
            bare_weekdays: dice.chance(0.4),
            days_lead: dice.chance(0.7),
            bare_headings: dice.chance(0.4),
            subtitles: dice.chance(0.5),
            omits: 0.02,
        }
    }

    /// The outline's own order.
    pub fn usual() -> Self {
        Layout {
            prefaces: 0,
            day_prefaces: 0,
            weekdays_apart: false,
            solemnities_first: false,
            ordinary: 0,
            order: 0,
            prayers_together: false,
            baptism_first: false,
            ascension_late: false,
            exchanged: (0, 0),
            lengths: 0,
            bare_weekdays: false,
            days_lead: true,
            bare_headings: false,
            subtitles: false,
            omits: 0.0,
        }
    }
}

/// A printed edition.
pub struct Unseen {
    pub layout: Layout,
    /// Places in the order of the book.
    pub order: Order,
    /// The page each begins on.
    pub pages: HashMap<Place, u32>,
    /// Where each begins and ends, in pages.
    pub spans: HashMap<Place, (f64, f64)>,
}

pub fn is_day_preface(p: &OutlinePlace) -> bool {
    let last = p.place.as_str().rsplit('/').next().unwrap_or_default();
    last.starts_with("preface") && !p.place.is_under("order")
}

fn take(order: &mut Order, which: impl Fn(&OutlinePlace) -> bool) -> Order {
    order.extract_if(.., |p| which(p)).collect()
}

fn put_before(order: &mut Order, place: &str, block: Order) {
    let at = order.iter().position(|p| p.place.as_str() == place).unwrap_or(order.len());
    order.splice(at..at, block);
}

/// Behind the last place at or under `place`.
fn put_after(order: &mut Order, place: &str, block: Order) {
    let at = order.iter().rposition(|p| p.place.is_under(place)).map_or(order.len(), |i| i + 1);
    order.splice(at..at, block);
}

fn is_weekday(p: &OutlinePlace) -> bool {
    const DAYS: [&str; 6] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];
    let last = p.place.as_str().rsplit('/').next().unwrap_or_default();
    DAYS.contains(&last) || p.place.as_str().starts_with("time/advent/12-")
}

fn arrange(layout: &Layout, nations: &[&str], dice: &mut Dice) -> Order {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let printed = |p: &OutlinePlace| {
        let small = p.level >= 3 && p.pages > 0.0 && !p.place.is_under("time");
        let national =
            p.nations.is_empty() || p.nations.iter().any(|n| nations.contains(&n.as_str()));
        (national, small && p.nations.is_empty())
    };
    let mut order: Order = Vec::new();
    for place in outline.places.iter().filter(|p| !p.place.is_under("front")) {
        let (national, small) = printed(place);
        if national && !(small && dice.chance(layout.omits)) {
            order.push(place);
        }
    }
    let under = |root: &'static str| move |p: &OutlinePlace| p.place.is_under(root);
    // Parts of the Proper of Time.
    if layout.solemnities_first {
        let lords = ["solemnities", "trinity", "corpus-christi", "sacred-heart", "christ-the-king"];
        let block = take(&mut order, |p| {
            lords.iter().any(|l| p.place.is_under(&format!("time/ordinary/{l}")))
        });
        put_before(&mut order, "time/ordinary/week-1", block);
    }
    if layout.baptism_first {
        let block = take(&mut order, under("time/christmas/baptism"));
        put_before(&mut order, "time/christmas/weekday", block);
    }
    if layout.ascension_late {
        let block = take(&mut order, under("time/easter/ascension"));
        put_before(&mut order, "time/easter/week-7/sunday", block);
    }
    if layout.weekdays_apart {
        for season in ["time/advent", "time/lent", "time/easter"] {
            let block = take(&mut order, |p| p.place.is_under(season) && is_weekday(p));
            put_after(&mut order, season, block);
        }
    }
    if layout.ordinary == 1 {
        let block = take(&mut order, under("time/ordinary"));
        put_before(&mut order, "time/lent", block);
    }
    // Parts of the Order of Mass.
    if layout.prayers_together {
        let late = |p: &OutlinePlace| p.place.is_under("order/prayer") && p.level == 3;
        let block = take(&mut order, late);
        put_after(&mut order, "order/prayer/4", block);
    }
    let own = match layout.day_prefaces {
        0 => Vec::new(),
        _ => take(&mut order, |p| {
            is_day_preface(p) && ["time", "saints"].iter().any(|s| p.place.is_under(s))
        }),
    };
    match layout.day_prefaces {
        1 => {
            for (season, last) in [
                ("time/christmas", "order/preface/epiphany"),
                ("time/lent", "order/preface/lent-4"),
                ("time/holy-week", "order/preface/passion-2"),
                ("time/easter", "order/preface/ascension-2"),
                ("time/ordinary", "order/preface/sundays-8"),
                ("saints", "order/preface/saints-2"),
            ] {
                let block = own.iter().copied().filter(|p| p.place.is_under(season)).collect();
                put_after(&mut order, last, block);
            }
        }
        _ => put_after(&mut order, "order/preface", own),
    }
    let mut is_preface: std::collections::HashSet<&Place> = outline
        .places
        .iter()
        .filter(|p| p.place.is_under("order/preface"))
        .map(|p| &p.place)
        .collect();
    if layout.day_prefaces > 0 {
        let days = outline.places.iter().filter(|p| is_day_preface(p));
        let days = days.filter(|p| p.place.is_under("time") || p.place.is_under("saints"));
        is_preface.extend(days.map(|p| &p.place));
    }
    match layout.prefaces {
        0 => {}
        moved => {
            let block = take(&mut order, |p| is_preface.contains(&p.place));
            let behind = if moved == 1 { "order/prayer" } else { "order/concluding" };
            let behind =
                if moved == 1 && !layout.prayers_together { "order/prayer/4" } else { behind };
            put_after(&mut order, behind, block);
        }
    }
    // Sections.
    let mut sections = MOVABLE;
    sections.swap(layout.exchanged.0, layout.exchanged.1);
    let blocks: Vec<Order> =
        sections.iter().map(|section| take(&mut order, |p| p.place.is_under(section))).collect();
    put_after(&mut order, "saints", blocks.concat());
    // Prefaces of days that stand among those of the Order go where that goes.
    let in_order: Vec<&Place> = {
        let first = order.iter().position(|p| p.place.as_str() == "order");
        let last = order.iter().rposition(|p| p.place.is_under("order"));
        match (first, last) {
            (Some(a), Some(b)) if a <= b => order[a..=b].iter().map(|p| &p.place).collect(),
            _ => Vec::new(),
        }
    };
    match layout.order {
        1 => {
            let block = take(&mut order, |p| in_order.contains(&&p.place));
            put_before(&mut order, "time", block);
        }
        2 => {
            let block = take(&mut order, |p| in_order.contains(&&p.place));
            put_after(&mut order, "saints", block);
        }
        _ => {}
    }
    order
}

/// Nations whose propers an edition prints (common practice: one conference of bishops or none).
const EDITIONS: [&[&str]; 5] = [&[], &["us"], &["ie"], &["gb-eng", "gb-wls"], &["au", "nz"]];

impl Unseen {
    pub fn print(layout: Layout, dice: &mut Dice) -> Self {
        let nations = EDITIONS[dice.below(EDITIONS.len())];
        let order = arrange(&layout, nations, dice);
        let whole = (0.2 * dice.normal()).exp();
        let new_page = dice.unit();
        let mut scales: HashMap<String, f64> = HashMap::new();
        let (mut pages, mut spans) = (HashMap::new(), HashMap::new());
        let (mut position, mut headed) = (3.0, false);
        for place in &order {
            let path = place.place.as_str();
            if place.level == 1 {
                position = f64::floor(position / 2.0) * 2.0 + 3.0;
            }
            // A preface fills an opening in some editions, as the Eucharistic Prayers do in most.
            let kind = format!("{} {}", path.split('/').next().unwrap_or_default(), place.level);
            let scale = *scales.entry(kind).or_insert_with(|| whole * (0.25 * dice.normal()).exp());
            let length = place.pages * scale * spread(layout.lengths, dice);
            let heading = place.pages == 0.0;
            if !headed && (heading || length > 0.5) && dice.chance(new_page) {
                position = f64::ceil(position - 0.15);
            }
            headed = heading;
            pages.insert(place.place.clone(), position as u32);
            let end = position + length.max(0.05);
            spans.insert(place.place.clone(), (position, end));
            position = end;
        }
        Unseen { layout, order, pages, spans }
    }

    pub fn page(&self, place: &Place) -> Option<u32> {
        self.pages.get(place).copied()
    }

    /// The last page.
    pub fn last(&self) -> u32 {
        self.pages.values().copied().max().unwrap_or(0) + 12
    }
}

fn spread(distribution: usize, dice: &mut Dice) -> f64 {
    match distribution {
        0 => (0.25 * dice.normal()).exp(),
        1 => (0..3).map(|_| -(1.0 - dice.unit()).ln()).sum::<f64>() / 3.0,
        2 => 0.6 + 0.8 * dice.unit(),
        _ => 1.0,
    }
}
