//! What the map claims against the truth of simulated editions.

use super::score::*;
use super::simulate::*;

#[test]
fn contents_and_prefaces_alone_estimate_the_rest() {
    let mut score = measure(&USUAL, Photographed::ContentsAndPrefaces, 2);
    score.report("contents and prefaces");
    score.check(false);
}

#[test]
fn all_lists_settle_nearly_every_place() {
    let mut score = measure(&USUAL, Photographed::All, 2);
    score.report("all lists");
    score.check(true);
}

#[test]
fn sections_may_stand_elsewhere() {
    let mut score = measure(&Habits { permuted: true, ..USUAL }, Photographed::All, 2);
    score.report("all lists, sections moved");
    score.check(true);
}
