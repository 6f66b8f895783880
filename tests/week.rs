//! A week of Masses, several books, the server's page: from the command line to what is printed.

use crate::ribbon::plans::{SIX, edition};
use serde_json::Value;
use std::process::{Command, Output};
use vitta::book::Book;
use vitta::card::{Kind, lay_out_server, lay_out_week, week_text};
use vitta::format;
use vitta::language::Language;
use vitta::place::Place;
use vitta::ribbon::Week;
use vitta::shelf::Shelf;

/// A shelf with two books: `altar` has everything, `chair` no preface and no Eucharistic Prayer.
struct Sacristy {
    folder: tempfile::TempDir,
}

impl Sacristy {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let shelf = Shelf::at(folder.path());
        shelf.put(&edition(SIX)).unwrap();
        let mut chair = Book { name: "chair".into(), ..edition(&["brown", "black"]) };
        let at_the_altar = ["order/preface", "order/prayer", "order/communion"];
        chair.entries.retain(|e| !at_the_altar.iter().any(|p| e.place.is_under(p)));
        shelf.put(&chair).unwrap();
        Sacristy { folder }
    }

    fn vitta(&self, arguments: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_vitta"));
        command.args(arguments).env("VITTA_SHELF", self.folder.path());
        command.stdin(std::process::Stdio::null()).output().unwrap()
    }

    /// What a command prints that is done, or done but for a look.
    fn printed(&self, arguments: &[&str]) -> String {
        let output = self.vitta(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(matches!(output.status.code(), Some(0 | 1)), "{arguments:?}: {said}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn refused(&self, arguments: &[&str]) -> String {
        let output = self.vitta(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        String::from_utf8(output.stderr).unwrap()
    }

    fn week(&self, arguments: &[&str]) -> Week {
        let all = [&["week", "--book", "altar", "--json"], arguments].concat();
        format::parse(&self.printed(&all), "stdout".as_ref()).unwrap()
    }

    /// Date, evening, title of each Mass.
    fn masses(&self, arguments: &[&str]) -> Vec<String> {
        let told = |m: &vitta::ribbon::LaidMass| {
            let when = if m.evening { "evening" } else { "day" };
            format!("{} {when}: {}", m.date.format("%m-%d"), m.celebration.en)
        };
        self.week(arguments).masses.iter().map(told).collect()
    }
}

/// Universal Norms 3 and 11: Sundays and solemnities begin on the evening before; Norms 21: the Vigil is
/// kept at night, and Holy Saturday has no other Mass.
#[test]
fn holy_week_from_saturday_evening_to_easter_sunday() {
    let masses = Sacristy::new().masses(&["2027-03-20", "--evening", "--days", "8"]);
    assert_eq!(
        masses,
        [
            "03-20 evening: Palm Sunday with the procession",
            "03-21 day: Palm Sunday with the procession",
            "03-22 day: Monday of Holy Week",
            "03-23 day: Tuesday of Holy Week",
            "03-24 day: Wednesday of Holy Week",
            "03-25 day: Thursday of the Lord’s Supper: Evening Mass",
            "03-26 day: Friday of the Passion of the Lord",
            "03-27 evening: The Easter Vigil in the Holy Night",
            "03-28 day: Easter Sunday: Mass during the Day",
        ]
    );
}

/// The Missal has four Masses for Christmas (vigil, night, dawn, day) and three for All Souls.
#[test]
fn christmas_has_four_masses_and_all_souls_three() {
    let sacristy = Sacristy::new();
    let christmas = sacristy.masses(&["2026-12-24", "--evening", "--days", "1"]);
    assert_eq!(christmas.len(), 4, "{christmas:#?}");
    for (mass, form) in christmas.iter().zip(["Vigil", "Night", "Dawn", "Day"]) {
        assert!(mass.contains(form), "{mass}: {form}");
    }
    let souls = sacristy.masses(&["2026-11-02", "--days", "1"]);
    assert_eq!(souls.len(), 3, "{souls:#?}");
}

#[test]
fn the_last_evening_belongs_to_the_days_where_they_begin_with_the_day() {
    let sacristy = Sacristy::new();
    let masses = sacristy.masses(&["2027-06-19", "--days", "1"]);
    assert_eq!(masses.len(), 2, "{masses:?}");
    assert!(masses[1].starts_with("06-19 evening: Twelfth Sunday"), "{masses:?}");
}

/// Lines folded by RFC 5545, section 3.1, unfolded again.
fn unfolded(ics: &str) -> String {
    ics.replace("\r\n ", "").replace("\r\n\t", "")
}

#[test]
fn the_calendar_file_has_each_mass_with_its_ribbons() {
    let sacristy = Sacristy::new();
    let arguments = ["2027-06-19", "--evening", "--ribbons", "4"];
    let week = sacristy.week(&arguments);
    let all = [&["week", "--book", "altar", "--ics"], &arguments[..]].concat();
    let ics = sacristy.printed(&all);
    assert_eq!(ics, sacristy.printed(&all), "the same file on every run");
    let ics = unfolded(&ics);
    assert_eq!(ics.matches("BEGIN:VEVENT").count(), week.masses.len());
    for mass in &week.masses {
        assert!(ics.contains(&format!("DTSTART;VALUE=DATE:{}", mass.date.format("%Y%m%d"))));
        for ribbon in &mass.moved {
            let line = format!("Lay: {}\\, p. {}", ribbon.ribbon, ribbon.page);
            assert!(ics.contains(&line), "{line} in {ics}");
        }
    }
}

/// The lines of each event, unfolded.
fn events(ics: &str) -> Vec<Vec<String>> {
    let unfolded = unfolded(ics);
    let parts = unfolded.split("BEGIN:VEVENT\r\n").skip(1);
    let lines =
        |part: &str| part.split("END:VEVENT").next().unwrap().lines().map(str::to_owned).collect();
    parts.map(lines).collect()
}

/// The value of a property that stands once in an event.
fn once<'e>(event: &'e [String], name: &str) -> &'e str {
    let has =
        |l: &&String| l.starts_with(&format!("{name}:")) || l.starts_with(&format!("{name};"));
    let lines: Vec<&String> = event.iter().filter(has).collect();
    assert_eq!(lines.len(), 1, "{name} in {event:#?}");
    lines[0].split_once(':').unwrap().1
}

