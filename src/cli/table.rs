//! The books on the table, as typed.

use super::args;
use crate::Result;
use crate::book::{Book, Ribbon};
use crate::error::{RibbonFault, UsageFault};
use crate::ribbon::OnTable;
use crate::shelf::{Parish, Shelf, table};

/// Books with what was typed of them.
pub struct Table {
    books: Vec<Book>,
    ribbons: Vec<Option<usize>>,
    /// Index of the book for the chair.
    chair: Option<usize>,
}

impl Table {
    /// Opens the books typed. Nothing is opened if the numbers of ribbons cannot be used.
    pub fn open(
        typed: &args::Table,
        bound: &args::Bindings,
        shelf: &Shelf,
        parish: &Parish,
    ) -> Result<Self> {
        let (numbers, books) = (typed.ribbons.len(), typed.book.len());
        if numbers > books {
            return Err(UsageFault::TooManyRibbons { numbers, books }.into());
        }
        let mut books =
            typed.book.iter().map(|name| shelf.open(name)).collect::<Result<Vec<_>>>()?;
        for (book, &typed) in books.iter_mut().zip(&typed.ribbons) {
            // Of a copy that nothing is known of, ribbons go by their numbers.
            if book.ribbons.is_empty() {
                let numbered = |n| Ribbon::new(&format!("ribbon {n}"));
                book.ribbons = (1..=typed).map(numbered).collect();
            }
        }
        bound.enter(&mut books)?;
        for (book, &typed) in books.iter().zip(&typed.ribbons) {
            let has = book.usable_ribbons();
            if typed > has && book.ribbons.len() != typed {
                return Err(UsageFault::FewerRibbons { book: book.name.clone(), has, typed }.into());
            }
        }
        if let Some(first) = books.first().filter(|_| typed.ribbons.is_empty())
            && books.iter().all(|b| b.ribbons.is_empty())
        {
            return Err(RibbonFault::NoRibbons { book: first.name.clone() }.into());
        }
        let named = |name: &String| {
            let same = |(book, typed): (&Book, &String)| book.name == *name || typed == name;
            books.iter().zip(&typed.book).position(same)
        };
        let chair = match &typed.chair {
            Some(name) => Some(named(name).ok_or_else(|| UsageFault::ChairNotHere(name.clone()))?),
            None => parish.settings.chair_book.as_ref().and_then(named),
        };
        let ribbons = (0..books.len()).map(|b| typed.ribbons.get(b).copied()).collect();
        Ok(Table { books, ribbons, chair })
    }

    /// The books as the planner takes them.
    pub fn laid(&self) -> Vec<OnTable<'_>> {
        let mut laid = table(&self.books, self.chair);
        for (on_table, typed) in laid.iter_mut().zip(&self.ribbons) {
            on_table.ribbons = typed.map_or(on_table.ribbons, |n| n.min(on_table.ribbons));
        }
        laid
    }
}
