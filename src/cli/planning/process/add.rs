//! Adding a process of the household's own.

use chrono::NaiveDate;

use crate::answers::planning::processes::OwnProcess;
use crate::answers::planning::words;
use crate::answers::planning::words::figures_of;
use crate::answers::recall::pulled::all;
use crate::answers::streamed::Streamed;
use crate::cli::arguments::day::hint;
use crate::cli::arguments::food_arg::food_offers;
use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::kitchen::rejudged_words;
use crate::cli::planning::process::own::say_own;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::judging::Judged;
use crate::ledger::trace::traced::TracedJar;
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::tested::VENT_MINUTES;
use crate::tables::foods;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;
use crate::values::names::decimal;
use crate::values::time::civil_day::{DayError, parse_day};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The food, one of the table's keys or a new one, such as turnips
    #[arg(long)]
    food: Option<FoodId>,
    /// Its acidity: low-acid, acid or acidified [default: the table's]
    #[arg(long)]
    acidity: Option<Acidity>,
    /// How it goes into the jar: hot or raw
    #[arg(long)]
    pack: Option<Pack>,
    /// The jar
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    jar: Option<JarSize>,
    /// The kind of canner
    #[arg(long)]
    method: Option<Method>,
    /// Lower end of the altitude band, such as 0ft or 305m
    #[arg(long, value_name = "HEIGHT", value_parser = from_feet, allow_hyphen_values = true, default_value = "0ft")]
    from: i64,
    /// Upper end of the altitude band; leave out where the publication says "above"
    #[arg(long, value_name = "HEIGHT", value_parser = to_feet, allow_hyphen_values = true)]
    to: Option<i64>,
    /// Minutes at pressure or at a full boil
    #[arg(long, allow_negative_numbers = true, value_parser = whole(1..=600_u32))]
    minutes: Option<u32>,
    /// Gauge pressure, such as 11psi or 76kPa; for pressure canners
    #[arg(long)]
    pressure: Option<Pressure>,
    /// Minutes of venting [default: 10 in a pressure canner]
    #[arg(long, value_name = "MINUTES", allow_negative_numbers = true, value_parser = whole(0..=60_u32))]
    vent: Option<u32>,
    /// Headspace, such as 1in, 1.25in or 2.5cm
    #[arg(long, value_parser = headspace)]
    headspace: Option<u32>,
    /// Title of the publication
    #[arg(long, value_name = "TITLE")]
    publication: Option<String>,
    /// Page or section in it
    #[arg(long)]
    page: Option<String>,
    /// Day it was published
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    published: Option<String>,
}

#[derive(serde::Serialize)]
struct Added<'a> {
    process: OwnProcess,
    /// The processes added before that it sets aside.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    sets_aside: Vec<OwnProcess>,
    /// The loads with another verdict than before.
    rejudged: Streamed<'a, Judged>,
    /// Every jar of the loads withheld from now on, also those eaten or given away.
    pull: Streamed<'a, TracedJar>,
    let_go: &'a [JarCode],
}

/// Reads the lower end of a band; metres are rounded up, so that the band is never wider than printed.
fn from_feet(given: &str) -> Result<i64, String> {
    parsed(given).map(Altitude::feet_rounded_up)
}

/// Reads the upper end of a band; metres are rounded down.
fn to_feet(given: &str) -> Result<i64, String> {
    parsed(given).map(Altitude::feet_rounded_down)
}

/// Reads inches as hundredths, or centimetres or millimetres as the nearest hundredth of an inch.
fn headspace(given: &str) -> Result<u32, String> {
    let wrong = || "write inches in decimals such as 1in or 1.25in, or 2.5cm or 25mm".to_owned();
    let text = given.trim();
    let units = [("cm", 2.54), ("mm", 25.4), ("in", 1.0)];
    let measure = units.iter().find_map(|(unit, per_inch)| Some((text.strip_suffix(unit)?, per_inch)));
    let (digits, per_inch) = measure.ok_or_else(wrong)?;
    let hundredths = decimal::hundredths(digits.trim_end()).ok_or_else(wrong)?;
    let inches = (hundredths as f64 / per_inch).round();
    if (0.0..10_000.0).contains(&inches) { Ok(inches as u32) } else { Err(wrong()) }
}

fn question<'a>(ask: &'a str, flag: &'a str, help: &'a str) -> Question<'a> {
    Question { ask, flag, help, default: None }
}

