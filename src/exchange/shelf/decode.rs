//! Bytes into text: by the byte order mark, by what the user says, else UTF-8 or nothing.

use std::io::{self, Read};

use crate::values::names::named::named_enum;

named_enum! {
    /// How the letters of a file are written in bytes.
    pub enum Encoding as "an encoding" {
        /// UTF-8, with or without a mark.
        Utf8 = "utf-8",
        /// UTF-16, low byte first.
        Utf16Le = "utf-16le",
        /// UTF-16, high byte first.
        Utf16Be = "utf-16be",
        /// ISO/IEC 8859-1: each byte is the character of its number.
        Latin1 = "latin-1",
    }
}

/// A place in a file that is no text; carried inside the `io::Error` of a read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(in crate::exchange) enum NotText {
    #[error("byte {offset} of the file is not part of {encoding} text")]
    Bytes { line: u64, offset: u64, encoding: Encoding },
    #[error("byte {offset} of the file is a NUL, which is not text")]
    Nul { line: u64, offset: u64 },
}

impl NotText {
    pub(in crate::exchange) const fn line(&self) -> u64 {
        match self {
            Self::Bytes { line, .. } | Self::Nul { line, .. } => *line,
        }
    }
}

/// Bytes read at a time.
const CHUNK: usize = 64 << 10;

/// Reads another reader's bytes as UTF-8 without a mark.
pub(in crate::exchange) struct Decoded<R> {
    from: R,
    encoding: Option<Encoding>,
    given: Option<Encoding>,
    /// Bytes read and not yet decoded.
    raw: Vec<u8>,
    /// Text decoded and not yet given out.
    text: Vec<u8>,
    at: usize,
    ended: bool,
    line: u64,
    offset: u64,
}

impl<R: Read> Decoded<R> {
    pub(in crate::exchange) fn new(from: R, given: Option<Encoding>) -> Self {
        Self {
            from,
            encoding: None,
            given,
            raw: Vec::with_capacity(CHUNK),
            text: Vec::with_capacity(CHUNK),
            at: 0,
            ended: false,
            line: 1,
            offset: 0,
        }
    }

    /// Reads and decodes the next piece.
    fn refill(&mut self) -> io::Result<()> {
        self.text.clear();
        self.at = 0;
        while self.text.is_empty() && !(self.ended && self.raw.is_empty()) {
            let before = self.raw.len();
            let got = (&mut self.from).take(CHUNK as u64).read_to_end(&mut self.raw)?;
            self.ended = self.raw.len() == before && got == 0;
            let encoding = match self.encoding {
                Some(encoding) => encoding,
                None => self.recognise(),
            };
            match encoding {
                Encoding::Utf8 => self.decode_utf8()?,
                Encoding::Latin1 => self.decode_latin1()?,
                Encoding::Utf16Le => self.decode_utf16(u16::from_le_bytes)?,
                Encoding::Utf16Be => self.decode_utf16(u16::from_be_bytes)?,
            }
        }
        Ok(())
    }

    /// Takes the byte order mark off and sets the encoding by it, or by what was given.
    fn recognise(&mut self) -> Encoding {
        let (mark, encoding) = match self.raw.as_slice() {
            [0xef, 0xbb, 0xbf, ..] => (3, Encoding::Utf8),
            [0xff, 0xfe, ..] => (2, Encoding::Utf16Le),
            [0xfe, 0xff, ..] => (2, Encoding::Utf16Be),
            _ => (0, Encoding::Utf8),
        };
        let encoding = match self.given {
            Some(given) if given != encoding => given,
            _ => {
                self.raw.drain(..mark);
                self.offset = mark as u64;
                encoding
            }
        };
        self.encoding = Some(encoding);
        encoding
    }

    fn decode_utf8(&mut self) -> io::Result<()> {
        let good = match std::str::from_utf8(&self.raw) {
            Ok(_) => self.raw.len(),
            // Cut inside a character: the rest of it is in the next piece, if there is one.
            Err(error) if error.error_len().is_none() && !self.ended => error.valid_up_to(),
            Err(error) => {
                self.pass_over(error.valid_up_to());
                return Err(self.bytes_wrong(Encoding::Utf8));
            }
        };
        if let Some(nul) = self.raw[..good].iter().position(|&byte| byte == 0) {
            self.pass_over(nul);
            return Err(self.nul());
        }
        self.text.extend_from_slice(&self.raw[..good]);
        self.pass_over(good);
        Ok(())
    }

    fn decode_latin1(&mut self) -> io::Result<()> {
        if let Some(nul) = self.raw.iter().position(|&byte| byte == 0) {
            self.pass_over(nul);
            return Err(self.nul());
        }
        for &byte in &self.raw {
            self.text.extend_from_slice(char::from(byte).encode_utf8(&mut [0; 4]).as_bytes());
        }
        self.pass_over(self.raw.len());
        Ok(())
    }

