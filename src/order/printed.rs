//! Where a celebration's Mass is printed, by its address in the calendar.

use super::formulary::Formulary;
use super::missal::Missal;
use super::orders;
use crate::Result;
use crate::calendar::Season;
use crate::place::Place;

/// Where the service order or the formulary of the Mass asked for says that its texts are.
pub(super) fn texts_at(asked: &Place, nation: Option<&str>) -> Result<Option<Place>> {
    Ok(match &orders::serving(asked)?.texts {
        Some(place) => Some(place.clone()),
        None => formulary_of(asked, nation)?.and_then(|f| f.at.clone()),
    })
}

/// The formulary of a Mass, or of the celebration it is a form of.
pub(super) fn formulary_of(
    asked: &Place,
    nation: Option<&str>,
) -> Result<Option<&'static Formulary>> {
    let path = asked.as_str();
    let mut ends: Vec<usize> = path.match_indices('/').map(|(at, _)| at).collect();
    ends.push(path.len());
    for end in ends.into_iter().rev() {
        let above = path.get(..end).and_then(Place::new);
        let found = above.map(|p| Formulary::of_nation(&p, nation)).transpose()?.flatten();
        if let Some(found) = found {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The Masses of a celebration on its day, in their order: Christmas at night, at dawn and during the day.
/// Most celebrations have one, which is the celebration itself.
pub fn masses(celebration: &Place) -> Result<Vec<Place>> {
    let said = formulary_of(celebration, None)?.filter(|f| !f.masses.is_empty() && !f.one_of);
    Ok(said.map_or_else(|| vec![celebration.clone()], |f| f.masses.clone()))
}

/// The longer form of the Mass of an evening, where it has one: that of Pentecost.
pub fn longer_form(vigil: &Place) -> Result<Option<Place>> {
    let of = |f: &&Formulary| f.vigil.as_ref() == Some(vigil);
    Ok(Formulary::shipped()?.iter().find(of).and_then(|f| f.extended_vigil.clone()))
}

/// The Masses printed elsewhere of which a day without texts of its own names one, the usual first.
pub(super) fn named_masses(celebration: &Place, nation: Option<&str>) -> Result<&'static [Place]> {
    let named = Formulary::of_nation(celebration, nation)?.filter(|f| f.one_of);
    Ok(named.map_or(&[], |f| &f.masses))
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
