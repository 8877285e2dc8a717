//! What is said beside the figures: of steam canners, of jars no table lists, and of places below sea level.

use crate::rules::process::*;
use crate::tables::processes;
use crate::values::kinds::method::Acidity;

fn rows(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect()
}

fn question(food: &str, size: JarSize, method: Method, feet: i64) -> ProcessQuestion {
    let altitude = Altitude::from_feet(feet);
    ProcessQuestion { food: food.parse().unwrap(), pack: Pack::Hot, size, method, altitude }
}

fn only(question: &ProcessQuestion) -> TestedProcess {
    let [option] = &look_up(question, &[]).options[..] else { panic!("{question:?}") };
    option.clone()
}

/// The note that has a word in it, which must be among the conditions too, so that a verdict tells it.
fn note(process: &TestedProcess, word: &str) -> String {
    let note = process.notes.iter().find(|note| note.contains(word)).unwrap();
    assert!(process.conditions.iter().any(|one| one.note == *note), "{note}");
    note.clone()
}

// AIB 539 (2015), Guide 6, Quick Fresh-Pack Dill Pickles and Sauerkraut: ingredients and yield.
#[test]
fn what_a_tested_recipe_takes_and_makes_stands_beside_its_process() {
    for (food, size, takes) in [
        ("dill-pickles-fresh-pack", JarSize::Pint, "8 lb of pickling cucumbers and makes 7 to 9 pints"),
        ("sauerkraut", JarSize::Quart, "25 lb of cabbage and makes 9 quarts"),
    ] {
        let pack = |pack| ProcessQuestion { pack, ..question(food, size, Method::BoilingWater, 500) };
        let options = Pack::ALL.iter().flat_map(|&one| look_up(&pack(one), &[]).options);
        let notes: Vec<String> = options.flat_map(|process| process.notes).collect();
        assert!(notes.contains(&format!("One tested recipe takes {takes}.")), "{notes:?}");
    }
}

// `fixtures/process_grid/steam_canner.csv`.
#[test]
fn a_steam_canner_is_told_of_as_the_universities_do() {
    let figures = rows(include_str!("../../../fixtures/process_grid/steam_canner.csv"));
    let longest: Vec<u32> = figures
        .iter()
        .filter(|row| &row[0] == "longest-process")
        .map(|row| row[1].parse().unwrap())
        .collect();
    let said = note(&only(&question("peaches", JarSize::Pint, Method::Steam, 500)), "plume");
    for row in figures.iter().filter(|row| row[0].starts_with("steam") || row[0].starts_with("plume")) {
        assert!(said.split_whitespace().any(|word| word == &row[1]), "{row:?}: {said}");
        assert!(said.contains(&row[3]), "{row:?}: {said}");
    }
    assert!(said.contains("No page gives a temperature by altitude"), "{said}");
    // Acid and acidified food whose minutes in boiling water, altitude included, are that many or fewer; no other.
    let mut both = [0, 0];
    for row in processes::all().iter().filter(|row| row.method == Method::BoilingWater) {
        let feet = row.altitude_min_ft.max(1);
        let asked =
            ProcessQuestion { pack: row.pack, ..question(row.food.as_str(), row.size, Method::Steam, feet) };
        let is_short = longest.iter().all(|&longest| row.minutes <= longest);
        assert_eq!(!look_up(&asked, &[]).options.is_empty(), is_short, "{row:?}");
        both[usize::from(is_short)] += 1;
    }
    assert!(both.iter().all(|&count| count > 50), "{both:?}");
    for food in foods::all().filter(|food| food.acidity == Acidity::LowAcid) {
        for pack in Pack::ALL {
            let asked = ProcessQuestion {
                pack: *pack,
                ..question(food.id.as_str(), JarSize::Pint, Method::Steam, 500)
            };
            assert!(look_up(&asked, &[]).options.is_empty(), "{}", food.id);
        }
    }
}

// `fixtures/process_grid/smaller_jars.csv`. Sauerkraut is listed in pints and quarts, jam in half-pints and pints (USDA AIB
// 539, Guides 6 and 7).
#[test]
fn a_jar_no_table_lists_takes_the_next_larger_listed_one_and_says_whose_word_that_is() {
    let rule = rows(include_str!("../../../fixtures/process_grid/smaller_jars.csv"));
    let smaller = |jar: &str| {
        if matches!(jar, "quarter-pint" | "three-quarter-pint") { "jam-jelly" } else { "sauerkraut" }
    };
    for row in &rule {
        let (jar, takes): (JarSize, JarSize) = (row[0].parse().unwrap(), row[1].parse().unwrap());
        let food = smaller(&row[0]);
        let process = only(&question(food, jar, Method::BoilingWater, 500));
        assert_eq!(process.as_jar, Some(takes), "{row:?}");
        let listed = only(&question(food, takes, Method::BoilingWater, 500));
        assert_eq!((process.minutes, listed.as_jar), (listed.minutes, None), "{row:?}");
        let said = note(&process, "next larger jar");
        assert!(said.contains(&row[2]) && said.contains(takes.plural()), "{row:?}: {said}");
    }
    // Nothing larger than the largest listed jar: jam has no quart to stand for 24 ounces.
    assert!(
        look_up(&question("jam-jelly", JarSize::PintAndHalf, Method::BoilingWater, 500), &[])
            .options
            .is_empty()
    );
}

// No page speaks of places below sea level; that their boiling water is the hotter is our own inference, no source.
#[test]
fn below_sea_level_the_time_of_sea_level_is_shown_and_said_to_have_no_page() {
    for method in [Method::BoilingWater, Method::PressureDial] {
        let below = only(&question("peaches", JarSize::Pint, method, -1));
        let at = only(&question("peaches", JarSize::Pint, method, 0));
        assert_eq!((below.minutes, below.psi), (at.minutes, at.psi));
        let said = note(&below, "sea level");
        assert!(said.contains("No page speaks of places below it"), "{said}");
        assert!(!at.notes.contains(&said));
    }
}
