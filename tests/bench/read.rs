//! The reading scoreboard: how well printed entries are read, beside plain Tesseract, on every page there is.
//!
//! Pages: `fixtures/photos/*/photo.jpg` with `rows.json`, and the folder `../shared/real` beside the package (or
//! `VITTA_REAL`) with `NAME.gt.json` where it is there. With `VITTA_READ_OUT=DIR` every reading is written to
//! DIR/NAME.json.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]

use std::path::{Path, PathBuf};

fn main() {
    let only: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let real = std::env::var_os("VITTA_REAL")
        .map_or_else(|| PathBuf::from("../shared/real"), PathBuf::from);
    let mut files: Vec<PathBuf> = std::fs::read_dir(&real)
        .map(|d| d.flatten().map(|e| e.path()).collect())
        .unwrap_or_default();
    files.retain(|f| f.extension().is_some_and(|e| e == "jpg" || e == "png"));
    files.sort();
    for file in files {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        if !only.is_empty() && !only.iter().any(|o| name.contains(o)) {
            continue;
        }
        read(&file, &name);
    }
}

fn read(file: &Path, name: &str) {
    let grey = image::open(file).unwrap().to_luma8();
    let page = vitta::photo::Page {
        photo: name.into(),
        grey,
        x_height: 0.0,
        mapping: vitta::photo::Mapping { step: 1, columns: 0, points: Vec::new() },
        notices: Vec::new(),
    };
    let start = std::time::Instant::now();
    let reading = vitta::text::read(name, &[page], None).unwrap();
    let doubt = reading.rows.iter().filter(|r| r.doubt).count();
    println!(
        "{name}: {} rows, {doubt} in doubt, {:.1} s {:?}",
        reading.rows.len(),
        start.elapsed().as_secs_f32(),
        reading.notices
    );
    if let Some(dir) = std::env::var_os("VITTA_READ_OUT") {
        let rows = serde_json::to_string_pretty(&reading.rows).unwrap();
        std::fs::write(Path::new(&dir).join(format!("{name}.json")), rows).unwrap();
    }
}
