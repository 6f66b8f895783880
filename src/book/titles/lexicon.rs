//! The words of each language that titles count and date with: weekdays, months, ordinals, articles, short forms.
//!
//! From memory. All words stand as [`folded`](super::super::words::folded) has them: lower case, without accents.

use crate::language::PrintedLanguage;

/// A language's words. Lists are divided by spaces, forms of one word by `|`.
pub(super) struct Lexicon {
    /// Monday to Sunday.
    pub weekdays: &'static str,
    /// January to December.
    pub months: &'static str,
    /// January to December as cut short after a day's number: "19 mar".
    pub short_months: &'static str,
    /// What ordinals begin with, from first on.
    pub ordinals: &'static str,
    /// Thirtieth and the like, which the ordinals before do not reach: word and value.
    pub tens: &'static [(&'static str, u16)],
    /// What ordinals end with; an empty ending is written `.`.
    pub endings: &'static str,
    /// What follows figures and roman numerals of ordinals: the "e" of "3e".
    pub after_figures: &'static str,
    /// Articles and small words that tell no title from another.
    pub fillers: &'static str,
    /// Short forms, inflected forms and compounds, with the words they stand for: `nmp:panny+maryi`.
    pub spelled: &'static [(&'static str, &'static str)],
}

/// The words of `language`; those of English are left to the comparison.
pub(super) fn lexicon(language: PrintedLanguage) -> Option<&'static Lexicon> {
    match language {
        PrintedLanguage::En => None,
        PrintedLanguage::Es => Some(&SPANISH),
        PrintedLanguage::La => Some(&LATIN),
        PrintedLanguage::Fr => Some(&FRENCH),
        PrintedLanguage::De => Some(&GERMAN),
        PrintedLanguage::It => Some(&ITALIAN),
        PrintedLanguage::Pt => Some(&PORTUGUESE),
        PrintedLanguage::Pl => Some(&POLISH),
    }
}

/// The names the comparison knows.
pub(super) const WEEKDAYS: [&str; 7] =
    ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
/// The names the comparison knows.
pub(super) const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Only the months: the comparison reads the rest.
const SPANISH: Lexicon = Lexicon {
    weekdays: "",
    months: "enero febrero marzo abril mayo junio julio agosto septiembre|setiembre octubre noviembre diciembre",
    short_months: "ene feb mar abr may jun jul ago sept|set oct nov dic",
    ordinals: "",
    tens: &[],
    endings: ".",
    after_figures: "",
    fillers: "",
    spelled: &[],
};

/// Only the months and the days, which [`feria`](super::plain) reads: the comparison reads the rest.
const LATIN: Lexicon = Lexicon {
    weekdays: "",
    months: "ianuarii|ianuarius|januarii|januarius februarii|februarius martii|martius aprilis maii|maius \
        iunii|iunius|junii|junius iulii|iulius|julii|julius augusti|augustus septembris octobris novembris \
        decembris",
    short_months: "ian|jan feb mart apr mai iun|jun iul|jul aug sept oct nov dec",
    ordinals: "",
    tens: &[],
    endings: ".",
    after_figures: "",
    fillers: "",
    spelled: &[],
};

const FRENCH: Lexicon = Lexicon {
    weekdays: "lundi mardi mercredi jeudi vendredi samedi dimanche|dimanches|dim",
    months: "janvier fevrier mars avril mai juin juillet aout septembre octobre novembre decembre",
    short_months: "janv fevr|fev mars avr mai juin juil aout sept oct nov dec",
    ordinals: "premier|premiere|unieme deuxieme|second|seconde troisieme quatrieme cinquieme sixieme septieme \
        huitieme neuvieme dixieme onzieme douzieme treizieme quatorzieme quinzieme seizieme dixseptieme \
        dixhuitieme dixneuvieme vingtieme",
    tens: &[("dix", 10), ("vingt", 20), ("trente", 30), ("trentieme", 30)],
    endings: ".",
    after_figures: "er re ere e eme ieme nd nde",
    fillers: "le la les l d de du des et au aux en dans",
    spelled: &[
        ("st|ste|sts|stes|s|ss|sainte|saints|saintes", "saint"),
        ("bvm", "vierge marie"),
        ("nd", "notre dame"),
        ("bx|bse", "bienheureux"),
        ("pref", "preface"),
        ("sem", "semaine"),
        ("ev|evq", "eveque"),
        ("ap", "apotre"),
        ("doct", "docteur"),
    ],
};

