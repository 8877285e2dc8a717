//! Words by which somebody says that there was nothing.

/// Whether an answer says that there was nothing: empty, "no", "none" and the like.
pub fn says_nothing(answer: &str) -> bool {
    let answer = answer.trim().trim_end_matches(['.', '!']).to_lowercase();
    matches!(
        answer.as_str(),
        "" | "-"
            | "n"
            | "no"
            | "none"
            | "nope"
            | "nah"
            | "nothing"
            | "nothing wrong"
            | "nothing went wrong"
            | "no problem"
            | "no problems"
            | "n/a"
            | "na"
            | "skip"
            | "all went well"
            | "all good"
            | "fine"
            | "good"
            | "ok"
            | "okay"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_no_is_not_something_that_went_wrong() {
        for answer in ["", " ", "no", "No.", "skip", "No problems!", "NONE", "n", "nothing", "-"] {
            assert!(says_nothing(answer), "{answer}");
        }
        for answer in ["no water left at the end", "none of the lids sealed", "not sure"] {
            assert!(!says_nothing(answer), "{answer}");
        }
    }
}
