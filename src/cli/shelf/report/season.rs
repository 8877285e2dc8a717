//! What to put up for the next season, as the page shows it.

use crate::answers::eating::season::answer::{Answer, Line};
use crate::cli::planning::season::show;
use crate::paper::report::model::{Season, SeasonLine};
use crate::values::measures::units::Units;

pub(super) fn season(answer: &Answer, units: Units) -> Season {
    let name = |line: &Line| format!("{}, {}", line.product, line.size.plural());
    Season {
        until: answer.until,
        lines: answer
            .lines
            .iter()
            .filter_map(|line| {
                let put_up = line.put_up.filter(|&jars| jars > 0)?;
                Some(SeasonLine {
                    product: name(line),
                    needed: line.expected.as_ref()?.enough,
                    will_keep: line.still_good.unwrap_or(0),
                    put_up,
                })
            })
            .collect(),
        in_all: show::in_all(&answer.totals, units).unwrap_or_default(),
        unknown: answer.lines.iter().filter(|line| line.too_little_history).map(name).collect(),
    }
}
