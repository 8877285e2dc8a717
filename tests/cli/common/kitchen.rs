//! A kitchen at work, written straight into the ledger: what stands on the shelf before a test begins.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate};
use jarledger::ledger::amend::correct::{Amendment, Corrected};
use jarledger::ledger::batch::load_facts::LoadFacts;
use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::ledger::entry::correct_field::Field;
use jarledger::ledger::entry::write::Write;
use jarledger::ledger::error::LedgerError;
use jarledger::ledger::file::open::Ledger;
use jarledger::ledger::jar::event::Particulars;
use jarledger::ledger::jar::find::Jar;
use jarledger::ledger::jar::seal::SealLook;
use jarledger::ledger::kitchen::canner::NewCanner;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::codes::jar_code::BatchCode;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::Method;
use jarledger::values::kinds::seal_test::SealTest;
use jarledger::values::time::clock::Clock;

use crate::common::world::World;

/// An instant in UTC, as `2026-08-14T16:40`.
pub(crate) fn instant(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(&format!("{text}:00+00:00")).unwrap()
}

/// Runs one entry of `command` at a moment.
pub(crate) fn entry<T>(
    world: &World,
    command: &str,
    moment: &str,
    act: impl FnOnce(&Write<'_>) -> Result<T, LedgerError>,
) -> T {
    let ledger = Ledger::open_to_write(&world.ledger()).unwrap();
    let clock = Clock { now: instant(moment) };
    ledger.write(command, clock, |write| Ok((act(write)?, command.to_owned()))).unwrap().outcome
}

/// Adds a dial-gauge canner that takes 9 pints, "Tall canner".
pub(crate) fn tall_canner(world: &World, moment: &str) {
    let canner = NewCanner {
        name: "Tall canner".parse().unwrap(),
        method: Method::PressureDial,
        holds: BTreeMap::from([(JarSize::Pint, 9)]),
        holds_together: Vec::new(),
    };
    entry(world, "canner add", moment, |write| write.add_canner(&canner));
}

/// Logs one load of one product, out of the canner at a moment; the jars are cooling.
pub(crate) fn put_up(
    world: &World,
    product: &str,
    food: Option<&str>,
    (size, count): (JarSize, u32),
    out: &str,
    place: &str,
) -> BatchCode {
    let put_up: NaiveDate = out[..10].parse().unwrap();
    let load = NewLoad {
        run: None,
        canner: None,
        lid_lot: None,
        jars: vec![(size, count)],
        facts: LoadFacts::out(instant(out)),
    };
    let batch = NewBatch {
        product: product.parse().unwrap(),
        food: food.map(|food| food.parse().unwrap()),
        acidity: None,
        pack: None,
        put_up,
        quality_months: None,
        place: Some(place.parse().unwrap()),
        ingredient_lots: Vec::new(),
        note: None,
        name_reason: None,
        recipe: None,
        loads: vec![load],
    };
    entry(world, "putup", out, |write| write.put_up(&batch)).batch
}

/// Lets one act happen to some jars of a batch.
pub(crate) fn act(world: &World, batch: BatchCode, numbers: &[u32], act: Act, moment: &str) {
    entry(world, act.as_str(), moment, |write| {
        let sealed = match act {
            Act::CheckSealed => true,
            Act::CheckFailed => false,
            _ => {
                for jar in jars(write, batch, numbers) {
                    write.act(&jar, act, &Particulars::default())?;
                }
                return Ok(());
            }
        };
        let look = |jar| SealLook { jar, sealed, test: SealTest::Press };
        let looks: Vec<SealLook> = jars(write, batch, numbers).into_iter().map(look).collect();
        write.check_seals(&looks, instant(moment), true).map(drop)
    });
}

/// Logs a load and finds every lid sealed the morning after.
pub(crate) fn shelve(
    world: &World,
    product: &str,
    food: Option<&str>,
    (size, count): (JarSize, u32),
    out: &str,
    place: &str,
) -> BatchCode {
    let batch = put_up(world, product, food, (size, count), out, place);
    let next_day = instant(out) + chrono::TimeDelta::hours(16);
    let numbers: Vec<u32> = (1..=count).collect();
    act(world, batch, &numbers, Act::CheckSealed, &next_day.format("%Y-%m-%dT%H:%M").to_string());
    batch
}

/// Gives the household's word for the process of a batch.
pub(crate) fn vouch(world: &World, batch: BatchCode, moment: &str) {
    let word = [Amendment::new(Field::Vouched, Some("mine"))];
    entry(world, "correct", moment, |write| write.correct(Corrected::Batch(batch), &word, "I was there"));
}

/// The jars of a batch with these numbers.
pub(crate) fn jars(ledger: &Ledger, batch: BatchCode, numbers: &[u32]) -> Vec<Jar> {
    let mut jars = ledger.jars_of_batch(batch).unwrap();
    jars.retain(|jar| numbers.contains(&jar.code.number));
    assert_eq!(jars.len(), numbers.len());
    jars
}
