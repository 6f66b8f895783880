//! Files of our own formats that a person or another program damaged: read, and whatever is still taken is
//! used as the commands use it and written again.

use super::change::Kind;
use super::engine::{Answer, Target, hold, refused};
use serde_json::{Value, json};
use std::fmt::Debug;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use vitta::book::{
    Book, DigitConfusions, Label, Outline, Ribbon, Sticker, Tab, carry_marks, concordance,
};
use vitta::calendar::{Calendar, Layer};
use vitta::card::{self, Card, Paper, pdf, svg, terminal};
use vitta::format::{self, Format};
use vitta::language::{Language, PrintedLanguage};
use vitta::order::{Formularies, ServiceOrder};
use vitta::place::Place;
use vitta::ribbon::costs::Costs;
use vitta::ribbon::{self, OnTable, Week};
use vitta::shelf::{self, Mass, MassAt, Parish};
use vitta::text::{Reading, Readings, Words};

type Held = Result<Answer, String>;

/// The lists of a file of ours shortened, so that changes meet every kind of value often.
fn shortened(path: &str, most: usize) -> Vec<u8> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let mut value: Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
    shorten(&mut value, most);
    value.to_string().into_bytes()
}

fn shorten(value: &mut Value, most: usize) {
    match value {
        Value::Array(items) => {
            items.truncate(most);
            items.iter_mut().for_each(|v| shorten(v, most));
        }
        Value::Object(fields) => fields.values_mut().for_each(|v| shorten(v, most)),
        _ => {}
    }
}

/// Every file of a folder of data, shortened.
fn data(folder: &str, most: usize) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(root).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "json"));
    files.sort();
    files.iter().map(|f| shortened(f.to_str().unwrap(), most)).collect()
}

pub fn written<T: Format>(value: &T) -> Vec<u8> {
    format::to_text(value, Path::new("seed.json")).unwrap().into_bytes()
}

/// Reads a case; what was read is the same when it is written and read again.
fn read<T: Format + PartialEq + Debug>(case: &[u8]) -> Result<vitta::Result<T>, String> {
    let text = String::from_utf8_lossy(case);
    let value = match format::parse::<T>(&text, Path::new("case.json")) {
        Ok(value) => value,
        Err(error) => return Ok(Err(error)),
    };
    keeps(&value)?;
    Ok(Ok(value))
}

/// What is written can be read again: a file that only this program can still lose.
fn keeps<T: Format + PartialEq + Debug>(value: &T) -> Result<(), String> {
    let file = Path::new("again.json");
    let text = format::to_text(value, file).map_err(|e| format!("not written: {}", e.whole()))?;
    match format::parse::<T>(&text, file) {
        Ok(again) if again == *value => Ok(()),
        Ok(_) => Err("it is another when it is read again".into()),
        Err(e) => Err(format!("what was written is not read again: {}", e.whole())),
    }
}

/// A format that is only read and kept.
fn only_read<T: Format + PartialEq + Debug>(case: &[u8]) -> Held {
    match read::<T>(case)? {
        Ok(_) => Ok(Answer::Taken(String::new())),
        Err(error) => refused(&error),
    }
}

macro_rules! taken {
    ($result:expr) => {
        match $result {
            Ok(value) => value,
            Err(error) => return refused(&error),
        }
    };
}

