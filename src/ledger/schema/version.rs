//! What every table and column means.
//!
//! Dates are civil days, `YYYY-MM-DD`, without a zone. Instants are two columns:
//! seconds since 1970 in UTC, and the local offset then in force in minutes.
//! Pressures are hundredths of a psi. Altitudes are kept as entered (`850ft`,
//! `260m`). Names come with a key (NFC, lower case, single spaces) under which
//! they are found again. NULL means "not recorded" unless said otherwise.
//!
//! - `ledger`: one row; `uuid` names the file for calendars and backups, `made_at` is an instant.
//! - `entry`: one command that changed something. `summary` is the line `history` shows;
//!   `reverses` is the entry an undo takes back (NULL: not an undo); `effective` is 0 while a
//!   later entry in force reverses it. Facts of an entry not in force count for nothing. `phone`: the name
//!   of the paired phone that asked (NULL: the terminal).
//! - `setting`: the household's choices; the last row in force for a key holds. Keys: `altitude`,
//!   `day-order` (how labels write a date), and `quality-months/` with a product's key.
//! - `product`, `place`, `lid_lot`: names met so far.
//! - `canner`, `canner_capacity`: devices and how many jars of each size they take.
//! - `canner_mix`: jars of several sizes that a canner takes together, one `mix` a way to fill it.
//! - `gauge_test`, `gauge_point`: a dial gauge's readings against true pressure; `new_gauge` 1: the
//!   first test of a newly fitted gauge.
//! - `household_process`: tested processes the household added, with their publication.
//!   `altitude_max_ft` NULL: no upper bound printed. `psi` NULL: boiling water or steam.
//! - `batch`: one cooked lot of one product on one day. `year` is the last two digits.
//!   `food` NULL: no published food; `origin` `import`: kept elsewhere before, process not on record.
//!   `recipe_id`: the version of the recipe it was made by; `vouched`: the household's own word for its process, and
//!   whose; `name_reason`: why a name that names another food was let in.
//! - `ingredient_lot`: lots of what went into a batch.
//! - `load`: one canner-full. `pressure` is what the gauge read, `pressure_entered` as typed.
//!   `reached_at`, `ended_at`: instants at `out_offset`; `out_at`: when it came out.
//!   `acid`: such as `lemon-juice`, `lemon-juice:short` for less than the full measure, `none`.
//!   `run_id`: the run whose steps it was made from.
//!   `verdict`, `findings` (JSON): the last judgement in force, kept by trigger.
//! - `load_drop`: pressure lost and regained, as `told` by the clock of the run (`14:05-14:12`) or in
//!   minutes after the target was first reached (`20m-27m`); nothing after the hyphen: never regained.
//! - `judgement`: every verdict ever given on a load, and by which entry.
//! - `jar`: one container. `born` and `born_place_id` are how it entered; `state`, `place_id`
//!   and `held` follow from the events and holds in force, kept by trigger. `state` `void`: its
//!   putting-up was undone.
//! - `event`: one thing that happened to a jar. `who`: to whom it was given; `why`: the reason.
//! - `jar_use`: which batch a jar was emptied into.
//! - `recipe`: one version of a recipe (JSON); `removed` 1: no longer offered.
//! - `run`: one canner-full while it is in the canner, with the process it aims at. `pressure` NULL: boiling water or
//!   steam.
//! - `run_step`: one thing seen or done at the stove. `boot_ms`: the machine's clock since it started, suspended time
//!   included; `boot_id`: which start that was.
//! - `seal_check`: how the lid was tested; `early` 1: before 12 h.
//! - `hold`, `hold_release`: a jar withheld, and let go again. `through_jar_id`: the used jar that brought a hold by
//!   trace to the batch it went into.
//! - `correction`: one field amended, old and new value in their text form. The column itself holds
//!   the new value of the last one in force, else the old value of the first.
//! - `label_sheet`: sheet geometries the household saved (JSON).
//! - `import_row`: keys of rows imported, so that none comes in twice.
//!
//! History: 1.0, the first; 2.0, steam canners, verdicts by own processes, jars used, recipes, runs, phones.

/// Marks the file as ours: the ASCII bytes `jrld`.
pub(crate) const APPLICATION_ID: i32 = 0x6a72_6c64;

/// A schema version; a file with the same major and a higher minor still reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Version {
    pub(crate) major: u16,
    pub(crate) minor: u16,
}

impl Version {
    /// What this build writes.
    pub(crate) const CURRENT: Self = Self { major: 2, minor: 0 };

    /// The number kept in `user_version`.
    pub(crate) const fn stamp(self) -> i32 {
        self.major as i32 * 1_000 + self.minor as i32
    }

    /// Reads what `user_version` holds.
    pub(crate) const fn from_stamp(stamp: i32) -> Option<Self> {
        if stamp < 1_000 || stamp >= 65_000_000 {
            return None;
        }
        Some(Self { major: (stamp / 1_000) as u16, minor: (stamp % 1_000) as u16 })
    }
}

impl std::fmt::Display for Version {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}.{}", self.major, self.minor)
    }
}
