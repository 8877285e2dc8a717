//! The commands that random histories and the tests of undo are made of, with small numbers for what they are done to.
//!
//! Few batches, jars and canners, so that what is done to them collides.

use std::collections::BTreeMap;

use chrono::TimeDelta;

use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::batch::batch_story::BatchLine;
use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::jar::seal::SealLook;
use crate::ledger::kitchen::canner::NewCanner;
use crate::ledger::tests::household::{CANNERS, Household};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::permit::When;
use crate::rules::process::household::HouseholdProcess;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::kinds::seal_test::SealTest;
use crate::values::measures::pressure::Pressure;

/// One command, with small numbers that stand for what it is done to.
#[derive(Debug, Clone)]
pub(in crate::ledger) enum Step {
    PutUp {
        product: usize,
        jars: u32,
        minutes: u32,
        canner: usize,
        lids: usize,
    },
    /// Every jar under lids of a lot is held.
    Trace {
        lids: usize,
    },
    /// A jar is emptied into a new batch of the same food.
    Reprocess {
        jar: usize,
        minutes: u32,
    },
    Check {
        jar: usize,
        sealed: bool,
    },
    Do {
        jars: Vec<usize>,
        act: Act,
    },
    Hold {
        jar: usize,
    },
    Release {
        jar: usize,
    },
    Gauge {
        canner: usize,
        reads: i64,
    },
    Minutes {
        batch: usize,
        minutes: u32,
    },
    Product {
        batch: usize,
        product: usize,
    },
    /// The load of a batch came out so many hours earlier than it says.
    Out {
        batch: usize,
        hours: i64,
    },
    Day {
        batch: usize,
        days: i64,
    },
    Canner {
        batch: usize,
        canner: usize,
    },
    /// A third canner is recorded, whose name may have been taken back.
    NewCanner,
    OwnProcess {
        minutes: u32,
    },
    Altitude(i64),
    /// The entry so many before the last.
    Undo(usize),
}

/// The last is a food of the household's own, which has the process it entered or none.
const PRODUCTS: [(&str, &str); 3] =
    [("Green beans", "green-beans"), ("Pears", "pears"), ("Nettle stew", "nettle-stew")];
const LID_LOTS: [&str; 2] = ["A7", "B8"];
const NEW_CANNER: &str = "Borrowed dial";

pub(in crate::ledger) fn batches(ledger: &Ledger) -> Result<Vec<BatchLine>, LedgerError> {
    let mut batches = Vec::new();
    ledger.each_batch(|batch| {
        batches.push(batch);
        Ok::<(), LedgerError>(())
    })?;
    Ok(batches)
}

fn canner_name(at: usize) -> &'static str {
    CANNERS.get(at).copied().unwrap_or(NEW_CANNER)
}

impl Household {
    /// A jar ever put up, counted round.
    fn nth_jar(&self, at: usize) -> Result<Jar, LedgerError> {
        let mut jars = Vec::new();
        for batch in batches(&self.ledger)? {
            jars.extend(self.ledger.jars_of_batch(batch.batch.code)?);
        }
        let count = jars.len().max(1);
        jars.into_iter().nth(at % count).ok_or_else(|| LedgerError::NotFound("no jar".to_owned()))
    }

    fn nth_batch(&self, at: usize) -> Result<BatchCode, LedgerError> {
        let batches = batches(&self.ledger)?;
        let count = batches.len().max(1);
        let batch = batches.get(at % count).map(|batch| batch.batch.code);
        batch.ok_or_else(|| LedgerError::NotFound("no batch".to_owned()))
    }

    fn new_batch(
        &self,
        (name, food): (&str, &str),
        jars: u32,
        minutes: u32,
        canner: &str,
        lids: &str,
    ) -> NewBatch {
        let mut load = self.load(canner, minutes, &[(JarSize::Pint, jars)]);
        load.lid_lot = Some(lids.parse().unwrap());
        NewBatch {
            acidity: Some(if food == "pears" { Acidity::Acid } else { Acidity::LowAcid }),
            pack: Some(Pack::Raw),
            ..self.batch((name, food), vec![load])
        }
    }

