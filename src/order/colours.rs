//! The colour of a Mass.
//!
//! GIRM 346 for the day's own Mass, which the calendar gives. GIRM 347 for others: ritual Masses in their
//! own colour, white or a festive one; Masses for various needs in that of the season, or violet where they
//! are penitential; votive Masses in the one that suits them, or the day's. GIRM 346 d and e for the dead:
//! violet, black where it is the custom, and white where a conference has allowed it.

use super::formulary::Formulary;
use super::mass::MassKind;
use crate::calendar::{Celebration, Colour, Day, Season};
use crate::place::Place;

/// Nations whose conferences have white for the dead besides violet and black (common practice).
const WHITE_FOR_THE_DEAD: [&str; 12] =
    ["us", "ca", "gb-eng", "gb-wls", "gb-sct", "ie", "au", "nz", "ph", "in", "za", "mx"];

/// The colours of a celebration of the day, the usual first. Where it names several Masses, the one at
/// `nth` has the colour at the same place.
pub(super) fn of_the_day(celebration: &Celebration, nth: Option<usize>) -> Vec<Colour> {
    let mut colours = vec![celebration.colour];
    colours.extend(&celebration.other_colours);
    match nth.and_then(|n| colours.get(n)) {
        Some(of_this_mass) => vec![*of_this_mass],
        None => colours,
    }
}

/// The colours of another Mass than the day's, the usual first.
pub(super) fn of_another(
    kind: MassKind,
    asked: &Place,
    formulary: Option<&Formulary>,
    commons: &[Place],
    day: &Day,
) -> Vec<Colour> {
    let own = formulary.map(|f| f.colours.clone()).unwrap_or_default();
    match kind {
        _ if !own.is_empty() => own,
        MassKind::Funeral | MassKind::Dead => for_the_dead(asked, day),
        MassKind::Needs => vec![of_season(day.season)],
        MassKind::OwnChoice if of_a_martyr(asked, formulary, commons) => vec![Colour::Red],
        MassKind::Votive => vec![Colour::White, of_season(day.season)],
        _ => vec![Colour::White],
    }
}

fn for_the_dead(asked: &Place, day: &Day) -> Vec<Colour> {
    let white = day.nation.as_deref().is_some_and(|n| WHITE_FOR_THE_DEAD.contains(&n));
    match (asked.is_under("dead/funeral/baptized-child"), white) {
        (true, _) => vec![Colour::White],
        (_, true) => vec![Colour::Violet, Colour::White, Colour::Black],
        _ => vec![Colour::Violet, Colour::Black],
    }
}

fn of_season(season: Season) -> Colour {
    match season {
        Season::Advent | Season::Lent => Colour::Violet,
        Season::Christmas | Season::Triduum | Season::Easter => Colour::White,
        Season::Ordinary => Colour::Green,
    }
}

fn of_a_martyr(asked: &Place, formulary: Option<&Formulary>, commons: &[Place]) -> bool {
    let named = formulary.map(|f| f.commons.as_slice()).unwrap_or_default();
    named.iter().chain(commons).chain([asked]).any(|c| c.is_under("common/martyrs"))
}
