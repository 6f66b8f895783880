//! A phone's HEIC picture becomes a PNG by the converter of libheif, which is asked for as a program:
//! there is no decoder in Rust under a free licence without conditions on this program.

use crate::Result;
use crate::error::{Error, PhotoFault};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

/// The converter's name, newest first (libheif 1.19 renamed it).
const CONVERTERS: [&str; 2] = ["heif-dec", "heif-convert"];

/// A phone's picture of 50 megapixels takes some 5 s; a converter that takes so long hangs.
const LONGEST: Duration = Duration::from_secs(120);

/// The picture as PNG, already upright.
pub(super) fn to_png(path: &Path) -> Result<Vec<u8>> {
    CONVERTERS
        .iter()
        .find_map(|converter| convert(Path::new(converter), path, LONGEST))
        .unwrap_or_else(|| Err(PhotoFault::Heic(path.into()).into()))
}

/// The picture as `converter` writes it, which is ended after `longest`; none where it cannot be started.
fn convert(converter: &Path, path: &Path, longest: Duration) -> Option<Result<Vec<u8>>> {
    let damaged = || PhotoFault::Damaged { file: path.into(), kind: "HEIC", cut_off: false };
    let folder = match tempfile::tempdir() {
        Ok(folder) => folder,
        Err(e) => return Some(Err(Error::from(damaged()).because(e))),
    };
    let png = folder.path().join("picture.png");
    // A name that starts with a dash would be taken for an option.
    let file = std::path::absolute(path).unwrap_or_else(|_| path.into());
    let mut command = Command::new(converter);
    command.arg(&file).arg(&png);
    let quiet = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let ended = wait(quiet.spawn().ok()?, longest);
    Some(match ended {
        Some(status) if status.success() => {
            std::fs::read(&png).map_err(|e| Error::from(damaged()).because(e))
        }
        Some(_) => Err(damaged().into()),
        None => {
            let said = format!("{} did not end in {longest:?}", converter.display());
            Err(Error::from(damaged()).because(said))
        }
    })
}

/// Waits for the converter, or ends it.
fn wait(mut converter: Child, longest: Duration) -> Option<ExitStatus> {
    let begun = Instant::now();
    while begun.elapsed() < longest {
        match converter.try_wait() {
            Ok(Some(status)) => return Some(status),
            Ok(None) => std::thread::sleep(Duration::from_millis(20)),
            Err(_) => break,
        }
    }
    // It may have ended by itself just now.
    let _ = converter.kill();
    let _ = converter.wait();
    None
}

#[cfg(all(test, unix))]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    /// What is told of a picture by a converter that does `does`.
    fn told(does: &str) -> String {
        let folder = tempfile::tempdir().unwrap();
        let converter = folder.path().join("convert");
        std::fs::write(&converter, format!("#!/bin/sh\n{does}\n")).unwrap();
        std::fs::set_permissions(&converter, std::fs::Permissions::from_mode(0o755)).unwrap();
        let picture = Path::new("page.heic");
        let converted = convert(&converter, picture, Duration::from_millis(300));
        converted.unwrap().map_or_else(|e| e.whole(), |png| String::from_utf8(png).unwrap())
    }

    #[test]
    fn a_converter_that_hangs_fails_or_writes_nothing_is_told_and_left() {
        assert_eq!(told("printf picture > \"$2\""), "picture");
        assert!(told("exec sleep 60").contains("did not end in 300ms"));
        for does in ["exit 3", "true", "yes | head -c 10000000; exit 1"] {
            assert!(told(does).starts_with("page.heic is damaged"), "{does}");
        }
        assert!(convert(Path::new("no/such/converter"), Path::new("page.heic"), LONGEST).is_none());
    }
}
