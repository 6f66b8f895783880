//! A shelf in a bucket, on a server that speaks S3: what parishes that share it may rely on.
//!
//! The server is moto, a program apart from ours that `.ci/tests` installs; it answers one request after the
//! other, so that its conditional writes are whole.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Output, Stdio};
use std::sync::OnceLock;
use vitta::book::{Book, Change};

/// The version that `.ci/tests` installs.
const VERSION: &str = "5.2.5";

/// Ends with the process that holds its input open.
const SERVER: &str = r#"
import os, sys, threading
from moto.server import DomainDispatcherApplication, create_backend_app
from werkzeug.serving import make_server
server = make_server("127.0.0.1", 0, DomainDispatcherApplication(create_backend_app))
print(server.port, flush=True)
threading.Thread(target=lambda: (sys.stdin.read(), os._exit(0)), daemon=True).start()
server.serve_forever()
"#;

/// A request as signed as the server wants it.
const SIGNED: &str = "Authorization: AWS4-HMAC-SHA256 Credential=a/20260101/us-east-1/s3/aws4_request, \
                      SignedHeaders=host, Signature=0\r\n";

struct Server {
    port: u16,
    _process: Child,
}

fn server() -> &'static Server {
    static SERVER_OF_ALL: OnceLock<Server> = OnceLock::new();
    SERVER_OF_ALL.get_or_init(|| {
        let cache = std::env::var_os("XDG_CACHE_HOME").map(PathBuf::from);
        let cache =
            cache.unwrap_or_else(|| PathBuf::from(std::env::var("HOME").unwrap()).join(".cache"));
        let python = cache.join(format!("vitta/moto-{VERSION}/bin/python"));
        let mut process = Command::new(&python)
            .args(["-c", SERVER])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|e| panic!("{}: {e}; sh .ci/tests installs it", python.display()));
        let mut line = String::new();
        BufReader::new(process.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let server = Server { port: line.trim().parse().unwrap(), _process: process };
        assert!(server.ask("PUT", "/parishes", "", "").starts_with("HTTP/1.0 200"));
        server
    })
}

impl Server {
    fn ask(&self, method: &str, path: &str, headers: &str, body: &str) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n{SIGNED}{headers}\
             Content-Length: {}\r\n\r\n{body}",
            body.len()
        )
        .unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// The paths of the files under a prefix.
    fn files(&self, prefix: &str) -> Vec<String> {
        let listed = self.ask("GET", &format!("/parishes?list-type=2&prefix={prefix}"), "", "");
        let keys = listed.split("<Key>").skip(1);
        keys.filter_map(|key| Some(key.split_once("</Key>")?.0.to_owned())).collect()
    }

    fn vitta(&self, parish: &str, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_vitta"));
        command
            .args(words)
            .env("VITTA_SHELF", format!("s3://parishes/{parish}"))
            .env("AWS_ENDPOINT_URL", format!("http://127.0.0.1:{}", self.port))
            .env("AWS_ACCESS_KEY_ID", "sacristy")
            .env("AWS_SECRET_ACCESS_KEY", "invented")
            .env("OMP_THREAD_LIMIT", "1");
        command
    }

    fn done(&self, parish: &str, words: &[&str]) -> String {
        let Output { status, stdout, stderr } = self.vitta(parish, words).output().unwrap();
        let said = String::from_utf8_lossy(&stderr);
        assert_eq!(status.code(), Some(0), "{words:?}: {said}");
        String::from_utf8(stdout).unwrap()
    }

    /// The book as it stands in the bucket.
    fn book(&self, parish: &str, name: &str) -> Book {
        let got = self.ask("GET", &format!("/parishes/{parish}/books/{name}.json"), "", "");
        let (_, body) = got.split_once("\r\n\r\n").unwrap();
        vitta::format::parse(body, "the bucket".as_ref()).unwrap()
    }
}

/// A book's file as another parish gives it.
fn shared_book(folder: &tempfile::TempDir) -> String {
    shared("Chapel", folder)
}

