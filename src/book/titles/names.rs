//! Saints' names in contents and indexes: without what they were, turned round, abbreviated.

use crate::language::{Language, PrintedLanguage};

/// First words of what a saint was, in titles: "…, Bishop and Martyr".
fn offices(language: PrintedLanguage) -> &'static str {
    match language {
        PrintedLanguage::En => {
            "Abbot Apostle Apostles Archangels Bishop Bishops Deacon Doctor Evangelist Hermit Martyr \
             Martyrs Monk Parents Pope Priest Priests Religious Spouse Virgin"
        }
        PrintedLanguage::Es => {
            "abad apóstol apóstoles arcángeles diácono doctor doctora eremita esposo evangelista \
             mártir mártires monje obispo obispos padres papa presbítero presbíteros religiosa \
             religioso virgen"
        }
        PrintedLanguage::La => {
            "abbatis apostoli apostolorum archangelorum diaconi doctoris Ecclesiae episcopi \
             episcoporum eremitae evangelistae martyris martyrum monachi papae parentum presbyteri \
             presbyterorum religiosae religiosi sponsi virginis"
        }
        PrintedLanguage::Fr => {
            "abbé apôtre apôtres archanges diacre docteur ermite époux évangéliste évêque évêques \
             martyr martyre martyrs moine pape parents premier prêtre prêtres religieuse religieux \
             vierge"
        }
        PrintedLanguage::De => {
            "Abt Abtbischof Apostel Äbtissin Bischof Bischöfe Bräutigam Diakon Einsiedler Eltern \
             Erzengel Erzmärtyrer Evangelist Glaubensbote Jungfrau Kirchenlehrer Kirchenlehrerin \
             Markgraf Märtyrer Märtyrin Mönch Ordensfrau Ordensmann Papst Priester erster"
        }
        PrintedLanguage::It => {
            "abate apostoli apostolo arcangeli diacono dottore dottori eremita evangelista genitori \
             martire martiri monaco papa patrono presbiteri presbitero primo religiosa religioso \
             sposo vergine vescovi vescovo"
        }
        PrintedLanguage::Pt => {
            "abade apóstolo apóstolos arcanjos bispo bispos diácono doutor doutora eremita esposo \
             evangelista monge mártir mártires pais papa presbítero presbíteros primeiro religiosa \
             religioso virgem"
        }
        PrintedLanguage::Pl => {
            "Apostoła Apostołów Archaniołów Ewangelisty Oblubieńca biskupa biskupów diakona doktora \
             dziewicy męczennic męczennicy męczennika męczenników mnicha opata papieża patrona \
             pierwszego prezbitera prezbiterów pustelnika rodziców zakonnicy zakonnika"
        }
    }
}

/// "Saints Cornelius, Pope, and Cyprian, Bishop, Martyrs" → "Saints Cornelius and Cyprian".
pub(super) fn without_office(form: &str, language: PrintedLanguage) -> Vec<String> {
    let (name, part) = head_of_path(form, language);
    let is_office = |segment: &&str| {
        let first = segment.split(' ').next().unwrap_or_default();
        offices(language).split(' ').any(|office| office == first)
    };
    let mut segments = name.split(", ");
    let mut bare = segments.next().unwrap_or_default().to_owned();
    for segment in segments.filter(|s| !is_office(s)) {
        let joined =
            ["and ", "y ", "e ", "et ", "und ", "i "].iter().any(|and| segment.starts_with(and));
        bare.push_str(if joined { " " } else { ", " });
        bare.push_str(segment);
    }
    if bare == name { Vec::new() } else { vec![bare + part] }
}

/// A title and what follows it on the path: "Peter and Paul, Apostles" and ": At the Vigil Mass".
fn head_of_path(form: &str, language: PrintedLanguage) -> (&str, &str) {
    let at = form.find(super::path_mark(language)).unwrap_or(form.len());
    form.split_at_checked(at).unwrap_or((form, ""))
}

/// What an index puts behind the name.
fn forenames(language: Language) -> &'static [&'static str] {
    match language {
        Language::En => &["Saint", "Saints", "Blessed", "The", "Our Lady of", "Our Lady of the"],
        Language::Es => &[
            "San",
            "Santa",
            "Santo",
            "Santos",
            "Santas",
            "El",
            "La",
            "Los",
            "Las",
            "Nuestra Señora de",
            "Nuestra Señora del",
            "Nuestra Señora de los",
        ],
        Language::La => &["Sancti", "Sanctae", "Sanctorum", "Sanctarum", "Beatae", "Beati"],
    }
}

