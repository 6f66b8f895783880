//! Pages set in ways that books seldom are, several at once, are never paired wrongly in silence.
//!
//! The pages come from the generator the model of the page was fitted with (`layouts`), drawn with numbers it never saw, and are
//! given to the model without a picture. On pictures `cargo bench --bench read` prints the same share.

#[path = "layouts/answers.rs"]
#[allow(dead_code)]
mod answers;
#[path = "layouts/compose.rs"]
#[allow(dead_code)]
mod compose;
#[path = "layouts/eyes.rs"]
mod eyes;
#[path = "press/random.rs"]
#[allow(dead_code)]
mod random;
#[path = "layouts/sheet.rs"]
mod sheet;
#[path = "layouts/style.rs"]
#[allow(dead_code)]
mod style;
#[path = "layouts/words.rs"]
#[allow(dead_code)]
mod words;

use answers::{Answer, answers};
use compose::Role;
use random::Random;
use style::{DatePlace, Leader, List, NumberPlace, Style};
use vitta::text::layout::{self, features::Frame};
use vitta::text::segment::segments;
use vitta::text::{Entry, Look};

const PAGES: usize = 150;
const AT_ONCE: usize = 3;

/// What is unusual in how a page is set.
fn unusual(style: &Style) -> usize {
    let number =
        matches!(style.number, NumberPlace::Left | NumberPlace::Bracket | NumberPlace::Dash);
    let date = !matches!(style.date, DatePlace::None | DatePlace::Before);
    [
        number,
        date,
        style.list == List::RunIn,
        style.leader == Leader::Rule,
        style.mark.is_some(),
        style.columns > 2,
        style.second_right && style.second > 0.0,
        style.head_page > 0.0,
        style.ordinal > 0.0 || style.ordinal_column,
        style.marginal.is_some(),
        style.roman_until > 0 && style.roman_large,
        style.several >= 0.3,
        style.numerals > 0.0,
        style.bookish > 0.0,
        style.drop_caps,
        style.captions,
        style.red_numbers,
        style.stop,
    ]
    .into_iter()
    .filter(|f| *f)
    .count()
}

#[test]
fn three_unusual_features_at_once_give_no_wrong_pair_in_silence() {
    let (mut printed, mut sure, mut wrong) = (0, 0, 0);
    let mut pages = 0;
    for seed in 0.. {
        let mut random = Random::new(seed, "unusual");
        let view = sheet::photograph(List::draw(&mut random), &mut random);
        if unusual(&view.style) < AT_ONCE {
            continue;
        }
        let read = eyes::read(&view, &mut random);
        let lines: Vec<_> = read.iter().map(|r| r.line.clone()).collect();
        let segments = segments(&lines);
        let truth = answers(&segments, &read);
        let frame = Frame { left: view.left, right: view.right };
        let layout = layout::weigh(&segments, frame).unwrap();
        let (lattices, steps) = (Vec::new(), Vec::new());
        let look = Look { lines: Vec::new(), lattices, read: lines, segments, layout, steps };
        printed += (0..truth.len()).filter(|i| truth[*i].role == Role::Label).count();
        let entries = look.entries();
        let believed: Vec<&Entry> = entries.iter().filter(|e| is_sure(e)).collect();
        sure += believed.iter().map(|e| e.labels.len()).sum::<usize>();
        for entry in believed.iter().filter(|e| !is_right(e, &truth)) {
            wrong += entry.labels.len();
            let text = |i: &usize| look.segments[*i].text.clone();
            let of = |parts: &[usize]| parts.iter().map(text).collect::<Vec<_>>().join(" ");
            println!("seed {seed}: {} | {}", of(&entry.title), of(&entry.labels));
        }
        pages += 1;
        if pages == PAGES {
            break;
        }
    }
    println!("{printed} labels printed, {sure} surely paired, {wrong} of them wrongly");
    assert!(sure * 3 > printed, "{sure} of {printed}");
    assert!(wrong * 1000 <= sure, "{wrong} of {sure}");
}

fn is_sure(entry: &Entry) -> bool {
    !entry.title.is_empty() && !entry.labels.is_empty() && entry.probability > 0.999
}

/// Whether the labels of an entry are those printed for its title.
fn is_right(entry: &Entry, truth: &[Answer]) -> bool {
    let head = truth[entry.title[0]].head;
    let label = |i: &usize| matches!(truth[*i].role, Role::Label | Role::ReferencePage);
    let printed = (0..truth.len()).filter(|i| label(i) && truth[*i].head == head);
    let mut found = entry.labels.clone();
    found.sort_unstable();
    printed.collect::<Vec<_>>() == found
}
