//! What somebody sees on a terminal of 80 columns and 24 rows, and on one of 40 columns, drawn by tmux.

use std::sync::atomic::{AtomicU32, Ordering};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::common::readers::tool;
use crate::common::world::World;

/// Longest wait for something to be shown.
const LONGEST: Duration = Duration::from_secs(30);

/// Terminals begun so far.
static BEGUN: AtomicU32 = AtomicU32::new(0);

/// A terminal with one command in it.
struct Terminal {
    socket: String,
}

impl Terminal {
    /// Runs a command in the afternoon of 14 August 2026 on a terminal of so many columns and rows.
    fn of(size: (u32, u32), world: &World, args: &[&str]) -> Option<Self> {
        Self::with(size, world, args, &[("NO_COLOR", "1"), ("PAGER", "")])
    }

    /// As [`Self::of`], in an environment that says more.
    fn with(size: (u32, u32), world: &World, args: &[&str], says: &[(&str, &str)]) -> Option<Self> {
        let mut tmux = tool("tmux")?;
        // The one before may still be about to end.
        let socket = format!("tmux-{}", BEGUN.fetch_add(1, Ordering::Relaxed));
        let terminal = Self { socket: world.home().join(socket).display().to_string() };
        let jarledger = env!("CARGO_BIN_EXE_jarledger");
        let typed = [&[jarledger, "--today", "2026-08-14T15:00"], args].concat();
        let typed = shlex::try_join(typed).unwrap();
        let (columns, rows) = (size.0.to_string(), size.1.to_string());
        let begun = tmux
            .env_clear()
            .env("HOME", world.home())
            .env("LC_ALL", "C.UTF-8")
            .env("TZ", "UTC")
            .envs(says.iter().copied())
            .env("JARLEDGER_FILE", world.ledger())
            .current_dir(world.home())
            .args([
                "-S",
                &terminal.socket,
                "-f",
                "/dev/null",
                "new-session",
                "-d",
                "-x",
                &columns,
                "-y",
                &rows,
            ])
            .arg(format!("{typed}; printf '$ '; exec cat"))
            .status()
            .unwrap();
        assert!(begun.success());
        Some(terminal)
    }

    fn tmux(&self, args: &[&str]) -> String {
        let output = tool("tmux").unwrap().args(["-S", &self.socket]).args(args).output().unwrap();
        String::from_utf8(output.stdout).unwrap()
    }

    /// The screen, once a text stands on it.
    fn once(&self, text: &str) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.tmux(&["capture-pane", "-p"]);
            if screen.split_whitespace().collect::<Vec<_>>().join(" ").contains(text) {
                return screen;
            }
            assert!(begun.elapsed() < LONGEST, "never shown: {text}\n{screen}");
            sleep(Duration::from_millis(50));
        }
    }

    /// Types a text after another is shown, and Enter.
    fn answer(&self, after: &str, text: &str) {
        self.once(after);
        self.tmux(&["send-keys", "-l", text]);
        self.tmux(&["send-keys", "Enter"]);
    }

    fn keys(&self, keys: &[&str]) {
        self.tmux(&[&["send-keys"], keys].concat());
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
    }
}

const BEANS: &[&str] = &["putup", "--product", "Green beans", "--food", "green-beans", "--pack", "raw"];

// 24 rows by 80 columns: the terminal of the job.
#[test]
fn two_loads_that_failed_fit_on_a_screen_with_the_verdict_before_the_rescue() {
    let world = World::with_canners();
    let loads = [
        "--canner",
        "Big dial",
        "--load",
        "jars=pint:9,minutes=2,vent=2,pressure=8,out=14:00",
        "--load",
        "jars=pint:9,minutes=5,vent=10,pressure=8,out=14:45",
    ];
    let Some(terminal) = Terminal::of((80, 24), &world, &[BEANS, &loads[..]].concat()) else { return };
    let screen = terminal.once("putup --reprocess`)");
    assert!(screen.starts_with("26-001  Green beans: 18 pints"), "{screen}");
    let at = |text: &str| screen.find(text).unwrap_or_else(|| panic!("{text}\n{screen}"));
    assert!(at("Does not meet") < at("Mistyped?") && at("Mistyped?") < at("until 16:00"), "{screen}");
}

