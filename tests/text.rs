//! Pages with known print, drawn flat and sharp, one for each layout; then the photographs with known truth.

use crate::score::{self, Case, Score};
use crate::sheet::Sheet;
use image::{RgbImage, imageops};
use std::sync::OnceLock;
use vitta::photo::{Photo, find};
use vitta::text::{Reading, Row, read};

fn read_picture(name: &str, image: RgbImage) -> Reading {
    let photo = Photo { name: name.into(), image };
    let print = find(&photo.image).unwrap();
    read(&photo, &print).unwrap()
}

fn read_sheet(sheet: &Sheet) -> Reading {
    read_picture("drawn", sheet.picture())
}

#[test]
fn what_holds_no_readable_print_is_refused_with_a_hint() {
    let mut sheet = Sheet::new();
    for line in ["Masses for Various Needs", "For the Church", "For the Pope", "For the Bishop"] {
        sheet.put(100.0, line);
        sheet.down();
    }
    let print = sheet.picture();
    let (width, height) = (print.width() / 8, print.height() / 8);
    let cases = [
        ("blank", RgbImage::from_pixel(800, 800, image::Rgb([210; 3]))),
        ("far", imageops::resize(&print, width, height, imageops::FilterType::Triangle)),
        ("blurred", imageops::blur(&print, 12.0)),
    ];
    for (name, image) in cases {
        let photo = Photo { name: name.into(), image };
        let error = match find(&photo.image).and_then(|print| read(&photo, &print)) {
            Ok(reading) => panic!("{name} is read: {reading:?}"),
            Err(error) => error,
        };
        let said = error.to_string();
        let why = ["no lines of print", "too small", "blurred or dark"];
        assert!(said.contains(name) && why.iter().any(|w| said.contains(w)), "{said}");
        assert!(error.hint().is_some(), "{said}");
    }
}

/// Titles, without a leader's first dot where that was read with them, and pages.
fn entries(rows: &[Row]) -> Vec<(&str, &str)> {
    rows.iter()
        .map(|r| (r.title.trim_end_matches([' ', '.']), r.page.as_deref().unwrap_or("-")))
        .collect()
}

fn no_doubt(rows: &[Row]) {
    let doubtful: Vec<&Row> = rows.iter().filter(|r| r.doubt).collect();
    assert!(doubtful.is_empty(), "{doubtful:?}");
}

#[test]
fn contents_with_leaders_levels_and_roman_front_matter() {
    let mut sheet = Sheet::new();
    sheet.dotted(100.0, "Foreword", 1300.0, "vii");
    sheet.dotted(100.0, "Universal Norms", 1300.0, "xiv");
    sheet.dotted(100.0, "Proper of Time", 1300.0, "125");
    sheet.dotted(150.0, "Advent", 1300.0, "127");
    sheet.dotted(150.0, "Christmas Time", 1300.0, "163");
    sheet.dotted(150.0, "Lent", 1300.0, "197");
    sheet.dotted(100.0, "Proper of Saints", 1300.0, "803");
    sheet.dotted(100.0, "Commons", 1300.0, "1051");
    let reading = read_sheet(&sheet);
    let expected = [
        ("Foreword", "vii"),
        ("Universal Norms", "xiv"),
        ("Proper of Time", "125"),
        ("Advent", "127"),
        ("Christmas Time", "163"),
        ("Lent", "197"),
        ("Proper of Saints", "803"),
        ("Commons", "1051"),
    ];
    assert_eq!(entries(&reading.rows), expected);
    assert_eq!(reading.rows.iter().map(|r| r.level).collect::<Vec<_>>(), [1, 1, 1, 2, 2, 2, 1, 1]);
    no_doubt(&reading.rows[2..]);
}

#[test]
fn index_in_two_columns_with_several_pages() {
    let mut sheet = Sheet::new();
    let left = [
        "Abbot, 1032",
        "Agatha, 839",
        "Agnes, 822",
        "Albert, 973, 981",
        "Aloysius, 889",
        "Ambrose, 1012",
        "Andrew, 1004",
    ];
    let right = [
        "Barnabas, 880",
        "Bede, 870",
        "Benedict, 900",
        "Bernard, 933, 1040-1042",
        "Blaise, 838",
        "Bruno, 965",
        "Boniface, 876",
    ];
    for (l, r) in left.iter().zip(right) {
        sheet.put(100.0, l);
        sheet.put(760.0, r);
        sheet.down();
    }
    let reading = read_sheet(&sheet);
    let columns: Vec<u8> = reading.rows.iter().map(|r| r.column).collect();
    assert_eq!(columns, [1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2]);
    let pages: Vec<&str> = reading.rows.iter().filter_map(|r| r.page.as_deref()).collect();
    let expected = [
        "1032",
        "839",
        "822",
        "973, 981",
        "889",
        "1012",
        "1004",
        "880",
        "870",
        "900",
        "933, 1040-1042",
        "838",
        "965",
        "876",
    ];
    assert_eq!(pages, expected);
    assert_eq!(reading.rows[10].pages, ["933", "1040-1042"]);
}

