//! Jars put together by batch and by what is said of them.

use std::collections::HashMap;

use chrono::NaiveDate;

use crate::answers::shelf::report::stands::{at, best};
use crate::cli::eating::eat::words::named;
use crate::paper::report::model::JarsLine;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// Puts jars of one batch together of which the same is said, in the order they come.
pub(super) fn by_batch(jars: impl Iterator<Item = (JarCode, String, String)>) -> Vec<JarsLine> {
    let mut groups: Vec<(Vec<JarCode>, String, String)> = Vec::new();
    let mut found: HashMap<(BatchCode, String, String), usize> = HashMap::new();
    for (jar, product, text) in jars {
        let group = *found.entry((jar.batch, product.clone(), text.clone())).or_insert_with(|| {
            groups.push((Vec::new(), product, text));
            groups.len() - 1
        });
        groups[group].0.push(jar);
    }
    groups
        .into_iter()
        .map(|(codes, product, text)| JarsLine {
            count: codes.len() as u64,
            jars: named(codes),
            product,
            text,
        })
        .collect()
}

/// Where a jar of food stands, until when, and what must be said of its process.
pub(super) fn until(place: Option<&str>, best_by: NaiveDate, process: &ProcessMark) -> String {
    format!("{}: {}", at(place), best(best_by, process))
}