#[test]
fn the_verdict_is_on_the_screen_before_saving_at_80_and_at_40_columns() {
    for size in [(80, 24), (40, 24)] {
        let world = World::with_canners();
        let shown =
            ["--jars", "pint:9", "--place", "Cellar", "--lid-lot", "B7", "--vent", "10", "--pressure", "11"];
        let Some(terminal) = Terminal::of(size, &world, &[BEANS, &shown[..]].concat()) else { return };
        terminal.answer("Which canner?", "Big dial");
        terminal.answer("Minutes at pressure", "2");
        terminal.answer("2 min is far from the 20 min required", "");
        terminal.answer("Did the pressure drop?", "no");
        terminal.answer("When did it come out?", "");
        terminal.answer("Did anything go wrong?", "no");
        let screen = terminal.once("Leave it, and save nothing");
        let words = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("Does not meet the tested process"), "{screen}");
        assert!(words.contains("2 min unbroken at pressure; 20 min is required"), "{screen}");
        assert!(words.contains("> Change an answer"), "{screen}");
    }
}

#[test]
fn keys_at_a_question_do_what_they_do_elsewhere() {
    for size in [(80, 24), (40, 24)] {
        let world = World::new();
        let Some(terminal) = Terminal::of(size, &world, &["setup"]) else { return };
        let ask = "above sea level?";
        terminal.once(ask);
        terminal.tmux(&["send-keys", "-l", "nonsense that is longer than a row of forty columns"]);
        terminal.once("forty columns");
        terminal.keys(&["C-u"]);
        terminal.tmux(&["set-buffer", "-b", "copied", "5f\n"]);
        terminal.tmux(&["paste-buffer", "-p", "-b", "copied"]);
        terminal.once(&format!("{ask} 5f"));
        terminal.keys(&["C-a", "8", "C-e", "x", "BSpace", "t", "Left", "Left", "0"]);
        terminal.once(&format!("{ask} 850ft"));
        terminal.keys(&["C-l"]);
        let screen = terminal.once(&format!("{ask} 850ft"));
        assert!(screen.starts_with("? How high"), "{screen}");
        terminal.keys(&["Enter"]);
        terminal.once("$");
        assert!(world.ok(&["setup", "--list"]).contains("850ft"));
    }
}

#[test]
fn a_list_of_somebody_s_own_is_shown_as_it_is_read_before_anything_comes_in() {
    for size in [(80, 24), (40, 24)] {
        let world = World::at_500_ft();
        let list = "Item,Qty,Size,Location,Date Canned,Color\nPeach halves,6,quart jars,Pantry,7/14/25,red\n\
                    Plum jam,5,8 oz,Cellar,\"August 2, 2025\",blue\n";
        std::fs::write(world.home().join("list.csv"), list).unwrap();
        let Some(terminal) = Terminal::of(size, &world, &["import", "list.csv"]) else { return };
        let screen = terminal.once("Import it so?");
        let words = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        for line in [
            "Item product",
            "Qty number of jars",
            "Color left out",
            "Dates are month/day/year",
            "Peach halves, 6 quarts, put up 2025-07-14, in Pantry",
            "Plum jam, 5 half-pints, put up 2025-08-02, in Cellar",
        ] {
            assert!(words.contains(line), "{line}: {screen}");
        }
        assert_eq!(world.json(&["shelf"])["total"], 0);
        terminal.keys(&["y", "Enter"]);
        terminal.once("Imported 11 jars");
        terminal.once("--vouched");
    }
}

#[test]
fn a_count_names_a_wrong_line_as_it_is_typed() {
    for size in [(80, 24), (40, 24)] {
        let world = World::with_canners();
        world.json_of(
            "putup --product Peach_halves --food peaches --pack hot --jars quart:7 --canner Kettle --minutes 25 \
             --place Cellar",
        );
        let Some(terminal) = Terminal::of(size, &world, &["count", "cellar"]) else { return };
        terminal.answer("Ctrl-D ends the count", "helo");
        terminal.answer("Type it again.", "5 qt peach halves");
        terminal.keys(&["C-d"]);
        let screen = terminal.once("5 counted");
        assert!(screen.contains("Not counted") && !screen.contains("line 1"), "{screen}");
    }
}

