use uuid::Uuid;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::global_args::GlobalArgs;
use crate::cli::kitchen::settings;
use crate::cli::kitchen::settings::Setting;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::values::measures::altitude::Altitude;
use crate::values::time::day_words::DayOrder;

/// Begin a ledger, or change what it knows about the kitchen
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// Height of the kitchen above sea level, such as 850ft or 260m
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
    /// How labels write a day: day-month-year, month-day-year or year-month-day; the month is always a word
    #[arg(long, value_name = "ORDER")]
    dates: Option<DayOrder>,
    /// List every setting, with who said it and the flag that goes before it
    #[arg(long, conflicts_with_all = ["altitude", "dates"])]
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
}

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
    let created = ctx.path.symlink_metadata().is_err();
    let altitude = altitude(&args, created, ctx, &Asker::new(screen))?;
    let set = |ledger: &Ledger| {
        ledger.write("setup", ctx.clock, |write| {
            let mut told = Vec::new();
            if let Some(altitude) = altitude {
                write.set_altitude(altitude)?;
                told.push(format!("kitchen at {altitude}"));
            }
            if let Some(order) = args.dates {
                write.set_day_order(order)?;
                told.push(format!("labels write {order}"));
            }
            Ok(((), told.join(", ")))
        })
    };
    let ledger = if created {
        Ledger::begin(&ctx.path, Uuid::new_v4(), ctx.clock, set)?.0
    } else {
        let ledger = ctx.open_to_write()?;
        set(&ledger)?;
        ledger
    };
    let household = ledger.household()?;
    if screen.json() {
        return screen.answer(&Answer {
            ledger: ctx.path.display().to_string(),
            altitude: household.altitude.to_string(),
            created,
        });
    }
    screen.say(format!(
        "{} {}: kitchen at {}.",
        if created { "Began the ledger" } else { "Changed the ledger" },
        ctx.path.display(),
        household.altitude
    ));
    screen.next("`jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`; or `jarledger canner add`, which asks");
    Ok(())
}

/// The altitude to set; none where the ledger has one and only something else is changed.
fn altitude(args: &Args, created: bool, ctx: &Context, asker: &Asker) -> Result<Option<Altitude>, Failure> {
    if !created && args.altitude.is_none() && args.dates.is_some() {
        return Ok(None);
    }
    let now = match created || args.altitude.is_some() || !asker.can_ask() {
        true => None,
        false => Some(ctx.open()?.household()?.altitude.to_string()),
    };
    let question = Question {
        ask: "How high is the kitchen above sea level?",
        flag: "--altitude HEIGHT",
        help: "Such as 850ft or 260m; processes hang on it",
        default: now.as_deref(),
    };
    asker.need(args.altitude, question, parsed).map(Some)
}
