//! A pinhole camera with a little barrel or cushion distortion, aimed at a rectangle of the scene.

/// A point or direction in the scene, in mm.
pub type Vec3 = [f32; 3];

/// a + b·k.
pub fn along(a: Vec3, b: Vec3, k: f32) -> Vec3 {
    [a[0] + b[0] * k, a[1] + b[1] * k, a[2] + b[2] * k]
}

/// The scalar product.
pub fn dot(a: Vec3, b: Vec3) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The vector of length 1 in the direction of `a`.
pub fn unit(a: Vec3) -> Vec3 {
    let k = 1.0 / dot(a, a).sqrt().max(1e-9);
    [a[0] * k, a[1] * k, a[2] * k]
}

fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// How the camera is held.
#[derive(Debug, Clone, Copy)]
pub struct Stand {
    /// Distance to the middle of what is framed, mm.
    pub distance: f32,
    /// Tilt towards the reader, degrees.
    pub pitch: f32,
    /// Tilt to the right, degrees.
    pub yaw: f32,
    /// Turn about the axis of view, degrees.
    pub roll: f32,
    /// Radial distortion at the corner, as a share of the radius.
    pub barrel: f32,
    /// Framed rectangle: left, top, right, bottom, in mm.
    pub frame: [f32; 4],
    /// Its height over the table.
    pub level: f32,
}

/// A camera in place.
#[derive(Debug, Clone, Copy)]
pub struct Camera {
    /// Where it stands.
    pub eye: Vec3,
    right: Vec3,
    down: Vec3,
    ahead: Vec3,
    focal: f32,
    centre: (f32, f32),
    barrel: f32,
    corner: f32,
}

impl Camera {
    /// Sets the camera up so that the framed rectangle fills a picture of `size` pixels.
    pub fn aim(stand: &Stand, size: (u32, u32)) -> Camera {
        let [left, top, right, bottom] = stand.frame;
        let target = [(left + right) / 2.0, (top + bottom) / 2.0, stand.level];
        let (p, y) = (stand.pitch.to_radians(), stand.yaw.to_radians());
        let away = unit([y.tan(), p.tan(), 1.0]);
        let eye = along(target, away, stand.distance);
        let ahead = [-away[0], -away[1], -away[2]];
        let (s, c) = stand.roll.to_radians().sin_cos();
        let level = unit(cross([0.0, 1.0, 0.0], ahead));
        let level = [-level[0], -level[1], -level[2]];
        let level = if level[0] < 0.0 { [-level[0], -level[1], -level[2]] } else { level };
        let below = cross(ahead, level);
        let right_axis = unit(along([level[0] * c, level[1] * c, level[2] * c], below, s));
        let down = cross(ahead, right_axis);
        // x right, y down and z up are left-handed.
        let down = if down[1] < 0.0 { [-down[0], -down[1], -down[2]] } else { down };
        let mut camera = Camera {
            eye,
            right: right_axis,
            down,
            ahead,
            focal: 1.0,
            centre: (0.0, 0.0),
            barrel: stand.barrel,
            corner: (size.0 as f32).hypot(size.1 as f32) / 2.0,
        };
        camera.fill(stand, size);
        camera
    }

    fn fill(&mut self, stand: &Stand, size: (u32, u32)) {
        let [left, top, right, bottom] = stand.frame;
        let corners = [(left, top), (right, top), (left, bottom), (right, bottom)];
        let seen = corners.map(|(x, y)| self.straight([x, y, stand.level]));
        let low = |f: fn(&(f32, f32)) -> f32| seen.iter().map(f).fold(f32::MAX, f32::min);
        let high = |f: fn(&(f32, f32)) -> f32| seen.iter().map(f).fold(f32::MIN, f32::max);
        let (x0, x1, y0, y1) = (low(|p| p.0), high(|p| p.0), low(|p| p.1), high(|p| p.1));
        let (w, h) = (size.0 as f32, size.1 as f32);
        self.focal = (w / (x1 - x0)).min(h / (y1 - y0));
        let k = self.focal;
        self.centre = (w / 2.0 - (x0 + x1) / 2.0 * k, h / 2.0 - (y0 + y1) / 2.0 * k);
    }

    fn straight(&self, point: Vec3) -> (f32, f32) {
        let d = along(point, self.eye, -1.0);
        let depth = dot(d, self.ahead).max(1.0);
        let (x, y) = (dot(d, self.right) / depth, dot(d, self.down) / depth);
        (self.centre.0 + x * self.focal, self.centre.1 + y * self.focal)
    }

    /// Where a point of the scene falls on a picture of `size` pixels, the lens included: the way back of `ray`.
    pub fn project(&self, point: Vec3, size: (u32, u32)) -> (f32, f32) {
        let (mx, my) = (size.0 as f32 / 2.0, size.1 as f32 / 2.0);
        let (x, y) = self.straight(point);
        let (dx, dy) = (x - mx, y - my);
        let (mut px, mut py) = (dx, dy);
        // The distortion is a few hundredths, so that a few rounds reach a hundredth of a pixel.
        for _ in 0..6 {
            let r = px.hypot(py) / self.corner;
            let k = 1.0 + self.barrel * r * r;
            (px, py) = (dx / k, dy / k);
        }
        (mx + px, my + py)
    }

    /// The direction that falls on a pixel.
    pub fn ray(&self, x: f32, y: f32, size: (u32, u32)) -> Vec3 {
        let (mx, my) = (size.0 as f32 / 2.0, size.1 as f32 / 2.0);
        let (dx, dy) = (x - mx, y - my);
        let r = dx.hypot(dy) / self.corner;
        let k = 1.0 + self.barrel * r * r;
        let px = (mx + dx * k - self.centre.0) / self.focal;
        let py = (my + dy * k - self.centre.1) / self.focal;
        unit(along(along(self.ahead, self.right, px), self.down, py))
    }
}