/// RFC 5545: 3.1 (lines end with CRLF and have at most 75 octets), 3.6 (a calendar has PRODID and VERSION), 3.6.1
/// (an event has UID and DTSTAMP, each once; DTEND is later than DTSTART and not within the event), 3.8.4.7 (a UID
/// is globally unique), 3.8.7.2 (DTSTAMP is in UTC).
#[test]
fn the_calendar_files_keep_the_rules_of_rfc_5545() {
    let sacristy = Sacristy::new();
    let week = ["week", "2026-12-20", "--days", "9", "--book", "altar", "--ics"];
    for typed in [&week[..], &["year", "2027", "--ics", "--language", "es"]] {
        let ics = sacristy.printed(typed);
        assert!(ics.starts_with("BEGIN:VCALENDAR\r\n") && ics.ends_with("END:VCALENDAR\r\n"));
        assert!(!ics.replace("\r\n", "").contains(['\r', '\n']), "a line without CRLF");
        let longest = ics.split("\r\n").map(str::len).max();
        assert!(longest <= Some(75), "{longest:?} octets");
        assert!(ics.contains("\r\nVERSION:2.0\r\n") && ics.contains("\r\nPRODID:"));
        let events = events(&ics);
        let mut uids: Vec<&str> = events.iter().map(|e| once(e, "UID")).collect();
        uids.sort_unstable();
        uids.dedup();
        assert_eq!(uids.len(), events.len(), "a UID twice");
        for event in &events {
            let stamp =
                chrono::NaiveDateTime::parse_from_str(once(event, "DTSTAMP"), "%Y%m%dT%H%M%SZ");
            assert!(stamp.is_ok(), "{event:#?}");
            let [start, end] = ["DTSTART", "DTEND"].map(|name| {
                chrono::NaiveDate::parse_from_str(once(event, name), "%Y%m%d").unwrap()
            });
            assert_eq!(end, start.succ_opt().unwrap(), "{event:#?}");
            assert!(event.iter().any(|l| l.starts_with("DTSTART;VALUE=DATE:")));
        }
    }
}

