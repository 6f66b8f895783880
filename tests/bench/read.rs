//! The reading scoreboard: `cargo bench --bench read [NAME…]` reads every photograph with known truth on one core
//! and prints how many entries are right, silently wrong and in doubt, beside plain Tesseract whose last word of
//! a line is taken as the page.
//!
//! "pair" is the share of the entries in one row, of those whose title and page were both read: what is lost there is
//! lost by the model of the page. "The eyes alone" are the recogniser on boxes cut out by the truth, where it has them,
//! so what is lost there no later step can bring back.
//!
//! Photographs: `fixtures/photos`; real books where `VITTA_REAL` names a folder of pictures with their truth
//! (NAME.jpg or .png, NAME.gt.json); and the generator's, one half of its fonts and layouts to tune on, the other
//! to report. `VITTA_MADE=N` has N photographs of each half made by `tests/press` where there are none yet (many
//! minutes, and the programs that `fixtures/photos/SOURCE.md` names); they are kept under `target`. `VITTA_DRAWN`
//! names a folder that `press --drawn` has filled.
//! `VITTA_READ_OUT=DIR` writes each reading to DIR/NAME.json; `VITTA_NO_PLAIN=1` leaves plain Tesseract out,
//! `VITTA_THREADS=N` reads N photographs at once.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]

mod eyes;
#[path = "../score.rs"]
mod score;

use eyes::Eyes;
use score::{Case, Judged, Printed, Score};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;
use vitta::text::{Reading, Row, Strip};

fn main() {
    let only: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let threads = std::env::var("VITTA_THREADS").ok().and_then(|n| n.parse().ok()).unwrap_or(1);
    let mut cases = score::fixtures();
    cases.extend(prefixed("real", score::real().unwrap_or_default()));
    for half in ["tune", "report"] {
        cases.extend(prefixed(half, score::made(&made(half))));
    }
    if let Some(folder) = std::env::var_os("VITTA_DRAWN") {
        cases.extend(prefixed("drawn", score::made(Path::new(&folder))));
    }
    cases.retain(|c| only.is_empty() || only.iter().any(|o| c.name.contains(o)));
    println!("{:36} {}", "photograph", HEAD);
    let results = score::on_threads(&cases, threads, measure);
    println!("\n{:36} {}", "group", HEAD);
    let groups = grouped(&cases, &results, groups_of);
    groups.iter().for_each(|(group, results)| println!("{group:36} {}", sum(results)));
    let origins = grouped(&cases, &results, |case| vec![origin(case).to_owned()]);
    origins.iter().for_each(|(origin, results)| calibration(origin, results));
    the_eyes_alone(&groups);
    if std::env::var_os("VITTA_NO_PLAIN").is_none() {
        plain(&cases);
    }
    if let Some(peak) = peak_memory() {
        println!("\npeak memory {peak}");
    }
}

fn prefixed(origin: &str, cases: Vec<Case>) -> Vec<Case> {
    let name = |c: &Case| format!("{origin}/{}", c.name);
    cases.into_iter().map(|c| Case { name: name(&c), ..c }).collect()
}

/// The folder of a half, filled where it is wanted and empty.
fn made(half: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("press").join(half);
    if let Ok(count) = std::env::var("VITTA_MADE")
        && !folder.join("manifest.json").exists()
    {
        let press = ["run", "--release", "--example", "press", "--", "--half", half, "--count"];
        let mut cargo = Command::new(env!("CARGO"));
        let done = cargo.args(press).arg(count).arg("--out").arg(&folder).status().unwrap();
        assert!(done.success(), "the generator failed");
    }
    folder
}

/// What came of one photograph.
struct Measured {
    score: Score,
    judged: Vec<Judged>,
    eyes: Eyes,
    seconds: f64,
}

/// The results of the cases of each group.
fn grouped<'r>(
    cases: &[Case],
    results: &'r [Measured],
    groups_of: impl Fn(&Case) -> Vec<String>,
) -> BTreeMap<String, Vec<&'r Measured>> {
    let mut groups = BTreeMap::<String, Vec<&Measured>>::new();
    for (case, result) in cases.iter().zip(results) {
        groups_of(case).into_iter().for_each(|group| groups.entry(group).or_default().push(result));
    }
    groups
}

/// Which photographs it is one of.
fn origin(case: &Case) -> &str {
    case.name.split_once('/').map_or("fixtures", |(origin, _)| origin)
}

/// Boxes cut out by the truth and read, where there are any.
fn the_eyes_alone(groups: &BTreeMap<String, Vec<&Measured>>) {
    println!("\n{:36} titles  mean error | labels  exact", "the eyes alone");
    for (group, results) in groups {
        let mut all = Eyes::default();
        results.iter().for_each(|r| all.add(r.eyes));
        if all.titles + all.labels > 0 {
            println!(
                "{group:36} {:6}      {:.4} | {:6}  {:.4}",
                all.titles,
                all.error / all.titles.max(1) as f64,
                all.labels,
                score::share(all.exact, all.labels)
            );
        }
    }
}

/// Of the rows that name a page: how sure the reading was, and how many name the right one.
fn calibration(origin: &str, results: &[&Measured]) {
    let rows: Vec<&Judged> = results.iter().flat_map(|r| &r.judged).collect();
    println!("\n{origin}: probability given, share of rows with the page printed");
    let edges = [0.0, 0.5, 0.8, 0.9, 0.95, 0.97, 0.99, 0.999, 0.9999, 1.01];
    for pair in edges.windows(2) {
        let inside: Vec<&&Judged> =
            rows.iter().filter(|r| (pair[0]..pair[1]).contains(&r.probability)).collect();
        let given = inside.iter().map(|r| r.probability).sum::<f64>() / inside.len().max(1) as f64;
        let right = inside.iter().filter(|r| r.partner.is_some() && !r.wrong_page()).count();
        let share = score::share(right, inside.len());
        println!(
            "  {:.4} to {:.4}: {:5} rows, given {given:.4}, right {share:.4} ({right})",
            pair[0],
            pair[1].min(1.0),
            inside.len()
        );
    }
}

