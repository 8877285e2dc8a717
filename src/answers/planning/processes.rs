//! The whole table, and the household's own.

use serde::Serialize;

use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::household::standing::Standing;
use crate::rules::process::tested::TestedProcess;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::altitude::Altitude;

/// Rows of the tables.
#[derive(Serialize)]
pub(crate) struct Published {
    pub(crate) processes: Vec<&'static ProcessRow>,
}

impl Published {
    /// Every row that fits; what is not given fits any.
    pub(crate) fn of(
        food: Option<&FoodId>,
        pack: Option<Pack>,
        jar: Option<JarSize>,
        method: Option<Method>,
        altitude: Option<Altitude>,
    ) -> Self {
        let processes = processes::all()
            .iter()
            .filter(|row| food.is_none_or(|food| row.food == *food))
            .filter(|row| pack.is_none_or(|pack| row.pack == pack))
            .filter(|row| jar.is_none_or(|jar| row.size == jar))
            .filter(|row| method.is_none_or(|method| row.method == method))
            .filter(|row| altitude.is_none_or(|altitude| row.covers(altitude)));
        Self { processes: processes.collect() }
    }
}

/// The processes the household added.
#[derive(Serialize)]
pub(crate) struct Own {
    household_processes: Vec<OwnProcess>,
}

/// A process of the household's own, with what it is for.
#[derive(Serialize)]
pub(crate) struct OwnProcess {
    food: FoodId,
    acidity: Acidity,
    pack: Pack,
    jar: JarSize,
    method: Method,
    altitude_min_ft: i64,
    altitude_max_ft: Option<i64>,
    /// The processes that ask for more at some height of its band, and stand there instead of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    set_aside_by: Vec<Standing>,
    #[serde(flatten)]
    process: TestedProcess,
}

impl OwnProcess {
    /// A process, beside all the household has.
    pub(crate) fn of(own: &HouseholdProcess, all: &[HouseholdProcess]) -> Self {
        Self {
            set_aside_by: own.set_aside_by(all),
            food: own.food.clone(),
            acidity: own.acidity,
            pack: own.pack,
            jar: own.size,
            method: own.method,
            altitude_min_ft: own.altitude_min_ft,
            altitude_max_ft: own.altitude_max_ft,
            process: own.tested(),
        }
    }
}

impl Own {
    /// All of them.
    pub(crate) fn of(processes: &[HouseholdProcess]) -> Self {
        Self { household_processes: processes.iter().map(|own| OwnProcess::of(own, processes)).collect() }
    }
}
