//! A ledger to break, and what must hold of it afterwards.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OpenFlags};

use crate::world::World;

/// A world with a ledger, and the file as it was at the start.
pub(crate) struct Lab {
    pub(crate) world: World,
    base: Vec<u8>,
}

/// How a process ended.
#[derive(Debug)]
pub(crate) struct Ended {
    pub(crate) out: String,
    pub(crate) err: String,
    /// None: killed by a signal.
    pub(crate) code: Option<i32>,
}

impl Lab {
    /// A ledger at 500 ft with one canner.
    pub(crate) fn new() -> Self {
        let world = World::at_500_ft();
        world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "quart:7,pint:16"]);
        Self::of(world)
    }

    /// A ledger with three batches of a shelf that was kept elsewhere: two, seven and one jar.
    pub(crate) fn with_shelf() -> Self {
        let world = World::at_500_ft();
        let shelf = "product,put_up,jar,count,place\n\
                     Pears,2026-01-05,pint,2,Cellar\nPlums,2026-02-05,quart,7,Cellar\nFigs,2026-03-05,pint,1,Pantry\n";
        let file = world.home().join("shelf.csv");
        fs::write(&file, shelf).unwrap();
        world.ok(&["import", "shelf.csv"]);
        fs::remove_file(file).unwrap();
        Self::of(world)
    }

    /// A world whose ledger is taken as the state before.
    pub(crate) fn of(world: World) -> Self {
        let base = fs::read(world.ledger()).unwrap();
        Self { world, base }
    }

    /// A world without a ledger.
    pub(crate) fn before_any(world: World) -> Self {
        Self { world, base: Vec::new() }
    }

    pub(crate) fn ledger(&self) -> PathBuf {
        self.world.ledger()
    }

    /// Puts the file back as it was at the start.
    pub(crate) fn reset(&self) {
        let _ = fs::remove_file(self.journal());
        fs::write(self.ledger(), &self.base).unwrap();
    }

    pub(crate) fn journal(&self) -> PathBuf {
        self.world.home().join("ledger.jarledger-journal")
    }

    /// The command as an ordinary process.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        self.under(&[], args)
    }

    /// The command run by another, such as a tracer.
    pub(crate) fn under(&self, wrapper: &[&str], args: &[&str]) -> Command {
        let inner = self.world.command(args);
        let mut command = match wrapper.split_first() {
            None => Command::new(inner.get_program()),
            Some((first, rest)) => {
                let mut command = Command::new(first);
                command.args(rest).arg(inner.get_program());
                command
            }
        };
        command.args(inner.get_args()).env_clear().current_dir(inner.get_current_dir().unwrap());
        for (key, value) in inner.get_envs() {
            command.env(key, value.unwrap());
        }
        command.env("PATH", std::env::var_os("PATH").unwrap());
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    pub(crate) fn run(&self, args: &[&str]) -> Ended {
        ended(&self.command(args).output().unwrap())
    }

    /// Every row of every table, read as any program would: what was interrupted is rolled back first.
    pub(crate) fn contents(&self) -> String {
        contents(&self.ledger())
    }

    /// What holds after any fault: the pages are whole, and nothing temporary is left.
    pub(crate) fn assert_whole(&self, when: &str) {
        let conn = Connection::open(self.ledger()).unwrap();
        let said: String = conn.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
        assert_eq!(said, "ok", "{when}");
        let dangling: i64 =
            conn.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0)).unwrap();
        assert_eq!(dangling, 0, "{when}");
    }

    /// Nothing but the ledger is in its folder.
    pub(crate) fn assert_tidy(&self, when: &str) {
        let mut names: Vec<String> = fs::read_dir(self.world.home())
            .unwrap()
            .map(|found| found.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        assert_eq!(names, ["ledger.jarledger"], "{when}");
    }
}

/// Every row of every table of a file.
pub(crate) fn contents(path: &Path) -> String {
    let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
    let mut tables =
        conn.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").unwrap();
    let tables: Vec<String> = tables.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
    let mut text = String::new();
    for table in tables {
        writeln!(text, "{table}").unwrap();
        let mut statement = conn.prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2")).unwrap();
        let columns = statement.column_count();
        let mut rows = statement.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            for column in 0..columns {
                let cell = match row.get_ref(column).unwrap() {
                    ValueRef::Text(bytes) => String::from_utf8_lossy(bytes).into_owned(),
                    other => format!("{other:?}"),
                };
                write!(text, "\t{cell}").unwrap();
            }
            text.push('\n');
        }
    }
    text
}

pub(crate) fn ended(output: &Output) -> Ended {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Ended { out: text(&output.stdout), err: text(&output.stderr), code: output.status.code() }
}

impl Ended {
    /// No fault ends in a panic.
    pub(crate) fn assert_calm(&self, when: &str) -> &Self {
        assert!(!self.err.contains("panicked"), "{when}: {}", self.err);
        self
    }
}
