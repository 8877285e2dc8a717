//! The dates to keep, and those lately settled.

use chrono::{DateTime, Days, FixedOffset, NaiveDate, TimeDelta};

use crate::answers::eating::eat;
use crate::answers::eating::eat::MONTHS_AHEAD;
use crate::ledger::counts::dates::{CooledLoad, DialGauge, InRefrigerator};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::{chilled_unsealed, once_opened};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::time::civil_day::add_months;
use crate::values::time::clock::Clock;
use crate::values::time::month::Month;

/// Days for which settled matters are still told, so that they leave the calendar they were read into.
const SETTLED_DAYS: u32 = 40;

/// Everything to keep.
pub(crate) struct Dates {
    pub(crate) seal_checks: Vec<SealCheck>,
    pub(crate) use_up: Vec<UseUp>,
    /// What to eat this month, and in the months after it.
    pub(crate) eat: eat::Answer,
    /// The canners with a dial, each with the day by which its gauge is to be tested.
    pub(crate) gauge_tests: Vec<(DialGauge, NaiveDate)>,
}

/// The lids of a load, and between which moments they are to be checked.
pub(crate) struct SealCheck {
    pub(crate) load: CooledLoad,
    pub(crate) opens: DateTime<FixedOffset>,
    pub(crate) due: DateTime<FixedOffset>,
}

/// A jar in the refrigerator.
pub(crate) struct UseUp {
    pub(crate) jar: InRefrigerator,
    /// Its last day there; today where it is withheld, since it is to go.
    pub(crate) day: NaiveDate,
    pub(crate) is_withheld: bool,
}

impl Dates {
    /// Reads them all.
    pub(crate) fn read(ledger: &Ledger, clock: Clock) -> Result<Self, LedgerError> {
        let today = clock.today();
        let since = today.checked_sub_days(Days::new(SETTLED_DAYS.into())).unwrap_or(NaiveDate::MIN);
        let cooled = ledger.cooled_loads(clock.now - TimeDelta::days(SETTLED_DAYS.into()))?;
        let eat = eat::Answer::read(ledger, clock, Month::of(today), MONTHS_AHEAD)?;
        let in_refrigerator = ledger.in_refrigerator(since)?;
        let a_year_after = |gauge: DialGauge| {
            let day = gauge.tested.map_or(today, |tested| add_months(tested, 12));
            (gauge, day)
        };
        Ok(Self {
            seal_checks: cooled.into_iter().map(SealCheck::of).collect(),
            use_up: in_refrigerator.into_iter().map(|jar| UseUp::of(jar, &eat, today)).collect(),
            gauge_tests: ledger.dial_gauges()?.into_iter().map(a_year_after).collect(),
            eat,
        })
    }
}

impl SealCheck {
    fn of(load: CooledLoad) -> Self {
        let window = SealWindow::after(load.out_at);
        Self { load, opens: on_the_wall(window.opens()), due: on_the_wall(window.due()) }
    }
}

impl UseUp {
    fn of(jar: InRefrigerator, eat: &eat::Answer, today: NaiveDate) -> Self {
        let on_hold = |matter| matches!(matter, Matter::OpenedOnHold | Matter::ChilledOnHold);
        let is_withheld = eat.decide_now.iter().any(|due| due.jar == jar.jar && on_hold(due.matter));
        let keeps = match jar.state {
            JarState::Chilled => chilled_unsealed(),
            _ => once_opened(jar.food.as_ref(), &jar.product),
        };
        Self { day: if is_withheld { today } else { keeps.last_day(jar.on) }, jar, is_withheld }
    }
}
