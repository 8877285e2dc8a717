//! Faults 24 to 27: files to import that are not as they should be, or come twice.

use std::fmt::Write as _;
use std::fs;

use serde_json::Value;

use crate::inject::{counted, skip};
use crate::lab::{Ended, Lab, ended};

const HEAD: &str = "product,put_up,jar,count,place\n";

fn import_with(lab: &Lab, bytes: &[u8], more: &[&str]) -> Ended {
    fs::write(lab.world.home().join("shelf.csv"), bytes).unwrap();
    let mut args = vec!["import", "shelf.csv"];
    args.extend(more);
    let ended = lab.run(&args);
    ended.assert_calm("import");
    ended
}

/// The file is refused with `words`, and nothing comes in.
fn refused(lab: &Lab, bytes: &[u8], words: &str) {
    let before = lab.contents();
    let ended = import_with(lab, bytes, &[]);
    assert_eq!(ended.code, Some(5), "{words}: {}{}", ended.out, ended.err);
    assert!(ended.err.contains(words), "{words}: {}", ended.err);
    assert!(ended.err.contains("nothing was imported"), "{words}: {}", ended.err);
    assert_eq!(lab.contents(), before, "{words}");
}

fn products(lab: &Lab) -> Vec<String> {
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let mut names: Vec<String> = answer["product"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["name"].as_str().unwrap().to_owned())
        .collect();
    names.sort();
    names
}

fn jars(lab: &Lab) -> usize {
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    answer["jar"].as_array().unwrap().iter().filter(|jar| jar["state"] != "void").count()
}

#[test]
fn fault_24_letters_are_read_by_their_mark_and_never_guessed() {
    let text = format!("{HEAD}Żurek,2026-01-05,pint,2,Cellar\r\nPêches 🍑,2026-01-06,quart,1,\r");
    let utf16 = |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(bytes).collect()
    };
    for bytes in [
        text.as_bytes().to_vec(),
        [&[0xef, 0xbb, 0xbf], text.as_bytes()].concat(),
        utf16(u16::to_le_bytes),
        utf16(u16::to_be_bytes),
    ] {
        let lab = Lab::new();
        let ended = import_with(&lab, &bytes, &[]);
        assert_eq!(ended.code, Some(0), "{}", ended.err);
        assert_eq!(products(&lab), ["Pêches 🍑", "Żurek"]);
    }
    let lab = Lab::new();
    let latin = b"product,put_up,jar\nP\xeaches,2026-01-06,quart\n";
    refused(
        &lab,
        latin,
        "line 2, byte 20 of the file is not part of utf-8 text (say how it is written with --encoding",
    );
    assert_eq!(import_with(&lab, latin, &["--encoding", "latin-1"]).code, Some(0));
    assert_eq!(products(&lab), ["Pêches"]);
    refused(&lab, b"product,put_up,jar\nPe\0ars,2026-01-06,quart\n", "line 2, byte 21 of the file is a NUL");
}

#[test]
fn fault_25_every_problem_of_a_files_shape_is_shown_with_its_line() {
    let lab = Lab::new();
    refused(&lab, b"", "the file is empty");
    refused(&lab, b"\n\n\n", "nothing but empty lines");
    refused(&lab, b"product,Product,put_up,jar\n", "columns 1 and 2 are both headed");
    refused(&lab, b"product,,put_up,jar\n", "column 2 has no heading");
    refused(
        &lab,
        b"product,put_up,jar,colour\n",
        "\u{201c}colour\u{201d} is an unknown column (--map colour=OURS takes it, --ignore colour",
    );
    refused(&lab, b"product,put_up\n", "there is no column jar");
    refused(
        &lab,
        b"product,put_up,jar\nPears,2026-01-05\n",
        "line 2, this line has 2 cells and the header has 3",
    );
    refused(&lab, b"product,put_up,jar\n\n\nPears,2026-01-05,pint,7\n", "line 4, this line has 4 cells");
    refused(
        &lab,
        b"product,put_up,jar\nPlums,2026-01-05,pint\n\"Pears,2026-01-05,pint\nX,2026-01-05,pint\n",
        "line 3, a quote that is opened here is never closed",
    );
    let long = [b"product,put_up,jar\nPears,2026-01-05,pint\n".to_vec(), vec![b'x'; 10 << 20]].concat();
    refused(&lab, &long, "line 3, a cell that begins here is longer than 65536 bytes");
    assert_eq!(jars(&lab), 0);
    let header_only = import_with(&lab, HEAD.as_bytes(), &[]);
    assert_eq!(header_only.code, Some(0), "{}", header_only.err);
    for text in [
        "jar;place;product;put_up\npint;Cellar;Pears;2026-01-05\n",
        "put_up\tjar\tproduct\r2026-01-05\tpint\tPears\r",
        "\"product\",\"put_up\",\"jar\"\n\"Pears, in\nsyrup\",2026-01-05,pint",
    ] {
        let lab = Lab::new();
        let ended = import_with(&lab, text.as_bytes(), &[]);
        assert_eq!((ended.code, jars(&lab)), (Some(0), 1), "{text}: {}", ended.err);
    }
}

