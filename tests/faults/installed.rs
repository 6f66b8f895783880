//! What is not installed: Tesseract's data, those of the language asked for, a phone's picture's converter. Told at
//! once, with what installs it.

use super::{Sacristy, refused};
use std::path::{Path, PathBuf};
use std::process::Command;

fn photograph() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/photos/vallombra/prefaces-1639.jpg")
}

/// `vitta read` with a folder of data that has only those of `languages`.
fn read(languages: &[&str], more: &[&str]) -> String {
    let sacristy = Sacristy::new();
    let data = sacristy.path("data");
    std::fs::create_dir(&data).unwrap();
    for language in languages {
        let file = format!("{language}.traineddata");
        std::fs::copy(installed().join(&file), data.join(&file)).unwrap();
    }
    let photo = photograph();
    let mut command = vec!["read", photo.to_str().unwrap(), "--book", "crypt"];
    command.extend(more);
    let said = refused(&sacristy.vitta(&command).env("TESSDATA_PREFIX", &data).output().unwrap());
    assert!(sacristy.shelf().find("crypt").unwrap().is_none(), "a book without its readings");
    said
}

/// Where this machine has its data: `tesseract --list-langs` names the folder.
fn installed() -> PathBuf {
    let listed = Command::new("tesseract").arg("--list-langs").output().unwrap();
    let text = String::from_utf8([listed.stdout, listed.stderr].concat()).unwrap();
    PathBuf::from(text.split('"').nth(1).unwrap())
}

#[test]
fn data_that_are_missing_are_named_with_what_installs_them() {
    let cases: [(&[&str], &[&str], &str); 5] = [
        (&[], &[], "eng"),
        (&["eng"], &["--printed", "es"], "spa"),
        (&["eng", "spa"], &["--printed", "la"], "lat"),
        (&["spa", "lat"], &["--printed", "es"], "eng"),
        (&["eng"], &[], "spa"),
    ];
    for (there, typed, missing) in cases {
        let said = read(there, typed);
        assert!(said.contains(&format!("\"{missing}\"")), "{there:?} {typed:?}: {said}");
        for installs in [
            format!("apt-get install tesseract-ocr tesseract-ocr-{missing}"),
            "brew install tesseract".into(),
            format!("tesseract-langpack-{missing}"),
            "TESSDATA_PREFIX".into(),
        ] {
            assert!(said.contains(&installs), "{there:?} {typed:?}: {said}");
        }
    }
}

#[test]
fn a_language_that_is_not_read_is_refused_with_those_that_are() {
    let sacristy = Sacristy::new();
    let photo = photograph();
    let mut read = sacristy.vitta(&["read", photo.to_str().unwrap(), "--printed", "klingon"]);
    let done = read.output().unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(said.contains("klingon") && said.contains("en, es, la"), "{said}");
}

#[test]
fn a_phones_picture_without_its_converter_names_what_installs_it() {
    let sacristy = Sacristy::new();
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/photos/kinds/halves.heic");
    let mut read = sacristy.vitta(&["read", photo.to_str().unwrap(), "--book", "crypt"]);
    let said = refused(&read.env("PATH", sacristy.folder.path()).output().unwrap());
    assert!(said.contains("halves.heic") && said.contains("not installed"), "{said}");
    assert!(said.contains("apt install libheif-examples"), "{said}");
}
