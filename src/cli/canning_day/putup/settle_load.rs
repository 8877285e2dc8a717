//! Settles one load, and leaves open what was not recorded.

use chrono::NaiveDate;

use crate::answers::moments;
use crate::cli::canning_day::putup::given::{LoadGiven, Times};
use crate::cli::canning_day::putup::unsettled::{Unsettled, wrong};
use crate::ledger::batch::put_up::NewLoad;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::load::load_times::out_fits;
use crate::rules::load::slip::impossible_pressure;
use crate::values::measures::altitude::Altitude;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

pub(super) fn settle_load(
    load: LoadGiven,
    times: Times,
    canner: &Canner,
    day: NaiveDate,
    kitchen: Altitude,
    clock: Clock,
) -> Result<NewLoad, Unsettled> {
    if !canner.method.is_pressure() && load.pressure.is_some() {
        return Err(wrong(
            format!(
                "{} is {} and has no pressure; nothing was saved",
                canner.name,
                canner.method.with_article()
            ),
            "leave --pressure out, or name another canner",
        ));
    }
    if let Some(given) = &load.pressure
        && let Some(why) = impossible_pressure(canner.method, given.0)
    {
        return Err(wrong(
            format!("{why}; {} is a weighted gauge, and nothing was saved", canner.name),
            "write the weight it had, or leave --pressure out if nobody knows",
        ));
    }
    let out_at = times.out_at;
    if !out_fits(day, out_at.date_naive()) {
        return Err(wrong(
            format!(
                "a load that came out {} is not of a batch put up {}; nothing was saved",
                moments::in_words(out_at, clock),
                on_screen::day_in_words(day)
            ),
            "give --on the day it was put up; jars put up days apart are batches of their own",
        ));
    }
    let facts = load.facts(times, kitchen);
    Ok(NewLoad { run: load.run, canner: load.canner, facts, lid_lot: load.lid_lot, jars: load.jars })
}
