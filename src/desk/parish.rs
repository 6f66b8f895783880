//! The parish: its name, habits and choices for single dates, and the layers of its calendar.
//!
//! One change goes to one field, named by its JSON pointer (RFC 6901), and says what stood there before.

use super::door::parse;
use super::reply::{Reply, work};
use super::{Desk, Shared, not_understood};
use crate::book::Outline;
use crate::calendar::{self, Colour, Layer};
use crate::language::Language;
use crate::order;
use crate::place::Place;
use crate::shelf::{Mark, Parish, Shelf};
use crate::{Result, format};
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use chrono::{Datelike, Local, NaiveDate};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// The parish's own layer of the calendar, beside the parish's file.
const OWN: &str = "own-calendar.json";

/// The parish's word for its calendar and the marks of the files it may be made of.
pub(super) type CalendarKey = (String, Vec<(String, Mark)>);

pub(super) fn calendar_key(parish: &Parish, shelf: &Shelf) -> Result<CalendarKey> {
    let own = parish.calendar.ends_with(".json");
    let files = if own { shelf.beside_parish()? } else { Vec::new() };
    Ok((parish.calendar.clone(), files))
}

#[derive(Serialize)]
struct Answer {
    parish: Parish,
    /// Layers that one's own may stand on, shipped ones first.
    calendars: Vec<Listed>,
    own: Own,
    /// Titles of the celebrations of one's own that the layers below have.
    titles: BTreeMap<Place, String>,
}

#[derive(Serialize)]
struct Listed {
    name: String,
    title: String,
    kind: calendar::Kind,
}

/// What the parish celebrates of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Own {
    /// The layer it stands on.
    over: String,
    celebrations: Vec<OwnCelebration>,
}

/// One celebration of the parish's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OwnCelebration {
    role: calendar::Role,
    month: u32,
    day: u32,
    /// A celebration that the layers below have on that date.
    id: Option<Place>,
    /// Its title, where they have none.
    title: Option<String>,
    colour: Option<Colour>,
}

/// `GET /api/parish`
pub(super) async fn parish(
    State(desk): State<Shared>,
    Query(tongue): Query<super::Tongue>,
) -> Response {
    work(desk, move |desk| Reply::json(&answer(desk, tongue.or(desk))?)).await
}

fn answer(desk: &Desk, language: Language) -> Result<Answer> {
    let parish = desk.shelf.parish()?;
    let mut calendars = Vec::new();
    for name in calendar::names() {
        let layer = calendar::layer(name)?;
        calendars.push(listed(name, &layer, language));
    }
    for (name, _) in desk.shelf.beside_parish()? {
        // A file of another kind is none of ours to list.
        if let (false, Ok(layer)) = (name == OWN, desk.shelf.layer(&name)) {
            calendars.push(listed(&name, &layer, language));
        }
    }
    let own = own_of(desk, &parish)?;
    let outline = Outline::shipped("roman-missal-3")?;
    let title = |id: &Place| Some((id.clone(), outline.get(id)?.title.get(language).to_owned()));
    let titles = own.celebrations.iter().filter_map(|c| title(c.id.as_ref()?)).collect();
    Ok(Answer { parish, calendars, own, titles })
}

fn listed(name: &str, layer: &Layer, language: Language) -> Listed {
    Listed { name: name.to_owned(), title: layer.chosen_as(language), kind: layer.kind }
}

fn own_of(desk: &Desk, parish: &Parish) -> Result<Own> {
    if parish.calendar != OWN {
        return Ok(Own { over: parish.calendar.clone(), celebrations: Vec::new() });
    }
    let layer = desk.shelf.layer(OWN)?;
    let over = layer.over.last().cloned().unwrap_or_else(|| calendar::GENERAL.to_owned());
    let celebrations = layer.celebrations.iter().filter_map(own_celebration).collect();
    Ok(Own { over, celebrations })
}

fn own_celebration(entry: &calendar::Entry) -> Option<OwnCelebration> {
    let on = serde_json::to_value(entry.on.as_ref()?).ok()?;
    let (month, day) = on.as_str()?.split_once('-')?;
    let known = entry.title.is_none();
    Some(OwnCelebration {
        role: entry.role?,
        month: month.parse().ok()?,
        day: day.parse().ok()?,
        id: known.then(|| entry.id.clone()),
        title: entry.title.as_ref().map(|t| t.en.clone()),
        colour: entry.colour,
    })
}

/// One field and what it is to be.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    at: String,
    #[serde(default)]
    before: Value,
    #[serde(default)]
    value: Value,
}

