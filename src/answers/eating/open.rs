//! What to know of a jar just opened.

use serde::Serialize;

use crate::answers::acts::Done;
use crate::answers::say::Say;
use crate::ledger::jar::acts::Happened;
use crate::rules::food::care::Care;
use crate::rules::jar::opened::{KeepingTime, once_opened};
use crate::rules::load::process_record::ProcessMark;
use crate::rules::spoilage::cautions::{ASK, BOIL_SCOPE, BOTULISM, Caution, NO_RECORD};
use crate::rules::spoilage::signs::{boil_before_tasting_minutes, signs};
use crate::rules::spoilage::signs_in_short::in_short;
use crate::tables::spoilage::{Sign, Stage};
use crate::values::codes::jar_code::JarCode;
use crate::values::measures::altitude::Altitude;
use crate::values::time::on_screen::day_in_words;

/// What to know of jars just opened, those that need the same care together.
pub(crate) fn opened(done: &Done, altitude: Altitude) -> Vec<Advice> {
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
    advice
}

/// Says it, the signs of spoilage in full or in a word or two each.
pub(crate) fn say_advice(advice: &[Advice], signs_in_full: bool, screen: &mut impl Say) {
    for group in advice {
        group.say(advice.len() > 1, signs_in_full, screen);
    }
}

/// What to know of jars that need the same care.
#[derive(Serialize)]
pub(crate) struct Advice {
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

    fn say(&self, named: bool, signs_in_full: bool, screen: &mut impl Say) {
        screen.say("");
        if named {
            let codes: Vec<String> = self.jars.iter().map(ToString::to_string).collect();
            screen.say(format!("{}:", codes.join(", ")));
        }
        // That it is not on record has a caution of its own.
        if let Some(mark) = self.process.in_words().filter(|_| !self.process.unrecorded) {
            screen.say(format!("Its process: {mark}."));
        }
        if signs_in_full {
            screen.say("Look and smell before you taste. Discard it untasted if:");
            for sign in &self.signs {
                screen.say(format!("  - {}", sign.sign));
            }
        } else {
            let words: Vec<&str> = self.signs.iter().map(|sign| in_short(sign)).collect();
            screen.say(format!(
                "Look and smell before you taste. Discard it untasted at any of these: {}.",
                words.join(", ")
            ));
        }
        if let Some(boil) = &self.boil_before_tasting {
            screen.say(format!(
                "Boil before tasting: {} minutes at {}. {}",
                boil.minutes, boil.altitude, boil.scope
            ));
        }
        screen.say(format!(
            "It keeps {} days in the refrigerator: use it by {}. {}",
            self.keeps.days,
            day_in_words(self.last_day),
            self.keeps.remark
        ));
        for caution in &self.cautions {
            screen.say(caution.text);
        }
    }
}
