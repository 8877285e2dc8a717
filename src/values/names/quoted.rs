//! Names inside commands that are shown to be typed.

/// Writes a name as a shell takes it. One that holds the character of number 0, which no shell takes, stays as it is.
pub(crate) fn quoted(name: &str) -> String {
    // The library would quote a list of jars, which is typed bare.
    let is_bare = name.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"-_./:,+".contains(&byte));
    if is_bare && !name.is_empty() {
        return name.to_owned();
    }
    shlex::try_quote(name).map_or_else(|_| name.to_owned(), std::borrow::Cow::into_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shell_reads_the_name_and_nothing_else() {
        for name in ["L-7.2", "Big dial", "$(rm x)", "Ida's", "a \"b\" `c` \\d !e", "*", ""] {
            let command = format!("printf %s {}", quoted(name));
            let read = std::process::Command::new("sh").args(["-c", &command]).output().unwrap();
            assert_eq!(String::from_utf8(read.stdout).unwrap(), name, "{command}");
        }
    }
}