const GERMAN: Lexicon = Lexicon {
    weekdays: "montag dienstag mittwoch donnerstag freitag samstag|sonnabend sonntag|sonntage",
    months: "januar|janner februar|feber marz|maerz april mai juni juli august september oktober november \
        dezember",
    short_months: "jan feb mar apr mai jun jul aug sept|sep okt nov dez",
    ordinals: "erst zweit dritt viert funft|fuenft sechst siebt|siebent acht neunt zehnt elft zwolft|zwoelft \
        dreizehnt vierzehnt funfzehnt sechzehnt siebzehnt achtzehnt neunzehnt zwanzigst einundzwanzigst \
        zweiundzwanzigst dreiundzwanzigst vierundzwanzigst funfundzwanzigst sechsundzwanzigst \
        siebenundzwanzigst achtundzwanzigst neunundzwanzigst dreissigst einunddreissigst \
        zweiunddreissigst dreiunddreissigst vierunddreissigst",
    tens: &[],
    endings: "e er en es em",
    after_figures: "",
    fillers: "der die das des dem den und im am zu vom von zum zur in an auf",
    spelled: &[
        ("hl|hll|st|sankt|heilig|heilige|heiligen|heiliger|heiliges|heiligem", "saint"),
        ("adventssonntag|adventsonntag", "sunday advent"),
        ("adventswoche|adventwoche", "woche advent"),
        ("adventszeit", "advent"),
        ("fastensonntag", "sunday fastenzeit"),
        ("fastenwoche", "woche fastenzeit"),
        ("osterwoche", "woche osterzeit"),
        ("weihnachtsoktav", "oktav weihnachten"),
        ("osteroktav", "oktav ostern"),
        ("josef|joseph|josefs|josephs", "josef"),
        ("ulf", "unsere liebe frau"),
        ("praf|praefation", "prafation"),
        ("jkr", "jahreskreis"),
        ("sel|selige|seligen|seliger", "selige"),
        ("bi|bisch", "bischof"),
        ("mart|maertyrer", "martyrer"),
        ("jungfr", "jungfrau"),
        ("ap", "apostel"),
    ],
};

const ITALIAN: Lexicon = Lexicon {
    weekdays: "lunedi martedi mercoledi giovedi venerdi sabato domenica|domeniche|dom",
    months: "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre",
    short_months: "gen|genn feb|febb mar apr mag|magg giu lug ago|ag set|sett ott nov dic",
    ordinals: "prim second terz quart quint sest settim ottav non decim undicesim dodicesim tredicesim \
        quattordicesim quindicesim sedicesim diciassettesim diciottesim diciannovesim ventesim ventunesim \
        ventiduesim ventitreesim ventiquattresim venticinquesim ventiseiesim ventisettesim ventottesim \
        ventinovesim trentesim trentunesim trentaduesim trentatreesim trentaquattresim",
    tens: &[],
    endings: "o a i e",
    after_figures: "o a",
    fillers: "il lo la i gli le l di d del dello della dei degli delle dell e ed in nel nello nella nei nelle \
        nell al alla",
    spelled: &[
        ("s|ss|san|santo|santa|sant|santi|sante", "saint"),
        ("bvm", "beata vergine maria"),
        ("bv", "beata vergine"),
        ("pref", "prefazio"),
        ("sett|settimane", "settimana"),
        ("sacerdote|sac|presb", "presbitero"),
        ("vesc", "vescovo"),
        ("mart", "martire"),
        ("ap", "apostolo"),
        ("dott", "dottore"),
    ],
};

