//! The direction of the lines of print, whole turns aside: letters stand closer to their neighbours
//! in the line than to those in the lines above and below (after L. O'Gorman, "The document spectrum
//! for page layout analysis", IEEE PAMI 15, 1993, section III).

use super::ink::Blob;

/// Bins of the histogram of directions, over half a turn.
const BINS: usize = 60;
/// Nearest neighbours of each letter that vote.
const NEIGHBOURS: usize = 3;

/// Angle of the lines against the picture's rows in degrees, downwards to the right positive, in
/// (−90, 90]; none where no direction stands out.
pub(super) fn line_angle(letters: &[Blob], size: f32) -> Option<f32> {
    let mut votes = [0f32; BINS];
    let mut vectors = Vec::new();
    for (dx, dy) in neighbour_vectors(letters, size) {
        let angle = dy.atan2(dx).to_degrees().rem_euclid(180.0);
        votes[((angle / 180.0 * BINS as f32) as usize).min(BINS - 1)] += 1.0;
        vectors.push(angle);
    }
    let smooth = |b: usize| (0..5).map(|k| votes[(b + BINS + k - 2) % BINS]).sum::<f32>();
    let best = (0..BINS).max_by(|&a, &b| smooth(a).total_cmp(&smooth(b)))?;
    let across = (best + BINS / 2) % BINS;
    if smooth(best) < 1.3 * smooth(across) || vectors.len() < 40 {
        return None;
    }
    let peak = (best as f32 + 0.5) * 180.0 / BINS as f32;
    let near: Vec<f32> = vectors
        .iter()
        .map(|a| (a - peak + 90.0).rem_euclid(180.0) - 90.0)
        .filter(|d| d.abs() < 20.0)
        .collect();
    let angle = peak + near.iter().sum::<f32>() / near.len().max(1) as f32;
    Some(90.0 - (90.0 - angle).rem_euclid(180.0))
}

/// From each letter to the middles of its nearest neighbours, nearest by the gap between boxes.
fn neighbour_vectors(letters: &[Blob], size: f32) -> Vec<(f32, f32)> {
    let reach = 3.0 * size;
    let mut order: Vec<&Blob> = letters.iter().collect();
    order.sort_by(|a, b| a.middle_x().total_cmp(&b.middle_x()));
    let mut out = Vec::with_capacity(NEIGHBOURS * order.len());
    for (i, a) in order.iter().enumerate() {
        let close = |b: &&&Blob| (b.middle_x() - a.middle_x()).abs() < reach;
        let before = order[..i].iter().rev().take_while(close);
        let after = order[i + 1..].iter().take_while(close);
        let mut near: Vec<(f32, &Blob)> = before
            .chain(after)
            .filter(|b| (b.middle_y() - a.middle_y()).abs() < reach)
            .map(|b| (gap(a, b), *b))
            .collect();
        near.sort_by(|p, q| p.0.total_cmp(&q.0));
        let vectors = near.iter().take(NEIGHBOURS);
        out.extend(
            vectors.map(|(_, b)| (b.middle_x() - a.middle_x(), b.middle_y() - a.middle_y())),
        );
    }
    out
}

fn gap(a: &Blob, b: &Blob) -> f32 {
    let dx = (a.left - b.right).max(b.left - a.right).max(0.0);
    let dy = (a.top - b.bottom).max(b.top - a.bottom).max(0.0);
    dx.hypot(dy)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters_along(angle: f32) -> Vec<Blob> {
        let (sin, cos) = angle.to_radians().sin_cos();
        let places = (0..20).flat_map(|line| (0..30).map(move |n| (n, line)));
        let blob = |(n, line): (i32, i32)| {
            // Every third letter is missing here and there, as spaces between words are.
            let (u, v) =
                (11.0 * n as f32, 30.0 * line as f32 + if n % 4 == 0 { -2.0 } else { 0.0 });
            let (x, y) = (u * cos - v * sin + 500.0, u * sin + v * cos + 500.0);
            Blob { left: x - 4.0, top: y - 5.0, right: x + 4.0, bottom: y + 5.0, area: 50.0 }
        };
        places.filter(|(n, line)| (n * 7 + line * 5) % 6 != 0).map(blob).collect()
    }

    #[test]
    fn lines_are_found_at_every_angle() {
        for angle in [0.0, 7.0, -12.0, 30.0, 90.0, 83.0, -75.0] {
            let found = line_angle(&letters_along(angle), 10.0).unwrap();
            assert!(
                ((found - angle + 90.0).rem_euclid(180.0) - 90.0).abs() < 2.0,
                "{angle}: {found}"
            );
        }
    }

    #[test]
    fn scattered_specks_have_no_direction() {
        let mut state = 7u32;
        let mut random = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as f32 / (1 << 24) as f32 * 1000.0
        };
        let mut speck = |_| {
            let (x, y) = (random(), random());
            Blob { left: x, top: y, right: x + 9.0, bottom: y + 9.0, area: 60.0 }
        };
        assert_eq!(line_angle(&(0..400).map(&mut speck).collect::<Vec<_>>(), 20.0), None);
    }
}
