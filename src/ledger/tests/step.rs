//! The commands that random histories and the tests of undo are made of, with small numbers for what they are done to.
//!
//! Few batches, jars and canners, so that what is done to them collides.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

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
use crate::ledger::kitchen::run::NewRun;
use crate::ledger::tests::household::{CANNERS, Household};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::canning_day::run::{Aim, Instant, facts};
use crate::rules::gauge::dial::Dial;
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::permit::When;
use crate::rules::load::load_times::out_fits;
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::look_up;
use crate::rules::process::tested::ProcessQuestion;
use crate::rules::recipe::definition::Recipe;
use crate::rules::recipe::recipe_file;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::kinds::run_step::RunStep;
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
    /// A run is begun in a canner, by the process of a product, and by the recipe where that is on record.
    Begin {
        canner: usize,
        product: usize,
    },
    /// The first run under way takes these steps.
    Take(&'static [RunStep]),
    /// The first run that is over is put up.
    PutUpRun,
    Recipe,
    /// A jar is put up by that recipe.
    PutUpRecipe,
    /// A jar is emptied into a batch of the household's own food.
    Use {
        jar: usize,
    },
    Altitude(i64),
    /// The entry so many before the last.
    Undo(usize),
}

/// The last is a food of the household's own, which has the process it entered or none.
const PRODUCTS: [(&str, &str); 3] =
    [("Green beans", "green-beans"), ("Pears", "pears"), ("Nettle stew", "nettle-stew")];
const LID_LOTS: [&str; 2] = ["A7", "B8"];
const RECIPE: &str = "Hillside pears";
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

fn pears_by_recipe() -> Recipe {
    let text = format!(
        "name = \"{RECIPE}\"\nfood = \"pears\"\npack = \"raw\"\nmakes = \"pint:9\"\n\n\
         [[ingredient]]\nwhat = \"Pears\"\namount = \"11 lb\"\n"
    );
    recipe_file::read(&text, &[]).unwrap()
}

/// Refuses what `correct` refuses: a load comes out on the day its batch is put up, or on the next.
fn came_out_on(put_up: NaiveDate, out: DateTime<FixedOffset>) -> Result<(), LedgerError> {
    if out_fits(put_up, out.date_naive()) {
        return Ok(());
    }
    Err(LedgerError::Refused { what: format!("put up {put_up} and out {out}"), hint: String::new() })
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

    fn put_up_one(&self, batch: &NewBatch) -> Result<(), LedgerError> {
        self.entry(|write| {
            let logged = write.put_up(batch)?;
            write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
            Ok(())
        })
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
                self.put_up_one(&batch)
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
                self.record_test(canner_name(*canner), test).map(drop)
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
                came_out_on(self.ledger.batch(load.batch)?.put_up, out)?;
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
                for load in self.ledger.loads_of_batch(code)? {
                    came_out_on(day, load.facts.out_at)?;
                }
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
            Step::Begin { canner, product } => {
                let canner = self.ledger.canner(&canner_name(*canner).parse().unwrap())?;
                let food: FoodId = PRODUCTS[*product].1.parse().unwrap();
                let question = ProcessQuestion {
                    food: food.clone(),
                    pack: Pack::Raw,
                    size: JarSize::Pint,
                    method: canner.method,
                    altitude: self.ledger.household()?.altitude,
                };
                let found = look_up(&question, &self.ledger.household_processes()?);
                let process = found.all().next();
                let process = process.ok_or_else(|| LedgerError::NotFound("no process".to_owned()))?;
                let aim = Aim {
                    method: canner.method,
                    minutes: process.minutes,
                    psi: process.psi,
                    vent_min: process.vent_min,
                    dial: Dial::AtItsWord,
                };
                let ProcessQuestion { pack, size, altitude, .. } = question;
                let recipe = self.ledger.recipe(&RECIPE.parse().unwrap()).ok();
                let new = NewRun { canner, food, pack, size, altitude, aim, recipe };
                self.entry(|write| write.begin_run(&new).map(drop))
            }
            Step::Take(steps) => {
                let run = self.ledger.runs_under_way()?.into_iter().next();
                let run = run.ok_or_else(|| LedgerError::NotFound("no run".to_owned()))?;
                let when = Instant { at: now, boot: None };
                self.entry(|write| steps.iter().try_for_each(|&step| write.take_step(run.id, step, &when)))
            }
            Step::PutUpRun => {
                let run = self.ledger.runs_under_way()?.into_iter().find(|run| facts(&run.taken).is_some());
                let run = run.ok_or_else(|| LedgerError::NotFound("no run is over".to_owned()))?;
                let food = run.food.to_string();
                let product = PRODUCTS.into_iter().find(|(_, key)| *key == food).unwrap();
                let mut batch = self.new_batch(product, 1, run.aim.minutes, &run.canner, LID_LOTS[0]);
                batch.loads[0].run = Some(run.id);
                self.put_up_one(&batch)
            }
            Step::Recipe => self.entry(|write| write.add_recipe(&pears_by_recipe()).map(drop)),
            Step::PutUpRecipe => {
                let batch = self.new_batch(PRODUCTS[1], 1, 20, CANNERS[0], LID_LOTS[0]);
                self.put_up_one(&NewBatch { recipe: Some(RECIPE.parse().unwrap()), ..batch })
            }
            Step::Use { jar } => {
                let jar = self.nth_jar(*jar)?;
                let batch = self.new_batch(PRODUCTS[2], 1, 25, CANNERS[1], LID_LOTS[1]);
                self.entry(|write| {
                    let logged = write.put_up(&batch)?;
                    write.judge_load(LoadCode { batch: logged.batch, number: 1 })?;
                    write.use_jars(&[jar], logged.batch, now)
                })
            }
            Step::Altitude(hundreds) => {
                let altitude = format!("{}ft", hundreds * 100).parse().unwrap();
                self.entry(|write| write.set_altitude(altitude))
            }
            Step::Undo(before) => self.undo(EntryId(self.last_entry().0 - *before as i64)).map(drop),
        }
    }
}
