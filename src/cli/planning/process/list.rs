//! The whole table.

use crate::answers::planning::process::key;
use crate::answers::planning::processes::Published;
use crate::answers::planning::words::venting;
use crate::cli::errors::Failure;
use crate::cli::planning::process::args::Args;
use crate::cli::planning::process::numbered::Notes;
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::rules::spoilage::cautions;
use crate::tables::foods;
use crate::tables::processes::ProcessRow;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::in_words::{inches, kilopascals};
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;

/// Above every height that a note begins at.
const HIGH_FT: i64 = 10_000;

/// Shows every row that fits what else was asked for.
pub(super) fn all(args: &Args, units: Units, screen: &mut Screen) -> Result<(), Failure> {
    let food = args.food.as_deref().map(|words| key(words, &[]).ok_or(words)).transpose();
    let food = match food {
        Ok(food) => food,
        Err(words) => {
            let unknown = crate::rules::process::unknown_food(words);
            if screen.json() {
                return screen.answer(&Published { processes: Vec::new() });
            }
            screen.say(unknown.detail);
            return Ok(());
        }
    };
    let published = Published::of(food.as_ref(), args.pack, args.jar, args.method, args.altitude);
    if screen.json() {
        return screen.answer(&published);
    }
    let rows = published.processes;
    let mut notes = Notes::default();
    for food in foods::all() {
        let mut table =
            Table::new(["Pack", "Jar", "Canner", "Feet", "Min", "psi", "kPa", "Headspace", "Notes"]);
        let of_food: Vec<&ProcessRow> = rows.iter().copied().filter(|row| row.food == food.id).collect();
        let mut sources: Vec<String> = of_food.iter().map(|row| row.source.to_string()).collect();
        sources.sort_unstable();
        sources.dedup();
        for row in &of_food {
            let source = (sources.len() > 1).then(|| format!("from {}", row.source));
            let marks = notes.marks(of_row(row).into_iter().chain(source));
            table.row([
                row.pack.to_string(),
                row.size.to_string(),
                row.method.to_string(),
                row.altitude_max_ft.map_or_else(
                    || format!("above {}", row.altitude_min_ft - 1),
                    |max| format!("{}-{max}", row.altitude_min_ft),
                ),
                row.minutes.to_string(),
                row.psi.map_or_else(String::new, |psi| psi.to_string()),
                row.psi.map_or_else(String::new, |psi| kilopascals(Pressure::from_psi(psi))),
                inches(row.headspace_in, units),
                marks,
            ]);
        }
        if !of_food.is_empty() {
            let from = if let [source] = &sources[..] { format!("; {source}") } else { String::new() };
            screen.say(format!("{} ({}), {}{from}", food.name, food.id, food.acidity));
            screen.table(&table);
            screen.say("");
        }
    }
    if rows.is_empty() {
        screen.say("Nothing in the table fits.");
    }
    notes.say(screen);
    screen.say(cautions::FIGURES_ONLY.text);
    screen.say(cautions::ASK.text);
    Ok(())
}

/// What must be said of a row besides its figures and its source.
fn of_row(row: &ProcessRow) -> Vec<String> {
    // Some notes hold only high up in a band that is open at its top.
    let top = row.altitude_max_ft.unwrap_or_else(|| row.altitude_min_ft.max(HIGH_FT));
    let process = TestedProcess::from_row(
        row,
        &ProcessQuestion {
            food: row.food.clone(),
            pack: row.pack,
            size: row.size,
            method: row.method,
            altitude: Altitude::from_feet(top),
        },
    );
    venting(&process).into_iter().chain(process.notes).collect()
}