/// RFC 5545, 3.8.4.7: the UID tells a program that an event read again is the same.
#[test]
fn a_mass_has_the_same_uid_in_every_file() {
    let sacristy = Sacristy::new();
    let uids = |first: &str, days: &str| -> Vec<String> {
        let typed = ["week", first, "--days", days, "--book", "altar", "--ics"];
        let events = events(&sacristy.printed(&typed));
        events.iter().map(|e| once(e, "UID").to_owned()).collect()
    };
    let (whole, part) = (uids("2026-12-20", "7"), uids("2026-12-23", "4"));
    assert!(!part.is_empty() && part.iter().all(|uid| whole.contains(uid)), "{whole:?} {part:?}");
}

fn mass_of(sacristy: &Sacristy, more: &[&str]) -> Value {
    let base = ["lay", "2027-04-11", "--book", "altar", "--json"];
    serde_json::from_str(&sacristy.printed(&[&base[..], more].concat())).unwrap()
}

fn place_of<'p>(plan: &'p Value, moment: &str) -> &'p str {
    let stops = plan["stops"].as_array().unwrap();
    let stop = stops.iter().find(|s| s["moment"] == moment);
    stop.unwrap_or_else(|| panic!("no {moment}"))["place"].as_str().unwrap()
}

/// What a priest may choose is typed by its title in any of the missal's languages, whole or in part, or by its id.
#[test]
fn texts_are_chosen_by_their_titles() {
    let sacristy = Sacristy::new();
    for (typed, moment, place) in [
        (["--preface", "Preface II of Easter"], "preface", "order/preface/easter-2"),
        (["--preface", "order/preface/easter-2"], "preface", "order/preface/easter-2"),
        (["--prayer", "eucharistic prayer i"], "eucharistic-prayer", "order/prayer/1"),
        (["--prayer", "order/prayer/1"], "eucharistic-prayer", "order/prayer/1"),
        (["--blessing", "order/blessing/easter"], "solemn-blessing", "order/blessing/easter"),
    ] {
        let plan = mass_of(&sacristy, &typed);
        assert_eq!(place_of(&plan, moment), place, "{typed:?}");
    }
    let sprinkled = mass_of(&sacristy, &["--sprinkling"]);
    assert!(place_of(&sprinkled, "sprinkling").contains("sprinkling"));
    let said = sacristy.refused(&["lay", "2027-04-11", "--book", "altar", "--preface", "of"]);
    assert!(said.contains("not the title of one preface") && said.contains("hint: write one of: "));
}

/// Tonight's card bears tonight's date.
#[test]
fn the_card_of_an_evening_is_dated_on_it() {
    let text = Sacristy::new().printed(&["lay", "2027-06-19", "--evening", "--book", "altar"]);
    assert!(text.contains("Saturday 19 June 2027, evening"), "{text}");
    assert!(!text.contains("20 June 2027"), "{text}");
}

/// `--ribbons 0`: the pages in the order of the service.
#[test]
fn without_ribbons_the_card_is_a_list_of_pages() {
    let text = Sacristy::new().printed(&["lay", "2027-06-20", "--book", "altar", "--ribbons", "0"]);
    assert!(text.contains("find p. ") && !text.contains("RIBBONS"), "{text}");
    assert!(!text.contains("at a ribbon") && !text.contains("(line "), "{text}");
}

#[test]
fn the_sheet_for_the_wall_is_one_page_and_names_each_ribbon() {
    let sacristy = Sacristy::new();
    let file = |name: &str| sacristy.folder.path().join(name);
    for language in ["en", "es"] {
        for name in ["week.pdf", "week.svg", "week.txt"] {
            let path = file(name).to_str().unwrap().to_owned();
            let options = ["--book", "altar", "--card", &path, "--language", language];
            sacristy.printed(&[&["week", "2027-03-20", "--evening"], &options[..]].concat());
        }
        let pdf = std::fs::read(file("week.pdf")).unwrap();
        let pdf = String::from_utf8_lossy(&pdf).into_owned();
        assert_eq!(pdf.matches("841.89 595.28").count(), 1, "one page of A4 across");
        let svg = std::fs::read_to_string(file("week.svg")).unwrap();
        for colour in SIX {
            assert!(svg.contains(&format!(">{colour}</text>")), "{colour}");
        }
        let text = std::fs::read_to_string(file("week.txt")).unwrap();
        let caution = if language == "es" { "El sacerdote decide" } else { "priest decides" };
        assert!(text.split_whitespace().collect::<Vec<_>>().join(" ").contains(caution), "{text}");
    }
}

