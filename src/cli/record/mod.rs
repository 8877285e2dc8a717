//! The record: corrections, undo, history, copies, checks, import, export and the demo.
//!
//! May use: arguments, eating, kitchen, planning, recall, talk, answers, exchange, ledger, paper, rules, tables, values.

pub(super) mod backup;
pub(super) mod check;
pub(super) mod correct;
pub(super) mod demo;
pub(super) mod doctor;
pub(super) mod export;
pub(super) mod history;
pub(super) mod import;
pub(super) mod restore;
pub(super) mod undo;
