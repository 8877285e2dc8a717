//! Damage to bytes, the same every time.

/// Pieces that mean something to one reader or another.
const PIECES: [&[u8]; 28] = [
    b"\"",
    b"\"\"",
    b",",
    b";",
    b"\t",
    b"\n",
    b"\r",
    b"\r\n",
    b"\0",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"\xfe\xff",
    b"\xf0\x9f\xa5\xab",
    b"\xe2\x80\xae",
    b"'=",
    b"[[load]]\n",
    b"[",
    b"{",
    b"=",
    b"-",
    b"0",
    b"99999999999999999999",
    b"2024-02-30",
    b"1e3",
    b"pint",
    b"quart",
    b"13:30",
    b"\xd9\xa3",
];

/// A generator of damage: SplitMix64, by the constants of its authors (Steele, Lea and Flood, "Fast splittable
/// pseudorandom number generators"); given from memory, and any generator would do.
pub(crate) struct Mutator(u64);

impl Mutator {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`; 0 where that is 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    pub(crate) fn byte(&mut self) -> u8 {
        self.next() as u8
    }

    /// One of `seeds`, damaged in up to six places.
    pub(crate) fn damaged(&mut self, seeds: &[&[u8]]) -> Vec<u8> {
        let mut bytes = seeds[self.below(seeds.len())].to_vec();
        for _ in 0..self.below(7) {
            let at = self.below(bytes.len() + 1);
            let end = (at + self.below(12)).min(bytes.len());
            match self.below(7) {
                0 if at < bytes.len() => bytes[at] ^= 1 << self.below(8),
                1 if at < bytes.len() => bytes[at] = self.byte(),
                2 => drop(bytes.drain(at..end)),
                3 => drop(bytes.splice(at..at, PIECES[self.below(PIECES.len())].iter().copied())),
                4 => {
                    let part = bytes[at..end].to_vec();
                    let to = self.below(bytes.len() + 1);
                    drop(bytes.splice(to..to, part));
                }
                5 => {
                    let other = seeds[self.below(seeds.len())];
                    let from = self.below(other.len());
                    bytes.truncate(at);
                    bytes.extend_from_slice(&other[from..]);
                }
                _ => bytes.truncate(at),
            }
        }
        bytes
    }
}