/// A row of the sheet says where each ribbon lies; what is drawn as laid anew is what the week moves.
#[test]
fn the_sheet_says_what_the_week_says() {
    let (day, service) = crate::ribbon::services::serve("2027-06-20", None);
    let book = edition(SIX);
    let table = [vitta::ribbon::OnTable { book: &book, ribbons: 3, stands: &[] }];
    let occasion = |evening| vitta::ribbon::Occasion { date: day.date, evening, service: &service };
    let week =
        vitta::ribbon::plan_week(&[occasion(true), occasion(false)], &table, &Default::default())
            .unwrap();
    let sheet = lay_out_week(&[(&day, &service), (&day, &service)], &week, Language::En);
    assert_eq!(sheet.rows.len(), 1, "the same Mass twice is one row");
    assert_eq!(sheet.rows[0].dates.len(), 2);
    let cells: Vec<_> = sheet.rows[0].cells.iter().flatten().collect();
    assert_eq!(cells.len(), week.masses[0].moved.len());
    assert!(cells.iter().all(|c| c.moved));
    let text = week_text(&sheet, 60);
    assert!(text.lines().all(|l| l.chars().count() <= 60), "{text}");
    assert!(!Kind::Svg.week_bytes(&sheet).unwrap().is_empty());
}

fn plan(sacristy: &Sacristy, arguments: &[&str]) -> Value {
    let all = [&["lay", "2027-06-29", "--json"], arguments].concat();
    serde_json::from_str(&sacristy.printed(&all)).unwrap()
}

fn book_of(plan: &Value, moment: &str) -> String {
    let stops = plan["stops"].as_array().unwrap();
    let stop = stops.iter().find(|s| s["moment"] == moment).unwrap();
    stop["book"].as_str().unwrap().to_owned()
}

#[test]
fn the_chair_book_serves_at_the_chair_and_the_missal_at_the_altar() {
    let sacristy = Sacristy::new();
    let books = ["--book", "chair", "--book", "altar"];
    let plan = plan(&sacristy, &[&books[..], &["--chair", "chair"]].concat());
    assert_eq!(plan["cost"], plan["lower_bound"]);
    for (moment, book) in [
        ("collect", "chair"),
        ("offerings", "altar"),
        ("eucharistic-prayer", "altar"),
        ("after-communion", "chair"),
    ] {
        assert_eq!(book_of(&plan, moment), book, "{moment}");
    }
}

/// The same from the parish's settings; a text that the chair book lacks comes from the other.
#[test]
fn the_parish_says_which_book_is_for_the_chair() {
    let sacristy = Sacristy::new();
    let shelf = Shelf::at(sacristy.folder.path());
    let mut parish = shelf.parish().unwrap();
    parish.settings.chair_book = Some("chair".into());
    format::write(&parish, &shelf.parish_file()).unwrap();
    let mut chair = shelf.open("chair").unwrap();
    let collect = Place::new("saints/06-29/peter-and-paul").unwrap();
    chair.entries.retain(|e| !e.place.is_under(collect.as_str()));
    shelf.put(&chair).unwrap();
    let plan = plan(&sacristy, &["--book", "altar", "--book", "chair"]);
    assert_eq!(book_of(&plan, "collect"), "altar", "not in the chair book");
    assert_eq!(book_of(&plan, "solemn-blessing"), "chair");
}

