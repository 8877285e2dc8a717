//! What is to be planned: by flags, else by questions.

use crate::answers::planning::plan::Wanted;
use crate::answers::planning::process::key;
use crate::cli::arguments::food_arg::{LEAVE_IT, food_offers, foods_by_key};
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::args::Args;
use crate::cli::planning::plan::jars_wanted::MOST_JARS;
use crate::cli::planning::process::household::altitude;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::offers::{Offer, Offers};
use crate::ledger::batch::last_time::LastTime;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::food::name_check::name_conflict;
use crate::rules::food::produce::{Yield, yields};
use crate::rules::process::absence::NoneBecause;
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::unknown_food;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::in_words::weight;
use crate::values::measures::pounds::Pounds;
use crate::values::measures::units::Units;
use crate::values::names::name::Name;

/// Gathers it, with suggestions from the product's last time. Where several sizes are given, `of_size` is the one meant.
pub(super) fn ask(
    args: &Args,
    of_size: Option<(JarSize, u32)>,
    ledger: &Ledger,
    asker: &Asker,
) -> Result<Wanted, Failure> {
    let product = product(args, ledger, asker)?;
    let last = ledger.last_time(Some(&product))?;
    let food = food(args, &product, &last, ledger, asker)?;
    let question = |ask, flag| Question { ask, flag, help: "", default: None };
    let sizes = JarSize::ALL.to_vec();
    let start = last.size.unwrap_or(JarSize::Pint);
    let start = sizes.iter().position(|&size| size == start).unwrap_or(0);
    let said = of_size.or_else(|| args.jars.as_ref().and_then(|jars| jars.sizes().first().copied()));
    let given = said.map(|(size, _)| size).or(args.jar);
    let size = asker.need_one_of(given, question("Which jar?", "--jar SIZE"), sizes, start)?;
    let pack = asker.need_one_of(
        args.pack.or(last.pack),
        question("Hot or raw pack?", "--pack PACK"),
        Pack::ALL.to_vec(),
        0,
    )?;
    let canner = canner(&args.canner, &last, ledger, asker)?;
    let altitude = altitude(args.altitude, Some(ledger), asker)?;
    let amount = match said {
        Some((_, jars)) => Amount::Jars(jars),
        None => amount(args, asker)?,
    };
    let styles = styles(args.style.as_deref(), &food, size, amount, asker)?;
    let jars = jars(amount, &food, size, &styles, ledger.units()?)?;
    Ok(Wanted { product, food, size, pack, canner, altitude, styles, jars })
}

fn product(args: &Args, ledger: &Ledger, asker: &Asker) -> Result<Name, Failure> {
    let question = Question {
        ask: "What will it be?",
        flag: "PRODUCT",
        help: "A product of yours, or a food such as green-beans",
        default: None,
    };
    let offers = || {
        let own = ledger.names_in_use(Named::Product)?.into_iter().map(Offer::from);
        Ok(Offers::new(own.chain(foods_by_key())))
    };
    asker.need_offering(args.product.clone(), question, offers, parsed)
}

fn food(
    args: &Args,
    product: &Name,
    last: &LastTime,
    ledger: &Ledger,
    asker: &Asker,
) -> Result<FoodId, Failure> {
    let own = ledger.household_processes()?;
    let words = args.food.as_deref().unwrap_or(product.as_str());
    // What was put up by this name was let in then.
    if let Some(food) = last.food.clone().filter(|_| args.food.is_none()) {
        return Ok(food);
    }
    if let Some(food) = key(words, &own) {
        return named_rightly(product, food, &own);
    }
    if !asker.can_ask() || args.food.is_some() {
        let answer = unknown_food(words);
        let hint = match answer.none_because {
            Some(NoneBecause::Never) => LEAVE_IT,
            _ => "say which food of the table it is with --food KEY; see `jarledger process --all`",
        };
        return Err(Failure::new(Code::NotFound, answer.detail, hint));
    }
    let question = Question {
        ask: "Which food of the process tables?",
        flag: "--food KEY",
        help: "Such as green-beans",
        default: None,
    };
    let food = asker.need_offering(
        None,
        question,
        || Ok(food_offers()),
        |words| key(words, &own).ok_or_else(|| unknown_food(words).detail),
    )?;
    named_rightly(product, food, &own)
}

/// A food, unless the product's name names another one that needs more or must not be canned.
fn named_rightly(product: &Name, food: FoodId, own: &[HouseholdProcess]) -> Result<FoodId, Failure> {
    let acidity = own.iter().find(|process| process.food == food).map(|process| process.acidity);
    match name_conflict(product.as_str(), Some(&food), acidity) {
        Some(conflict) => Err(Failure::new(
            Code::Refused,
            conflict.of(product, Some(&food)),
            "plan it by the name and the food of what goes into the jars",
        )),
        None => Ok(food),
    }
}

