use uuid::Uuid;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::global_args::GlobalArgs;
use crate::cli::kitchen::canner::TO_ADD;
use crate::cli::kitchen::settings;
use crate::cli::kitchen::settings::Setting;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::codes::load_code::LoadCode;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::units::Units;
use crate::values::time::day_words::DayOrder;

/// Begin a ledger, or change what it knows about the kitchen
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// Height of the kitchen above sea level, such as 850ft or 260m
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
    /// How screens and labels write a day: day-month-year, month-day-year or year-month-day; the month is always a word
    #[arg(long, value_name = "ORDER")]
    dates: Option<DayOrder>,
    /// Which measures come first on screens: us or metric; what you enter stays as you entered it
    #[arg(long, value_name = "SYSTEM")]
    units: Option<Units>,
    /// List every setting, with who said it and the flag that goes before it
    #[arg(long, conflicts_with_all = ["altitude", "dates", "units"])]
    pub(in crate::cli) list: bool,
}

#[derive(serde::Serialize)]
struct Listed {
    settings: Vec<Setting>,
}

#[derive(serde::Serialize)]
struct Answer {
    ledger: String,
    altitude: String,
    created: bool,
    /// Loads put up at the height that the kitchen had until now.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    loads_at_old_altitude: Vec<LoadCode>,
}

/// Most loads named in one line.
const NAMED: usize = 6;

/// Lists the settings, with a ledger or without.
pub(in crate::cli) fn list(global: &GlobalArgs, screen: &mut Screen) -> Result<(), Failure> {
    let settings = settings::in_force(global);
    if screen.json() {
        return screen.answer(&Listed { settings });
    }
    settings::say(&settings, screen);
    Ok(())
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    ctx.must_know_the_day()?;
    let created = ctx.path.symlink_metadata().is_err();
    let altitude = altitude(&args, created, ctx, &Asker::new(screen))?;
    let set = |ledger: &Ledger| {
        ledger.write("setup", ctx.clock, |write| {
            let mut changes = Vec::new();
            if let Some(altitude) = altitude {
                write.set_altitude(altitude)?;
                changes.push(format!("kitchen at {altitude}"));
            }
            if let Some(order) = args.dates {
                write.set_day_order(order)?;
                changes.push(format!("days written {order}"));
            }
            if let Some(units) = args.units {
                write.set_units(units)?;
                changes.push(format!("{units} measures first"));
            }
            Ok(((), changes.join(", ")))
        })
    };
    let (ledger, before) = if created {
        (Ledger::begin(&ctx.path, Uuid::new_v4(), ctx.clock, set)?.0, None)
    } else {
        let ledger = ctx.open_to_write()?;
        let before = match ledger.household() {
            Ok(household) => Some(household.altitude),
            // The demo begins its ledger before it says how high the kitchen stands.
            Err(LedgerError::NotFound(_)) => None,
            Err(error) => return Err(error.into()),
        };
        set(&ledger)?;
        (ledger, before)
    };
    let household = ledger.household()?;
    let loads = match before.filter(|&before| before != household.altitude) {
        Some(before) => ledger.loads_put_up_at(before)?,
        None => Vec::new(),
    };
    if screen.json() {
        return screen.answer(&Answer {
            ledger: ctx.path.display().to_string(),
            altitude: household.altitude.to_string(),
            created,
            loads_at_old_altitude: loads,
        });
    }
    screen.say(format!(
        "{} {}: kitchen at {}.",
        if created { "Began the ledger" } else { "Changed the ledger" },
        ctx.path.display(),
        household.altitude
    ));
    if let (Some(before), [first, ..]) = (before, &loads[..]) {
        let named: Vec<String> = loads.iter().take(NAMED).map(ToString::to_string).collect();
        let more = match loads.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        screen.say(format!(
            "Put up at {before} and still in the house: {}{more}. Their verdicts stay as they were. If the kitchen stood \
             at {} then too, correct each:",
            named.join(", "),
            household.altitude
        ));
        screen.say(format!(
            "  jarledger correct load {first} --altitude {} --reason \"the height was wrong\"",
            household.altitude
        ));
    }
    if ledger.canners()?.is_empty() {
        screen.next(TO_ADD);
    }
    Ok(())
}

/// The altitude to set; none where the ledger has one and only something else is changed.
fn altitude(args: &Args, created: bool, ctx: &Context, asker: &Asker) -> Result<Option<Altitude>, Failure> {
    if !created && args.altitude.is_none() && (args.dates.is_some() || args.units.is_some()) {
        return Ok(None);
    }
    let now = match created || args.altitude.is_some() || !asker.can_ask() {
        true => None,
        false => Some(ctx.open()?.household()?.altitude.to_string()),
    };
    let question = Question {
        ask: "How high is the kitchen above sea level?",
        flag: "--altitude HEIGHT",
        help: "Such as 850ft or 260m; process times depend on it",
        default: now.as_deref(),
    };
    asker.need(args.altitude, question, parsed).map(Some)
}
