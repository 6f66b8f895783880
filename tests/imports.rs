//! Imports point backwards along the line of stages and down to the floor.

use std::path::Path;

/// What each stage may import of ours, the floor besides.
const ALLOWED: &[(&str, &[&str])] = &[
    ("photo", &[]),
    ("text", &["photo"]),
    ("book", &["text"]),
    ("calendar", &[]),
    ("order", &["calendar", "book"]),
    ("ribbon", &["order", "book"]),
    ("card", &["ribbon", "order", "calendar", "book"]),
    ("shelf", &["photo", "text", "book", "calendar", "order", "ribbon"]),
    ("desk", &["photo", "text", "book", "calendar", "order", "ribbon", "card", "shelf"]),
    (
        "cli",
        &[
            "photo", "text", "book", "calendar", "order", "ribbon", "card", "shelf", "desk",
            "schemas",
        ],
    ),
];

/// Anyone may import these.
const FLOOR: &[&str] = &["ascent", "error", "format", "geom", "language", "net", "place"];

fn rust_files(folder: &Path, found: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The first step of every `crate::…` or `vitta::…` path in a file, comments left out.
fn imported(text: &str) -> Vec<String> {
    let code =
        text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
    let mut steps = Vec::new();
    for root in ["crate::", "vitta::"] {
        for (at, _) in code.match_indices(root) {
            let rest = &code[at + root.len()..];
            if let Some(group) = rest.strip_prefix('{') {
                let inside = group.split('}').next().unwrap_or("");
                steps.extend(
                    inside.split(',').map(|s| s.trim().split(':').next().unwrap().to_owned()),
                );
            } else {
                let step: String =
                    rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect();
                steps.push(step);
            }
        }
    }
    steps.retain(|s| s.starts_with(|c: char| c.is_ascii_lowercase()));
    steps
}

#[test]
fn each_stage_imports_only_what_comes_before_it() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut wrong = Vec::new();
    for (stage, allowed) in ALLOWED {
        let mut files = Vec::new();
        rust_files(&src.join(stage), &mut files);
        assert!(!files.is_empty(), "no files in src/{stage}");
        for file in files {
            for step in imported(&std::fs::read_to_string(&file).unwrap()) {
                let known = step == *stage
                    || FLOOR.contains(&step.as_str())
                    || step == "Result"
                    || step == "Error";
                if !known && !allowed.contains(&step.as_str()) {
                    wrong.push(format!("{} imports {step}", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_ribbon_solver_imports_nothing_of_ours() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/ribbon/solve.rs");
    let text = std::fs::read_to_string(file).unwrap();
    assert_eq!(imported(&text), Vec::<String>::new());
}
