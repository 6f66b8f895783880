//! The desk: what it answers, whom it refuses, and the whole job done in a browser.

mod accessible;
mod answers;
mod browser;
mod chromium;
mod door;
mod killed;
mod words;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode, header};
use serde_json::Value;
use tower::ServiceExt;
use vitta::book::{Book, Outline, Ribbon};
use vitta::desk::{Desk, Door, router};
use vitta::language::Language;
use vitta::place::Place;
use vitta::shelf::Shelf;

/// A desk on a shelf of its own, asked without a socket.
struct AtDesk {
    folder: tempfile::TempDir,
    router: Router,
}

impl AtDesk {
    fn new() -> Self {
        Self::with(Door::loopback())
    }

    fn with(door: Door) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let router = router(Desk::new(Shelf::at(folder.path()), Language::En, door));
        AtDesk { folder, router }
    }

    fn shelf(&self) -> Shelf {
        Shelf::at(self.folder.path())
    }

    /// A book of the altar missal's outline whose pages are estimated, with four ribbons.
    fn with_book(self, name: &str) -> Self {
        self.shelf().put(&book(name)).unwrap();
        self
    }

    async fn send(&self, request: Request<Body>) -> Response<Body> {
        self.router.clone().oneshot(request).await.unwrap()
    }

    async fn get(&self, path: &str) -> (StatusCode, Value) {
        json(self.send(asking("GET", path).body(Body::empty()).unwrap()).await).await
    }

    async fn post(&self, path: &str, body: &Value) -> (StatusCode, Value) {
        json(self.send(asking("POST", path).body(body.to_string().into()).unwrap()).await).await
    }

    async fn put(&self, path: &str, body: impl Into<Body>) -> (StatusCode, Value) {
        json(self.send(asking("PUT", path).body(body.into()).unwrap()).await).await
    }
}

/// A request as the desk's own page makes it.
fn asking(method: &str, path: &str) -> axum::http::request::Builder {
    Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, "127.0.0.1:7450")
        .header(header::ORIGIN, "http://127.0.0.1:7450")
        .header("x-desk", "1")
}

async fn bytes(response: Response<Body>) -> Vec<u8> {
    to_bytes(response.into_body(), usize::MAX).await.unwrap().to_vec()
}

async fn json(response: Response<Body>) -> (StatusCode, Value) {
    let status = response.status();
    let bytes = bytes(response).await;
    let value = serde_json::from_slice(&bytes);
    (status, value.unwrap_or_else(|_| panic!("no JSON: {}", String::from_utf8_lossy(&bytes))))
}

fn place(path: &str) -> Place {
    Place::new(path).unwrap()
}

pub fn book(name: &str) -> Book {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let mut book = Book::new(name, Language::En, Some(outline));
    let ribbon = |colour: &&str| Ribbon::new(colour);
    book.ribbons = ["red", "green", "gold", "violet"].iter().map(ribbon).collect();
    for (path, page) in [
        ("time/advent/week-1/sunday", "21"),
        ("order", "385"),
        ("order/preface/advent-1", "433"),
        ("order/prayer/3", "544"),
        ("saints", "661"),
        ("dead", "1181"),
    ] {
        book.confirm(&place(path), page, "2026-11-25 09:00:00").unwrap();
    }
    book
}
