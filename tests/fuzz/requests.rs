//! Requests to the desk, a few in a row on one shelf, without a socket.
//!
//! A case is a JSON list of requests: method, path, headers, body.

use super::change::Kind;
use super::engine::{Answer, Target, hold, one_sentence};
use super::formats::{small_book, written};
use axum::body::{Body, to_bytes};
use axum::http::Request;
use image::RgbImage;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::OnceLock;
use tower::ServiceExt;
use vitta::book::Book;
use vitta::desk::{Desk, Door, router};
use vitta::language::Language;
use vitta::photo::Photo;
use vitta::shelf::Shelf;

#[derive(Deserialize)]
struct Asked {
    method: String,
    path: String,
    #[serde(default)]
    headers: BTreeMap<String, String>,
    #[serde(default)]
    body: Value,
}

fn seeds() -> Vec<Vec<u8>> {
    let get = |path: &str| json!([{"method": "GET", "path": path}]);
    let send = |method: &str, path: &str, body: Value| json!([{"method": method, "path": path, "body": body, "headers": {"origin": "http://localhost"}}, {"method": "GET", "path": "/api/desk"}]);
    let books = "/api/books/chapel";
    let word = json!({"place": "order/preface/advent-1", "said": {"page": "433"}, "before": null});
    let choice = json!({"at": "/settings/days/2026-11-29/prayer", "before": null, "value": "order/prayer/1"});
    let own = json!({
        "before": {"over": "general", "celebrations": []},
        "value": {"over": "england", "celebrations": [
            {"role": "title of the church", "month": 2, "day": 3, "id": null, "title": "Saint Blaise", "colour": "red"}
        ]},
        "lang": "en"
    });
    let shared: Value = serde_json::from_slice(&written(&small_book().to_share())).unwrap();
    let list = [
        get("/"),
        get("/api/desk"),
        get("/api/today/2026-11-29?book=chapel&evening=true&lang=es"),
        get("/api/today/2026-11-29/card-a5.pdf?book=chapel"),
        get("/api/choices?lang=es"),
        get("/api/week/2026-11-28?book=chapel"),
        get("/api/week/2026-11-28/sheet.svg?book=chapel&lang=la"),
        get("/api/parish?lang=es"),
        get("/api/parish/on/2/29"),
        get(books),
        get("/api/books/chapel/review?lang=es&place=order"),
        get("/api/books/chapel/looks"),
        get("/api/books/chapel/export"),
        get("/api/books/chapel/strip?place=order/preface/advent-1&reading=0&whole=true"),
        get("/api/books/chapel/photographs"),
        get("/api/books/chapel/compare/chapel"),
        send("POST", "/api/code", json!({"code": "12345678"})),
        send("POST", "/api/parish", choice),
        send("POST", "/api/parish/own", own),
        send("POST", "/api/parish/layer", json!({"format": "vitta calendar", "version": 1})),
        send("PUT", "/api/books/crypt", json!({"outline": "chair-book", "language": "es"})),
        send("POST", "/api/books/chapel/word?lang=en", word),
        send("POST", "/api/books/chapel/undo", json!({"steps": 3})),
        send(
            "POST",
            "/api/books/chapel/ribbons",
            json!({"before": ["red", "green", "gold", "violet"], "value": ["red"]}),
        ),
        send("POST", "/api/books/crypt/import", shared),
        send("POST", "/api/books/chapel/compare/chapel", json!({})),
        send("PUT", "/api/books/chapel/photographs/image.jpg", json!("no picture")),
        send("DELETE", "/api/books/chapel/photographs/image.jpg", Value::Null),
        send("POST", "/api/books/chapel/read", json!({})),
    ];
    list.iter().map(|v| v.to_string().into_bytes()).collect()
}

#[test]
fn requests() {
    hold(Target { name: "requests", seeds: seeds(), kind: Kind::Json, cases: 60, run });
}

fn run(case: &[u8]) -> Result<Answer, String> {
    let Ok(asked) = serde_json::from_slice::<Vec<Asked>>(case) else {
        return Ok(Answer::Taken("no requests".into()));
    };
    static BOOK: OnceLock<Book> = OnceLock::new();
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::at(folder.path());
    shelf.put(BOOK.get_or_init(small_book)).unwrap();
    let print = Photo { name: "list.jpg".into(), image: RgbImage::new(90, 60) };
    shelf.keep_photo("chapel", &print).unwrap();
    let desk = router(Desk::new(shelf.clone(), Language::En, Door::loopback()));
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let mut statuses = Vec::new();
    for one in asked.into_iter().take(6) {
        let (method, path) = (one.method.clone(), one.path.clone());
        let Some(request) = request(one) else { continue };
        let (status, body) = runtime.block_on(async {
            let response = desk.clone().oneshot(request).await.unwrap();
            let status = response.status().as_u16();
            (status, to_bytes(response.into_body(), usize::MAX).await.unwrap())
        });
        judge(&method, status, &body).map_err(|e| format!("{method} {path}: {e}"))?;
        statuses.push(format!("{status} {}", said(&body)));
    }
    match shelf.open("chapel").and_then(|_| shelf.parish()) {
        Ok(_) => Ok(Answer::Taken(statuses.join(" "))),
        Err(error) => Err(format!("the shelf is broken: {}", error.whole())),
    }
}

/// The request, if it is one that can be sent at all.
fn request(asked: Asked) -> Option<Request<Body>> {
    let mut request = Request::builder()
        .method(asked.method.as_str())
        .uri(asked.path.as_str())
        .header("x-desk", "1");
    for (name, value) in &asked.headers {
        request = request.header(name.as_str(), value.as_str());
    }
    if !asked.headers.contains_key("host") {
        request = request.header("host", "localhost");
    }
    let body = match asked.body {
        Value::Null => String::new(),
        Value::String(text) => text,
        value => value.to_string(),
    };
    request.body(Body::from(body)).ok()
}

fn said(body: &[u8]) -> String {
    let value = serde_json::from_slice::<Value>(body).unwrap_or_default();
    value["said"].as_str().unwrap_or_default().to_owned()
}

/// What is refused is refused in our words; nothing that is asked breaks the desk.
fn judge(method: &str, status: u16, body: &[u8]) -> Result<(), String> {
    if status < 400 || method == "HEAD" {
        return Ok(());
    }
    let text = String::from_utf8_lossy(body);
    if status >= 500 {
        return Err(format!("{status}: {text}"));
    }
    let value: Value = serde_json::from_slice(body).map_err(|_| format!("{status}: {text:?}"))?;
    for field in ["said", "hint"] {
        one_sentence(value[field].as_str().ok_or_else(|| format!("{status} without {field}"))?)?;
    }
    Ok(())
}