    fn decode_utf16(&mut self, unit: fn([u8; 2]) -> u16) -> io::Result<()> {
        let encoding = self.encoding.unwrap_or(Encoding::Utf16Le);
        let whole = self.raw.len() & !1;
        let units: Vec<u16> =
            self.raw[..whole].chunks_exact(2).map(|pair| unit([pair[0], pair[1]])).collect();
        let mut used = 0;
        let mut decoded = char::decode_utf16(units.iter().copied()).peekable();
        while let Some(character) = decoded.next() {
            match character {
                Ok('\0') => {
                    self.offset += used as u64;
                    return Err(self.nul());
                }
                Ok(character) => {
                    self.line += u64::from(character == '\n');
                    self.text.extend_from_slice(character.encode_utf8(&mut [0; 4]).as_bytes());
                    used += 2 * character.len_utf16();
                }
                // The first half of a pair at the very end: its second half is in the next piece.
                Err(half)
                    if decoded.peek().is_none() && !self.ended && half.unpaired_surrogate() < 0xdc00 =>
                {
                    break;
                }
                Err(_) => {
                    self.offset += used as u64;
                    return Err(self.bytes_wrong(encoding));
                }
            }
        }
        if self.ended && used < self.raw.len() {
            self.offset += used as u64;
            return Err(self.bytes_wrong(encoding));
        }
        self.raw.drain(..used);
        self.offset += used as u64;
        Ok(())
    }

    /// Counts the lines and bytes of what was decoded, and forgets it.
    fn pass_over(&mut self, bytes: usize) {
        self.line += self.raw[..bytes].iter().filter(|&&byte| byte == b'\n').count() as u64;
        self.offset += bytes as u64;
        self.raw.drain(..bytes);
    }

    fn nul(&self) -> io::Error {
        io::Error::other(NotText::Nul { line: self.line, offset: self.offset })
    }

    fn bytes_wrong(&self, encoding: Encoding) -> io::Error {
        io::Error::other(NotText::Bytes { line: self.line, offset: self.offset, encoding })
    }
}

impl<R: Read> Read for Decoded<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.at == self.text.len() {
            self.refill()?;
        }
        let given = into.len().min(self.text.len() - self.at);
        into[..given].copy_from_slice(&self.text[self.at..self.at + given]);
        self.at += given;
        Ok(given)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(bytes: &[u8], given: Option<Encoding>) -> Result<String, NotText> {
        // Read in small pieces, so that characters are cut.
        struct Pieces<'a>(&'a [u8]);
        impl Read for Pieces<'_> {
            fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
                let given = self.0.len().min(3).min(into.len());
                into[..given].copy_from_slice(&self.0[..given]);
                self.0 = &self.0[given..];
                Ok(given)
            }
        }
        let mut text = String::new();
        match Decoded::new(Pieces(bytes), given).read_to_string(&mut text) {
            Ok(_) => Ok(text),
            Err(error) => Err(error.get_ref().unwrap().downcast_ref::<NotText>().unwrap().clone()),
        }
    }

    /// The text in UTF-16 with its mark (Unicode Standard, section 23.8, byte order mark).
    fn utf16(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(bytes).collect()
    }

    #[test]
    fn marks_are_taken_off_and_obeyed() {
        let text = "product,put_up\nŻurek \u{1f95f}\n";
        assert_eq!(decoded(text.as_bytes(), None).as_deref(), Ok(text));
        assert_eq!(decoded(&[&[0xef, 0xbb, 0xbf], text.as_bytes()].concat(), None).as_deref(), Ok(text));
        assert_eq!(decoded(&utf16(text, u16::to_le_bytes), None).as_deref(), Ok(text));
        assert_eq!(decoded(&utf16(text, u16::to_be_bytes), None).as_deref(), Ok(text));
        assert_eq!(decoded(b"", None).as_deref(), Ok(""));
    }

    #[test]
    fn latin_1_is_read_only_when_asked_for() {
        // 0xe9 is é in ISO/IEC 8859-1 and the start of a longer sequence in UTF-8.
        let bytes = b"a,b\np\xe9ches,1\n";
        let wrong = NotText::Bytes { line: 2, offset: 5, encoding: Encoding::Utf8 };
        assert_eq!(decoded(bytes, None), Err(wrong));
        assert_eq!(decoded(bytes, Some(Encoding::Latin1)).as_deref(), Ok("a,b\npéches,1\n"));
    }

    #[test]
    fn halves_of_characters_and_nuls_are_refused_where_they_stand() {
        assert!(matches!(decoded(b"ab\xc5", None), Err(NotText::Bytes { offset: 2, .. })));
        assert!(matches!(decoded(&[0xff, 0xfe, 0x41], None), Err(NotText::Bytes { offset: 2, .. })));
        assert!(matches!(decoded(&[0xff, 0xfe, 0x00, 0xd8], None), Err(NotText::Bytes { .. })));
        assert_eq!(decoded(b"a\nb\0c", None), Err(NotText::Nul { line: 2, offset: 3 }));
    }
}
