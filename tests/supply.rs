//! What comes in with dependencies, against `.ci/deny.toml`: licences, and what runs while the program is built.

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

/// The strings between `key = [` and the closing bracket.
fn listed(key: &str) -> BTreeSet<String> {
    let file = std::fs::read_to_string(".ci/deny.toml").unwrap();
    let (_, rest) = file.split_once(&format!("\n{key} = [")).unwrap();
    let (list, _) = rest.split_once("\n]").unwrap();
    list.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

fn cargo(words: &[&str]) -> String {
    let told = Command::new(env!("CARGO")).args(words).output().unwrap();
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    String::from_utf8(told.stdout).unwrap()
}

/// The packages that are built on this kind of system with every feature. What cargo knows of each is told by
/// `metadata`, but also of packages that only another choice of features would bring; `tree` names the built ones.
fn packages() -> Vec<Value> {
    let told = cargo(&["-vV"]);
    let host = told.lines().find_map(|l| l.strip_prefix("host: ")).unwrap();
    let here = ["--locked", "--offline", "--all-features"];
    let tree = ["tree", "--edges", "normal,build,dev", "--prefix", "none", "--format", "{p}"];
    let tree = cargo(&[&tree[..], &here].concat());
    let built: BTreeSet<(&str, &str)> =
        tree.lines().filter_map(|l| l.split(" (").next()?.split_once(" v")).collect();
    let about = ["metadata", "--format-version", "1", "--filter-platform", host];
    let mut all: Value = serde_json::from_str(&cargo(&[&about[..], &here].concat())).unwrap();
    let Value::Array(mut packages) = all["packages"].take() else { panic!("no packages") };
    packages
        .retain(|p| built.contains(&(p["name"].as_str().unwrap(), p["version"].as_str().unwrap())));
    assert_eq!(packages.len(), built.len());
    packages.retain(|p| p["name"] != "vitta");
    packages
}

#[test]
fn every_dependency_has_a_permissive_licence() {
    let (allowed, exceptions) = (listed("allow"), listed("exceptions"));
    let mut refused = Vec::new();
    for package in packages() {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none");
        let read = spdx::Expression::parse_mode(licence, spdx::ParseMode::LAX);
        let fits = read.is_ok_and(|e| {
            e.evaluate(|r| r.license.id().is_some_and(|id| allowed.contains(id.name)))
        });
        if !fits && !exceptions.contains(name) {
            refused.push(format!("{name}: {licence}"));
        }
    }
    assert!(refused.is_empty(), "not in .ci/deny.toml:\n{}", refused.join("\n"));
}

/// A build script runs with the rights of whoever builds, so each was read before it was let in.
#[test]
fn nothing_runs_while_building_that_was_not_read() {
    let read = listed("allow-build-scripts");
    let builds = |package: &Value| {
        let targets = package["targets"].as_array().unwrap();
        targets.iter().any(|t| t["kind"].as_array().unwrap().iter().any(|k| k == "custom-build"))
    };
    let unread: Vec<String> = packages()
        .iter()
        .filter(|p| builds(p) && !read.contains(p["name"].as_str().unwrap()))
        .map(|p| p["name"].to_string())
        .collect();
    assert!(unread.is_empty(), "build scripts not in .ci/deny.toml: {}", unread.join(", "));
}

/// Only what the registry holds, at the version and with the content that Cargo.lock names.
#[test]
fn every_dependency_comes_from_the_registry() {
    for package in packages() {
        let source = package["source"].as_str().unwrap_or("a folder");
        assert!(source.starts_with("registry+"), "{} comes from {source}", package["name"]);
    }
    let lock = std::fs::read_to_string("Cargo.lock").unwrap();
    let from_registry = lock.matches("\nsource = \"registry+").count();
    assert_eq!(from_registry, lock.matches("\nchecksum = ").count());
}
