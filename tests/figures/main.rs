//! Trains the second reader of figures: `cargo run --release --example figures -- FONT…` writes
//! `src/data/figures.json` and prints the share read right in typefaces it was not trained on.
//!
//! Each font file draws the ten figures and, for the class "no figure", letters, pairs of figures and halves of
//! figures. About a sixth of the families (by name) is kept out of the training and only measured.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::indexing_slicing
)]

mod draw;
mod random;
mod train;

use ab_glyph::{Font, FontVec};
use random::Random;
use vitta::format::Format;
use vitta::text::figure::{CLASSES, FigureNet};

/// Glyphs drawn once and shown many times.
const POOL: usize = 60_000;

struct Face {
    file: String,
    font: FontVec,
}

fn faces(files: &[String]) -> Vec<Face> {
    let open = |file: &String| {
        let font = FontVec::try_from_vec(std::fs::read(file).ok()?).ok()?;
        let whole = "0123456789".chars().all(|c| font.glyph_id(c).0 != 0);
        whole.then(|| Face { file: file.clone(), font })
    };
    files.iter().filter_map(open).collect()
}

/// Faces of one family share the first letters of their file names.
fn family(file: &str) -> String {
    let name = std::path::Path::new(file).file_stem().unwrap().to_string_lossy().to_lowercase();
    name.trim_start_matches("texgyre").chars().take(4).collect()
}

/// Whole families are kept out.
fn kept_out(file: &str) -> bool {
    family(file).chars().map(u32::from).sum::<u32>() % 6 == 0
}

fn main() {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    let rounds: usize = args.first().and_then(|a| a.parse().ok()).unwrap_or(300_000);
    args.retain(|a| a.parse::<usize>().is_err());
    args.sort();
    let all = faces(&args);
    let (kept, used): (Vec<Face>, Vec<Face>) = all.into_iter().partition(|f| kept_out(&f.file));
    println!("{} faces to train on, {} kept out:", used.len(), kept.len());
    let (used, kept) = (by_family(used), by_family(kept));
    for face in kept.iter().filter_map(|f| f.first()) {
        println!("  {} and its family", face.file);
    }
    let mut random = Random(20_240_501);
    let mut net = train::fresh(&mut random);
    let mut adam = train::Adam::new(&net);
    let batch = 32;
    let pool: Vec<_> = (0..POOL).map(|_| sample(&used, &mut random)).collect();
    println!("{POOL} glyphs drawn");
    for round in 0..rounds / batch {
        let rate = 0.002 * (1.0 - round as f32 / (rounds / batch) as f32).max(0.02);
        let samples: Vec<_> = (0..batch).map(|_| pool[random.below(POOL)]).collect();
        adam.step(&mut net, &samples, rate);
        if round % 1000 == 999 {
            println!("{}: {}", (round + 1) * batch, measure(&net, &kept, 2000));
        }
    }
    println!("at last: {}", measure(&net, &kept, 20_000));
    train::round(&mut net);
    std::fs::write("src/data/figures.json", text(&net)).unwrap();
}

/// One line for each list of weights, not one for each weight.
fn text(net: &FigureNet) -> String {
    let fields =
        serde_json::to_string(net).unwrap().replacen('{', ",\n  ", 1).replace("],\"", "],\n  \"");
    format!(
        "{{\n  \"format\": \"{}\",\n  \"version\": {}{}\n}}\n",
        FigureNet::NAME,
        FigureNet::VERSION,
        fields.trim_end_matches('}')
    )
}

fn sample(families: &[Vec<Face>], random: &mut Random) -> (vitta::text::figure::Glyph, usize) {
    loop {
        // First the family, then the face, so that a family of fifty weights counts once.
        let members = &families[random.below(families.len())];
        let face = &members[random.below(members.len())];
        let class = random.below(CLASSES);
        if let Some(glyph) = draw::glyph(&face.font, class, random) {
            return (glyph, class);
        }
    }
}

fn by_family(faces: Vec<Face>) -> Vec<Vec<Face>> {
    let mut families = std::collections::BTreeMap::<String, Vec<Face>>::new();
    for face in faces {
        families.entry(family(&face.file)).or_default().push(face);
    }
    families.into_values().collect()
}

fn measure(net: &FigureNet, families: &[Vec<Face>], count: usize) -> String {
    let mut random = Random(7);
    let (mut right, mut sure, mut sure_wrong) = (0, 0, 0);
    for _ in 0..count {
        let (glyph, class) = sample(families, &mut random);
        let read = net.read(&glyph);
        let best = (0..CLASSES).max_by(|a, b| read[*a].total_cmp(&read[*b])).unwrap();
        right += usize::from(best == class);
        if read[best] > 0.99 {
            sure += 1;
            sure_wrong += usize::from(best != class);
        }
    }
    let share = |n: usize, of: usize| 100.0 * n as f64 / of.max(1) as f64;
    format!(
        "{:.2} % right; {:.1} % above 0.99, of them {:.3} % wrong",
        share(right, count),
        share(sure, count),
        share(sure_wrong, sure)
    )
}