/// A screen as running text: lines are broken where the terminal ends.
fn words(screen: &str) -> String {
    screen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Seven quarts of peaches, put up on 12 August 2026 and sealed, in the cellar.
fn with_peaches() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-12T12:00");
    world.json_of(
        "putup --product Peach_halves --food peaches --pack hot --jars quart:7 --canner Kettle --minutes 25 --out 11:00 \
         --place Cellar_north",
    );
    world.on("2026-08-13T12:00");
    world.json_of("seal 26-001 --sealed");
    world
}

const SIZES: [(u32, u32); 2] = [(80, 24), (40, 24)];

#[test]
fn everyday_words_find_the_jars_and_the_one_to_eat_first_is_offered() {
    for size in SIZES {
        let world = with_peaches();
        let Some(terminal) = Terminal::of(size, &world, &["open", "a", "jar", "of", "peaches"]) else {
            return;
        };
        let screen = terminal.once("Enter takes");
        assert!(words(&screen).contains("> 26-001-01-0 Peach halves, quart"), "{screen}");
        terminal.keys(&["Enter"]);
        // Signs, how long it keeps and what comes next, on one screen with the question.
        let screen = terminal.once("if it is not $");
        assert!(screen.contains("Which jar?"), "{screen}");
        assert!(words(&screen).contains("Look and smell before you taste"), "{screen}");
        assert_eq!(world.json_of("jar 26-001-1")["state"], "opened");
    }
}

#[test]
fn typing_at_a_list_takes_the_exact_word_and_says_where_nothing_fits() {
    for size in SIZES {
        let world = World::with_canners();
        let Some(terminal) = Terminal::of(size, &world, &["putup", "--product", "Pears", "--food", "pears"])
        else {
            return;
        };
        terminal.once("Hot or raw pack?");
        terminal.keys(&["9"]);
        terminal.once("nothing here fits that");
        terminal.keys(&["Enter"]);
        terminal.once("> hot raw");
        terminal.keys(&["r", "a", "w", "Enter"]);
        terminal.once("Hot or raw pack? raw");
    }
}

#[test]
fn codes_are_taken_as_they_are_copied() {
    for size in SIZES {
        let world = with_peaches();
        let Some(terminal) = Terminal::of(size, &world, &["missing", "#26.1.3"]) else { return };
        terminal.once("Missing: 26-001-03-6 Peach halves");
        assert_eq!(world.json_of("jar 26-001-3")["state"], "missing");
    }
}

#[test]
fn the_last_time_is_begun_with_again_and_a_sealed_jar_is_eaten_up_at_once() {
    for size in SIZES {
        let world = with_peaches();
        let Some(terminal) = Terminal::of(size, &world, &["putup", "--again", "peaches"]) else { return };
        // Neither the food nor the pack is asked for.
        let screen = terminal.once("How many jars of each size? (quart:7)");
        assert!(!words(&screen).contains("Which food") && !words(&screen).contains("Hot or raw"), "{screen}");
        drop(terminal);
        let Some(terminal) = Terminal::of(size, &world, &["finish", "26-001-7"]) else { return };
        terminal.once("Finished 26-001-07-");
        assert_eq!(world.json_of("jar 26-001-7")["state"], "finished");
    }
}

#[test]
fn the_next_step_fits_the_state_and_can_be_pasted() {
    for size in SIZES {
        let world = World::new();
        let Some(terminal) = Terminal::of(size, &world, &["setup", "--altitude", "850ft"]) else { return };
        terminal.once("`jarledger canner add` asks for it all $");
        drop(terminal);
        // Nothing to open in an empty house.
        let Some(terminal) = Terminal::of(size, &world, &["eat"]) else { return };
        let screen = terminal.once("they are right. $");
        assert!(!screen.contains("next:"), "{screen}");
        drop(terminal);
        let Some(terminal) = Terminal::of(size, &world, &["putup"]) else { return };
        terminal.once("hint: `jarledger canner add NAME");
    }
}

