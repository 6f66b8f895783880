//! Which ribbon takes which opening: each kind of text has its home among the copy's ribbons, so that a
//! colour means the same from day to day.
//!
//! From the spine: the day's Mass, the Order of Mass, the preface, the Eucharistic Prayer, then the rest
//! (a Common, a saint's Collect, the back of the book). With fewer ribbons the last one takes what is
//! left. The openings are matched to ribbons with the least distance from home; on a line such a
//! matching keeps the order (of two crossed pairs, uncrossing never adds distance), so a dynamic
//! programme over "the first i openings among the first j ribbons" finds it.

use crate::place::Place;

/// The home of the rest.
pub(super) const REST: usize = 4;

/// The home of a place's ribbon: 0 the day's Mass … [`REST`].
pub(super) fn role(place: &Place, mass: Option<&Place>) -> usize {
    if place.is_under("order/preface") {
        2
    } else if place.is_under("order/prayer") {
        3
    } else if place.is_under("order") {
        1
    } else if mass == Some(place) {
        0
    } else {
        REST
    }
}

/// The ribbon for each of `roles`, as an index below `ribbons`; `roles` are at most as many.
pub(super) fn match_homes(roles: &[usize], ribbons: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..roles.len()).collect();
    order.sort_by_key(|&i| roles[i]);
    let homes: Vec<usize> =
        order.iter().map(|&i| roles[i].min(ribbons.saturating_sub(1))).collect();
    let mut matched = vec![0; roles.len()];
    for (at, ribbon) in in_order(&homes, ribbons).into_iter().enumerate() {
        matched[order[at]] = ribbon;
    }
    matched
}

/// `homes` ascending; the cheapest strictly ascending choice of ribbons.
fn in_order(homes: &[usize], ribbons: usize) -> Vec<usize> {
    let (n, width) = (homes.len(), ribbons + 1);
    // least[i * width + j]: the first i homes among the first j ribbons.
    let mut least = vec![usize::MAX; (n + 1) * width];
    least[..width].fill(0);
    let taken = |least: &[usize], i: usize, j: usize| {
        least[(i - 1) * width + j - 1].saturating_add(homes[i - 1].abs_diff(j - 1))
    };
    for i in 1..=n {
        for j in i..=ribbons {
            least[i * width + j] = taken(&least, i, j).min(least[i * width + j - 1]);
        }
    }
    let (mut chosen, mut j) = (vec![], ribbons);
    for i in (1..=n).rev() {
        while j > i && least[i * width + j] < taken(&least, i, j) {
            j -= 1;
        }
        j = j.saturating_sub(1);
        chosen.push(j);
    }
    chosen.reverse();
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_of_text_keeps_its_ribbon() {
        let cases: &[(&str, &[usize], usize, &[usize])] = &[
            ("all five kinds", &[0, 1, 2, 3, 4], 6, &[0, 1, 2, 3, 4]),
            ("no ribbon at the Order of Mass", &[0, 2, 3], 6, &[0, 2, 3]),
            ("the book's order does not matter", &[3, 0, 2], 6, &[3, 0, 2]),
            ("two of the rest", &[0, 4, 2, 4], 6, &[0, 4, 2, 5]),
            ("two of the rest with five ribbons", &[0, 4, 2, 4], 5, &[0, 3, 2, 4]),
            ("two ribbons", &[0, 3], 2, &[0, 1]),
            ("two ribbons, neither at the day's Mass", &[2, 3], 2, &[0, 1]),
            ("one ribbon", &[3], 1, &[0]),
            ("none", &[], 3, &[]),
        ];
        for (case, roles, ribbons, expected) in cases {
            assert_eq!(match_homes(roles, *ribbons), *expected, "{case}");
        }
    }
}
