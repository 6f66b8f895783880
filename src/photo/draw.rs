//! A page's shape becomes its picture: the window around its print, scaled to letters of a good
//! height, fetched from the photograph at full size.

use super::ink::{Blob, around};
use super::lines::Chain;
use super::remap::Source;
use super::sketch::{LeafSheet, Level, Sketch};
use super::{Mapping, Page, Photo, grey};
use crate::geom::Point;
use image::GrayImage;

/// Lower-case letters this high are read best and leave room for thin strokes.
const WANTED_X_HEIGHT: f32 = 24.0;
/// Within these heights a page is not scaled, because every scaling costs sharpness.
const GOOD_X_HEIGHTS: std::ops::Range<f32> = 18.0..36.0;
/// Distance of the mapping's grid points, in pixels of the page.
const GRID_STEP: u32 = 16;
/// White left around the print, in x-heights.
const MARGIN: f32 = 2.0;
/// Single letters so near the lines, in x-heights, belong to the page: a folio, a catchword.
const NEAR: f32 = 6.0;
/// Single letters farther beside their line, in x-heights, are grain of the cover or the table.
const FAR: f32 = 20.0;
/// Shares of bare paper that become black and white: the second takes off grain and faint print
/// showing through.
const TONE: [f32; 2] = [0.1, 0.94];

/// Draws one page of a photograph.
pub(super) fn page(
    photo: &Photo,
    full: &GrayImage,
    sketch: &Sketch,
    level: &Level,
    leaf: LeafSheet,
) -> Page {
    let found_px = level.x_height * sketch.factor;
    let scale = if GOOD_X_HEIGHTS.contains(&found_px) {
        sketch.factor
    } else {
        WANTED_X_HEIGHT / level.x_height
    };
    let window = window(&leaf.flat, &leaf.chains, &leaf.led, level.x_height);
    let (width, height) =
        ((window.width() * scale).ceil() as u32, (window.height() * scale).ceil() as u32);
    let mut mapping = Mapping::new(GRID_STEP, width, height, |p| {
        let flat = Point { x: window.left + p.x / scale, y: window.top + p.y / scale };
        level.pose.at(leaf.sheet.bent(flat, flat))
    });
    if leaf.sheet.is_none() && scale == sketch.factor {
        mapping.snap();
    }
    let reduction = (sketch.factor / scale).floor().max(1.0);
    let source = Source {
        grey: &grey::reduce(full, reduction as u32),
        factor: reduction,
        light: &sketch.light,
        light_factor: sketch.factor,
        tone: TONE,
    };
    let grey = source.draw(&mapping, width, height);
    let x_height = level.x_height * scale;
    Page { photo: photo.name.clone(), grey, x_height, mapping, notices: leaf.notices }
}

/// The box around all print on the flat page: its lines, what leaders lead to, and letters near them or level with
/// them.
fn window(flat: &[Blob], chains: &[Chain], led: &[Blob], x_height: f32) -> Blob {
    let lines: Vec<Blob> = chains
        .iter()
        .filter(|c| c.len() >= 3)
        .filter_map(|c| around(c.iter().map(|&i| &flat[i])))
        .collect();
    let mut window = around(lines.iter().chain(led)).unwrap_or(Blob {
        left: 0.0,
        top: 0.0,
        right: 1.0,
        bottom: 1.0,
        area: 0.0,
    });
    let (near, far) = (NEAR * x_height, FAR * x_height);
    let mut rest: Vec<&Blob> = flat.iter().collect();
    loop {
        let before = rest.len();
        rest.retain(|l| {
            let level = l.middle_y() > window.top && l.middle_y() < window.bottom;
            let in_line = level
                && l.left > window.left - far
                && l.right < window.right + far
                && lines.iter().any(|line| l.middle_y() > line.top && l.middle_y() < line.bottom);
            let beside = l.left > window.left - near && l.right < window.right + near;
            let close = beside && l.top > window.top - near && l.bottom < window.bottom + near;
            if in_line || close {
                window = around([window, **l].iter()).unwrap_or(window);
            }
            !(in_line || close)
        });
        if rest.len() == before {
            break;
        }
    }
    let margin = MARGIN * x_height;
    Blob {
        left: window.left - margin,
        top: window.top - margin,
        right: window.right + margin,
        bottom: window.bottom + margin,
        area: 0.0,
    }
}