fn canner(given: &[Name], last: &LastTime, ledger: &Ledger, asker: &Asker) -> Result<Canner, Failure> {
    match given {
        [] => {}
        [name] => return Ok(ledger.canner(name)?),
        _ => {
            return Err(Failure::usage(
                "a plan without a recipe is for one canner",
                "name one canner, or a recipe with --recipe",
            ));
        }
    }
    let mut canners = on_record(ledger)?;
    if canners.len() == 1 {
        return Ok(canners.remove(0));
    }
    if !asker.can_ask() {
        return Err(Failure::usage("there are several canners on record", "say which with --canner NAME"));
    }
    let names: Vec<String> = canners.iter().map(|canner| canner.name.clone()).collect();
    let start = names.iter().position(|name| Some(name) == last.canner.as_ref()).unwrap_or(0);
    let question = Question { ask: "Which canner?", flag: "--canner NAME", help: "", default: None };
    let name = asker.need_one_of(None, question, names, start)?;
    canners.retain(|canner| canner.name == name);
    Ok(canners.remove(0))
}

/// The canners on record, of which there must be one.
pub(super) fn on_record(ledger: &Ledger) -> Result<Vec<Canner>, Failure> {
    let canners = ledger.canners()?;
    if canners.is_empty() {
        return Err(Failure::new(
            Code::NotFound,
            "no canner is on record yet",
            "record yours with `jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`",
        ));
    }
    Ok(canners)
}

/// How much it is to be.
#[derive(Debug, Clone, Copy)]
enum Amount {
    Jars(u32),
    Produce(Pounds),
}

fn amount(args: &Args, asker: &Asker) -> Result<Amount, Failure> {
    let given =
        args.from_pounds.map(Amount::Produce).or(args.jars.as_ref().map(|jars| Amount::Jars(jars.count())));
    if given.is_none() && !asker.can_ask() {
        return Err(Failure::usage(
            "neither produce nor jars were given",
            "add --from-pounds 24lb or --jars 14",
        ));
    }
    let question = Question {
        ask: "How many jars, or how much produce?",
        flag: "--jars COUNT",
        help: "Such as 14, or 24lb or 11kg of produce",
        default: None,
    };
    asker.need(given, question, |answer| match answer.parse::<u32>() {
        Ok(jars) if (1..=MOST_JARS).contains(&jars) => Ok(Amount::Jars(jars)),
        Ok(_) => Err(format!("Plan 1 to {MOST_JARS} jars.")),
        Err(_) => parsed(answer).map(Amount::Produce),
    })
}

/// What the guide says of the produce, in the style asked for.
fn styles(
    style: Option<&str>,
    food: &FoodId,
    size: JarSize,
    amount: Amount,
    asker: &Asker,
) -> Result<Vec<Yield>, Failure> {
    let all = yields(food, size);
    let known: Vec<&'static str> = all.iter().filter_map(|one| one.style).collect();
    let style = match (style, amount) {
        (Some(style), _) => style,
        (None, Amount::Produce(_)) if all.len() > 1 && asker.can_ask() => {
            let question = Question { ask: "Which style?", flag: "--style STYLE", help: "", default: None };
            asker.need_one_of(None, question, known.clone(), 0)?
        }
        (None, _) => return Ok(all),
    };
    if known.is_empty() {
        return Err(Failure::usage("the guide lists no styles for this food", "leave out --style"));
    }
    let chosen: Vec<Yield> = all
        .iter()
        .filter(|one| one.style.is_some_and(|name| name.eq_ignore_ascii_case(style)))
        .cloned()
        .collect();
    if chosen.is_empty() {
        return Err(Failure::usage(
            format!("there is no style \u{201c}{style}\u{201d}"),
            format!("use {}", known.join(" or ")),
        ));
    }
    Ok(chosen)
}

/// How many jars it will be.
fn jars(
    amount: Amount,
    food: &FoodId,
    size: JarSize,
    styles: &[Yield],
    units: Units,
) -> Result<u32, Failure> {
    let pounds = match amount {
        Amount::Jars(jars) => return Ok(jars),
        Amount::Produce(pounds) => pounds,
    };
    match styles {
        [one] => match one.jars_from(pounds) {
            0 => Err(Failure::usage(
                format!("{} does not fill one jar", weight(pounds, units)),
                format!(
                    "the guide gives {} for {} {}",
                    weight(one.load_pounds, units),
                    one.load_jars,
                    size.plural()
                ),
            )),
            jars => Ok(jars),
        },
        [] => Err(Failure::usage(
            format!("the guide gives no weight of produce for {food} in {}", size.plural()),
            "say how many jars you want with --jars COUNT",
        )),
        several => {
            let names: Vec<&str> = several.iter().filter_map(|one| one.style).collect();
            Err(Failure::usage(
                format!("the guide gives a weight for each style: {}", names.join(", ")),
                format!("say which with --style {:?}", names[0]),
            ))
        }
    }
}
