//! The life of a jar: one state machine, asked by everything else.
//!
//! | from | act | to |
//! | --- | --- | --- |
//! | cooling | check-sealed | sealed |
//! | cooling | check-failed | unsealed |
//! | cooling, unsealed | chill, freeze, reprocess, discard | chilled, frozen, reprocessed, discarded |
//! | sealed | open, give, use, discard, miss | opened, given, used, discarded, missing |
//! | sealed | seal-lost | unsealed |
//! | missing | find | sealed |
//! | opened, chilled, frozen | finish, discard | finished, discarded |
//! | cooling, sealed, unsealed, opened, chilled, frozen | move | unchanged |

use crate::values::names::named::named_enum;

named_enum! {
    /// Where a jar stands in its life. A hold is not a state: it lies over any live one.
    pub enum JarState as "a jar state" {
        /// Out of the canner, seal not yet checked.
        Cooling = "cooling",
        /// Checked and sealed.
        Sealed = "sealed",
        /// Checked and not sealed, nothing decided yet.
        Unsealed = "unsealed",
        /// In the refrigerator instead of on the shelf: its seal or its load failed.
        Chilled = "chilled",
        /// In the freezer instead of on the shelf: its seal or its load failed.
        Frozen = "frozen",
        /// Emptied into a new load.
        Reprocessed = "reprocessed",
        /// Opened for eating.
        Opened = "opened",
        /// Eaten up.
        Finished = "finished",
        /// Given away.
        Given = "given",
        /// Thrown away.
        Discarded = "discarded",
        /// Not found where it should stand.
        Missing = "missing",
        /// Emptied into another batch.
        Used = "used",
        /// Never existed: the entry that put it up was undone.
        Void = "void",
    }
}

named_enum! {
    /// What can happen to a jar.
    pub enum Act as "an event" {
        /// The lid was checked and holds.
        CheckSealed = "check-sealed",
        /// The lid was checked and does not hold.
        CheckFailed = "check-failed",
        /// The seal of a jar on the shelf was found lost.
        SealLost = "seal-lost",
        /// Into the refrigerator.
        Chill = "chill",
        /// Into the freezer.
        Freeze = "freeze",
        /// Into a new load.
        Reprocess = "reprocess",
        /// Opened.
        Open = "open",
        /// Eaten up.
        Finish = "finish",
        /// Given away.
        Give = "give",
        /// Emptied into another batch.
        Use = "use",
        /// Thrown away.
        Discard = "discard",
        /// Not found at a stocktake.
        Miss = "miss",
        /// Found again.
        Find = "find",
        /// Moved to another place.
        Move = "move",
    }
}

impl Act {
    /// The command that brings it about, or the part of one that does.
    pub const fn as_it_is_asked_for(self) -> &'static str {
        match self {
            Self::CheckSealed | Self::CheckFailed => "seal",
            Self::SealLost => "seal --lost",
            Self::Miss => "missing",
            Self::Find => "missing --found",
            Self::Reprocess => "putup --reprocess",
            Self::Use => "putup --used",
            Self::Chill
            | Self::Freeze
            | Self::Open
            | Self::Finish
            | Self::Give
            | Self::Discard
            | Self::Move => self.as_str(),
        }
    }
}

impl Act {
    /// What a jar is once it happened: "opened".
    pub(crate) const fn participle(self) -> &'static str {
        match self {
            Self::CheckSealed => "checked as sealed",
            Self::CheckFailed => "checked as failed",
            Self::SealLost => "noted as having lost its seal",
            Self::Chill => "chilled",
            Self::Freeze => "frozen",
            Self::Reprocess => "reprocessed",
            Self::Open => "opened",
            Self::Finish => "eaten up",
            Self::Give => "given",
            Self::Use => "used in a batch",
            Self::Discard => "discarded",
            Self::Miss => "noted as missing",
            Self::Find => "found again",
            Self::Move => "moved",
        }
    }
}

