//! What can be typed. Parsing only records; checking dates and names comes after.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Sets up the altar book: what is celebrated, on which pages, and where the ribbons go.
#[derive(Debug, Parser)]
#[command(
    name = "vitta",
    version,
    after_help = "Exit: 0 done · 1 done, but a person must look · 2 not done.\n\
                  Check against your diocese's directory; the priest decides."
)]
pub struct Typed {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// What holds for every command.
    #[command(flatten)]
    pub common: Common,
}

/// What holds for every command.
#[derive(Debug, Args)]
pub struct Common {
    /// Where the books live, instead of the user's own folder: a folder, or a bucket as s3://BUCKET/PREFIX
    #[arg(long, global = true, value_name = "SHELF", env = "VITTA_SHELF")]
    pub shelf: Option<PathBuf>,
    /// Print the result as JSON
    #[arg(long, global = true)]
    pub json: bool,
    /// Language of titles and cards
    #[arg(long, global = true, value_enum, default_value_t = Tongue::En)]
    pub language: Tongue,
    /// Colour on the terminal; NO_COLOR is honoured
    #[arg(long, global = true, value_enum, default_value_t = When::Auto)]
    pub color: When,
}

/// A language to speak in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Tongue {
    /// English
    En,
    /// Spanish
    Es,
    /// Latin
    La,
}

/// A language books are printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Print {
    /// English
    En,
    /// Spanish
    Es,
    /// Latin
    La,
    /// French
    Fr,
    /// German
    De,
    /// Italian
    It,
    /// Portuguese
    Pt,
    /// Polish
    Pl,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read photographs of contents and index pages
    Read(Read),
    /// Look at a book's pages, correct them, compare editions
    Book(super::book::args::Book),
    /// Say what is celebrated and what the altar book must give
    Day(Day),
    /// List every day of a year
    Year(Year),
    /// Lay the ribbons and print the card
    Lay(Lay),
    /// Lay the ribbons for a week of Masses, moving as few as can be
    Week(Week),
    /// Look at what the parish has settled, change it, time one's own hand
    Parish(Parish),
    /// Open the page in the browser for the whole job
    Desk(Desk),
    /// Show the whole way, from photographs to the card, with an invented parish
    Demo(Demo),
    /// Print the script that completes commands in a shell
    Complete(Complete),
    /// Write the manual pages
    Man(Man),
}

/// `vitta read`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta read contents-1.jpg contents-2.jpg --book chapel\n\n\
    Without --book the photographs are only read and shown. Ctrl-C finishes the photographs in hand and keeps \
    what was read; with --out the same call then goes on with the rest. Without a book, exit 1 of a call with \
    --out says that a photograph could not be read.")]
pub struct Read {
    /// Photographs, folders of photographs, or what --out kept of them
    #[arg(required = true, value_name = "PHOTO")]
    pub photos: Vec<PathBuf>,
    /// Book on the shelf that they belong to; a new one is begun if there is none
    #[arg(long, value_name = "NAME")]
    pub book: Option<String>,
    /// Kind of book: a shipped outline, or "none" for a book that follows none of them
    #[arg(long, value_name = "OUTLINE", default_value = "roman-missal-3")]
    pub outline: String,
    /// Language the book is printed in; guessed from its titles if not given
    #[arg(long, value_enum, value_name = "LANGUAGE")]
    pub printed: Option<Print>,
    /// Folder to keep what was read on each photograph, which is then not read again
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Folder for pictures of every step, to see what the reading saw
    #[arg(long, value_name = "FOLDER")]
    pub show_steps: Option<PathBuf>,
}

/// `vitta day`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta day 2026-12-08")]
pub struct Day {
    /// Year-month-day, or today, tomorrow, sunday
    #[arg(default_value = "today")]
    pub date: String,
    /// Celebrate this instead of what is kept by default: the title of a celebration, a form of it or another Mass
    #[arg(long, value_name = "TITLE")]
    pub choose: Option<String>,
    /// The texts chosen
    #[command(flatten)]
    pub texts_chosen: Texts,
    /// The Mass of the evening, where the next day begins on it
    #[arg(long, conflicts_with = "choose")]
    pub evening: bool,
    /// Calendar that comes with the program, or a calendar file, instead of the parish's
    #[arg(long, value_name = "CALENDAR")]
    pub calendar: Option<String>,
    /// List the texts to read through in the sacristy
    #[arg(long)]
    pub texts: bool,
    /// Say everything: every reason, what else is permitted, all notes
    #[arg(long)]
    pub all: bool,
    /// Book on the shelf, or a book's file: gives the pages
    #[arg(long, value_name = "NAME")]
    pub book: Option<String>,
}

