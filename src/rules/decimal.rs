//! Reading decimals as whole hundredths, without passing through a float.

/// Reads an unsigned decimal of ASCII digits, at most four before the point and two after, as hundredths.
pub(crate) fn hundredths(digits: &str) -> Option<i64> {
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 4 || part.len() > 2 || !plain(whole) || !plain(part) {
        return None;
    }
    format!("{whole}{part:0<2}").parse().ok()
}