fn gather(args: &Args, today: NaiveDate, asker: &Asker) -> Result<HouseholdProcess, Failure> {
    let food = asker.need_offering(
        args.food.clone(),
        question("Which food?", "--food FOOD", "a key such as turnips"),
        || Ok(food_offers()),
        parsed,
    )?;
    let listed = foods::get(&food).map(|food| food.acidity);
    let acidity = asker.need_one_of(
        args.acidity.or(listed),
        question("Low-acid, acid or acidified?", "--acidity ACIDITY", "As the publication says"),
        Acidity::ALL.to_vec(),
        0,
    )?;
    let pack = asker.need_one_of(
        args.pack,
        question("Hot or raw pack?", "--pack PACK", ""),
        Pack::ALL.to_vec(),
        0,
    )?;
    let size =
        asker.need_one_of(args.jar, question("Which jar?", "--jar SIZE", ""), JarSize::ALL.to_vec(), 0)?;
    let method = asker.need_one_of(
        args.method,
        question("Which kind of canner?", "--method METHOD", ""),
        Method::ALL.to_vec(),
        0,
    )?;
    let minutes = asker.need(args.minutes, question("How many minutes?", "--minutes MINUTES", ""), parsed)?;
    let psi = match (method.is_pressure(), args.pressure) {
        (true, given) => Some(asker.need(
            given,
            question("At what pressure?", "--pressure PRESSURE", "such as 11psi"),
            parsed,
        )?),
        (false, given) => given,
    };
    let headspace_hundredths_in = asker.need(
        args.headspace,
        question("How much headspace?", "--headspace HEADSPACE", "Such as 1in or 2.5cm"),
        headspace,
    )?;
    let text = |given: &str| match given {
        "" => Err("Write it as the publication has it.".to_owned()),
        given => Ok(given.to_owned()),
    };
    let publication = asker.need(
        args.publication.clone(),
        question("Which publication?", "--publication TITLE", ""),
        text,
    )?;
    let page =
        asker.need(args.page.clone(), question("On which page?", "--page PAGE", "or section"), text)?;
    let day = |given: &str| parse_day(given, today).map_err(|error| error.to_string());
    let wrong = |error: &DayError| {
        Failure::usage(format!("--published: {error}; nothing was saved"), hint("--published", error, today))
    };
    let published = args.published.as_deref().map(|given| parse_day(given, today)).transpose();
    let published = published.map_err(|error| wrong(&error))?;
    let published_on = asker.need(
        published,
        question("When was it published?", "--published DATE", "Such as 2015-12-01"),
        day,
    )?;
    Ok(HouseholdProcess {
        food,
        acidity,
        pack,
        size,
        method,
        altitude_min_ft: args.from,
        altitude_max_ft: args.to,
        minutes,
        psi,
        vent_min: args.vent.unwrap_or(if method.is_pressure() { VENT_MINUTES } else { 0 }),
        headspace_hundredths_in,
        publication,
        page,
        published_on,
        entered_on: today,
    })
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let today = ctx.clock.today();
    let own = Asker::new(screen).talk(|asker| gather(&args, today, asker))?;
    let written = ledger.write("process add", ctx.clock, |write| {
        let judged = write.add_household_process(&own)?;
        let summary =
            format!("own process for {}, {}, from {}", own.food, own.size.plural(), own.publication);
        Ok((judged, summary))
    })?;
    let known = ledger.household_processes()?;
    let sets_aside: Vec<&HouseholdProcess> = known.iter().filter(|known| own.sets_aside(known)).collect();
    if screen.json() {
        return screen.answer(&Added {
            process: OwnProcess::of(&own, &known),
            sets_aside: sets_aside.into_iter().map(|own| OwnProcess::of(own, &known)).collect(),
            rejudged: Streamed::new(|take| {
                ledger.each_rejudged(
                    written.entry,
                    |judged| {
                        if judged.is_changed() { take(judged) } else { Ok(()) }
                    },
                )
            }),
            pull: all(&ledger, &written.outcome.pulled),
            let_go: &written.outcome.released,
        });
    }
    let units = ledger.units()?;
    say_own(&own, units, screen);
    for other in own.set_aside_by(&known) {
        screen.say(format!(
            "Caution: for this another process asks for more, {}, {}, from {}. There the one you added is set \
             aside: no load is checked against it. Ask your extension service which holds.",
            figures_of(other.minutes, other.psi, units),
            other.band(),
            other.source
        ));
    }
    for other in sets_aside {
        let other = other.tested();
        screen.say(format!(
            "What you added before asks for less, and is set aside where they meet: {}, from {}.",
            words::figures(&other, units),
            other.source
        ));
    }
    rejudged_words::show(&ledger, written.entry, &written.outcome, screen)?;
    screen.next("`jarledger process --own` lists what you added; `jarledger undo` undoes it");
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_and_inches_are_read_as_the_publications_print_them() {
        assert_eq!((from_feet("0ft"), to_feet("2000 ft")), (Ok(0), Ok(2_000)));
        assert!(to_feet("2000").is_err() && to_feet("ft").is_err());
        // By hand, 1 ft = 0.3048 m: 300 m = 984.25 ft, and the band is never widened.
        assert_eq!((from_feet("300m"), to_feet("300m")), (Ok(985), Ok(984)));
        // By hand, 1 in = 2.54 cm: 2.5 cm = 0.984 in, 13 mm = 0.512 in.
        assert_eq!((headspace("2.5cm"), headspace("13 mm")), (Ok(98), Ok(51)));
        assert_eq!((headspace("1in"), headspace("1.25 in"), headspace("0.5in")), (Ok(100), Ok(125), Ok(50)));
        for wrong in ["1", "1.255in", "in", "-1in", "cm", "100in", "1,5in"] {
            assert!(headspace(wrong).is_err(), "{wrong}");
        }
    }
}
