//! What the flags amend, field by field.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::cli::arguments::food_arg;
use crate::cli::arguments::food_arg::FoodKnown;
use crate::cli::arguments::moment::Moment;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::record::correct::known::Known;
use crate::cli::record::correct::{BatchArgs, JarArgs, LoadArgs, day, refused, text};
use crate::cli::talk::ask::parsed;
use crate::ledger::entry::correct::Amendment;
use crate::ledger::file::open::Ledger;
use crate::rules::load::load_times::{LoadTimes, at_one_offset, out_fits};
use crate::tables::foods;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::names::nothing::says_nothing;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;
use crate::values::time::on_screen::day_in_words;

pub(super) fn of_batch(
    args: &BatchArgs,
    code: BatchCode,
    ledger: &Ledger,
    ctx: &Context,
) -> Result<Vec<Amendment>, Failure> {
    let mut amend = Vec::new();
    amend.extend(args.product.clone().map(Amendment::Product));
    let now = ledger.batch(code)?;
    let acidity = args.acidity.as_ref().map(|Known(acidity)| *acidity);
    let known = match &args.food {
        Some(food) => {
            let known = food_arg::settle(Some(food), acidity.flatten(), ledger)?;
            let product = args.product.as_ref().map_or(now.product.clone(), ToString::to_string);
            if known.food.is_none()
                && let Some((what, hint)) = food_arg::is_listed(&product)
            {
                return Err(Failure::new(Code::Refused, format!("{what}; nothing was changed"), hint));
            }
            // The acidity goes with the food; what stays the same is no correction.
            if known.acidity != now.acidity {
                amend.push(Amendment::Acidity(known.acidity));
            }
            amend.push(Amendment::Food(known.food.clone()));
            known
        }
        None => {
            if let Some(food) = now.food.as_ref().filter(|_| acidity.is_some()).and_then(foods::get) {
                return Err(Failure::new(
                    Code::Refused,
                    format!("{} is {} food by the tables; nothing was changed", food.id, food.acidity),
                    "if it is another food, correct that with --food",
                ));
            }
            amend.extend(acidity.map(Amendment::Acidity));
            FoodKnown { food: now.food.clone(), acidity: acidity.unwrap_or(now.acidity) }
        }
    };
    let is_renamed = args.product.is_some() || args.food.is_some() || acidity.is_some();
    if is_renamed && args.name_reason.is_none() && now.name_reason.is_none() {
        let product = match &args.product {
            Some(product) => product.clone(),
            None => parsed(&now.product).map_err(|what| Failure::usage(what, "give --product too"))?,
        };
        food_arg::refuse_name(&product, &known, "nothing was changed")?;
    }
    amend.extend(args.vouched.as_deref().map(|word| Amendment::Vouched(text(word))));
    amend.extend(args.name_reason.as_deref().map(|why| Amendment::NameReason(text(why))));
    amend.extend(args.pack.as_ref().map(|Known(pack)| Amendment::Pack(*pack)));
    if let Some(put_up) = &args.put_up {
        let put_up = day(put_up, ctx)?;
        if put_up > ctx.clock.today() {
            return Err(refused(&format!("{} is still to come", on_screen::day(put_up))));
        }
        of_its_loads(code, put_up, ledger)?;
        amend.push(Amendment::PutUp(put_up));
    }
    amend.extend(args.note.as_deref().map(|note| Amendment::BatchNote(text(note))));
    Ok(amend)
}

/// Refuses a day on which no batch was put up whose loads came out when they did.
fn of_its_loads(code: BatchCode, put_up: NaiveDate, ledger: &Ledger) -> Result<(), Failure> {
    let loads = ledger.loads_of_batch(code)?;
    let Some(load) = loads.iter().find(|load| !out_fits(put_up, load.out_at.date_naive())) else {
        return Ok(());
    };
    Err(Failure::usage(
        format!(
            "a batch put up {} has no load that came out {}, as load {} did; nothing was changed",
            day_in_words(put_up),
            on_screen::moment(load.out_at),
            load.code
        ),
        format!(
            "if that day is wrong, amend it first: `jarledger correct load {} --out {put_up}T{}`; the two may lie a \
             day apart, so a day at a time both can be mended. Wrong by more: `jarledger undo` the putup, and log it \
             again",
            load.code,
            load.out_at.format("%H:%M")
        ),
    ))
}

