//! Whom the desk lets in.

use super::{AtDesk, asking, bytes, json};
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{Request, StatusCode, header};
use serde_json::json;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex};
use vitta::desk::Door;

fn plain(method: &str, path: &str) -> axum::http::request::Builder {
    Request::builder().method(method).uri(path)
}

async fn status(desk: &AtDesk, request: axum::http::request::Builder) -> StatusCode {
    desk.send(request.body(Body::empty()).unwrap()).await.status()
}

/// DNS rebinding: a stranger's name that points at this machine.
#[tokio::test]
async fn only_this_machines_names_are_answered() {
    let desk = AtDesk::new();
    let cases = [
        ("127.0.0.1:7450", StatusCode::OK),
        ("localhost:7450", StatusCode::OK),
        ("[::1]:7450", StatusCode::OK),
        ("LOCALHOST", StatusCode::OK),
        ("altar.example:7450", StatusCode::MISDIRECTED_REQUEST),
        ("127.0.0.1.altar.example", StatusCode::MISDIRECTED_REQUEST),
        ("localhost.altar.example:7450", StatusCode::MISDIRECTED_REQUEST),
        ("192.168.1.20:7450", StatusCode::MISDIRECTED_REQUEST),
        ("", StatusCode::MISDIRECTED_REQUEST),
    ];
    for (host, expected) in cases {
        for path in ["/", "/api/desk"] {
            let asked = plain("GET", path).header(header::HOST, host);
            assert_eq!(status(&desk, asked).await, expected, "{host} {path}");
        }
    }
}

#[tokio::test]
async fn another_sites_page_can_neither_read_nor_write() {
    let desk = AtDesk::new().with_book("Chapel");
    let path = "/api/books/chapel/undo";
    let host = |b: axum::http::request::Builder| b.header(header::HOST, "127.0.0.1:7450");
    let refused = [
        ("a form", host(plain("POST", path)).header(header::ORIGIN, "http://altar.example")),
        ("a form without origin", host(plain("POST", path))),
        ("a sandboxed frame", host(plain("POST", path)).header(header::ORIGIN, "null")),
        ("another port", asking("POST", path).header(header::ORIGIN, "http://127.0.0.1:99")),
        ("a picture", host(plain("GET", "/api/desk")).header("sec-fetch-site", "cross-site")),
        ("a sibling", host(plain("GET", "/api/desk")).header("sec-fetch-site", "same-site")),
    ];
    let before = std::fs::read(desk.shelf().book_file("Chapel").unwrap()).unwrap();
    for (case, request) in refused {
        // A header given twice counts by its first value, so the case builds its own where it matters.
        let mut request = request.body(Body::from("{\"steps\":6}")).unwrap();
        if case == "another port" {
            request.headers_mut().insert(header::ORIGIN, "http://127.0.0.1:99".parse().unwrap());
        }
        assert_eq!(desk.send(request).await.status(), StatusCode::FORBIDDEN, "{case}");
    }
    let after = std::fs::read(desk.shelf().book_file("Chapel").unwrap()).unwrap();
    assert!(before == after, "a refused request changed the book");
}

#[tokio::test]
async fn every_answer_has_its_protecting_headers() {
    let desk = AtDesk::new();
    for path in ["/", "/desk.js", "/api/desk", "/nowhere"] {
        let response = desk.send(asking("GET", path).body(Body::empty()).unwrap()).await;
        let headers = response.headers();
        let csp = headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
        assert!(csp.contains("default-src 'none'") && csp.contains("frame-ancestors 'none'"));
        assert!(!csp.contains("unsafe"), "{csp}");
        assert_eq!(headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff", "{path}");
        assert_eq!(headers["cross-origin-resource-policy"], "same-origin", "{path}");
    }
}

#[tokio::test]
async fn a_device_on_the_network_gives_the_code_once() {
    let shown: Arc<Mutex<Vec<String>>> = Arc::default();
    let codes = shown.clone();
    let desk = AtDesk::with(Door::network(move |c| codes.lock().unwrap().push(c.into())).unwrap());
    let first = shown.lock().unwrap()[0].clone();
    assert!(first.len() == 8 && first.bytes().all(|b| b.is_ascii_digit()), "{first}");
    let phone = |b: axum::http::request::Builder| {
        b.extension(ConnectInfo(SocketAddr::from(([192, 168, 1, 30], 4000))))
    };
    let from_phone = |path: &str| phone(asking("GET", path));
    assert_eq!(status(&desk, from_phone("/")).await, StatusCode::OK, "the page that asks");
    assert_eq!(status(&desk, from_phone("/api/desk")).await, StatusCode::UNAUTHORIZED);
    let here =
        asking("GET", "/api/desk").extension(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 4000))));
    assert_eq!(status(&desk, here).await, StatusCode::OK, "this machine needs no code");

    let typed = format!("{} {}", &first[..4], &first[4..]);
    let body = json!({ "code": typed }).to_string();
    let answer = desk.send(phone(asking("POST", "/api/code")).body(body.into()).unwrap()).await;
    assert_eq!(answer.status(), StatusCode::OK);
    let cookie = answer.headers()[header::SET_COOKIE].to_str().unwrap().to_owned();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let token = cookie.split(';').next().unwrap();
    let with_cookie = from_phone("/api/desk").header(header::COOKIE, token);
    assert_eq!(status(&desk, with_cookie).await, StatusCode::OK);
    let forged = from_phone("/api/desk").header(header::COOKIE, "vitta=0123");
    assert_eq!(status(&desk, forged).await, StatusCode::UNAUTHORIZED);

    let again = json!({ "code": first }).to_string();
    let again = desk.send(phone(asking("POST", "/api/code")).body(again.into()).unwrap()).await;
    assert_eq!(again.status(), StatusCode::FORBIDDEN, "a code serves one device");
}

