//! A picture divided into squares, numbered row by row: what changes slowly over it is measured once for each.

use image::GrayImage;

/// The squares of a picture.
#[derive(Debug, Clone, Copy)]
pub struct Squares {
    side: u32,
    columns: usize,
    rows: usize,
}

impl Squares {
    /// Squares of `side` pixels over a picture; those at the right and the bottom may reach beyond it.
    pub fn over(picture: &GrayImage, side: u32) -> Squares {
        let side = side.max(1);
        let count = |size: u32| size.div_ceil(side).max(1) as usize;
        Squares { side, columns: count(picture.width()), rows: count(picture.height()) }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The square of a pixel; none outside.
    pub fn place(&self, x: i32, y: i32) -> Option<usize> {
        let cell = |v: i32, count: usize| {
            let cell = (u32::try_from(v).ok()? / self.side) as usize;
            (cell < count).then_some(cell)
        };
        Some(cell(y, self.rows)? * self.columns + cell(x, self.columns)?)
    }

    /// A square and those that touch it.
    pub fn around(&self, place: usize) -> impl Iterator<Item = usize> + use<> {
        let (column, row, columns) = (place % self.columns, place / self.columns, self.columns);
        let across = column.saturating_sub(1)..(column + 2).min(columns);
        (row.saturating_sub(1)..(row + 2).min(self.rows))
            .flat_map(move |y| across.clone().map(move |x| y * columns + x))
    }

    /// For each square its pixels by their grey.
    pub fn greys(&self, picture: &GrayImage) -> Vec<[u32; 256]> {
        let mut greys = vec![[0u32; 256]; self.count()];
        for (y, line) in picture.chunks_exact(picture.width().max(1) as usize).enumerate() {
            let row = y / self.side as usize * self.columns;
            for (column, pixels) in line.chunks(self.side as usize).enumerate() {
                if let Some(greys) = greys.get_mut(row + column) {
                    pixels.iter().for_each(|v| greys[usize::from(*v)] += 1);
                }
            }
        }
        greys
    }

    /// What `levels` tell of each square, at a point: bilinear between the middles of the four around it.
    pub fn between(&self, levels: &[f32], x: f32, y: f32) -> f32 {
        let cell = |v: f32, count: usize| {
            let at = (v / self.side as f32 - 0.5).clamp(0.0, count as f32 - 1.0);
            (at as usize, at.fract())
        };
        let ((cx, fx), (cy, fy)) = (cell(x, self.columns), cell(y, self.rows));
        let (right, below) = ((cx + 1).min(self.columns - 1), (cy + 1).min(self.rows - 1));
        let level = |c: usize, r: usize| levels.get(r * self.columns + c).copied().unwrap_or(0.0);
        let upper = level(cx, cy) * (1.0 - fx) + level(right, cy) * fx;
        let lower = level(cx, below) * (1.0 - fx) + level(right, below) * fx;
        upper * (1.0 - fy) + lower * fy
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_of_a_picture_that_is_no_multiple_of_them() {
        let squares = Squares::over(&GrayImage::new(25, 11), 10);
        assert_eq!(squares.count(), 6);
        assert_eq!(
            (squares.place(24, 10), squares.place(30, 0), squares.place(-1, 0)),
            (Some(5), None, None)
        );
        assert_eq!(squares.around(0).collect::<Vec<_>>(), [0, 1, 3, 4]);
        let levels = [0.0, 10.0, 20.0, 0.0, 10.0, 20.0];
        assert_eq!(squares.between(&levels, 10.0, 5.0), 5.0);
        assert_eq!(squares.between(&levels, 0.0, 0.0), 0.0);
        let pixels = |greys: &[u32; 256]| greys.iter().sum::<u32>();
        let greys = squares.greys(&GrayImage::new(25, 11));
        assert_eq!(greys.iter().map(pixels).collect::<Vec<_>>(), [100, 100, 50, 10, 10, 5]);
    }
}
