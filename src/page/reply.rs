//! What is sent back: a page, or what stands in its way.

use hyper::StatusCode;

use crate::ledger::error::LedgerError;
use crate::page::html;
use crate::values::codes::jar_code::JarCode;

/// What is sent back.
#[derive(Debug)]
pub(super) struct Reply {
    pub(super) status: StatusCode,
    pub(super) kind: &'static str,
    pub(super) body: String,
    /// Where to go next.
    pub(super) location: Option<String>,
    pub(super) cookie: Option<String>,
}

/// What stands in the way of an answer.
#[derive(Debug)]
pub(super) struct Trouble {
    pub(super) status: StatusCode,
    pub(super) what: String,
    /// The jars that were perhaps meant.
    pub(super) near: Vec<JarCode>,
}

pub(super) type Answered = Result<Reply, Trouble>;

impl Reply {
    pub(super) fn page(body: String) -> Self {
        Self::file("text/html; charset=utf-8", body)
    }

    pub(super) fn file(kind: &'static str, body: String) -> Self {
        Self { status: StatusCode::OK, kind, body, location: None, cookie: None }
    }

    /// Sends the phone on to another of our pages.
    pub(super) fn go_to(path: String) -> Self {
        Self {
            status: StatusCode::SEE_OTHER,
            location: Some(path),
            ..Self::file("text/plain; charset=utf-8", String::new())
        }
    }
}

impl Trouble {
    pub(super) fn new(status: StatusCode, what: impl Into<String>) -> Self {
        Self { status, what: what.into(), near: Vec::new() }
    }

    pub(super) fn bad(what: impl Into<String>) -> Self {
        Self::new(StatusCode::BAD_REQUEST, what)
    }

    pub(super) fn not_ours() -> Self {
        Self::new(StatusCode::NOT_FOUND, "There is no such page here.")
    }

    /// As a page.
    pub(super) fn into_reply(self) -> Reply {
        Reply { status: self.status, ..Reply::page(html::trouble(&self.what, &self.near)) }
    }
}

impl From<LedgerError> for Trouble {
    fn from(error: LedgerError) -> Self {
        let status = match &error {
            LedgerError::NoJar { .. }
            | LedgerError::WrongCheck { .. }
            | LedgerError::NoBatch { .. }
            | LedgerError::NoName { .. }
            | LedgerError::NotFound(_) => StatusCode::NOT_FOUND,
            LedgerError::Refused { .. }
            | LedgerError::Illegal { .. }
            | LedgerError::SeveralJars { .. }
            | LedgerError::SeveralNames { .. } => StatusCode::CONFLICT,
            LedgerError::Busy(_) | LedgerError::Migrated(_) | LedgerError::Interrupted => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            LedgerError::Full(_) | LedgerError::Outgrown(_) => StatusCode::INSUFFICIENT_STORAGE,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        let near = match &error {
            LedgerError::NoJar { near, .. } | LedgerError::WrongCheck { near, .. } => near.clone(),
            LedgerError::SeveralJars { among, .. } => among.clone(),
            _ => Vec::new(),
        };
        Self { status, what: error.to_string(), near }
    }
}
