//! What the desk answers, and what its changes leave on the shelf.

use super::{AtDesk, asking, book, bytes, place};
use axum::body::Body;
use axum::http::{StatusCode, header};
use serde_json::{Value, json};
use vitta::book::{Book, Said, State};

/// The First Sunday of Advent 2026.
const SUNDAY: &str = "/api/today/2026-11-29?book=chapel";

/// The text and page at a moment of the card.
fn step(today: &Value, moment: &str) -> (String, String) {
    let steps = today["card"]["steps"].as_array().unwrap();
    let is =
        |s: &&Value| s["moment"].as_str().unwrap().starts_with(moment) && s["page"].is_string();
    let step = steps.iter().find(is).unwrap_or_else(|| panic!("no {moment}: {steps:#?}"));
    let text = |field: &str| step[field].as_str().unwrap_or_default().to_owned();
    (format!("{}{}", text("moment"), text("text")), text("page"))
}

#[tokio::test]
async fn a_day_has_its_celebration_its_ribbons_and_its_service() {
    let desk = AtDesk::new().with_book("Chapel");
    let (status, today) = desk.get(SUNDAY).await;
    assert_eq!(status, StatusCode::OK, "{today}");
    assert_eq!(today["celebration"], "First Sunday of Advent");
    assert_eq!(today["colour"], "violet");
    assert_eq!(step(&today, "Collect").1, "21");
    assert_eq!(step(&today, "Preface").1, "433");
    assert_eq!(step(&today, "Eucharistic Prayer").1, "544");
    let edge = &today["edges"][0];
    let ribbons = edge["ribbons"].as_array().unwrap();
    assert!(!ribbons.is_empty() && ribbons.len() <= 4);
    for ribbon in ribbons {
        let at = ribbon["at"].as_f64().unwrap();
        assert!((0.0..=1.0).contains(&at), "{ribbon}");
        assert!(ribbon["dye"].as_str().unwrap().starts_with('#'), "{ribbon}");
    }
    let (_, spanish) = desk.get(&format!("{SUNDAY}&lang=es")).await;
    assert_eq!(spanish["celebration"], "Domingo I de Adviento");
}

#[tokio::test]
async fn a_day_without_a_book_still_has_its_texts() {
    let (status, today) = AtDesk::new().get("/api/today/2026-11-29").await;
    assert_eq!(status, StatusCode::OK);
    assert!(today["card"].is_null() && today["trouble"].is_null());
    assert!(today["texts"].as_array().unwrap().iter().any(|t| t["moment"] == "Collect"));
}

#[tokio::test]
async fn the_evening_before_a_sunday_has_the_sundays_mass() {
    let desk = AtDesk::new().with_book("Chapel");
    let (_, today) = desk.get("/api/today/2026-11-28?book=chapel").await;
    assert_eq!(today["evening_mass"]["title"], "First Sunday of Advent");
    let (_, evening) = desk.get("/api/today/2026-11-28?book=chapel&evening=true").await;
    assert_eq!(evening["celebration"], "First Sunday of Advent");
    assert_eq!(evening["of"], "2026-11-29");
    assert_eq!(evening["card"]["date"], "Saturday 28 November 2026, evening");
    assert_eq!(step(&evening, "Collect").1, "21");
}

/// A change goes to the parish's file and the plan follows; against a rule it is followed and said.
#[tokio::test]
async fn a_choice_for_the_day_is_kept_and_planned() {
    let desk = AtDesk::new().with_book("Chapel");
    let choose = |field: &str, value: Value| json!({ "at": format!("/settings/days/2026-11-29/{field}"), "before": null, "value": value });
    let (status, _) = desk.post("/api/parish", &choose("prayer", json!("order/prayer/1"))).await;
    assert_eq!(status, StatusCode::OK);
    let (_, today) = desk.get(SUNDAY).await;
    assert_eq!(step(&today, "Eucharistic Prayer").0, "Eucharistic Prayer I, or The Roman Canon");
    let (_, other) = desk.get("/api/today/2026-12-06?book=chapel").await;
    assert!(step(&other, "Eucharistic Prayer").0.ends_with("III"), "only that day");
    let (status, _) = desk.post("/api/parish", &choose("set/gloria", json!(true))).await;
    assert_eq!(status, StatusCode::OK);
    let (_, today) = desk.get(SUNDAY).await;
    assert!(today["reasons"].to_string().contains("Against the rule"), "{}", today["reasons"]);
    let forget =
        json!({ "at": "/settings/days/2026-11-29", "before": today["choices"], "value": null });
    assert_eq!(desk.post("/api/parish", &forget).await.0, StatusCode::OK);
    assert!(desk.shelf().parish().unwrap().settings.days.is_empty());
}

