//! One date's Mass: what is celebrated and why, what may be chosen, the ribbons on the book's edge, the
//! order of service.

use super::reply::{Reply, Said, media, work};
use super::{Desk, Shared, date};
use crate::Result;
use crate::book::{Book, Label, Outline, OutlinePlace, PageState};
use crate::calendar::{Celebration, Colour, Day};
use crate::card::{self, Card, Kind, Paper};
use crate::language::Language;
use crate::order::{self, DayChoices, Service};
use crate::place::Place;
use crate::ribbon::{self, Move, Plan};
use crate::shelf::{Mass, Parish, table};
use axum::extract::{Path, Query, State};
use axum::response::Response;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// What a page may ask besides the date.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Asked {
    book: Option<String>,
    #[serde(default)]
    evening: bool,
    lang: Option<Language>,
}

#[derive(Serialize)]
struct Today {
    date: NaiveDate,
    /// The date in words.
    words: String,
    /// The date that the Mass belongs to: the next one for the Mass of an evening.
    of: NaiveDate,
    evening: bool,
    celebration: String,
    particulars: String,
    colour: Colour,
    masses: Vec<Offered>,
    evening_mass: Option<Offered>,
    reasons: Vec<String>,
    choices: DayChoices,
    allowed: Allowed,
    texts: Vec<Text>,
    book: Option<String>,
    card: Option<Card>,
    /// Doubtful pages that this service reads from the first book.
    look: Vec<Look>,
    edges: Vec<Edge>,
    /// Why there is no card.
    trouble: Option<Said>,
    caution: String,
}

/// A celebration that may be chosen.
#[derive(Serialize)]
struct Offered {
    id: Place,
    title: String,
    particulars: String,
    colour: Colour,
}

/// A place with its title.
#[derive(Serialize)]
struct Named {
    place: Place,
    title: String,
}

/// What the rules offer where nothing is settled for the date.
#[derive(Serialize)]
struct Allowed {
    prefaces: Vec<Named>,
    prayer: Option<Named>,
    /// What this order of service may have.
    options: Vec<Option_>,
}

#[derive(Serialize)]
struct Option_ {
    option: String,
    title: String,
}

/// A text of the service, whether or not a book has it.
#[derive(Serialize)]
struct Text {
    stand: String,
    moment: String,
    title: String,
    by_heart: bool,
    reason: String,
}

/// A page to look at.
#[derive(Serialize)]
struct Look {
    place: Place,
    title: String,
}

/// The ribbons of one book on a picture of its edge.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Edge {
    book: String,
    /// First and last page of the book, as far as its map knows.
    pages: (String, String),
    /// Where it is laid open, from the front 0 to the back 1, with the page.
    open: Option<(f64, String)>,
    ribbons: Vec<OnEdge>,
}

/// A ribbon on the edge.
#[derive(Debug, Clone, Serialize)]
pub(super) struct OnEdge {
    ribbon: String,
    number: usize,
    /// Its colour as `#rrggbb`, where the colour's name is a usual one.
    dye: Option<String>,
    page: String,
    /// From the front 0 to the back 1.
    at: f64,
    text: String,
    doubt: bool,
}

/// `GET /api/today/{date}`
pub(super) async fn today(
    State(desk): State<Shared>,
    Path(typed): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| Reply::json(&Laid::new(desk, date(&typed)?, &asked)?.answer(desk)?))
        .await
}