    pub(in crate::ledger) fn run(&self, step: &Step) -> Result<(), LedgerError> {
        let now = self.clock.now;
        match step {
            Step::PutUp { product, jars, minutes, canner, lids } => {
                let batch = self.new_batch(
                    PRODUCTS[*product],
                    *jars,
                    *minutes,
                    canner_name(*canner),
                    LID_LOTS[*lids],
                );
                self.entry(|write| {
                    let logged = write.put_up(&batch)?;
                    write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
                    Ok(())
                })
            }
            Step::Trace { lids } => {
                let lid_lots = vec![LID_LOTS[*lids].parse().unwrap()];
                self.entry(|write| {
                    let traced = write.trace(&TraceQuery { lid_lots, ..TraceQuery::default() })?;
                    write.hold_traced(&traced, LID_LOTS[*lids]).map(|_| ())
                })
            }
            Step::Reprocess { jar, minutes } => {
                let jar = self.nth_jar(*jar)?;
                let product = PRODUCTS.into_iter().find(|(name, _)| *name == jar.product).unwrap();
                let batch = self.new_batch(product, 1, *minutes, CANNERS[0], LID_LOTS[1]);
                self.entry(|write| {
                    let logged = write.put_up(&batch)?;
                    write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
                    write.reprocess(&[jar], logged.batch, now)
                })
            }
            Step::Check { jar, sealed } => {
                let jar = self.nth_jar(*jar)?;
                self.entry(|write| {
                    let look = SealLook { jar, sealed: *sealed, test: SealTest::Press };
                    write.check_seals(&[look], now, true)?;
                    Ok(())
                })
            }
            Step::Do { jars, act } => {
                let jars: Vec<Jar> = jars.iter().map(|&jar| self.nth_jar(jar)).collect::<Result<_, _>>()?;
                let place = (*act == Act::Move).then(|| "Attic".parse().unwrap());
                let particulars = Particulars { place, ..Particulars::default() };
                self.entry(|write| write.act_on(&jars, *act, When::At(now), &particulars).map(|_| ()))
            }
            Step::Hold { jar } => {
                let jar = self.nth_jar(*jar)?;
                self.entry(|write| write.hold(&jar, HoldCause::ByHand, "a doubt").map(|_| ()))
            }
            Step::Release { jar } => {
                let jar = self.nth_jar(*jar)?;
                self.entry(|write| write.release(&jar, "looked at again").map(|_| ()))
            }
            Step::Gauge { canner, reads } => {
                let psi = |psi: i64| [Pressure::from_centi_psi(psi * 100)];
                let test = GaugeTest::new(self.clock.today(), false, &psi(*reads), &psi(11)).unwrap();
                self.record_test(CANNERS[*canner], test).map(drop)
            }
            Step::Minutes { batch, minutes } => {
                let of = Corrected::Load(LoadCode { batch: self.nth_batch(*batch)?, number: 1 });
                self.entry(|write| {
                    write.correct(of, &[Amendment::new(Field::Minutes, Some(minutes))], "misread").map(|_| ())
                })
            }
            Step::Product { batch, product } => {
                let of = Corrected::Batch(self.nth_batch(*batch)?);
                let amended = [Amendment::new(Field::Product, Some(PRODUCTS[*product].0))];
                self.entry(|write| write.correct(of, &amended, "mislabelled").map(|_| ()))
            }
            Step::Out { batch, hours } => {
                let load = LoadCode { batch: self.nth_batch(*batch)?, number: 1 };
                let out = self.ledger.load(load)?.facts.out_at - TimeDelta::hours(*hours);
                self.entry(|write| {
                    write
                        .correct(
                            Corrected::Load(load),
                            &[Amendment::moment(Field::Out, Some(out))],
                            "misread",
                        )
                        .map(|_| ())
                })
            }
            Step::Day { batch, days } => {
                let code = self.nth_batch(*batch)?;
                let day = self.ledger.batch(code)?.put_up - TimeDelta::days(*days);
                self.entry(|write| {
                    write
                        .correct(
                            Corrected::Batch(code),
                            &[Amendment::new(Field::PutUp, Some(day))],
                            "misread",
                        )
                        .map(|_| ())
                })
            }
            Step::Canner { batch, canner } => {
                let of = Corrected::Load(LoadCode { batch: self.nth_batch(*batch)?, number: 1 });
                let amended = [Amendment::new(Field::Canner, Some(canner_name(*canner)))];
                self.entry(|write| write.correct(of, &amended, "mistaken").map(|_| ()))
            }
            Step::NewCanner => {
                let new = NewCanner {
                    name: NEW_CANNER.parse().unwrap(),
                    method: Method::PressureDial,
                    holds: BTreeMap::from([(JarSize::Pint, 9)]),
                    holds_together: Vec::new(),
                };
                self.entry(|write| write.add_canner(&new).map(|_| ()))
            }
            Step::OwnProcess { minutes } => {
                let process = HouseholdProcess {
                    food: "nettle-stew".parse().unwrap(),
                    acidity: Acidity::LowAcid,
                    pack: Pack::Raw,
                    size: JarSize::Pint,
                    method: Method::PressureDial,
                    altitude_min_ft: 0,
                    altitude_max_ft: Some(2_000),
                    minutes: *minutes,
                    psi: Some(Pressure::from_psi(11)),
                    vent_min: 10,
                    headspace_hundredths_in: 100,
                    publication: "A bulletin".to_owned(),
                    page: "p. 3".to_owned(),
                    published_on: "2020-01-31".parse().unwrap(),
                    entered_on: "2020-02-01".parse().unwrap(),
                };
                self.entry(|write| write.add_household_process(&process).map(|_| ()))
            }
            Step::Altitude(hundreds) => {
                let altitude = format!("{}ft", hundreds * 100).parse().unwrap();
                self.entry(|write| write.set_altitude(altitude))
            }
            Step::Undo(before) => self.undo(EntryId(self.last_entry().0 - *before as i64)).map(drop),
        }
    }
}