/// Three photographs' readings of an invented list.
pub fn readings() -> Vec<Reading> {
    let row = |title: &str, page: &str, other: &str, top: i32| {
        json!({
            "title": title, "page": page, "level": 1, "column": 1, "probability": 0.9, "doubt": false,
            "alternatives": [{"page": page, "weight": 0.9}, {"page": other, "weight": 0.05}],
            "strip": {"photo": "list.jpg", "area": {"left": 10, "top": top, "right": 900, "bottom": top + 40}}
        })
    };
    let rows = json!([
        row("First Sunday of Advent", "21", "27", 10),
        row("Monday", "23", "28", 60),
        row("Preface I of Advent", "433", "438", 110),
        row("Preface II of Advent", "436", "486", 160),
        row("Eucharistic Prayer II", "541", "547", 210),
        row("Eucharistic Prayer III", "548", "543", 260),
        row("March 19 Saint Joseph", "718", "713", 310),
        row("Front matter", "xiv", "xv", 360),
    ]);
    let crossrefs = json!([{"label": "Preface of Saint Joseph", "pages": ["720"], "doubt": false}]);
    let photo = |file: &str| {
        let reading = json!({"file": file, "rows": rows, "crossrefs": crossrefs, "notices": []});
        serde_json::from_value(reading).unwrap()
    };
    vec![photo("list.jpg"), photo("again.jpg")]
}

/// A book of sixty places, read, corrected and marked.
pub fn small_book() -> Book {
    let mut outline = Outline::shipped("roman-missal-3").unwrap().clone();
    let wanted = ["time/advent/week-1", "order", "saints/03-19", "front"];
    outline.places.retain(|p| wanted.iter().any(|w| p.place.is_under(w)));
    outline.places.truncate(60);
    let mut book = Book::from_readings(
        "Chapel",
        &readings(),
        Some(&outline),
        Some(PrintedLanguage::En),
        "2026-11-25 09:00:00",
    );
    let place = |p: &str| Place::new(p).unwrap();
    book.confirm(&place("order"), "385", "2026-11-25 09:10:00").unwrap();
    let last = book.entries.last().unwrap().place.clone();
    book.mark_absent(&last, "2026-11-25 09:11:00").unwrap();
    let ribbon = |colour: &&str| Ribbon::new(colour);
    book.ribbons = ["red", "green", "gold", "violet"].iter().map(ribbon).collect();
    book.tabs = vec![Tab { title: "Prefaces".into(), page: "433".into() }];
    book.stickers = vec![Sticker { page: "549a".into(), place: place("saints/06-30/patron") }];
    book.set_marks(Some("crypt"), book.marks(None));
    book
}

fn general() -> &'static Calendar {
    static GENERAL: OnceLock<Calendar> = OnceLock::new();
    GENERAL.get_or_init(|| Calendar::shipped("general").unwrap())
}

fn mass() -> &'static Mass {
    static MASS: OnceLock<Mass> = OnceLock::new();
    MASS.get_or_init(|| {
        let date = "2027-03-19".parse().unwrap();
        Mass::by(general(), &Parish::default(), date, None, Language::En).unwrap()
    })
}

/// The book's ribbons laid, the card written in every way.
fn lay(book: &Book, costs: &Costs) -> Result<usize, String> {
    let table = [OnTable { book, ribbons: book.ribbons.len().min(12), stands: &[] }];
    let plan = match ribbon::plan_table(&mass().service, &table, costs) {
        Ok(plan) => plan,
        Err(error) => return refused(&error).map(|_| 0),
    };
    for language in [Language::En, Language::Es] {
        print(&card::lay_out(&mass().day, &mass().service, &plan, language))?;
    }
    print(&card::lay_out_server(&mass().day, &mass().service, &plan, Language::En))?;
    Ok(plan.notices.len())
}

fn print(card: &Card) -> Result<(), String> {
    for width in [0, 40, 80] {
        terminal::write(card, terminal::Terminal { width, colour: true, reasons: true });
    }
    for paper in [Paper::A6, Paper::A4] {
        for written in [svg::write(card, paper).map(drop), pdf::write(card, paper).map(drop)] {
            if let Err(error) = written {
                refused(&error)?;
            }
        }
    }
    Ok(())
}

