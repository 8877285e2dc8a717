//! Texts that a spreadsheet would take for a formula.
//!
//! OWASP Application Security Verification Standard, 1.2.10: a cell that begins with one of these
//! characters is to be escaped with a single quote. A text that begins with a quote itself gets one
//! more, so that [`unescaped`] gives back what [`escaped`] was given, whatever it was.

use std::borrow::Cow;

const QUOTE: char = '\'';

/// Whether a text that begins so may be run, or could be taken for one that was escaped.
///
/// The full-width forms are taken for the narrow ones by some programs.
const fn is_risky(first: char) -> bool {
    matches!(
        first,
        '=' | '+'
            | '-'
            | '@'
            | '\t'
            | '\r'
            | '\n'
            | '\0'
            | QUOTE
            | '\u{ff1d}'
            | '\u{ff0b}'
            | '\u{ff0d}'
            | '\u{ff20}'
    )
}

/// A text as a spreadsheet shows it without running it.
pub fn escaped(text: &str) -> Cow<'_, str> {
    if text.starts_with(is_risky) { Cow::Owned(format!("{QUOTE}{text}")) } else { Cow::Borrowed(text) }
}

/// The text that was escaped; any other is given back as it is.
pub fn unescaped(text: &str) -> &str {
    text.strip_prefix(QUOTE).filter(|rest| rest.starts_with(is_risky)).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_quoted_and_nothing_else() {
        // The characters of ASVS 1.2.10; full-width ones by common practice, no source.
        for risky in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\0", "\u{ff1d}1+1", "'=x"] {
            assert_eq!(escaped(risky), format!("'{risky}"));
        }
        for plain in ["", "pears", "1-2", "a=b", " =1"] {
            assert_eq!(escaped(plain), plain);
        }
    }

    #[test]
    fn a_quote_that_somebody_else_wrote_stays() {
        assert_eq!(unescaped("'til spring"), "'til spring");
        assert_eq!(unescaped("'=1"), "=1");
        assert_eq!(unescaped("''=1"), "'=1");
    }

    proptest! {
        #[test]
        fn every_text_comes_back(text in "[=+@'\t\r\n\0a\u{ff1d}-]{0,4}|.*") {
            let written = escaped(&text);
            prop_assert_eq!(unescaped(&written), &text);
        }
    }
}
