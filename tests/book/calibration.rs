//! What the map claims against the truth of simulated editions.

use super::score::*;
use super::simulate::*;
use vitta::book::Label;

#[test]
fn contents_and_prefaces_alone_estimate_the_rest() {
    let mut score = measure(&USUAL, Photographed::ContentsAndPrefaces, 0..2);
    score.report("contents and prefaces");
    score.check(false);
}

#[test]
fn all_lists_settle_nearly_every_place() {
    let mut score = measure(&USUAL, Photographed::All, 0..2);
    score.report("all lists");
    score.check(true);
}

#[test]
fn sections_may_stand_elsewhere() {
    let mut score = measure(&Habits { permuted: true, ..USUAL }, Photographed::All, 0..2);
    score.report("all lists, sections moved");
    score.check(true);
}

/// From the general contents and the list of prefaces alone every weekday of Lent is near enough to
/// turn to: within three pages in the middle of the cases, and the intervals say how far off it may be.
#[test]
fn weekdays_of_lent_are_near_though_no_list_names_them() {
    let (mut off, mut inside) = (vec![], 0);
    for seed in 0..3 {
        let dice = &mut Dice(seed * 31 + 2);
        let edition = Edition::print(&USUAL, dice);
        let lists = photograph(&edition, &USUAL, Photographed::ContentsAndPrefaces, dice);
        let book = book_of(&lists);
        let weekday = |p: &str| p.starts_with("time/lent/week") && !p.contains("sunday");
        for entry in book.entries.iter().filter(|e| weekday(e.place.as_str())) {
            let number = |l: &str| Label::parse(l).unwrap().number;
            let truth = edition.page(&entry.place).unwrap();
            let page = number(entry.page.as_deref().unwrap());
            off.push(page.abs_diff(truth));
            inside += usize::from(match &entry.interval {
                Some((a, b)) => (number(a)..=number(b)).contains(&truth),
                None => page == truth,
            });
        }
    }
    off.sort();
    assert!(off.len() > 60, "{} weekdays", off.len());
    assert!(off[off.len() / 2] <= 3, "half are more than {} pages off", off[off.len() / 2]);
    assert!(inside * 10 >= off.len() * 9, "intervals hold {inside} of {}", off.len());
}
