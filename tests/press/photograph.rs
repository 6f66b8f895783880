//! Takes one photograph of an opening and stores it.

use crate::film::jpeg;
use crate::print::Print;
use crate::random::Random;
use crate::scene::Scene;
use crate::shot::{Framing, Grade, Order, draw};
use crate::typeset::Leaf;
use std::error::Error;
use std::path::Path;

/// What is to be photographed and how.
#[derive(Debug)]
pub struct Job {
    /// How.
    pub order: Order,
    /// Print of the left and of the right page.
    pub prints: [Print; 2],
    /// Print on the backs of these leaves.
    pub backs: [Print; 2],
}

/// The leaves of one edition in order, with their print.
#[derive(Debug)]
pub struct Gathering {
    /// As entries.
    pub leaves: Vec<Leaf>,
    /// As printed.
    pub prints: Vec<Print>,
}

impl Gathering {
    fn print(&self, i: Option<usize>) -> Print {
        i.and_then(|i| self.prints.get(i)).cloned().unwrap_or_else(Print::blank)
    }

    /// The opening at leaf `i`, as `order` wants it; for a scan the leaf alone, which lies as a right page.
    pub fn open(&self, i: usize, order: Order) -> Job {
        if order.grade == Grade::Flat {
            let prints = [Print::blank(), self.print(Some(i))];
            return Job { order, prints, backs: [Print::blank(), self.print(Some(i + 1))] };
        }
        let left = if self.leaves[i].right { i.checked_sub(1) } else { Some(i) };
        let right = left.map_or(Some(0), |l| Some(l + 1));
        let under_left = left.and_then(|l| l.checked_sub(1));
        let under_right = right.map(|r| r + 1);
        Job {
            order,
            prints: [self.print(left), self.print(right)],
            backs: [self.print(under_left), self.print(under_right)],
        }
    }

    /// The leaves that `framing` shows whole when the book is open at leaf `i`.
    pub fn shown(&self, i: usize, framing: Framing) -> Vec<&Leaf> {
        let Framing::Both = framing else { return vec![&self.leaves[i]] };
        let left = if self.leaves[i].right { i.checked_sub(1) } else { Some(i) };
        let first = left.unwrap_or(i);
        let last = if self.leaves[first].right { first } else { first + 1 };
        self.leaves.iter().skip(first).take(last + 1 - first).collect()
    }
}

/// Takes the photograph and writes it as JPEG.
pub fn take(job: &Job, file: &Path) -> Result<(), Box<dyn Error>> {
    let shot = draw(&job.order);
    let scene = Scene {
        land: shot.land,
        prints: job.prints.clone(),
        backs: job.backs.clone(),
        light: shot.light,
        stuff: shot.stuff,
    };
    let film = scene.expose(&shot.stand, shot.size);
    let mut random = Random::new(job.order.seed, "film");
    let picture = film.develop(&shot.faults, &mut random);
    std::fs::write(file, jpeg(&picture, shot.faults.quality, shot.turns, shot.silent)?)?;
    Ok(())
}