/// `GET /api/today/{date}/card-a5.pdf`, `.svg`
pub(super) async fn card(
    State(desk): State<Shared>,
    Path((typed, file)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Response {
    work(desk, move |desk| {
        let kind = Kind::of(std::path::Path::new(&file))?;
        let stem = file.rsplit_once('.').map_or("", |(stem, _)| stem);
        let paper = stem.strip_prefix("card-").unwrap_or(stem).parse::<Paper>()?;
        let laid = Laid::new(desk, date(&typed)?, &asked)?;
        let bytes = kind.bytes(&laid.card()?, paper)?;
        Ok(Reply::File { kind: media(kind), name: None, bytes })
    })
    .await
}

/// The book called `name` and, if the parish has another for the chair, that one after it.
pub(super) fn on_table(desk: &Desk, parish: &Parish, name: Option<&str>) -> Result<Vec<Book>> {
    let Some(name) = name else { return Ok(Vec::new()) };
    let book = super::books::open(desk, name)?;
    let chair = desk.shelf.chair_book(parish)?.filter(|c| c.name != book.name);
    Ok([Some(book), chair].into_iter().flatten().collect())
}

/// A date's Mass on the table.
struct Laid {
    date: NaiveDate,
    evening: bool,
    language: Language,
    parish: Parish,
    /// The date as the calendar has it; for an evening Mass not the day it belongs to.
    civil: Day,
    mass: Mass,
    books: Vec<Book>,
}

impl Laid {
    fn new(desk: &Desk, date: NaiveDate, asked: &Asked) -> Result<Laid> {
        let parish = desk.shelf.parish()?;
        let calendar = desk.calendar(&parish)?;
        let language = asked.lang.unwrap_or(desk.language);
        let civil = calendar.day(date, language)?;
        let mass = match asked.evening {
            true => Mass::of_evening(&calendar, &parish, date, language)?,
            false => Mass::by(&calendar, &parish, date, None, language)?,
        };
        let books = on_table(desk, &parish, asked.book.as_deref())?;
        Ok(Laid { date, evening: asked.evening, language, parish, civil, mass, books })
    }

    fn plan(&self) -> Option<Result<Plan>> {
        self.books.first()?;
        let table = table(&self.books, Some(1));
        Some(ribbon::plan_table(&self.mass.service, &table, &self.parish.costs))
    }

    fn card(&self) -> Result<Card> {
        match self.plan() {
            Some(plan) => Ok(self.card_of(&plan?)),
            None => Err(super::not_understood("no book is named".into())),
        }
    }

    fn card_of(&self, plan: &Plan) -> Card {
        let card = card::lay_out(&self.mass.day, &self.mass.service, plan, self.language);
        // Tonight's card bears tonight's date, though the Mass is tomorrow's.
        if self.evening { card.on_the_evening_of(self.date) } else { card }
    }

    fn answer(&self, desk: &Desk) -> Result<Today> {
        let (Mass { day, service }, language) = (&self.mass, self.language);
        let (plan, trouble) = match self.plan() {
            Some(Ok(plan)) => (Some(plan), None),
            Some(Err(error)) => (None, Some(Said::of(&error, desk))),
            None => (None, None),
        };
        let choices = self.parish.settings.days.get(&day.date).cloned().unwrap_or_default();
        Ok(Today {
            date: self.date,
            words: language.date(self.date),
            of: day.date,
            evening: self.evening,
            celebration: service.celebration.get(language).to_owned(),
            particulars: card::particulars_of_mass(day, &service.said, language),
            colour: service.said.colours.first().copied().unwrap_or(Colour::Green),
            masses: day.celebrations.iter().map(|c| self.offered(day, c)).collect(),
            evening_mass: self.evening_mass(),
            reasons: card::reasons(day, service, language),
            allowed: self.allowed(&choices)?,
            choices,
            texts: texts(service, language),
            book: self.books.first().map(|b| b.name.clone()),
            edges: plan.iter().flat_map(|p| edges(p, &self.books, language)).collect(),
            look: plan.iter().flat_map(|p| self.look(p)).collect(),
            card: plan.as_ref().map(|p| self.card_of(p)),
            trouble,
            caution: card::caution(language),
        })
    }

    fn look(&self, plan: &Plan) -> Vec<Look> {
        let mut look: Vec<Look> = Vec::new();
        let here = |s: &&crate::ribbon::Stop| {
            s.doubt
                && s.hand != Move::ByHeart
                && self.books.first().is_some_and(|b| b.name == s.book)
        };
        for stop in plan.stops.iter().filter(here) {
            if look.iter().all(|l| l.place != stop.place) {
                let title = stop.text.get(self.language).to_owned();
                look.push(Look { place: stop.place.clone(), title });
            }
        }
        look
    }

    fn offered(&self, day: &Day, celebration: &Celebration) -> Offered {
        Offered {
            id: celebration.id.clone(),
            title: celebration.title.get(self.language).to_owned(),
            particulars: card::particulars(day, celebration, self.language),
            colour: celebration.colour,
        }
    }

    fn evening_mass(&self) -> Option<Offered> {
        let mass = self.civil.evening.as_ref()?.masses.first()?;
        Some(self.offered(&self.civil, &mass.celebration))
    }

    /// What the rules offer, with nothing settled for the date but which Mass and rite it is.
    fn allowed(&self, choices: &DayChoices) -> Result<Allowed> {
        let (day, language) = (&self.mass.day, self.language);
        let mut settings = self.parish.settings.clone();
        let ruled = DayChoices {
            mass: choices.mass.clone(),
            mass_in_any_case: choices.mass_in_any_case,
            rite: choices.rite.clone(),
            ..DayChoices::default()
        };
        settings.days.insert(day.date, ruled);
        let service = order::service(day, None, &settings)?;
        let places = |moment: &str| {
            let need = service.needs.iter().find(|n| n.moment == moment);
            need.map(|n| n.places.as_slice()).unwrap_or_default()
        };
        let named = |c: &order::Candidate| Named {
            place: c.place.clone(),
            title: c.title.get(language).to_owned(),
        };
        let asked = choices.rite.as_ref().or(choices.mass.as_ref()).or(day.kept().map(|k| &k.id));
        let order = asked.map(order::serving).transpose()?;
        let option = |o: &order::ServiceOption| Option_ {
            option: o.option.clone(),
            title: o.title.get(language).to_owned(),
        };
        Ok(Allowed {
            prefaces: places("preface").iter().map(named).collect(),
            prayer: places("eucharistic-prayer").first().map(named),
            options: order.iter().flat_map(|o| &o.options).map(option).collect(),
        })
    }
}

fn texts(service: &Service, language: Language) -> Vec<Text> {
    let text = |need: &order::Need| Text {
        stand: card::stand(need.stand, language).to_owned(),
        moment: need.title.get(language).to_owned(),
        title: need.places.first().map(|c| c.title.get(language).to_owned()).unwrap_or_default(),
        by_heart: need.by_heart,
        reason: need.reason.clone(),
    };
    service.needs.iter().map(text).collect()
}

/// The edge of each book that the plan reads from.
pub(super) fn edges(plan: &Plan, books: &[Book], language: Language) -> Vec<Edge> {
    let used = |b: &&Book| plan.stops.iter().any(|s| s.book == b.name);
    books.iter().filter(used).map(|book| edge(plan, book, language)).collect()
}

fn edge(plan: &Plan, book: &Book, language: Language) -> Edge {
    let span = Span::of(book);
    let laid = plan.ribbons.iter().filter(|r| r.book == book.name);
    let open = plan.stops.iter().find(|s| s.book == book.name && s.hand == Move::LaidOpen);
    let open = open.and_then(|s| s.page.clone()).and_then(|page| Some((span.at(&page)?, page)));
    let ribbon = |r: &crate::ribbon::Laid| {
        let colour = book.ribbons.get(r.number.saturating_sub(1));
        let dye = colour.and_then(|c| card::dye(&c.colour));
        OnEdge {
            ribbon: card::ribbon_name(&r.ribbon, language),
            number: r.number,
            dye: dye.map(|[r, g, b]| format!("#{r:02x}{g:02x}{b:02x}")),
            page: r.page.clone(),
            at: span.at(&r.page).unwrap_or(0.5),
            text: r.text.get(language).to_owned(),
            doubt: r.doubt && r.state != PageState::Reckoned,
        }
    };
    Edge {
        book: book.name.clone(),
        pages: span.labels(),
        open,
        ribbons: laid.map(ribbon).collect(),
    }
}

/// The pages of a book from the first its map names to the last.
struct Span<'a> {
    book: &'a Book,
    first: Option<(i32, Label)>,
    last: Option<(i32, Label)>,
}

impl<'a> Span<'a> {
    fn of(book: &'a Book) -> Self {
        let order = book.leaf_order();
        let labels = book.entries.iter().filter_map(|e| Label::parse(e.page.as_deref()?));
        let placed: Vec<(i32, Label)> = labels.map(|l| (order.position(&l), l)).collect();
        let first = placed.iter().min_by_key(|p| p.0).cloned();
        let last = placed.iter().max_by_key(|p| p.0).cloned();
        Span { book, first, last }
    }

    fn at(&self, page: &str) -> Option<f64> {
        let position = self.book.leaf_order().position(&Label::parse(page)?);
        let (first, last) = (self.first.as_ref()?.0, self.last.as_ref()?.0);
        let share = f64::from(position - first) / f64::from((last - first).max(1));
        Some(share.clamp(0.0, 1.0))
    }

    fn labels(&self) -> (String, String) {
        let label = |end: &Option<(i32, Label)>| end.as_ref().map(|e| e.1.to_string());
        (label(&self.first).unwrap_or_default(), label(&self.last).unwrap_or_default())
    }
}

/// What may be chosen on any date, by kind.
#[derive(Serialize)]
struct Choices {
    prefaces: Vec<Named>,
    prayers: Vec<Named>,
    blessings: Vec<Named>,
    commons: Vec<Named>,
    rites: Vec<Named>,
    masses: Vec<Named>,
    /// Masses whose prayers a weekday in Ordinary Time may use.
    ordinary: Vec<Named>,
    moments: Vec<Moment>,
}

/// A moment of the Mass as usual.
#[derive(Serialize)]
struct Moment {
    moment: String,
    title: String,
    /// Most priests know it by heart.
    by_heart: bool,
}

fn moments(language: Language) -> Result<Vec<Moment>> {
    let usual = order::service_orders()?.first();
    let moment = |step: &order::Step| match step {
        order::Step::Moment(m) => Some(Moment {
            moment: m.moment.clone(),
            title: m.title.get(language).to_owned(),
            by_heart: m.by_heart,
        }),
        _ => None,
    };
    Ok(usual.iter().flat_map(|o| &o.steps).filter_map(moment).collect())
}

/// `GET /api/choices`
pub(super) async fn choices(
    State(desk): State<Shared>,
    Query(tongue): Query<super::Tongue>,
) -> Response {
    work(desk, move |desk| {
        let language = tongue.or(desk);
        let outline = Outline::shipped("roman-missal-3")?;
        let of = |wanted: &dyn Fn(&OutlinePlace) -> bool| -> Vec<Named> {
            let all = outline.places.iter().enumerate().filter(|(_, p)| p.pages > 0.0 && wanted(p));
            all.map(|(i, p)| named(outline, i, p, language)).collect()
        };
        let preface = |p: &OutlinePlace| {
            let last = p.place.as_str().rsplit('/').next().unwrap_or("");
            p.place.is_under("order/preface") || last.starts_with("preface")
        };
        let mass_of = |p: &OutlinePlace, roots: &[&str]| {
            let last = p.place.as_str().rsplit('/').next().unwrap_or("");
            let piece = last.starts_with("preface") || last.contains("blessing");
            roots.iter().any(|r| p.place.is_under(r)) && !piece && p.level > 1
        };
        Reply::json(&Choices {
            prefaces: of(&|p| preface(p) && !p.place.is_under("order/preface-dialogue")),
            prayers: of(&|p| p.place.is_under("order/prayer") && !preface(p)),
            blessings: of(&|p| {
                (p.place.is_under("order/blessing") || p.place.is_under("order/people"))
                    && p.level > 2
            }),
            commons: of(&|p| mass_of(p, &["common"])),
            rites: of(&|p| mass_of(p, &["ritual"])),
            masses: of(&|p| mass_of(p, &["ritual", "needs", "votive", "dead"])),
            ordinary: of(&|p| p.place.is_under("time/ordinary")),
            moments: moments(language)?,
        })
    })
    .await
}

/// A title with the headings over it that are no section: "For the Church · A".
fn named(outline: &Outline, at: usize, place: &OutlinePlace, language: Language) -> Named {
    let above = outline.headings(at).into_iter().filter(|h| h.level > 2);
    let mut words: Vec<&str> = above.map(|h| h.title.get(language)).collect();
    words.push(place.title.get(language));
    Named { place: place.place.clone(), title: words.join(" · ") }
}
