//! Every day of seven years has a complete service, in order, with places that the missal knows.

use std::collections::HashSet;
use vitta::book::Outline;
use vitta::calendar::Calendar;
use vitta::language::Language;
use vitta::order::{Need, Service, Settings, service};

/// Moments that no Mass lacks, in their order.
const OF_EVERY_MASS: [&str; 7] = [
    "collect",
    "preparation",
    "offerings",
    "preface",
    "eucharistic-prayer",
    "communion-rite",
    "after-communion",
];

fn faults(service: &Service, missal: &Outline) -> Vec<String> {
    let mut faults = Vec::new();
    let mut moments = HashSet::new();
    for need in &service.needs {
        if !moments.insert(need.moment.as_str()) {
            faults.push(format!("moment {} twice", need.moment));
        }
        faults.extend(faults_of_need(need, missal));
    }
    let order: Vec<_> =
        OF_EVERY_MASS.iter().map(|m| service.needs.iter().position(|n| n.moment == *m)).collect();
    if order.iter().any(Option::is_none) || !order.is_sorted() {
        faults.push(format!("moments missing or out of order: {order:?}"));
    }
    faults
}

fn faults_of_need(need: &Need, missal: &Outline) -> Vec<String> {
    let mut faults = Vec::new();
    if need.places.is_empty() {
        faults.push(format!("{}: no place", need.moment));
    }
    for candidate in &need.places {
        match missal.get(&candidate.place) {
            None => faults.push(format!("{}: unknown place {}", need.moment, candidate.place)),
            Some(known) if known.level == 1 => {
                faults.push(format!("{}: a whole section, {}", need.moment, candidate.place));
            }
            Some(_) => {}
        }
    }
    if !(1..=5).contains(&need.weight) || need.reason.trim().is_empty() {
        faults.push(format!("{}: weight {} reason \"{}\"", need.moment, need.weight, need.reason));
    }
    faults
}

#[test]
fn every_celebration_of_2024_to_2030_has_a_complete_service() {
    let calendar = Calendar::shipped("general").unwrap();
    let missal = Outline::shipped("roman-missal-3").unwrap();
    let settings = Settings::default();
    let mut wrong = Vec::new();
    let mut services = 0;
    for year in 2024..=2030 {
        for day in calendar.year(year).unwrap().days() {
            let day = day.write(Language::En);
            for celebration in &day.celebrations {
                services += 1;
                match service(&day, Some(&celebration.id), &settings) {
                    // Good Friday has no Mass; its order has a test of its own.
                    Ok(_) if celebration.id.as_str() == "time/triduum/good-friday" => {}
                    Ok(service) => wrong.extend(
                        faults(&service, missal)
                            .into_iter()
                            .map(|f| format!("{} {}: {f}", day.date, celebration.id)),
                    ),
                    Err(e) => wrong.push(format!("{} {}: {e}", day.date, celebration.id)),
                }
            }
        }
    }
    assert!(services > 2557, "{services}");
    assert!(
        wrong.is_empty(),
        "{} faults\n{}",
        wrong.len(),
        wrong[..wrong.len().min(40)].join("\n")
    );
}

/// What a service tells its reader is told in Spanish too.
#[test]
fn every_note_is_in_spanish() {
    let calendar = Calendar::shipped("general").unwrap();
    let english = [" the ", "Eucharistic", "Collect", " stand ", "Mass", "Taken", "rule"];
    let mut notes = HashSet::new();
    for day in calendar.year(2026).unwrap().days() {
        let day = day.write(Language::Es);
        for celebration in &day.celebrations {
            let service = service(&day, Some(&celebration.id), &Settings::default()).unwrap();
            notes.extend(service.notes.into_iter().map(|n| (n.en.clone(), n.es)));
        }
    }
    assert!(notes.len() > 30, "{}", notes.len());
    for (en, es) in notes {
        let es = es.unwrap_or_else(|| panic!("not in Spanish: {en}"));
        assert!(english.iter().all(|word| !es.contains(word)), "{es}");
    }
    for order in vitta::order::service_orders().unwrap() {
        assert!(order.notes.iter().all(|n| n.es.is_some()), "{}", order.title.en);
    }
}

#[test]
fn celebrations_of_other_calendars_are_in_the_missal_or_told_to_stand_in_a_proper() {
    let missal = Outline::shipped("roman-missal-3").unwrap();
    let mut wrong = Vec::new();
    let mut national = HashSet::new();
    for name in vitta::calendar::names() {
        for day in Calendar::shipped(name).unwrap().year(2027).unwrap().days() {
            let day = day.write(Language::En);
            for celebration in &day.celebrations {
                let mass = match service(&day, Some(&celebration.id), &Settings::default()) {
                    Ok(mass) => mass,
                    Err(e) => {
                        wrong.push(format!("{name} {}: {e}", day.date));
                        continue;
                    }
                };
                let unknown = mass
                    .needs
                    .iter()
                    .flat_map(|n| &n.places)
                    .filter(|c| missal.get(&c.place).is_none());
                for candidate in unknown {
                    let told =
                        mass.notes.iter().any(|n| n.en.contains("national or diocesan proper"));
                    if candidate.place != celebration.id || !told {
                        wrong.push(format!("{name} {}: {}", day.date, candidate.place));
                    }
                    assert_eq!(candidate.title, celebration.title, "named for people");
                }
                if missal.get(&celebration.id).is_some_and(|p| !p.nations.is_empty()) {
                    national.insert(celebration.id.clone());
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(national.len() > 20, "{national:?}");
}