#[test]
fn a_frozen_jar_stands_in_the_freezer_and_no_more_in_the_cellar() {
    for size in SIZES {
        let mut world = World::with_canners();
        world.on("2026-08-14T09:00");
        world.json_of(
            "putup --product Pears --food pears --pack hot --jars quart:2 --canner Kettle --minutes 25 --out 08:55 \
             --place Cellar",
        );
        world.on("2026-08-14T14:00");
        world.json_of("seal 26-001 --failed 1 --early");
        world.json_of("freeze 26-001-1");
        let Some(terminal) = Terminal::of(size, &world, &["shelf", "frozen"]) else { return };
        let screen = terminal.once("1 jar: 1 frozen.");
        assert!(words(&screen).contains("freezer") && !words(&screen).contains("Cellar"), "{screen}");
    }
}

#[test]
fn days_and_measures_follow_the_household_on_a_screen() {
    for size in SIZES {
        let world = with_peaches();
        world.ok(&["setup", "--dates", "month-day-year", "--units", "metric"]);
        let Some(terminal) = Terminal::of(size, &world, &["jar", "26-001-1"]) else { return };
        // 12 August 2026 was a Wednesday.
        terminal.once("Put up Wednesday, August 12, 2026, best by Aug 12, 2027.");
        drop(terminal);
        let Some(terminal) = Terminal::of(
            size,
            &world,
            &["process", "green", "beans", "raw", "pack", "pints", "dial", "gauge"],
        ) else {
            return;
        };
        // NIST SP 811, Appendix B: 11 psi = 75.842 kPa, rounded up; 1 in = 2.54 cm.
        terminal.once("75.9 kPa (11 psi)");
        terminal.once("2.5 cm (1 in)");
    }
}

#[test]
fn a_long_answer_goes_through_the_pager_and_an_everyday_one_stays_on_the_screen() {
    // Whatever passes this pager has a bar in front.
    let paged = [("NO_COLOR", "1"), ("PAGER", "sed 's/^/|/'")];
    for size in SIZES {
        let world = with_peaches();
        let Some(terminal) = Terminal::with(size, &world, &["process", "--all"], &paged) else { return };
        let screen = terminal.once("they are right. $");
        assert!(screen.lines().filter(|line| line.starts_with('|')).count() > 1, "{screen}");
        drop(terminal);
        let straight = ["process", "--all", "--no-pager"];
        let Some(terminal) = Terminal::with(size, &world, &straight, &paged) else { return };
        let screen = terminal.once("they are right. $");
        assert!(!screen.contains('|'), "{screen}");
        drop(terminal);
        // The last line is seen beside the first, where the command was typed.
        for (args, first, last) in [
            (&["shelf"][..], "Jars", "take first $"),
            (&["eat"], "Peach halves", "$"),
            (&["season"], "Peach halves", "$"),
        ] {
            let Some(terminal) = Terminal::with(size, &world, args, &paged) else { return };
            let screen = terminal.once(last);
            assert!(screen.contains(first) && !screen.contains('|'), "{args:?}: {screen}");
        }
    }
}

#[test]
fn color_stands_beside_words_that_say_the_same_and_goes_where_it_is_not_wanted() {
    for size in SIZES {
        let world = with_peaches();
        world.ok(&["hold", "26-001", "1", "--reason", "the lid bulges"]);
        for (says, more, colored) in [
            (&[("PAGER", "")][..], &[][..], true),
            (&[("PAGER", ""), ("NO_COLOR", "1")], &[], false),
            (&[("PAGER", "")], &["--color", "never"], false),
        ] {
            let args = [&["shelf"], more].concat();
            let Some(terminal) = Terminal::with(size, &world, &args, says) else { return };
            let screen = terminal.once("7 jars:");
            assert!(words(&screen).contains("hold"), "{screen}");
            let raw = terminal.tmux(&["capture-pane", "-e", "-p"]);
            assert_eq!(raw.contains("\u{1b}["), colored, "{args:?} {says:?}: {raw:?}");
        }
    }
}
