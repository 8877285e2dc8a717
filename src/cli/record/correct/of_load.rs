//! What is amended of a load.

use chrono::{DateTime, FixedOffset};

use crate::cli::arguments::moment::Moment;
use crate::cli::arguments::pressure_given::PressureGiven;
use crate::cli::errors::Failure;
use crate::cli::record::correct::known::{Known, Minutes};
use crate::cli::record::correct::why::{Why, refused, text};
use crate::ledger::amend::correct::Amendment;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::file::open::Ledger;
use crate::rules::load::load_times::{LoadTimes, at_one_offset, out_fits};
use crate::rules::load::run_time::Drop;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::acid::AcidRecord;
use crate::values::measures::altitude::Altitude;
use crate::values::names::name::Name;
use crate::values::names::nothing::says_nothing;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;
use crate::values::time::on_screen::day_in_words;

#[derive(Debug, clap::Args)]
pub(super) struct LoadArgs {
    /// The load, such as 26-041/1
    pub(super) load: Option<LoadCode>,
    /// The canner
    #[arg(long, value_name = "NAME")]
    pub(super) canner: Option<Name>,
    /// Where it stood, such as 850ft or 260m; or unknown
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(super) altitude: Option<Known<Altitude>>,
    /// Lowest reading of the dial while the time ran, or the weight; or unknown
    #[arg(long, value_name = "PSI", allow_hyphen_values = true)]
    pub(super) pressure: Option<Known<PressureGiven>>,
    /// Minutes at pressure or at a full boil; or unknown
    #[arg(long)]
    pub(super) minutes: Option<Known<Minutes<1_440>>>,
    /// Minutes of venting; or unknown
    #[arg(long, value_name = "MINUTES")]
    pub(super) vent: Option<Known<Minutes<240>>>,
    /// Minutes from closing the vent to pressure; or unknown
    #[arg(long, value_name = "MINUTES")]
    pub(super) come_up: Option<Known<Minutes<600>>>,
    /// lemon-juice, citric-acid, vinegar, none or unknown; lemon-juice:short for less than the measure
    #[arg(long)]
    pub(super) acid: Option<Known<AcidRecord>>,
    /// When pressure or a full boil was reached; or unknown
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) reached: Option<Known<Moment>>,
    /// When the heat went off; or unknown
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) ended: Option<Known<Moment>>,
    /// When the jars came out
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) out: Option<Moment>,
    /// Every drop there was, such as 14:05-14:12; may be repeated
    #[arg(long = "drop", value_name = "FROM-TO", conflicts_with = "no_drop")]
    pub(super) drops: Vec<Drop>,
    /// There was no drop
    #[arg(long)]
    pub(super) no_drop: bool,
    /// What went wrong; none: nothing did
    #[arg(long, value_name = "TEXT")]
    pub(super) went_wrong: Option<String>,
    /// Lot of the lids of all its jars; or unknown
    #[arg(long, value_name = "LOT")]
    pub(super) lid_lot: Option<Known<Name>>,
    /// Nothing in it is wrong: check it again by the rules of this release
    #[arg(long)]
    pub(super) again: bool,
    #[command(flatten)]
    pub(super) why: Why,
}

pub(super) fn amended(
    args: &LoadArgs,
    code: LoadCode,
    ledger: &Ledger,
    clock: Clock,
) -> Result<Vec<Amendment>, Failure> {
    let load = ledger.load(code)?;
    let mut amend = Vec::new();
    amend.extend(args.canner.as_ref().map(|name| Amendment::new(Field::Canner, Some(name))));
    amend.extend(Known::amends(args.altitude.as_ref(), Field::Altitude));
    amend.extend(Known::amends(args.pressure.as_ref(), Field::Pressure));
    amend.extend(Known::amends(args.minutes.as_ref(), Field::Minutes));
    amend.extend(Known::amends(args.vent.as_ref(), Field::Vent));
    amend.extend(Known::amends(args.come_up.as_ref(), Field::ComeUp));
    amend.extend(Known::amends(args.acid.as_ref(), Field::Acid));
    let went_wrong = args.went_wrong.as_deref().map(|what| text(what).filter(|what| !says_nothing(what)));
    amend.extend(went_wrong.map(|what| Amendment::new(Field::WentWrong, what)));
    if args.no_drop || !args.drops.is_empty() {
        let drops = args.drops.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
        amend.push(Amendment::new(Field::Drops, text(&drops)));
    }
    let out_at = match args.out {
        Some(out) => {
            let out_at = out.once(out.on(load.facts.out_at.date_naive(), clock.today()), clock.now)?;
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
            amend.push(Amendment::moment(Field::Out, Some(out_at)));
            out_at
        }
        None => load.facts.out_at,
    };
    let moment = |given: &Option<Known<Moment>>, before: DateTime<FixedOffset>| {
        let Some(Known(moment)) = given else { return Ok::<_, Failure>(None) };
        let at = moment
            .map(|moment| moment.once(moment.of_load_before(before, clock.today()), clock.now))
            .transpose()?;
        Ok(Some(at))
    };
    let ended = moment(&args.ended, out_at)?;
    let ended_at = ended.unwrap_or(load.facts.ended_at);
    let reached = moment(&args.reached, ended_at.unwrap_or(out_at))?;
    let reached_at = reached.unwrap_or(load.facts.reached_at);
    // Times on record keep their instants, and so do times given with their offset; the rest is read off a clock.
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
        let drops = drops.unwrap_or(&load.facts.drops);
        let minutes = minutes.unwrap_or(load.facts.minutes);
        let times = LoadTimes { minutes, reached_at, ended_at, out_at, drops };
        times.check().map_err(|error| refused(&error.to_string()))?;
    }
    amend.extend(reached.map(|_| Amendment::moment(Field::Reached, reached_at)));
    amend.extend(ended.map(|_| Amendment::moment(Field::Ended, ended_at)));
    Ok(amend)
}
