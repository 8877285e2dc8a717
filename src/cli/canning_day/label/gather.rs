//! What labels, cards and pull sheets say, read from the ledger.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::answers::near::did_you_mean;
use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::jar_offers;
use crate::cli::talk::stderr::complain;
use crate::ledger::batch::batch_story::BatchLine;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::paper::label::draw::sheets_of_jars::{CardLine, PullLine, PullSheet, ShelfCard};
use crate::paper::label::words::run::{Label, LabelKind};
use crate::rules::food::care::Care;
use crate::rules::jar::label_warning::{LabelWarning, label_warning};
use crate::rules::recipe::definition::Ingredient;
use crate::rules::spoilage::cautions::{ASK, BOTULISM};
use crate::rules::spoilage::signs::boil_before_tasting_minutes;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::jar_word::JarWord;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

/// The jars named, each once: by code, by batch and numbers, or whole batches. Of a
/// whole batch only the jars still in the house count.
pub(super) fn jars(
    ledger: &Ledger,
    named: &JarsArg,
    batches: &[BatchCode],
    asker: &Asker,
) -> Result<Vec<Jar>, Failure> {
    let (jars, whole) = if batches.is_empty() {
        let with_jars = |line: &BatchLine| line.states.keys().any(|state| state.is_live());
        let offers = || jar_offers::batches(ledger, with_jars);
        let named = named.find(ledger, BareBatch::WholeBatch, asker, offers)?;
        (named.jars, named.by_batch)
    } else {
        let words: Vec<JarWord> = batches.iter().copied().map(JarWord::Batch).collect();
        (ledger.jars_named(&words, BareBatch::WholeBatch)?, true)
    };
    if !whole {
        return Ok(jars);
    }
    let here: Vec<Jar> = jars.into_iter().filter(|jar| jar.state.is_live()).collect();
    if here.is_empty() {
        return Err(Failure::new(
            Code::NotFound,
            "no jar of that batch is in the house any more; nothing was written",
            "see `jarledger shelf --jars`",
        ));
    }
    Ok(here)
}

/// What the label of a jar must say of its state, if anything.
fn warning(live: &LiveJar, now: DateTime<FixedOffset>) -> Option<LabelWarning> {
    label_warning(live.jar.state, live.keeps(now), live.holds.iter().map(|hold| hold.reason.as_str()))
}

/// The labels of jars. Jars that need words of warning get none unless wanted `anyway`: of a whole batch they are left
/// out and named, else they are refused.
pub(super) fn labels(
    ledger: &Ledger,
    jars: &[Jar],
    anyway: bool,
    kind: &LabelKind,
    now: DateTime<FixedOffset>,
) -> Result<Vec<Label>, Failure> {
    let altitude = ledger.household()?.altitude;
    let is_gift = matches!(kind, LabelKind::Gift { .. });
    let boil = format!("Boil {} min before tasting", boil_before_tasting_minutes(altitude));
    let mut batches: HashMap<BatchCode, HashMap<JarCode, LiveJar>> = HashMap::new();
    let mut labels = Vec::new();
    let mut refused: Vec<(BatchCode, String)> = Vec::new();
    for jar in jars {
        if !jar.state.is_live() {
            return Err(Failure::new(
                Code::Refused,
                format!("{} is {}: there is no jar to put a label on", jar.code, jar.state),
                format!("see its story with `jarledger jar {}`", jar.code),
            ));
        }
        let batch = jar.code.batch;
        let of_batch = match batches.entry(batch) {
            Entry::Occupied(read) => read.into_mut(),
            Entry::Vacant(unread) => {
                let live = ledger.live_jars(&Which { batch: Some(batch), ..Which::default() })?;
                unread.insert(live.into_iter().map(|live| (live.jar.code, live)).collect())
            }
        };
        let Some(live) = of_batch.get(&jar.code) else { continue };
        let warning = warning(live, now);
        if let Some(warning) = warning.as_ref().filter(|_| is_gift || !anyway) {
            refused.push((batch, format!("{} ({warning})", jar.code)));
            continue;
        }
        let care = Care::of(live.food.as_ref(), &live.jar.product);
        // Boiling never rescues a suspect jar, so such a label does not speak of it.
        let household = (care == Care::LowAcid && warning.is_none()).then(|| boil.clone());
        labels.push(Label {
            code: jar.code,
            contents: jar.product.clone(),
            put_up: jar.put_up,
            keeps: live.keeps(now),
            size: jar.size,
            household,
            because: warning.as_ref().and_then(|warning| warning.because.clone()),
            warning: warning.map(|warning| warning.says),
            process: jar.process.clone(),
            kind: match kind {
                LabelKind::Gift { .. } => LabelKind::Gift { ingredients: ingredients(ledger, batch)? },
                other => other.clone(),
            },
        });
    }
    let whole = |batch: &BatchCode| {
        let named = |code: &JarCode| jars.iter().any(|jar| jar.code == *code);
        batches.get(batch).is_some_and(|live| live.keys().all(named))
    };
    let is_of_whole = refused.iter().all(|(batch, _)| whole(batch));
    let refused: Vec<String> = refused.into_iter().map(|(_, refusal)| refusal).collect();
    if refused.is_empty() {
        return Ok(labels);
    }
    let refused = refused.join(", ");
    if is_of_whole && !labels.is_empty() {
        let otherwise = if is_gift { "" } else { " --anyway prints them too, with the warning." };
        complain(&format!("Left out: {refused}.{otherwise}"));
        return Ok(labels);
    }
    Err(Failure::new(
        Code::Refused,
        format!("no label for {refused}; nothing was written"),
        if is_gift {
            "leave them out: only a jar that is sealed and not on hold is given away"
        } else {
            "leave them out, or print them with --anyway: the labels then say so"
        },
    ))
}

