//! What a check reports: what was looked at, and each kind of thing that can be wrong.

use crate::values::names::named::named_enum;

named_enum! {
    /// What is wrong; the names are stable.
    pub enum Kind as "a kind of finding" {
        /// A page, an index or a row that SQLite does not find whole.
        Page = "page",
        /// A reference that leads to nothing.
        Reference = "reference",
        /// Entries with a gap, with a name not their own, or with nothing to show for what they did.
        Entry = "entry",
        /// An entry that counts though it was undone, or the other way round.
        Undo = "undo",
        /// An event that starts from a state the jar was not in, or leads where its act does not.
        Event = "event",
        /// A jar whose state is not where its events lead.
        State = "state",
        /// A jar whose place is not where its events put it.
        Place = "place",
        /// A jar on hold without a hold in force, or the other way round.
        Hold = "hold",
        /// A jar not on hold though the record of its load withholds it.
        Withheld = "withheld",
        /// A jar that was eaten, given, reprocessed or thrown away more than once.
        Twice = "twice",
        /// A seal check that says something else than its event, or is missing.
        Seal = "seal",
        /// A code that is not read back from a label as the jar it names.
        Code = "code",
        /// A load whose verdict is not the last one given.
        Judgement = "judgement",
        /// A verdict or its reasons that the rules do not give.
        Verdict = "verdict",
        /// A corrected field that does not say what its corrections leave it saying.
        Correction = "correction",
        /// A pressure that is not the one typed.
        Pressure = "pressure",
        /// A canner without capacity, a gauge test without readings, a batch without jars or a ledger without altitude.
        Lacking = "lacking",
        /// A fact about a batch, a canner, a run or a recipe that is not in force.
        Standing = "standing",
        /// A step of a run, a run or a load put up from one, that the rules do not let be.
        Run = "run",
        /// Times of a load that cannot all be true, or a day on which it was not put up.
        Times = "times",
        /// A jar in no load of its batch, or a number left out.
        Misplaced = "misplaced",
        /// A name that is not found by its own key.
        Name = "name",
        /// A value that no release writes.
        Value = "value",
    }
}

impl Kind {
    /// What is found under the name.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Page => "a page, an index or a row that SQLite does not find whole",
            Self::Reference => "a reference that leads to nothing",
            Self::Entry => {
                "entries with a gap, with a name not their own, or with nothing to show for what they did"
            }
            Self::Undo => "an entry that counts though it was undone, or the other way round",
            Self::Event => {
                "an event that starts from a state the jar was not in, or leads where its act does not"
            }
            Self::State => "a jar whose state is not where its events lead",
            Self::Place => "a jar whose place is not where its events put it",
            Self::Hold => "a jar on hold without a hold in force, or the other way round",
            Self::Withheld => "a jar not on hold though the record of its load withholds it",
            Self::Twice => "a jar that was eaten, given, reprocessed or thrown away more than once",
            Self::Seal => "a seal check that says something else than its event, or is missing",
            Self::Code => "a code that is not read back from a label as the jar it names",
            Self::Judgement => "a load whose verdict is not the last one given",
            Self::Verdict => "a verdict or its reasons that the rules do not give",
            Self::Correction => "a corrected field that does not say what its corrections leave it saying",
            Self::Pressure => "a pressure that is not the one typed",
            Self::Lacking => {
                "a canner without capacity, a gauge test without readings, a batch without jars or a ledger \
                 without altitude"
            }
            Self::Standing => "a fact about a batch, a canner, a run or a recipe that is not in force",
            Self::Run => "a step of a run, a run or a load put up from one, that the rules do not let be",
            Self::Times => "times of a load that cannot all be true, or a day on which it was not put up",
            Self::Misplaced => "a jar in no load of its batch, or a number left out",
            Self::Name => "a name that is not found by its own key",
            Self::Value => "a value that no release writes",
        }
    }
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Problem {
    /// Its kind.
    pub code: Kind,
    /// What, and where.
    pub what: String,
    /// The entry of the fact that could not have happened.
    #[serde(skip)]
    pub(in crate::ledger) entry: Option<i64>,
}

/// What was looked at, and what was found.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct CheckReport {
    /// Entries looked at.
    pub entries: i64,
    /// Jars looked at.
    pub jars: i64,
    /// Events looked at.
    pub events: i64,
    /// Loads judged again.
    pub loads: i64,
    /// What is wrong, at most 100 of a kind.
    pub problems: Vec<Problem>,
    /// Problems found beyond those.
    pub more: usize,
    #[serde(skip)]
    pub(super) most_of_a_kind: usize,
}

impl CheckReport {
    /// Adds what was found.
    pub fn find(&mut self, code: Kind, what: impl Into<String>) {
        self.keep(Problem { code, what: what.into(), entry: None });
    }

    /// As [`Self::find`], of a fact that an entry wrote.
    pub(super) fn find_of(&mut self, code: Kind, entry: i64, what: impl Into<String>) {
        self.keep(Problem { code, what: what.into(), entry: Some(entry) });
    }

    fn keep(&mut self, problem: Problem) {
        let of_kind = self.problems.iter().filter(|known| known.code == problem.code).count();
        if of_kind < self.most_of_a_kind {
            self.problems.push(problem);
        } else {
            self.more += 1;
        }
    }
}
