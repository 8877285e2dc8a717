//! What to put up for the next season, as `season` plans it where nothing else is asked.

use std::collections::HashMap;

use chrono::NaiveDate;

use crate::answers::eating::season::answer::{Answer, Line};
use crate::answers::eating::season::asked::Asked;
use crate::answers::eating::season::on_hand::OnHand;
use crate::cli::errors::Failure;
use crate::cli::planning::season::show;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::file::open::Ledger;
use crate::paper::report::{Season, SeasonLine};
use crate::rules::eating::sureness::Sureness;
use crate::values::time::civil_day::add_months;

pub(super) fn season(ledger: &Ledger, appetites: &[Appetite], today: NaiveDate) -> Result<Season, Failure> {
    let until = add_months(today, 12);
    let asked = Asked {
        today,
        until,
        sure: Sureness::default(),
        product: None,
        changes: &HashMap::new(),
        on_hand: &OnHand::default(),
    };
    let answer = Answer::read(ledger, appetites, &asked)?;
    let name = |line: &Line| format!("{}, {}", line.product, line.size.plural());
    Ok(Season {
        until,
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
        in_all: show::in_all(&answer.totals, ledger.units()?).unwrap_or_default(),
        unknown: answer.lines.iter().filter(|line| line.too_little_history).map(name).collect(),
    })
}
