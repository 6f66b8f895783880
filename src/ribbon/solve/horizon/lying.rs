//! Where the ribbons lie: few places, ascending, in a value that is cheap to copy and to look up.

/// Ribbons that are looked after; no altar book is known to have more.
pub const MOST: usize = 12;

/// A place by its index among all openings of the row.
pub type At = u16;

/// A ribbon that has not been laid yet: it may take its first place at any service for nothing.
pub const NOT_LAID: At = At::MAX - 1;
const NONE: At = At::MAX;

/// At most [`MOST`] places, ascending, the ribbons not yet laid last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Lying([At; MOST]);

impl Lying {
    pub const NOWHERE: Lying = Lying([NONE; MOST]);

    /// The places, of which no more than [`MOST`] are kept.
    pub fn at(places: impl IntoIterator<Item = At>) -> Self {
        let mut lying = [NONE; MOST];
        for (slot, place) in lying.iter_mut().zip(places) {
            *slot = place;
        }
        lying.sort_unstable();
        Lying(lying)
    }

    pub fn len(&self) -> usize {
        self.0.partition_point(|&p| p < NONE)
    }

    pub fn iter(&self) -> impl Iterator<Item = At> {
        self.0.into_iter().take_while(|&p| p < NONE)
    }

    pub fn has(&self, place: At) -> bool {
        self.0.contains(&place)
    }

    /// Ribbons not yet laid.
    pub fn not_laid(&self) -> usize {
        self.iter().filter(|&p| p == NOT_LAID).count()
    }

    /// Without the `index`-th.
    pub fn without(&self, index: usize) -> Self {
        let mut left = self.0;
        left[index..].rotate_left(1);
        left[MOST - 1] = NONE;
        Lying(left)
    }

    /// With one more, where there is room.
    pub fn with(&self, place: At) -> Self {
        let mut more = self.0;
        more[MOST - 1] = place;
        more.sort_unstable();
        Lying(more)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_come_and_go_in_order() {
        let lying = Lying::at([7, NOT_LAID, 2]);
        assert_eq!(lying.iter().collect::<Vec<_>>(), [2, 7, NOT_LAID]);
        assert_eq!((lying.len(), lying.not_laid()), (3, 1));
        assert_eq!(lying.without(1), Lying::at([2, NOT_LAID]));
        assert_eq!(lying.without(0).with(9), Lying::at([7, 9, NOT_LAID]));
        assert_eq!(Lying::NOWHERE.with(3).without(0), Lying::NOWHERE);
    }
}