/// `vitta year`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta year 2027 --calendar england --ics > england-2027.ics\n\n\
    The first celebration of a day is kept by default, the others may be chosen.")]
pub struct Year {
    /// A year from 1970 to 2100
    #[arg(value_name = "YEAR")]
    pub year: i32,
    /// Calendar that comes with the program, or a calendar file, instead of the parish's
    #[arg(long, value_name = "CALENDAR")]
    pub calendar: Option<String>,
    /// Print a row for each celebration, as CSV
    #[arg(long, conflicts_with_all = ["ics", "json"])]
    pub csv: bool,
    /// Print an event for each day, as an iCalendar file
    #[arg(long, conflicts_with = "json")]
    pub ics: bool,
}

/// `vitta lay`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta lay sunday --book chapel --ribbons 4")]
pub struct Lay {
    /// Year-month-day, or today, tomorrow, sunday
    #[arg(default_value = "today")]
    pub date: String,
    /// The books on the table
    #[command(flatten)]
    pub table: Table,
    /// What the laying is bound to
    #[command(flatten)]
    pub bound: Bindings,
    /// A second book beside the others with the same Mass, as in another language
    #[arg(long, value_name = "NAME")]
    pub beside: Option<String>,
    /// Celebrate this instead of what is kept by default: the title of a celebration, a form of it or another Mass
    #[arg(long, value_name = "TITLE")]
    pub choose: Option<String>,
    /// The texts chosen
    #[command(flatten)]
    pub texts_chosen: Texts,
    /// The Mass of the evening, where the next day begins on it
    #[arg(long, conflicts_with = "choose")]
    pub evening: bool,
    /// Calendar that comes with the program, or a calendar file, instead of the parish's
    #[arg(long, value_name = "CALENDAR")]
    pub calendar: Option<String>,
    /// Write the card to a file as well: .pdf, .svg or .txt by its ending
    #[arg(long, value_name = "FILE")]
    pub card: Option<PathBuf>,
    /// Write a page for the server or master of ceremonies: .pdf, .svg or .txt by its ending
    #[arg(long, value_name = "FILE")]
    pub server: Option<PathBuf>,
    /// Paper of the card and the page: a6, a5 or a4
    #[arg(long, value_name = "SIZE", default_value = "a5")]
    pub paper: String,
}

/// What a person binds the laying to.
#[derive(Debug, Default, Args)]
pub struct Bindings {
    /// Lay nothing with this ribbon, which is torn: its colour, or its number from the spine
    #[arg(long, value_name = "RIBBON")]
    pub torn: Vec<String>,
    /// Leave this ribbon in a section, e.g. green="Order of Mass"
    #[arg(long, value_name = "RIBBON=SECTION")]
    pub keep: Vec<String>,
    /// Lay no ribbon for a moment or text, by its title, e.g. "Solemn Blessing"
    #[arg(long, value_name = "TITLE")]
    pub no_ribbon: Vec<String>,
    /// Read a moment or text from a sheet, by its title, e.g. "Preface"
    #[arg(long, value_name = "TITLE")]
    pub on_sheet: Vec<String>,
}

/// Texts chosen in a Mass.
#[derive(Debug, Args)]
pub struct Texts {
    /// Take this preface, by its title, e.g. "Preface I of Advent"
    #[arg(long, value_name = "TITLE")]
    pub preface: Option<String>,
    /// Take this Eucharistic Prayer, by its title, e.g. "Eucharistic Prayer I"
    #[arg(long, value_name = "TITLE")]
    pub prayer: Option<String>,
    /// Give this solemn blessing, or say this prayer over the people, by its title
    #[arg(long, value_name = "TITLE")]
    pub blessing: Option<String>,
    /// Sprinkle with holy water instead of the Penitential Act
    #[arg(long)]
    pub sprinkling: bool,
    /// Form of the Penitential Act
    #[arg(long, value_enum, value_name = "FORM")]
    pub penitential: Option<Form>,
}

/// A form of the Penitential Act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// The Confiteor
    First,
    /// The versicles
    Second,
    /// The invocations printed in the Order of Mass
    Third,
    /// The invocations at the back of the book
    ThirdFromAppendix,
}

/// Books on the table, their ribbons, where they are used.
#[derive(Debug, Args)]
pub struct Table {
    /// Book on the shelf, or a book's file; more than one where a text may be read from any of them
    #[arg(long, required = true, value_name = "NAME")]
    pub book: Vec<String>,
    /// How many of the copy's ribbons to use, once for each book; all of them if not given; 0 for the pages in order
    #[arg(long, value_name = "N")]
    pub ribbons: Vec<usize>,
    /// Which of the books is used at the chair and elsewhere than at the altar, instead of the parish's
    #[arg(long, value_name = "NAME")]
    pub chair: Option<String>,
}

