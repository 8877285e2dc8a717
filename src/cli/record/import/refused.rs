//! What is wrong with a list or an export, shown.

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::exchange::problem::{Problem, Problems};
use crate::exchange::shelf::guess::Guess;
use crate::values::names::counted::counted;

/// Problems shown; the rest are counted.
const SHOWN: usize = 20;

#[derive(serde::Serialize)]
struct Refused<'a> {
    file: String,
    count: usize,
    problems: &'a [Problem],
}

/// Shows the problems, and fails.
pub(super) fn refused(
    file: &str,
    problems: &Problems,
    unsure: Option<&Guess>,
    screen: &mut Screen,
) -> Failure {
    if screen.json() {
        let answer = Refused { file: file.to_owned(), count: problems.count, problems: &problems.kept };
        if let Err(failure) = screen.answer(&answer).and_then(|()| screen.finish()) {
            return failure;
        }
    } else {
        for problem in problems.kept.iter().take(SHOWN) {
            complain(&format!("{file}: {problem}"));
        }
        if problems.count > SHOWN {
            complain(&format!("{file}: and {} more", problems.count - SHOWN));
        }
    }
    let count = counted(problems.count, "problem", "problems");
    let hint = match unsure {
        Some(guess) => {
            let taken = guess.taken.iter().filter(|taken| taken.guessed);
            let taken = taken.filter_map(|taken| Some(format!("{} as {}", taken.heading, taken.column?)));
            let taken: Vec<String> = taken.collect();
            format!(
                "--guess takes {}, and leaves the rest out; --dry-run shows the rows first",
                taken.join(", ")
            )
        }
        None => "correct the file and run the command again; `jarledger import --help` names the columns"
            .to_owned(),
    };
    Failure::new(Code::BadInput, format!("{file} has {count}; nothing was imported"), hint)
}
