//! A corpus for measuring: the editions of one half, each set in its own type, photographed in all
//! grades. The same seed gives the same pictures.

use crate::compose::{self, List};
use crate::drawn::{self, hand};
use crate::edition::{Edition, Habit};
use crate::lists::{self, Kind};
use crate::photograph::{self, Gathering};
use crate::random::Random;
use crate::shot::{Framing, Grade, Intrusion, Order};
use crate::styles::{self, Half, Layout};
use crate::truth;
use crate::typeset::{self, Leader, Style};
use serde_json::{Value, json};
use std::error::Error;
use std::path::Path;
use vitta::book::Outline;
use vitta::language::Language;

/// What is wanted.
#[derive(Debug, Clone)]
pub struct Wish {
    /// Which half.
    pub half: Half,
    /// How many photographs.
    pub count: usize,
    /// Seed of it all.
    pub seed: u64,
    /// Only this grade.
    pub grade: Option<Grade>,
    /// Layouts drawn at random for the tune half's fonts instead of a half's own.
    pub drawn: bool,
}

/// Headings of the lists in the edition's language.
fn heading(kind: Kind, language: Language) -> &'static str {
    let [en, es, la] = match kind {
        Kind::Contents => ["Contents", "Índice general", "Index generalis"],
        Kind::Section("time") => ["Proper of Time", "Propio del Tiempo", "Proprium de Tempore"],
        Kind::Section("common") => ["Commons", "Misas comunes", "Communia"],
        Kind::Section(_) => ["Various Needs", "Diversas necesidades", "Missae ad diversa"],
        Kind::Prefaces => ["Prefaces", "Prefacios", "Praefationes"],
        Kind::Months => ["Proper of Saints", "Propio de los santos", "Proprium de Sanctis"],
        Kind::Alphabet => ["Index of Celebrations", "Índice alfabético", "Index alphabeticus"],
        Kind::Day => ["Proper of Saints", "Propio de los santos", "Proprium de Sanctis"],
    };
    match language {
        Language::En => en,
        Language::Es => es,
        Language::La => la,
    }
}

/// Each list of an edition and how many of its pages a corpus shows.
fn lists_of(edition: &Edition, layout: &Layout) -> Vec<(List, usize)> {
    let list = |kind, columns, leader, entries, most| {
        let title = heading(kind, edition.language);
        (List { kind, title, columns, leader, entries }, most)
    };
    let section = |name: &'static str, most| {
        let mut places = edition.under(name);
        places.retain(|p| p.level > 1);
        let entries = lists::indented(&places, 2, layout.bare_headings);
        list(Kind::Section(name), layout.section_columns, layout.leader, entries, most)
    };
    let mut random = Random::new(edition.seed, "days");
    let mut all = vec![
        list(Kind::Contents, 1, layout.leader, lists::contents(edition, &["votive", "saints"]), 2),
        section("time", 2),
        list(
            Kind::Prefaces,
            layout.preface_columns,
            layout.leader,
            lists::prefaces(edition, true),
            2,
        ),
        list(Kind::Months, 2, layout.month_leader, lists::months(edition), 2),
        section("common", 1),
        list(Kind::Alphabet, layout.index_columns, Leader::Comma, lists::alphabet(edition), 2),
        section("needs", 1),
    ];
    if edition.language == Language::En {
        all.push(list(Kind::Day, 2, Leader::Space, lists::days(edition, &mut random), 2));
    }
    all
}

fn edition(style: &Style, layout: &Layout) -> Result<Edition, Box<dyn Error>> {
    let mut random = Random::new(style.name.len() as u64, style.name);
    let habit =
        Habit { scale: f64::from(random.between(0.8, 1.5)), roman: layout.roman, omits: 0.05 };
    let outline = Outline::shipped("roman-missal-3")?;
    let name = format!("{} edition", style.name);
    Ok(Edition::draw(&name, outline, layout.language, habit, random.bits() >> 32))
}

fn gather(
    style: &Style,
    layout: &Layout,
    edition: &Edition,
    work: &Path,
) -> Result<(Gathering, Vec<Kind>), Box<dyn Error>> {
    let mut page = 3;
    let mut leaves = Vec::new();
    for (list, most) in lists_of(edition, layout) {
        let some = compose::leaves(style, list, page, most);
        page += some.len() as u32;
        leaves.extend(some);
    }
    let book = typeset::set(style, &leaves, 300, &work.join(style.name))?;
    Ok((book, leaves.iter().map(|l| l.kind).collect()))
}

