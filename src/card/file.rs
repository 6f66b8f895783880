//! The kind of card that a file's name asks for.

use super::terminal::Terminal;
use super::week::{WeekCard, week_text};
use super::{Card, Paper, pdf, svg, terminal, wall};
use crate::Result;
use crate::error::CardFault;
use std::path::Path;
use std::str::FromStr;

/// Width of a card in a text file: mail and paper.
const TEXT: Terminal = Terminal { width: 72, colour: false, reasons: true };

/// A way to write a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A PDF file.
    Pdf,
    /// An SVG picture.
    Svg,
    /// Plain text.
    Text,
}

impl Kind {
    /// By the ending of the file's name, before anything is computed.
    pub fn of(file: &Path) -> Result<Self> {
        let ending = file.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
        match ending.as_str() {
            "pdf" => Ok(Kind::Pdf),
            "svg" => Ok(Kind::Svg),
            "txt" => Ok(Kind::Text),
            _ => Err(CardFault::Kind { found: ending }.into()),
        }
    }

    /// The file's content.
    pub fn bytes(self, card: &Card, paper: Paper) -> Result<Vec<u8>> {
        Ok(match self {
            Kind::Pdf => pdf::write(card, paper)?,
            Kind::Svg => svg::write(card, paper)?.into_bytes(),
            Kind::Text => terminal::write(card, TEXT).into_bytes(),
        })
    }

    /// The content of the sheet for the wall.
    pub fn week_bytes(self, card: &WeekCard) -> Result<Vec<u8>> {
        Ok(match self {
            Kind::Pdf => pdf::print(&wall::set(card)?)?,
            Kind::Svg => svg::print(&wall::set(card)?).into_bytes(),
            Kind::Text => week_text(card, TEXT.width).into_bytes(),
        })
    }
}

impl FromStr for Paper {
    type Err = crate::Error;

    fn from_str(name: &str) -> Result<Self> {
        match name.to_lowercase().as_str() {
            "a6" => Ok(Paper::A6),
            "a5" => Ok(Paper::A5),
            "a4" => Ok(Paper::A4),
            _ => Err(CardFault::Paper { found: name.to_owned() }.into()),
        }
    }
}
