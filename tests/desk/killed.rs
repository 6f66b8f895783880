//! A desk that is killed in the middle of its work.

use super::{book, place};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use vitta::book::Said;
use vitta::shelf::Shelf;

/// The program itself, with the port it listens at.
fn open(shelf: &std::path::Path) -> (Child, u16) {
    let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let mut desk = Command::new(env!("CARGO_BIN_EXE_vitta"))
        .args(["desk", "--port", &free.to_string()])
        .env("VITTA_SHELF", shelf)
        .env("OMP_THREAD_LIMIT", "1")
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(desk.stdout.take().unwrap()).read_line(&mut line).unwrap();
    assert_eq!(line, format!("The desk is open at http://127.0.0.1:{free}/\n"));
    (desk, free)
}

/// Sends a word without waiting for the answer.
fn send(port: u16, place: &str, page: u32, before: Option<u32>) -> TcpStream {
    let said = |page: u32| format!("{{\"page\":\"{page}\"}}");
    let before = before.map_or("null".to_owned(), said);
    let body = format!("{{\"place\":\"{place}\",\"said\":{},\"before\":{before}}}", said(page));
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    write!(
        stream,
        "POST /api/books/chapel/word HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nx-desk: 1\r\n\
         Connection: close\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    )
    .unwrap();
    stream
}

/// After a kill at any moment the book is whole and has every word that was answered, and of the one in
/// flight either nothing or all.
#[test]
fn a_kill_at_any_moment_loses_at_most_the_word_in_flight() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::at(folder.path());
    shelf.put(&book("Chapel")).unwrap();
    let text = "time/lent/ash-wednesday";
    let mut known = None;
    for (round, delay) in [0, 5, 15, 30, 60, 120].into_iter().enumerate() {
        let (mut desk, port) = open(folder.path());
        let answered = 100 + 2 * round as u32;
        let mut answer = String::new();
        send(port, text, answered, known).read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        let in_flight = send(port, text, answered + 1, Some(answered));
        std::thread::sleep(Duration::from_millis(delay));
        desk.kill().unwrap();
        desk.wait().unwrap();
        drop(in_flight);
        let said = shelf.open("chapel").unwrap().entry(&place(text)).unwrap().said.clone();
        let Some(Said::Page(page)) = said else { panic!("killed after {delay} ms: {said:?}") };
        let page = page.parse().unwrap();
        assert!([answered, answered + 1].contains(&page), "killed after {delay} ms: {page}");
        known = Some(page);
    }
}
