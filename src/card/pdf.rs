//! The card as PDF: the same bytes on every run, fonts embedded.

use super::Card;
use super::letters::{EM, Face, Run};
use super::sheet::{Ink, Mark, Paper, Sheet, set};
use crate::Result;
use crate::error::CardFault;
use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Size};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

/// The card on `paper`.
pub fn write(card: &Card, paper: Paper) -> Result<Vec<u8>> {
    print(&set(card, paper)?)
}

/// The printed pages.
pub(super) fn print(sheet: &Sheet) -> Result<Vec<u8>> {
    let fonts = fonts()?;
    let mut document = Document::new();
    document.set_metadata(metadata(sheet));
    let (width, height) = sheet.size;
    let size = Size::from_wh(points(width), points(height)).ok_or(CardFault::Pdf)?;
    for marks in &sheet.pages {
        let mut page = document.start_page_with(PageSettings::new(size));
        let mut surface = page.surface();
        for mark in marks {
            draw(&mut surface, mark, &fonts);
        }
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|e| crate::Error::from(CardFault::Pdf).because(format!("{e:?}")))
}

fn metadata(sheet: &Sheet) -> Metadata {
    let language = match sheet.language {
        crate::language::Language::En => "en",
        crate::language::Language::Es => "es",
        crate::language::Language::La => "la",
    };
    // No date of making, so that the same card is the same file.
    Metadata::new().title(sheet.title.clone()).creator("vitta".into()).language(language.into())
}

fn fonts() -> Result<Vec<Font>> {
    let load =
        |face: Face| Font::new(face.data().to_vec().into(), 0).ok_or(CardFault::Font(face.name()));
    let fonts: std::result::Result<_, _> = Face::ALL.into_iter().map(load).collect();
    Ok(fonts?)
}

/// Hundredths of a point to points.
fn points(length: i32) -> f32 {
    length as f32 / 100.0
}

fn fill([r, g, b]: [u8; 3]) -> Fill {
    Fill { paint: rgb::Color::new(r, g, b).into(), ..Fill::default() }
}

fn hairline([r, g, b]: [u8; 3]) -> Stroke {
    Stroke { paint: rgb::Color::new(r, g, b).into(), width: 0.6, ..Stroke::default() }
}

fn draw(surface: &mut Surface, mark: &Mark, fonts: &[Font]) {
    match mark {
        Mark::Text { x, y, run, ink } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(ink.rgb())));
            draw_run(surface, (*x, *y), run, fonts);
        }
        Mark::Ribbon { dye, .. } => {
            surface.set_fill(Some(fill(dye.unwrap_or([255, 255, 255]))));
            surface.set_stroke(Some(hairline(Ink::Black.rgb())));
            draw_outline(surface, &mark.outline());
        }
        Mark::Rule { ink, .. } => {
            surface.set_fill(None);
            surface.set_stroke(Some(hairline(ink.rgb())));
            draw_outline(surface, &mark.outline());
        }
    }
}

fn draw_outline(surface: &mut Surface, corners: &[(i32, i32)]) {
    if let Some(path) = path(corners) {
        surface.draw_path(&path);
    }
}

fn path(corners: &[(i32, i32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (&(x, y), rest) = corners.split_first()?;
    builder.move_to(points(x), points(y));
    for &(x, y) in rest {
        builder.line_to(points(x), points(y));
    }
    if rest.len() > 1 {
        builder.close();
    }
    builder.finish()
}

fn draw_run(surface: &mut Surface, (x, y): (i32, i32), run: &Run, fonts: &[Font]) {
    let Some(font) = fonts.get(run.style.face as usize) else { return };
    let em = |units: i32| units as f32 / EM as f32;
    let glyph = |g: &super::letters::Glyph| KrillaGlyph {
        glyph_id: GlyphId::new(g.id),
        text_range: g.from..g.to,
        x_advance: em(g.advance),
        x_offset: em(g.x),
        y_offset: em(g.y),
        y_advance: 0.0,
        location: None,
    };
    let glyphs: Vec<KrillaGlyph> = run.glyphs.iter().map(glyph).collect();
    let start = Point::from_xy(points(x), points(y));
    surface.draw_glyphs(start, &glyphs, font.clone(), &run.text, points(run.style.size), false);
}
