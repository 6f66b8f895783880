//! Every view through a general checker of accessibility, axe-core, which `.ci/tests` fetches.

use super::book;
use super::chromium::{Browser, LAPTOP, PHONE, Screen};
use serde_json::Value;
use std::path::PathBuf;

const VERSION: &str = "4.14.1";

/// Every view on a shelf with two books, one of them with something to choose on its day.
const VIEWS: [&str; 11] = [
    "today/2026-11-28",
    "today/2026-11-28/evening",
    "week/2026-11-29",
    "book",
    "book/chapel/photographs",
    "book/chapel/review",
    "book/chapel/pages",
    "book/chapel/ribbons",
    "book/chapel/compare",
    "book/chapel/share",
    "parish",
];

fn axe() -> String {
    let home = || PathBuf::from(std::env::var_os("HOME").unwrap()).join(".cache");
    let cache = std::env::var_os("XDG_CACHE_HOME").map_or_else(home, PathBuf::from);
    let file = cache.join(format!("vitta/axe-core-{VERSION}/axe.min.js"));
    std::fs::read_to_string(&file)
        .unwrap_or_else(|_| panic!("{} is missing: sh .ci/tests fetches it", file.display()))
}

/// What the checker finds serious or critical on the page as it stands, each with its element.
async fn faults(browser: &Browser, axe: &str) -> Vec<String> {
    browser.run(axe).await;
    let script = "const [done] = arguments; \
        document.querySelectorAll('details').forEach((d) => { d.open = true; }); \
        axe.run(document, { resultTypes: ['violations'] }).then(done, (e) => done({ error: String(e) }));";
    let found = browser.client.execute_async(script, Vec::new()).await;
    let found = found.unwrap();
    assert!(found["testEngine"]["version"] == VERSION, "{found}");
    let mut faults = Vec::new();
    for fault in found["violations"].as_array().unwrap() {
        if matches!(fault["impact"].as_str(), Some("serious" | "critical")) {
            let nodes = fault["nodes"].as_array().unwrap();
            let at: Vec<&str> = nodes.iter().filter_map(|n| n["html"].as_str()).take(3).collect();
            faults.push(format!("{}: {}", fault["id"], at.join(" | ")));
        }
    }
    faults
}

async fn every_view_is_without_serious_fault(screen: Screen) {
    let axe = axe();
    let browser = Browser::open(screen, |shelf| {
        shelf.put(&book("Chapel")).unwrap();
        shelf.put(&book("Sacristy")).unwrap();
    })
    .await;
    let dark = browser.run("return matchMedia('(prefers-color-scheme: dark)').matches").await;
    assert_eq!(dark, Value::Bool(screen.dark), "the screen is as it should be");
    let mut all = Vec::new();
    for view in VIEWS {
        browser.go(view).await;
        // A thousand rows alike tell the checker no more than a few, only later.
        let fewer = "const find = document.getElementById('find'); \
            if (find) { find.value = 'advent'; find.dispatchEvent(new Event('input')); }";
        browser.run(fewer).await;
        let found = faults(&browser, &axe).await;
        all.extend(found.into_iter().map(|fault| format!("{view}: {fault}")));
        let overflow =
            browser.run("return document.documentElement.scrollWidth - innerWidth").await;
        assert!(overflow.as_i64().unwrap() <= 0, "{view} is wider than the screen by {overflow}");
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_a_phone_in_the_light() {
    every_view_is_without_serious_fault(PHONE).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_a_laptop_in_a_dim_sacristy_in_spanish() {
    every_view_is_without_serious_fault(Screen { dark: true, language: "es", ..LAPTOP }).await;
}
