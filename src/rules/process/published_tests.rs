//! The look-up against the publications' own grids and against physics.

use crate::rules::process::*;
use crate::tables::processes;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::method::Acidity;
use crate::values::measures::pressure::Pressure;

/// A line of a grid: one food, pack, jar and time, with a cell for each altitude band.
struct Line {
    food: FoodId,
    pack: Pack,
    size: JarSize,
    method: Method,
    headspace_in: f64,
    cells: Vec<Cell>,
}

/// One figure of a grid; the bounds are as its column is headed.
struct Cell {
    min_ft: i64,
    max_ft: Option<i64>,
    minutes: u32,
    psi: Option<i64>,
    memory: bool,
}

/// Reads "1001-2000 ft, lb" or "Above 6000 ft, min".
fn band(heading: &str) -> (i64, Option<i64>) {
    let feet = heading.split(" ft").next().unwrap();
    if let Some(above) = feet.strip_prefix("Above ") {
        return (above.parse::<i64>().unwrap() + 1, None);
    }
    let (min, max) = feet.split_once('-').unwrap();
    (min.parse().unwrap(), Some(max.parse().unwrap()))
}

fn grid(text: &str, method: Method) -> Vec<Line> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let first_band = if method.is_pressure() { 5 } else { 4 };
    let bands: Vec<_> = reader.headers().unwrap().iter().skip(first_band).map(band).collect();
    let mut name = String::new();
    let mut lines = Vec::new();
    for record in reader.records() {
        let record = record.unwrap();
        if !record[0].is_empty() {
            name = record[0].to_owned();
        }
        let food = foods::all().find(|food| food.name == name).unwrap_or_else(|| panic!("{name}"));
        let size = JarSize::ALL.iter().find(|size| size.plural().eq_ignore_ascii_case(&record[2])).unwrap();
        let mut cells = Vec::new();
        for (&(min_ft, max_ft), figure) in bands.iter().zip(record.iter().skip(first_band)) {
            if figure == "NR" {
                continue;
            }
            let number: u32 = figure.trim_end_matches('*').parse().unwrap();
            let (minutes, psi) = if method.is_pressure() {
                (record[4].parse().unwrap(), Some(i64::from(number)))
            } else {
                (number, None)
            };
            cells.push(Cell { min_ft, max_ft, minutes, psi, memory: figure.ends_with('*') });
        }
        let (pack, headspace_in) = (record[1].parse().unwrap(), record[3].parse().unwrap());
        lines.push(Line { food: food.id.clone(), pack, size: *size, method, headspace_in, cells });
    }
    lines
}

fn grids() -> Vec<Line> {
    let mut lines = grid(include_str!("../../../fixtures/process_grid/dial-gauge.csv"), Method::PressureDial);
    lines.extend(grid(
        include_str!("../../../fixtures/process_grid/weighted-gauge.csv"),
        Method::PressureWeighted,
    ));
    for text in [
        include_str!("../../../fixtures/process_grid/boiling-water-four-bands.csv"),
        include_str!("../../../fixtures/process_grid/boiling-water-three-bands.csv"),
    ] {
        lines.extend(grid(text, Method::BoilingWater));
    }
    lines
}

/// Minutes, hundredths of a psi, hundredths of an inch, and whether from memory.
type Figures = (u32, Option<i64>, i64, bool);

fn expected(lines: &[Line], question: &ProcessQuestion, feet: i64) -> Vec<Figures> {
    let mut found: Vec<Figures> = lines
        .iter()
        .filter(|line| {
            (&line.food, line.pack, line.size, line.method)
                == (&question.food, question.pack, question.size, question.method)
        })
        .flat_map(|line| line.cells.iter().map(move |cell| (line, cell)))
        .filter(|(_, cell)| cell.min_ft <= feet && cell.max_ft.is_none_or(|max| feet <= max))
        .map(|(line, cell)| {
            let headspace = (line.headspace_in * 100.0).round() as i64;
            (cell.minutes, cell.psi.map(|psi| psi * 100), headspace, cell.memory)
        })
        .collect();
    found.sort_unstable();
    found
}

fn answered(answer: &Answer) -> Vec<Figures> {
    let mut found: Vec<Figures> = answer
        .options
        .iter()
        .map(|process| {
            let headspace = (process.headspace_in * 100.0).round() as i64;
            let memory = process.basis == Basis::Memory;
            (process.minutes, process.psi.map(Pressure::centi_psi), headspace, memory)
        })
        .collect();
    found.sort_unstable();
    found
}

