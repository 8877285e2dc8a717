//! Reading decimals as whole hundredths or smaller parts, without passing through a float.

/// Reads an unsigned decimal of ASCII digits, at most four before the point and two after, as hundredths.
pub(crate) fn hundredths(digits: &str) -> Option<i64> {
    scaled(digits, 2)
}

/// Reads one with at most four digits before the point and `places` after it, as whole parts of the last place.
pub(crate) fn scaled(digits: &str, places: usize) -> Option<i64> {
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 4 || part.len() > places || !plain(whole) || !plain(part) {
        return None;
    }
    format!("{whole}{part:0<places$}").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_digits_before_the_point_and_two_after_are_read() {
        assert_eq!(hundredths("9999.99"), Some(999_999));
        assert_eq!(hundredths("11.5"), Some(1_150));
        for wrong in ["", ".5", "10000", "1.005", "-1", "+1", "1e1", "1,5"] {
            assert_eq!(hundredths(wrong), None, "{wrong}");
        }
    }
}
