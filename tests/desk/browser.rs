//! The whole job in a browser, with the keyboard alone.

use super::chromium::{Browser, CONTROL, ENTER, ESCAPE, LAPTOP, PHONE, Screen};
use super::{book, place};
use serde_json::Value;
use vitta::book::{Book, Said};
use vitta::geom::Rect;
use vitta::language::Language;
use vitta::text::{Alternative, Reading, Row, Strip};

const CONTENTS: &str = "fixtures/photos/vallombra/contents-1397.jpg";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_new_user_at_a_laptop_gets_from_photographs_to_next_sundays_plan() {
    from_photographs_to_a_printed_plan(LAPTOP).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_new_user_with_a_phone_gets_from_photographs_to_next_sundays_plan() {
    from_photographs_to_a_printed_plan(PHONE).await;
}

async fn from_photographs_to_a_printed_plan(screen: Screen) {
    let mut browser = Browser::open(screen, |_| {}).await;
    browser.go("today").await;
    // No book yet: the page says so and leads to one.
    browser.choose("a[href='#book'].chief").await;
    browser.tab_to("#book-name").await;
    browser.write("Chapel").await;
    browser.choose("#begin").await;
    // A photograph of the contents page; the reading is real.
    browser.tab_to("#photos").await;
    let photo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(CONTENTS);
    browser.pick_file("#photos", photo.to_str().unwrap()).await;
    browser.choose("#read").await;
    browser.choose("#to-review").await;
    // The review: what is right is confirmed, the cursor is in the next row's field.
    browser.until(".look-up #page").await;
    browser.when("document.activeElement.id === 'page'").await;
    let first = current(&browser).await;
    browser.press(&[ENTER]).await;
    browser.when(&format!("{CURRENT} !== {first}")).await;
    browser.when("document.activeElement.id === 'page'").await;
    let kept = browser.shelf().open("chapel").unwrap();
    let place = place(first.as_str().unwrap());
    assert!(matches!(kept.entry(&place).unwrap().said, Some(Said::Page(_))), "{place}");
    // The ribbons of the copy, one key each, the focus going on by itself.
    browser.choose(".leaves-of a[href$=ribbons]").await;
    for colours in 1..=4 {
        browser.choose("[id^=add-]").await;
        browser
            .when(&format!("document.querySelectorAll('.copy-ribbons li').length === {colours}"))
            .await;
    }
    browser.choose("#to-sunday").await;
    // Next Sunday's plan: four ribbons on the edge, every text with a page; a choice plans anew.
    browser.until(".service ol").await;
    browser.until(".edge .ribbon").await;
    let laid = browser.run("return document.querySelectorAll('.laid .swatch').length").await;
    assert!((1..=4).contains(&laid.as_i64().unwrap()), "{laid}");
    assert!(browser.text(".service").await.contains("Eucharistic Prayer III"));
    browser.tab_to("#prayer").await;
    browser.write("Eucharistic Prayer II").await;
    browser.when("document.querySelector('.service').innerText.includes('Eucharistic Prayer II\\n') || !document.querySelector('.service').innerText.includes('Eucharistic Prayer III')").await;
    let days = browser.shelf().parish().unwrap().settings.days;
    assert_eq!(days.len(), 1, "the choice is kept for that Sunday");
    // Printed: the page asks for it, and what comes is one sheet with the plan and no buttons.
    browser.run("window.print = () => { window.printed = true; }").await;
    browser.choose("#print").await;
    browser.when("window.printed").await;
    let sheet = browser.client.print(fantoccini::wd::PrintConfiguration::default()).await.unwrap();
    assert!(sheet.starts_with(b"%PDF-"));
    let overflow = "return document.documentElement.scrollWidth - innerWidth";
    assert!(
        browser.run(overflow).await.as_i64().unwrap() <= 0,
        "the page is wider than the screen"
    );
    browser.close().await;
}

const CURRENT: &str = "document.querySelector('.look-up')?.dataset.place";

/// The text looked at now.
async fn current(browser: &Browser) -> Value {
    browser.run(&format!("return {CURRENT}")).await
}

/// A book of which forty rows were read with two likely pages each.
fn forty_doubtful_rows() -> Book {
    let mut book = Book::new("Chapel", Language::En, None);
    let row = |n: u32| {
        let page = 10 + 7 * n;
        let way = |page: u32, weight| Alternative { page: page.to_string(), weight };
        let top = 40 * n as i32;
        Row {
            title: format!("Blessing of the {n}th bell"),
            page: Some(page.to_string()),
            pages: Vec::new(),
            level: 1,
            column: 1,
            alternatives: vec![way(page, 0.5), way(page + 3, 0.5)],
            probability: 0.5,
            doubt: true,
            strip: Strip {
                photo: "bells.jpg".into(),
                area: Rect { left: 0, top, right: 900, bottom: top + 30 },
            },
        }
    };
    let reading = Reading {
        file: "bells.jpg".into(),
        rows: (1..=40).map(row).collect(),
        crossrefs: Vec::new(),
        notices: Vec::new(),
    };
    book.read(&[reading], "2026-11-25 09:00:00");
    book
}

/// Forty rows take forty keys, and as many digits more as there are wrong pages. A person who looks at
/// each strip and presses a key every two seconds is done in 180 seconds with up to 50 digits.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn forty_doubtful_rows_take_a_key_each() {
    let mut browser = Browser::open(LAPTOP, |shelf| {
        shelf.put(&forty_doubtful_rows()).unwrap();
    })
    .await;
    browser.go("book/chapel/review").await;
    browser.when("document.activeElement.id === 'page'").await;
    let doubtful = browser.shelf().open("chapel").unwrap().doubtful();
    assert_eq!(doubtful, 40, "what the test is about");
    let before = browser.pressed;
    for row in 0..40 {
        let first = current(&browser).await;
        // Every tenth is wrong and corrected, to the page after: it stays in the order of the book.
        if row % 10 == 9 {
            let page = browser.run("return document.getElementById('page').value").await;
            let page: u32 = page.as_str().unwrap().parse().unwrap();
            browser.write(&(page + 1).to_string()).await;
        }
        browser.press(&[ENTER]).await;
        browser.when(&format!("{CURRENT} !== {first}")).await;
        let left = browser.shelf().open("chapel").unwrap().doubtful();
        if left == 0 {
            break;
        }
    }
    browser.until(".done").await;
    let keys = browser.pressed - before;
    assert!(keys <= 40 + 4 * 3, "{keys} keys");
    println!("forty doubtful rows: {keys} keys");
    browser.close().await;
}

