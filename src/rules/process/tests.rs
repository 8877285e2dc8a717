//! Single questions: facts of the trade, whole pairs, and what an absence says.

use crate::rules::process::*;
use crate::values::kinds::basis::Basis;
use crate::values::measures::pressure::Pressure;

fn ask(food: &str, pack: Pack, size: JarSize, method: Method, altitude: &str) -> Answer {
    let question = ProcessQuestion {
        food: food.parse().unwrap(),
        pack,
        size,
        method,
        altitude: altitude.parse().unwrap(),
    };
    look_up(&question, &[])
}

fn pairs(answer: &Answer) -> Vec<(u32, Option<Pressure>)> {
    answer.options.iter().map(|process| (process.minutes, process.psi)).collect()
}

const fn psi(psi: i64) -> Option<Pressure> {
    Some(Pressure::from_psi(psi))
}

use JarSize::{HalfPint, Pint, Quart};
use Method::{BoilingWater, PressureDial, PressureWeighted};
use Pack::{Hot, Raw};

#[test]
fn the_facts_every_canner_knows_are_answered() {
    // Common practice, no source: dried beans 75 minutes in pints and 90 in quarts; 10 psi by
    // weight up to 1,000 ft; vent 10 minutes; 1 in of headspace for low-acid food.
    for (size, minutes) in [(Pint, 75), (Quart, 90)] {
        let answer = ask("beans-peas-dried-shelled", Hot, size, PressureWeighted, "1000ft");
        assert_eq!(pairs(&answer), [(minutes, psi(10))]);
        assert_eq!(answer.options[0].vent_min, 10);
        assert_eq!(answer.options[0].headspace_in, 1.0);
        assert_eq!(answer.none_because, None);
    }
    let pint = ask("pears", Hot, Pint, BoilingWater, "0ft");
    assert_eq!((pint.options[0].vent_min, pint.options[0].psi), (0, None));
}

#[test]
fn low_acid_pressures_step_up_where_the_guide_says() {
    // PNW 421: by weight 10 psi to 1,000 ft and 15 above; by dial 11, 12, 13 and 14 psi, each 2,000 ft.
    let at = |method, altitude: &str| pairs(&ask("green-beans", Raw, Pint, method, altitude))[0].1;
    for (altitude, owed) in [("1000ft", 10), ("1001ft", 15), ("304m", 10), ("305m", 15)] {
        assert_eq!(at(PressureWeighted, altitude), psi(owed), "{altitude}");
    }
    for (altitude, owed) in [
        ("0ft", 11),
        ("2000ft", 11),
        ("2001ft", 12),
        ("4000ft", 12),
        ("4001ft", 13),
        ("6000ft", 13),
        ("6001ft", 14),
        ("8000ft", 14),
        // 609.6 m = 2,000 ft and 2,438.4 m = 8,000 ft, by hand.
        ("609m", 11),
        ("610m", 12),
        ("2438m", 14),
    ] {
        assert_eq!(at(PressureDial, altitude), psi(owed), "{altitude}");
    }
}

#[test]
fn tomato_options_stay_whole_pairs() {
    // AIB 539, Guide 3, whole tomatoes in water, hot, pints by weight: 15 min at 5 psi, 10 at 10, 1 at 15
    // (the last from memory); above 1,000 ft 10 and 15 psi, and nothing at more.
    let low = ask("tomatoes-whole-water", Hot, Pint, PressureWeighted, "1000ft");
    assert_eq!(pairs(&low), [(15, psi(5)), (10, psi(10)), (1, psi(15))]);
    assert_eq!(low.options[2].basis, Basis::Reprint);
    assert!(low.detail.contains("one whole pair"), "{}", low.detail);
    let high = ask("tomatoes-whole-water", Hot, Pint, PressureWeighted, "1001ft");
    assert_eq!(pairs(&high), [(15, psi(10)), (10, psi(15))]);
}

#[test]
fn a_row_from_memory_says_so_first() {
    let answer = ask("fish", Raw, Quart, PressureDial, "0ft");
    assert_eq!(answer.options[0].basis, Basis::Memory);
    assert_eq!(answer.options[0].notes[0], "not seen in print: ask your extension service");
    assert!(answer.options[0].notes[1].contains("longer way of venting"));
    assert!(ask("beets", Hot, Pint, PressureDial, "0ft").options[0].notes.is_empty());
}

