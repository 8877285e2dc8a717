//! The phones of the household, paired with the page: who they are, and the hash of what each shows.

use std::fs;
use std::io::{self, Write as _};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};

use chrono::{DateTime, TimeDelta, Utc};
use etcetera::BaseStrategy;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use uuid::Uuid;

/// How long a pairing code may be used.
const CODE_MINUTES: i64 = 10;

/// Tries at a pairing code in a minute.
const TRIES: usize = 5;

/// Letters of a pairing code: none that is read for another. 12 of 32 are 60 bits.
const LETTERS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz023456789";
const CODE_LENGTH: usize = 12;

/// A phone that was paired.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Phone {
    /// What the household calls it.
    pub(crate) name: String,
    /// When it was paired.
    pub(crate) since: DateTime<Utc>,
    hash: String,
}

/// A pairing code that nobody used yet.
#[derive(Debug, Serialize, Deserialize)]
struct Code {
    hash: String,
    until: DateTime<Utc>,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Kept {
    code: Option<Code>,
    /// When codes were tried, the last few times.
    #[serde(default)]
    tried: Vec<DateTime<Utc>>,
    phones: Vec<Phone>,
}

/// What a pairing code was good for.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Pairing {
    /// The phone is paired; it shows this from now on.
    Paired(String),
    /// The code is wrong, used or old.
    Wrong,
    /// There were too many tries this minute.
    TooMany,
}

/// The phones of one ledger, in a file of their own beside no ledger, which only its owner reads.
#[derive(Debug, Clone)]
pub(crate) struct Phones {
    file: PathBuf,
}

impl Phones {
    /// The phones of the ledger of this name.
    pub(crate) fn of(ledger: Uuid) -> io::Result<Self> {
        let base = etcetera::base_strategy::Xdg::new().map_err(io::Error::other)?;
        let state = base.state_dir().unwrap_or_else(|| base.data_dir());
        Ok(Self::in_folder(&state.join("jarledger"), ledger))
    }

    fn in_folder(folder: &Path, ledger: Uuid) -> Self {
        Self { file: folder.join(format!("phones-{ledger}.json")) }
    }

    /// Every paired phone.
    pub(crate) fn list(&self) -> io::Result<Vec<Phone>> {
        Ok(self.read()?.phones)
    }

    pub(crate) fn who_shows(&self, token: &str) -> io::Result<Option<Phone>> {
        let hash = hash(token);
        Ok(self.read()?.phones.into_iter().find(|phone| phone.hash == hash))
    }

    /// Makes a code with which one phone may be paired; an older one is good for nothing then.
    pub(crate) fn new_code(&self, now: DateTime<Utc>) -> io::Result<String> {
        let mut random = [0; CODE_LENGTH];
        getrandom::fill(&mut random).map_err(io::Error::other)?;
        let code: String =
            random.iter().map(|byte| char::from(LETTERS[usize::from(*byte) % LETTERS.len()])).collect();
        self.change(|kept| {
            kept.code = Some(Code { hash: hash(&code), until: now + TimeDelta::minutes(CODE_MINUTES) });
        })?;
        Ok(code)
    }

    /// Pairs a phone with a code, which is used up by it.
    pub(crate) fn pair(&self, code: &str, name: &str, now: DateTime<Utc>) -> io::Result<Pairing> {
        let mut random = [0_u8; 16];
        getrandom::fill(&mut random).map_err(io::Error::other)?;
        let token = hex(&random);
        let code = hash(&code.trim().to_lowercase());
        self.change(|kept| {
            kept.tried.retain(|tried| now - *tried < TimeDelta::minutes(1) && *tried <= now);
            if kept.tried.len() >= TRIES {
                return Pairing::TooMany;
            }
            kept.tried.push(now);
            if !kept.code.as_ref().is_some_and(|good| good.hash == code && now < good.until) {
                return Pairing::Wrong;
            }
            kept.code = None;
            let mut called = name.to_owned();
            let mut number = 2;
            while kept.phones.iter().any(|phone| phone.name == called) {
                called = format!("{name} {number}");
                number += 1;
            }
            kept.phones.push(Phone { name: called, since: now, hash: hash(&token) });
            Pairing::Paired(token.clone())
        })
    }

    /// Forgets a phone; whether there was one of this name.
    pub(crate) fn revoke(&self, name: &str) -> io::Result<bool> {
        self.change(|kept| {
            let before = kept.phones.len();
            kept.phones.retain(|phone| phone.name != name);
            kept.phones.len() < before
        })
    }

    fn read(&self) -> io::Result<Kept> {
        match fs::read_to_string(&self.file) {
            Ok(text) => serde_json::from_str(&text).map_err(io::Error::other),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Kept::default()),
            Err(error) => Err(error),
        }
    }

    /// Changes the file as a whole, one program at a time.
    fn change<T>(&self, change: impl FnOnce(&mut Kept) -> T) -> io::Result<T> {
        if let Some(folder) = self.file.parent() {
            fs::create_dir_all(folder)?;
        }
        let private = |path: &Path| {
            fs::OpenOptions::new().write(true).create(true).truncate(true).mode(0o600).open(path)
        };
        let lock = private(&self.file.with_extension("lock"))?;
        lock.lock()?;
        let mut kept = self.read()?;
        let outcome = change(&mut kept);
        let new = self.file.with_extension("new");
        let mut file = private(&new)?;
        file.write_all(&serde_json::to_vec_pretty(&kept).map_err(io::Error::other)?)?;
        file.sync_all()?;
        fs::rename(&new, &self.file)?;
        Ok(outcome)
    }
}

fn hash(text: &str) -> String {
    hex(&Sha256::digest(text.as_bytes()))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    fn at(second: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_900_000_000 + second, 0).unwrap()
    }

    #[test]
    fn a_code_pairs_one_phone_and_only_its_hash_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let phones = Phones::in_folder(folder.path(), Uuid::nil());
        let code = phones.new_code(at(0)).unwrap();
        let Pairing::Paired(token) = phones.pair(&code, "Ida's", at(1)).unwrap() else { panic!() };
        assert_eq!(token.len(), 32, "128 bits");
        assert_eq!(phones.pair(&code, "thief", at(2)).unwrap(), Pairing::Wrong);
        assert_eq!(phones.who_shows(&token).unwrap().unwrap().name, "Ida's");
        assert!(phones.who_shows("0").unwrap().is_none());
        let kept = fs::read_to_string(&phones.file).unwrap();
        assert!(!kept.contains(&token) && !kept.contains(&code));
        assert_eq!(fs::metadata(&phones.file).unwrap().permissions().mode() & 0o777, 0o600);
        assert!(phones.revoke("Ida's").unwrap() && !phones.revoke("Ida's").unwrap());
        assert!(phones.who_shows(&token).unwrap().is_none());
    }

    #[test]
    fn a_code_is_good_for_ten_minutes_and_five_tries_a_minute() {
        let folder = tempfile::tempdir().unwrap();
        let phones = Phones::in_folder(folder.path(), Uuid::nil());
        let code = phones.new_code(at(0)).unwrap();
        for _ in 0..5 {
            assert_eq!(phones.pair("guessed", "x", at(10)).unwrap(), Pairing::Wrong);
        }
        assert_eq!(phones.pair(&code, "x", at(20)).unwrap(), Pairing::TooMany);
        assert_eq!(phones.pair(&code, "x", at(600)).unwrap(), Pairing::Wrong, "old");
        let code = phones.new_code(at(600)).unwrap();
        assert!(matches!(phones.pair(&code, "x", at(1199)).unwrap(), Pairing::Paired(_)));
    }
}