#[tokio::test]
async fn a_choice_that_no_service_can_have_is_refused_and_nothing_is_kept() {
    let desk = AtDesk::new();
    for (field, value) in [
        ("prayer", json!("order/preface/lent-1")),
        ("preface", json!("no/such/place")),
        ("mass", json!("Not A Place")),
        ("collect", json!("no/such/place")),
        ("set/nonsense", json!(true)),
        ("unknown", json!(1)),
    ] {
        let change = json!({ "at": format!("/settings/days/2026-11-29/{field}"), "before": null, "value": value });
        let (status, said) = desk.post("/api/parish", &change).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {said}");
        assert!(!desk.shelf().parish_file().exists(), "{field} was kept");
    }
}

#[tokio::test]
async fn two_pages_that_change_one_habit_meet() {
    let desk = AtDesk::new();
    let change = |before: &str, value: &str| json!({ "at": "/settings/weekday_prayer", "before": before, "value": value });
    let first = change("order/prayer/2", "order/prayer/3");
    assert_eq!(desk.post("/api/parish", &first).await.0, StatusCode::OK);
    let (status, said) =
        desk.post("/api/parish", &change("order/prayer/2", "order/prayer/1")).await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert_eq!(said["theirs"], "order/prayer/3");
    let kept = desk.shelf().parish().unwrap().settings.weekday_prayer;
    assert_eq!(kept.as_str(), "order/prayer/3");
}

#[tokio::test]
async fn the_card_is_a_pdf_and_a_picture() {
    let desk = AtDesk::new().with_book("Chapel");
    for (file, kind, start) in
        [("card-a5.pdf", "application/pdf", "%PDF-"), ("card-a6.svg", "image/svg+xml", "<svg ")]
    {
        let path = format!("/api/today/2026-11-29/{file}?book=chapel");
        let response = desk.send(asking("GET", &path).body(Body::empty()).unwrap()).await;
        assert_eq!(response.headers()[header::CONTENT_TYPE], kind);
        assert!(bytes(response).await.starts_with(start.as_bytes()));
    }
    let (status, said) = desk.get("/api/today/2026-11-29/card-a3.pdf?book=chapel").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(said["said"].as_str().unwrap().contains("a3"), "{said}");
}

fn word(path: &str, said: Value, before: Value) -> Value {
    json!({ "place": path, "said": said, "before": before })
}

fn said(desk: &AtDesk, path: &str) -> Option<Said> {
    desk.shelf().open("chapel").unwrap().entry(&place(path)).unwrap().said.clone()
}

/// Each page's correction stays: of one text they meet, of two texts neither is lost.
#[tokio::test]
async fn two_pages_lose_no_correction() {
    let desk = AtDesk::new().with_book("Chapel");
    let lent = "time/lent/ash-wednesday";
    let path = "/api/books/chapel/word";
    let (status, _) = desk.post(path, &word(lent, json!({"page": "80"}), Value::Null)).await;
    assert_eq!(status, StatusCode::OK);
    let (status, theirs) = desk.post(path, &word(lent, json!({"page": "90"}), Value::Null)).await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert_eq!(theirs["theirs"], json!({"page": "80"}));
    assert_eq!(said(&desk, lent), Some(Said::Page("80".into())));
    let easter = "time/easter/sunday";
    let (status, _) = desk.post(path, &word(easter, json!({"page": "220"}), Value::Null)).await;
    assert_eq!(status, StatusCode::OK, "another text, seen before the first word");
    assert_eq!(said(&desk, lent), Some(Said::Page("80".into())));
    let again = word(lent, json!({"page": "90"}), json!({"page": "80"}));
    assert_eq!(desk.post(path, &again).await.0, StatusCode::OK, "said again knowing it");
    assert_eq!(said(&desk, lent), Some(Said::Page("90".into())));
}

