//! Questions on a terminal: a pseudo-terminal with somebody at it.

use std::collections::BTreeSet;

use crate::common::readers;
use crate::common::world::World;

const ENTER: &str = "\r";
const ESC: &str = "\u{1b}";
const CTRL_C: &str = "\u{3}";

/// Runs a command at a terminal: each text waited for, and what is then typed.
fn at_terminal(world: &World, args: &[&str], dialogue: &[(&str, &str)]) -> Option<(i32, String)> {
    at_terminal_of(80, world, args, dialogue)
}

/// The same, at a terminal of so many columns.
fn at_terminal_of(
    columns: usize,
    world: &World,
    args: &[&str],
    dialogue: &[(&str, &str)],
) -> Option<(i32, String)> {
    let mut reader = readers::at_terminal(world, dialogue)?;
    reader.env("COLUMNS", columns.to_string()).args(args);
    let output = reader.output().unwrap();
    Some((output.status.code().unwrap(), String::from_utf8(output.stdout).unwrap()))
}

#[test]
fn a_batch_is_asked_for_fact_by_fact_and_reviewed() {
    let world = World::with_canners();
    let Some((code, shown)) = at_terminal(
        &world,
        &["putup", "--minutes", "20"],
        &[
            ("What is in the jars?", "Green beans\r"),
            ("Which food", "beans\r"),
            ("Which of these?", ENTER),
            ("Hot or raw pack?", ENTER),
            ("Which canner?", ENTER),
            ("How many jars", "pint:x\r"),
            ("a count is 1 to", "pint:10\r"),
            ("Load 1 (9 pints): Minutes of venting", "10\r"),
            ("Load 1 (9 pints): Lowest pressure", "11\r"),
            ("Load 1 (9 pints): Did the pressure", ENTER),
            ("Load 1 (9 pints): Lot of the lids", "B7\r"),
            ("Load 1 (9 pints): When did it come out?", "12:30\r"),
            ("Load 1 (9 pints): Did anything go wrong?", ENTER),
            // Back to the question before, and on again.
            ("Load 2 (1 pint): Minutes of venting", ESC),
            ("Load 1 (9 pints): Did anything go wrong?", "a lid buckled\r"),
            ("Load 2 (1 pint): Minutes of venting", "10\r"),
            ("Load 2 (1 pint): Lowest pressure", "11\r"),
            ("Load 2 (1 pint): Did the pressure", "13:40-13:41\r"),
            ("Load 2 (1 pint): Lot of the lids", "-\r"),
            ("Load 2 (1 pint): When did it come out?", ENTER),
            ("Load 2 (1 pint): Did anything go wrong?", ENTER),
            ("Where do the jars go?", "Cellar\r"),
            ("Load 2: Does not meet", ""),
            ("Save this batch?", "save\r"),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    // Every list says how one is taken, in words that fit on a narrow terminal.
    assert!(shown.contains("moves, Enter takes]") && !shown.contains("type to filter"), "{shown}");
    let batch = world.json_of("batch 26-001");
    let loads = &batch["loads"];
    assert_eq!((&batch["food"], &batch["pack"]), (&"green-beans".into(), &"hot".into()));
    assert_eq!((&loads[0]["minutes"], &loads[0]["vent_min"]), (&20.into(), &10.into()));
    assert_eq!(
        (&loads[0]["out_at"], &loads[0]["went_wrong"]),
        (&"2026-08-14T12:30:00Z".into(), &"a lid buckled".into())
    );
    assert_eq!(
        (&loads[0]["lid_lots"], &loads[1]["lid_lots"]),
        (&serde_json::json!(["B7"]), &serde_json::json!([]))
    );
    assert_eq!(
        (&loads[1]["out_at"], &loads[1]["drops"]),
        (&"2026-08-14T15:00:00Z".into(), &serde_json::json!(["13:40-13:41"]))
    );
    assert_eq!(batch["jars"][0]["place"], "Cellar");

    // The next time the canner, the lids and the place are offered; no measured fact is.
    let (code, shown) = at_terminal(
        &world,
        &["putup", "--product", "green BEANS", "--jars", "pint:1", "--minutes", "20"],
        &[
            ("Which food of the process tables? (green-beans)", ENTER),
            ("Hot or raw pack?", ENTER),
            ("Which canner?", ENTER),
            ("Minutes of venting", ENTER),
            ("Lowest pressure", ENTER),
            ("Did the pressure", ENTER),
            ("Lot of the lids", ENTER),
            ("When did it come out?", ENTER),
            ("Did anything go wrong?", ENTER),
            ("Where do the jars go? (Cellar)", ENTER),
            ("Save this batch?", ENTER),
        ],
    )
    .unwrap();
    assert_eq!(code, 0, "{shown}");
    let load = &world.json_of("batch 26-002")["loads"][0];
    assert_eq!((&load["vent_min"], &load["psi"]), (&serde_json::Value::Null, &serde_json::Value::Null));
    assert_eq!(load["verdict"], "not-recorded");
}

#[test]
fn times_that_cannot_be_are_asked_for_again() {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    let pears = "putup --product Pears --food pears --pack hot --canner Kettle --place Cellar --reached";
    let with = |times: &str| format!("{pears} {times}").split(' ').map(str::to_owned).collect::<Vec<_>>();
    let line = with("10:00 --ended 10:25");
    let args: Vec<&str> = line.iter().map(String::as_str).collect();
    let Some((code, shown)) = at_terminal(
        &world,
        &args,
        &[
            ("How many jars", "pint:2\r"),
            ("Minutes at", "30\r"),
            ("30 min is more than the 25 min", "25\r"),
            ("Did the boil", "12:00-12:05\r"),
            ("lies outside the run", ENTER),
            ("Lot of the lids", ENTER),
            ("When did it come out?", "10:15\r"),
            ("out 10:15 is not after ended 10:25", "10:40\r"),
            ("Did anything go wrong?", ENTER),
            ("Save this batch?", ENTER),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert_eq!(world.json_of("batch 26-001")["loads"][0]["minutes"], 25);
    // What the flags say cannot be answered away.
    let line = with("10:30 --ended 10:00");
    let args: Vec<&str> = line.iter().map(String::as_str).collect();
    let (code, shown) =
        at_terminal(&world, &args, &[("ended 10:00 is not after reached 10:30", "")]).unwrap();
    assert_eq!(code, 2, "{shown}");
}

#[test]
fn breaking_off_saves_nothing() {
    let world = World::with_canners();
    let before = std::fs::read(world.ledger()).unwrap();
    let pears = ["putup", "--product", "Pears", "--food", "pears", "--pack", "hot", "--canner", "Kettle"];
    for dialogue in [
        &[("How many jars", CTRL_C)][..],
        &[
            ("How many jars", "pint:2\r"),
            ("Minutes at", "20\r"),
            ("Did the boil", ENTER),
            ("Lot of the lids", ENTER),
            ("When did it come out?", ENTER),
            ("Did anything go wrong?", ENTER),
            ("Where do the jars go?", ENTER),
            ("Save this batch?", "leave\r"),
        ],
    ] {
        let Some((code, shown)) = at_terminal(&world, &pears, dialogue) else { return };
        assert_eq!(code, 130, "{shown}");
        assert!(shown.contains("interrupted; nothing was saved"), "{shown}");
        assert!(std::fs::read(world.ledger()).unwrap() == before);
    }
}

// USDA AIB 539, Guide 4, Beans, snap and Italian: raw pack, pints, weighted gauge to 1,000 ft, 20 min at 10 psi.
#[test]
fn what_looks_mistyped_is_asked_again_and_the_verdict_is_shown_before_saving() {
    let world = World::with_canners();
    world.ok(&["canner", "add", "Weights", "--method", "pressure-weighted", "--holds", "pint:9"]);
    let args = ["putup", "--product", "Green beans", "--food", "green-beans", "--pack", "raw", "--canner"];
    let Some((code, shown)) = at_terminal(
        &world,
        &[&args[..], &["Weights", "--place", "Cellar", "--lid-lot", "B7"]].concat(),
        &[
            ("How many jars", "pint:7\r"),
            ("Minutes of venting", "100\r"),
            ("100 min is far from the 10 min required", "10\r"),
            ("Which weight was on it?", "60\r"),
            ("30 psi", "25\r"),
            ("25 psi cannot be: a weighted gauge holds 5, 10 or 15 psi", "11\r"),
            ("11 psi is not a weight", "10\r"),
            ("Minutes at pressure", "2\r"),
            // Typed twice it stands.
            ("2 min is far from the 20 min required", ENTER),
            ("Did the pressure drop?", "no\r"),
            ("When did it come out?", ENTER),
            ("Did anything go wrong?", "no\r"),
            ("Does not meet the tested process", ""),
            ("2 min unbroken at pressure; 20 min is required", ""),
            // The cursor is not on saving it, and then on what fell short.
            ("Save this batch?", ENTER),
            ("Which answer?", ENTER),
            ("Minutes at pressure", "20\r"),
            ("Meets the tested process", ""),
            ("Save this batch?", ENTER),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    let load = &world.json_of("batch 26-001")["loads"][0];
    assert_eq!((&load["minutes"], &load["psi"]), (&20.into(), &10.into()));
    assert_eq!((&load["verdict"], &load["went_wrong"]), (&"meets".into(), &serde_json::Value::Null));
    let line = "putup --product Beans --food green-beans --pack raw --jars pint:7 --canner Weights --minutes 20 --pressure 25";
    let refused = world.line(line);
    assert!(refused.code == 2 && refused.err.contains("25 psi cannot be"), "{refused}");
}

#[test]
fn a_batch_begins_as_the_last_one_and_its_seals_are_asked_for_at_once_after_12_hours() {
    let mut world = World::with_canners();
    world.on("2026-08-01T12:00").json_of(
        "putup --product Green_beans --food green-beans --pack raw --jars pint:7 --canner Big_dial --minutes 20 \
         --pressure 11 --vent 10 --place Cellar --lid-lot B7",
    );
    let asked = [
        ("How many jars of each size? (pint:7)", ENTER),
        ("Minutes of venting", "10\r"),
        ("Lowest pressure", "11\r"),
        ("Minutes at pressure", "20\r"),
        ("Did the pressure drop?", ENTER),
        ("Lot of the lids (B7)", ENTER),
        // 15:00 now: 12 hours later than 03:00, by hand.
        ("When did it come out?", "03:00\r"),
        ("Did anything go wrong?", ENTER),
        ("Save this batch?", ENTER),
    ];
    let again = ["putup", "--again", "beans"];
    let sealed = [&asked[..], &[("Did the jars seal?", "all\r")]].concat();
    let Some((code, shown)) = at_terminal(&world, &again, &sealed) else { return };
    assert_eq!(code, 0, "{shown}");
    let batch = world.json_of("batch 26-002");
    assert_eq!((&batch["product"], &batch["pack"]), (&"Green beans".into(), &"raw".into()));
    assert_eq!(
        (&batch["jars"][6]["place"], &batch["jars"][6]["state"]),
        (&"Cellar".into(), &"sealed".into())
    );
    // Ctrl-C at the seals leaves the batch saved, and says so.
    let left = [&asked[..], &[("Did the jars seal?", CTRL_C)]].concat();
    let (code, shown) = at_terminal(&world, &again, &left).unwrap();
    assert!(
        code == 0 && shown.contains("Batch 26-003 is saved.") && !shown.contains("nothing was saved"),
        "{shown}"
    );
    assert_eq!(world.json_of("batch 26-003")["jars"][6]["state"], "cooling");
    // A minute less than 12 hours, and it is too early to ask.
    let mut early = asked;
    early[6].1 = "03:01\r";
    let (code, shown) = at_terminal(&world, &again, &early).unwrap();
    assert!(code == 0 && !shown.contains("Did the jars seal?"), "{shown}");
    let unknown = world.run(&["putup", "--again", "plums"]);
    assert!(unknown.code == 3 && unknown.err.contains("no product plums"), "{unknown}");
}

#[test]
fn a_line_of_a_count_that_cannot_be_read_is_named_as_it_is_typed() {
    let mut world = World::with_canners();
    world.on("2026-08-13T01:00");
    world.json_of("putup --product Peach_halves --food peaches --pack hot --jars quart:7 --canner Kettle --minutes 25 --place Cellar");
    let Some((code, shown)) = at_terminal(
        &world,
        &["count", "cellar"],
        &[
            ("Ctrl-D ends the", "hello\r"),
            ("Not counted:", ""),
            ("Type it again.", "5 qt peach halves\r"),
            ("halves", "2 quart peaches\r"),
            ("peaches", "\u{4}"),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert!(
        shown.contains("Peach halves (quart): 7 counted")
            || shown.contains("peach halves (quart): 7 counted"),
        "{shown}"
    );
}

#[test]
fn a_seal_check_asks_which_jars_failed() {
    let mut world = World::with_canners();
    world.on("2026-08-13T15:00");
    world.json_of("putup --product Pears --food pears --pack hot --jars pint:3 --canner Kettle --minutes 20");
    let Some((code, shown)) =
        at_terminal(&world, &["seal"], &[("Which jars?", "26-001\r"), ("did not seal?", "2\r")])
    else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert_eq!(world.json_of("batch 26-001")["jars"][1]["state"], "unsealed");
}

/// Every command that needs facts, and what it asks first when it is given none.
const ASKING: &[(&str, &str)] = &[
    ("setup", "How high is the kitchen"),
    ("canner add", "What do you call the canner?"),
    ("process", "Which food?"),
    ("process add", "Which food?"),
    ("plan", "What will it be?"),
    ("putup", "What is in the jars?"),
    ("recipe add", "What is the recipe called?"),
    ("run begin", "Which canner?"),
    ("seal", "Which jars?"),
    ("label", "Which jars?"),
    ("jar", "Which jars?"),
    ("correct", "Which record is wrong?"),
    ("correct batch", "Which batch?"),
    ("correct load", "Which load?"),
    ("correct jar", "Which jar?"),
    ("hold", "Which jars?"),
    ("release", "Which jars?"),
    ("gauge", "Which canner's gauge?"),
    ("trace", "Which jar, batch or load?"),
    ("open", "Which jars?"),
    ("finish", "Which jars?"),
    ("discard", "Which jars?"),
    ("give", "Which jars?"),
    ("move", "Which jars?"),
    ("missing", "Which jars?"),
    ("chill", "Which jars?"),
    ("freeze", "Which jars?"),
    ("count", "Which place?"),
    ("report", "Into which file?"),
    ("calendar", "Into which file?"),
    ("completions", "For which shell?"),
    ("import", "Which file?"),
    ("export", "Into which new folder?"),
    ("restore", "Which backup?"),
];

/// Commands about one thing that they cannot do without.
const NEEDING_A_NAME: &[&str] = &["recipe edit", "recipe remove"];

/// Commands that can do their work without being told anything.
const NEEDING_NOTHING: &[&str] = &[
    "canner",
    "canner list",
    "batch",
    "shelf",
    "eat",
    "undo",
    "history",
    "season",
    "demo",
    "man",
    "check",
    "doctor",
    "backup",
    "run",
    "run show",
    "run back",
    "run abandon",
    "run step",
    "recipe",
    "recipe list",
    "serve",
    "serve pair",
    "serve phones",
];

#[test]
fn every_command_that_needs_facts_asks_for_them_and_can_be_left() {
    let world = World::with_canners();
    world.json_of("putup --product Pears --food pears --pack hot --jars pint:3 --canner Kettle --minutes 20");
    let before = std::fs::read(world.ledger()).unwrap();
    for (command, question) in ASKING {
        let args: Vec<&str> = command.split(' ').collect();
        let Some((code, shown)) = at_terminal(&world, &args, &[(question, CTRL_C)]) else { return };
        assert_eq!(code, 130, "{command}: {shown}");
        assert!(shown.contains("nothing was saved"), "{command}: {shown}");
        assert!(std::fs::read(world.ledger()).unwrap() == before, "{command} wrote something");
    }
}

#[test]
fn where_there_is_nobody_to_ask_the_missing_fact_is_named() {
    let world = World::with_canners();
    for (command, _) in ASKING {
        let args: Vec<&str> = command.split(' ').collect();
        let ran = world.run(&args);
        assert_eq!(ran.code, 2, "{command}: {ran}");
        assert!(ran.err.contains("error: ") && ran.err.contains("hint: "), "{command}: {ran}");
    }
}

#[test]
fn no_command_is_forgotten() {
    fn walk(command: &clap::Command, path: &str, found: &mut BTreeSet<String>) {
        for sub in command.get_subcommands() {
            let path = format!("{path} {}", sub.get_name()).trim_start().to_owned();
            walk(sub, &path, found);
            found.insert(path);
        }
    }
    let mut found = BTreeSet::new();
    walk(&jarledger::cli::command(), "", &mut found);
    let known: BTreeSet<String> = ASKING
        .iter()
        .map(|(command, _)| command)
        .chain(NEEDING_NOTHING)
        .chain(NEEDING_A_NAME)
        .map(ToString::to_string)
        .collect();
    assert_eq!(found, known);
}

/// Two batches of three pints of pears, sealed, the first put up a month before the second.
fn with_pears() -> World {
    let mut world = World::with_canners();
    for day in ["2026-07-10", "2026-08-10"] {
        world.on(&format!("{day}T15:00"));
        world.json_of("putup --product Pears --food pears --pack hot --jars pint:3 --canner Kettle --minutes 20 --place Cellar");
    }
    world.on("2026-08-11T10:00");
    world.json_of("seal 26-001 26-002 --sealed");
    world
}

#[test]
fn errors_keep_to_a_narrow_terminal_and_in_json_to_one_line() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal_of(40, &world, &["open", "26-001-09-4"], &[]) else { return };
    assert_eq!(code, 3, "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 40), "{shown}");
    let whole = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let piped = world.run(&["open", "26-001-09-4"]).err;
    assert_eq!(whole, piped.split_whitespace().collect::<Vec<_>>().join(" "));
    assert!(piped.lines().any(|line| line.chars().count() > 40), "{piped}");
    let (_, shown) = at_terminal_of(40, &world, &["open", "26-001-09-4", "--json"], &[]).unwrap();
    let answer: serde_json::Value = serde_json::from_str(shown.trim()).unwrap();
    assert_eq!(answer["error"]["code"], "not-found");
}

#[test]
fn help_under_a_question_is_broken_between_words() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal_of(40, &world, &["import"], &[("a whole export", CTRL_C)]) else {
        return;
    };
    assert_eq!(code, 130, "{shown}");
    // By hand: one column of the 40 goes to each bracket.
    assert!(shown.contains("\n[A CSV with product, put_up and jar, or\na whole export]"), "{shown}");
}

const DOWN: &str = "\u{1b}[B";

#[test]
fn a_jar_to_open_is_picked_from_those_to_eat_first() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal(
        &world,
        &["open"],
        &[("26-001-01", "26-001-01-1\r"), ("does not fit", &format!("{DOWN}\r"))],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert_eq!(world.json_of("batch 26-001")["jars"][0]["state"], "opened");
    let typed_and_picked = format!("26-002 2 {DOWN}\r");
    let (code, shown) = at_terminal(&world, &["open"], &[("Which jars?", &typed_and_picked)]).unwrap();
    assert_eq!(code, 0, "{shown}");
    assert_eq!(world.json_of("batch 26-001")["jars"][1]["state"], "opened");
    assert_eq!(world.json_of("batch 26-002")["jars"][1]["state"], "opened");
}

#[test]
fn esc_goes_back_to_the_question_before_and_at_the_first_it_ends() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal(
        &world,
        &["discard"],
        &[
            ("Which jars?", "26-001 2\r"),
            ("Why?", ESC),
            // What was answered before is offered again.
            ("Which jars? (26-001 2)", "26-001 3\r"),
            ("Why?", "\r"),
            ("say why, in a few words", "s02\r"),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    let jars = &world.json_of("batch 26-001")["jars"];
    assert_eq!((&jars[1]["state"], &jars[2]["state"]), (&"sealed".into(), &"discarded".into()));
    let story = world.json_of("jar 26-001 3");
    let events = story["events"].as_array().unwrap();
    assert!(events.last().unwrap()["why"].as_str().unwrap().starts_with("S02: "), "{story}");
    let (code, shown) = at_terminal(&world, &["discard"], &[("Which jars?", ESC)]).unwrap();
    assert_eq!(code, 130, "{shown}");
}

#[test]
fn a_plan_is_asked_for_and_suggests_what_was_done_the_last_time() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal(
        &world,
        &["plan"],
        &[
            ("What will it be?", "pears\r"),
            ("Which jar?", ENTER),
            // The pack follows from the last time; the canner is chosen, the last one being under the cursor.
            ("Which canner?", ENTER),
            ("How many jars, or how much produce?", "many\r"),
            ("is not a weight", "14\r"),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("14 pints of pears, hot pack, Kettle at"), "{shown}");
}

#[test]
fn a_record_is_corrected_field_by_field() {
    let world = with_pears();
    let Some((code, shown)) = at_terminal(
        &world,
        &["correct"],
        &[
            ("Which record is wrong?", "26-001/1\r"),
            ("What is wrong in it?", "minutes\r"),
            ("What should it say?", "long\r"),
            ("write whole minutes", "25\r"),
            ("Why was the record wrong?", "misread the clock\r"),
        ],
    ) else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert_eq!(world.json_of("batch 26-001")["loads"][0]["minutes"], 25);
}

#[test]
fn a_kitchen_and_its_canner_are_asked_for() {
    let world = World::new();
    let Some((code, shown)) =
        at_terminal(&world, &["setup"], &[("How high", "850\r"), ("is not an altitude", "850ft\r")])
    else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    let canner = [
        ("What do you call", "Big dial\r"),
        ("Which kind", "weighted\r"),
        ("How many jars", "quart:7,pint:9\r"),
    ];
    let (code, shown) = at_terminal(&world, &["canner", "add"], &canner).unwrap();
    assert_eq!(code, 0, "{shown}");
    let canner = &world.json_of("canner list")["canners"][0];
    assert_eq!((&canner["name"], &canner["method"]), (&"Big dial".into(), &"pressure-weighted".into()));
    assert_eq!(canner["holds"], serde_json::json!({"pint": 9, "quart": 7}));
}

#[test]
fn words_that_may_be_several_foods_are_asked_about() {
    let world = World::at_500_ft();
    let Some((code, shown)) = at_terminal(&world, &["process", "apples"], &[("Which?", "\u{1b}[B\r")]) else {
        return;
    };
    assert!(code == 0 && shown.contains("Apples, sliced") && shown.contains("none of these"), "{shown}");
    assert!(shown.contains("Applesauce\r\n") || shown.contains("Applesauce\n"), "{shown}");
    let (code, shown) = at_terminal(&world, &["process", "banana", "bread"], &[]).unwrap();
    assert!(code == 0 && shown.contains("Do not can") && !shown.contains("Which?"), "{shown}");
}
