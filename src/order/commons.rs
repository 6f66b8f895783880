//! The Common and the prefaces of a saint whose own Mass no altar missal prints: a proper of a nation, a
//! diocese or an order.
//!
//! The calendar's title says what a saint was ("Bishop and Martyr"); the Commons are divided by the same
//! words (Missal, Commons; GIRM 363). Which of several applies is the priest's to choose.

use crate::place::Place;

/// A word of a title, for one and for several saints, and the Common it points to.
const WORDS: [(&str, &str); 24] = [
    ("Martyrs", "common/martyrs/several"),
    ("Virgin and Martyr", "common/martyrs/virgin"),
    ("Martyr", "common/martyrs/one"),
    ("Our Lady", "common/mary"),
    ("Blessed Virgin Mary", "common/mary"),
    ("Dedication", "common/dedication/outside"),
    ("Pope", "common/pastors/pope"),
    ("Bishops", "common/pastors/several"),
    ("Bishop", "common/pastors/bishop"),
    ("Missionar", "common/pastors/missionaries"),
    ("Priests", "common/pastors/several"),
    ("Priest", "common/pastors/one"),
    ("Doctor", "common/doctors"),
    ("Virgins", "common/virgins/several"),
    ("Virgin", "common/virgins/one"),
    ("Abbot", "common/holy/abbot"),
    ("Abbess", "common/holy/nun"),
    ("Monk", "common/holy/monk"),
    ("Hermit", "common/holy/monk"),
    ("Religious", "common/holy/religious"),
    ("Queen", "common/holy/women"),
    ("Saints ", "common/holy/several"),
    ("Saint ", "common/holy/one"),
    ("Blessed ", "common/holy/one"),
];

/// The headings of the Commons that fit an English `title`, the closest first. Holy men and women in
/// general only where nothing closer fits.
pub(super) fn by_title(title: &str) -> Vec<Place> {
    if title.starts_with("Our Lord") || title.starts_with("Jesus") {
        return vec![];
    }
    let of_mary = title.contains("Our Lady") || title.contains("Virgin Mary");
    let mut found: Vec<&str> = Vec::new();
    for (word, common) in WORDS {
        let apart = of_mary && ["common/virgins", "common/holy"].contains(&class(common));
        let says = title.contains(word) && !apart;
        let general = word.starts_with("Saint") || word.starts_with("Blessed");
        let nearer = match general {
            true => !found.is_empty(),
            false => found.iter().any(|f| class(f) == class(common) && class(f) != "common/holy"),
        };
        if says && !nearer {
            found.push(common);
        }
    }
    found.iter().filter_map(|path| Place::new(path)).collect()
}

/// `common/martyrs` of `common/martyrs/one`.
fn class(common: &str) -> &str {
    let end = common.match_indices('/').nth(1).map_or(common.len(), |(at, _)| at);
    common.get(..end).unwrap_or(common)
}

/// Commons of those for whom the preface of virgins and religious is said.
const RELIGIOUS: [&str; 4] =
    ["common/holy/religious", "common/holy/abbot", "common/holy/monk", "common/holy/nun"];

/// The prefaces that belong to the first of some Commons; that of martyrs to every martyr, though a list may name
/// the Common of pastors or virgins first (common practice; Order of Mass 66–67).
pub(super) fn prefaces(commons: &[Place]) -> Vec<Place> {
    let martyr = commons.iter().find(|c| c.is_under("common/martyrs"));
    let class = martyr.or(commons.first()).map_or("", Place::as_str);
    let names: &[&str] = match () {
        () if class.starts_with("common/martyrs") => &["martyrs-1", "martyrs-2"],
        () if class.starts_with("common/mary") => &["mary-1", "mary-2"],
        () if class.starts_with("common/pastors") => &["pastors"],
        () if class.starts_with("common/virgins") => &["virgins"],
        () if class.starts_with("common/doctors") => &["pastors", "saints-1", "saints-2"],
        () if RELIGIOUS.iter().any(|r| class.starts_with(r)) => &["virgins"],
        () if class.starts_with("common/holy") => &["saints-1", "saints-2"],
        () => &[],
    };
    names.iter().filter_map(|n| Place::new(&format!("order/preface/{n}"))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_of_national_saints_point_to_their_commons() {
        let cases: &[(&str, &[&str])] = &[
            ("Saint Teilo, Bishop", &["common/pastors/bishop"]),
            ("Saint Beuno, Abbot", &["common/holy/abbot"]),
            ("Saint Alban, Martyr", &["common/martyrs/one"]),
            (
                "Saints Philip Evans and John Lloyd, Priests and Martyrs",
                &["common/martyrs/several", "common/pastors/several"],
            ),
            (
                "Saint Oliver Plunket, Bishop and Martyr",
                &["common/martyrs/one", "common/pastors/bishop"],
            ),
            ("Our Lady of Walsingham", &["common/mary"]),
            ("Saint Winefride, Virgin", &["common/virgins/one"]),
            ("Saint Hilda, Abbess", &["common/holy/nun"]),
            ("Saint Edward the Confessor", &["common/holy/one"]),
            ("All Saints of Wales", &["common/holy/several"]),
            ("Blessed Dominic Barberi (of the Mother of God), Priest", &["common/pastors/one"]),
            ("Our Lord Jesus Christ, the Eternal High Priest", &[]),
            ("Saint Barbara, Virgin and Martyr", &["common/martyrs/virgin", "common/virgins/one"]),
            ("Saint Meinrad, Monk and Martyr", &["common/martyrs/one", "common/holy/monk"]),
            ("Saint Hedwig, Queen", &["common/holy/women"]),
            ("Our Lady, Queen of Poland", &["common/mary"]),
            ("Blessed Edmund Bojanowski", &["common/holy/one"]),
        ];
        let mut wrong = Vec::new();
        for (title, expected) in cases {
            let found = by_title(title);
            let found: Vec<&str> = found.iter().map(Place::as_str).collect();
            if found != *expected {
                wrong.push(format!("{title}: {found:?}"));
            }
        }
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}