#[test]
fn every_cell_of_the_grids_answers_at_both_ends_of_its_band_and_one_foot_outside() {
    let lines = grids();
    // As many filled cells as rows were counted when the reprints were read.
    assert_eq!(lines.iter().map(|line| line.cells.len()).sum::<usize>(), 1_069);
    for line in &lines {
        for cell in &line.cells {
            let top = cell.max_ft.unwrap_or(30_000);
            for feet in [cell.min_ft - 1, cell.min_ft, top, top + 1] {
                let question = ProcessQuestion {
                    food: line.food.clone(),
                    pack: line.pack,
                    size: line.size,
                    method: line.method,
                    altitude: Altitude::from_feet(feet),
                };
                let answer = look_up(&question, &[]);
                // Below sea level the lowest band is taken.
                let wanted = expected(&lines, &question, feet.max(0));
                assert_eq!(answered(&answer), wanted, "{question:?}");
                let reason = wanted.is_empty().then_some(NoneBecause::Altitude);
                assert_eq!(answer.none_because, reason, "{question:?}");
                if feet == cell.min_ft || feet == top {
                    assert!(!wanted.is_empty());
                }
            }
        }
    }
}

/// A row as it was compiled from the publications: food, pack, jar, headspace, method, band, minutes and psi.
type Compiled = (FoodId, Pack, JarSize, f64, Method, i64, Option<i64>, u32, Option<i64>, String);

