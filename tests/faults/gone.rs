//! Files that go away under an open desk.

use super::{PLACES, Sacristy};
use axum::body::{Body, to_bytes};
use axum::http::Request;
use serde_json::{Value, json};
use tower::ServiceExt;
use vitta::desk::{Desk, Door, router};
use vitta::language::Language;

/// A request to the desk and its answer.
async fn ask(desk: &axum::Router, method: &str, path: &str, body: Value) -> (u16, Value) {
    let request = Request::builder().method(method).uri(path).header("host", "localhost");
    let request = request.header("x-desk", "1").body(Body::from(body.to_string())).unwrap();
    let answer = desk.clone().oneshot(request).await.unwrap();
    let status = answer.status().as_u16();
    let bytes = to_bytes(answer.into_body(), usize::MAX).await.unwrap();
    (status, serde_json::from_slice(&bytes).unwrap())
}

#[tokio::test]
async fn a_book_removed_under_an_open_desk_is_missed_and_the_desk_goes_on() {
    let sacristy = Sacristy::new();
    let desk = router(Desk::new(sacristy.shelf(), Language::En, Door::loopback()));
    let word = json!({"place": PLACES[1], "said": {"page": "440"}, "before": {"page": "433"}});
    let say = "/api/books/chapel/word";
    assert_eq!(ask(&desk, "GET", "/api/books/chapel/review", Value::Null).await.0, 200);
    std::fs::remove_file(sacristy.path("shelf/books/chapel.json")).unwrap();
    for (method, path, body) in [
        ("POST", say, word.clone()),
        ("GET", "/api/books/chapel/review", Value::Null),
        ("GET", "/api/today/2027-03-19/card-a5.pdf?book=chapel", Value::Null),
        ("POST", "/api/books/chapel/read", Value::Null),
    ] {
        let (status, answer) = ask(&desk, method, path, body).await;
        assert_eq!(status, 404, "{path}: {answer}");
        assert!(
            answer["said"].as_str().unwrap().contains("no book \"chapel\""),
            "{path}: {answer}"
        );
        assert!(answer["hint"].is_string(), "{path}: {answer}");
    }
    std::fs::remove_dir_all(sacristy.path("shelf")).unwrap();
    let (status, answer) = ask(&desk, "GET", "/api/desk", Value::Null).await;
    assert_eq!((status, &answer["books"]), (200, &json!([])));
    sacristy.shelf().put(&super::book()).unwrap();
    let (status, answer) = ask(&desk, "POST", say, word).await;
    assert_eq!(status, 200, "{answer}");
}
