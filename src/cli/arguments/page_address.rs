//! The address under which the page at the shelf is asked.

/// Port of the page where none is given: it stays the same, so that phones find it again.
pub(in crate::cli) const PORT: u16 = 8464;

/// Longest name of a machine (RFC 1035, 2.3.4: a label of it has 63 characters), with a port.
const MOST: usize = 80;

/// A whole address: `https://shelf.example`.
pub(in crate::cli) fn origin(given: &str) -> Result<String, String> {
    let given = given.trim_end_matches('/');
    match given.split_once("://") {
        Some(("http" | "https", host)) if is_host(host) => Ok(given.to_owned()),
        _ => Err("write http:// or https:// and a name, such as https://shelf.example".to_owned()),
    }
}

/// A whole address, or the name of the machine alone: `shelf.local` is `http://shelf.local:8464`.
pub(in crate::cli) fn page_at(given: &str) -> Result<String, String> {
    if given.contains("://") {
        return origin(given);
    }
    let host = given.trim_end_matches('/');
    if !is_host(host) {
        return Err("write the name of the machine that serves the page, such as shelf.local".to_owned());
    }
    let has_port = host.rsplit_once(':').is_some_and(|(_, port)| port.parse::<u16>().is_ok());
    Ok(if has_port { format!("http://{host}") } else { format!("http://{host}:{PORT}") })
}

fn is_host(host: &str) -> bool {
    let fits = |c: char| c.is_ascii_alphanumeric() || ".-:[]".contains(c);
    !host.is_empty() && host.len() <= MOST && host.chars().all(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_alone_is_a_page_at_the_usual_port() {
        let at = |given: &str| page_at(given).ok();
        assert_eq!(at("shelf.local").as_deref(), Some("http://shelf.local:8464"));
        assert_eq!(at("192.0.2.7:80/").as_deref(), Some("http://192.0.2.7:80"));
        assert_eq!(at("https://shelf.example/").as_deref(), Some("https://shelf.example"));
        for wrong in [
            "",
            "/",
            "ftp://shelf.example",
            "http://",
            "shelf local",
            "a/b",
            "me@shelf",
            "shelf?x",
            "sh\u{e9}lf",
        ] {
            assert_eq!(at(wrong), None, "{wrong}");
        }
        assert!(page_at(&"a".repeat(81)).is_err());
    }
}