/// `POST /api/parish`
pub(super) async fn change(State(desk): State<Shared>, body: Bytes) -> Response {
    work(desk, move |desk| {
        let change: Change = parse(&body)?;
        let (changed, conflict) = desk.shelf.change_parish(|parish| {
            let mut whole =
                serde_json::to_value(&*parish).map_err(|e| not_understood(e.to_string()))?;
            let now = whole.pointer(&change.at).cloned().unwrap_or(Value::Null);
            if now != change.before && now != change.value {
                return Ok(Some(now));
            }
            set(&mut whole, &change.at, change.value.clone())?;
            let changed: Parish = serde_path_to_error::deserialize(whole)
                .map_err(|e| not_understood(format!("at {}: {}", e.path(), e.inner())))?;
            check(desk, parish, &changed, &change.at)?;
            *parish = changed;
            Ok(None)
        })?;
        conflict.map_or_else(|| Reply::json(&changed), |now| Ok(Reply::Conflict(now)))
    })
    .await
}

/// Sets the field at `pointer`, making the objects on the way; nothing takes the field out, and the
/// objects it leaves empty.
fn set(whole: &mut Value, pointer: &str, value: Value) -> Result<()> {
    let steps: Vec<String> =
        pointer.split('/').skip(1).map(|s| s.replace("~1", "/").replace("~0", "~")).collect();
    set_in(whole, &steps, value)
        .ok_or_else(|| not_understood(format!("\"{pointer}\" names no field of a parish")))
}

fn set_in(at: &mut Value, steps: &[String], value: Value) -> Option<()> {
    let (first, rest) = steps.split_first()?;
    let fields = at.as_object_mut()?;
    if rest.is_empty() {
        match value {
            Value::Null => drop(fields.shift_remove(first)),
            value => drop(fields.insert(first.clone(), value)),
        }
        return Some(());
    }
    let inner = fields.entry(first.clone()).or_insert_with(|| Value::Object(Map::new()));
    set_in(inner, rest, value)?;
    if inner.as_object().is_some_and(Map::is_empty) && rest.len() < 2 && first != "days" {
        fields.shift_remove(first);
    }
    Some(())
}

/// Refuses what would make a day's service impossible: the day that the change is for, or today.
fn check(desk: &Desk, before: &Parish, parish: &Parish, at: &str) -> Result<()> {
    let calendar = &parish.calendar;
    if *calendar != before.calendar && calendar.contains(['/', '\\']) {
        return Err(not_understood(format!("\"{calendar}\" is no calendar's name")));
    }
    let of_date = at.strip_prefix("/settings/days/").and_then(|rest| rest.get(..10));
    let date = of_date.and_then(|d| d.parse::<NaiveDate>().ok());
    let date = date.unwrap_or_else(|| Local::now().date_naive());
    let day = desk.calendar(parish)?.day(date, Language::En)?;
    order::service(&day, None, &parish.settings).map(drop)
}

/// What the page knew of the parish's own calendar and what it is to be.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OwnChange {
    before: Own,
    value: Own,
    lang: Option<Language>,
}

/// `POST /api/parish/own`
pub(super) async fn own(State(desk): State<Shared>, body: Bytes) -> Response {
    work(desk, move |desk| {
        let change: OwnChange = parse(&body)?;
        let own = &change.value;
        let (_, conflict) = desk.shelf.change_parish(|parish| {
            let now = own_of(desk, parish)?;
            if now != change.before && now != *own {
                return Ok(Some(serde_json::to_value(&now).unwrap_or_default()));
            }
            if own.over.contains(['/', '\\']) || own.over == OWN {
                return Err(not_understood(format!("\"{}\" is no calendar's name", own.over)));
            }
            if own.celebrations.is_empty() {
                desk.shelf.calendar_called(&own.over)?;
                parish.calendar.clone_from(&own.over);
            } else {
                let layer = layer_of(own, parish)?;
                desk.shelf.calendar_over(layer.clone())?;
                desk.shelf.put_layer(OWN, &layer)?;
                parish.calendar = OWN.to_owned();
            }
            Ok(None)
        })?;
        match conflict {
            Some(now) => Ok(Reply::Conflict(now)),
            None => Reply::json(&answer(desk, change.lang.unwrap_or(desk.language))?),
        }
    })
    .await
}