fn shared(name: &str, folder: &tempfile::TempDir) -> String {
    let file = folder.path().join(format!("{name}.json"));
    vitta::format::write(&crate::desk::book(name).to_share(), &file).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn the_server_honours_conditional_writes() {
    let put = |condition: &str| server().ask("PUT", "/parishes/condition", condition, "text");
    assert!(put("If-None-Match: *\r\n").starts_with("HTTP/1.0 200"));
    assert!(put("If-None-Match: *\r\n").starts_with("HTTP/1.0 412"));
    assert!(put("If-Match: \"of another state\"\r\n").starts_with("HTTP/1.0 412"));
}

#[test]
fn a_parish_keeps_everything_in_its_part_of_a_bucket() {
    let (server, folder) = (server(), tempfile::tempdir().unwrap());
    let file = shared_book(&folder);
    server.done("st-agnes", &["book", "import", &file, "--name", "chapel"]);
    server.done("st-agnes", &["parish", "set", "--name", "Saint Agnes", "--chair-book", "chapel"]);
    server.done("st-agnes", &["book", "set", "chapel", "time/lent/week-2/thursday", "231"]);
    server.done("st-agnes", &["book", "marks", "chapel", "--ribbons", "red,gold"]);
    server.done("st-blaise", &["parish", "set", "--name", "Saint Blaise"]);
    assert_eq!(
        server.files("st-agnes"),
        ["st-agnes/books/chapel.json", "st-agnes/parish.json"],
        "nothing else, least of all a lock"
    );
    assert!(server.done("st-agnes", &["parish", "show"]).contains("Saint Agnes"));
    assert!(server.done("st-blaise", &["parish", "show"]).contains("Saint Blaise"));
    assert!(server.done("st-agnes", &["book", "list"]).starts_with("chapel"));
    assert_eq!(server.done("st-blaise", &["book", "list"]), "");
    let history = server.done("st-agnes", &["book", "show", "chapel", "--history"]);
    assert!(history.contains("time/lent/week-2/thursday"), "{history}");
    let card =
        server.vitta("st-agnes", &["lay", "2027-03-11", "--book", "chapel"]).output().unwrap();
    assert!(String::from_utf8_lossy(&card.stdout).contains("RIBBONS"));
    // The ribbons, then the page.
    server.done("st-agnes", &["book", "undo", "chapel"]);
    server.done("st-agnes", &["book", "undo", "chapel"]);
    let entry = vitta::place::Place::new("time/lent/week-2/thursday").unwrap();
    assert_eq!(server.book("st-agnes", "chapel").entry(&entry).unwrap().said, None);
}

#[test]
fn a_calendar_of_the_parish_is_found_in_the_bucket() {
    let (server, layers) = (server(), include_str!("../src/data/calendars/ireland.json"));
    let own = layers.replacen("\"ireland\"", "\"our-diocese\"", 1);
    assert!(server.ask("PUT", "/parishes/st-cuan/own.json", "", &own).starts_with("HTTP/1.0 200"));
    server.done("st-cuan", &["parish", "set", "--calendar", "own.json"]);
    assert!(server.done("st-cuan", &["day", "2027-03-17"]).to_uppercase().contains("PATRICK"));
    let missing = server.vitta("st-cuan", &["parish", "set", "--calendar", "none.json"]).output();
    let missing = missing.unwrap();
    let said = String::from_utf8(missing.stderr).unwrap();
    assert_eq!(missing.status.code(), Some(2));
    assert!(said.contains("s3://parishes/st-cuan/none.json is not there"), "{said}");
}

/// Each of the writers reads the book, changes it and writes it; all at once.
#[test]
fn of_many_writers_at_once_none_undoes_what_another_did() {
    let (server, folder) = (server(), tempfile::tempdir().unwrap());
    let file = shared_book(&folder);
    server.done("at-once", &["book", "import", &file, "--name", "chapel"]);
    let days = ["sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];
    let writers: Vec<Child> = days
        .iter()
        .map(|day| {
            let place = format!("time/lent/week-2/{day}");
            let words = ["book", "set", "chapel", &place, "231"];
            server.vitta("at-once", &words).stdout(Stdio::null()).spawn().unwrap()
        })
        .collect();
    for mut writer in writers {
        assert_eq!(writer.wait().unwrap().code(), Some(0));
    }
    let history = server.book("at-once", "chapel").history;
    for day in days {
        let spoken = |step: &&vitta::book::Step| matches!(&step.what, Change::Word { place, .. } if place.as_str().ends_with(day));
        assert_eq!(history.iter().filter(spoken).count(), 1, "{day}: {history:?}");
    }
}

#[test]
fn of_two_that_begin_a_book_at_once_the_second_is_told() {
    let (server, folder) = (server(), tempfile::tempdir().unwrap());
    let begin = |from| {
        let file = shared(from, &folder);
        let words = ["book", "import", &file, "--name", "chapel"];
        server.vitta("two", &words).stderr(Stdio::piped()).spawn().unwrap()
    };
    let both = ["Sacristy", "Crypt"].map(begin);
    let ended: Vec<Output> = both.into_iter().map(|b| b.wait_with_output().unwrap()).collect();
    let refused: Vec<&Output> = ended.iter().filter(|o| o.status.code() == Some(2)).collect();
    assert_eq!(refused.len(), 1, "{ended:?}");
    let said = String::from_utf8_lossy(&refused[0].stderr);
    assert!(said.contains("a book called \"chapel\" is on the shelf already"), "{said}");
}

#[test]
fn a_photograph_is_kept_beside_its_book() {
    let (server, folder) = (server(), tempfile::tempdir().unwrap());
    let photo = crate::many::photograph(folder.path(), "index.jpg", 0);
    let words = ["read", photo.to_str().unwrap(), "--outline", "none", "--book", "chapel"];
    let read = server.vitta("photographs", &words).output().unwrap();
    assert_ne!(read.status.code(), Some(2), "{}", String::from_utf8_lossy(&read.stderr));
    assert_eq!(
        server.files("photographs"),
        ["photographs/books/chapel.json", "photographs/photographs/chapel/index-jpg.jpg"]
    );
}

#[test]
fn a_server_that_is_not_there_is_one_sentence() {
    let closed = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let mut command = server().vitta("nowhere", &["parish", "show"]);
    let told =
        command.env("AWS_ENDPOINT_URL", format!("http://127.0.0.1:{closed}")).output().unwrap();
    let said = String::from_utf8(told.stderr).unwrap();
    assert_eq!(told.status.code(), Some(2), "{said}");
    assert!(
        said.starts_with("vitta: s3://parishes/nowhere/parish.json cannot be reached ("),
        "{said}"
    );
    let lines: Vec<&str> = said.lines().collect();
    assert!(lines.len() == 2 && lines[1].starts_with("hint: check the network"), "{said}");
    assert_eq!(lines[0].matches("Error performing GET").count(), 1, "said twice: {said}");
}

#[test]
fn an_address_without_a_bucket_is_refused() {
    for address in ["s3://", "s3:///st-agnes"] {
        let mut command = server().vitta("", &["parish", "show"]);
        let told = command.env("VITTA_SHELF", address).output().unwrap();
        let said = String::from_utf8(told.stderr).unwrap();
        assert_eq!(told.status.code(), Some(2), "{said}");
        assert!(said.contains("expected s3://BUCKET/PREFIX"), "{address}: {said}");
    }
}