#[tokio::test]
async fn after_five_wrong_tries_the_code_is_another() {
    let shown: Arc<Mutex<Vec<String>>> = Arc::default();
    let codes = shown.clone();
    let desk = AtDesk::with(Door::network(move |c| codes.lock().unwrap().push(c.into())).unwrap());
    let code = |at: usize| shown.lock().unwrap()[at].clone();
    let wrong = if code(0) == "00000000" { "00000001" } else { "00000000" };
    for left in (0..5).rev() {
        let (status, said) = desk.post("/api/code", &json!({ "code": wrong })).await;
        assert_eq!(status, StatusCode::FORBIDDEN);
        let said = said["said"].as_str().unwrap();
        assert!(said.contains(&format!("{left} tries")) || left == 0, "{said}");
    }
    assert_eq!(shown.lock().unwrap().len(), 2, "a new code is shown");
    let (status, _) = desk.post("/api/code", &json!({ "code": code(0) })).await;
    assert_eq!(status, StatusCode::FORBIDDEN, "the old code is dead");
    let (status, _) = desk.post("/api/code", &json!({ "code": code(1) })).await;
    assert_eq!(status, StatusCode::OK);
}

#[tokio::test]
async fn no_address_leads_out_of_the_shelf() {
    let desk = AtDesk::new().with_book("Chapel");
    let outside = desk.folder.path().join("secret.json");
    std::fs::write(&outside, "secret").unwrap();
    let paths = [
        "/api/books/..%2Fsecret.json",
        "/api/books/..%2F..%2Fetc%2Fpasswd",
        "/api/books/secret.json",
        "/api/books/%2Ftmp%2Fsecret.json",
        "/api/books/chapel/strip?place=..%2F..%2Fsecret",
        "/..%2Fsecret.json",
        "/../secret.json",
    ];
    for path in paths {
        let response = desk.send(asking("GET", path).body(Body::empty()).unwrap()).await;
        assert!(response.status().is_client_error(), "{path}: {}", response.status());
        let said = String::from_utf8(bytes(response).await).unwrap();
        assert!(!said.contains(desk.folder.path().to_str().unwrap()), "{path}: {said}");
    }
    let name = "../../escaped";
    let (status, begun) =
        desk.put("/api/books/..%2F..%2Fescaped", r#"{"outline":null,"language":"en"}"#).await;
    assert_eq!(status, StatusCode::OK, "{name} is a name like another: {begun}");
    assert!(desk.folder.path().join("books/escaped.json").exists());
    for calendar in ["../secret.json", "/etc/passwd.json", "a\\b.json"] {
        let change = json!({ "at": "/calendar", "before": "general", "value": calendar });
        let (status, said) = desk.post("/api/parish", &change).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{calendar}: {said}");
    }
}

#[tokio::test]
async fn what_is_no_page_of_the_desk_is_said_in_a_sentence() {
    let desk = AtDesk::new();
    let cases = [
        ("GET", "/api/today/tomorrow-ish", "is no date"),
        ("GET", "/api/today/1066-12-25", "1066"),
        ("GET", "/api/books/nothing", "the shelf is empty"),
        ("GET", "/elsewhere", "there is nothing at /elsewhere"),
        ("POST", "/api/parish", "not understood"),
    ];
    for (method, path, expected) in cases {
        let request = asking(method, path).body(Body::from("{}")).unwrap();
        let (status, said) = json(desk.send(request).await).await;
        assert!(status.is_client_error(), "{path}: {status}");
        assert!(said["said"].as_str().unwrap().contains(expected), "{path}: {said}");
        assert!(said["hint"].is_string(), "{path}: {said}");
    }
}
