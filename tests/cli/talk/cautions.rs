//! The long cautions in full, once: every other snapshot names them.

use jarledger::rules::spoilage::cautions;

use crate::common::world::{CAUTIONS, with_cautions_named};

/// A text as it fills a screen of 80 columns.
fn filled(text: &str) -> String {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.last_mut().unwrap();
        if !last.is_empty() && last.chars().count() + 1 + word.chars().count() > 80 {
            lines.push(word.to_owned());
        } else {
            last.push_str(if last.is_empty() { "" } else { " " });
            last.push_str(word);
        }
    }
    lines.join("\n")
}

#[test]
fn the_long_cautions_say_this() {
    assert_eq!(CAUTIONS.len(), cautions::ALL.len());
    let texts: Vec<String> = CAUTIONS
        .iter()
        .zip(cautions::ALL)
        .map(|(name, one)| format!("[{name}]\n{}\n", filled(one.text)))
        .collect();
    insta::assert_snapshot!(texts.join("\n"), @"
    [caution: botulism]
    Low-acid and tomato food that was processed wrongly can contain botulism toxin
    with little or no sign. Never taste food to decide; treat every suspect jar as
    poisonous.

    [caution: symptoms]
    Double or blurred vision, drooping eyelids, slurred speech, trouble swallowing,
    a dry mouth, weak muscles or trouble breathing, from a few hours to 10 days
    after eating, may be botulism. Nausea, vomiting and cramps may come too.

    [caution: emergency]
    That is a medical emergency: call the emergency services or go to a hospital at
    once, do not wait, and say that home-canned food was eaten. Then tell the poison
    control center and the local health department, and keep what is left of the
    food, closed and labeled, for them.

    [caution: discard, still sealed]
    Still sealed, even if swollen: do not open it. Put the jar in a heavy bag, close
    the bag, put it in a second one and tape it, and put it in an outdoor bin out of
    reach of people and animals, or bury it. Pour none of it down a sink, a waste
    disposer or a toilet.

    [caution: discard, unsealed or open]
    Unsealed, open or leaking: wear gloves. Lay the jars with their lids on their
    sides in a pot of 8 quarts (7.6 L) or more, with water at least 1 in (2.5 cm)
    over them; cover, boil for 30 minutes, let it cool, and only then bag everything
    and put it in an outdoor bin or bury it.

    [caution: discard, acid food]
    Bag it and put it where neither people nor animals can eat it. If it is not
    certain that the food is acid, treat it as low-acid food.

    [caution: clean up]
    Wear gloves. Wet everything the jar or the food may have touched with 1 part of
    unscented household bleach (5 to 6 %) to 5 parts of water, leave it for 30
    minutes, wipe up with paper towels, bag them, wet again for 30 minutes and
    rinse. Throw away sponges and cloths, and wash your hands. (From memory: check
    with your extension service.)

    [caution: boiling before tasting]
    Boiling before tasting is for low-acid and tomato food, whenever any departure
    from the tested process is possible. It is never a rescue for a suspect jar:
    discard that one.

    [caution: best by]
    Best by is a matter of quality, not safety. Look every jar over before and on
    opening, whatever its date.

    [caution: failed load]
    Never taste food to decide: botulism toxin can be there with little or no sign.

    [caution: on record]
    A load that meets the tested process on record is no more than that: the record
    cannot see into the jar.

    [caution: process not on record]
    Where a jar's process is not on record, this ledger cannot tell whether it got a
    tested one. Unless you know that yourself, do not eat it.

    [caution: figures only]
    These are times, pressures and headspace only. Prepare, acidify, fill and vent
    as the publication says.

    [caution: storage]
    Jars keep best at 50 to 70 °F (10 to 21 °C), clean, dark and dry, without their
    bands, and never above 95 °F (35 °C) or beside pipes, a stove or in the sun.

    [caution: ask]
    This is a record, not advice. Your local extension service knows the processes,
    your health department the rules: where they say otherwise, they are right.

    [caution: local law]
    A gift is one thing: whether home-canned food may be sold or served to the
    public is a matter of local law. Ask your health department first.
    ");
}

#[test]
fn a_caution_is_named_only_where_it_stands_whole_in_lines_of_its_own() {
    let text = filled(cautions::ALL[0].text);
    let lines: Vec<&str> = text.lines().collect();
    let named = with_cautions_named(&format!("Opened.\n{text}\nThat is all.\n"));
    assert_eq!(named, format!("Opened.\n[{}]\nThat is all.\n", CAUTIONS[0]));
    for broken in [
        format!("{}\n", lines[1..].join("\n")),
        format!("{}\n", lines[..lines.len() - 1].join("\n")),
        format!("Note: {text}\n"),
        format!("{text} And more.\n"),
    ] {
        assert_eq!(with_cautions_named(&broken), broken);
    }
}
