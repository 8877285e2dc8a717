//! The verdicts on the loads of a batch in lines; what several loads share is said once.

use crate::answers::jars::load_lines::{finding_in_words, is_said_by};
use crate::answers::say::Say;
use crate::rules::load::finding::{Bearing, Finding};
use crate::rules::load::verdict::Verdict;
use crate::rules::load::verdict_words::Compared;

/// The verdict on one load, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct VerdictShown {
    /// What the load is called where the batch has several.
    name: String,
    sentence: String,
    findings: Vec<String>,
}

impl VerdictShown {
    /// Puts a verdict into words, with the findings that `wanted` picks.
    pub(crate) fn new(
        name: String,
        compared: &Compared<'_>,
        verdict: Verdict,
        findings: &[Finding],
        wanted: impl Fn(Bearing) -> bool,
    ) -> Self {
        let sentence = compared.verdict(verdict, findings);
        let findings =
            findings.iter().filter(|finding| wanted(finding.bearing) && !is_said_by(Some(verdict), finding));
        Self { name, sentence, findings: findings.map(finding_in_words).collect() }
    }
}

/// Says the verdicts on all loads of a batch.
pub(crate) fn say_verdicts(loads: &[VerdictShown], screen: &mut impl Say) {
    let mut sentences: Vec<&str> = Vec::new();
    for load in loads {
        if !sentences.contains(&load.sentence.as_str()) {
            sentences.push(&load.sentence);
        }
    }
    for sentence in sentences {
        let alike: Vec<&VerdictShown> = loads.iter().filter(|load| load.sentence == sentence).collect();
        let line = named(&alike, loads.len(), sentence);
        screen.say(line[..1].to_uppercase() + &line[1..]);
        let mut findings: Vec<&String> = Vec::new();
        for finding in alike.iter().flat_map(|load| &load.findings) {
            if !findings.contains(&finding) {
                findings.push(finding);
            }
        }
        for finding in findings {
            let of: Vec<&VerdictShown> =
                alike.iter().filter(|load| load.findings.contains(finding)).copied().collect();
            screen.say(format!("  - {}", named(&of, alike.len(), finding)));
        }
    }
}

/// A statement, with the loads in front unless it holds for all.
fn named(of: &[&VerdictShown], all: usize, statement: &str) -> String {
    if of.len() == all {
        return statement.to_owned();
    }
    let names: Vec<&str> = of.iter().map(|load| load.name.as_str()).collect();
    format!("{}: {statement}", names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(name: &str, sentence: &str, findings: &[&str]) -> VerdictShown {
        let findings = findings.iter().map(|&finding| finding.to_owned()).collect();
        VerdictShown { name: name.to_owned(), sentence: sentence.to_owned(), findings }
    }

    #[test]
    fn what_loads_share_is_said_once_and_the_rest_by_name() {
        let mut lines: Vec<String> = Vec::new();
        say_verdicts(
            &[
                verdict("A", "Short.", &["vent", "time"]),
                verdict("B", "Meets.", &[]),
                verdict("C", "Short.", &["vent"]),
            ],
            &mut lines,
        );
        assert_eq!(lines, ["A, C: Short.", "  - vent", "  - A: time", "B: Meets."]);
        let mut lines: Vec<String> = Vec::new();
        say_verdicts(&[verdict("A", "Meets.", &["gauge"])], &mut lines);
        assert_eq!(lines, ["Meets.", "  - gauge"]);
    }
}
