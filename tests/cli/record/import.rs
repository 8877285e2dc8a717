//! `import` of a whole export, and of the lists that people have.

use crate::common::world::World;

#[test]
fn a_trial_of_a_whole_export_leaves_nothing_behind() {
    let world = World::at_500_ft();
    std::fs::write(world.home().join("whole.json"), world.ok(&["export", "--json"])).unwrap();
    let target = world.home().join("new/folder/l.jarledger");
    let import = ["import", "whole.json", "--ledger", target.to_str().unwrap()];
    let shown = world.ok(&[&import[..], &["--dry-run"]].concat());
    assert!(shown.starts_with("Would make the ledger"), "{shown}");
    assert!(!world.home().join("new").exists());
    world.ok(&import);
    assert!(target.is_file());
}

/// What `shelf --tsv` says of a list imported with its headings guessed, or what was refused.
fn imported(list: &str, more: &[&str]) -> Result<Vec<String>, String> {
    let world = World::at_500_ft();
    std::fs::write(world.home().join("list.csv"), list).unwrap();
    let ran = world.run(&[&["import", "list.csv", "--guess"], more].concat());
    if ran.code != 0 {
        return Err(ran.err);
    }
    let stock = world.ok(&["shelf", "--tsv"]);
    let rows = stock.lines().skip(1).take_while(|line| line.contains('\t'));
    Ok(rows.map(|row| row.split('\t').take(3).collect::<Vec<_>>().join(" ")).collect())
}

#[test]
fn lists_are_read_as_people_keep_them() {
    // By hand, from the lists themselves.
    let shelf = ["12 Peach halves quart", "6 Plum jam half-pint"].map(str::to_owned).to_vec();
    for (list, more) in [
        // A mark in front and semicolons, as spreadsheets write them; two-digit years whose order one row proves.
        (
            "\u{feff}What;How many;Jar;Shelf;Canned on\r\nPeach halves;12;qt;Pantry top;14.07.25\r\nPlum jam;6;hp;Cellar;02.08.25\r\n",
            &[][..],
        ),
        // A size beside the number, the same as in its own column or alone; a number in words.
        (
            "What,How many,Jar,Shelf,Canned on\nPeach halves,12 qts,quart,Pantry,7/14/25\nPlum jam,six half pints,,Cellar,8/2/25\n",
            &[],
        ),
        (
            "Item\tQty\tSize\tDate\nPeach halves\ta dozen\tquarts\tJul 14 2025\nPlum jam\t6\t8 oz\t2 Aug 2025\n",
            &[],
        ),
        // Every date may be read two ways, and the order is said.
        ("Item,Qty,Size,Date\nPeach halves,12,Qt.,7/4/25\nPlum jam,6,hp,8/2/25\n", &["--date-format", "mdy"]),
    ] {
        assert_eq!(imported(list, more).as_ref(), Ok(&shelf), "{list}");
    }
}

#[test]
fn a_list_that_may_be_misread_is_refused_with_what_to_do() {
    for (list, message) in [
        (
            "Item,Qty,Size,Date\nPears,7,quart,8/2/25\n",
            "2025-02-08 with --date-format dmy, or 2025-08-02 with --date-format mdy",
        ),
        ("Item,Qty,Size,Date\nPears,7 pints,quart,2025-08-02\n", "a count is a whole number from 1 to 10000"),
        ("Item,Qty,Size,Date\nPears,0,quart,2025-08-02\n", "leave out the rows of which no jar is left"),
        ("Item,Qty,Size,Date\nPears,7-8,quart,2025-08-02\n", "a count is a whole number"),
        ("Pears,7,quart,2025-08-02\n", "the first line must name the columns"),
    ] {
        let refused = imported(list, &[]).unwrap_err().replace('\n', " ");
        assert!(refused.contains(message), "{list}: {refused}");
    }
}

// USDA AIB 539, Guide 4: beets are packed hot, and no vegetable has a half-gallon. Guide 7: jam has half-pints and pints.
// Guide 2: mincemeat in quarts only; half-gallons for apple juice.
#[test]
fn nobody_vouches_for_a_jar_or_a_pack_that_no_table_has() {
    let world = World::at_500_ft();
    let import = |rows: &str| {
        std::fs::write(
            world.home().join("shelf.csv"),
            format!("product,put_up,jar,food,pack,vouched\n{rows}"),
        )
        .unwrap();
        world.run(&["import", "shelf.csv", "--json"])
    };
    let refused = import(
        "Green beans,2025-08-01,half-gallon,green-beans,,me\nJam,2025-08-01,quart,jam-jelly,,me\n\
         Mincemeat,2025-08-01,pint,mincemeat-pie-filling,,me\nBeets,2025-08-01,pint,beets,raw,me\n\
         Beets,2025-08-01,pint,beets,,me\nApple juice,2025-08-01,half-gallon,apple-juice,,me\n\
         Green beans,2025-08-01,half-pint,green-beans,raw,me\nBeets,2025-08-01,pint,beets,raw,\n",
    );
    assert_eq!(refused.code, 5, "{refused}");
    let answer: serde_json::Value = serde_json::from_str(&refused.out).unwrap();
    let lines: Vec<u64> =
        answer["problems"].as_array().unwrap().iter().map(|one| one["line"].as_u64().unwrap()).collect();
    assert_eq!(lines, [2, 3, 4, 5], "{refused}");
    assert!(
        refused.out.contains("Beets, whole, cubed or sliced has no tested process in pints packed raw"),
        "{refused}"
    );
    // Put down without a word, it cannot be given one later.
    assert_eq!(import("Beets,2025-08-01,pint,beets,raw,\n").code, 0);
    let refused = world.line("correct batch 25-001 --vouched me --reason x");
    assert!(refused.code == 4 && refused.err.contains("nobody can vouch for 25-001: Beets"), "{refused}");
    // Nor is a batch that somebody vouched for corrected into what the tables contradict.
    assert_eq!(import("Beets,2025-08-02,pint,beets,,me\n").code, 0);
    for line in [
        "correct batch 25-002 --pack raw --reason x",
        "correct jar 25-002-01-9 --size half-gallon --reason x",
    ] {
        let refused = world.line(line);
        assert!(
            refused.code == 4 && refused.err.contains("nobody can vouch for 25-002"),
            "{line}: {refused}"
        );
    }
    assert_eq!(world.line("correct batch 25-002 --pack hot --reason x").code, 0);
}
