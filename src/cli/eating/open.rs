use serde::Serialize;

use crate::cli::arguments::acting::{Acting, JarsAndWhen};
use crate::cli::arguments::moment::day_in_words;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::acts::Happened;
use crate::rules::food::care::Care;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::opened::{KeepingTime, once_opened};
use crate::rules::load::process_record::ProcessMark;
use crate::rules::spoilage::cautions::{ASK, BOIL_SCOPE, BOTULISM, Caution, NO_RECORD};
use crate::rules::spoilage::signs::{Sign, Stage, boil_before_tasting_minutes, signs};
use crate::values::codes::jar_code::JarCode;

/// Open jars for eating: what to look for, whether to boil first, how long they keep
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
}

/// What to know of jars that need the same care.
#[derive(Serialize)]
struct Advice {
    jars: Vec<JarCode>,
    care: Care,
    signs: Vec<&'static Sign>,
    boil_before_tasting: Option<Boil>,
    keeps: KeepingTime,
    last_day: chrono::NaiveDate,
    #[serde(flatten)]
    process: ProcessMark,
    cautions: Vec<Caution>,
}

#[derive(Serialize)]
struct Boil {
    minutes: u32,
    altitude: String,
    scope: Caution,
}

#[derive(Serialize)]
struct More {
    advice: Vec<Advice>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, altitude) = args.jars.let_happen(Act::Open, ctx, screen, |ledger, _| {
        Ok((Acting::plain("opened"), ledger.household()?.altitude))
    })?;
    let boil = || Boil {
        minutes: boil_before_tasting_minutes(altitude),
        altitude: altitude.to_string(),
        scope: BOIL_SCOPE,
    };
    let mut advice: Vec<Advice> = Vec::new();
    for happened in &done.jars {
        let new = advise(happened, boil);
        match advice.iter_mut().find(|old| old.is_like(&new)) {
            Some(old) => old.jars.extend(new.jars),
            None => advice.push(new),
        }
    }
    if screen.json() {
        return screen.answer(&done.answer(More { advice }));
    }
    done.say("Opened", screen);
    for group in &advice {
        group.say(advice.len() > 1, screen);
    }
    screen.next("`jarledger finish JAR` when it is eaten up, `jarledger discard JAR --why ...` if it is not");
    Ok(())
}

fn advise(happened: &Happened, boil: impl Fn() -> Boil) -> Advice {
    let jar = &happened.jar;
    let care = Care::of(jar.food.as_ref(), &jar.jar.product);
    let keeps = once_opened(jar.food.as_ref(), &jar.jar.product);
    Advice {
        jars: vec![jar.jar.code],
        care,
        signs: signs(Stage::OnOpening, care).collect(),
        boil_before_tasting: (care == Care::LowAcid).then(boil),
        last_day: keeps.last_day(happened.at.date_naive()),
        keeps,
        process: jar.jar.process.clone(),
        cautions: [
            jar.jar.process.unrecorded.then_some(NO_RECORD),
            (care == Care::LowAcid).then_some(BOTULISM),
            Some(ASK),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

impl Advice {
    fn is_like(&self, other: &Self) -> bool {
        (self.care, &self.keeps, self.last_day, &self.process, &self.cautions)
            == (other.care, &other.keeps, other.last_day, &other.process, &other.cautions)
    }

    fn say(&self, named: bool, screen: &mut Screen) {
        screen.say("");
        if named {
            let codes: Vec<String> = self.jars.iter().map(ToString::to_string).collect();
            screen.say(format!("{}:", codes.join(", ")));
        }
        // That it is not on record has a caution of its own.
        if let Some(mark) = self.process.in_words().filter(|_| !self.process.unrecorded) {
            screen.say(format!("Its process: {mark}."));
        }
        screen.say("Look and smell before you taste. Discard it untasted if:");
        for sign in &self.signs {
            screen.say(format!("  - {}", sign.sign));
        }
        if let Some(boil) = &self.boil_before_tasting {
            screen.say(format!(
                "Boil before tasting: {} minutes at {}. {}",
                boil.minutes, boil.altitude, boil.scope
            ));
        }
        screen.say(format!(
            "In the refrigerator it keeps {} days: the last is {}. {}",
            self.keeps.days,
            day_in_words(self.last_day),
            self.keeps.remark
        ));
        for caution in &self.cautions {
            screen.say(caution.text);
        }
    }
}
