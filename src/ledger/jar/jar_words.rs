//! Finding the jars that words name.

use rusqlite::params;

use crate::ledger::entry::names_in_use::Named;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::Which;
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::jar_list::JarList;
use crate::values::codes::jar_word::{JarWord, WrongCheck, near_misses};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::everyday::{names_meant, naming_words};
use crate::values::names::name::Name;

/// What a batch without numbers means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BareBatch {
    /// Every jar of it.
    WholeBatch,
    /// Nothing: the jars must be named.
    Refused,
}

/// `26` and `7` as the batch 26-007.
fn batch_of(year: &JarList, number: &JarWord) -> Option<BatchCode> {
    let (&[year], JarWord::Numbers(number)) = (year.numbers(), number) else { return None };
    let &[number] = number.numbers() else { return None };
    Some(BatchCode { year: u8::try_from(year).ok().filter(|year| (10..100).contains(year))?, number })
}

/// Most near misses offered.
const OFFERED: usize = 3;

impl Ledger {
    /// Finds the jars that words name, each once, in the order named.
    ///
    /// # Errors
    /// [`LedgerError`] for a code that is not in the ledger, with the nearest that are, and for
    /// words that do not fit together.
    pub(crate) fn jars_named(&self, words: &[JarWord], bare: BareBatch) -> Result<Vec<Jar>, LedgerError> {
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
                JarWord::Unchecked(code) => {
                    open = None;
                    found.push(self.jar_or_near(*code)?);
                }
                JarWord::Of(batch, list) => {
                    open = Some(*batch);
                    found.extend(self.numbered(open, list)?);
                }
                JarWord::Product(first) => {
                    open = None;
                    let mut phrase = vec![first.as_str()];
                    while let Some(JarWord::Product(word)) = words.get(at) {
                        phrase.push(word);
                        at += 1;
                    }
                    found.push(self.jar_of_product(&phrase.join(" "))?);
                }
                // `26 7 3`: year, batch and jars.
                JarWord::Numbers(list) if open.is_none() && self.is_batch_apart(list, &words[at..])? => {
                    open = Some(batch_of(list, &words[at]).expect("it was one just now"));
                    at += 1;
                }
                // `1 peach`; of several nobody says which.
                JarWord::Numbers(list)
                    if open.is_none() && matches!(words.get(at), Some(JarWord::Product(_))) =>
                {
                    if list.numbers() != [1] {
                        let named = words[at..].iter().map_while(|word| match word {
                            JarWord::Product(word) if !word.eq_ignore_ascii_case("to") => Some(word.as_str()),
                            _ => None,
                        });
                        let named = named.collect::<Vec<_>>().join(" ");
                        return Err(LedgerError::Refused {
                            what: format!("{list} jars of \u{201c}{named}\u{201d}: say which ones"),
                            hint: format!(
                                "name each by its code; `jarledger shelf --jars {named}` lists them"
                            ),
                        });
                    }
                }
                JarWord::Range(_, list) if open.is_some() => found.extend(self.numbered(open, list)?),
                JarWord::Numbers(list) => found.extend(self.numbered(open, list)?),
                JarWord::Either(batch, list) if self.read_as_numbers(open, *batch, list)? => {
                    found.extend(self.numbered(open, list)?);
                }
                JarWord::Batch(batch) | JarWord::Either(batch, _) | JarWord::Range(batch, _) => {
                    open = Some(*batch);
                    // Numbers that follow refer to this batch.
                    let follows = words.get(at);
                    if matches!(follows, Some(JarWord::Numbers(_) | JarWord::Either(..) | JarWord::Range(..)))
                    {
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

    /// The one jar in the house of the product that everyday words name.
    fn jar_of_product(&self, words: &str) -> Result<Jar, LedgerError> {
        let jars = self.jars_of_product(words)?;
        let [only] = &jars[..] else {
            let among = jars.iter().map(|jar| jar.code).collect();
            return Err(LedgerError::SeveralJars { given: words.to_owned(), among });
        };
        Ok(only.clone())
    }

    /// The jars in the house of the product that everyday words name, the one to eat first in front.
    ///
    /// # Errors
    /// [`LedgerError::NoName`] where no product is called so or none of it is in the house,
    /// [`LedgerError::SeveralNames`] where several products are.
    fn jars_of_product(&self, words: &str) -> Result<Vec<Jar>, LedgerError> {
        let known = self.names_in_use(Named::Product)?;
        let (mut products, mut size) = (names_meant(words, &known), None);
        if products.is_empty() {
            let mut left = naming_words(words);
            size = JarSize::taken_from(&mut left);
            products = names_meant(&left.join(" "), &known);
        }
        let given: Name = words.parse().map_err(|_| LedgerError::NotFound(format!("no jar {words:?}")))?;
        if products.is_empty() {
            return Err(Self::no_name("product", &given, &known));
        }
        let mut jars: Vec<Jar> = self
            .live_jars(&Which { products, size, ..Which::default() })?
            .into_iter()
            .map(|live| live.jar)
            .collect();
        let mut names: Vec<&str> = jars.iter().map(|jar| jar.product.as_str()).collect();
        names.dedup();
        if names.len() > 1 {
            let among = names.into_iter().map(str::to_owned).collect();
            return Err(LedgerError::SeveralNames { given: words.to_owned(), among });
        }
        if jars.is_empty() {
            return Err(LedgerError::NotFound(format!("no jar of \u{201c}{words}\u{201d} is in the house")));
        }
        let awaits =
            |jar: &Jar| (jar.on_hold, jar.state != JarState::Sealed, jar.best_by, jar.put_up, jar.code);
        jars.sort_by_key(awaits);
        Ok(jars)
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

    /// Whether a number and the first of those behind it are a batch of this ledger, which numbers of jars follow.
    fn is_batch_apart(&self, list: &JarList, behind: &[JarWord]) -> Result<bool, LedgerError> {
        let [number, JarWord::Numbers(_) | JarWord::Range(..), ..] = behind else { return Ok(false) };
        match batch_of(list, number) {
            Some(batch) => Ok(self.batch_id(batch)?.is_some()),
            None => Ok(false),
        }
    }

    fn numbered(&self, open: Option<BatchCode>, list: &JarList) -> Result<Vec<Jar>, LedgerError> {
        let Some(batch) = open else {
            return Err(LedgerError::Refused {
                what: format!("the numbers {list} follow no batch"),
                hint: format!(
                    "name the batch before them, such as 26-041 {list}, or a whole code, such as 26-041-03-3"
                ),
            });
        };
        // One is looked up as what follows will look for it, by a statement that is then compiled already.
        if let &[number] = list.numbers() {
            match self.jar(JarCode { batch, number }) {
                Err(LedgerError::NoJar { .. }) => {}
                found => return found.map(|jar| vec![jar]),
            }
        }
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
