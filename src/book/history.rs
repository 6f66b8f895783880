//! What was done to a book, step by step, the way back and the way there again.
//!
//! A step keeps only what its undoing needs: readings carry the number of the step that brought them,
//! a word keeps what was said before. A step undone keeps what its doing needs, until something else is done.
//! The map itself is settled again from what is left.

use super::{Book, Copy, Evidence, Label, Said, State};
use crate::Result;
use crate::error::BookFault;
use crate::place::Place;
use crate::text::Reading;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A reading that a later one of the same photograph replaced.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Replaced {
    /// The place it was given to.
    pub place: Place,
    /// The reading.
    pub evidence: Evidence,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// When, as an ISO 8601 date and time.
    pub when: String,
    /// What.
    pub what: Change,
}

/// What a step changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Change {
    /// Photographs were read.
    Read {
        /// Their base names.
        photos: Vec<String>,
        /// What earlier readings of the same photographs had given, where their rows were not kept.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        replaced: Vec<Replaced>,
        /// Earlier readings of the same photographs.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        set_aside: Vec<Reading>,
        /// They told the book's language.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        told_language: bool,
    },
    /// A photograph was taken away.
    Removed {
        /// Its base name.
        photo: String,
        /// What it had given, where its rows were not kept.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        replaced: Vec<Replaced>,
        /// What was read on it.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        set_aside: Vec<Reading>,
    },
    /// The map was brought from another parish's file; there is nothing before it to go back to.
    Brought {
        /// The name the book had there.
        from: String,
    },
    /// A person spoke of a place.
    Word {
        /// Which place.
        place: Place,
        /// What they said; none for taking an earlier word back.
        said: Option<Said>,
        /// What had been said before.
        before: Option<Said>,
    },
    /// A copy was given other ribbons, tabs or laid-in sheets.
    Marks {
        /// Which copy; none for the first.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        copy: Option<String>,
        /// What it had; none where it was begun with this.
        before: Option<Copy>,
        /// What it has.
        marks: Copy,
        /// The name of the book that they were carried over from, if they were.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from: Option<String>,
    },
}

/// A step that was undone, with what its doing needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Undone {
    /// The step.
    pub step: Step,
    /// What its photographs showed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<Reading>,
}

impl Step {
    /// How many photographs a whole reading brought; none of another step.
    pub fn reading(&self) -> Option<usize> {
        match &self.what {
            Change::Read { photos, .. } => Some(photos.len()),
            _ => None,
        }
    }
}

impl Book {
    /// A person says that `place` is on `page`; the whole map is settled again.
    pub fn confirm(&mut self, place: &Place, page: &str, when: &str) -> Result<()> {
        let label = Label::parse(page)
            .ok_or_else(|| BookFault::NotALabel { place: place.clone(), found: page.to_owned() })?;
        self.hear(place, Some(Said::Page(label.to_string())), when)
    }

    /// A person says that `place` is not in this book.
    pub fn mark_absent(&mut self, place: &Place, when: &str) -> Result<()> {
        self.hear(place, Some(Said::Absent), when)
    }

    /// A person takes back what was said of `place`.
    pub fn take_back(&mut self, place: &Place, when: &str) -> Result<()> {
        self.hear(place, None, when)
    }

    /// A person says that the page the map gives for `place` is right.
    pub fn confirm_as_is(&mut self, place: &Place, when: &str) -> Result<()> {
        let page = self.known(place)?.page.clone();
        match page {
            Some(page) => self.confirm(place, &page, when),
            None => Err(BookFault::NoPage { place: place.clone() }.into()),
        }
    }

    /// The step that [`Book::undo`] would undo.
    pub fn undoable(&self) -> Option<&Step> {
        self.history.last().filter(|s| !matches!(s.what, Change::Brought { .. }))
    }

    /// The step that [`Book::redo`] would do again.
    pub fn redoable(&self) -> Option<&Step> {
        self.undone.last().map(|u| &u.step)
    }

    /// Undoes the last step and says which it was; `None` where there is nothing to undo.
    pub fn undo(&mut self) -> Option<Step> {
        self.undoable()?;
        let step = self.history.pop()?;
        let readings = self.take_back_step(&step);
        // Of a book whose rows were not kept, what a photograph showed is gone with its step.
        if readings.len() >= step.reading().unwrap_or(0) {
            self.undone.push(Undone { step: step.clone(), readings });
        } else {
            self.undone.clear();
        }
        Some(step)
    }

