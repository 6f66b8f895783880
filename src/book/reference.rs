//! References on day pages ("Preface II of Lent, p. 531") name pages too.
//!
//! Each is one more reading of the place it means. The same preface is named on many days, so the
//! references do not compete for places as the rows of an index do.

use super::catalogue::{Candidate, Catalogue, Line};
use super::read::some_place_else;
use super::{Book, Evidence, Kind};
use crate::geom::Rect;
use crate::text::{Alternative, CrossReference, Reading, Strip};

/// A reference less likely than this is left alone. By trial; titles in running text are terse.
const LEAST_LIKENESS: f64 = 0.7;
/// A reference printed in running text is oftener cut short or run together than a list's row.
const MISREAD: (f64, f64) = (0.02, 0.2);

impl Book {
    /// Adds the references of all `readings`.
    pub(super) fn attach_references(&mut self, readings: &[Reading]) {
        let found: Vec<(&Reading, &CrossReference)> = readings
            .iter()
            .flat_map(|r| r.crossrefs.iter().map(move |c| (r, c)))
            .filter(|(_, c)| !c.pages.is_empty())
            .collect();
        if found.is_empty() {
            return;
        }
        let line = |c: &CrossReference| Line { title: c.label.clone(), headings: Vec::new() };
        let lines: Vec<Line> = found.iter().map(|(_, c)| self.comparable(&line(c))).collect();
        let candidates = Catalogue::new(&self.targets()).candidates(&lines);
        for (i, ((reading, reference), meant)) in found.into_iter().zip(candidates).enumerate() {
            let alternatives = labels(reference);
            let Some(best) = self.likeliest(&meant, &alternatives) else { continue };
            let step = self.step_of(&reading.file);
            let Some(entry) = self.entries.get_mut(best.target) else { continue };
            entry.evidence.push(Evidence {
                title: reference.label.clone(),
                alternatives,
                strip: whole(&reading.file),
                column: 1,
                kind: Kind::Reference,
                misread: if reference.doubt { MISREAD.1 } else { MISREAD.0 },
                misplaced: some_place_else(best.likeness),
                step,
                row: reading.rows.len() + i,
            });
        }
    }

    /// The best candidate by title and page together.
    fn likeliest(&self, meant: &[Candidate], alternatives: &[Alternative]) -> Option<Candidate> {
        let scored = meant.iter().filter(|c| c.likeness >= LEAST_LIKENESS);
        let scored = scored.map(|c| (c.score + self.page_odds(c, alternatives), c));
        scored.filter(|s| s.0 > 0.0).max_by(|a, b| a.0.total_cmp(&b.0)).map(|s| *s.1)
    }
}

/// The page a reference gives: the first of a range, where the text starts.
fn labels(reference: &CrossReference) -> Vec<Alternative> {
    let weight = if reference.doubt { 0.8 } else { 0.98 };
    reference
        .pages
        .first()
        .map(|page| Alternative { page: page.clone(), weight })
        .into_iter()
        .collect()
}

/// A strip that means the whole photograph.
fn whole(photo: &str) -> Strip {
    Strip { photo: photo.to_owned(), area: Rect { left: 0, top: 0, right: 0, bottom: 0 } }
}