#[test]
#[ignore = "a million rows"]
fn fault_25_a_million_rows_come_in_within_a_hundred_megabytes() {
    let lab = Lab::new();
    let mut text = "product,put_up,jar,place\n".to_owned();
    for row in 0..1_000_000_u32 {
        // As a shelf list is sorted: by place, so that like rows stand far apart.
        let (place, row) = (row / 250_000, row % 250_000);
        writeln!(text, "Product {},2026-01-{:02},pint,Shelf {place}", row % 97, row % 28 + 1).unwrap();
    }
    fs::write(lab.world.home().join("shelf.csv"), text).unwrap();
    let python = "import resource, subprocess, sys\n\
        code = subprocess.call(sys.argv[1:])\n\
        print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)\n\
        sys.exit(code)\n";
    let Ok(output) = lab.under(&["python3", "-c", python], &["import", "shelf.csv"]).output() else {
        return skip("memory (python3 is missing)");
    };
    let ended = ended(&output);
    assert_eq!(ended.code, Some(0), "{}", ended.err);
    let kib: usize = ended.out.lines().last().unwrap().parse().unwrap();
    assert!(kib < 100_000_000 / 1024, "{kib} KiB");
    assert_eq!(lab.run(&["check"]).code, Some(0));
    counted(kib, "KiB at most in memory with 1,000,000 rows");
}

#[test]
fn fault_25_all_rows_come_in_or_none_and_all_problems_are_shown_at_once() {
    let lab = Lab::new();
    let before = lab.contents();
    let mut text = HEAD.to_owned();
    for row in 0..300 {
        text.push_str(if row % 10 == 0 {
            "Pears,2026-02-30,gallon,0,\n"
        } else {
            "Pears,2026-02-03,pint,1,\n"
        });
    }
    let ended = import_with(&lab, text.as_bytes(), &[]);
    assert_eq!(ended.code, Some(5));
    assert_eq!(ended.err.matches("shelf.csv: line").count(), 20, "{}", ended.err);
    assert!(ended.err.contains("and 70 more"), "{}", ended.err);
    assert!(ended.err.contains("90 problems"), "{}", ended.err);
    assert_eq!(lab.contents(), before);
    let answer = import_with(&lab, text.as_bytes(), &["--json"]);
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    assert_eq!(answer["count"], 90);
    assert_eq!(answer["problems"].as_array().unwrap().len(), 90);
    assert_eq!(answer["problems"][1]["column"], "jar");
    assert_eq!(answer["problems"][1]["line"], 2);
}

