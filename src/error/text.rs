//! Faults of the stage `text`.

use std::fmt;

/// A page could not be read.
#[derive(Debug)]
pub enum TextFault {
    /// Tesseract does not start with these language data; the code is Tesseract's ("eng").
    NoLanguageData(String),
    /// Tesseract gave up on a line of a page.
    EngineFailed {
        /// Base name of the photograph.
        photo: String,
        /// What was asked of it.
        step: &'static str,
    },
}

impl fmt::Display for TextFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::NoLanguageData(code) => {
                write!(
                    f,
                    "Tesseract 5 does not start with its data for \"{code}\": the data are missing or unreadable"
                )
            }
            Self::EngineFailed { photo, step } => {
                write!(f, "{photo} could not be read: Tesseract gave up while it should {step}")
            }
        }
    }
}

impl TextFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NoLanguageData(code) => format!(
                "install it: sudo apt-get install tesseract-ocr tesseract-ocr-{code} (macOS: brew install tesseract; Fedora: sudo dnf install tesseract tesseract-langpack-{code}); if TESSDATA_PREFIX is set, check that {code}.traineddata is in that folder"
            ),
            Self::EngineFailed { .. } => {
                "try again with a new photograph; if it stays, reinstall tesseract-ocr".into()
            }
        })
    }
}
