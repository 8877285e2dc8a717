//! What to write on a lid by hand.

use crate::paper::label::words::run::Label;
use crate::values::time::day_words::DayOrder;

/// The wordings for one jar, shortest first.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct LidText {
    /// The code alone: everything else is in the ledger.
    pub code: String,
    /// Contents and day put up, as every guide asks for, with the code.
    pub short: String,
    /// All that a printed label says.
    pub full: String,
}

/// Words a lid. A jar not to be eaten from says so in every wording.
pub(crate) fn lid_text(label: &Label, days: DayOrder) -> LidText {
    let words = |parts: &[String]| parts.join(", ");
    let warning: Vec<String> = label.warning.iter().chain(&label.because).cloned().collect();
    let code = label.code.to_string();
    let put_up = days.write(label.put_up);
    let mut short = warning.clone();
    short.extend([label.contents.clone(), put_up.clone(), code.clone()]);
    let process = label.process.in_words();
    short.extend(process.clone());
    let mut full = warning.clone();
    full.extend([label.contents.clone(), label.size.to_string(), format!("put up {put_up}")]);
    full.extend(label.keeps.in_words(|day| days.write(day)));
    full.push(code.clone());
    full.extend(process);
    full.extend(label.household.clone());
    let mut alone = warning;
    alone.push(code);
    LidText { code: words(&alone), short: words(&short), full: words(&full) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::jar::keeps::Keeps;
    use crate::rules::load::process_record::ProcessMark;
    use crate::values::kinds::jar_size::JarSize;
    use chrono::NaiveDate;

    #[test]
    fn a_lid_is_worded_shortest_first_and_never_without_its_warning() {
        let mut label = Label {
            code: "26-041-03-3".parse().unwrap(),
            contents: "Green beans".to_owned(),
            put_up: NaiveDate::from_ymd_opt(2026, 3, 2).unwrap(),
            keeps: Keeps::BestBy(NaiveDate::from_ymd_opt(2027, 3, 2).unwrap()),
            process: ProcessMark::default(),
            size: JarSize::Pint,
            household: Some("boil 15 min before tasting".to_owned()),
            warning: None,
            because: None,
            kind: Default::default(),
        };
        let text = lid_text(&label, DayOrder::DayMonthYear);
        assert_eq!(text.code, "26-041-03-3");
        assert_eq!(text.short, "Green beans, 2 Mar 2026, 26-041-03-3");
        assert_eq!(
            text.full,
            "Green beans, pint, put up 2 Mar 2026, best by 2 Mar 2027, 26-041-03-3, boil 15 min before tasting"
        );
        label.process.unrecorded = true;
        label.keeps = Keeps::UseBy(NaiveDate::from_ymd_opt(2026, 3, 6).unwrap());
        let unrecorded = lid_text(&label, DayOrder::DayMonthYear);
        assert_eq!(unrecorded.short, "Green beans, 2 Mar 2026, 26-041-03-3, process not on record");
        assert!(unrecorded.full.contains("eat by 6 Mar 2026") && !unrecorded.full.contains("best by"));
        assert!(unrecorded.full.contains("26-041-03-3, process not on record, boil"), "{}", unrecorded.full);
        label.warning = Some("ON HOLD".to_owned());
        let held = lid_text(&label, DayOrder::DayMonthYear);
        for wording in [held.code, held.short, held.full] {
            assert!(wording.starts_with("ON HOLD, "), "{wording}");
        }
    }
}
