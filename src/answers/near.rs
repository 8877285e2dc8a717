//! What was perhaps meant.

/// Offers what is near, if anything is.
pub(crate) fn did_you_mean(near: &[impl std::fmt::Display]) -> Option<String> {
    let near: Vec<String> = near.iter().map(ToString::to_string).collect();
    (!near.is_empty()).then(|| format!("did you mean {}?", near.join(" or ")))
}
