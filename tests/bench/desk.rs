//! How long the desk takes to answer, on a whole altar missal's book.
#![allow(clippy::unwrap_used, missing_docs)]

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode};
use divan::Bencher;
use tower::ServiceExt;
use vitta::book::{Book, Outline, Ribbon};
use vitta::desk::{Desk, Door, router};
use vitta::language::Language;
use vitta::place::Place;
use vitta::shelf::Shelf;

fn main() {
    divan::main();
}

/// A book with every place of the altar missal, of which a few pages are known.
fn book() -> Book {
    let outline = Outline::shipped("roman-missal-3").unwrap();
    let mut book = Book::new("Chapel", Language::En, Some(outline));
    let ribbon = |colour: &&str| Ribbon::new(colour);
    book.ribbons = ["red", "green", "gold", "violet"].iter().map(ribbon).collect();
    for (path, page) in [("time/advent/week-1/sunday", "21"), ("order", "385"), ("saints", "661")] {
        book.confirm(&Place::new(path).unwrap(), page, "2026-11-25 09:00:00").unwrap();
    }
    book
}

/// Asks for a path again and again.
fn asked(bencher: Bencher, path: &str) {
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::at(folder.path());
    shelf.put(&book()).unwrap();
    let router: Router = router(Desk::new(shelf, Language::En, Door::loopback()));
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
    bencher.bench(|| {
        runtime.block_on(async {
            let request = Request::get(path).header("host", "127.0.0.1:7450").body(Body::empty());
            let answer = router.clone().oneshot(request.unwrap()).await.unwrap();
            assert_eq!(answer.status(), StatusCode::OK);
        })
    });
}

#[divan::bench]
fn today(bencher: Bencher) {
    asked(bencher, "/api/today/2026-11-29?book=chapel");
}

#[divan::bench]
fn week(bencher: Bencher) {
    asked(bencher, "/api/week/2026-11-29?book=chapel");
}

#[divan::bench]
fn review(bencher: Bencher) {
    asked(bencher, "/api/books/chapel/review");
}
