//! Which ribbon takes which opening: each kind of text has its home among the copy's ribbons, so that a
//! colour means the same from day to day.
//!
//! From the spine: the day's Mass, the preface, the Eucharistic Prayer, the Order of Mass, then the rest (a Common,
//! a saint's Collect, the back of the book). What has a ribbon of its own takes it; what has none, being a second
//! text of its kind or one whose ribbon the copy has not, takes the free one nearest to its home.

use crate::place::Place;

/// The home of the rest.
pub(super) const REST: usize = 4;

/// The home of a place's ribbon: 0 the day's Mass … [`REST`].
pub(super) fn role(place: &Place, mass: Option<&Place>) -> usize {
    if place.is_under("order/preface") {
        1
    } else if place.is_under("order/prayer") {
        2
    } else if place.is_under("order") {
        3
    } else if mass == Some(place) {
        0
    } else {
        REST
    }
}

/// The ribbon for each of `roles`, one of those `free`, by their number from the spine, ascending; `roles` are at
/// most as many. Of two with the same role the first has its ribbon.
pub(super) fn match_homes(roles: &[usize], free: &[usize]) -> Vec<usize> {
    let mut matched: Vec<Option<usize>> = vec![None; roles.len()];
    let mut left = free.to_vec();
    for (ribbon, &role) in matched.iter_mut().zip(roles) {
        *ribbon = left.iter().position(|&n| n == role).map(|at| left.remove(at));
    }
    let mut homeless: Vec<usize> = (0..roles.len()).filter(|&i| matched[i].is_none()).collect();
    // The last first, so that those of several kinds keep their order.
    homeless.sort_by_key(|&i| std::cmp::Reverse(roles[i]));
    for i in homeless {
        let distance = |at: &usize| (left[*at].abs_diff(roles[i]), std::cmp::Reverse(left[*at]));
        if let Some(nearest) = (0..left.len()).min_by_key(distance) {
            matched[i] = Some(left.remove(nearest));
        }
    }
    matched.into_iter().map(|ribbon| ribbon.unwrap_or(usize::MAX)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_of_text_keeps_its_ribbon() {
        type Numbers = &'static [usize];
        let cases: &[(&str, Numbers, Numbers, Numbers)] = &[
            ("all five kinds", &[0, 1, 2, 3, 4], &[0, 1, 2, 3, 4, 5], &[0, 1, 2, 3, 4]),
            ("no ribbon at the preface", &[0, 2, 3], &[0, 1, 2, 3, 4, 5], &[0, 2, 3]),
            ("the book's order does not matter", &[3, 0, 2], &[0, 1, 2, 3, 4, 5], &[3, 0, 2]),
            ("two of the rest", &[0, 4, 2, 4], &[0, 1, 2, 3, 4, 5], &[0, 4, 2, 5]),
            ("two of the rest with five ribbons", &[0, 4, 2, 4], &[0, 1, 2, 3, 4], &[0, 4, 2, 3]),
            ("three ribbons, none at the preface", &[0, 2, 3], &[0, 1, 2], &[0, 2, 1]),
            ("two ribbons", &[0, 3], &[0, 1], &[0, 1]),
            ("two ribbons, neither at the day's Mass", &[2, 3], &[0, 1], &[0, 1]),
            ("a torn one", &[0, 1, 2], &[0, 2, 3, 4], &[0, 3, 2]),
            ("one ribbon", &[3], &[0], &[0]),
            ("none", &[], &[0, 1, 2], &[]),
        ];
        for (case, roles, free, expected) in cases {
            assert_eq!(match_homes(roles, free), *expected, "{case}");
        }
    }
}
