use serde::Serialize;

use crate::cli::arguments::acting::{Acting, JarsAndWhen};
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::offers::{Offer, Offers};
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::rules::food::care::Care;
use crate::rules::jar::jar_state::Act;
use crate::rules::spoilage::cautions::{ASK, Caution, EMERGENCY, SYMPTOMS};
use crate::rules::spoilage::signs::{Closure, Severity, Sign, disposal};
use crate::rules::spoilage::suspect::closure;
use crate::tables::spoilage::all;
use crate::values::codes::jar_code::JarCode;

/// Throw jars away, and keep why: the way to do it that fits each
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Why
    #[arg(long, value_name = "TEXT")]
    why: Option<Reason>,
    /// The sign of spoilage seen, such as S02 (it leaks); `--sign list` tells them all
    #[arg(long, value_name = "SIGN", value_parser = sign_or_list)]
    sign: Option<SignArg>,
}

#[derive(Debug, Clone)]
enum SignArg {
    List,
    Seen(&'static Sign),
}

fn sign_or_list(given: &str) -> Result<SignArg, String> {
    let given = given.trim();
    if given.eq_ignore_ascii_case("list") {
        return Ok(SignArg::List);
    }
    all()
        .iter()
        .find(|sign| sign.id.eq_ignore_ascii_case(given))
        .map(SignArg::Seen)
        .ok_or_else(|| format!("\u{201c}{given}\u{201d} is not a sign; `--sign list` tells them"))
}

/// How to get rid of jars that are alike in that.
#[derive(Serialize)]
struct Route {
    jars: Vec<JarCode>,
    care: Care,
    closure: Closure,
    route: Vec<Caution>,
}

#[derive(Serialize)]
struct More {
    why: String,
    sign: Option<&'static Sign>,
    routes: Vec<Route>,
    cautions: Vec<Caution>,
}

#[derive(Serialize)]
struct Signs {
    signs: &'static [Sign],
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let sign = match args.sign {
        Some(SignArg::List) => return list_signs(screen),
        Some(SignArg::Seen(sign)) => Some(sign),
        None => None,
    };
    let (done, (why, sign)) = args.jars.let_happen(Act::Discard, ctx, screen, |_, asker| {
        let (why, sign) = why(args.why.as_ref(), sign, asker)?;
        let acting = Acting {
            past: "discarded",
            then: format!(": {why}"),
            particulars: Particulars { why: Some(why.clone()), ..Particulars::default() },
        };
        Ok((acting, (why, sign)))
    })?;
    let mut routes: Vec<Route> = Vec::new();
    for happened in &done.jars {
        let new = route(happened, sign);
        match routes.iter_mut().find(|old| (old.care, old.closure) == (new.care, new.closure)) {
            Some(old) => old.jars.extend(new.jars),
            None => routes.push(new),
        }
    }
    let suspect = sign.is_some_and(|sign| sign.severity != Severity::QualityOnly)
        || done.jars.iter().any(|happened| !happened.jar.holds.is_empty());
    let cautions = match suspect && routes.iter().any(|route| route.care == Care::LowAcid) {
        true => vec![SYMPTOMS, EMERGENCY, ASK],
        false => vec![ASK],
    };
    if screen.json() {
        return screen.answer(&done.answer(More { why, sign, routes, cautions }));
    }
    done.say("Discarded", screen);
    for group in &routes {
        screen.say("");
        if routes.len() > 1 {
            let codes: Vec<String> = group.jars.iter().map(ToString::to_string).collect();
            screen.say(format!("{}:", codes.join(", ")));
        }
        for step in &group.route {
            screen.say(step.text);
        }
    }
    screen.say("");
    for caution in &cautions {
        screen.say(caution.text);
    }
    if suspect {
        screen.next("`jarledger trace JAR` finds its sister jars");
    } else {
        done.say_undo(screen);
    }
    Ok(())
}

/// The reason as written down, the sign's sentence and the person's own words, and the sign.
fn why(
    given: Option<&Reason>,
    sign: Option<&'static Sign>,
    asker: &Asker,
) -> Result<(String, Option<&'static Sign>), Failure> {
    let sentence = |sign: &Sign| format!("{}: {}", sign.id, sign.sign);
    match (sign, given) {
        (Some(sign), Some(given)) => Ok((format!("{given} ({})", sentence(sign)), Some(sign))),
        (Some(sign), None) => Ok((sentence(sign), Some(sign))),
        (None, Some(given)) => Ok((given.to_string(), None)),
        (None, None) => {
            let question = Question {
                ask: "Why?",
                flag: "--why TEXT",
                help: "In your own words, or a sign of spoilage such as S02",
                default: None,
            };
            let signs = || {
                Ok(Offers::new(
                    all().iter().map(|sign| Offer { answer: sign.id.clone(), about: sign.sign.clone() }),
                ))
            };
            asker.need_offering(None, question, signs, |answer| {
                if let Some(sign) = all().iter().find(|sign| sign.id.eq_ignore_ascii_case(answer)) {
                    return Ok((sentence(sign), Some(sign)));
                }
                Ok((answer.parse::<Reason>()?.to_string(), None))
            })
        }
    }
}

fn route(happened: &Happened, sign: Option<&Sign>) -> Route {
    let jar = &happened.jar;
    let care = Care::of(jar.food.as_ref(), &jar.jar.product);
    let closure = closure(happened.from, sign);
    Route { jars: vec![jar.jar.code], care, closure, route: disposal(care, closure) }
}

fn list_signs(screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&Signs { signs: all() });
    }
    for sign in all() {
        screen.say(format!("{}  {} ({}, {})", sign.id, sign.sign, sign.stage, sign.severity));
    }
    Ok(())
}