/// Every row of the compiled tables (fixtures/process_grid/PROVENANCE.md).
fn compiled() -> Vec<Compiled> {
    let text = include_str!("../../../fixtures/process_grid/compiled.csv");
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

#[test]
fn every_food_jar_canner_and_altitude_is_answered_as_compiled_and_no_other() {
    let rows = compiled();
    assert_eq!(rows.len(), 1_748);
    let (mut answered, mut smaller, mut none) = (0, 0, 0);
    for food in foods::all() {
        let of_food: Vec<&Compiled> = rows.iter().filter(|row| row.0 == food.id).collect();
        for &pack in Pack::ALL {
            for &size in JarSize::ALL {
                for &method in Method::ALL {
                    for feet in [
                        0, 1_000, 1_001, 2_000, 2_001, 3_000, 3_001, 4_000, 4_001, 6_000, 6_001, 8_000, 8_001,
                    ] {
                        let steam = method == Method::Steam;
                        let column = if steam { Method::BoilingWater } else { method };
                        let listed: Vec<&&Compiled> =
                            of_food.iter().filter(|row| row.1 == pack && row.4 == column).collect();
                        // The next larger listed jar, and half-gallons for themselves alone.
                        let jar = listed
                            .iter()
                            .map(|row| row.2)
                            .filter(|&jar| {
                                let quarts_only = ["mincemeat-pie-filling", "green-tomato-pie-filling"]
                                    .contains(&food.id.as_str());
                                jar == size || (jar > size && jar != JarSize::HalfGallon && !quarts_only)
                            })
                            .min();
                        let low_acid = food.acidity == Acidity::LowAcid;
                        let mut wanted: Vec<(u32, Option<i64>)> = listed
                            .iter()
                            .filter(|row| {
                                Some(row.2) == jar && row.5 <= feet && row.6.is_none_or(|top| feet <= top)
                            })
                            .map(|row| (row.7, row.8))
                            .filter(|&(minutes, _)| !steam || (!low_acid && minutes <= 45))
                            .collect();
                        let altitude = Altitude::from_feet(feet);
                        let question =
                            ProcessQuestion { food: food.id.clone(), pack, size, method, altitude };
                        let answer = look_up(&question, &[]);
                        let mut got: Vec<(u32, Option<i64>)> = answer
                            .options
                            .iter()
                            .map(|row| (row.minutes, row.psi.map(|psi| psi.centi_psi() / 100)))
                            .collect();
                        wanted.sort_unstable();
                        got.sort_unstable();
                        assert_eq!(got, wanted, "{question:?}");
                        for option in &answer.options {
                            assert_eq!(option.as_jar, jar.filter(|&jar| jar != size), "{question:?}");
                        }
                        assert_eq!(answer.none_because.is_some(), wanted.is_empty(), "{question:?}");
                        match (wanted.is_empty(), jar == Some(size)) {
                            (true, _) => none += 1,
                            (false, true) => answered += 1,
                            (false, false) => smaller += 1,
                        }
                    }
                }
            }
        }
    }
    assert!(answered > 3_000 && smaller > 3_000 && none > 50_000, "{answered} {smaller} {none}");
}

/// Food, packs, minutes in pints and in quarts, canner, bands, and psi by band.
type Reading = (FoodId, String, Option<u32>, Option<u32>, Method, String, String);

#[test]
fn a_second_reading_from_other_pages_finds_the_same_processes() {
    let text = include_str!("../../../fixtures/process_grid/second_reading.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut compared = 0;
    for row in reader.deserialize() {
        let (reading, row): (String, Reading) = row.unwrap();
        let (food, packs, pints, quarts, method, bands, psi) = row;
        let mut pressures = psi.split_whitespace();
        for band in bands.split_whitespace() {
            let (from, to) = band.split_once('-').unwrap();
            let psi = pressures.next().map(|psi| Pressure::from_psi(psi.parse().unwrap()));
            for pack in packs.split(" and ") {
                for (size, minutes) in [(JarSize::Pint, pints), (JarSize::Quart, quarts)] {
                    for feet in [from, to] {
                        let question = ProcessQuestion {
                            food: food.clone(),
                            pack: pack.parse().unwrap(),
                            size,
                            method,
                            altitude: Altitude::from_feet(feet.parse().unwrap()),
                        };
                        let Some(minutes) = minutes else { continue };
                        let options = look_up(&question, &[]).options;
                        let found = options.iter().any(|one| one.minutes == minutes && one.psi == psi);
                        assert!(found, "{reading}: {question:?}: {options:?}");
                        compared += 1;
                    }
                }
            }
        }
    }
    // Every line's packs, jars and bands at both ends, counted apart from this test.
    assert_eq!(compared, 768);
}

/// Saturation temperature of water at an absolute pressure, in °F.
///
/// IAPWS-IF97, region 4, the backward equation with its ten coefficients.
fn saturation_fahrenheit(psia: f64) -> f64 {
    const N: [f64; 10] = [
        0.116_705_214_527_67e4,
        -0.724_213_167_032_06e6,
        -0.170_738_469_400_92e2,
        0.120_208_247_024_70e5,
        -0.323_255_503_223_33e7,
        0.149_151_086_135_30e2,
        -0.482_326_573_615_91e4,
        0.405_113_405_420_57e6,
        -0.238_555_575_678_49,
        0.650_175_348_447_98e3,
    ];
    let megapascals = psia * 6_894.757_293_168 / 1e6;
    let beta = megapascals.powf(0.25);
    let e = beta * beta + N[2] * beta + N[5];
    let f = N[0] * beta * beta + N[3] * beta + N[6];
    let g = N[1] * beta * beta + N[4] * beta + N[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let kelvin = (N[9] + d - ((N[9] + d).powi(2) - 4.0 * (N[8] + N[9] * d)).sqrt()) / 2.0;
    kelvin * 1.8 - 459.67
}

/// Altitude in feet, air pressure in psia, boiling point in °F, gauge psi for 240 °F.
fn physics() -> Vec<(i64, f64, f64, f64)> {
    csv::Reader::from_reader(include_str!("../../../fixtures/physics.csv").as_bytes())
        .into_deserialize()
        .collect::<Result<_, _>>()
        .unwrap()
}

#[test]
fn the_steam_equation_of_this_test_is_the_one_that_made_the_fixture() {
    for (feet, psia, boiling_f, gauge_for_240) in physics() {
        assert!((saturation_fahrenheit(psia) - boiling_f).abs() < 0.02, "{feet} ft");
        assert!((saturation_fahrenheit(psia + gauge_for_240) - 240.0).abs() < 0.02, "{feet} ft");
    }
}

#[test]
fn the_air_thins_as_the_standard_atmosphere_says() {
    // US Standard Atmosphere 1976: 101,325 Pa at sea level and a lapse of 6.5 K a kilometre from 288.15 K.
    let exponent = 9.806_65 * 0.028_964_4 / (8.314_32 * 0.006_5);
    for (feet, psia, ..) in physics() {
        let metres = feet as f64 * 0.3048;
        let pascals = 101_325.0 * (1.0 - 0.006_5 * metres / 288.15_f64).powf(exponent);
        assert!((pascals / 6_894.757_293_168 - psia).abs() < 0.000_6, "{feet} ft");
    }
    assert_eq!(physics()[0], (0, 14.696, 211.95, 10.289));
    assert_eq!(physics()[10], (10_000, 10.106, 193.66, 14.878));
}

#[test]
fn every_low_acid_dial_pressure_gives_at_least_238_degrees_at_the_top_of_its_band() {
    // A second witness only: the published pressures stand, whatever this says. Rows whose band
    // has no end, and weights, which have no figure between 10 and 15 psi, are not asked.
    let mut asked = 0;
    for row in processes::all().iter().filter(|row| row.method == Method::PressureDial) {
        if foods::get(&row.food).unwrap().acidity != Acidity::LowAcid {
            continue;
        }
        let top = row.altitude_max_ft.unwrap();
        let (_, air, ..) = physics().into_iter().find(|&(feet, ..)| feet == top).unwrap();
        let fahrenheit = saturation_fahrenheit(air + row.psi.unwrap() as f64);
        assert!(fahrenheit >= 238.0, "{row:?}: {fahrenheit:.1}");
        asked += 1;
    }
    // Counted over the dial-gauge tables of Guides 2 to 5: low-acid foods and mixtures.
    assert_eq!(asked, 376);
}
