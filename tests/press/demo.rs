//! The demo's book: an altar edition of a press that does not exist, photographed by the sacristan of
//! a parish that does not exist.

use crate::compose::{self, List};
use crate::edition::{Edition, Habit};
use crate::lists::{self, Kind};
use crate::photograph;
use crate::shot::{Framing, Grade, Intrusion, Order};
use crate::truth;
use crate::typeset::{self, Leader, Leaf, Setter, Style};
use std::error::Error;
use std::path::Path;
use vitta::book::Outline;
use vitta::language::Language;

const STYLE: Style = Style {
    name: "vallombra",
    setter: Setter::Xelatex,
    font: "EB Garamond",
    size: 9.15,
    leading: 1.13,
    wide: 0.40,
    old_figures: false,
    red: true,
    small_caps: true,
    page: (195.0, 275.0),
};

/// Seeds of the photographs, one for each page.
const SHOTS: [u64; 8] = [221, 112, 213, 214, 15, 16, 217, 118];

fn all_lists(edition: &Edition) -> [List; 5] {
    let elsewhere = ["ritual", "needs", "votive", "dead", "saints", "appendix", "index"];
    let mut time = edition.under("time");
    time.retain(|p| p.level > 1 && p.level <= 4);
    let commons = edition.under("common");
    // The edition does not list its own indexes.
    let mut contents = lists::contents(edition, &elsewhere);
    contents.retain(|e| e.place.as_ref().is_some_and(|p| p.as_str() != "index"));
    let list =
        |kind, title, columns, leader, entries| List { kind, title, columns, leader, entries };
    let time = lists::indented(&time, 2, true);
    let commons = lists::indented(&commons[1..], 2, true);
    let prefaces = lists::prefaces(edition, false);
    [
        list(Kind::Contents, "Contents", 1, Leader::Dots, contents),
        list(Kind::Section("time"), "Proper of Time", 2, Leader::Dots, time),
        list(Kind::Prefaces, "Prefaces", 2, Leader::Dots, prefaces),
        list(Kind::Months, "Proper of Saints", 2, Leader::Space, lists::months(edition)),
        list(Kind::Section("common"), "Commons", 2, Leader::Dots, commons),
    ]
}

fn leaves(edition: &Edition) -> Vec<Leaf> {
    let index = edition.places.iter().find(|p| p.place.as_str() == "index/contents");
    let mut page: u32 = index.and_then(|p| p.page.parse().ok()).unwrap_or(1401);
    let mut out = Vec::new();
    for list in all_lists(edition) {
        let some = compose::leaves(&STYLE, list, page, usize::MAX);
        page += some.len() as u32;
        out.extend(some);
    }
    out
}

/// The edition, its pages as they were drawn first or, without the file that keeps them, drawn anew.
fn edition() -> Result<Edition, Box<dyn Error>> {
    let (name, seed) = ("Vallombra altar edition", 2718);
    let outline = Outline::shipped("roman-missal-3")?;
    let kept = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/books/vallombra.truth.json");
    if let Ok(map) = std::fs::read_to_string(kept) {
        return Ok(Edition::kept(name, outline, &serde_json::from_str(&map)?, seed));
    }
    let habit = Habit { scale: 1.08, roman: true, omits: 0.0 };
    Ok(Edition::draw(name, outline, Language::En, habit, seed))
}

/// Makes the demo's photographs and truth in `dir`; printed pages go to `work`. Other `takes` than 0
/// photograph the same pages otherwise.
pub fn make(dir: &Path, work: &Path, long_side: u32, takes: u64) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(dir)?;
    let edition = edition()?;
    truth::write(&truth::page_map(&edition), &dir.join("vallombra.truth.json"))?;
    let leaves = leaves(&edition);
    let book = typeset::set(&STYLE, &leaves, 300, work)?;
    for (i, leaf) in leaves.iter().enumerate() {
        let framing = Framing::One { right: leaf.right };
        let (grade, seed) = (Grade::Usual, SHOTS[i % SHOTS.len()] + 100 * takes);
        let page = STYLE.page;
        let order = Order {
            grade,
            framing,
            page,
            through: 0.96,
            long_side,
            seed,
            copy: 7,
            over: Intrusion::default(),
        };
        let stem = format!("{}-{}", leaf.head.to_lowercase().replace(' ', "-"), leaf.folio);
        let name = format!("{stem}.jpg");
        let sight = photograph::take(&book.open(i, order), &dir.join(&name))?;
        let seen = book.seen(i, &order, &sight);
        let sheet = truth::sheet(&edition, &STYLE, &[leaf.kind], seen, &name);
        let sheet = truth::Sheet { grade: grade.name(), ..sheet };
        truth::write(&sheet, &dir.join(format!("{stem}.rows.json")))?;
        eprintln!("{name}: {} rows", sheet.rows.len());
    }
    Ok(())
}
