//! Faults of the stage `photo`.

use std::fmt;
use std::path::PathBuf;

/// A photograph could not be opened or flattened.
#[derive(Debug)]
pub enum PhotoFault {
    /// The file has no content.
    Empty(PathBuf),
    /// The content is no picture this program opens. `found` says what it looks like: "plain text".
    NotAPicture {
        /// Which file.
        file: PathBuf,
        /// What its first bytes look like.
        found: &'static str,
    },
    /// A phone's HEIC or AVIF picture, and no converter for it is installed.
    Heic(PathBuf),
    /// A picture whose data cannot be decoded, or ends before the picture does.
    Damaged {
        /// Which file.
        file: PathBuf,
        /// The picture format by its first bytes: "JPEG".
        kind: &'static str,
        /// The data ends before the picture does.
        cut_off: bool,
    },
    /// More pixels than this program takes, by the picture's header.
    TooLarge {
        /// Which file.
        file: PathBuf,
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
        /// Most pixels taken, in millions.
        limit_megapixels: u64,
    },
    /// The reading broke off on it, by a fault of this program.
    Broken(PathBuf),
    /// Nothing that looks like lines of print.
    NoText {
        /// Base name of the photograph.
        photo: String,
    },
    /// The letters are too small to be read.
    LettersTooSmall {
        /// Base name of the photograph.
        photo: String,
        /// Height of a lower-case letter found, in pixels.
        found_px: f32,
        /// Height needed, in pixels.
        needed_px: f32,
    },
    /// The letters are too blurred to be read.
    Blurred {
        /// Base name of the photograph.
        photo: String,
        /// Height of a lower-case letter found, in pixels.
        letter_px: f32,
        /// How sure the reader is of its characters, mean, 0–1.
        certainty: f32,
    },
}

impl fmt::Display for PhotoFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Empty(file) => write!(f, "{} is empty, expected a photograph", file.display()),
            Self::NotAPicture { file, found } => {
                write!(
                    f,
                    "{} is no photograph: found {found}, expected JPEG, PNG, TIFF, WebP, HEIC or PDF",
                    file.display()
                )
            }
            Self::Heic(file) => write!(
                f,
                "{} is in a phone's HEIC format, and the converter heif-convert is not installed",
                file.display()
            ),
            Self::Damaged { file, kind, cut_off: true } => {
                write!(
                    f,
                    "{} is damaged: its {kind} data ends before the picture does",
                    file.display()
                )
            }
            Self::Damaged { file, kind, cut_off: false } => {
                write!(f, "{} is damaged: its {kind} data cannot be decoded", file.display())
            }
            Self::TooLarge { file, width, height, limit_megapixels } => write!(
                f,
                "{} has {width} × {height} pixels, expected at most {limit_megapixels} million",
                file.display()
            ),
            Self::Broken(file) => {
                write!(f, "{} could not be read: the reading broke off", file.display())
            }
            Self::NoText { photo } => write!(f, "no lines of print were found on {photo}"),
            Self::LettersTooSmall { photo, found_px, needed_px } => write!(
                f,
                "the letters on {photo} are too small: a lower-case letter is about {found_px:.0} pixels high, \
                 needed are {needed_px:.0}"
            ),
            Self::Blurred { photo, letter_px, certainty } => write!(
                f,
                "{photo} is blurred or dark: its letters, {letter_px:.0} pixels high, were read with a certainty of \
                 {:.0} %, readable print gives over 90 %",
                100.0 * certainty
            ),
        }
    }
}

impl PhotoFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(
            match self {
                Self::Empty(_) | Self::Damaged { .. } => "copy the photograph again from the phone or camera",
                Self::NotAPicture { .. } => "give the photograph itself, or save it again as JPEG or PNG",
                Self::Heic(_) => {
                    "install it (Debian and Ubuntu: apt install libheif-examples), or export the picture as JPEG: \
                     share or mail it from the phone"
                }
                Self::TooLarge { .. } => "save a smaller copy: 12 million pixels are plenty for one page",
                Self::Broken(_) => "the others were read; report the photograph with the program's version",
                Self::NoText { .. } => "photograph one page or opening from above, filling the picture",
                Self::LettersTooSmall { .. } => "go nearer, so that the page fills the picture, or choose full resolution",
                Self::Blurred { .. } => "photograph again: hold still, tap on the text to focus, more light",
            }
            .into(),
        )
    }
}