const PORTUGUESE: Lexicon = Lexicon {
    weekdays: "- terca - - - sabado domingo|domingos|dom",
    months: "janeiro fevereiro marco abril maio junho julho agosto setembro outubro novembro dezembro",
    short_months: "jan fev mar abr mai jun jul ago set out nov dez",
    ordinals: "primeir segund terceir quart quint sext setim oitav non decim undecim duodecim",
    tens: &[
        ("decimo", 10),
        ("decima", 10),
        ("vigesimo", 20),
        ("vigesima", 20),
        ("trigesimo", 30),
        ("trigesima", 30),
    ],
    endings: "o a os as",
    after_figures: "o a os as",
    fillers: "o a os as de do da dos das e em no na nos nas ao feira",
    spelled: &[
        ("s|ss|sao|santo|santa|santos|santas|sta|sto|stos|stas", "saint"),
        ("n", "nossa"),
        ("sr", "senhor"),
        ("sra", "senhora"),
        ("pref", "prefacio"),
        ("sem", "semana"),
        ("batismo", "baptismo"),
        ("batista", "baptista"),
        ("presb", "presbitero"),
        ("mart", "martir"),
        ("ap", "apostolo"),
    ],
};

const POLISH: Lexicon = Lexicon {
    weekdays: "poniedzialek wtorek sroda|srode|srody czwartek piatek sobota|soboty|sobote \
        niedziela|niedziele|niedzieli|niedz|ndz",
    months: "stycznia|styczen lutego|luty marca|marzec kwietnia|kwiecien maja|maj czerwca|czerwiec \
        lipca|lipiec sierpnia|sierpien wrzesnia|wrzesien pazdziernika|pazdziernik listopada|listopad \
        grudnia|grudzien",
    short_months: "sty lut mar kwi maj cze lip sie wrz paz lis gru",
    ordinals: "pierwsz drug trzec czwart piat szost siodm osm dziewiat dziesiat jedenast dwunast trzynast \
        czternast pietnast szesnast siedemnast osiemnast dziewietnast dwudziest",
    tens: &[
        ("dwudziesta", 20),
        ("dwudziesty", 20),
        ("dwudziestej", 20),
        ("dwudziestego", 20),
        ("trzydziesta", 30),
        ("trzydziesty", 30),
        ("trzydziestej", 30),
        ("trzydziestego", 30),
    ],
    endings: "y a e i ia ie iego iej ego ej ym im ich ych",
    after_figures: "",
    fillers: "w we z ze i na o nad",
    spelled: &[
        ("sw|swiety|swieta|swietego|swietej|swietych|swieci|swiete|s|ss|swietym", "saint"),
        ("nmp", "najswietszej maryi panny"),
        ("najsw|najswietsza|najswietszego", "najswietszej"),
        ("maryja|maryje", "maryi"),
        ("tyg|tydzien|tygodniu|tygodnie", "tygodnia"),
        ("okres|okresie|okresy", "okresu"),
        ("zwykly|zwykle|zwyklym|zwyklego", "zwykla"),
        ("adwent|adwencie", "adwentu"),
        ("wielki", "wielkiego"),
        ("post|poscie", "postu"),
        ("wielkanocny|wielkanocnego|wielkanocnym", "wielkanocna"),
        ("pref|prefacje", "prefacja"),
        ("bp|biskup", "biskupa"),
        ("kaplana|kaplan|prezbiter|prezb", "prezbitera"),
        ("mecz|meczennik", "meczennika"),
        ("dz|dziewica", "dziewicy"),
        ("ap|apostol", "apostola"),
        ("dra|dr|doktor", "doktora"),
        ("kosciol", "kosciola"),
    ],
};
