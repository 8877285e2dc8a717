//! Marks cells that a spreadsheet would run as a formula, so that the mark can be taken off again.
//!
//! OWASP Application Security Verification Standard 5.0, 1.2.10: a cell that begins with one of
//! `=`, `+`, `-`, `@`, TAB or CR (or NUL) is preceded by a single quote. The full-width forms of
//! those signs, which some spreadsheets take for them, are marked as well. So that nothing is
//! lost, a cell that begins with a quote already gets another one, and an empty text, which is
//! not the same as nothing, is a quote alone.

const fn starts_formula(first: char) -> bool {
    matches!(
        first,
        '=' | '+' | '-' | '@' | '\t' | '\r' | '\0' | '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}'
    )
}

/// The cell for a text.
pub(in crate::exchange) fn marked(text: &str) -> std::borrow::Cow<'_, str> {
    match text.chars().next() {
        None => "'".into(),
        Some(first) if first == '\'' || starts_formula(first) => format!("'{text}").into(),
        Some(_) => text.into(),
    }
}

/// The text of a cell, its mark taken off.
pub(in crate::exchange) fn unmarked(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.chars().next().is_none_or(|first| first == '\'' || starts_formula(first)) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_marked() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("＝1", "'＝1"),
            ("'=x", "''=x"),
            ("'tis jam", "''tis jam"),
            ("", "'"),
            ("pears", "pears"),
        ] {
            assert_eq!(marked(text), cell);
            assert_eq!(unmarked(cell), text);
        }
    }

    #[test]
    fn a_quote_before_a_plain_word_is_the_words_own() {
        assert_eq!(unmarked("'tis jam"), "'tis jam");
    }

    proptest! {
        #[test]
        fn every_text_comes_back_and_none_is_run(text in "(?s)[=+@\\-'\t\r\0＝a ]{0,4}.{0,8}") {
            let cell = marked(&text);
            prop_assert_eq!(unmarked(&cell), &text);
            prop_assert!(!cell.starts_with(starts_formula));
            prop_assert!(!cell.is_empty());
        }
    }
}
