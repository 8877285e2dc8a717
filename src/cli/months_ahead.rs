//! The jars to eat, by product and month, as the report and the calendar show them.

use chrono::NaiveDate;

use crate::ledger::{Jar, LiveJar};
use crate::paper::lines::{MonthLine, MonthProduct, ShelfJar};
use crate::rules::jar_state::JarState;
use crate::rules::month::Month;
use crate::rules::rotation::{Rotation, Turn, rotate};

/// The jars that may be eaten, in the order the ledger gives them: by product.
pub(super) fn eatable(live: &[LiveJar]) -> Vec<&Jar> {
    live.iter().map(|live| &live.jar).filter(|jar| jar.state == JarState::Sealed && !jar.on_hold).collect()
}

/// Each product's jars in the order to eat them, with its plan.
pub(super) fn rotations<'j, 'r>(
    jars: &'r mut [&'j Jar],
    today: NaiveDate,
) -> Vec<(&'j str, Rotation<'r, &'j Jar>)> {
    jars.chunk_by_mut(|a, b| a.product == b.product)
        .map(|jars| {
            let product = &jars[0].product[..];
            let turn = |jar: &&Jar| Turn { best_by: jar.best_by, put_up: jar.put_up, code: jar.code };
            (product, rotate(jars, today, turn))
        })
        .collect()
}

/// The plan of all products together, for the current month and those after it.
pub(super) fn month_lines(
    rotations: &[(&str, Rotation<'_, &Jar>)],
    today: NaiveDate,
    months: u32,
) -> Vec<MonthLine> {
    let current = Month::of(today);
    let mut lines: Vec<MonthLine> =
        (0..months).map(|ahead| MonthLine { month: current.plus(ahead), products: Vec::new() }).collect();
    for (product, rotation) in rotations {
        for (line, jars) in lines.iter_mut().zip(rotation.plan.months()) {
            if jars > 0 {
                line.products.push(MonthProduct { product: (*product).to_owned(), jars });
            }
        }
    }
    lines
}

/// A jar as the papers show it.
pub(super) fn shelf_jar(jar: &Jar) -> ShelfJar {
    ShelfJar {
        jar: jar.code,
        product: format!("{}, {}", jar.product, jar.size),
        put_up: jar.put_up,
        best_by: jar.best_by,
        place: jar.place.clone(),
    }
}
