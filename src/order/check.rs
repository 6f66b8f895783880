//! What a person wrote into the settings is checked before it is used.

use super::missal::Missal;
use super::prayer::PRAYERS;
use super::settings::{DayChoices, Settings};
use crate::Result;
use crate::error::OrderFault;
use crate::place::Place;

/// Every place named for all days and for this date must be in the missal and of the right kind.
pub(super) fn places(settings: &Settings, choices: &DayChoices, missal: Missal) -> Result<()> {
    let prayers =
        [Some(&settings.sunday_prayer), Some(&settings.weekday_prayer), choices.prayer.as_ref()];
    for prayer in prayers.into_iter().flatten() {
        if !PRAYERS.contains(&prayer.as_str()) {
            return wrong(prayer, "a Eucharistic Prayer, such as order/prayer/2");
        }
    }
    let mut prefaces = settings.prefaces.iter().chain(&choices.preface);
    if let Some(other) = prefaces.find(|p| !missal.has_preface(p)) {
        return wrong(other, "a preface, such as order/preface/common-1");
    }
    if let Some(rite) = choices.rite.as_ref().filter(|r| !r.is_under("ritual")) {
        return wrong(rite, "a ritual Mass, such as ritual/baptism/a");
    }
    let others =
        [&choices.prayers, &choices.collect, &choices.common, &choices.blessing, &choices.rite];
    match others.into_iter().flatten().find(|p| !missal.knows(p)) {
        Some(place) => Err(OrderFault::UnknownPlace { place: place.clone() }.into()),
        None => Ok(()),
    }
}

fn wrong(place: &Place, expected: &'static str) -> Result<()> {
    Err(OrderFault::WrongPlace { place: place.clone(), expected }.into())
}