/// The layer as a person would write its file.
fn layer_of(own: &Own, parish: &Parish) -> Result<Layer> {
    let title = if parish.name.trim().is_empty() { "Our parish" } else { parish.name.trim() };
    let celebrations: Vec<Value> = own.celebrations.iter().map(entry_of).collect::<Result<_>>()?;
    let over = match own.over.as_str() {
        calendar::GENERAL => json!([]),
        over => json!([over]),
    };
    let file = json!({
        "format": "vitta calendar", "version": 1,
        "source": {"title": format!("Calendar of {title}"), "how": "typed at the desk"},
        "sources": {"own": {"title": "What the parish celebrates", "how": "typed at the desk"}},
        "name": "own-calendar", "title": {"en": title}, "kind": "parish",
        "over": over, "celebrations": celebrations
    });
    format::parse(&file.to_string(), std::path::Path::new(OWN))
}

fn entry_of(own: &OwnCelebration) -> Result<Value> {
    let (month, day) = (own.month, own.day);
    let wrong = || not_understood(format!("there is no day {day} in month {month}"));
    NaiveDate::from_ymd_opt(2000, month, day).ok_or_else(wrong)?;
    let on = format!("{month:02}-{day:02}");
    let role = serde_json::to_value(own.role).unwrap_or_default();
    match (&own.id, own.title.as_deref().map(str::trim).filter(|t| !t.is_empty())) {
        (Some(id), None) => {
            Ok(json!({"id": id, "on": on, "role": role, "rank": "solemnity", "source": "own"}))
        }
        (_, Some(title)) => {
            let mut words = slug(title);
            if words.is_empty() {
                words = "own".to_owned();
            }
            let of = match own.role {
                calendar::Role::DedicationOfChurch | calendar::Role::DedicationOfCathedral => {
                    "lord"
                }
                _ => "saint",
            };
            Ok(json!({
                "id": format!("saints/{on}/{words}"), "on": on, "role": role, "of": of, "rank": "solemnity",
                "title": {"en": title}, "colour": own.colour.unwrap_or(Colour::White), "source": "own"
            }))
        }
        (None, None) => Err(not_understood("a celebration of one's own wants a title".into())),
    }
}

/// A title as a step of a place.
fn slug(title: &str) -> String {
    use unicode_normalization::UnicodeNormalization;
    let plain: String = title.nfd().filter(char::is_ascii).collect::<String>().to_lowercase();
    let words = plain.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty());
    words.collect::<Vec<_>>().join("-")
}

/// `POST /api/parish/layer`: a calendar's file from the diocese or from another parish.
pub(super) async fn layer(
    State(desk): State<Shared>,
    Query(tongue): Query<super::Tongue>,
    body: Bytes,
) -> Response {
    work(desk, move |desk| {
        let text = std::str::from_utf8(&body).map_err(|e| not_understood(e.to_string()))?;
        let layer: Layer = format::parse(text, std::path::Path::new("the calendar's file"))?;
        let name = slug(&layer.name);
        if name.is_empty() || ["parish", "own-calendar"].contains(&name.as_str()) {
            return Err(not_understood(format!("\"{}\" is no calendar's name", layer.name)));
        }
        desk.shelf.calendar_over(layer.clone())?;
        desk.shelf.put_layer(&format!("{name}.json"), &layer)?;
        Reply::json(&answer(desk, tongue.or(desk))?)
    })
    .await
}

/// `GET /api/parish/on/{month}/{day}`: the celebrations that the calendar has on a date.
pub(super) async fn on(
    State(desk): State<Shared>,
    Path((month, day)): Path<(u32, u32)>,
    Query(tongue): Query<super::Tongue>,
) -> Response {
    work(desk, move |desk| {
        let parish = desk.shelf.parish()?;
        let over = own_of(desk, &parish)?.over;
        let calendar = desk.shelf.calendar_called(&over)?;
        let language = tongue.or(desk);
        let mut found: Vec<Value> = Vec::new();
        // A year in which the date is a Sunday hides its saints: two years show them all.
        for year in [Local::now().year(), Local::now().year() + 1] {
            let Some(date) = NaiveDate::from_ymd_opt(year, month, day) else { continue };
            let day = calendar.day(date, language)?;
            let given_way = day.displaced.iter().map(|d| &d.celebration);
            for celebration in day.celebrations.iter().chain(given_way) {
                let id = celebration.id.as_str();
                let known = found.iter().any(|f| f["id"] == id);
                if celebration.id.is_under("saints") && !known {
                    found.push(json!({"id": id, "title": celebration.title.get(language)}));
                }
            }
        }
        Reply::json(&found)
    })
    .await
}