/// "Saint Joseph, Spouse of the Blessed Virgin Mary" → "Joseph, Spouse of the Blessed Virgin Mary,
/// Saint" and "Joseph, Saint, Spouse of …".
pub(super) fn turned_round(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(spoken) = language.spoken() else { return Vec::new() };
    let is_lead =
        |lead: &&&str| form.strip_prefix(**lead).is_some_and(|rest| rest.starts_with(' '));
    let lead = forenames(spoken).iter().filter(is_lead).max_by_key(|lead| lead.len());
    let (_, part) = head_of_path(form, language);
    let Some(lead) = lead.filter(|_| part.is_empty()) else { return Vec::new() };
    let Some(name) = form.get(lead.len() + 1..) else { return Vec::new() };
    let mut forms = vec![format!("{name}, {lead}")];
    if let Some((name, rest)) = name.split_once(", ") {
        forms.push(format!("{name}, {lead}, {rest}"));
    }
    forms
}

/// "The Chair of Saint Peter the Apostle" → "Peter the Apostle, The Chair of Saint": an index finds
/// it under the person too.
pub(super) fn under_the_person(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(spoken) = language.spoken() else { return Vec::new() };
    let leads: &[&str] = match spoken {
        Language::En => &[" of Saint ", " of the Blessed "],
        Language::Es => &[" de san ", " de la Santísima "],
        Language::La => &[" sancti ", " beatae "],
    };
    let (_, part) = head_of_path(form, language);
    let cut = leads.iter().filter(|_| part.is_empty()).find_map(|lead| {
        let (what, name) = form.split_once(lead)?;
        let lead = lead.trim_end();
        Some(format!("{name}, {what}{lead}"))
    });
    cut.into_iter().collect()
}

/// "The Annunciation of the Lord" → "Annunciation of the Lord".
pub(super) fn without_article(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(spoken) = language.spoken() else { return Vec::new() };
    let articles: &[&str] = match spoken {
        Language::En => &["The "],
        Language::Es => &["El ", "La ", "Los ", "Las "],
        Language::La => &[],
    };
    articles.iter().filter_map(|a| form.strip_prefix(a)).map(str::to_owned).collect()
}

/// Abbreviations of contents and indexes.
fn abbreviations(language: Language) -> &'static [(&'static str, &'static str)] {
    match language {
        Language::En => &[
            ("Saint", "St."),
            ("Saints", "Sts."),
            ("Saints", "SS."),
            ("Blessed", "Bl."),
            ("Blessed Virgin Mary", "BVM"),
            ("Eucharistic Prayer", "EP"),
        ],
        Language::Es => &[
            ("San", "S."),
            ("san", "s."),
            ("Santa", "Sta."),
            ("santa", "sta."),
            ("Santo", "Sto."),
            ("Santos", "Stos."),
            ("Santas", "Stas."),
            ("Beato", "Bto."),
            ("Beata", "Bta."),
            ("Nuestra Señora", "Ntra. Sra."),
        ],
        Language::La => &[
            ("Sancti", "S."),
            ("Sanctae", "S."),
            ("Sanctorum", "Ss."),
            ("Sanctarum", "Ss."),
            ("beatae Mariae Virginis", "B.M.V."),
            ("Beatae Mariae Virginis", "B.M.V."),
        ],
    }
}

/// "Saint Joseph" → "St. Joseph".
pub(super) fn abbreviated(form: &str, language: PrintedLanguage) -> Vec<String> {
    let Some(spoken) = language.spoken() else { return Vec::new() };
    abbreviations(spoken)
        .iter()
        .filter_map(|(long, short)| replace_word(form, long, short))
        .collect()
}

/// `form` with `short` wherever `long` stands as a word of its own; none where it does not.
fn replace_word(form: &str, long: &str, short: &str) -> Option<String> {
    let in_word = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    let mut out = String::new();
    let mut rest = form;
    while let Some((before, after)) = rest.split_once(long) {
        let alone = !in_word(before.chars().next_back()) && !in_word(after.chars().next());
        out.push_str(before);
        out.push_str(if alone { short } else { long });
        rest = after;
    }
    out.push_str(rest);
    (out != form).then_some(out)
}
