//! What the browser loads, compiled in.

use super::Shared;
use super::reply::refusal;
use crate::error::DeskFault;
use axum::extract::State;
use axum::http::{Uri, header};
use axum::response::{IntoResponse, Response};

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const FONT: &str = "font/ttf";

/// Address, kind and content of each file.
const FILES: &[(&str, &str, &[u8])] = &[
    ("/", HTML, include_bytes!("page/desk.html")),
    ("/desk.css", CSS, include_bytes!("page/desk.css")),
    ("/print.css", CSS, include_bytes!("page/print.css")),
    ("/desk.js", SCRIPT, include_bytes!("page/desk.js")),
    ("/ask.js", SCRIPT, include_bytes!("page/ask.js")),
    ("/book.js", SCRIPT, include_bytes!("page/book.js")),
    ("/draw.js", SCRIPT, include_bytes!("page/draw.js")),
    ("/edge.js", SCRIPT, include_bytes!("page/edge.js")),
    ("/parish.js", SCRIPT, include_bytes!("page/parish.js")),
    ("/ribbons.js", SCRIPT, include_bytes!("page/ribbons.js")),
    ("/review.js", SCRIPT, include_bytes!("page/review.js")),
    ("/today.js", SCRIPT, include_bytes!("page/today.js")),
    ("/week.js", SCRIPT, include_bytes!("page/week.js")),
    ("/words.js", SCRIPT, include_bytes!("page/words.js")),
    ("/icon.svg", "image/svg+xml", include_bytes!("page/icon.svg")),
    ("/desk.webmanifest", "application/manifest+json", include_bytes!("page/desk.webmanifest")),
    ("/medium.ttf", FONT, include_bytes!("../data/fonts/ebgaramond-medium.ttf")),
    ("/bold.ttf", FONT, include_bytes!("../data/fonts/ebgaramond-bold.ttf")),
    ("/italic.ttf", FONT, include_bytes!("../data/fonts/ebgaramond-medium-italic.ttf")),
];

/// The file at the address asked for.
pub(super) async fn file(State(desk): State<Shared>, uri: Uri) -> Response {
    match FILES.iter().find(|(path, _, _)| *path == uri.path()) {
        Some((path, kind, bytes)) => {
            // Fonts never change under one version; the rest is asked for anew each time.
            let keep = if path.ends_with(".ttf") { "max-age=86400" } else { "no-cache" };
            ([(header::CONTENT_TYPE, *kind), (header::CACHE_CONTROL, keep)], *bytes).into_response()
        }
        None => refusal(&DeskFault::Nowhere { path: uri.path().to_owned() }.into(), &desk),
    }
}
