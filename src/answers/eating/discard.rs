//! How to throw a jar away, by what was seen on it.

use serde::Serialize;

use crate::answers::acts::{Acting, Done};
use crate::answers::say::Say;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::rules::food::care::Care;
use crate::rules::spoilage::cautions::{ASK, Caution, EMERGENCY, SYMPTOMS};
use crate::rules::spoilage::signs::{Closure, disposal, is_age_or_quality};
use crate::rules::spoilage::suspect::closure;
use crate::tables::spoilage::Sign;
use crate::values::codes::jar_code::JarCode;

/// How to get rid of jars that are alike in that.
#[derive(Serialize)]
struct Route {
    jars: Vec<JarCode>,
    care: Care,
    closure: Closure,
    route: Vec<Caution>,
}

/// How to throw away what was discarded.
#[derive(Serialize)]
pub(crate) struct Discarded {
    why: String,
    sign: Option<&'static Sign>,
    routes: Vec<Route>,
    cautions: Vec<Caution>,
    /// Whether a jar may have been spoiled.
    #[serde(skip)]
    pub(crate) suspect: bool,
}

/// A sign as the reason that is written down.
pub(crate) fn sentence(sign: &Sign) -> String {
    format!("{}: {}", sign.id, sign.sign)
}

/// Discarding for this reason.
pub(crate) fn discarding(why: &str) -> Acting {
    Acting {
        past: "discarded",
        then: format!(": {why}"),
        particulars: Particulars { why: Some(why.to_owned()), ..Particulars::default() },
    }
}

impl Discarded {
    /// How to throw these jars away, discarded for `why`, which may be a sign seen.
    pub(crate) fn of(done: &Done, why: String, sign: Option<&'static Sign>) -> Self {
        let mut routes: Vec<Route> = Vec::new();
        for happened in &done.jars {
            let new = route(happened, sign);
            let alike =
                |old: &&mut Route| (old.care, old.closure, &old.route) == (new.care, new.closure, &new.route);
            match routes.iter_mut().find(alike) {
                Some(old) => old.jars.extend(new.jars),
                None => routes.push(new),
            }
        }
        let suspect = sign.is_some_and(|sign| !is_age_or_quality(sign))
            || done.jars.iter().any(|happened| !happened.jar.holds.is_empty());
        let cautions = match suspect && routes.iter().any(|route| route.care == Care::LowAcid) {
            true => vec![SYMPTOMS, EMERGENCY, ASK],
            false => vec![ASK],
        };
        Self { why, sign, routes, cautions, suspect }
    }

    pub(crate) fn say(&self, screen: &mut impl Say) {
        for group in self.routes.iter().filter(|group| !group.route.is_empty()) {
            screen.say("");
            if self.routes.len() > 1 {
                let codes: Vec<String> = group.jars.iter().map(ToString::to_string).collect();
                screen.say(format!("{}:", codes.join(", ")));
            }
            for step in &group.route {
                screen.say(step.text);
            }
        }
        screen.say("");
        for caution in &self.cautions {
            screen.say(caution.text);
        }
    }
}

fn route(happened: &Happened, sign: Option<&Sign>) -> Route {
    let jar = &happened.jar;
    let care = Care::of(jar.food.as_ref(), &jar.jar.product);
    let closure = closure(happened.from, sign);
    // Thrown away for its age or quality alone, it goes like any food.
    let is_sound = sign.is_some_and(is_age_or_quality) && jar.holds.is_empty();
    let route = if is_sound { Vec::new() } else { disposal(care, closure) };
    Route { jars: vec![jar.jar.code], care, closure, route }
}
