//! What can be typed after `vitta book`.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// `vitta book`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book show chapel\n\n\
    More photographs of the same book are added with `vitta read PHOTO… --book NAME`.")]
pub struct Book {
    /// What to do with the books
    #[command(subcommand)]
    pub action: Action,
}

/// What can be done with the books on the shelf.
#[derive(Debug, Subcommand)]
pub enum Action {
    /// List the books
    List(List),
    /// Show a book's pages, those in doubt first
    Show(Show),
    /// Say on which page a text stands, or that the book has it not
    Set(Set),
    /// Say that the pages given are right
    Confirm(Confirm),
    /// Say what to photograph and look up next, for the Masses of the coming weeks
    Next(Next),
    /// Take a photograph away: nothing it showed counts any more
    Remove(Remove),
    /// Read a photograph that is kept with the book again
    Again(Again),
    /// Give a book another name
    Rename(Rename),
    /// Put a book away: it keeps everything, and no list names it
    Away(Away),
    /// Bring a book back that was put away
    Back(Back),
    /// Undo the last steps
    Undo(Undo),
    /// Do again what was undone
    Redo(Redo),
    /// Put a book's pages into one file for another parish with the same edition
    Export(Export),
    /// Take in a book's file from another parish
    Import(Import),
    /// Lay two editions side by side
    Compare(Compare),
    /// Say which ribbons, tabs and laid-in sheets a copy has
    Marks(Marks),
}

/// `vitta book list`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book list --away")]
pub struct List {
    /// The books that are put away, instead of those on the shelf
    #[arg(long)]
    pub away: bool,
}

/// `vitta book show`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book show chapel time/lent")]
pub struct Show {
    /// Book on the shelf, or a book's file
    pub name: String,
    /// Only this place and what is under it
    pub place: Option<String>,
    /// In the order of the book
    #[arg(long)]
    pub in_order: bool,
    /// With what was read, on which photograph
    #[arg(long)]
    pub evidence: bool,
    /// What was done to the book, instead of its pages
    #[arg(long)]
    pub history: bool,
    /// The photographs it was read from, instead of its pages
    #[arg(long, conflicts_with = "history")]
    pub photographs: bool,
}

/// `vitta book set`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book set chapel order/preface/lent-2 531")]
pub struct Set {
    /// Book on the shelf
    pub name: String,
    /// The text's place
    pub place: String,
    /// Its page
    #[arg(required_unless_present_any = ["absent", "unsay"])]
    pub page: Option<String>,
    /// It is not in this book
    #[arg(long, conflicts_with_all = ["page", "unsay"])]
    pub absent: bool,
    /// Take back what was said of it
    #[arg(long, conflicts_with = "page")]
    pub unsay: bool,
    /// The page is right although it is far out of order
    #[arg(long, requires = "page")]
    pub sure: bool,
}

/// `vitta book confirm`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book confirm chapel time/lent/week-1/thursday")]
pub struct Confirm {
    /// Book on the shelf
    pub name: String,
    /// The texts' places
    #[arg(required = true)]
    pub places: Vec<String>,
}

/// `vitta book next`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book next chapel --days 14")]
pub struct Next {
    /// Book on the shelf, or a book's file
    pub name: String,
    /// How many days count, from today on
    #[arg(long, default_value_t = 21, value_parser = clap::value_parser!(u16).range(1..=370))]
    pub days: u16,
    /// How many pages to name
    #[arg(long, default_value_t = 5)]
    pub most: usize,
}

/// `vitta book remove`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book remove chapel IMG_2041.jpg")]
pub struct Remove {
    /// Book on the shelf
    pub name: String,
    /// The photograph's name
    pub photo: String,
}

/// `vitta book again`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book again chapel IMG_2041.jpg\n\n\
    What it showed before gives way; `vitta book show NAME --photographs` names the photographs.")]
pub struct Again {
    /// Book on the shelf
    pub name: String,
    /// The photograph's name
    pub photo: String,
}

/// `vitta book rename`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book rename chapel crypt")]
pub struct Rename {
    /// Book on the shelf
    pub name: String,
    /// Its new name
    pub to: String,
}

/// `vitta book away`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book away chapel")]
pub struct Away {
    /// Book on the shelf
    pub name: String,
}

/// `vitta book back`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book back chapel")]
pub struct Back {
    /// Book that was put away
    pub name: String,
}

/// `vitta book undo`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book undo chapel --steps 3")]
pub struct Undo {
    /// Book on the shelf
    pub name: String,
    /// How many steps
    #[arg(long, default_value_t = 1)]
    pub steps: usize,
    /// Undo a whole reading of photographs too
    #[arg(long)]
    pub reading: bool,
}

/// `vitta book redo`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book redo chapel\n\n\
    After another change what was undone before it cannot be done again.")]
pub struct Redo {
    /// Book on the shelf
    pub name: String,
    /// How many steps
    #[arg(long, default_value_t = 1)]
    pub steps: usize,
}

/// `vitta book export`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book export chapel --out chapel-pages.json")]
pub struct Export {
    /// Book on the shelf
    pub name: String,
    /// The file to write
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// `vitta book import`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book import chapel-pages.json --name sacristy")]
pub struct Import {
    /// The file
    pub file: PathBuf,
    /// Its name on this shelf
    #[arg(long)]
    pub name: String,
}

/// `vitta book compare`
#[derive(Debug, Args)]
#[command(after_help = "Example: vitta book compare old new --carry")]
pub struct Compare {
    /// The old edition
    pub old: String,
    /// The new edition
    pub new: String,
    /// Carry ribbons, tabs and laid-in sheets over from the old to the new
    #[arg(long)]
    pub carry: bool,
}

/// `vitta book marks`
#[derive(Debug, Args)]
#[command(
    after_help = "Example: vitta book marks chapel --ribbons red,green,gold --tab 531=Prefaces\n\n\
    Without a change it shows what the copy has."
)]
pub struct Marks {
    /// Book on the shelf
    pub name: String,
    /// Another copy of the edition, by its name in the parish; it is begun if there is none
    #[arg(long, value_name = "COPY")]
    pub copy: Option<String>,
    /// Its ribbons' colours from the spine, in place of those it had
    #[arg(long, value_delimiter = ',', value_name = "COLOURS")]
    pub ribbons: Option<Vec<String>>,
    /// A ribbon that is torn: its colour, or its number from the spine
    #[arg(long, value_name = "RIBBON")]
    pub torn: Vec<String>,
    /// A ribbon that stays in a section, e.g. green="Order of Mass"
    #[arg(long, value_name = "RIBBON=SECTION")]
    pub keep: Vec<String>,
    /// A ribbon that is whole and may lie anywhere again
    #[arg(long, value_name = "RIBBON")]
    pub free: Vec<String>,
    /// A tab more: PAGE=TITLE
    #[arg(long, value_name = "PAGE=TITLE")]
    pub tab: Vec<String>,
    /// A laid-in sheet more: PAGE=PLACE, the page like 1747a
    #[arg(long, value_name = "PAGE=PLACE")]
    pub sheet: Vec<String>,
}
