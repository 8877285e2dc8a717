//! Finding the jars that words name.

use rusqlite::params;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::jar_list::JarList;
use crate::values::codes::jar_word::{JarWord, WrongCheck, near_misses};

/// What a batch without numbers means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BareBatch {
    /// Every jar of it.
    WholeBatch,
    /// Nothing: the jars must be named.
    Refused,
}

/// Most near misses offered.
const OFFERED: usize = 3;

impl Ledger {
    /// Finds the jars that words name, each once, in the order named.
    ///
    /// # Errors
    /// [`LedgerError`] for a code that is not in the ledger, with the nearest that are, and for
    /// words that do not fit together.
    pub fn jars_named(&self, words: &[JarWord], bare: BareBatch) -> Result<Vec<Jar>, LedgerError> {
        let mut found: Vec<Jar> = Vec::new();
        let mut open: Option<BatchCode> = None;
        let mut at = 0;
        while let Some(word) = words.get(at) {
            at += 1;
            match word {
                JarWord::Jar(code) => {
                    open = None;
                    found.push(self.jar_or_near(*code)?);
                }
                JarWord::WrongCheck(wrong) => {
                    return Err(LedgerError::WrongCheck {
                        given: wrong.given.clone(),
                        near: self.near(wrong)?,
                    });
                }
                JarWord::Numbers(list) => found.extend(self.numbered(open, list)?),
                JarWord::Either(batch, list) if self.read_as_numbers(open, *batch, list)? => {
                    found.extend(self.numbered(open, list)?);
                }
                JarWord::Batch(batch) | JarWord::Either(batch, _) => {
                    open = Some(*batch);
                    // What follows looks into it.
                    if matches!(words.get(at), Some(JarWord::Numbers(_) | JarWord::Either(..))) {
                        continue;
                    }
                    let jars = self.jars_of_batch(*batch)?;
                    if bare == BareBatch::Refused {
                        return Err(LedgerError::Refused {
                            what: format!("batch {batch} has {} jars, and none was named", jars.len()),
                            hint: format!("add their numbers: {batch} 3,5-7"),
                        });
                    }
                    found.extend(jars);
                }
            }
        }
        let mut seen = std::collections::BTreeSet::new();
        found.retain(|jar| seen.insert(jar.id));
        Ok(found)
    }

    /// Whether `10-100` after a batch means the jars 10 to 100 of it.
    fn read_as_numbers(
        &self,
        open: Option<BatchCode>,
        batch: BatchCode,
        list: &JarList,
    ) -> Result<bool, LedgerError> {
        let Some(open) = open else { return Ok(false) };
        let (Some(&first), Some(&last)) = (list.numbers().first(), list.numbers().last()) else {
            return Ok(false);
        };
        let in_open = self.jars_of_batch(open)?.iter().any(|jar| jar.code.number == last);
        match (in_open, self.batch_id(batch)?.is_some()) {
            (true, true) => Err(LedgerError::Refused {
                what: format!("{batch} is a batch, and may also mean jars of {open}"),
                hint: format!("write the jars of {open} as {first},{}-{last}", first + 1),
            }),
            (in_open, _) => Ok(in_open),
        }
    }

    fn numbered(&self, open: Option<BatchCode>, list: &JarList) -> Result<Vec<Jar>, LedgerError> {
        let Some(batch) = open else {
            return Err(LedgerError::Refused {
                what: format!("the numbers {list} follow no batch"),
                hint: format!("name the batch first: 26-041 {list}"),
            });
        };
        let jars = self.jars_of_batch(batch)?;
        list.numbers()
            .iter()
            .map(|&number| {
                jars.iter().find(|jar| jar.code.number == number).cloned().ok_or_else(|| {
                    let numbers: Vec<String> = jars.iter().map(|jar| jar.code.number.to_string()).collect();
                    let has: String = numbers
                        .join(",")
                        .parse::<JarList>()
                        .map_or_else(|_| format!("{} jars", jars.len()), |list| format!("jars {list}"));
                    LedgerError::NotFound(format!("batch {batch} has no jar {number}; it has {has}"))
                })
            })
            .collect()
    }

    /// Finds one jar, or fails with the nearest real codes.
    fn jar_or_near(&self, code: JarCode) -> Result<Jar, LedgerError> {
        match self.jar(code) {
            Err(LedgerError::NoJar { given, .. }) => {
                let wrong = WrongCheck { given: given.clone(), code, check: code.check() };
                Err(LedgerError::NoJar { given, near: self.near(&wrong)? })
            }
            found => found,
        }
    }

    /// The jars in the ledger whose codes are most like what was typed.
    fn near(&self, wrong: &WrongCheck) -> Result<Vec<JarCode>, LedgerError> {
        let mut exists = self.conn.prepare_cached(
            "SELECT 1 FROM jar j JOIN batch b ON b.id = j.batch_id
             WHERE b.year = ?1 AND b.number = ?2 AND j.number = ?3 AND j.state <> 'void'",
        )?;
        let mut near = Vec::new();
        for code in near_misses(wrong.code, wrong.check) {
            if exists.exists(params![code.batch.year, code.batch.number, code.number])? {
                near.push(code);
                if near.len() == OFFERED {
                    break;
                }
            }
        }
        Ok(near)
    }
}
