//! Sets up the altar book before Mass.
//!
//! ```text
//! photograph ─photo→ Print ─text→ [Row] ─book→ Book ──────────┐
//! date + [Calendar] ─calendar→ Day ─order→ [Need] ───────────┴→ [Stop] ─ribbon→ Plan ─card→ Card
//! ```
//!
//! Each stage is a folder and a function from the type before it to its own:
//!
//! - [`photo`]: a photograph becomes [`photo::Print`]: where its lines are.
//! - [`text`]: print becomes [`text::Row`]s: title, page label, doubt.
//! - [`book`]: rows and an outline become a [`book::Book`], the map from places to pages.
//! - [`calendar`]: a date becomes a [`calendar::Day`]: what is celebrated and why.
//! - [`order`]: a celebration becomes [`order::Need`]s: which text, at which moment.
//! - [`ribbon`]: needs found in a book become a [`ribbon::Plan`]: where the ribbons go.
//! - [`card`]: a plan becomes a [`card::Card`] and the card a text or a PDF.
//! - [`shelf`]: the folder where books and the parish live.
//! - [`desk`]: the page in the browser for the whole job.
//! - [`cli`]: the commands, which string the stages together.
//!
//! The floor under them: [`error`], [`mod@format`], [`geom`], [`language`], [`place`].

mod ascent;
pub mod book;
pub mod calendar;
pub mod card;
pub mod cli;
pub mod desk;
pub mod error;
pub mod format;
pub mod geom;
pub mod language;
mod net;
pub mod order;
pub mod photo;
pub mod place;
pub mod ribbon;
pub mod schemas;
pub mod shelf;
pub mod text;

pub use error::{Error, Result};
