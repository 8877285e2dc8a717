//! What may be offered in a place of the line.

use clap_complete::CompletionCandidate;

use crate::cli::help::complete::line::Line;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::glance::Meant;
use crate::paper::label::sheet::built_in::built_in_sheets;
use crate::paper::text::plain::plain;
use crate::tables::{foods, spoilage};
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};

/// What may be offered.
#[derive(Debug, Clone, Copy)]
pub(super) enum Offers {
    Jars,
    JarsAndLoads,
    Batches,
    Loads,
    Names(Named),
    Sheets,
    Foods,
    Signs,
    Sizes,
    Methods,
    Packs,
    Acidities,
}

/// A word and what it is.
type Offer = (String, String);

impl Offers {
    /// What fits the word being typed.
    pub(super) fn made(self, line: &Line, typed: &str) -> Vec<CompletionCandidate> {
        let offers = self.looked_up(line, typed).or_else(|| Some(self.fixed())).unwrap_or_default();
        let typed = typed.to_lowercase();
        offers
            .into_iter()
            .filter(|(word, _)| word.to_lowercase().starts_with(&typed))
            // A name that steers the terminal, or looks like an option, is not put into the line.
            .filter(|(word, _)| !word.starts_with('-') && plain(word) == *word)
            .filter(|(word, _)| line.may_hold(word))
            .map(|(word, what)| {
                let what = Some(plain(&what)).filter(|what| !what.is_empty());
                CompletionCandidate::new(word).help(what.map(Into::into))
            })
            .collect()
    }

    /// What the ledger knows; none where it is not asked.
    fn looked_up(self, line: &Line, typed: &str) -> Option<Vec<Offer>> {
        let ask: &dyn Fn(&Ledger) -> Result<Vec<Offer>, LedgerError> = match self {
            Self::Jars => &|ledger| jars(ledger, line, typed),
            Self::JarsAndLoads if typed.contains('/') => &|ledger| ledger.loads_meant(typed),
            Self::JarsAndLoads => &|ledger| jars(ledger, line, typed),
            Self::Batches => &|ledger| Ok(coded(ledger.batches_meant(line.meant(), typed)?)),
            Self::Loads => &|ledger| ledger.loads_meant(typed),
            Self::Names(named) => &move |ledger| names(ledger, named),
            Self::Sheets => {
                let own = line.ledger().and_then(|ledger| names(&ledger, Named::LabelSheet).ok());
                return Some(own.into_iter().flatten().chain(self.fixed()).collect());
            }
            Self::Foods | Self::Signs | Self::Sizes | Self::Methods | Self::Packs | Self::Acidities => {
                return None;
            }
        };
        Some(line.ledger().and_then(|ledger| ask(&ledger).ok()).unwrap_or_default())
    }

    /// What the program knows by itself.
    fn fixed(self) -> Vec<Offer> {
        let bare =
            |words: Vec<&str>| words.into_iter().map(|word| (word.to_owned(), String::new())).collect();
        match self {
            Self::Foods => foods::all().map(|food| (food.id.to_string(), food.name.clone())).collect(),
            Self::Signs => spoilage::all().iter().map(|sign| (sign.id.clone(), sign.sign.clone())).collect(),
            Self::Sheets => {
                built_in_sheets().iter().map(|sheet| (sheet.name().to_string(), String::new())).collect()
            }
            Self::Sizes => bare(JarSize::ALL.iter().map(|size| size.as_str()).collect()),
            Self::Methods => bare(Method::ALL.iter().map(|method| method.as_str()).collect()),
            Self::Packs => bare(Pack::ALL.iter().map(|pack| pack.as_str()).collect()),
            Self::Acidities => bare(Acidity::ALL.iter().map(|acidity| acidity.as_str()).collect()),
            Self::Jars | Self::JarsAndLoads | Self::Batches | Self::Loads | Self::Names(_) => Vec::new(),
        }
    }
}

fn names(ledger: &Ledger, named: Named) -> Result<Vec<Offer>, LedgerError> {
    Ok(ledger.names_in_use(named)?.into_iter().map(|name| (name, String::new())).collect())
}

fn coded(batches: Vec<(BatchCode, String)>) -> Vec<Offer> {
    batches.into_iter().map(|(batch, product)| (batch.to_string(), product)).collect()
}

/// Numbers after a batch; else batches, and the jars of the one that is left.
fn jars(ledger: &Ledger, line: &Line, typed: &str) -> Result<Vec<Offer>, LedgerError> {
    let meant = line.meant();
    let mut offers = Vec::new();
    if let Some(batch) = line.open_batch() {
        offers = numbers(ledger, batch, meant, typed)?;
        if typed.is_empty() && !offers.is_empty() {
            return Ok(offers);
        }
    }
    let whole_batch = typed.match_indices('-').nth(1).map(|(at, _)| &typed[..at]);
    let batches = ledger.batches_meant(meant, whole_batch.unwrap_or(typed))?;
    if let [(batch, product)] = batches.as_slice() {
        if whole_batch.is_none() {
            offers.push((batch.to_string(), product.clone()));
        }
        for jar in ledger.jars_of_batch(*batch)?.into_iter().filter(|jar| meant.takes(jar)) {
            let place = jar.place.map(|place| format!(", {place}")).unwrap_or_default();
            offers.push((jar.code.to_string(), format!("{} ({}){place}", jar.product, jar.size)));
        }
    } else {
        offers.extend(coded(batches));
    }
    Ok(offers)
}

/// Numbers that could end a list such as `3,5-`.
fn numbers(ledger: &Ledger, batch: BatchCode, meant: Meant, typed: &str) -> Result<Vec<Offer>, LedgerError> {
    let head = typed.rfind([',', '-']).map_or("", |at| &typed[..=at]);
    let named: Vec<&str> = head.split([',', '-']).collect();
    let jars = ledger.jars_of_batch(batch)?.into_iter().filter(|jar| meant.takes(jar));
    Ok(jars
        .map(|jar| (jar.code.number.to_string(), jar.place.unwrap_or_default()))
        .filter(|(number, _)| !named.contains(&number.as_str()))
        .map(|(number, place)| (format!("{head}{number}"), place))
        .collect())
}
