//! The key of each step, and the words beside it.

use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::Stand;
use crate::values::kinds::method::Method;
use crate::values::kinds::run_step::RunStep;

/// A step's letter. No two steps that may follow each other share one, so a key struck twice
/// counts once.
const KEYS: [(char, RunStep); 9] = [
    ('h', RunStep::Heat),
    ('s', RunStep::Steam),
    ('c', RunStep::Closed),
    ('r', RunStep::Reached),
    ('l', RunStep::Lost),
    ('o', RunStep::Off),
    ('d', RunStep::Depressurized),
    ('t', RunStep::Lid),
    ('j', RunStep::Out),
];

/// What a key asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    /// A step of the chosen canner.
    Step(RunStep),
    /// The last step of the chosen canner was pressed by mistake.
    Back,
    /// The canner at this place is meant from now on.
    Choose(usize),
    /// The next canner is meant from now on.
    Next,
    /// Where does it stand?
    SayAgain,
    /// Leave; the time runs on.
    Leave,
}

impl Key {
    /// What a letter asks for.
    pub(super) fn of(letter: char) -> Option<Self> {
        let letter = letter.to_ascii_lowercase();
        if let Some(&(_, step)) = KEYS.iter().find(|(key, _)| *key == letter) {
            return Some(Self::Step(step));
        }
        match letter {
            'b' => Some(Self::Back),
            'q' => Some(Self::Leave),
            ' ' => Some(Self::SayAgain),
            '1'..='9' => Some(Self::Choose(letter as usize - '1' as usize)),
            _ => None,
        }
    }
}

/// The keys that fit now, each with what it says.
pub(super) fn offered(run: &Run, here: &Stand) -> Vec<(char, String)> {
    let is_timed = here.left_s.is_some_and(|left| left > 0);
    let says = |step| {
        let when = match step {
            RunStep::Lost => ": full time again",
            _ if is_timed => ", when the time is up",
            _ => "",
        };
        Some((letter(step)?, format!("{}{when}", in_words(step, run.aim.method))))
    };
    here.next.iter().filter_map(|&step| says(step)).collect()
}

/// The letter of a step; one that gives the run up has none.
fn letter(step: RunStep) -> Option<char> {
    KEYS.iter().find(|(_, of)| *of == step).map(|(key, _)| *key)
}

/// What was seen or done, in words.
pub(super) const fn in_words(step: RunStep, method: Method) -> &'static str {
    match (step, method) {
        (RunStep::Heat, _) => "heat on",
        (RunStep::Steam, _) => "steam flows",
        (RunStep::Closed, _) => "vent closed",
        (RunStep::Reached, Method::BoilingWater) => "full boil reached",
        (RunStep::Reached, Method::Steam) => "full steam reached",
        (RunStep::Reached, _) => "pressure reached",
        (RunStep::Lost, Method::BoilingWater) => "boil lost",
        (RunStep::Lost, Method::Steam) => "steam lost",
        (RunStep::Lost, _) => "pressure lost",
        (RunStep::Off, _) => "heat off",
        (RunStep::Depressurized, _) => "pressure gone",
        (RunStep::Lid, _) => "lid taken off",
        (RunStep::Out, _) => "jars out",
        (RunStep::Abandon, _) => "given up",
    }
}
