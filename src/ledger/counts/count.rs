//! A stocktake: what was seen in a place beside what the ledger keeps there.

use std::collections::{BTreeMap, BTreeSet};

use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

/// Jars counted on paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// What is in them.
    pub product: Name,
    /// Their size.
    pub size: JarSize,
    /// How many were counted.
    pub counted: u32,
}

/// A tally beside the ledger.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Compared {
    /// What is in the jars.
    pub product: Name,
    pub size: JarSize,
    /// How many were counted.
    pub counted: u32,
    /// How many the ledger keeps there.
    pub on_record: u32,
}

/// What a stocktake found.
#[derive(Debug, Clone, Default, PartialEq, serde::Serialize)]
pub(crate) struct Counted {
    /// Seen where the ledger keeps them.
    pub confirmed: Vec<Jar>,
    /// Sealed, kept there and not seen.
    pub missing: Vec<Jar>,
    /// Kept there and not seen, but not sealed jars: nothing is settled about them.
    pub not_seen: Vec<Jar>,
    /// Seen there and kept elsewhere.
    pub moved: Vec<Jar>,
    /// Seen there and missing until now.
    pub found: Vec<Jar>,
    /// Seen there, though the ledger has them eaten, given away or thrown away.
    pub gone: Vec<Jar>,
    /// Tallies beside the ledger.
    pub tallies: Vec<Compared>,
}

impl Counted {
    /// How many jars settling it would change.
    pub(crate) const fn to_settle(&self) -> usize {
        self.missing.len() + self.moved.len() + self.found.len()
    }
}

impl Ledger {
    /// Compares what was seen in a place with what is kept there. Jars whose product and size were
    /// tallied are compared by number alone, and so are all where no code was read.
    pub(crate) fn compare_count(
        &self,
        place: &Name,
        seen: &[Jar],
        tallies: &[Tally],
    ) -> Result<Counted, LedgerError> {
        let which = Which { places: vec![place.clone()], ..Which::default() };
        let by_code: BTreeMap<JarCode, &Jar> = seen.iter().map(|jar| (jar.code, jar)).collect();
        let mut counted = Counted::default();
        let mut on_record = vec![0_u32; tallies.len()];
        self.each_live_jar(&which, |LiveJar { jar, .. }| {
            if jar.state == JarState::Missing {
                return Ok::<(), LedgerError>(());
            }
            let mut tallied = false;
            for (_, kept) in tallies.iter().zip(&mut on_record).filter(|(tally, _)| is_of(&jar, tally)) {
                tallied = true;
                *kept = kept.saturating_add(1);
            }
            if by_code.contains_key(&jar.code) {
                counted.confirmed.push(jar);
            } else if !seen.is_empty() && !tallied {
                let list =
                    if jar.state == JarState::Sealed { &mut counted.missing } else { &mut counted.not_seen };
                list.push(jar);
            }
            Ok(())
        })?;
        let confirmed: BTreeSet<JarCode> = counted.confirmed.iter().map(|jar| jar.code).collect();
        for jar in by_code.values() {
            if jar.state == JarState::Missing {
                counted.found.push((*jar).clone());
            } else if !jar.state.is_live() {
                counted.gone.push((*jar).clone());
            } else if !confirmed.contains(&jar.code) {
                counted.moved.push((*jar).clone());
            }
        }
        counted.tallies = tallies
            .iter()
            .zip(on_record)
            .map(|(tally, on_record)| Compared {
                product: tally.product.clone(),
                size: tally.size,
                counted: tally.counted,
                on_record,
            })
            .collect();
        Ok(counted)
    }

    /// Whether a jar was ever of this product.
    pub(crate) fn knows_product(&self, product: &Name) -> Result<bool, LedgerError> {
        Ok(self.name_id(Names::Product, product)?.is_some())
    }
}

fn is_of(jar: &Jar, tally: &Tally) -> bool {
    jar.size == tally.size
        && jar.product.parse::<Name>().is_ok_and(|product| product.key() == tally.product.key())
}

impl Write<'_> {
    /// Writes down what a stocktake found: missing, found again, moved.
    ///
    /// # Errors
    /// As [`Write::act_on`]; then nothing is written.
    pub(crate) fn settle_count(&self, place: &Name, counted: &Counted) -> Result<Vec<Happened>, LedgerError> {
        let now = When::At(self.clock.now);
        let here = Particulars { place: Some(place.clone()), ..Particulars::default() };
        let unseen = Particulars { why: Some(format!("not seen in {place}")), ..Particulars::default() };
        let mut happened = self.act_on(&counted.missing, Act::Miss, now, &unseen)?;
        happened.extend(self.act_on(&counted.found, Act::Find, now, &here)?);
        happened.extend(self.act_on(&counted.moved, Act::Move, now, &here)?);
        Ok(happened)
    }
}
