//! Names inside commands that are shown to be typed.

/// Writes a name as a shell takes it: bare where that is plain, else in single quotes, in which a
/// shell reads nothing but the name.
pub(in crate::cli) fn quoted(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || "-_./:,+".contains(c);
    if !name.is_empty() && !name.starts_with('-') && name.chars().all(bare) {
        name.to_owned()
    } else {
        format!("'{}'", name.replace('\'', r"'\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // POSIX Shell Command Language, Single-Quotes: every character keeps its literal value, and a single quote
    // cannot occur within.
    #[test]
    fn a_shell_reads_the_name_and_nothing_else() {
        for (name, written) in [
            ("L-7.2", "L-7.2"),
            ("Big dial", "'Big dial'"),
            ("$(rm x)", "'$(rm x)'"),
            ("Ida's", r"'Ida'\''s'"),
            ("-q", "'-q'"),
            ("", "''"),
        ] {
            assert_eq!(quoted(name), written);
        }
    }
}