/// Undo, putting off, a text that the book has not, and what another page said meanwhile.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_review_undoes_puts_off_and_shows_a_conflict() {
    let mut browser = Browser::open(LAPTOP, |shelf| {
        shelf.put(&book("Chapel")).unwrap();
    })
    .await;
    browser.go("book/chapel/review").await;
    browser.when("document.activeElement.id === 'page'").await;
    let first = current(&browser).await;
    let row = place(first.as_str().unwrap());
    let said = |browser: &Browser| {
        browser.shelf().open("chapel").unwrap().entry(&row).unwrap().said.clone()
    };
    browser.press(&['-', ENTER]).await;
    browser.when(&format!("{CURRENT} !== {first}")).await;
    assert_eq!(said(&browser), Some(Said::Absent));
    browser.press_with(CONTROL, 'z').await;
    browser.when(&format!("{CURRENT} === {first}")).await;
    assert_eq!(said(&browser), None);
    browser.press(&[ESCAPE]).await;
    browser.when(&format!("{CURRENT} !== {first}")).await;
    // Another page, or the command line, says something of the row that stands here.
    let second = current(&browser).await;
    let row = place(second.as_str().unwrap());
    let mut book = browser.shelf().open("chapel").unwrap();
    let page = book.entry(&row).unwrap().page.clone().unwrap();
    book.confirm(&row, &page, "2026-11-25 10:00:00").unwrap();
    browser.shelf().put(&book).unwrap();
    let mine = (page.parse::<u32>().unwrap() + 1).to_string();
    browser.write(&mine).await;
    browser.press(&[ENTER]).await;
    browser.until("#keep-mine").await;
    let shown = browser.text("#refused").await;
    assert!(shown.contains(&mine) && shown.contains(&page), "{shown}");
    browser.press(&[ENTER]).await;
    browser.when(&format!("{CURRENT} !== {second}")).await;
    let kept = browser.shelf().open("chapel").unwrap();
    assert_eq!(kept.entry(&row).unwrap().said, Some(Said::Page(mine)));
    browser.close().await;
}
