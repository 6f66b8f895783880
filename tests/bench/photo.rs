//! Speed of the stage `photo`: one curled page, photographed at 12 megapixels.

#![allow(clippy::unwrap_used, clippy::panic)]

use divan::Bencher;
use image::{Rgb, RgbImage};
use vitta::photo::{Cut, cut, find};

/// Lines of letter-like pieces, 30 pixels high, that fall towards the left edge.
fn curled_page() -> RgbImage {
    RgbImage::from_fn(3000, 4000, |x, y| {
        let fall = 120.0 * (-(x as f32) / 500.0).exp();
        let (u, v) = (x as i32 - 400, (y as f32 - fall) as i32 - 400);
        let (column, line, dx, dy) = (u / 30, v / 80, u % 30, v % 80);
        let used = u > 0 && v > 0 && column < 70 && line < 40 && (column * 5 + line * 3) % 7 != 0;
        let letter =
            (30..60).contains(&dy) && dx < 22 && !((6..16).contains(&dx) && (36..54).contains(&dy));
        let tall = (column * 2 + line) % 3 == 0 && dx < 6 && (10..30).contains(&dy);
        Rgb(if used && (letter || tall) { [50, 45, 40] } else { [230, 220, 200] })
    })
}

/// The lines of print are found.
#[divan::bench(sample_count = 5)]
fn twelve_megapixels(bencher: Bencher) {
    let page = curled_page();
    bencher.bench(|| {
        let lines = find(&page).map(|print| print.lines.len());
        assert!(matches!(lines, Ok(30..)), "{lines:?}");
    });
}

/// Each is cut out along its curve.
#[divan::bench(sample_count = 5)]
fn all_lines_cut_out(bencher: Bencher) {
    let page = curled_page();
    let lines = find(&page).unwrap().lines;
    bencher.bench(|| lines.iter().map(|line| cut(&page, line, Cut::whole(line)).step).sum::<f32>());
}

fn main() {
    divan::main();
}
