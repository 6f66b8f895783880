//! What is not installed: Tesseract's data, a phone's picture's converter. Told with what installs it.

use super::{Sacristy, refused};
use std::path::Path;

/// Tesseract is asked as a second witness of every roman number.
#[cfg(feature = "tesseract")]
#[test]
fn data_that_are_missing_are_named_with_what_installs_them() {
    let sacristy = Sacristy::new();
    let data = sacristy.path("data");
    std::fs::create_dir(&data).unwrap();
    let mut sheet = crate::sheet::Sheet::new();
    for (title, page) in [("Foreword", "vii"), ("Universal Norms", "xiv"), ("Decree", "xxiii")] {
        sheet.dotted(100.0, title, 1000.0, page);
    }
    let photo = sacristy.path("list.png");
    sheet.picture().save(&photo).unwrap();
    let command = ["read", photo.to_str().unwrap(), "--book", "crypt"];
    let said = refused(&sacristy.vitta(&command).env("TESSDATA_PREFIX", &data).output().unwrap());
    assert!(sacristy.shelf().find("crypt").unwrap().is_none(), "a book without its readings");
    for installs in [
        "\"eng\"",
        "apt-get install tesseract-ocr tesseract-ocr-eng",
        "brew install tesseract",
        "tesseract-langpack-eng",
        "TESSDATA_PREFIX",
    ] {
        assert!(said.contains(installs), "{said}");
    }
}

#[test]
fn a_language_that_is_not_read_is_refused_with_those_that_are() {
    let sacristy = Sacristy::new();
    let mut read = sacristy.vitta(&["read", "list.jpg", "--printed", "klingon"]);
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