#[test]
fn two_books_side_by_side_open_at_the_same_texts() {
    let sacristy = Sacristy::new();
    let plans = plan(&sacristy, &["--book", "altar", "--beside", "chair"]);
    let stops = |plan: &Value| plan["stops"].as_array().unwrap().clone();
    let (first, second) = (stops(&plans[0]), stops(&plans[1]));
    assert_eq!(first.len(), second.len());
    // What the second book lacks is looked for under a heading of its own, in doubt.
    let has = |stop: &Value| stop["hand"]["move"] != "not-here" && stop["doubt"] == false;
    let both: Vec<_> = first.iter().zip(&second).filter(|(_, b)| has(b)).collect();
    assert!(both.len() > 4);
    assert!(both.iter().all(|(a, b)| a["place"] == b["place"]), "{both:#?}");
    let card = sacristy.printed(&["lay", "2027-06-29", "--book", "altar", "--beside", "chair"]);
    assert!(card.contains("in chair") && card.contains("(altar)"), "{card}");
}

#[test]
fn the_server_is_told_when_the_book_is_held_and_carried() {
    let (day, service) = crate::ribbon::services::serve("2027-06-29", None);
    let book = edition(SIX);
    let plan = vitta::ribbon::plan(&service, &book, Some(4), &Default::default()).unwrap();
    let page = lay_out_server(&day, &service, &plan, Language::En);
    let at = |what: &str| page.steps.iter().position(|s| s.moment.starts_with(what));
    let carried = at("Take the book to the altar").unwrap();
    assert!(page.steps[carried].stand.is_some(), "it opens the part at the altar");
    assert!(at("Collect").unwrap() < carried && carried < at("Prayer over").unwrap());
    assert!(at("Bring the book to the chair").unwrap() < at("Prayer after Communion").unwrap());
    let collect = &page.steps[at("Collect").unwrap()];
    assert!(collect.hand.starts_with("hold it"), "{collect:?}");
    // Every page on the priest's card is on the server's.
    let priest = vitta::card::lay_out(&day, &service, &plan, Language::En);
    let pages = |card: &vitta::card::Card| -> Vec<Option<String>> {
        card.steps.iter().map(|s| s.page.clone()).filter(Option::is_some).collect()
    };
    assert_eq!(pages(&page), pages(&priest));
    let spanish = lay_out_server(&day, &service, &plan, Language::Es);
    assert!(spanish.steps.iter().any(|s| s.moment == "Lleve el libro al altar"));
}

#[test]
fn what_cannot_be_on_the_table_is_refused() {
    let sacristy = Sacristy::new();
    let base = ["week", "2027-06-20", "--book", "altar"];
    for (more, sentence) in [
        (&["--ribbons", "7"][..], "has 6 ribbons, but 7 were asked for"),
        (&["--ribbons", "2", "--ribbons", "3"], "2 times for 1 book"),
        (&["--chair", "nave"], "\"nave\" for the chair"),
        (&["--card", "week.docx"], ".docx"),
        (&["--book", "nowhere"], "nowhere"),
    ] {
        let said = sacristy.refused(&[&base[..], more].concat());
        assert!(said.contains(sentence) && said.contains("hint: "), "{said}");
    }
}

#[test]
fn the_parish_is_settled_from_the_command_line() {
    let sacristy = Sacristy::new();
    let set = ["parish", "set", "--calendar", "spain", "--chair-book", "chair"];
    let more = ["--by-heart", "order/prayer/2", "--cost", "pull=180"];
    sacristy.printed(&[&set[..], &more].concat());
    let shelf = Shelf::at(sacristy.folder.path());
    let parish = shelf.parish().unwrap();
    assert_eq!(parish.calendar, "spain");
    assert_eq!(parish.settings.chair_book.as_deref(), Some("chair"));
    assert_eq!((parish.costs.pull, parish.costs.leaf), (180, 100));
    sacristy.printed(&["parish", "set", "--from-the-book", "order/prayer/2"]);
    let parish = shelf.parish().unwrap();
    assert!(parish.settings.by_heart.is_empty());
    assert_eq!(parish.settings.from_the_book, ["order/prayer/2"]);
    assert!(sacristy.printed(&["parish", "show"]).contains("spain"));
}

