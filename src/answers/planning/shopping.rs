//! What of a recipe stands on the own shelf, and what is to be bought.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::answers::say::Say;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::rules::jar::jar_state::JarState;
use crate::rules::recipe::definition::Scaled;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;
use crate::values::time::on_screen;

/// Where the ingredients come from.
#[derive(serde::Serialize)]
pub(crate) struct Shopping {
    from_shelf: Vec<FromShelf>,
    buy: Vec<Buy>,
}

#[derive(serde::Serialize)]
struct FromShelf {
    product: String,
    size: JarSize,
    wanted: u32,
    jars: Vec<ToUse>,
    missing: u32,
}

#[derive(serde::Serialize)]
struct ToUse {
    jar: JarCode,
    best_by: NaiveDate,
    place: Option<String>,
}

#[derive(serde::Serialize)]
struct Buy {
    what: String,
    amount: String,
    scales: bool,
    #[serde(skip)]
    in_words: String,
}

/// Finds the jars to use, those with the earliest best by first. Only jars that may be eaten count: sealed, checked, with
/// a process on record or vouched for, on no hold, and not past their best.
pub(crate) fn of_shelf(
    ingredients: &[Scaled],
    ledger: &Ledger,
    now: DateTime<FixedOffset>,
) -> Result<Shopping, LedgerError> {
    let mut shopping = Shopping { from_shelf: Vec::new(), buy: Vec::new() };
    let mut taken: Vec<JarCode> = Vec::new();
    for one in ingredients {
        let Some(own) = one.own_jars else {
            let (what, amount, in_words) = (one.what.clone(), one.amount.clone(), one.in_words());
            shopping.buy.push(Buy { what, amount, scales: one.scales, in_words });
            continue;
        };
        let name: Name = one
            .what
            .parse()
            .map_err(|_| LedgerError::Unreadable(format!("a product of the recipe {:?}", one.what)))?;
        let mut jars = Vec::new();
        let which = Which { products: vec![name], size: Some(own.size), ..Which::default() };
        ledger.each_live_jar::<LedgerError>(&which, |LiveJar { jar, .. }| {
            let is_good = jar.state == JarState::Sealed && !jar.on_hold && !jar.process.unrecorded;
            if is_good && jar.best_by >= now.date_naive() && !taken.contains(&jar.code) {
                jars.push(ToUse { jar: jar.code, best_by: jar.best_by, place: jar.place });
            }
            Ok(())
        })?;
        jars.sort_by_key(|jar| (jar.best_by, jar.jar));
        jars.truncate(own.jars as usize);
        taken.extend(jars.iter().map(|jar| jar.jar));
        let missing = own.jars - jars.len() as u32;
        shopping.from_shelf.push(FromShelf {
            product: one.what.clone(),
            size: own.size,
            wanted: own.jars,
            jars,
            missing,
        });
    }
    Ok(shopping)
}

impl Shopping {
    /// One line a thing: the jars to use, what is missing of them, what to buy.
    pub(crate) fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for shelf in &self.from_shelf {
            for jar in &shelf.jars {
                let place = jar.place.as_deref().map(|place| format!(", {place}")).unwrap_or_default();
                lines.push(format!("{} {}{place}", jar.jar, shelf.product));
            }
            if shelf.missing > 0 {
                lines.push(format!("missing: {} of {}", shelf.size.counted(shelf.missing), shelf.product));
            }
        }
        lines.extend(self.buy.iter().map(|buy| buy.in_words.clone()));
        lines
    }

    /// Shows it.
    pub(crate) fn say(&self, screen: &mut impl Say) {
        if !self.from_shelf.is_empty() {
            screen.say("");
            screen.say("From your shelf, oldest first:");
        }
        for shelf in &self.from_shelf {
            for jar in &shelf.jars {
                let place = jar.place.as_deref().map(|place| format!(", {place}")).unwrap_or_default();
                screen.say(format!(
                    "  {} {}{place}, best by {}",
                    jar.jar,
                    shelf.product,
                    on_screen::day(jar.best_by)
                ));
            }
            if shelf.missing > 0 {
                let missing = shelf.size.counted(shelf.missing);
                screen.say(format!("  missing: {missing} of {} that may be used", shelf.product));
            }
        }
        if !self.buy.is_empty() {
            screen.say("");
            screen.say("To buy, where you have none:");
        }
        for buy in &self.buy {
            screen.say(format!("  {}", buy.in_words));
        }
    }
}