#[test]
fn wrapped_titles_are_one_entry_and_headings_have_no_page() {
    let mut sheet = Sheet::new();
    sheet.put(100.0, "Masses for Various Needs");
    sheet.down();
    sheet.dotted(140.0, "For the Church", 1100.0, "1243");
    sheet.put(140.0, "For the Pope or for the Bishop, especially on the anni-");
    sheet.down();
    sheet.dotted(190.0, "versary of his election", 1100.0, "1249");
    sheet.dotted(140.0, "For the Ministers of the Church", 1100.0, "1257");
    sheet.dotted(140.0, "For Vocations", 1100.0, "1260");
    let reading = read_sheet(&sheet);
    let expected = [
        ("Masses for Various Needs", "-"),
        ("For the Church", "1243"),
        ("For the Pope or for the Bishop, especially on the anniversary of his election", "1249"),
        ("For the Ministers of the Church", "1257"),
        ("For Vocations", "1260"),
    ];
    assert_eq!(entries(&reading.rows), expected);
}

#[test]
fn month_list_keeps_the_day_before_the_title() {
    let mut sheet = Sheet::new();
    let days = [
        ("17", "Anthony, Abbot", "817"),
        ("20", "Fabian, Pope", "819"),
        ("21", "Agnes, Virgin", "821"),
        ("22", "Vincent, Deacon", "823"),
        ("24", "Francis de Sales", "825"),
    ];
    for (day, title, page) in days {
        sheet.put(130.0 - sheet.width(day), day);
        sheet.right(160.0, title, 1200.0, page);
    }
    let reading = read_sheet(&sheet);
    let expected: Vec<(String, &str)> =
        days.iter().map(|(d, t, p)| (format!("{d} {t}"), *p)).collect();
    let found: Vec<(String, &str)> =
        reading.rows.iter().map(|r| (r.title.clone(), r.page.as_deref().unwrap_or("-"))).collect();
    assert_eq!(found, expected);
}

#[test]
fn a_list_without_page_numbers_accepts_nothing() {
    let mut sheet = Sheet::new();
    for line in [
        "1. Of waking and of sleep",
        "2. Of marriage",
        "3. Of the tree of life",
        "4. Of beards",
        "5. Of old men",
    ] {
        sheet.put(100.0, line);
        sheet.down();
    }
    let reading = read_sheet(&sheet);
    assert_eq!(reading.rows.iter().filter(|r| r.page.is_some()).count(), 0);
    assert!(reading.notices.iter().any(|n| n.contains("no page numbers")));
}

#[test]
fn a_days_page_gives_its_references() {
    let mut sheet = Sheet::new();
    for line in [
        "January 17",
        "Saint Anthony, Abbot",
        "From the Common of Holy Men and Women: For a Monk, p. 1132,",
        "or Common of Pastors, p. 1101.",
        "Preface of Holy Men and Women, pp. 512-515.",
        "Collect",
    ] {
        sheet.put(100.0, line);
        sheet.down();
        sheet.down();
    }
    let reading = read_sheet(&sheet);
    let found: Vec<(&str, String)> =
        reading.crossrefs.iter().map(|c| (c.label.as_str(), c.pages.join(" "))).collect();
    let expected = [
        ("Common of Holy Men and Women: For a Monk", "1132"),
        ("Common of Pastors", "1101"),
        ("Preface of Holy Men and Women", "512-515"),
    ];
    assert_eq!(found, expected.map(|(l, p)| (l, p.to_owned())));
    // What else stands there has no page.
    assert!(reading.rows.iter().all(|r| r.page.is_none()), "{:?}", reading.rows);
}

fn read_case(case: &Case) -> Reading {
    let photo = vitta::photo::load(&case.photo).unwrap();
    read(&photo, &find(&photo.image).unwrap()).unwrap()
}

/// A few photographs of real books; the scoreboard reads them all.
#[test]
fn real_books_are_read_no_worse_than_before() {
    let Some(cases) = score::real() else {
        println!("skipped: VITTA_REAL names no folder of photographs of real books");
        return;
    };
    // name, least right entries, most silent errors: as measured when last better, with a little room
    let floors = [
        ("lausanne1884_p13", 14, 0),
        ("zuerich1887_p18", 46, 0),
        ("cat_035", 33, 0),
        ("apresdisnees_f31", 0, 0),
    ];
    let mut worse = Vec::new();
    for (name, right, silent) in floors {
        let Some(case) = cases.iter().find(|c| c.name == name) else { continue };
        let score = score::score(&read_case(case).rows, &case.truth.rows);
        if score.right < right || score.silent + score.stray > silent {
            worse.push((name, score));
        }
    }
    assert!(worse.is_empty(), "{worse:#?}");
}

/// The photographs kept with the project as they are read; read once for all tests.
pub fn kept() -> &'static [(Case, Reading)] {
    static KEPT: OnceLock<Vec<(Case, Reading)>> = OnceLock::new();
    KEPT.get_or_init(|| {
        let cases = score::fixtures();
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let readings = score::on_threads(&cases, cores, read_case);
        cases.into_iter().zip(readings).collect()
    })
}

#[test]
fn photographs_kept_with_the_project_are_read_no_worse_than_before() {
    let mut all = Score::default();
    for (case, reading) in kept().iter().filter(|(c, _)| !c.truth.rows.is_empty()) {
        all.add(score::score(&reading.rows, &case.truth.rows));
    }
    // as measured when last better
    assert!(all.f1() >= 0.97 && all.silent_rate() <= 0.002, "{all:#?}");
}