/// As `vitta book` and `vitta lay` go through a book.
fn use_book(mut book: Book) -> Result<String, String> {
    let (when, untouched) = ("2026-11-26 10:00:00", book.clone());
    book.infer();
    keeps(&book)?;
    let noticed = lay(&book, &Costs::default())?;
    let places: Vec<Place> = book.entries.iter().map(|e| e.place.clone()).collect();
    for (place, page) in places.iter().zip(["512", "xiv", "9999", "1747a"]) {
        for changed in [
            book.in_order(place, page),
            book.confirm(place, page, when),
            book.confirm_as_is(place, when),
        ] {
            if let Err(error) = changed {
                refused(&error)?;
            }
        }
    }
    keeps(&book)?;
    while book.history.len() + 4 > untouched.history.len() && book.undo().is_some() {}
    book.read(&readings(), when);
    keeps(&book)?;
    let states: std::collections::BTreeSet<String> =
        book.entries.iter().map(|e| format!("{:?}", e.state)).collect();
    while book.redo().is_some() {}
    match Book::brought(&book.to_share(), "Sacristy", when) {
        Ok(brought) => keeps(&brought)?,
        Err(error) => {
            refused(&error)?;
        }
    }
    concordance(&untouched, &book);
    carry_marks(&untouched, &mut book, when);
    let wanted: Vec<(Place, f64)> = places.into_iter().take(6).map(|p| (p, 1.0)).collect();
    book.look_next(&wanted, 3);
    book.glance(&wanted);
    for copy in untouched.copies.iter().map(|c| &c.name) {
        book.of_copy(copy);
    }
    for entry in &book.entries {
        entry.page.as_deref().and_then(Label::parse).map(|l| book.leaf_order().opening(&l));
    }
    Ok(format!("{} {}", noticed.min(9), states.into_iter().collect::<Vec<_>>().join(" ")))
}

#[test]
fn books() {
    let seeds = vec![written(&small_book()), written(&Book::new("Crypt", Language::Es, None)), {
        let outline = Outline::shipped("chair-book").unwrap();
        written(&Book::new("Chair", Language::La, Some(outline)))
    }];
    let run = |case: &[u8]| match read::<Book>(case)? {
        Ok(book) => use_book(book).map(Answer::Taken),
        Err(error) => refused(&error),
    };
    hold(Target { name: "books", seeds, kind: Kind::Json, cases: 12, run });
}

#[test]
fn parishes() {
    let parish = json!({
        "format": "vitta parish", "version": 1, "name": "Little Invented", "calendar": "england",
        "settings": {
            "by_heart": ["greeting", "order/prayer/2"], "sunday_prayer": "order/prayer/3",
            "chair_book": "chair",
            "days": {
                "2027-03-19": {"prayer": "order/prayer/1", "set": {"sprinkling": true, "gloria": false}},
                "2027-03-21": {"mass": "ritual/baptism/a", "preface": "order/preface/lent-1"}
            }
        },
        "costs": {"pull": 180}
    });
    let seeds = vec![parish.to_string().into_bytes(), written(&Parish::default())];
    let run = |case: &[u8]| {
        let parish = taken!(read::<Parish>(case)?);
        let calendar = match shelf_calendar(&parish.calendar) {
            Ok(calendar) => calendar,
            Err(error) => return refused(&error),
        };
        let first = "2027-03-18".parse().unwrap();
        let masses = taken!(shelf::masses(&calendar, &parish, (first, false), 5, Language::Es));
        taken!(shelf::wanted(&calendar, &parish, first, 5));
        let book = small_book();
        lay(&book, &parish.costs)?;
        let occasions: Vec<_> = masses.iter().map(MassAt::occasion).collect();
        let table = [OnTable { book: &book, ribbons: 3, stands: &[] }];
        let week = taken!(ribbon::plan_week(&occasions, &table, &parish.costs));
        keeps(&week)?;
        Ok(Answer::Taken(format!("{} Masses", masses.len())))
    };
    hold(Target { name: "parishes", seeds, kind: Kind::Json, cases: 30, run });
}

