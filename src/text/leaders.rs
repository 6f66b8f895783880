//! Finds dot leaders among the blobs, so that they are gone before Tesseract sees the line: it reads them as
//! letters and pulls the page number after them into a word.
//!
//! A leader is a row of small marks of equal size and even spacing at one height. Full stops, commas and the
//! dots of letters do not come four in an even row.

use super::ink::Blob;
use crate::geom::Rect;

/// A row of leader dots.
#[derive(Debug, Clone, PartialEq)]
pub struct Leader {
    /// The box around it.
    pub area: Rect,
    /// Labels of its blobs.
    pub labels: Vec<u32>,
}

/// The least number of dots in a row.
const LEAST_DOTS: usize = 4;

/// Finds the leaders. `letter` is the typical height of a letter; all limits are in that unit, by trial.
pub fn leaders(blobs: &[Blob], letter: f32) -> Vec<Leader> {
    let mut dots: Vec<&Blob> = blobs.iter().filter(|b| dot(b, letter)).collect();
    dots.sort_by_key(|b| b.area.left);
    let next = nexts(&dots, letter);
    let mut taken = vec![false; dots.len()];
    let mut found = Vec::new();
    for start in 0..dots.len() {
        if taken.get(start).copied().unwrap_or(true) {
            continue;
        }
        let row = follow(start, &next, &mut taken);
        let row: Vec<&Blob> = row.iter().filter_map(|&i| dots.get(i).copied()).collect();
        found.extend(even_runs(&row).into_iter().map(leader));
    }
    found
}

fn dot(blob: &Blob, letter: f32) -> bool {
    blob.height_in(letter) <= 0.5 && blob.width_in(letter) <= 0.7
}

/// For each dot the nearest like it to the right at the same height.
fn nexts(dots: &[&Blob], letter: f32) -> Vec<Option<usize>> {
    let like = |a: &Blob, b: &Blob| {
        let rise = (a.area.top + a.area.bottom - b.area.top - b.area.bottom).abs() as f32 / 2.0;
        let gap = (b.area.left - a.area.right) as f32;
        let size = a.pixels.max(b.pixels) as f32 / a.pixels.min(b.pixels).max(1) as f32;
        rise <= letter * 0.15 + 1.0 && gap > 0.0 && gap <= letter * 2.5 && size <= 3.0
    };
    let after = |i: usize, a: &Blob| {
        let reach = a.area.right + (letter * 2.5) as i32;
        let near = dots.iter().enumerate().skip(i + 1).take_while(|(_, b)| b.area.left <= reach);
        near.filter(|(_, b)| like(a, b)).map(|(j, _)| j).next()
    };
    dots.iter().enumerate().map(|(i, a)| after(i, a)).collect()
}

fn follow(start: usize, next: &[Option<usize>], taken: &mut [bool]) -> Vec<usize> {
    let mut row = Vec::new();
    let mut here = Some(start);
    while let Some(i) = here {
        match taken.get_mut(i) {
            Some(t) if !*t => *t = true,
            _ => break,
        }
        row.push(i);
        here = next.get(i).copied().flatten();
    }
    row
}

/// Cuts a row where the spacing jumps; a lost dot (twice or three times the spacing) does not cut.
fn even_runs<'a>(row: &[&'a Blob]) -> Vec<Vec<&'a Blob>> {
    let centre = |b: &Blob| (b.area.left + b.area.right) as f32 / 2.0;
    let steps: Vec<f32> =
        row.iter().zip(row.iter().skip(1)).map(|(a, b)| centre(b) - centre(a)).collect();
    let mut sorted = steps.clone();
    sorted.sort_by(f32::total_cmp);
    let Some(&usual) = sorted.get(sorted.len() / 2) else { return Vec::new() };
    let even = |step: f32| (1..=3).any(|n| (step - usual * n as f32).abs() <= usual * 0.3);
    let mut runs: Vec<Vec<&Blob>> = vec![Vec::new()];
    for (i, blob) in row.iter().enumerate() {
        let fits = i == 0 || steps.get(i - 1).is_some_and(|&s| even(s));
        if !fits {
            runs.push(Vec::new());
        }
        if let Some(run) = runs.last_mut() {
            run.push(blob);
        }
    }
    runs.retain(|run| run.len() >= LEAST_DOTS);
    runs
}

fn leader(run: Vec<&Blob>) -> Leader {
    let area = run.iter().map(|b| b.area).reduce(|a, b| a.union(&b));
    let area = area.unwrap_or(Rect { left: 0, top: 0, right: 0, bottom: 0 });
    Leader { area, labels: run.iter().map(|b| b.label).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(label: u32, left: i32, top: i32, size: i32) -> Blob {
        let area = Rect { left, top, right: left + size, bottom: top + size };
        Blob { label, area, pixels: (size * size) as u32 }
    }

    #[test]
    fn even_dots_are_a_leader_and_a_full_stop_is_not() {
        // letters 20 high; a full stop at 50, then dots every 12 pixels from 80
        let mut blobs = vec![mark(1, 50, 100, 4)];
        blobs.extend((0..9).map(|i| mark(10 + i, 80 + 12 * i as i32, 100, 4)));
        let found = leaders(&blobs, 20.0);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].labels, (10..19).collect::<Vec<_>>());
    }

    #[test]
    fn a_lost_dot_does_not_cut_the_leader() {
        let blobs: Vec<Blob> =
            (0..9).filter(|i| *i != 4).map(|i| mark(1 + i, 80 + 12 * i as i32, 100, 4)).collect();
        assert_eq!(leaders(&blobs, 20.0).len(), 1);
    }

    #[test]
    fn scattered_dots_are_none() {
        let blobs: Vec<Blob> = [(10, 5), (31, 40), (90, 100), (200, 101)]
            .iter()
            .map(|&(x, y)| mark(x as u32, x, y, 4))
            .collect();
        assert!(leaders(&blobs, 20.0).is_empty());
    }
}