#[test]
fn fault_26_values_are_refused_rather_than_guessed() {
    let lab = Lab::new();
    let row = |put_up: &str, jar: &str, count: &str| format!("{HEAD}Pears,{put_up},{jar},{count},\n");
    let readings = "it could be 2004-03-02 with --date-format dmy, or 2004-02-03 with --date-format mdy";
    for (text, words) in [
        (row("02/03/04", "pint", "1"), readings),
        (row("2024-02-30", "pint", "1"), "that is not a day on the calendar"),
        (row("29 Feb 2023", "pint", "1"), "write days as YYYY-MM-DD"),
        (row("0024-01-01", "pint", "1"), "the year is before 1950"),
        (row("2026-09-02", "pint", "1"), "that is after today, 2026-09-01"),
        (row("2026-01-01", "liter", "1"), "is not a jar size"),
        (row("2026-01-01", "pint", "\"1,5\""), "a count is a whole number"),
        (row("2026-01-01", "pint", "½"), "a count is a whole number"),
        (row("2026-01-01", "pint", "١٢"), "a count is a whole number"),
        (row("2026-01-01", "pint", "1e3"), "a count is a whole number"),
        (row("2026-01-01", "pint", "-1"), "a count is a whole number"),
        (row("2026-01-01", "pint", "99999999999999999999"), "a count is a whole number"),
        (format!("{HEAD} ,2026-01-01,pint,1,\n"), "product: this cell must not be empty"),
        (
            "product,put_up,jar,food\nBeans,2026-01-01,pint,green-bean\n".to_owned(),
            "did you mean green-beans",
        ),
        (
            "product,put_up,jar,best_by\nBeans,2026-01-01,pint,2025-01-01\n".to_owned(),
            "before the jar was put up",
        ),
        ("product,put_up,jar,pack\nBeans,2026-01-01,pint,cold\n".to_owned(), "is not a pack"),
    ] {
        refused(&lab, text.as_bytes(), words);
    }
    // Spaces around a value are not part of it, and a text of digits stays a text.
    let text = "product,put_up,jar,count,id\n 007 , 2026-01-01 , pint , 12 , 007 \n";
    assert_eq!(import_with(&lab, text.as_bytes(), &[]).code, Some(0));
    assert_eq!((products(&lab), jars(&lab)), (vec!["007".to_owned()], 12));
    let dotted = "product,put_up,jar\nPlums,2.3.2024,pint\n";
    assert_eq!(import_with(&lab, dotted.as_bytes(), &["--date-format", "dmy"]).code, Some(0));
    assert!(lab.run(&["export", "batch"]).out.contains("2024-03-02"));
}

#[test]
fn fault_27_a_file_imported_twice_brings_nothing_new() {
    let lab = Lab::new();
    let rows =
        ["Pears,2026-01-05,quart,7,Cellar", "Pears,2026-01-05,quart,7,Cellar", "Plums,2026-02-01,pint,3,"];
    let file = |rows: &[&str]| format!("{HEAD}{}\n", rows.join("\n"));
    let new = |text: &str, more: &[&str]| {
        let mut args = vec!["--json"];
        args.extend(more);
        let ended = import_with(&lab, text.as_bytes(), &args);
        assert_eq!(ended.code, Some(0), "{}", ended.err);
        let answer: Value = serde_json::from_str(&ended.out).unwrap();
        (answer["batches"].as_i64().unwrap(), answer["already"].as_i64().unwrap())
    };
    // What a dry run says is what then happens; the two like rows are two.
    let before = lab.contents();
    assert_eq!(new(&file(&rows), &["--dry-run"]), (3, 0));
    assert_eq!(lab.contents(), before);
    assert_eq!(new(&file(&rows), &[]), (3, 0));
    assert_eq!(jars(&lab), 17);
    let after = lab.contents();
    assert_eq!(new(&file(&rows), &[]), (0, 3));
    assert_eq!(new(&file(&[rows[2], rows[0], rows[1]]), &[]), (0, 3));
    assert_eq!(lab.contents(), after, "an import of nothing new leaves no entry");
    let more = [rows[0], "Figs,2026-03-01,pint,1,", rows[1], rows[2], rows[1], "Corn,2026-03-01,pint,1,"];
    assert_eq!(new(&file(&more), &["--dry-run"]), (3, 3));
    assert_eq!(new(&file(&more), &[]), (3, 3));
    // Taken back as one, it comes in again.
    lab.world.ok(&["undo"]);
    assert_eq!(jars(&lab), 17);
    assert_eq!(new(&file(&more), &[]), (3, 3));
    assert_eq!(lab.run(&["check"]).code, Some(0));
}