/// Nothing is written of a setting of which one part is wrong, nor of a clock that was not used.
#[test]
fn what_the_parish_cannot_settle_is_refused_whole() {
    let sacristy = Sacristy::new();
    let shelf = Shelf::at(sacristy.folder.path());
    for (more, sentence) in [
        (&["set", "--name", "Ribera", "--calendar", "atlantis"][..], "atlantis"),
        (&["set", "--name", "Ribera", "--cost", "pull=fast"], "pull=fast"),
        (&["set", "--name", "Ribera", "--chair-book", "nave"], "nave"),
        (&["calibrate"], "the input ended"),
    ] {
        let said = sacristy.refused(&[&["parish"], more].concat());
        assert!(said.contains(sentence) && said.contains("hint: "), "{said}");
    }
    assert!(!shelf.parish_file().exists());
}

/// What is settled for a Sunday is said on the evening before it too, by itself as in the row of a week.
#[test]
fn what_is_settled_for_a_day_holds_on_its_evening() {
    use vitta::language::Language;
    use vitta::order::DayChoices;
    use vitta::shelf::{Mass, Parish, masses};
    let calendar = vitta::calendar::Calendar::shipped("general").unwrap();
    let [saturday, sunday] = ["2027-06-19", "2027-06-20"].map(|d| d.parse().unwrap());
    let mut parish = Parish::default();
    let mass = vitta::place::Place::new("votive/trinity");
    let settled = DayChoices { mass, mass_in_any_case: true, ..DayChoices::default() };
    parish.settings.days.insert(sunday, settled);
    let alone = Mass::of_evening(&calendar, &parish, saturday, Language::En).unwrap();
    let row = masses(&calendar, &parish, (saturday, true), 1, Language::En).unwrap();
    assert_eq!(alone.service, row[0].mass.service);
    assert_ne!(alone.service.celebration.en, "Twelfth Sunday in Ordinary Time");
}

/// What is kept with the copy and the parish, and what is typed for one laying.
#[test]
fn a_person_binds_ribbons_and_texts() {
    let sacristy = Sacristy::new();
    let laid = |arguments: &[&str]| plan(&sacristy, &[&["--book", "altar"], arguments].concat());
    let at = |plan: &Value, colour: &str| {
        let all = plan["ribbons"].as_array().unwrap();
        let ribbon = all.iter().find(|r| r["ribbon"] == colour);
        ribbon.map(|r| r["place"].as_str().unwrap().to_owned())
    };
    let keep = ["--keep", "blue=Order of Mass"];
    assert!(at(&laid(&keep), "blue").unwrap().starts_with("order/"));
    assert_eq!(at(&laid(&["--torn", "gold"]), "gold"), None);
    let sheet = laid(&["--on-sheet", "Preface"]);
    let preface =
        sheet["stops"].as_array().unwrap().iter().find(|s| s["moment"] == "preface").unwrap();
    assert_eq!(preface["hand"]["move"], "on-sheet");
    sacristy.printed(&[&["book", "marks", "altar", "--torn", "gold"], &keep[..]].concat());
    let told = sacristy.printed(&["book", "marks", "altar"]);
    assert!(
        told.contains("gold (torn)") && told.contains("blue (stays in The Order of Mass)"),
        "{told}"
    );
    let kept = laid(&[]);
    assert!(at(&kept, "gold").is_none() && at(&kept, "blue").unwrap().starts_with("order/"));
    sacristy.printed(&["book", "marks", "altar", "--free", "gold", "--free", "blue"]);
    sacristy.printed(&["parish", "set", "--no-ribbon", "Solemn Blessing", "--on-sheet", "Preface"]);
    let kept = laid(&[]);
    let ribbons = kept["ribbons"].as_array().unwrap();
    let for_blessing = |r: &Value| r["place"].as_str().unwrap().starts_with("order/blessing");
    assert!(!ribbons.iter().any(for_blessing), "{ribbons:?}");
    sacristy.printed(&["parish", "set", "--unbound", "Solemn Blessing", "--unbound", "Preface"]);
    assert!(laid(&[])["ribbons"].as_array().unwrap().iter().any(for_blessing));
    let said = sacristy.refused(&["lay", "2027-06-29", "--book", "altar", "--torn", "pink"]);
    assert!(said.contains("no ribbon \"pink\"") && said.contains("gold"), "{said}");
    let said = sacristy.refused(&["lay", "2027-06-29", "--book", "altar", "--keep", "blue=Narnia"]);
    assert!(said.contains("Narnia"), "{said}");
}
