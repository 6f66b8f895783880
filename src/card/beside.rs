//! The same Mass from two books side by side: one card, each moment with both pages.

use super::{Card, Line, Step};

impl Card {
    /// This card with the pages of `other`, the same Mass from another book, under its own.
    pub fn beside(mut self, other: Card) -> Card {
        let names = [self.book.clone(), other.book.clone()];
        let own =
            |line: Line, name: &String| Line { book: line.book.or(Some(name.clone())), ..line };
        let both = |mine: Vec<Line>, others: Vec<Line>| -> Vec<Line> {
            let mine = mine.into_iter().map(|l| own(l, &names[0]));
            mine.chain(others.into_iter().map(|l| own(l, &names[1]))).collect()
        };
        self.ribbons = both(self.ribbons, other.ribbons);
        self.open_at = both(self.open_at, other.open_at);
        // Both cards have the moments of one service, those by heart drawn together alike.
        let mut second = other.steps.into_iter();
        let mut steps = vec![];
        for step in self.steps {
            let beside = second.next().filter(|s| !s.by_heart);
            steps.push(step);
            steps.extend(beside.map(|s| Step {
                stand: None,
                moment: format!("{} {}", self.language.either("in", "en"), names[1]),
                text: String::new(),
                or: None,
                ..s
            }));
        }
        self.steps = steps;
        let named = |lines: Vec<String>| lines.into_iter().map(|l| format!("{}: {l}", names[1]));
        self.notices.extend(named(other.notices));
        self.worth.extend(named(other.worth));
        self.book = names.join(", ");
        self
    }
}
