use serde::Serialize;

use crate::answers::eating::discard::{Discarded, discarding, sentence};
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::offers::{Offer, Offers};
use crate::cli::talk::screen::Screen;
use crate::rules::jar::jar_state::Act;
use crate::tables::spoilage::{Sign, all};

/// Throw jars away, and keep why: the way to do it that fits each
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Why
    #[arg(long, value_name = "TEXT")]
    why: Option<Reason>,
    /// The sign of spoilage seen, such as S02 (it leaks); `--sign list` lists them all
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
        .ok_or_else(|| format!("\u{201c}{given}\u{201d} is not a sign; `--sign list` lists them"))
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
        Ok((discarding(&why), (why, sign)))
    })?;
    let more = Discarded::of(&done, why, sign);
    if screen.json() {
        return screen.answer(&done.answer(&more));
    }
    done.say("Discarded", screen);
    more.say(screen);
    if more.suspect {
        screen.next(format!("`jarledger trace {}` finds its sister jars", done.jar_or_word()));
    } else {
        say_undo(&done, screen);
    }
    Ok(())
}

/// The reason as written down, the sign's sentence and the person's own words, and the sign.
fn why(
    given: Option<&Reason>,
    sign: Option<&'static Sign>,
    asker: &Asker,
) -> Result<(String, Option<&'static Sign>), Failure> {
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

fn list_signs(screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&Signs { signs: all() });
    }
    for sign in all() {
        screen.say(format!("{}  {} ({}, {})", sign.id, sign.sign, sign.stage, sign.severity));
    }
    Ok(())
}
