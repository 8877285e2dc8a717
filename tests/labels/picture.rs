//! Grey pictures as poppler writes them (binary PGM), cut, blurred and turned.

use std::path::Path;

/// A grey picture, row by row.
#[derive(Clone)]
pub struct Picture {
    pub width: usize,
    pub height: usize,
    pub grey: Vec<u8>,
}

impl Picture {
    pub fn read(path: &Path) -> Self {
        let bytes = std::fs::read(path).unwrap();
        let mut at = 0;
        let mut field = || {
            let start = at;
            while !bytes[at].is_ascii_whitespace() {
                at += 1;
            }
            at += 1;
            std::str::from_utf8(&bytes[start..at - 1]).unwrap().to_owned()
        };
        assert_eq!(field(), "P5");
        let (width, height) = (field().parse().unwrap(), field().parse().unwrap());
        assert_eq!(field(), "255");
        Self { width, height, grey: bytes[at..].to_vec() }
    }

    pub fn write(&self, path: &Path) {
        let mut bytes = format!("P5\n{} {}\n255\n", self.width, self.height).into_bytes();
        bytes.extend(&self.grey);
        std::fs::write(path, bytes).unwrap();
    }

    /// The grey at a point; white beyond the edge.
    pub fn at(&self, x: isize, y: isize) -> u8 {
        let inside = |at: isize, most: usize| usize::try_from(at).ok().filter(|&at| at < most);
        inside(x, self.width).zip(inside(y, self.height)).map_or(255, |(x, y)| self.grey[y * self.width + x])
    }

    fn made(width: usize, height: usize, grey: impl Fn(isize, isize) -> u8) -> Self {
        let points = (0..height as isize).flat_map(|y| (0..width as isize).map(move |x| (x, y)));
        Self { width, height, grey: points.map(|(x, y)| grey(x, y)).collect() }
    }

    /// A part of the picture.
    pub fn part(&self, left: usize, top: usize, width: usize, height: usize) -> Self {
        let rows = self.grey.chunks(self.width).skip(top).take(height);
        let grey: Vec<u8> = rows.flat_map(|row| &row[left..left + width]).copied().collect();
        Self { width, height, grey }
    }

    /// Each point averaged with its neighbours up to `reach` away.
    pub fn blurred(&self, reach: isize) -> Self {
        let mean = |sum: u32| (sum / (2 * reach as u32 + 1)) as u8;
        let rows = Self::made(self.width, self.height, |x, y| {
            mean((-reach..=reach).map(|d| u32::from(self.at(x + d, y))).sum())
        });
        Self::made(self.width, self.height, |x, y| {
            mean((-reach..=reach).map(|d| u32::from(rows.at(x, y + d))).sum())
        })
    }

    /// Turned about its middle, on white.
    pub fn turned(&self, degrees: f64) -> Self {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let (middle_x, middle_y) = (self.width as f64 / 2.0, self.height as f64 / 2.0);
        Self::made(self.width, self.height, |x, y| {
            let (dx, dy) = (x as f64 - middle_x, y as f64 - middle_y);
            let (from_x, from_y) = (cosine * dx + sine * dy + middle_x, cosine * dy - sine * dx + middle_y);
            let (x0, y0) = (from_x.floor(), from_y.floor());
            let (right, down) = (from_x - x0, from_y - y0);
            let grey = |dx: isize, dy: isize| f64::from(self.at(x0 as isize + dx, y0 as isize + dy));
            let upper = grey(0, 0) * (1.0 - right) + grey(1, 0) * right;
            let lower = grey(0, 1) * (1.0 - right) + grey(1, 1) * right;
            (upper * (1.0 - down) + lower * down).round() as u8
        })
    }
}
