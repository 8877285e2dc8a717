//! Entries that a phone asks for: named by the phone, so that what is sent twice is done once.

use uuid::Uuid;

/// Who asks for the next entry, and what it is to be named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// The name that the phone gave it.
    pub key: Uuid,
    /// The phone.
    pub phone: String,
}
