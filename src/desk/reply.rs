//! What a request is answered: JSON, bytes, or the sentence and hint of an error.

use super::{Desk, Shared};
use crate::card::Kind;
use crate::error::{DeskFault, Fault, FileFault};
use crate::{Error, Result};
use axum::Json;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::Value;

/// An answer that is no error.
pub(super) enum Reply {
    /// A result.
    Json(Value),
    /// A file, with its kind and, where it is to be kept, its name.
    File { kind: &'static str, name: Option<String>, bytes: Vec<u8> },
    /// Another page changed the same thing meanwhile: what stands there now.
    Conflict(Value),
}

impl Reply {
    /// A result as JSON.
    pub fn json(value: &impl Serialize) -> Result<Reply> {
        let broken = |e: serde_json::Error| {
            let (file, at, said) = ("the result".into(), ".".into(), e.to_string());
            Error::from(FileFault::Malformed { file, at, said })
        };
        Ok(Reply::Json(serde_json::to_value(value).map_err(broken)?))
    }
}

/// The kind of a card's file.
pub(super) fn media(kind: Kind) -> &'static str {
    match kind {
        Kind::Pdf => "application/pdf",
        Kind::Svg => "image/svg+xml",
        Kind::Text => "text/plain; charset=utf-8",
    }
}

/// An error as the page shows it.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Said {
    /// What could not be done, where, found against expected.
    pub said: String,
    /// The next thing to try.
    pub hint: Option<String>,
    /// It is done if the page asks for it once more, and surely.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub ask: bool,
}

impl Said {
    /// The error in words. Files are called by their names: where the shelf lies is nobody's business on
    /// the network.
    pub fn of(error: &Error, desk: &Desk) -> Self {
        let folder = format!("{}{}", desk.shelf.address().display(), std::path::MAIN_SEPARATOR);
        let plain = |text: String| text.replace(&folder, "");
        let ask = matches!(error.fault(), Fault::Book(fault) if fault.is_question());
        Said { said: plain(error.whole()), hint: error.hint().map(plain), ask }
    }
}

fn status(error: &Error) -> StatusCode {
    match error.fault() {
        Fault::Desk(DeskFault::OtherHost { .. }) => StatusCode::MISDIRECTED_REQUEST,
        Fault::Desk(DeskFault::OtherSite { .. } | DeskFault::WrongCode { .. }) => {
            StatusCode::FORBIDDEN
        }
        Fault::Desk(DeskFault::NoCode) => StatusCode::UNAUTHORIZED,
        Fault::Desk(DeskFault::TooLarge { .. }) => StatusCode::PAYLOAD_TOO_LARGE,
        Fault::Desk(DeskFault::TooMany { .. }) => StatusCode::TOO_MANY_REQUESTS,
        Fault::Desk(DeskFault::Busy { .. } | DeskFault::Conflict) => StatusCode::CONFLICT,
        Fault::Book(fault) if fault.is_question() => StatusCode::CONFLICT,
        Fault::Desk(DeskFault::Broken)
        | Fault::File(FileFault::Unreadable(_) | FileFault::Unwritable(_)) => {
            StatusCode::INTERNAL_SERVER_ERROR
        }
        Fault::Desk(DeskFault::Nowhere { .. })
        | Fault::File(FileFault::NoSuchBook { .. } | FileFault::Missing(_)) => {
            StatusCode::NOT_FOUND
        }
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

/// The answer to a request that was refused.
pub(super) fn refusal(error: &Error, desk: &Desk) -> Response {
    (status(error), Json(Said::of(error, desk))).into_response()
}

/// The answer to a result.
pub(super) fn answer(result: Result<Reply>, desk: &Desk) -> Response {
    match result {
        Ok(Reply::Json(value)) => Json(value).into_response(),
        Ok(Reply::File { kind, name, bytes }) => {
            let mut response = ([(header::CONTENT_TYPE, kind)], bytes).into_response();
            let keep = name.map(|n| format!("attachment; filename=\"{n}\""));
            if let Some(Ok(keep)) = keep.map(|k| k.parse()) {
                response.headers_mut().insert(header::CONTENT_DISPOSITION, keep);
            }
            response
        }
        Ok(Reply::Conflict(theirs)) => {
            let Said { said, hint, .. } = Said::of(&DeskFault::Conflict.into(), desk);
            let body = serde_json::json!({ "said": said, "hint": hint, "theirs": theirs });
            (StatusCode::CONFLICT, Json(body)).into_response()
        }
        Err(error) => refusal(&error, desk),
    }
}

/// Does `work` on a thread of its own, so that a long one keeps nobody waiting, and answers with it.
pub(super) async fn work(
    desk: Shared,
    work: impl FnOnce(&Desk) -> Result<Reply> + Send + 'static,
) -> Response {
    let at_work = desk.clone();
    let done = tokio::task::spawn_blocking(move || work(&at_work)).await;
    answer(done.unwrap_or_else(|_| Err(DeskFault::Broken.into())), &desk)
}
