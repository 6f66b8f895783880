//! Where a celebration's Mass is printed, by its address in the calendar.

use super::formulary::Formulary;
use super::missal::Missal;
use super::orders;
use crate::Result;
use crate::calendar::Season;
use crate::place::Place;

/// Where the service order or the formulary of the Mass asked for says that its texts are.
pub(super) fn texts_at(asked: &Place) -> Result<Option<Place>> {
    Ok(match &orders::serving(asked)?.texts {
        Some(place) => Some(place.clone()),
        None => formulary_of(asked)?.and_then(|f| f.at.clone()),
    })
}

/// The formulary of a Mass, or of the celebration it is a form of.
pub(super) fn formulary_of(asked: &Place) -> Result<Option<&'static Formulary>> {
    let path = asked.as_str();
    let mut ends: Vec<usize> = path.match_indices('/').map(|(at, _)| at).collect();
    ends.push(path.len());
    for end in ends.into_iter().rev() {
        let above = path.get(..end).and_then(Place::new);
        if let Some(found) = above.map(|p| Formulary::of(&p)).transpose()?.flatten() {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The Masses of a celebration on its day, in their order: Christmas at night, at dawn and during the day.
/// Most celebrations have one, which is the celebration itself.
pub fn masses(celebration: &Place) -> Result<Vec<Place>> {
    let masses = formulary_of(celebration)?.map_or(&[][..], |f| &f.masses);
    Ok(if masses.is_empty() { vec![celebration.clone()] } else { masses.to_vec() })
}

/// Calendar address of the free Saturday's memorial, which no book prints under that name.
pub(super) const SATURDAY_OF_MARY: &str = "saints/saturday-of-mary";

/// Where a celebration's Mass is printed: the weekdays of Ordinary Time have the prayers of a Sunday.
pub(super) fn printed_at(id: &Place) -> Place {
    let path = id.as_str();
    let printed = match path.strip_prefix("time/ordinary/week-") {
        Some(rest) => rest
            .split_once('/')
            .and_then(|(week, _)| Place::new(&format!("time/ordinary/week-{week}"))),
        None if path == SATURDAY_OF_MARY => Place::new("common/mary/ordinary/1"),
        None => None,
    };
    printed.unwrap_or_else(|| id.clone())
}

/// The Mass itself where a heading stands over several: the Mass of the day, the first formulary, the
/// one for the season.
pub(super) fn printed_form(asked: &Place, missal: Missal, season: Season) -> Place {
    let of_season: &[&str] = match season {
        Season::Advent => &["advent", "outside-easter"],
        Season::Christmas => &["christmas", "outside-easter"],
        Season::Easter => &["easter"],
        Season::Lent | Season::Triduum | Season::Ordinary => &["ordinary", "outside-easter"],
    };
    let mut place = printed_at(asked);
    loop {
        let forms = ["day", "mass", "1", "a"].iter().chain(of_season);
        let mut under = forms.filter_map(|form| Place::new(&format!("{place}/{form}")));
        match under.find(|p| missal.knows(p)) {
            Some(form) => place = form,
            None => return place,
        }
    }
}