const HEAD: &str = "printed  read right found |  prec.   rec.    F1  pair | accepted silent stray | silent doubt  s/page";

fn line(s: &Score, seconds: f64) -> String {
    format!(
        "{:7} {:5} {:5} {:5} | {:.3}  {:.3}  {:.3} {:.3} | {:8} {:6} {:5} | {:5.1}% {:4.0}%  {seconds:5.1}",
        s.printed,
        s.read,
        s.right,
        s.found,
        s.precision(),
        s.recall(),
        s.f1(),
        score::share(s.paired, s.both),
        s.accepted,
        s.silent,
        s.stray,
        100.0 * s.silent_rate(),
        100.0 * s.doubt_rate()
    )
}

fn sum(results: &[&Measured]) -> String {
    let mut all = Score::default();
    results.iter().for_each(|r| all.add(r.score));
    line(&all, results.iter().map(|r| r.seconds).sum::<f64>() / results.len() as f64)
}

/// Real books by kind of type, the others by grade, kind of list and language.
fn groups_of(case: &Case) -> Vec<String> {
    let roman = ["zuerich", "aarau", "lausanne", "lelocle", "konstanz", "cat_"];
    let (origin, name) = case.name.split_once('/').unwrap_or(("fixtures", &case.name));
    if origin == "real" {
        let roman = roman.iter().any(|r| name.starts_with(r));
        let type_face = if roman { "roman type, 19th century" } else { "older or no list" };
        return vec![format!("real, {type_face}"), "real, all".into()];
    }
    let known = |label: &Option<String>| label.clone().unwrap_or("other".into());
    let truth = &case.truth;
    let [grade, kind, language] = [&truth.grade, &truth.kind, &truth.language].map(known);
    [grade, format!("kind {kind}"), format!("language {language}"), "all".into()]
        .map(|group| format!("{origin}, {group}"))
        .to_vec()
}

fn truth(case: &Case) -> &[Printed] {
    if case.truth.reject { &[] } else { &case.truth.rows }
}

/// Reads a photograph and says how it went.
fn measure(case: &Case) -> Measured {
    let start = Instant::now();
    let photo = vitta::photo::load(&case.photo).unwrap();
    let print = vitta::photo::find(&photo.image);
    let reading = print.and_then(|print| vitta::text::read(&photo, &print));
    let seconds = start.elapsed().as_secs_f64();
    let rows = match reading {
        Ok(reading) => {
            keep(case, &reading);
            reading.rows
        }
        Err(error) => {
            println!("{}: {error}", case.name);
            Vec::new()
        }
    };
    let (score, judged) = (score::score(&rows, truth(case)), score::judge(&rows, truth(case)));
    println!("{:36} {}", case.name, line(&score, seconds));
    Measured { score, judged, eyes: eyes::alone(&photo.image, truth(case)), seconds }
}

fn keep(case: &Case, reading: &Reading) {
    let Some(folder) = std::env::var_os("VITTA_READ_OUT") else { return };
    let name = case.name.rsplit('/').next().unwrap();
    let text = serde_json::to_string_pretty(&reading.rows).unwrap();
    std::fs::write(Path::new(&folder).join(format!("{name}.json")), text).unwrap();
}

/// Plain Tesseract on the photograph as it is.
fn plain(cases: &[Case]) {
    println!("\n{:36} {}", "plain Tesseract, last word", HEAD);
    for mode in ["3", "4", "6"] {
        let read = |case: &Case| {
            let start = Instant::now();
            let rows = plain_rows(&case.photo, mode);
            (score::score(&rows, &case.truth.rows), start.elapsed().as_secs_f64())
        };
        let lists = cases.iter().filter(|c| !c.truth.rows.is_empty() && !c.truth.reject);
        let scores: Vec<(Score, f64)> = lists.map(read).collect();
        if !scores.is_empty() {
            let mut all = Score::default();
            scores.iter().for_each(|s| all.add(s.0));
            let seconds = scores.iter().map(|s| s.1).sum::<f64>() / scores.len() as f64;
            println!("{:36} {}", format!("psm {mode}"), line(&all, seconds));
        }
    }
}

fn plain_rows(photo: &PathBuf, mode: &str) -> Vec<Row> {
    let done = Command::new("tesseract")
        .arg(photo)
        .args(["-", "-l", "eng", "--psm", mode])
        .env("OMP_THREAD_LIMIT", "1")
        .output()
        .unwrap();
    String::from_utf8_lossy(&done.stdout).lines().filter_map(plain_row).collect()
}

fn plain_row(line: &str) -> Option<Row> {
    let (title, last) = line.trim().rsplit_once(' ')?;
    let page = last.trim_matches(|c: char| !c.is_alphanumeric());
    let number =
        !page.is_empty() && page.chars().all(|c| c.is_ascii_digit() || "ivxlc".contains(c));
    let area = vitta::geom::Rect { left: 0, top: 0, right: 0, bottom: 0 };
    number.then(|| Row {
        title: title.trim_matches(|c: char| !c.is_alphanumeric()).to_owned(),
        page: Some(page.to_owned()),
        pages: Vec::new(),
        level: 1,
        column: 1,
        alternatives: Vec::new(),
        probability: 1.0,
        doubt: false,
        strip: Strip { photo: String::new(), area },
    })
}

fn peak_memory() -> Option<String> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|l| l.strip_prefix("VmHWM:")).map(|l| l.trim().to_owned())
}