#[test]
fn tomatoes_are_answered_with_their_acid_and_pickles_with_their_recipe() {
    let tomatoes = ask("tomato-juice", Hot, Quart, BoilingWater, "0ft");
    assert!(tomatoes.options[0].needs_acid);
    assert_eq!(tomatoes.options[0].acid.len(), 3);
    assert_eq!(tomatoes.options[0].acid[0].amount.to_string(), "2 tablespoons");
    let pickles = ask("pickled-beets", Hot, Pint, BoilingWater, "0ft");
    assert!(pickles.options[0].acid.is_empty());
    assert!(pickles.options[0].notes[0].contains("acid of the tested recipe"));
    assert!(ask("beets", Hot, Pint, PressureDial, "0ft").options[0].acid.is_empty());
}

#[test]
fn above_8000_feet_boiling_water_carries_a_caution() {
    let caution = |altitude| {
        let answer = ask("pears", Hot, Pint, BoilingWater, altitude);
        answer.options[0].notes.iter().any(|note| note.contains("8,001 to 10,000 ft"))
    };
    assert!(!caution("8000ft"));
    assert!(caution("8001ft"));
}

#[test]
fn a_bean_and_meat_dish_has_no_process_in_quarts_and_pints_are_offered() {
    // Common practice, no source: there is no tested process for it in quarts.
    let answer = ask("chile-con-carne", Hot, Quart, PressureWeighted, "0ft");
    assert_eq!(answer.none_because, Some(NoneBecause::Jar));
    assert_eq!(
        answer.detail,
        "Chile con carne has no tested process in quarts: a smaller jar may take the process of a larger one listed, \
         never the other way round, and no time is scaled. Tested instead: pints, hot pack, in a weighted-gauge pressure canner."
    );
    assert_eq!(answer.tested_instead[0], Alternative { pack: Hot, size: Pint, method: PressureWeighted });
}

#[test]
fn an_absence_names_the_part_of_the_question_that_has_no_process() {
    let because = |answer: Answer| answer.none_because.unwrap_or_else(|| panic!("{answer:?}"));
    assert_eq!(because(ask("turnips", Hot, Pint, PressureDial, "0ft")), NoneBecause::Food);
    assert_eq!(because(ask("green-beans", Raw, Quart, BoilingWater, "0ft")), NoneBecause::Method);
    assert_eq!(because(ask("dilly-beans", Raw, Pint, PressureDial, "0ft")), NoneBecause::Method);
    assert_eq!(
        because(ask("green-beans", Raw, JarSize::HalfGallon, PressureDial, "0ft")),
        NoneBecause::Never
    );
    assert_eq!(because(ask("mushrooms", Hot, Quart, PressureDial, "0ft")), NoneBecause::Jar);
    assert_eq!(because(ask("beets", Raw, Pint, PressureDial, "0ft")), NoneBecause::Pack);
    assert_eq!(because(ask("beets", Hot, Pint, PressureDial, "8001ft")), NoneBecause::Altitude);
    assert_eq!(because(ask("beets", Hot, Pint, PressureDial, "2439m")), NoneBecause::Altitude);
    // Several parts fail at once: the kind of canner is the gravest, then the jar.
    assert_eq!(because(ask("green-beans", Raw, HalfPint, BoilingWater, "0ft")), NoneBecause::Method);
    assert_eq!(because(ask("chile-con-carne", Raw, Quart, PressureDial, "9000ft")), NoneBecause::Jar);
}

#[test]
fn an_unknown_food_is_answered_with_suggestions_and_never_with_a_process() {
    let answer = unknown_food("string beans");
    assert_eq!(answer.none_because, Some(NoneBecause::Food));
    assert_eq!(answer.all().count(), 0);
    assert_eq!(answer.suggestions, ["green-beans".parse().unwrap()]);
    assert_eq!(
        answer.detail,
        "\u{201c}string beans\u{201d} does not name one tested food. If one of these is meant, ask for it by its \
         key: green-beans (Beans, snap and Italian, pieces (green and wax))."
    );
    let nothing = ask("turnips", Hot, Pint, PressureDial, "0ft");
    assert!(nothing.suggestions.is_empty());
    assert!(nothing.detail.ends_with("ask your extension service before canning it."));
}

