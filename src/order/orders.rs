//! The shipped service orders, and which of them a Mass follows.

use super::service_order::{ServiceOrder, Step};
use crate::Result;
use crate::error::OrderFault;
use crate::format;
use crate::place::Place;
use std::path::Path;
use std::sync::OnceLock;

/// File name and text of every shipped order; the first is the Mass as usual.
const FILES: &[(&str, &str)] = &[
    ("mass.json", include_str!("../data/orders/mass.json")),
    ("all-souls.json", include_str!("../data/orders/all-souls.json")),
    ("anointing.json", include_str!("../data/orders/anointing.json")),
    ("ash-wednesday.json", include_str!("../data/orders/ash-wednesday.json")),
    ("baptism.json", include_str!("../data/orders/baptism.json")),
    ("chrism.json", include_str!("../data/orders/chrism.json")),
    ("christmas-night.json", include_str!("../data/orders/christmas-night.json")),
    ("confirmation.json", include_str!("../data/orders/confirmation.json")),
    ("dedication.json", include_str!("../data/orders/dedication.json")),
    ("easter-day.json", include_str!("../data/orders/easter-day.json")),
    ("easter-vigil.json", include_str!("../data/orders/easter-vigil.json")),
    ("epiphany.json", include_str!("../data/orders/epiphany.json")),
    ("funeral.json", include_str!("../data/orders/funeral.json")),
    ("good-friday.json", include_str!("../data/orders/good-friday.json")),
    ("lords-supper.json", include_str!("../data/orders/lords-supper.json")),
    ("marriage.json", include_str!("../data/orders/marriage.json")),
    ("ordination.json", include_str!("../data/orders/ordination.json")),
    ("palm-sunday-procession.json", include_str!("../data/orders/palm-sunday-procession.json")),
    (
        "palm-sunday-simple-entrance.json",
        include_str!("../data/orders/palm-sunday-simple-entrance.json"),
    ),
    (
        "palm-sunday-solemn-entrance.json",
        include_str!("../data/orders/palm-sunday-solemn-entrance.json"),
    ),
    ("pentecost-vigil.json", include_str!("../data/orders/pentecost-vigil.json")),
    ("presentation-entrance.json", include_str!("../data/orders/presentation-entrance.json")),
    ("presentation-procession.json", include_str!("../data/orders/presentation-procession.json")),
    ("scrutiny-1.json", include_str!("../data/orders/scrutiny-1.json")),
    ("scrutiny-2.json", include_str!("../data/orders/scrutiny-2.json")),
    ("scrutiny-3.json", include_str!("../data/orders/scrutiny-3.json")),
];

/// All shipped service orders, the Mass as usual first.
pub fn shipped() -> Result<&'static [ServiceOrder]> {
    static ALL: OnceLock<Vec<ServiceOrder>> = OnceLock::new();
    if let Some(all) = ALL.get() {
        return Ok(all);
    }
    let parsed: Result<Vec<ServiceOrder>> =
        FILES.iter().map(|(name, text)| format::parse(text, Path::new(name))).collect();
    let parsed = parsed?;
    Ok(ALL.get_or_init(|| parsed))
}

fn usual() -> Result<&'static ServiceOrder> {
    shipped()?.first().ok_or_else(|| {
        OrderFault::BrokenOrder { order: "mass".into(), said: "is missing".into() }.into()
    })
}

/// The order that a Mass follows: the one that serves it most exactly, or the Mass as usual.
pub fn serving(asked: &Place) -> Result<&'static ServiceOrder> {
    let exactness = |order: &ServiceOrder| {
        let over = order.serves.iter().filter(|place| asked.is_under(place.as_str()));
        over.map(|place| place.as_str().len()).max()
    };
    let best = shipped()?.iter().filter_map(|o| Some((exactness(o)?, o))).max_by_key(|(e, _)| *e);
    match best {
        Some((_, order)) => Ok(order),
        None => usual(),
    }
}

/// The steps of a part of the Mass as usual.
pub(super) fn usual_part(name: &str) -> Result<&'static [Step]> {
    let steps = &usual()?.steps;
    let opens = |step: &Step| matches!(step, Step::Part(part) if part == name);
    let missing = || {
        crate::Error::from(OrderFault::BrokenOrder {
            order: "mass".into(),
            said: format!("has no part \"{name}\""),
        })
    };
    let start = steps.iter().position(opens).ok_or_else(missing)? + 1;
    let rest = steps.get(start..).unwrap_or_default();
    let length = rest.iter().position(|s| matches!(s, Step::Part(_))).unwrap_or(rest.len());
    Ok(rest.get(..length).unwrap_or_default())
}
