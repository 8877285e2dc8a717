//! What must hold of the table as a whole.

use std::collections::{BTreeMap, BTreeSet};

use crate::tables::foods;
use crate::tables::processes::*;
use crate::values::kinds::method::Acidity;

type Key = (FoodId, Pack, JarSize, Method, u32);

/// The rows of each food, pack, jar, method and pair, in the order of the table.
fn groups() -> BTreeMap<Key, Vec<&'static ProcessRow>> {
    let mut groups: BTreeMap<Key, Vec<_>> = BTreeMap::new();
    for row in all() {
        groups.entry((row.food.clone(), row.pack, row.size, row.method, row.pair)).or_default().push(row);
    }
    groups
}

fn acidity(row: &ProcessRow) -> Acidity {
    foods::get(&row.food).expect("a row is of a known food").acidity
}

#[test]
fn the_rows_are_as_many_as_were_counted_by_hand() {
    // Counted when the pages were read: 1,748 rows, 300 of food, pack and jar; 148 rows from
    // memory, of which 6 low-acid (fish in quarts).
    assert_eq!(all().len(), 1_748);
    let distinct: BTreeSet<_> = all().iter().map(|row| (&row.food, row.pack, row.size)).collect();
    assert_eq!(distinct.len(), 300);
    let memory: Vec<_> = all().iter().filter(|row| row.basis == Basis::Memory).collect();
    assert_eq!(memory.len(), 148);
    assert!(all().iter().all(|row| matches!(row.basis, Basis::Reprint | Basis::Memory)));
    let low_acid: Vec<_> = memory.iter().filter(|row| acidity(row) == Acidity::LowAcid).collect();
    assert_eq!(low_acid.len(), 6);
    assert!(low_acid.iter().all(|row| row.food.as_str() == "fish" && row.size == JarSize::Quart));
}

#[test]
fn the_rows_of_a_food_are_those_of_the_table() {
    for food in foods::all() {
        let rows: Vec<_> = all().iter().filter(|row| row.food == food.id).collect();
        assert!(!rows.is_empty() && of(&food.id).eq(rows), "{}", food.id);
    }
    assert_eq!(of(&"no-such-food".parse().unwrap()).count(), 0);
}

#[test]
fn the_foods_of_the_rows_are_the_foods_of_the_list() {
    let listed: BTreeSet<_> = foods::all().map(|food| &food.id).collect();
    let used: BTreeSet<_> = all().iter().map(|row| &row.food).collect();
    assert_eq!(listed, used);
}

#[test]
fn bands_start_at_sea_level_and_follow_one_another_without_gap_or_overlap() {
    for (key, rows) in groups() {
        assert_eq!(rows[0].altitude_min_ft, 0, "{key:?}");
        for pair in rows.windows(2) {
            assert_eq!(pair[0].altitude_max_ft.map(|max| max + 1), Some(pair[1].altitude_min_ft), "{key:?}");
        }
        let last = rows.last().unwrap();
        match (last.method, last.psi) {
            // Guides 2 to 5: the dial tables end at 8,000 ft.
            (Method::PressureDial, _) => assert_eq!(last.altitude_max_ft, Some(8_000), "{key:?}"),
            // Guide 3: tomatoes at 15 psi have no weighted-gauge figure above 1,000 ft.
            (Method::PressureWeighted, Some(15)) if rows.len() == 1 => {
                assert_eq!(last.altitude_max_ft, Some(1_000), "{key:?}");
            }
            _ => assert_eq!(last.altitude_max_ft, None, "{key:?}"),
        }
    }
}

#[test]
fn going_up_pressure_never_falls_in_a_pressure_canner_nor_minutes_in_boiling_water() {
    for (key, rows) in groups() {
        for pair in rows.windows(2) {
            if key.3.is_pressure() {
                assert!(pair[1].psi > pair[0].psi, "{key:?}");
                assert_eq!(pair[1].minutes, pair[0].minutes, "{key:?}");
            } else {
                assert!(pair[1].minutes >= pair[0].minutes, "{key:?}");
            }
        }
    }
}

#[test]
fn no_low_acid_food_has_a_boiling_water_process_and_every_one_has_both_pressure_tables() {
    for food in foods::all().filter(|food| food.acidity == Acidity::LowAcid) {
        let methods: BTreeSet<Method> = of(&food.id).map(|row| row.method).collect();
        assert_eq!(methods, BTreeSet::from([Method::PressureDial, Method::PressureWeighted]), "{}", food.id);
    }
}

#[test]
fn pressure_is_given_for_pressure_canners_only_and_weights_are_5_10_or_15_psi() {
    // Weighted gauges regulate at 5, 10 and 15 psi only (AIB 539, Guide 1; from memory).
    for row in all() {
        assert_eq!(row.psi.is_some(), row.method.is_pressure(), "{row:?}");
        if row.method == Method::PressureWeighted {
            assert!(matches!(row.psi, Some(5 | 10 | 15)), "{row:?}");
        }
    }
}

#[test]
fn a_higher_pressure_among_alternatives_never_asks_for_more_minutes() {
    for row in all().iter().filter(|row| row.pair > 1) {
        let before = all()
            .iter()
            .find(|other| {
                (&other.food, other.pack, other.size, other.method, other.altitude_min_ft, other.pair)
                    == (&row.food, row.pack, row.size, row.method, row.altitude_min_ft, row.pair - 1)
            })
            .expect("pairs are numbered from 1");
        assert!(row.psi > before.psi && row.minutes <= before.minutes, "{row:?}");
    }
}

#[test]
fn a_quart_never_asks_for_less_than_a_pint() {
    for row in all().iter().filter(|row| row.size == JarSize::Quart) {
        let pint = all().iter().find(|other| {
            (&other.food, other.pack, other.size, other.method, other.pair, other.altitude_min_ft)
                == (&row.food, row.pack, JarSize::Pint, row.method, row.pair, row.altitude_min_ft)
        });
        if let Some(pint) = pint {
            assert!(row.minutes >= pint.minutes && row.psi == pint.psi, "{row:?}");
        }
    }
}
