//! The truth beside the fixture photographs agrees with itself: what a photograph's rows say of a
//! place is what the edition's page map says.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use vitta::book::Outline;
use vitta::place::Place;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures")
}

fn json(file: &Path) -> Value {
    serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap()
}

/// Rows of each photograph of the invented edition, by the photograph's file.
fn photographs() -> BTreeMap<PathBuf, Value> {
    let folder = root().join("photos/vallombra");
    std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "jpg"))
        .map(|p| (p.clone(), json(&p.with_extension("rows.json"))))
        .collect()
}

#[test]
fn rows_say_the_pages_of_the_page_map() {
    let map = json(&root().join("books/vallombra.truth.json"));
    let mut wrong = Vec::new();
    let mut named = 0;
    for (file, sheet) in photographs() {
        assert_eq!(sheet["photo"], *file.file_name().unwrap().to_string_lossy());
        for row in sheet["rows"].as_array().unwrap() {
            let Some(place) = row["place"].as_str().filter(|_| row["page"].is_string()) else {
                continue;
            };
            named += 1;
            if map["pages"][place] != row["page"] {
                wrong.push(format!("{}: {place} {}", file.display(), row["page"]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(named > 600, "the photographs name most of the book, not {named} places");
}

#[test]
fn the_page_map_is_a_book_in_the_order_of_its_outline() {
    let map = json(&root().join("books/vallombra.truth.json"));
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let mut before = 0;
    for (place, page) in map["pages"].as_object().unwrap() {
        let place = Place::new(place).unwrap();
        assert!(outline.position(&place).is_some(), "{place} is not in the outline");
        let Ok(page) = page.as_str().unwrap().parse::<u32>() else {
            assert!(place.is_under("front"), "{place} has the roman page {page}");
            continue;
        };
        assert!(page >= before, "{place} on page {page}, after page {before}");
        before = page;
    }
    assert!(before > 1000, "an altar book is thick");
}

#[test]
fn photographs_are_as_large_as_a_telephone_makes_them() {
    for (file, _) in photographs() {
        let (width, height) = image::image_dimensions(&file).unwrap();
        assert_eq!(width.max(height), 2560, "{}", file.display());
    }
}