#[test]
fn low_acid_food_in_boiling_water_is_sent_to_a_pressure_canner() {
    let answer = ask("green-beans", Raw, Quart, BoilingWater, "500ft");
    assert_eq!(
        answer.detail,
        "Beans, snap and Italian, pieces (green and wax) is low-acid food: it has no process in a boiling-water \
         canner and needs a pressure canner. Tested instead: quarts, raw pack, in a dial-gauge pressure canner; \
         quarts, raw pack, in a weighted-gauge pressure canner."
    );
    let other = ask("dilly-beans", Raw, Pint, PressureDial, "0ft");
    assert!(other.detail.contains("no tested process in a dial-gauge pressure canner"), "{}", other.detail);
    assert!(other.detail.ends_with("Tested instead: pints, raw pack, in a boiling-water canner."));
}

#[test]
fn an_altitude_out_of_the_table_says_where_the_table_ends() {
    let above = ask("beets", Hot, Pint, PressureDial, "9000ft");
    assert_eq!(
        above.detail,
        "Beets, whole, cubed or sliced has no tested process at 9000ft: this table ends at 8000 ft. \
         Tested instead: pints, hot pack, in a weighted-gauge pressure canner."
    );
    let below = ask("beets", Hot, Pint, PressureDial, "-20m");
    // Our own inference, no page's: the row for sea level is at least as strong, and is never shortened.
    assert_eq!(pairs(&below), pairs(&ask("beets", Hot, Pint, PressureDial, "0ft")));
    assert!(below.options[0].notes.iter().any(|note| note.contains("No page speaks of places below it")));
}

#[test]
fn the_sentence_names_only_the_nearest_alternatives() {
    let answer = ask("beets", Raw, Pint, PressureDial, "0ft");
    assert_eq!(
        answer.detail,
        "Beets, whole, cubed or sliced has no tested process in pints packed raw. Tested instead: pints, hot pack, \
         in a dial-gauge pressure canner."
    );
    assert_eq!(answer.tested_instead.len(), 4);
}

#[test]
fn alternatives_are_those_of_the_altitude_asked_for_nearest_first() {
    let answer = ask("beets", Raw, Pint, PressureDial, "9000ft");
    assert_eq!(answer.none_because, Some(NoneBecause::Pack));
    assert_eq!(
        answer.tested_instead,
        [
            Alternative { pack: Hot, size: Pint, method: PressureWeighted },
            Alternative { pack: Hot, size: Quart, method: PressureWeighted },
        ]
    );
}

#[test]
fn a_process_is_written_as_other_programs_read_it() {
    let answer = ask("beets", Hot, Pint, PressureDial, "0ft");
    assert_eq!(
        serde_json::to_value(&answer).unwrap(),
        serde_json::json!({
            "options": [{
                "minutes": 30, "psi": 11, "vent_min": 10, "headspace_in": 1.0,
                "source": "USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 4, Vegetables and Vegetable Products",
                "basis": "reprint", "acid": [], "notes": []
            }],
            "household_options": [],
            "none_because": null,
            "detail": "One tested process.",
            "tested_instead": [],
            "suggestions": []
        })
    );
    let none = serde_json::to_value(ask("beets", Hot, JarSize::HalfGallon, PressureDial, "0ft")).unwrap();
    assert_eq!(none["none_because"], "never");
    assert_eq!(
        none["tested_instead"][0],
        serde_json::json!({"pack": "hot", "jar": "pint", "method": "pressure-dial"})
    );
}

// Penn State Extension, Canning with half-gallon jars: a tested process for apple juice and grape juice only.
#[test]
fn half_gallons_are_for_the_two_juices_only_and_the_answer_says_whose_word_that_is() {
    for food in foods::all() {
        for method in Method::ALL {
            let answer = ask(food.id.as_str(), Hot, JarSize::HalfGallon, *method, "0ft");
            let is_juice = ["apple-juice", "grape-juice"].contains(&food.id.as_str());
            assert_eq!(answer.none_because == Some(NoneBecause::Never), !is_juice, "{}: {answer:?}", food.id);
            let says = answer
                .detail
                .contains("half-gallons. Half-gallon jars have a tested process for apple juice")
                && answer.detail.contains("(Penn State Extension)");
            assert_eq!(says, !is_juice, "{}", answer.detail);
        }
    }
    // What is tested of the same food in other jars is said, and no other food.
    assert!(ask("pears", Hot, JarSize::HalfGallon, BoilingWater, "0ft").detail.ends_with(
        "Tested instead: pints, hot pack, in a boiling-water canner; quarts, hot pack, in a boiling-water canner."
    ));
}