#[tokio::test]
async fn a_word_moves_its_neighbours_and_undo_brings_them_back() {
    let desk = AtDesk::new().with_book("Chapel");
    let before = desk.shelf().open("chapel").unwrap();
    let (_, review) = desk.get("/api/books/chapel/review").await;
    let steps = review["steps"].as_u64().unwrap();
    let (status, review) = desk
        .post(
            "/api/books/chapel/word",
            &word("time/lent/ash-wednesday", json!({"page": "200"}), Value::Null),
        )
        .await;
    assert_eq!(status, StatusCode::OK);
    assert!(!review["moved"].as_array().unwrap().is_empty());
    assert!(review["last"].as_str().unwrap().ends_with("p. 200"), "{}", review["last"]);
    let late = json!({ "steps": steps });
    assert_eq!(desk.post("/api/books/chapel/undo", &late).await.0, StatusCode::CONFLICT);
    let undo = json!({ "steps": steps + 1 });
    let said = desk.shelf().open("chapel").unwrap();
    assert_eq!(desk.post("/api/books/chapel/undo", &undo).await.0, StatusCode::OK);
    let undone = desk.shelf().open("chapel").unwrap();
    assert_eq!(Book { undone: Vec::new(), ..undone }, before);
    let (status, review) = desk.post("/api/books/chapel/redo", &late).await;
    assert_eq!(status, StatusCode::OK, "{review}");
    assert!(review["next"].is_null(), "{review}");
    assert_eq!(desk.shelf().open("chapel").unwrap(), said);
}

/// A page far out of order is asked about once; asked again and surely it is believed. So is a whole reading that is
/// to be undone.
#[tokio::test]
async fn what_is_seldom_meant_is_asked_about_once() {
    let desk = AtDesk::new().with_book("Chapel");
    let path = "/api/books/chapel/word";
    let mut far = word("time/lent/ash-wednesday", json!({"page": "3331"}), Value::Null);
    let (status, asked) = desk.post(path, &far).await;
    assert_eq!((status, &asked["ask"]), (StatusCode::CONFLICT, &json!(true)), "{asked}");
    far["sure"] = json!(true);
    assert_eq!(desk.post(path, &far).await.0, StatusCode::OK);
    let list = vitta::text::Reading {
        file: "list.jpg".into(),
        rows: Vec::new(),
        crossrefs: Vec::new(),
        notices: Vec::new(),
    };
    let (book, ()) = desk
        .shelf()
        .change("chapel", |book| {
            book.read(std::slice::from_ref(&list), "2026-11-28");
            Ok(())
        })
        .unwrap();
    let mut undo = json!({ "steps": book.history.len() });
    let (status, asked) = desk.post("/api/books/chapel/undo", &undo).await;
    assert_eq!((status, &asked["ask"]), (StatusCode::CONFLICT, &json!(true)), "{asked}");
    undo["sure"] = json!(true);
    assert_eq!(desk.post("/api/books/chapel/undo", &undo).await.0, StatusCode::OK);
    assert!(desk.shelf().open("chapel").unwrap().readings.is_empty());
}

#[tokio::test]
async fn photographs_are_taken_away_and_books_renamed_put_away_and_brought_back() {
    let desk = AtDesk::new().with_book("Chapel");
    let list = vitta::text::Reading {
        file: "list.jpg".into(),
        rows: Vec::new(),
        crossrefs: Vec::new(),
        notices: Vec::new(),
    };
    desk.shelf()
        .change("chapel", |book| {
            book.read(std::slice::from_ref(&list), "2026-11-28");
            Ok(())
        })
        .unwrap();
    let (_, found) = desk.get("/api/books/chapel/photographs").await;
    assert_eq!(found["read"][0], json!({"photo": "list.jpg", "entries": 0, "kept": false}));
    let again = desk.post("/api/books/chapel/read/list.jpg", &json!({})).await;
    assert_eq!(again.0, StatusCode::NOT_FOUND, "it was not kept: {}", again.1);
    let removed = desk
        .send(asking("DELETE", "/api/books/chapel/read/list.jpg").body(Body::empty()).unwrap())
        .await;
    assert_eq!(removed.status(), StatusCode::OK);
    assert!(desk.shelf().open("chapel").unwrap().readings.is_empty());
    let (status, named) = desk.post("/api/books/chapel/rename", &json!({"to": "The Crypt"})).await;
    assert_eq!((status, &named["file"]), (StatusCode::OK, &json!("the-crypt")), "{named}");
    assert_eq!(desk.post("/api/books/the-crypt/away", &json!({})).await.0, StatusCode::OK);
    let (_, at) = desk.get("/api/desk").await;
    assert_eq!((&at["books"], &at["away"]), (&json!([]), &json!(["the-crypt"])));
    assert_eq!(desk.post("/api/books/the-crypt/back", &json!({})).await.0, StatusCode::OK);
    let (_, at) = desk.get("/api/desk").await;
    assert_eq!((&at["books"][0]["name"], &at["away"]), (&json!("The Crypt"), &json!([])));
}