fn shelf_calendar(name: &str) -> vitta::Result<Calendar> {
    static ENGLAND: OnceLock<Calendar> = OnceLock::new();
    match name {
        "england" => Ok(ENGLAND.get_or_init(|| Calendar::shipped(name).unwrap()).clone()),
        "general" => Ok(general().clone()),
        other => Calendar::shipped(other),
    }
}

/// As `vitta day` and `vitta year` go through a calendar.
fn use_calendar(calendar: &Calendar) -> Held {
    let mut given_way = 0;
    for date in ["1970-01-01", "2024-02-29", "2027-03-19", "2024-03-31", "2008-03-15", "2100-12-31"]
    {
        let day = taken!(calendar.day(date.parse().unwrap(), Language::En));
        given_way += day.displaced.len();
        if day.kept().is_none() {
            return Err(format!("nothing is kept on {date}"));
        }
    }
    let almanac = taken!(calendar.year(2027)).almanac(Language::Es);
    if almanac.days.iter().any(|d| d.celebrations.is_empty()) {
        return Err("a day without celebration".into());
    }
    Ok(Answer::Taken(given_way.to_string()))
}

#[test]
fn calendars() {
    let mut seeds = data("src/data/calendars", 8);
    seeds.extend(data("src/data/calendars", 60));
    let run = |case: &[u8]| {
        let mut layer = taken!(read::<Layer>(case)?);
        // The general calendar itself would be a layer among its own.
        if layer.name == "general" {
            layer.name = "own".into();
        }
        let calendar = taken!(Calendar::of(layer));
        use_calendar(&calendar)
    };
    hold(Target { name: "calendars", seeds, kind: Kind::Json, cases: 60, run });
}

/// Files that stand on each other: circles, towers, diamonds, files that are not there.
#[test]
fn towers() {
    let layer = |name: &str, over: &[&str]| {
        json!({
            "format": "vitta calendar", "version": 1, "source": {"title": "Invented", "how": "typed"},
            "sources": {"own": {"title": "Register", "how": "read"}}, "name": name,
            "title": {"en": name}, "kind": "parish", "over": over,
            "celebrations": [{"id": "saints/02-03/blaise", "role": "title of the church", "source": "own"}],
            "settings": [{"epiphany": "on sunday", "source": "own"}]
        })
    };
    let tower = |files: &[(&str, &[&str])]| {
        let files = files.iter().map(|(name, over)| (format!("{name}.json"), layer(name, over)));
        Value::Object(files.collect()).to_string().into_bytes()
    };
    let diamonds: Vec<(String, [String; 3])> = (0..24)
        .map(|n| (n.to_string(), std::array::from_fn(|_| format!("{}.json", n + 1))))
        .collect();
    let mut high: serde_json::Map<String, Value> = diamonds
        .iter()
        .map(|(name, over)| {
            (format!("{name}.json"), layer(name, &over.each_ref().map(|s| s.as_str())))
        })
        .collect();
    high.insert("24.json".into(), layer("24", &["england"]));
    let seeds = vec![
        tower(&[("a", &["b.json", "england"]), ("b", &["c.json"]), ("c", &["europe"])]),
        tower(&[("a", &["b.json"]), ("b", &["a.json"])]),
        tower(&[("a", &["a.json", "../../a.json", "/etc/passwd.json"])]),
        Value::Object(high).to_string().into_bytes(),
    ];
    let run = |case: &[u8]| {
        let Ok(Value::Object(files)) = serde_json::from_slice(case) else {
            return Ok(Answer::Taken("no files".into()));
        };
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(Path::new(name).file_name().unwrap_or_default());
        for (name, layer) in files.iter().filter(|(name, _)| name.ends_with(".json")) {
            std::fs::write(path(name), layer.to_string()).unwrap();
        }
        let Some(first) = files.keys().next() else { return Ok(Answer::Taken("empty".into())) };
        match Calendar::read(&path(first)) {
            Ok(calendar) => use_calendar(&calendar),
            Err(error) => refused(&error),
        }
    };
    hold(Target { name: "towers", seeds, kind: Kind::Json, cases: 40, run });
}

