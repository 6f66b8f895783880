//! Who may ask: the host and the site a request names, and on the network a code.
//!
//! - *Host* (against DNS rebinding): a name other than `localhost` is refused, since a stranger's name
//!   can be pointed at this machine; an address cannot.
//! - *Origin, Sec-Fetch-Site* (against other sites' pages): a request that another site's page made is
//!   refused, and every writing request carries the header `x-desk`, which such a page cannot send
//!   unasked (Fetch Standard, CORS-safelisted request-header).
//! - *Code*: a device on the network types the code that the terminal shows and gets a cookie; a code
//!   serves one device, and after a few wrong tries a new one is made.

use super::reply::{Reply, answer, refusal};
use super::{Desk, Shared, not_understood};
use crate::error::DeskFault;
use crate::{Error, Result};
use axum::body::Bytes;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::Response;
use serde::Deserialize;
use std::net::{IpAddr, SocketAddr};
use std::sync::Mutex;

/// Wrong tries before a code is replaced: with eight digits a guess succeeds once in ten million codes.
const TRIES: u8 = 5;
/// How long a device stays known, in seconds: a working day.
const KNOWN_FOR: u32 = 12 * 60 * 60;

/// Who may come in.
pub struct Door {
    network: Option<Network>,
}

/// The door to the network.
struct Network {
    /// Shows a new code to whoever sits at the terminal.
    show: Box<dyn Fn(&str) + Send + Sync>,
    state: Mutex<Keys>,
}

/// The code that is good now and the devices let in.
struct Keys {
    code: String,
    left: u8,
    tokens: Vec<String>,
}

impl Door {
    /// Only this machine, without a code.
    pub fn loopback() -> Self {
        Door { network: None }
    }

    /// The network too, with a code that `show` is given, now and whenever it changes.
    pub fn network(show: impl Fn(&str) + Send + Sync + 'static) -> Result<Self> {
        let code = new_code()?;
        show(&code);
        let state = Mutex::new(Keys { code, left: TRIES, tokens: Vec::new() });
        Ok(Door { network: Some(Network { show: Box::new(show), state }) })
    }

    /// Whether devices on the network may come in.
    pub fn is_open(&self) -> bool {
        self.network.is_some()
    }

    fn host(&self, host: &str) -> bool {
        let name = match host.rsplit_once(':') {
            Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
            _ => host,
        };
        let name = name.trim_start_matches('[').trim_end_matches(']');
        match name.parse::<IpAddr>() {
            Ok(address) => address.is_loopback() || self.is_open(),
            Err(_) => name.eq_ignore_ascii_case("localhost"),
        }
    }
}

impl Network {
    fn knows(&self, headers: &HeaderMap) -> bool {
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|c| c.to_str().ok());
        let mut tokens =
            cookies.flat_map(|c| c.split("; ")).filter_map(|c| c.strip_prefix("vitta="));
        let keys = self.keys();
        tokens.any(|token| keys.tokens.iter().any(|known| known == token))
    }

    fn keys(&self) -> std::sync::MutexGuard<'_, Keys> {
        self.state.lock().unwrap_or_else(|broken| broken.into_inner())
    }

    /// A token for the device that typed the code.
    fn enter(&self, typed: &str) -> Result<String> {
        let digits: String = typed.chars().filter(char::is_ascii_digit).collect();
        let mut keys = self.keys();
        if digits != keys.code {
            keys.left -= 1;
            let left = keys.left;
            if left == 0 {
                self.renew(&mut keys)?;
            }
            return Err(DeskFault::WrongCode { left }.into());
        }
        let token: String = random::<16>()?.iter().map(|b| format!("{b:02x}")).collect();
        keys.tokens.push(token.clone());
        self.renew(&mut keys)?;
        Ok(token)
    }

    fn renew(&self, keys: &mut Keys) -> Result<()> {
        keys.code = new_code()?;
        keys.left = TRIES;
        (self.show)(&keys.code);
        Ok(())
    }
}

fn random<const N: usize>() -> Result<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes)
        .map_err(|e| Error::from(DeskFault::NoRandomness).because(e.to_string()))?;
    Ok(bytes)
}

/// Eight digits.
fn new_code() -> Result<String> {
    Ok(format!("{:08}", u64::from_le_bytes(random()?) % 100_000_000))
}

