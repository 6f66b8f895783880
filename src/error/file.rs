//! Faults of files: reading, writing, understanding.

use std::fmt;
use std::path::PathBuf;

/// A file could not be read, written or understood.
#[derive(Debug)]
pub enum FileFault {
    /// The file is not there.
    Missing(PathBuf),
    /// The system refused to read it.
    Unreadable(PathBuf),
    /// The system refused to write it.
    Unwritable(PathBuf),
    /// The text is not JSON, or not of this shape. `at` is the JSON path, `said` the parser's words.
    Malformed {
        /// Which file.
        file: PathBuf,
        /// JSON path inside it, `.` for the whole.
        at: String,
        /// What was found against what was expected.
        said: String,
    },
    /// A file of another format.
    OtherFormat {
        /// Which file.
        file: PathBuf,
        /// The format name found, if any.
        found: Option<String>,
        /// The format name expected.
        expected: &'static str,
    },
    /// A file of a version this program does not know.
    OtherVersion {
        /// Which file.
        file: PathBuf,
        /// Version found.
        found: i64,
        /// Newest version known.
        known: u32,
    },
    /// The shelf has no book of this name.
    NoSuchBook {
        /// Name asked for.
        name: String,
        /// Names on the shelf.
        known: Vec<String>,
    },
    /// A name without letters or digits.
    BadName(String),
    /// A folder without the files looked for.
    Empty {
        /// Which folder.
        folder: PathBuf,
        /// What was looked for.
        expected: &'static str,
    },
    /// The readings kept for a file are of another content than it has.
    OtherPhotograph {
        /// The file.
        file: PathBuf,
        /// Where the readings are kept.
        kept: PathBuf,
    },
    /// Others kept writing the file while it was to be changed.
    Contended(PathBuf),
    /// An address of a bucket that is none, or whose credentials are not understood.
    NoBucket(String),
    /// This program was built without buckets.
    NoBuckets(PathBuf),
    /// The server of the bucket gave no answer, or refused.
    Unreached(PathBuf),
    /// The server of the bucket does not tell one state of a file from another.
    NoETag(PathBuf),
    /// The demo's photographs are not where the program was started.
    NoDemo(PathBuf),
    /// The system has no folder for the user's files.
    NoHome,
}

impl fmt::Display for FileFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Missing(p) => write!(f, "{} is not there", p.display()),
            Self::Unreadable(p) => write!(f, "{} cannot be read", p.display()),
            Self::Unwritable(p) => write!(f, "{} cannot be written", p.display()),
            Self::Malformed { file, at, said } => {
                write!(f, "{} is not understood at {at}: {said}", file.display())
            }
            Self::OtherFormat { file, found: Some(found), expected } => {
                write!(f, "{} is of format \"{found}\", expected \"{expected}\"", file.display())
            }
            Self::OtherFormat { file, found: None, expected } => {
                write!(f, "{} names no format, expected \"{expected}\"", file.display())
            }
            Self::OtherVersion { file, found, known } => {
                write!(f, "{} has version {found}, this program knows 1 to {known}", file.display())
            }
            Self::NoSuchBook { name, known } if known.is_empty() => {
                write!(f, "there is no book \"{name}\": the shelf is empty")
            }
            Self::NoSuchBook { name, known } => {
                write!(f, "there is no book \"{name}\" on the shelf, only {}", known.join(", "))
            }
            Self::BadName(name) => {
                write!(f, "\"{name}\" is no name for a book: it has no letter or digit")
            }
            Self::Empty { folder, expected } => {
                write!(f, "the folder {} holds no {expected}", folder.display())
            }
            Self::OtherPhotograph { file, kept } => write!(
                f,
                "{} is not the photograph of that name whose readings are in {}",
                file.display(),
                kept.display()
            ),
            Self::Contended(p) => {
                write!(f, "{} was changed by others each time it was to be written", p.display())
            }
            Self::NoBucket(address) => {
                write!(f, "\"{address}\" leads to no bucket, expected s3://BUCKET/PREFIX")
            }
            Self::NoBuckets(p) => {
                write!(
                    f,
                    "{} is in a bucket, and this vitta was built for folders only",
                    p.display()
                )
            }
            Self::Unreached(p) => write!(f, "{} cannot be reached", p.display()),
            Self::NoETag(p) => write!(
                f,
                "the server of {} gives no ETag, without which nothing is written safely",
                p.display()
            ),
            Self::NoDemo(folder) => {
                write!(f, "the demo's photographs are not here: there is no {}", folder.display())
            }
            Self::NoHome => write!(f, "the system names no home folder to keep the shelf in"),
        }
    }
}

impl FileFault {
    pub(super) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Missing(_) => "check the name and the folder".into(),
            Self::Unreadable(_) => "check that you may read it and that it is a file".into(),
            Self::Unwritable(_) => "check that the folder is there, that you may write to it, and that the disk has room".into(),
            Self::Malformed { .. } => "correct that line, or restore the file from a copy".into(),
            Self::OtherFormat { expected, .. } => format!("give a file whose \"format\" is \"{expected}\""),
            Self::OtherVersion { .. } => "use a newer vitta".into(),
            Self::NoSuchBook { name, known } if known.is_empty() => {
                format!("photograph its contents pages, then: vitta read PHOTO… --book {name}")
            }
            Self::NoSuchBook { .. } => "vitta book list shows the books; a path ending in .json is a file".into(),
            Self::BadName(_) => "call it by its place or its binding, e.g. --book chapel".into(),
            Self::Empty { .. } => "give the photographs themselves or the folder they are in".into(),
            Self::OtherPhotograph { .. } => {
                "give another --out, or remove that file if the photograph was replaced".into()
            }
            Self::Contended(_) => "nothing was written; try again in a moment".into(),
            Self::NoBucket(_) => "name the bucket, and set AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY and, for a server of one's own, AWS_ENDPOINT_URL".into(),
            Self::NoBuckets(_) => "build it with the feature \"bucket\", or name a folder with --shelf".into(),
            Self::Unreached(_) => "check the network, the bucket's name, AWS_ENDPOINT_URL, AWS_REGION and the keys".into(),
            Self::NoETag(_) => "keep the shelf on a server that gives ETags and honours If-Match".into(),
            Self::NoDemo(_) => "start the demo in the project's own folder".into(),
            Self::NoHome => "name a folder with --shelf".into(),
        })
    }
}
