//! `schemas/` holds what the types say, and every data file is valid by it.

use serde_json::Value;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_schemas_folder_equals_the_types() {
    let mut stale = Vec::new();
    let mut expected: Vec<String> = Vec::new();
    for (name, schema) in vitta::schemas::all() {
        let file = root().join("schemas").join(format!("{name}.schema.json"));
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&file, &text).unwrap();
        }
        if std::fs::read_to_string(&file).ok().as_ref() != Some(&text) {
            stale.push(name);
        }
        expected.push(format!("{name}.schema.json"));
    }
    assert!(
        stale.is_empty(),
        "stale: {stale:?}; to rewrite them: UPDATE=1 cargo test --test all schemas"
    );
    let mut found: Vec<String> = std::fs::read_dir(root().join("schemas"))
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    found.sort();
    expected.sort();
    assert_eq!(found, expected, "one file in schemas/ for each format");
}

fn json_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            json_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "json") {
            found.push(path);
        }
    }
}

#[test]
fn every_data_file_names_its_source_and_is_valid_by_its_schema() {
    let name =
        |schema: &Value| schema["properties"]["format"]["const"].as_str().unwrap().to_owned();
    let schemas: Vec<Value> = vitta::schemas::all().into_iter().map(|(_, schema)| schema).collect();
    let validators: Vec<(String, jsonschema::Validator)> =
        schemas.iter().map(|s| (name(s), jsonschema::validator_for(s).unwrap())).collect();
    // What a parish settles and what the program computes name none.
    let without: Vec<String> =
        schemas.iter().filter(|s| s["properties"]["source"].is_null()).map(name).collect();
    let mut files = Vec::new();
    json_files(&root().join("src/data"), &mut files);
    json_files(&root().join("fixtures"), &mut files);
    let mut wrong = Vec::new();
    for file in files {
        let value: Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
        let sourced = |format: &str| !without.iter().any(|known| known == format);
        if value.get("source").is_none() && value["format"].as_str().is_none_or(sourced) {
            wrong.push(format!("{}: no source", file.display()));
        }
        let Some(format) = value.get("format").and_then(Value::as_str) else {
            if file.starts_with(root().join("src/data")) {
                wrong.push(format!("{}: no format", file.display()));
            }
            continue;
        };
        match validators.iter().find(|(name, _)| name == format) {
            None => wrong.push(format!("{}: unknown format {format}", file.display())),
            Some((_, validator)) => wrong.extend(
                validator
                    .iter_errors(&value)
                    .take(3)
                    .map(|e| format!("{}: {e} at {}", file.display(), e.instance_path())),
            ),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