/// Lets a request in or refuses it, and gives every answer its protecting headers.
pub(super) async fn guard(State(desk): State<Shared>, request: Request, next: Next) -> Response {
    let mut response = match check(&desk, &request) {
        Ok(()) => in_our_words(next.run(request).await, &desk).await,
        Err(error) => refusal(&error, &desk),
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// What the router itself refuses, an address with broken letters or a way of asking that is not known there, it
/// says in its own words or none; here it gets a sentence and a hint like every other refusal.
async fn in_our_words(response: Response, desk: &Desk) -> Response {
    let json = HeaderValue::from_static("application/json");
    let status = response.status();
    if !status.is_client_error() || response.headers().get(header::CONTENT_TYPE) == Some(&json) {
        return response;
    }
    let said = axum::body::to_bytes(response.into_body(), 10_000).await.unwrap_or_default();
    let said = match String::from_utf8_lossy(&said).trim() {
        "" => status.canonical_reason().unwrap_or("no reason is known").to_lowercase(),
        said => said.to_owned(),
    };
    let mut refused = refusal(&not_understood(said), desk);
    *refused.status_mut() = status;
    refused
}

const HEADERS: [(HeaderName, &str); 5] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; \
         connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; \
         frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
];

fn check(desk: &Desk, request: &Request) -> Result<()> {
    let headers = request.headers();
    let text = |name: HeaderName| headers.get(name).and_then(|v| v.to_str().ok());
    let host = text(header::HOST).unwrap_or("");
    if !desk.door.host(host) {
        return Err(DeskFault::OtherHost { found: host.to_owned() }.into());
    }
    let path = request.uri().path();
    same_site(request, host, path)?;
    let Some(network) = &desk.door.network else { return Ok(()) };
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>();
    let here = peer.is_some_and(|peer| peer.0.ip().is_loopback());
    let open = !path.starts_with("/api/") || path == "/api/code";
    if open || here || network.knows(headers) { Ok(()) } else { Err(DeskFault::NoCode.into()) }
}

fn same_site(request: &Request, host: &str, path: &str) -> Result<()> {
    let headers = request.headers();
    let text = |name: HeaderName| headers.get(name).and_then(|v| v.to_str().ok());
    let other = |found: &str| Err(DeskFault::OtherSite { found: found.to_owned() }.into());
    if let Some(origin) = text(header::ORIGIN).filter(|o| *o != format!("http://{host}")) {
        return other(origin);
    }
    let from = text(HeaderName::from_static("sec-fetch-site"));
    let foreign = from.filter(|f| !matches!(*f, "same-origin" | "none"));
    match foreign {
        Some(foreign) if path.starts_with("/api/") => return other(foreign),
        _ => {}
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !headers.contains_key("x-desk") {
        return other("a form or a page of another program");
    }
    Ok(())
}

#[derive(Deserialize)]
struct Typed {
    code: String,
}

/// A device gives the code and gets its cookie.
pub(super) async fn code(State(desk): State<Shared>, body: Bytes) -> Response {
    let token = parse::<Typed>(&body).and_then(|typed| match &desk.door.network {
        Some(network) => network.enter(&typed.code).map(Some),
        None => Ok(None),
    });
    match token {
        Err(error) => {
            // Slow enough that trying is hopeless, too short for a person to notice.
            tokio::time::sleep(std::time::Duration::from_millis(400)).await;
            refusal(&error, &desk)
        }
        Ok(token) => {
            let mut response = answer(Ok(Reply::Json(serde_json::json!({}))), &desk);
            let cookie = token.map(|token| {
                format!("vitta={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={KNOWN_FOR}")
            });
            if let Some(Ok(cookie)) = cookie.map(|c| c.parse()) {
                response.headers_mut().insert(header::SET_COOKIE, cookie);
            }
            response
        }
    }
}

/// The JSON of a request; what is wrong with it is said with its path.
pub(super) fn parse<T: serde::de::DeserializeOwned>(body: &[u8]) -> Result<T> {
    let mut json = serde_json::Deserializer::from_slice(body);
    serde_path_to_error::deserialize(&mut json)
        .map_err(|e| not_understood(format!("at {}: {}", e.path(), e.inner())))
}
