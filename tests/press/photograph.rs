//! Takes one photograph of an opening and stores it.

use crate::camera::Camera;
use crate::film::jpeg;
use crate::print::Print;
use crate::random::Random;
use crate::scene::Scene;
use crate::shot::{Framing, Grade, Order, draw};
use crate::sight::Sight;
use crate::truth::{Printed, Seen};
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
    /// Whether each lies on the right.
    pub right: Vec<bool>,
    /// How each looks.
    pub prints: Vec<Print>,
    /// What each says.
    pub printed: Vec<Vec<Printed>>,
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
        let left = if self.right[i] { i.checked_sub(1) } else { Some(i) };
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
    pub fn shown(&self, i: usize, framing: Framing) -> Vec<usize> {
        let Framing::Both = framing else { return vec![i] };
        let left = if self.right[i] { i.checked_sub(1) } else { Some(i) };
        let first = left.unwrap_or(i);
        let last = if self.right[first] { first } else { first + 1 };
        (first..=last.min(self.right.len() - 1)).collect()
    }

    /// What a photograph of leaf `i` shows of these leaves.
    pub fn seen(&self, i: usize, order: &Order, sight: &Sight) -> Seen {
        let mut seen = Seen::default();
        for leaf in self.shown(i, order.framing) {
            // A scanned leaf lies on the right.
            let right = self.right[leaf] || order.grade == Grade::Flat;
            seen.add(&self.printed[leaf], &self.prints[leaf], sight, right);
        }
        seen
    }
}

/// Takes the photograph, writes it as JPEG and says how the page lies in it.
pub fn take(job: &Job, file: &Path) -> Result<Sight, Box<dyn Error>> {
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
    let turns = if shot.silent { shot.turns } else { 0 };
    Ok(Sight { scene, camera: Camera::aim(&shot.stand, shot.size), size: shot.size, turns })
}