#[tokio::test]
async fn a_word_that_is_no_page_is_refused() {
    let desk = AtDesk::new().with_book("Chapel");
    let wrong = word("order", json!({"page": "p. twelve"}), json!({"page": "385"}));
    let (status, refused) = desk.post("/api/books/chapel/word", &wrong).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused["said"].as_str().unwrap().contains("p. twelve"), "{refused}");
    assert_eq!(said(&desk, "order"), Some(Said::Page("385".into())));
}

/// The review's first rows are wanted in the coming month, and its looks make that month safe.
#[tokio::test]
async fn the_looks_counted_make_the_month_safe() {
    let desk = AtDesk::new().with_book("Chapel");
    let (_, review) = desk.get("/api/books/chapel/review").await;
    assert!(review["queue"][0]["wanted"].as_f64().unwrap() > 0.0);
    let (_, looks) = desk.get("/api/books/chapel/looks").await;
    let left = looks["left"].as_u64().unwrap();
    assert!(left <= review["unsafe_texts"].as_u64().unwrap());
    let unsafe_now = review["unsafe_texts"].as_u64().unwrap();
    let row = &review["queue"][0];
    let answer = word(row["place"].as_str().unwrap(), json!({"page": row["page"]}), Value::Null);
    let (_, review) = desk.post("/api/books/chapel/word", &answer).await;
    assert!(review["unsafe_texts"].as_u64().unwrap() < unsafe_now);
}

#[tokio::test]
async fn ribbons_are_kept_in_their_order_and_meet() {
    let desk = AtDesk::new().with_book("Chapel");
    let path = "/api/books/chapel/ribbons";
    let had = json!(["red", "green", "gold", "violet"]);
    let change = json!({ "before": had, "value": ["red", "blue"] });
    let (status, book) = desk.post(path, &change).await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(book["ribbons"][1]["colour"], "blue");
    let (status, theirs) = desk.post(path, &json!({ "before": had, "value": ["white"] })).await;
    assert_eq!((status, &theirs["theirs"]), (StatusCode::CONFLICT, &json!(["red", "blue"])));
}

#[tokio::test]
async fn a_book_given_away_comes_in_under_another_name() {
    let desk = AtDesk::new().with_book("Chapel");
    let export = asking("GET", "/api/books/chapel/export").body(Body::empty()).unwrap();
    let shared = bytes(desk.send(export).await).await;
    let import = asking("POST", "/api/books/sacristy/import").body(shared.clone().into()).unwrap();
    assert_eq!(desk.send(import).await.status(), StatusCode::OK);
    let brought = desk.shelf().open("sacristy").unwrap();
    assert!(brought.ribbons.is_empty(), "ribbons belong to a copy");
    assert_eq!(brought.entry(&place("order")).unwrap().page.as_deref(), Some("385"));
    let (_, pairs) = desk.get("/api/books/chapel/compare/sacristy").await;
    assert!(pairs.as_array().unwrap().iter().all(|p| p["old"]["page"] == p["new"]["page"]));
    let import = asking("POST", "/api/books/chapel/import").body(shared.into()).unwrap();
    assert!(desk.send(import).await.status().is_client_error(), "the name is taken");
    assert!(!desk.shelf().open("chapel").unwrap().ribbons.is_empty());
}

#[tokio::test]
async fn photographs_are_refused_before_they_wait() {
    let desk = AtDesk::new().with_book("Chapel");
    let path = "/api/books/chapel/photographs";
    let cases: [(&str, Vec<u8>, &str); 4] = [
        ("notes.txt", b"not a photograph".to_vec(), "plain text"),
        ("empty.jpg", Vec::new(), "empty"),
        (
            "huge.png",
            png_header(60_000, 60_000),
            "60000 × 60000 pixels, expected at most 64 million",
        ),
        ("cut.jpg", cut_off(), "ends before the picture does"),
    ];
    for (file, bytes, expected) in cases {
        let (status, said) = desk.put(&format!("{path}/{file}"), bytes).await;
        assert!(status.is_client_error(), "{file}");
        assert!(said["said"].as_str().unwrap().contains(expected), "{file}: {said}");
    }
    let large =
        asking("PUT", &format!("{path}/large.jpg")).header(header::CONTENT_LENGTH, 41_000_000);
    let (status, said) = super::json(desk.send(large.body(Body::empty()).unwrap()).await).await;
    assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(said["said"], "large.jpg has 41 MB, expected at most 40 MB");
    let (_, list) = desk.get(path).await;
    assert_eq!(list["files"], json!([]));
    let (status, _) = desk.post("/api/books/chapel/read", &json!({})).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "nothing waits");
}