    /// Does again what was undone last and says what it was; `None` where nothing was undone since the last step.
    pub fn redo(&mut self) -> Option<Step> {
        let Undone { step, readings } = self.undone.pop()?;
        let rest = std::mem::take(&mut self.undone);
        match &step.what {
            Change::Brought { .. } => {}
            Change::Read { .. } => self.read(&readings, &step.when),
            Change::Removed { photo, .. } => {
                self.remove_photo(photo, &step.when);
            }
            // What could be said once can be said again: the book is as it was then.
            Change::Word { place, said, .. } => {
                let _ = self.hear(place, said.clone(), &step.when);
            }
            Change::Marks { copy, marks, .. } => {
                self.set_marks(copy.as_deref(), marks.clone());
                self.record(&step.when, step.what.clone());
            }
        }
        self.undone = rest;
        Some(step)
    }

    /// Writes a step down. What was undone before cannot be done again after it.
    pub(super) fn record(&mut self, when: &str, what: Change) {
        self.history.push(Step { when: when.to_owned(), what });
        self.undone.clear();
    }

    /// Takes the effect of the last step back; returns what its photographs showed.
    fn take_back_step(&mut self, step: &Step) -> Vec<Reading> {
        let mut readings = Vec::new();
        match &step.what {
            Change::Brought { .. } => {}
            Change::Read { photos, replaced, set_aside, told_language } => {
                self.forget_rows();
                readings = self.readings.extract_if(.., |r| photos.contains(&r.file)).collect();
                self.forget_readings(self.history.len());
                if *told_language {
                    self.speak(None);
                }
                self.put_back(replaced, set_aside);
                self.infer();
            }
            Change::Removed { replaced, set_aside, .. } => {
                self.forget_rows();
                self.put_back(replaced, set_aside);
                self.infer();
            }
            Change::Word { place, before, .. } => {
                if let Some(entry) = self.entries.iter_mut().find(|e| e.place == *place) {
                    entry.said = before.clone();
                }
                self.infer();
            }
            Change::Marks { copy, before, .. } => match (before, copy) {
                (Some(before), _) => self.set_marks(copy.as_deref(), before.clone()),
                (None, Some(begun)) => self.copies.retain(|c| c.name != *begun),
                (None, None) => {}
            },
        }
        readings
    }

    fn hear(&mut self, place: &Place, said: Option<Said>, when: &str) -> Result<()> {
        self.known(place)?;
        let mut before = None;
        if let Some(entry) = self.entries.iter_mut().find(|e| e.place == *place) {
            before = std::mem::replace(&mut entry.said, said.clone());
        }
        self.record(when, Change::Word { place: place.clone(), said, before });
        self.infer();
        Ok(())
    }

    fn known(&self, place: &Place) -> Result<&super::Entry> {
        let unknown =
            || BookFault::UnknownPlace { place: place.clone(), near: self.nearest(place) };
        Ok(self.entry(place).ok_or_else(unknown)?)
    }

    /// The place of this book whose address is spelled most alike.
    fn nearest(&self, place: &Place) -> Option<Place> {
        let likeness = |other: &Place| {
            let (a, b) = (place.as_str().chars(), other.as_str().chars());
            rapidfuzz::distance::levenshtein::normalized_similarity(a, b)
        };
        let scored = self.entries.iter().map(|e| (likeness(&e.place), &e.place));
        scored.filter(|s| s.0 > 0.6).max_by(|a, b| a.0.total_cmp(&b.0)).map(|s| s.1.clone())
    }

    /// Drops the readings of step `number`, and places of the book's own that only they named.
    fn forget_readings(&mut self, number: usize) {
        for entry in &mut self.entries {
            entry.evidence.retain(|e| e.step != number);
        }
        let outlined = |place: &Place| self.outlined().is_some_and(|o| o.get(place).is_some());
        let gone: Vec<Place> = self
            .entries
            .iter()
            .filter(|e| e.evidence.is_empty() && e.said.is_none() && !outlined(&e.place))
            .map(|e| e.place.clone())
            .collect();
        self.entries.retain(|e| !gone.contains(&e.place));
    }

    fn put_back(&mut self, replaced: &[Replaced], set_aside: &[Reading]) {
        for old in replaced {
            if let Some(entry) = self.entries.iter_mut().find(|e| e.place == old.place) {
                entry.evidence.push(old.evidence.clone());
                // In the order they were read, as before.
                entry.evidence.sort_by_key(|e| (e.step, e.row));
            }
        }
        self.keep(set_aside);
        self.match_rows();
    }

    /// How many entries a person should look at.
    pub fn doubtful(&self) -> usize {
        self.entries.iter().filter(|e| e.state == State::Doubtful).count()
    }
}