/// `vitta week`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta week --book chapel --ribbons 4 --card week.pdf\n\n\
    Without a date it begins with the Mass of the coming Saturday's evening.")]
pub struct Week {
    /// Year-month-day, or today, tomorrow, sunday
    pub date: Option<String>,
    /// Begin with the Mass of that date's evening
    #[arg(long, requires = "date")]
    pub evening: bool,
    /// How many days
    #[arg(long, value_name = "N", default_value_t = 7, value_parser = clap::value_parser!(u16).range(1..=370))]
    pub days: u16,
    /// The books on the table
    #[command(flatten)]
    pub table: Table,
    /// What the laying is bound to
    #[command(flatten)]
    pub bound: Bindings,
    /// Calendar that comes with the program, or a calendar file, instead of the parish's
    #[arg(long, value_name = "CALENDAR")]
    pub calendar: Option<String>,
    /// Write the sheet for the sacristy wall (A4 across) as well: .pdf, .svg or .txt by its ending
    #[arg(long, value_name = "FILE")]
    pub card: Option<PathBuf>,
    /// Print an event for each Mass with its ribbons, as an iCalendar file
    #[arg(long, conflicts_with = "json")]
    pub ics: bool,
}

/// `vitta parish`
#[derive(Debug, Args)]
#[command(
    after_help = "Example: vitta parish set --calendar england --by-heart \"Eucharistic Prayer II\"\n\n\
    Everything is in one file, parish.json on the shelf."
)]
pub struct Parish {
    /// What to do
    #[command(subcommand)]
    pub action: ParishAction,
}

/// What can be done with the parish's settings.
#[derive(Debug, Subcommand)]
pub enum ParishAction {
    /// Show what is settled
    Show,
    /// Settle something
    Set(Box<ParishSet>),
    /// Turn a few pages against the clock, and get your own costs
    Calibrate,
}

/// `vitta parish set`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta parish set --chair-book chair --cost pull=180")]
pub struct ParishSet {
    /// The parish's name
    #[arg(long)]
    pub name: Option<String>,
    /// Calendar that comes with the program, or the name of a calendar file beside the parish's
    #[arg(long, value_name = "CALENDAR")]
    pub calendar: Option<String>,
    /// The book for the chair
    #[arg(long, value_name = "NAME")]
    pub chair_book: Option<String>,
    /// A moment or text known by heart, by its title, e.g. "Eucharistic Prayer II"
    #[arg(long, value_name = "TITLE")]
    pub by_heart: Vec<String>,
    /// A moment or text that is read from the book although it is usually known by heart, by its title
    #[arg(long, value_name = "TITLE")]
    pub from_the_book: Vec<String>,
    /// A moment or text read from a sheet, by its title
    #[arg(long, value_name = "TITLE")]
    pub on_sheet: Vec<String>,
    /// A moment or text that no ribbon is laid for, by its title
    #[arg(long, value_name = "TITLE")]
    pub no_ribbon: Vec<String>,
    /// A moment or text that is read from the book and may have a ribbon again
    #[arg(long, value_name = "TITLE")]
    pub unbound: Vec<String>,
    /// A cost, in hundredths of one leaf: NAME=NUMBER
    #[arg(long, value_name = "NAME=NUMBER")]
    pub cost: Vec<String>,
}

/// `vitta desk`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta desk --lan\n\n\
    With --lan a phone in the same network can take the photographs: open the address shown on it and type \
    the code shown here. Ctrl-C ends the desk; everything is kept at once.")]
pub struct Desk {
    /// Let other devices of the network in, with a code
    #[arg(long)]
    pub lan: bool,
    /// Port to listen at; the first free one from 7450 on if not given
    #[arg(long, value_name = "PORT")]
    pub port: Option<u16>,
}

/// `vitta demo`
#[derive(Debug, Args)]
pub struct Demo {
    /// Folder for the book and the cards
    #[arg(long, value_name = "FOLDER", default_value = "target/demo")]
    pub folder: PathBuf,
}

/// `vitta complete`
#[derive(Debug, Args)]
#[command(
    after_help = "Example: vitta complete bash > ~/.local/share/bash-completion/completions/vitta"
)]
pub struct Complete {
    /// The shell
    pub shell: clap_complete::Shell,
}

/// `vitta man`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta man ~/.local/share/man/man1 && man vitta-lay")]
pub struct Man {
    /// Folder for a page of each command
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
}