pub(super) fn of_load(
    args: &LoadArgs,
    code: LoadCode,
    ledger: &Ledger,
    clock: Clock,
) -> Result<Vec<Amendment>, Failure> {
    let load = ledger.load(code)?;
    let mut amend = Vec::new();
    amend.extend(args.canner.clone().map(Amendment::Canner));
    amend.extend(args.altitude.as_ref().map(|Known(altitude)| Amendment::Altitude(*altitude)));
    amend.extend(
        args.pressure
            .as_ref()
            .map(|Known(given)| Amendment::Pressure(given.as_ref().map(|given| (given.0, given.1.clone())))),
    );
    amend
        .extend(args.minutes.as_ref().map(|Known(minutes)| Amendment::Minutes(minutes.map(|given| given.0))));
    amend.extend(args.vent.as_ref().map(|Known(minutes)| Amendment::Vent(minutes.map(|given| given.0))));
    amend.extend(args.come_up.as_ref().map(|Known(minutes)| Amendment::ComeUp(minutes.map(|given| given.0))));
    amend.extend(args.acid.as_ref().map(|Known(acid)| Amendment::Acid(*acid)));
    amend.extend(
        args.went_wrong
            .as_deref()
            .map(|what| Amendment::WentWrong(text(what).filter(|what| !says_nothing(what)))),
    );
    if args.no_drop || !args.drops.is_empty() {
        amend.push(Amendment::Drops(args.drops.clone()));
    }
    let out_at = match args.out {
        Some(out) => {
            let out_at = out.once(out.on(load.out_at.date_naive(), clock.today()))?;
            if out_at > clock.now {
                return Err(refused("--out is still to come"));
            }
            let put_up = ledger.batch(code.batch)?.put_up;
            if !out_fits(put_up, out_at.date_naive()) {
                return Err(Failure::usage(
                    format!(
                        "a load that came out {} is not of a batch put up {}; nothing was changed",
                        on_screen::moment(out_at),
                        day_in_words(put_up)
                    ),
                    format!(
                        "if that day is wrong, amend it first: `jarledger correct batch {} --put-up DAY`",
                        code.batch
                    ),
                ));
            }
            ledger.may_have_come_out(&load, out_at)?;
            amend.push(Amendment::Out(out_at));
            out_at
        }
        None => load.out_at,
    };
    let moment = |given: &Option<Known<Moment>>, before: DateTime<FixedOffset>| {
        let Some(Known(moment)) = given else { return Ok::<_, Failure>(None) };
        let at =
            moment.map(|moment| moment.once(moment.of_load_before(before, clock.today()))).transpose()?;
        Ok(Some(at))
    };
    let ended = moment(&args.ended, out_at)?;
    let ended_at = ended.unwrap_or(load.ended_at);
    let reached = moment(&args.reached, ended_at.unwrap_or(out_at))?;
    let reached_at = reached.unwrap_or(load.reached_at);
    // What is on record keeps its instant, and so does what is told to the hour; the rest is read off a clock's face.
    let kept = |at: DateTime<FixedOffset>| at.with_timezone(out_at.offset());
    let given = [&args.reached, &args.ended].map(|given| given.as_ref().and_then(|Known(moment)| *moment));
    let is_exact = given.iter().flatten().any(|moment| moment.is_exact());
    let [reached_by_face, ended_by_face] = given.map(|given| given.is_some() && !is_exact);
    let (reached_at, ended_at) = at_one_offset(
        if reached_by_face { reached_at } else { reached_at.map(kept) },
        if ended_by_face { ended_at } else { ended_at.map(kept) },
        out_at,
    );
    let minutes = args.minutes.as_ref().map(|Known(minutes)| minutes.map(|given| given.0));
    let drops = if args.no_drop || !args.drops.is_empty() { Some(&args.drops) } else { None };
    // A record older than this check is not held against what is amended of something else.
    let is_about_time = args.out.is_some() || reached.is_some() || ended.is_some() || minutes.is_some();
    if is_about_time || drops.is_some() {
        let drops = drops.unwrap_or(&load.drops);
        let minutes = minutes.unwrap_or(load.minutes);
        let times = LoadTimes { minutes, reached_at, ended_at, out_at, drops };
        times.check().map_err(|error| refused(&error.to_string()))?;
    }
    amend.extend(reached.map(|_| Amendment::Reached(reached_at)));
    amend.extend(ended.map(|_| Amendment::Ended(ended_at)));
    Ok(amend)
}

pub(super) fn of_jar(args: &JarArgs, ctx: &Context) -> Result<Vec<Amendment>, Failure> {
    let mut amend = Vec::new();
    amend
        .extend(args.best_by.as_deref().map(|best_by| day(best_by, ctx)).transpose()?.map(Amendment::BestBy));
    amend.extend(args.size.map(Amendment::Size));
    amend.extend(args.lid_lot.as_ref().map(|Known(lot)| Amendment::LidLot(lot.clone())));
    amend.extend(args.note.as_deref().map(|note| Amendment::JarNote(text(note))));
    Ok(amend)
}
