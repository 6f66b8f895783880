//! A phone's HEIC picture becomes a PNG by the converter of libheif, which is asked for as a program:
//! there is no decoder in Rust under a free licence without conditions on this program.

use crate::Result;
use crate::error::{Error, PhotoFault};
use std::path::Path;
use std::process::{Command, Stdio};

/// The converter's name, newest first (libheif 1.19 renamed it).
const CONVERTERS: [&str; 2] = ["heif-dec", "heif-convert"];

/// The picture as PNG, already upright.
pub(super) fn to_png(path: &Path) -> Result<Vec<u8>> {
    let damaged = || PhotoFault::Damaged { file: path.into(), kind: "HEIC", cut_off: false };
    let folder = tempfile::tempdir().map_err(|e| Error::from(damaged()).because(e))?;
    let png = folder.path().join("picture.png");
    // A name that starts with a dash would be taken for an option.
    let file = std::path::absolute(path).unwrap_or_else(|_| path.into());
    for converter in CONVERTERS {
        let mut command = Command::new(converter);
        command.arg(&file).arg(&png).stdin(Stdio::null());
        match command.output() {
            Err(_) => continue,
            Ok(done) if done.status.success() => {
                return std::fs::read(&png).map_err(|e| Error::from(damaged()).because(e));
            }
            Ok(_) => return Err(damaged().into()),
        }
    }
    Err(PhotoFault::Heic(path.into()).into())
}
