//! The QR symbol of a jar code, drawn as one outline.

use fast_qr::{ECL, QRBuilder};
use krilla::geom::{Path, PathBuilder};

use crate::values::codes::jar_code::JarCode;

/// White modules kept around a symbol (ISO/IEC 18004, 5.3.8: four for QR Code).
pub(in crate::paper) const QUIET: usize = 4;
/// Smallest module, in millimetres: wide enough for a worn desk printer and an old
/// telephone (common practice, no source).
pub(in crate::paper) const LEAST_MODULE: f32 = 0.5;

/// A QR symbol, level Q: a quarter of it may be lost to a smear (ISO/IEC 18004, 7.5.1).
pub(in crate::paper) struct Symbol {
    dark: Vec<bool>,
    /// Modules on a side, without the quiet zone.
    pub modules: usize,
}

impl Symbol {
    /// The symbol that holds a jar code and nothing else.
    pub fn of(code: JarCode) -> Self {
        Self::holding(&code.to_string(), ECL::Q)
    }

    /// The symbols that hold a link: the one that stands more smears first, then the one of larger modules, of which 15 %
    /// may be lost. In capitals, of which a symbol holds more.
    pub(crate) fn of_link(page: &str, code: JarCode) -> [Self; 2] {
        let link = format!("{page}/j/{code}").to_uppercase();
        [ECL::Q, ECL::M].map(|level| Self::holding(&link, level))
    }

    fn holding(text: &str, level: ECL) -> Self {
        let symbol = QRBuilder::new(text)
            .ecl(level)
            .build()
            .expect("a jar code or a link is at most 130 characters, a symbol holds thousands");
        let modules = symbol.size;
        let dark = (0..modules).flat_map(|row| symbol[row].iter().map(|module| module.value())).collect();
        Self { dark, modules }
    }

    fn is_dark(&self, x: i32, y: i32) -> bool {
        let inside = |at: i32| usize::try_from(at).ok().filter(|&at| at < self.modules);
        inside(x).zip(inside(y)).is_some_and(|(x, y)| self.dark[y * self.modules + x])
    }

    /// The outline of the dark modules, one unit a module, dark to the right of the
    /// way; its corners are a third of what a rectangle for each module would need.
    pub fn outline(&self) -> Path {
        let side = self.modules as i32;
        let mut walked = vec![false; (side * side) as usize];
        let mut path = PathBuilder::new();
        for y in 0..side {
            for x in 0..side {
                // Every contour has an upper edge; each is walked once.
                if self.is_dark(x, y) && !self.is_dark(x, y - 1) && !walked[(y * side + x) as usize] {
                    self.walk(x, y, &mut walked, &mut path);
                }
            }
        }
        path.finish().expect("every symbol has its three finder patterns")
    }

    /// Follows a contour from an upper edge, running right.
    fn walk(&self, x: i32, y: i32, walked: &mut [bool], path: &mut PathBuilder) {
        let (mut at, mut way) = ((x, y), (1, 0));
        path.move_to(x as f32, y as f32);
        loop {
            // Of the two cells ahead, `inner` lies on the dark side of the way.
            let (ahead, inner) = match way {
                (1, 0) => ((at.0 + 1, at.1 - 1), (at.0 + 1, at.1)),
                (0, 1) => ((at.0, at.1 + 1), (at.0 - 1, at.1 + 1)),
                (-1, 0) => ((at.0 - 2, at.1), (at.0 - 2, at.1 - 1)),
                _ => ((at.0 - 1, at.1 - 2), (at.0, at.1 - 2)),
            };
            if way == (1, 0) {
                walked[(at.1 * self.modules as i32 + at.0) as usize] = true;
            }
            at = (at.0 + way.0, at.1 + way.1);
            let turn = if !self.is_dark(inner.0, inner.1) {
                (-way.1, way.0)
            } else if self.is_dark(ahead.0, ahead.1) {
                (way.1, -way.0)
            } else {
                way
            };
            if at == (x, y) && turn == (1, 0) {
                path.close();
                return;
            }
            if turn != way {
                path.line_to(at.0 as f32, at.1 as f32);
            }
            way = turn;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_jar_code_takes_the_smallest_symbol() {
        // ISO/IEC 18004, table 7: version 1 (21 modules) at level Q holds 16 alphanumeric characters.
        assert_eq!(Symbol::of("26-041-03-3".parse().unwrap()).modules, 21);
        // 37 alphanumeric characters: version 3 (29 modules) at level Q holds 47, version 2 (25) at level M holds 38.
        let link = Symbol::of_link("http://shelf.local:8464", "26-041-03-3".parse().unwrap());
        assert_eq!(link.map(|symbol| symbol.modules), [29, 25]);
        let wide = JarCode { batch: "26-9999999".parse().unwrap(), number: 9_999_999 };
        assert_eq!(Symbol::of(wide).modules, 25);
    }
}
