//! Where a celebration stands in the Table of Liturgical Days (Universal Norms, after 59).
//!
//! The line comes from whose calendar it is in, its rank, and what it is to those people; inside a
//! line the printed order counts: the Lord before Mary before the saints, the patron of the place
//! before the dedication of the church before its title.

use super::Rank;
use super::entry::{Of, Role};
use super::layer::Kind;

/// Line of the Table and place inside it; the smaller one is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Standing {
    pub(super) line: u8,
    pub(super) place: u8,
}

/// The line of feasts of the Lord, which take the place of Sundays of Ordinary and Christmas Time.
pub(super) const FEASTS_OF_THE_LORD: u8 = 5;

/// The last line that a moved solemnity must not meet (Norms 60).
pub(super) const LAST_FEAST_LINE: u8 = 8;

impl Standing {
    /// Of a celebration of `rank` in a calendar of `kind`.
    pub(super) fn new(kind: Kind, rank: Rank, role: Option<Role>, of: Of) -> Self {
        let line = match (kind, rank) {
            (Kind::General, Rank::Solemnity) => 3,
            (Kind::General, Rank::FeastOfTheLord) => 5,
            (Kind::General, Rank::Feast) => 7,
            (Kind::General, Rank::Memorial) => 10,
            (_, Rank::Solemnity) => 4,
            (_, Rank::FeastOfTheLord | Rank::Feast) => 8,
            (_, Rank::Memorial | Rank::DayOfPrayer) => 11,
            (_, Rank::OptionalMemorial | Rank::Commemoration) => 12,
            (_, Rank::Sunday | Rank::Weekday) => 13,
        };
        let place = match line {
            11 if rank == Rank::DayOfPrayer => 70,
            4 | 8 | 11 => role_place(line, kind, role),
            _ => of_place(of),
        };
        Standing { line, place }
    }

    /// Of a celebration whose line the file gives.
    pub(super) fn at_line(line: u8, of: Of) -> Self {
        Standing { line, place: of_place(of) }
    }
}

fn of_place(of: Of) -> u8 {
    match of {
        Of::Lord => 10,
        Of::Mary => 20,
        Of::Saint => 30,
        Of::Dead => 40,
    }
}

/// The letters of lines 4, 8 and 11 in steps of ten; 8e is what is proper to a church, 8f the rest.
fn role_place(line: u8, kind: Kind, role: Option<Role>) -> u8 {
    match (line, role) {
        (4, Some(Role::PatronOfPlace)) => 10,
        (4, Some(Role::DedicationOfChurch)) => 20,
        (4, Some(Role::TitleOfChurch)) => 30,
        (4, Some(Role::OfTheOrder)) => 40,
        (8, Some(Role::PatronOfDiocese)) => 10,
        (8, Some(Role::DedicationOfCathedral)) => 20,
        (8, Some(Role::PatronOfNation)) => 30,
        (8, Some(Role::OfTheOrder)) => 40,
        (8, _) if kind == Kind::Parish => 50,
        (11, Some(Role::SecondaryPatron)) => 10,
        _ => 60,
    }
}

impl Role {
    /// The rank that goes with the role when the file gives none.
    pub(super) fn usual_rank(self) -> Rank {
        match self {
            Role::PatronOfPlace
            | Role::DedicationOfChurch
            | Role::TitleOfChurch
            | Role::OfTheOrder => Rank::Solemnity,
            Role::PatronOfDiocese | Role::DedicationOfCathedral | Role::PatronOfNation => {
                Rank::Feast
            }
            Role::SecondaryPatron => Rank::Memorial,
        }
    }
}