#[test]
fn outlines() {
    let run = |case: &[u8]| {
        let outline = taken!(read::<Outline>(case)?);
        for at in 0..outline.places.len() {
            outline.headings(at);
        }
        keeps(&Book::new("Chapel", Language::Es, Some(&outline)))?;
        let book = Book::from_readings("Chapel", &readings(), Some(&outline), None, "2026-11-25");
        use_book(book).map(Answer::Taken)
    };
    hold(Target {
        name: "outlines",
        seeds: data("src/data/outlines", 40),
        kind: Kind::Json,
        cases: 20,
        run,
    });
}

#[test]
fn readings_of_photographs() {
    let seeds = vec![serde_json::to_vec(&readings()).unwrap()];
    let run = |case: &[u8]| {
        let Ok(readings) = serde_json::from_slice::<Vec<Reading>>(case) else {
            return Ok(Answer::Taken("not read".into()));
        };
        for outline in [None, Some(Outline::shipped("chair-book").unwrap())] {
            let book = Book::from_readings("Chapel", &readings, outline, None, "2026-11-25");
            keeps(&book)?;
        }
        let mut book = small_book();
        book.read(&readings, "2026-11-26");
        use_book(book).map(Answer::Taken)
    };
    hold(Target { name: "readings", seeds, kind: Kind::Json, cases: 6, run });
}

#[test]
fn cards() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/cards");
    let seed = |name: &str| {
        let kept: Value =
            serde_json::from_slice(&std::fs::read(folder.join(name)).unwrap()).unwrap();
        kept["card"].to_string().into_bytes()
    };
    let seeds = vec![seed("lent-commemoration.json"), seed("lent-commemoration-es.json")];
    let run = |case: &[u8]| match serde_json::from_slice::<Card>(case) {
        Ok(card) => print(&card).map(|()| Answer::Taken(String::new())),
        Err(_) => Ok(Answer::Taken("not read".into())),
    };
    hold(Target { name: "cards", seeds, kind: Kind::Json, cases: 20, run });
}

/// Formats of which the program reads only the files it ships, and a week, which it only writes.
#[test]
fn other_files() {
    let mut seeds = data("src/data/formularies", 6);
    seeds.extend(data("src/data/orders", 30));
    seeds.push(shortened("src/data/digit-confusions.json", 10));
    seeds.push(shortened("src/data/reading/words.json", 6));
    let (file, sha256) = ("list.jpg".to_owned(), Readings::digest(b"list"));
    seeds.push(written(&Readings { file, sha256, readings: readings() }));
    let first = "2027-03-18".parse().unwrap();
    let masses =
        shelf::masses(general(), &Parish::default(), (first, false), 3, Language::En).unwrap();
    let occasions: Vec<_> = masses.iter().map(MassAt::occasion).collect();
    let book = small_book();
    let table = [OnTable { book: &book, ribbons: 3, stands: &[] }];
    seeds.push(written(&ribbon::plan_week(&occasions, &table, &Costs::default()).unwrap()));
    let run = |case: &[u8]| {
        let readers = [
            only_read::<Formularies>,
            only_read::<ServiceOrder>,
            only_read::<DigitConfusions>,
            only_read::<Words>,
            only_read::<Readings>,
            only_read::<Week>,
        ];
        let answers: Vec<Answer> = readers.iter().map(|r| r(case)).collect::<Result<_, _>>()?;
        let taken = answers.iter().position(|a| matches!(a, Answer::Taken(_)));
        let said = |a: &Answer| match a {
            Answer::Refused(said) => said.clone(),
            Answer::Taken(_) => String::new(),
        };
        let longest = answers.iter().map(said).max_by_key(String::len).unwrap_or_default();
        Ok(taken.map_or(Answer::Refused(longest), |n| Answer::Taken(n.to_string())))
    };
    hold(Target { name: "other-files", seeds, kind: Kind::Json, cases: 100, run });
}