/// Signature and header chunk of a PNG (PNG Specification, 5.2 and 11.2.2), and nothing more.
fn png_header(width: u32, height: u32) -> Vec<u8> {
    let mut chunk = b"IHDR".to_vec();
    chunk.extend(width.to_be_bytes());
    chunk.extend(height.to_be_bytes());
    chunk.extend([8, 2, 0, 0, 0]);
    let crc = chunk.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            if c & 1 == 1 { (c >> 1) ^ 0xEDB8_8320 } else { c >> 1 }
        })
    });
    let mut png = b"\x89PNG\r\n\x1a\n\x00\x00\x00\x0d".to_vec();
    png.extend(chunk);
    png.extend((!crc).to_be_bytes());
    png.extend(b"\x00\x00\x00\x00IDAT");
    png
}

fn cut_off() -> Vec<u8> {
    let whole = std::fs::read("fixtures/photos/catalogue-1849/cat.007.jpg").unwrap();
    whole[..whole.len() / 2].to_vec()
}

/// A phone calls every photograph alike; what waits stays through the end of the program.
#[tokio::test]
async fn photographs_wait_under_names_of_their_own_until_they_are_read() {
    let desk = AtDesk::new().with_book("Chapel");
    let path = "/api/books/chapel/photographs";
    let mut photos = Vec::new();
    for shade in [40, 200] {
        let mut jpeg = Vec::new();
        let picture = image::RgbImage::from_pixel(32, 32, image::Rgb([shade; 3]));
        image::codecs::jpeg::JpegEncoder::new(&mut jpeg).encode_image(&picture).unwrap();
        photos.push(jpeg);
    }
    for photo in [&photos[0], &photos[1], &photos[0]] {
        assert_eq!(desk.put(&format!("{path}/image.jpg"), photo.clone()).await.0, StatusCode::OK);
    }
    let again = vitta::desk::router(vitta::desk::Desk::new(
        desk.shelf(),
        vitta::language::Language::En,
        vitta::desk::Door::loopback(),
    ));
    let desk = AtDesk { router: again, ..desk };
    let (_, list) = desk.get(path).await;
    let files = list["files"].as_array().unwrap();
    assert_eq!(files.len(), 2, "{list}");
    assert!(files.iter().all(|f| f["state"] == "waiting"));
    let remove = format!("{path}/{}", files[0]["file"].as_str().unwrap());
    let removed = desk.send(asking("DELETE", &remove).body(Body::empty()).unwrap()).await;
    assert_eq!(removed.status(), StatusCode::OK);
    assert_eq!(desk.get(path).await.1["files"].as_array().unwrap().len(), 1);
    // A grey square has no print: it is refused by name, and the book is as it was.
    let before = desk.shelf().open("chapel").unwrap();
    assert_eq!(desk.post("/api/books/chapel/read", &json!({})).await.0, StatusCode::OK);
    let done = loop {
        let (_, list) = desk.get(path).await;
        if list["busy"] == false {
            break list;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    };
    assert_eq!(done["files"][0]["state"], "refused", "{done}");
    let said = done["files"][0]["error"]["said"].as_str().unwrap();
    assert!(!said.contains(desk.folder.path().to_str().unwrap()), "{said}");
    assert_eq!(desk.shelf().open("chapel").unwrap(), before);
}

#[tokio::test]
async fn a_week_says_which_ribbons_move() {
    let desk = AtDesk::new().with_book("Chapel");
    let (status, week) = desk.get("/api/week/2026-11-29?book=chapel").await;
    assert_eq!(status, StatusCode::OK);
    let masses = week["masses"].as_array().unwrap();
    // Seven days and the Saturday evening, which is the Sunday's.
    assert_eq!(masses.len(), 8);
    assert_eq!(masses[7]["evening"], true);
    let page = |mass: &Value, ribbon: &str| {
        let ribbons = mass["edges"][0]["ribbons"].as_array().unwrap();
        let page = ribbons.iter().find(|r| r["ribbon"] == ribbon)?["page"].as_str()?;
        page.parse::<u32>().ok()
    };
    // A ribbon serves both pages of an opening, and this book's versos are even.
    let opening = |page: Option<u32>| page.map(|p| p / 2);
    for pair in masses.windows(2) {
        let moved: Vec<&str> =
            pair[1]["moved"].as_array().unwrap().iter().map(|m| m.as_str().unwrap()).collect();
        for ribbon in ["red", "green", "gold", "violet"] {
            let (from, to) = (page(&pair[0], ribbon), page(&pair[1], ribbon));
            let stays = opening(from) == opening(to);
            if from.is_some() && to.is_some() {
                assert_eq!(!moved.contains(&ribbon), stays, "{ribbon} before {}", pair[1]["date"]);
            }
        }
    }
}

#[tokio::test]
async fn the_parishs_own_title_is_a_solemnity() {
    let desk = AtDesk::new();
    let before = json!({ "over": "general", "celebrations": [] });
    let blaise = json!({ "role": "title of the church", "month": 2, "day": 3, "id": "saints/02-03/blaise", "title": null, "colour": null });
    let dedication = json!({ "role": "dedication of the church", "month": 10, "day": 11, "id": null, "title": "The Dedication of our Church", "colour": "white" });
    let value = json!({ "over": "england", "celebrations": [blaise, dedication] });
    let (status, parish) =
        desk.post("/api/parish/own", &json!({ "before": before, "value": value })).await;
    assert_eq!(status, StatusCode::OK, "{parish}");
    assert_eq!(parish["own"], value, "what was typed is read back");
    let (_, day) = desk.get("/api/today/2027-02-03").await;
    assert_eq!(day["celebration"], "Saint Blaise, Bishop and Martyr");
    assert!(day["particulars"].as_str().unwrap().starts_with("Solemnity"), "{day}");
    let (_, day) = desk.get("/api/today/2027-10-11").await;
    assert_eq!(day["celebration"], "The Dedication of our Church");
    let (_, there) = desk.get("/api/parish/on/2/3").await;
    assert!(there.to_string().contains("saints/02-03/blaise"), "{there}");
    let wrong = json!({ "role": "title of the church", "month": 2, "day": 30, "id": null, "title": "Nobody", "colour": null });
    let change =
        json!({ "before": value, "value": { "over": "england", "celebrations": [wrong] } });
    let (status, said) = desk.post("/api/parish/own", &change).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{said}");
    let none = json!({ "before": value, "value": { "over": "general", "celebrations": [] } });
    assert_eq!(desk.post("/api/parish/own", &none).await.0, StatusCode::OK);
    assert_eq!(desk.shelf().parish().unwrap().calendar, "general");
}

#[tokio::test]
async fn a_chair_book_is_read_from_at_the_chair() {
    let desk = AtDesk::new().with_book("Chapel");
    desk.shelf().put(&Book { name: "Chair".into(), ..book("Chair") }).unwrap();
    let change = json!({ "at": "/settings/chair_book", "before": null, "value": "chair" });
    assert_eq!(desk.post("/api/parish", &change).await.0, StatusCode::OK);
    let (_, today) = desk.get(SUNDAY).await;
    let edges = today["edges"].as_array().unwrap();
    assert_eq!(
        edges.iter().map(|e| e["book"].as_str().unwrap()).collect::<Vec<_>>(),
        ["Chapel", "Chair"]
    );
}

#[tokio::test]
async fn states_of_a_book_are_counted_as_it_has_them() {
    let desk = AtDesk::new().with_book("Chapel");
    let (_, whole) = desk.get("/api/books/chapel").await;
    let book = desk.shelf().open("chapel").unwrap();
    let confirmed = book.entries.iter().filter(|e| e.state == State::Confirmed).count();
    let entries = whole["entries"].as_array().unwrap();
    assert_eq!(entries.iter().filter(|e| e["state"] == "confirmed").count(), confirmed);
    assert_eq!(whole["doubtful"], book.doubtful());
}

/// White vestments at the Vigil (Missal, Easter Vigil 6, from memory), though Holy Saturday is violet.
#[tokio::test]
async fn the_easter_vigil_is_white_today_and_in_the_week() {
    let desk = AtDesk::new();
    let (_, today) = desk.get("/api/today/2027-03-27").await;
    assert_eq!(today["celebration"], "The Easter Vigil in the Holy Night");
    assert_eq!(today["colour"], "white");
    let (_, week) = desk.get("/api/week/2027-03-27").await;
    assert_eq!(week["masses"][0]["colour"], "white", "{week}");
}