fn order(
    wish: &Wish,
    book: &Gathering,
    style: &Style,
    (i, nth): (usize, usize),
    grade: Grade,
) -> (usize, Order) {
    let seed = wish.seed.wrapping_mul(1_000_003) + nth as u64;
    let mut random = Random::new(seed, wish.half.name());
    // Editions start at different lists, so that a small corpus shows every kind.
    let leaf = (i * 5 + nth * 3 + random.index(2)) % book.right.len();
    let right = book.right[leaf];
    let facing = if right { leaf.checked_sub(1) } else { Some(leaf + 1) };
    let both = facing.is_some_and(|f| f < book.right.len());
    let open = grade != Grade::Flat && both && random.chance(0.12);
    let framing = if open { Framing::Both } else { Framing::One { right } };
    let long_side = if open {
        3600 + random.index(5) as u32 * 120
    } else {
        2300 + random.index(7) as u32 * 120
    };
    let through = random.between(0.02, 0.98);
    let copy = random.bits();
    let over = Intrusion::default();
    (leaf, Order { grade, framing, page: style.page, through, long_side, seed, copy, over })
}

/// The pictures of one edition, each with its number in the corpus.
fn photographs(
    wish: &Wish,
    (style, layout): &(Style, Layout),
    numbers: &[usize],
    dir: &Path,
) -> Result<Vec<(usize, Value)>, Box<dyn Error>> {
    let edition = edition(style, layout)?;
    truth::write(&truth::page_map(&edition), &dir.join(format!("{}.truth.json", style.name)))?;
    let (book, kinds) = gather(style, layout, &edition, &dir.join("print"))?;
    let mut out = Vec::new();
    for (i, nth) in numbers.iter().enumerate() {
        // Each edition is shown in all grades, whatever the number of editions.
        let turn = (numbers[0] + i) % Grade::MIX.len();
        let grade = wish.grade.unwrap_or(Grade::MIX[turn]);
        let (leaf, order) = order(wish, &book, style, (i, *nth), grade);
        let stem = format!("{}-{nth:04}-{}", wish.half.name(), style.name);
        let name = format!("{stem}.jpg");
        let sight = photograph::take(&book.open(leaf, order), &dir.join(&name))?;
        let shown = book.shown(leaf, order.framing);
        let shown: Vec<Kind> = shown.iter().map(|i| kinds[*i]).collect();
        let seen = book.seen(leaf, &order, &sight);
        let sheet = truth::sheet(&edition, style, &shown, seen, &name);
        let half = Some(wish.half.name());
        let sheet = truth::Sheet { grade: order.grade.name(), half, ..sheet };
        truth::write(&sheet, &dir.join(format!("{stem}.rows.json")))?;
        eprintln!("{name}: {} {}", sheet.grade, sheet.kind);
        out.push((*nth, truth::manifest_entry(&sheet)));
    }
    Ok(out)
}

/// Makes the corpus in `dir`: pictures, rows beside them, the editions' page maps, a manifest.
pub fn make(wish: &Wish, dir: &Path) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(dir)?;
    let mut photos: Vec<(usize, Value)> = Vec::new();
    if wish.drawn {
        let drawn = drawn::make(wish.seed, wish.count, wish.grade, dir)?;
        photos = drawn.into_iter().enumerate().collect();
    } else {
        let mut editions = styles::all();
        editions.retain(|(_, layout)| layout.half == wish.half);
        let hands = if wish.half == Half::Report { hand::ALL.as_slice() } else { &[] };
        let every = editions.len() + hands.len();
        for (k, own) in hands.iter().enumerate() {
            let numbers = (editions.len() + k..wish.count).step_by(every);
            photos.extend(hand::make(own, wish.seed, wish.grade, numbers, dir)?);
        }
        for (k, own) in editions.iter().enumerate() {
            let numbers: Vec<usize> = (k..wish.count).step_by(every).collect();
            photos.extend(photographs(wish, own, &numbers, dir)?);
        }
    }
    photos.sort_by_key(|(nth, _)| *nth);
    let photos: Vec<Value> = photos.into_iter().map(|(_, photo)| photo).collect();
    let how = format!("generated by tests/press, seed {}", wish.seed);
    let source = json!({ "title": "Photographs of invented editions", "how": how });
    let manifest = json!({ "source": source, "half": wish.half.name(), "photos": photos });
    truth::write(&manifest, &dir.join("manifest.json"))
}
