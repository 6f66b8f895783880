//! The reading scoreboard: `cargo bench --bench read [NAME…]` reads every photograph with known truth on one core
//! and prints how many entries are right, silently wrong and in doubt, beside plain Tesseract whose last word of
//! a line is taken as the page.
//!
//! Photographs: `fixtures/photos`, and real books where their folder is there. `VITTA_READ_OUT=DIR` writes each
//! reading to DIR/NAME.json; `VITTA_NO_PLAIN=1` leaves plain Tesseract out, `VITTA_THREADS=N` uses N cores.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]

#[path = "../score.rs"]
mod score;

use score::{Case, Printed, Score};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;
use vitta::text::{Reading, Row, Strip};

fn main() {
    let only: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let threads = std::env::var("VITTA_THREADS").ok().and_then(|n| n.parse().ok()).unwrap_or(1);
    rayon::ThreadPoolBuilder::new().num_threads(threads).build_global().unwrap();
    let mut cases = score::fixtures();
    match score::real() {
        Some(real) => {
            cases.extend(real.into_iter().map(|c| Case { name: format!("real/{}", c.name), ..c }))
        }
        None => println!(
            "the photographs of real books are not there (shared/real beside the package): left out"
        ),
    }
    cases.retain(|c| only.is_empty() || only.iter().any(|o| c.name.contains(o)));
    let mut groups = BTreeMap::<String, Vec<(Score, f64)>>::new();
    println!("{:32} {}", "photograph", HEAD);
    for case in &cases {
        let (score, seconds) = measure(case);
        println!("{:32} {}", case.name, line(&score, seconds));
        groups.entry(group(case)).or_default().push((score, seconds));
    }
    println!("\n{:32} {}", "group", HEAD);
    for (group, scores) in &groups {
        println!("{group:32} {}", sum(scores));
    }
    if std::env::var_os("VITTA_NO_PLAIN").is_none() {
        plain(&cases);
    }
    if let Some(peak) = peak_memory() {
        println!("\npeak memory {peak}");
    }
}

const HEAD: &str = "printed  read right found |  prec.   rec.    F1 | accepted silent stray | silent doubt  s/page";

fn line(s: &Score, seconds: f64) -> String {
    format!(
        "{:7} {:5} {:5} {:5} | {:.3}  {:.3}  {:.3} | {:8} {:6} {:5} | {:5.1}% {:4.0}%  {seconds:5.1}",
        s.printed,
        s.read,
        s.right,
        s.found,
        s.precision(),
        s.recall(),
        s.f1(),
        s.accepted,
        s.silent,
        s.stray,
        100.0 * s.silent_rate(),
        100.0 * s.doubt_rate()
    )
}

fn sum(scores: &[(Score, f64)]) -> String {
    let mut all = Score::default();
    scores.iter().for_each(|s| all.add(s.0));
    line(&all, scores.iter().map(|s| s.1).sum::<f64>() / scores.len() as f64)
}

/// Real books by kind of type, fixtures by grade.
fn group(case: &Case) -> String {
    let roman = ["zuerich", "aarau", "lausanne", "lelocle", "konstanz", "cat_"];
    match (&case.truth.grade, case.name.strip_prefix("real/")) {
        (_, Some(name)) if roman.iter().any(|r| name.starts_with(r)) => {
            "real, roman type, 19th century".into()
        }
        (_, Some(_)) => "real, older or no list".into(),
        (Some(grade), _) => format!("made, {grade}"),
        (None, _) => "made".into(),
    }
}

fn measure(case: &Case) -> (Score, f64) {
    let start = Instant::now();
    let pages = vitta::photo::load(&case.photo).and_then(|photo| vitta::photo::flatten(&photo));
    let reading = pages.and_then(|pages| vitta::text::read(&case.name, &pages, None));
    let seconds = start.elapsed().as_secs_f64();
    let truth: &[Printed] = if case.truth.reject { &[] } else { &case.truth.rows };
    match reading {
        Ok(reading) => {
            keep(case, &reading);
            (score::score(&reading.rows, truth), seconds)
        }
        Err(error) => {
            println!("{}: {error}", case.name);
            (score::score(&[], truth), seconds)
        }
    }
}

fn keep(case: &Case, reading: &Reading) {
    let Some(folder) = std::env::var_os("VITTA_READ_OUT") else { return };
    let name = case.name.rsplit('/').next().unwrap();
    let text = serde_json::to_string_pretty(&reading.rows).unwrap();
    std::fs::write(Path::new(&folder).join(format!("{name}.json")), text).unwrap();
}

/// Plain Tesseract on the photograph as it is.
fn plain(cases: &[Case]) {
    println!("\n{:32} {}", "plain Tesseract, last word", HEAD);
    for mode in ["3", "4", "6"] {
        let scores: Vec<(Score, f64)> = cases
            .iter()
            .filter(|c| !c.truth.rows.is_empty() && !c.truth.reject)
            .map(|case| {
                let start = Instant::now();
                let rows = plain_rows(&case.photo, mode);
                (score::score(&rows, &case.truth.rows), start.elapsed().as_secs_f64())
            })
            .collect();
        if !scores.is_empty() {
            println!("{:32} {}", format!("psm {mode}"), sum(&scores));
        }
    }
}

fn plain_rows(photo: &PathBuf, mode: &str) -> Vec<Row> {
    let done = Command::new("tesseract")
        .arg(photo)
        .args(["-", "-l", "eng", "--psm", mode])
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