#[test]
fn fault_27_rows_of_one_lot_are_one_batch_wherever_they_stand() {
    let lab = Lab::new();
    let head = "product,put_up,jar,place,pack,note\n";
    let rows = [
        "Pears,2026-01-05,pint,Cellar,hot,",
        "Plums,2026-01-05,pint,Cellar,,",
        "Pears,2026-01-05,pint,Cellar,hot,lid dented",
        "Pears,2026-01-05,quart,Pantry,hot,",
        "Pears,2026-01-05,pint,Pantry,raw,",
        "Pears,2026-01-06,pint,Pantry,hot,",
        "Pears,2026-01-05,pint,Pantry,hot,",
    ];
    let text = format!("{head}{}\n", rows.join("\n"));
    let answer = import_with(&lab, text.as_bytes(), &["--json"]);
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    // Pears of the 5th packed hot; plums; pears packed raw; pears of the 6th.
    assert_eq!((&answer["batches"], &answer["jars"]), (&Value::from(4), &Value::from(7)), "{answer}");
    let whole: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let of = |batch: i64| -> Vec<(&str, &str, i64)> {
        let jars = whole["jar"].as_array().unwrap().iter().filter(|jar| jar["batch_id"] == batch);
        let place = |jar: &Value| {
            let places = whole["place"].as_array().unwrap();
            places.iter().find(|place| place["id"] == jar["place_id"]).unwrap()["name"].as_str().unwrap()
        };
        jars.map(|jar| (jar["size"].as_str().unwrap(), place(jar), jar["number"].as_i64().unwrap())).collect()
    };
    assert_eq!(
        of(1),
        [("pint", "Cellar", 1), ("pint", "Cellar", 2), ("quart", "Pantry", 3), ("pint", "Pantry", 4)]
    );
    assert_eq!(whole["jar"][2]["note"], "lid dented");
    // One jar that is bad leads to its sisters in the other place.
    let code = whole["jar"][0]["code"].as_str().unwrap();
    let traced: Value = serde_json::from_str(&lab.run(&["trace", code, "--json"]).out).unwrap();
    assert_eq!(traced["jars"].as_array().unwrap().len(), 4, "{traced}");
    // A later list of the same lot is an import of its own, and nothing comes in twice.
    let more = format!("{text}Pears,2026-01-05,pint,Attic,hot,\n");
    let answer = import_with(&lab, more.as_bytes(), &["--json"]);
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    assert_eq!(
        (&answer["already"], &answer["batches"], &answer["jars"]),
        (&7.into(), &1.into(), &1.into()),
        "{answer}"
    );
}

#[test]
fn fault_27_rows_with_a_count_are_one_lot_unless_they_are_alike_in_everything() {
    let lab = Lab::new();
    let rows = "Pears,2026-01-05,quart,7,Cellar\nPears,2026-01-05,quart,5,Pantry\n\
                Pears,2026-01-05,quart,7,Cellar\nPears,2026-01-05,pint,1,Pantry\n";
    let answer = import_with(&lab, format!("{HEAD}{rows}").as_bytes(), &["--json"]);
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    // Seven, five and the pint; the other seven.
    assert_eq!((&answer["batches"], &answer["jars"]), (&2.into(), &20.into()), "{answer}");
}

#[test]
fn fault_27_a_row_with_an_id_is_known_by_it() {
    let lab = Lab::new();
    let file = |note: &str| {
        format!(
            "product,put_up,jar,id,note\nPears,2026-01-05,quart,A1,{note}\nPears,2026-01-05,quart,A2,{note}\n"
        )
    };
    assert_eq!(import_with(&lab, file("one").as_bytes(), &[]).code, Some(0));
    assert_eq!(import_with(&lab, file("two").as_bytes(), &[]).code, Some(0));
    assert_eq!(jars(&lab), 2);
    // In one file as well, where both rows say the same; where they do not, nobody knows which is right.
    let twice = "product,put_up,jar,id\nFigs,2026-01-05,pint,B1\nFigs,2026-01-05,pint,B1\n";
    assert_eq!(import_with(&lab, twice.as_bytes(), &[]).code, Some(0));
    assert_eq!(jars(&lab), 3);
    let otherwise = "product,put_up,jar,id\nPlums,2026-01-05,pint,C1\nPlums,2026-01-06,quart,C1\n";
    refused(
        &lab,
        otherwise.as_bytes(),
        "line 3, line 2 has the id \u{201c}C1\u{201d} too, and says something else",
    );
    assert_eq!(jars(&lab), 3);
}