/// What is in the jars of a batch, in the words that its recipe has for a label, else by the names of its ingredients.
fn ingredients(ledger: &Ledger, batch: BatchCode) -> Result<Option<String>, Failure> {
    let Some(made_by) = ledger.recipe_of_batch(batch)? else { return Ok(None) };
    let what = |ingredient: &Ingredient| match ingredient {
        Ingredient::Jars { product, .. } => product.clone(),
        Ingredient::Bought { what, .. } => what.clone(),
    };
    let listed = || made_by.recipe.ingredients.iter().map(what).collect::<Vec<_>>().join(", ");
    Ok(Some(made_by.recipe.label.clone().unwrap_or_else(listed)).filter(|words| !words.is_empty()))
}

/// Every jar on hold that is still in the house.
pub(super) fn on_hold(ledger: &Ledger) -> Result<Vec<Jar>, Failure> {
    let mut held = Vec::new();
    ledger.each_live_jar(&Which { held: true, ..Which::default() }, |live| {
        held.push(live.jar);
        Ok::<(), LedgerError>(())
    })?;
    if held.is_empty() {
        return Err(Failure::new(
            Code::NotFound,
            "no jar is on hold; nothing was written",
            "name the jars to pull, or see `jarledger trace --help`",
        ));
    }
    Ok(held)
}

/// What stands in a place.
pub(super) fn card(
    ledger: &Ledger,
    place: &Name,
    now: DateTime<FixedOffset>,
) -> Result<(ShelfCard, Vec<JarCode>), Failure> {
    let mut name = None;
    let mut codes = Vec::new();
    let mut lines: Vec<CardLine> = Vec::new();
    let mut found = HashMap::new();
    let which = Which { places: vec![place.clone()], ..Which::default() };
    ledger.each_live_jar(&which, |live| {
        let (warning, keeps) = (warning(&live, now), live.keeps(now));
        let jar = live.jar;
        name = name.take().or(jar.place);
        codes.push(jar.code);
        let line = *found
            .entry((jar.code.batch, jar.size, keeps, jar.process.clone(), warning))
            .or_insert_with_key(|like| {
                lines.push(CardLine {
                    contents: jar.product,
                    size: jar.size,
                    jars: 0,
                    batch: jar.code.batch,
                    put_up: jar.put_up,
                    keeps,
                    warning: like.4.as_ref().map(ToString::to_string),
                    process: jar.process.clone(),
                });
                lines.len() - 1
            });
        lines[line].jars += 1;
        Ok::<(), LedgerError>(())
    })?;
    let Some(name) = name else {
        let places = ledger.names_in_use(Named::Place)?;
        let near = near_names(place.as_str(), places.iter().map(String::as_str));
        return Err(Failure::new(
            Code::NotFound,
            format!("no jar stands in \u{201c}{place}\u{201d}; nothing was written"),
            did_you_mean(&near).unwrap_or_else(|| "see `jarledger shelf`".to_owned()),
        ));
    };
    Ok((ShelfCard { place: name, as_of: now.date_naive(), lines }, codes))
}

/// Jars to pull, each with why.
pub(super) fn pull(
    ledger: &Ledger,
    jars: &[Jar],
    as_of: NaiveDate,
) -> Result<(PullSheet, Vec<JarCode>), Failure> {
    let mut lines = Vec::new();
    for jar in jars {
        let reasons: Vec<String> = ledger.holds_on(jar)?.into_iter().map(|hold| hold.reason).collect();
        lines.push(PullLine {
            code: jar.code,
            contents: jar.product.clone(),
            place: jar.place.clone().unwrap_or_else(|| "no place on record".to_owned()),
            state: format!("{}{}", jar.state, jar.process.after_comma()),
            reason: reasons.join("; "),
        });
    }
    let cautions = vec![BOTULISM.text.to_owned(), ASK.text.to_owned()];
    let codes = jars.iter().map(|jar| jar.code).collect();
    Ok((PullSheet { title: "Pull these jars".to_owned(), as_of, lines, cautions }, codes))
}