/// Says why an act is refused, and which acts are not.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a jar that is {from} cannot be {}; {}", act.participle(), legal_words(*from))]
pub struct IllegalAct {
    /// The state the jar is in.
    pub from: JarState,
    /// The act asked for.
    pub act: Act,
}

fn legal_words(from: JarState) -> String {
    let mut acts: Vec<&str> = from.legal_acts().map(Act::as_it_is_asked_for).collect();
    // Sealed or failed, it is one check.
    acts.dedup();
    if acts.is_empty() { "its story is over".to_owned() } else { format!("it takes: {}", acts.join(", ")) }
}

impl JarState {
    /// Whether the jar is still in the household's hands.
    pub const fn is_live(self) -> bool {
        matches!(
            self,
            Self::Cooling
                | Self::Sealed
                | Self::Unsealed
                | Self::Chilled
                | Self::Frozen
                | Self::Opened
                | Self::Missing
        )
    }

    /// Where a jar in this state is kept, if no longer on a shelf.
    pub(crate) const fn cold_place(self) -> Option<&'static str> {
        match self {
            Self::Frozen => Some("freezer"),
            Self::Chilled | Self::Opened => Some("refrigerator"),
            _ => None,
        }
    }

    /// Where `act` leads from here.
    ///
    /// # Errors
    /// [`IllegalAct`] where the act does not fit the state.
    pub const fn after(self, act: Act) -> Result<Self, IllegalAct> {
        Ok(match (self, act) {
            (Self::Cooling, Act::CheckSealed) | (Self::Missing, Act::Find) => Self::Sealed,
            (Self::Cooling, Act::CheckFailed) | (Self::Sealed, Act::SealLost) => Self::Unsealed,
            (Self::Cooling | Self::Unsealed, Act::Chill) => Self::Chilled,
            (Self::Cooling | Self::Unsealed, Act::Freeze) => Self::Frozen,
            (Self::Cooling | Self::Unsealed, Act::Reprocess) => Self::Reprocessed,
            (Self::Sealed, Act::Open) => Self::Opened,
            (Self::Sealed, Act::Give) => Self::Given,
            (Self::Sealed, Act::Use) => Self::Used,
            (Self::Sealed, Act::Miss) => Self::Missing,
            (Self::Opened | Self::Chilled | Self::Frozen, Act::Finish) => Self::Finished,
            (
                Self::Cooling | Self::Unsealed | Self::Sealed | Self::Opened | Self::Chilled | Self::Frozen,
                Act::Discard,
            ) => Self::Discarded,
            (
                Self::Cooling | Self::Sealed | Self::Unsealed | Self::Opened | Self::Chilled | Self::Frozen,
                Act::Move,
            ) => self,
            _ => return Err(IllegalAct { from: self, act }),
        })
    }

    /// The acts that fit this state.
    fn legal_acts(self) -> impl Iterator<Item = Act> {
        Act::ALL.iter().copied().filter(move |&act| self.after(act).is_ok())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_in_the_docs_is_the_machine() {
        let docs = include_str!("jar_state.rs");
        let mut listed = Vec::new();
        for row in docs.lines().filter_map(|line| line.strip_prefix("//! | ")).skip(2) {
            let cells: Vec<Vec<&str>> =
                row.trim_end_matches(" |").split(" | ").map(|c| c.split(", ").collect()).collect();
            for from in &cells[0] {
                for (at, act) in cells[1].iter().enumerate() {
                    let to = if cells[2] == ["unchanged"] {
                        from
                    } else {
                        cells[2].get(at).unwrap_or(&cells[2][0])
                    };
                    listed.push((from.parse().unwrap(), act.parse().unwrap(), to.parse().unwrap()));
                }
            }
        }
        listed.sort_unstable();
        let mut built = Vec::new();
        for &from in JarState::ALL {
            for &act in Act::ALL {
                if let Ok(to) = from.after(act) {
                    built.push((from, act, to));
                }
            }
        }
        built.sort_unstable();
        assert_eq!(listed, built);
    }

    /// Every legal act by hand: a jar's life as the kitchen knows it, and nothing else.
    const LEGAL: &[(JarState, &[(Act, JarState)])] = &[
        (
            JarState::Cooling,
            &[
                (Act::CheckSealed, JarState::Sealed),
                (Act::CheckFailed, JarState::Unsealed),
                (Act::Chill, JarState::Chilled),
                (Act::Freeze, JarState::Frozen),
                (Act::Reprocess, JarState::Reprocessed),
                (Act::Discard, JarState::Discarded),
                (Act::Move, JarState::Cooling),
            ],
        ),
        (
            JarState::Sealed,
            &[
                (Act::SealLost, JarState::Unsealed),
                (Act::Open, JarState::Opened),
                (Act::Give, JarState::Given),
                (Act::Use, JarState::Used),
                (Act::Discard, JarState::Discarded),
                (Act::Miss, JarState::Missing),
                (Act::Move, JarState::Sealed),
            ],
        ),
        (
            JarState::Unsealed,
            &[
                (Act::Chill, JarState::Chilled),
                (Act::Freeze, JarState::Frozen),
                (Act::Reprocess, JarState::Reprocessed),
                (Act::Discard, JarState::Discarded),
                (Act::Move, JarState::Unsealed),
            ],
        ),
        (
            JarState::Chilled,
            &[
                (Act::Finish, JarState::Finished),
                (Act::Discard, JarState::Discarded),
                (Act::Move, JarState::Chilled),
            ],
        ),
        (
            JarState::Frozen,
            &[
                (Act::Finish, JarState::Finished),
                (Act::Discard, JarState::Discarded),
                (Act::Move, JarState::Frozen),
            ],
        ),
        (
            JarState::Opened,
            &[
                (Act::Finish, JarState::Finished),
                (Act::Discard, JarState::Discarded),
                (Act::Move, JarState::Opened),
            ],
        ),
        (JarState::Missing, &[(Act::Find, JarState::Sealed)]),
        (JarState::Reprocessed, &[]),
        (JarState::Finished, &[]),
        (JarState::Given, &[]),
        (JarState::Discarded, &[]),
        (JarState::Used, &[]),
        (JarState::Void, &[]),
    ];

    #[test]
    fn every_act_leads_where_it_should_or_is_refused_with_the_acts_that_fit() {
        assert_eq!(LEGAL.len(), JarState::ALL.len());
        for &(from, legal) in LEGAL {
            let mut names: Vec<&str> = Vec::new();
            for &act in Act::ALL {
                if legal.iter().any(|(known, _)| *known == act) {
                    names.push(match act {
                        Act::CheckSealed => "seal",
                        Act::CheckFailed => continue,
                        Act::SealLost => "seal --lost",
                        Act::Miss => "missing",
                        Act::Find => "missing --found",
                        Act::Reprocess => "putup --reprocess",
                        Act::Use => "putup --used",
                        act => act.as_str(),
                    });
                }
            }
            for &act in Act::ALL {
                if let Some((_, to)) = legal.iter().find(|(known, _)| *known == act) {
                    assert_eq!(from.after(act), Ok(*to), "{from} {act}");
                    continue;
                }
                let refused = from.after(act).unwrap_err();
                assert_eq!(refused, IllegalAct { from, act });
                let ways = if names.is_empty() {
                    "its story is over".to_owned()
                } else {
                    format!("it takes: {}", names.join(", "))
                };
                assert_eq!(
                    refused.to_string(),
                    format!("a jar that is {from} cannot be {}; {ways}", act.participle())
                );
            }
            assert_eq!(from.legal_acts().count(), legal.len(), "{from}");
        }
    }

    #[test]
    fn a_jar_is_live_while_the_household_may_still_eat_it_or_look_for_it() {
        let gone = [
            JarState::Reprocessed,
            JarState::Finished,
            JarState::Given,
            JarState::Discarded,
            JarState::Used,
            JarState::Void,
        ];
        for &state in JarState::ALL {
            assert_eq!(state.is_live(), !gone.contains(&state), "{state}");
            assert_eq!(state.is_live(), state.legal_acts().next().is_some(), "{state}");
        }
    }
}
