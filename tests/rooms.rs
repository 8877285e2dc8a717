//! Holds the arrows between the layers and between the rooms, the heads of the rooms, and files without circles.

#![expect(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What each layer may use besides itself. Calls go down only; `ledger` and `paper` never meet.
const MAY_USE: &[(&str, &[&str])] = &[
    ("values", &[]),
    ("tables", &["values"]),
    ("rules", &["tables", "values"]),
    ("ledger", &["rules", "tables", "values"]),
    ("answers", &["ledger", "rules", "tables", "values"]),
    ("paper", &["rules", "tables", "values"]),
    ("exchange", &["ledger", "rules", "tables", "values"]),
    ("page", &["answers", "ledger", "paper", "rules", "tables", "values"]),
    ("cli", &["answers", "exchange", "ledger", "paper", "rules", "tables", "values"]),
];

/// Crates that are one layer's alone: those of the arguments and the terminal, and of SQL.
const ONE_LAYERS: &[(&str, &[&str])] =
    &[("cli", &["clap", "crossterm", "indicatif", "inquire", "terminal_size"]), ("ledger", &["rusqlite"])];

/// Most entries of one folder: about a dozen, so that a look takes them in.
const MOST_ENTRIES: usize = 14;

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every file and folder below `folder`.
fn below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(below(&path));
        }
        found.push(path);
    }
    found
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    below(folder).into_iter().filter(|path| path.extension().is_some_and(|end| end == "rs")).collect()
}

/// The paths from the crate's root that a text uses, one list of names each.
fn used(text: &str) -> Vec<Vec<String>> {
    let names = |path: &str| path.split("::").map(str::to_owned).collect::<Vec<_>>();
    text.split("crate::")
        .skip(1)
        .map(|rest| {
            let end = rest
                .find(|letter: char| !letter.is_alphanumeric() && !"_:".contains(letter))
                .unwrap_or(rest.len());
            names(rest[..end].trim_end_matches(':'))
        })
        .collect()
}

#[test]
fn every_layer_uses_only_those_below_it() {
    let mut wrong = Vec::new();
    for (layer, allowed) in MAY_USE {
        for file in rust_files(&source().join(layer)) {
            for path in used(&fs::read_to_string(&file).unwrap()) {
                let other = path[0].as_str();
                if other != *layer && !allowed.contains(&other) {
                    wrong.push(format!("{} uses {other}", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn arguments_the_terminal_and_sql_are_one_layers_alone() {
    let mut wrong = Vec::new();
    for (layer, _) in MAY_USE {
        for file in rust_files(&source().join(layer)) {
            let text = fs::read_to_string(&file).unwrap();
            let others =
                ONE_LAYERS.iter().filter(|(owner, _)| owner != layer).flat_map(|(_, crates)| *crates);
            let used = others.filter(|name| text.contains(&format!("{name}::")));
            wrong.extend(used.map(|name| format!("{} uses {name}", file.display())));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_layer_is_known_here() {
    let layers: BTreeSet<String> = fs::read_dir(source())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    assert_eq!(layers, MAY_USE.iter().map(|(layer, _)| (*layer).to_owned()).collect());
}

#[test]
fn every_folder_of_the_source_and_of_the_commands_tests_has_about_a_dozen_entries() {
    let commands = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli");
    let mut wrong = Vec::new();
    for folder in [source(), commands].into_iter().flat_map(|root| [below(&root), vec![root]].concat()) {
        let entries = fs::read_dir(&folder).into_iter().flatten().count();
        if entries > MOST_ENTRIES {
            wrong.push(format!("{} has {entries} entries", folder.display()));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The file in which the module at `path` stands, for the longest part of the path that is a module.
fn file_of(path: &[String]) -> Option<PathBuf> {
    (1..=path.len()).rev().find_map(|length| {
        let place = path[..length].iter().fold(source(), |folder, name| folder.join(name));
        [place.with_extension("rs"), place.join("mod.rs")].into_iter().find(|file| file.is_file())
    })
}

/// The module that a file is, as a path from the crate's root.
fn module_of(file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(source()).unwrap().with_extension("");
    let names = inside.iter().map(|name| name.to_string_lossy().into_owned());
    names.filter(|name| name != "mod" && name != "lib").collect()
}

/// Every path that the tree of a `use` names: `a::{b, c::{d, e}}` is `a::b`, `a::c::d` and `a::c::e`.
fn branches(tree: &str) -> Vec<String> {
    let Some((stem, inside)) = tree.split_once('{') else { return vec![tree.trim().to_owned()] };
    let inside = inside.trim_end().strip_suffix('}').unwrap();
    let (mut depth, mut from, mut parts) = (0, 0, Vec::new());
    for (at, letter) in inside.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&inside[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&inside[from..]);
    let filled = parts.into_iter().filter(|part| !part.trim().is_empty());
    filled.flat_map(branches).map(|branch| format!("{}{branch}", stem.trim())).collect()
}

/// The modules that a text declares.
fn declared(text: &str) -> BTreeSet<String> {
    let name = |line: &str| {
        let (before, name) = line.trim().strip_suffix(';')?.rsplit_once("mod ")?;
        (before.is_empty() || before.starts_with("pub")).then(|| name.to_owned())
    };
    text.lines().filter_map(name).collect()
}

/// The paths from the crate's root that the imports of a file name.
fn imports(file: &Path, text: &str) -> Vec<Vec<String>> {
    let own = module_of(file);
    let inner = declared(text);
    let roots = ["crate", "self", "super"].into_iter().chain(inner.iter().map(String::as_str));
    let roots: Vec<String> = roots.map(|root| format!("use {root}::")).collect();
    let statements = text.split(';').filter_map(|statement| {
        let at = roots.iter().filter_map(|root| statement.rfind(root)).max()?;
        Some(&statement[at + "use ".len()..])
    });
    let mut found = Vec::new();
    for branch in statements.flat_map(branches) {
        let mut names = branch.split("::").map(|name| name.split(" as ").next().unwrap().trim().to_owned());
        let mut path = match names.next().as_deref() {
            Some("self") => own.clone(),
            Some("super") => own[..own.len() - 1].to_vec(),
            Some(name) if inner.contains(name) => [own.clone(), vec![name.to_owned()]].concat(),
            _ => Vec::new(),
        };
        for name in names {
            if name == "super" {
                path.pop();
            } else {
                path.push(name);
            }
        }
        found.push(path);
    }
    found
}

#[test]
fn imports_are_read_with_their_braces_and_from_where_they_stand() {
    let file = source().join("rules/load/verdict/mod.rs");
    let read =
        |text: &str| -> Vec<String> { imports(&file, text).iter().map(|path| path.join("::")).collect() };
    assert_eq!(
        read(
            "use crate::a::{b, c::{d, e as f},};\npub use self::row::Against;\nuse super::finding;\nuse std::fmt;"
        ),
        ["a::b", "a::c::d", "a::c::e", "rules::load::verdict::row::Against", "rules::load::finding"]
    );
    assert_eq!(
        read("pub(super) mod row;\nuse row::{Against, By};\nuse other::Name;"),
        ["rules::load::verdict::row::Against", "rules::load::verdict::row::By"]
    );
}

/// What a file of the program says without its comments and its tests, which may look at anything; nothing of a file
/// that is all tests.
fn code(file: &Path) -> String {
    let inside = file.strip_prefix(source()).unwrap().with_extension("");
    let of_tests = |name: &str| name == "tests" || name.ends_with("_tests");
    if inside.iter().any(|name| of_tests(&name.to_string_lossy())) {
        return String::new();
    }
    let text = fs::read_to_string(file).unwrap();
    let before_tests = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    let lines = before_tests.lines().filter(|line| !line.trim_start().starts_with("//"));
    // Who may see an item is no use of it.
    lines.map(|line| line.replace("(in crate::", "(in ") + "\n").collect()
}

/// The paths from the crate's root that a file writes out from a module it declares, such as `show::run`.
fn into_declared(file: &Path, text: &str) -> Vec<Vec<String>> {
    let inner = declared(text);
    let of_path = |letter: char| letter.is_alphanumeric() || "_:.".contains(letter);
    let written = text.split(|letter| !of_path(letter)).map(|path| path.split("::").map(str::to_owned));
    let paths = written.map(Iterator::collect).filter(|path: &Vec<_>| path.len() > 1);
    paths.filter(|path| inner.contains(&path[0])).map(|path| [module_of(file), path].concat()).collect()
}

#[test]
fn what_a_file_uses_of_the_modules_it_declares_is_seen() {
    let file = source().join("rules/load/verdict/mod.rs");
    let text = "mod row;\nmod table;\nlet row = self.row::<T>(ask::table::of(), table::of(0), [row::Row; 2])";
    let read: Vec<String> = into_declared(&file, text).iter().map(|path| path.join("::")).collect();
    assert_eq!(read, ["rules::load::verdict::table::of", "rules::load::verdict::row::Row"]);
}

/// The files that each file uses: those it imports from, and those whose paths it writes out.
fn arrows() -> BTreeMap<PathBuf, BTreeSet<PathBuf>> {
    let files = rust_files(&source()).into_iter();
    files
        .map(|file| {
            let text = code(&file);
            let paths = [imports(&file, &text), used(&text), into_declared(&file, &text)].concat();
            let to =
                paths.into_iter().filter_map(|path| file_of(&path)).filter(|other| *other != file).collect();
            (file, to)
        })
        .collect()
}

/// Who can be reached from itself.
fn circles<T: Ord + Clone>(arrows: &BTreeMap<T, BTreeSet<T>>) -> Vec<&T> {
    let stands_in_one = |start: &&T| {
        let (mut seen, mut next) = (BTreeSet::new(), vec![*start]);
        while let Some(from) = next.pop() {
            next.extend(arrows.get(from).into_iter().flatten().filter(|to| seen.insert((*to).clone())));
        }
        seen.contains(*start)
    };
    arrows.keys().filter(stands_in_one).collect()
}

#[test]
fn no_two_files_use_each_other() {
    let arrows = arrows();
    let circles = circles(&arrows);
    assert!(circles.is_empty(), "{circles:#?}");
}

/// Neither do a room and a file beside it, the folder's `mod.rs` among them.
#[test]
fn no_two_rooms_of_a_folder_use_each_other() {
    let files = arrows();
    let mut wrong = Vec::new();
    for folder in below(&source()).into_iter().filter(|path| path.is_dir()) {
        let room = |file: &PathBuf| {
            let first = file.strip_prefix(&folder).ok()?.iter().next()?;
            Some(folder.join(first))
        };
        let mut rooms: BTreeMap<PathBuf, BTreeSet<PathBuf>> = BTreeMap::new();
        for (file, to) in &files {
            let Some(from) = room(file) else { continue };
            rooms
                .entry(from.clone())
                .or_default()
                .extend(to.iter().filter_map(room).filter(|to| *to != from));
        }
        wrong.extend(circles(&rooms).into_iter().cloned());
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// What a file uses outside a room: the rooms beside it or beside one around it, and other layers, each by its name.
/// Files that stand beside a room are open to it.
fn uses_outside(room: &Path, to: &Path) -> Option<String> {
    let names = |folder: &Path| -> Vec<String> {
        let inside = folder.strip_prefix(source()).unwrap();
        inside.iter().map(|name| name.to_string_lossy().into_owned()).collect()
    };
    let (room, to) = (names(room), names(to.parent().unwrap()));
    let shared = room.iter().zip(&to).take_while(|(one, other)| one == other).count();
    if shared == room.len() { None } else { to.get(shared).cloned() }
}

/// The rooms and layers that the head of a room names: `//! May use: a, b.` below who lives there.
fn may_use(head: &str) -> Option<BTreeSet<String>> {
    let mut lines = head.lines();
    if !lines.next()?.starts_with("//! ") || lines.next()? != "//!" {
        return None;
    }
    let named = lines.next()?.strip_prefix("//! May use: ")?.strip_suffix('.')?;
    Some(named.split(", ").filter(|name| *name != "nothing").map(str::to_owned).collect())
}

#[test]
fn every_room_says_who_lives_there_and_truly_what_it_may_use() {
    let arrows = arrows();
    let mut wrong = Vec::new();
    for folder in below(&source()).into_iter().filter(|path| path.is_dir()) {
        let Ok(head) = fs::read_to_string(folder.join("mod.rs")) else { continue };
        let within = arrows.iter().filter(|(file, _)| file.starts_with(&folder));
        let used: BTreeSet<String> =
            within.flat_map(|(_, to)| to).filter_map(|to| uses_outside(&folder, to)).collect();
        let used = if folder.ends_with("tests") { BTreeSet::from(["anything".to_owned()]) } else { used };
        if may_use(&head).as_ref() != Some(&used) {
            let names = used.into_iter().collect::<Vec<_>>().join(", ");
            wrong.push(format!("{} must say: May use: {names}.", folder.join("mod.rs").display()));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn names_are_imported_from_the_file_that_defines_them() {
    let files: BTreeMap<PathBuf, Vec<Vec<String>>> =
        rust_files(&source()).into_iter().map(|file| (file.clone(), imports(&file, &code(&file)))).collect();
    let mut wrong = Vec::new();
    for (file, paths) in &files {
        let text = code(file);
        let handed_on = text
            .lines()
            .map(str::trim_start)
            .filter(|line| line.starts_with("pub") && line.contains(" use ") && line.contains("::"));
        wrong.extend(handed_on.map(|line| format!("{} hands on {line}", file.display())));
        for path in paths {
            let Some(from) = file_of(path).filter(|from| from != file) else { continue };
            let Some(name) = path.get(module_of(&from).len()) else { continue };
            // A function may have the name of a module that its file imports.
            let is_defined = code(&from).contains(&format!("fn {name}("));
            if !is_defined && files[&from].iter().any(|other| other.last() == Some(name)) {
                wrong.push(format!("{} imports {}", file.display(), path.join("::")));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_file_stands_beside_a_folder_of_its_name() {
    let files = rust_files(&source()).into_iter();
    let wrong: Vec<PathBuf> = files.filter(|file| file.with_extension("").is_dir()).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_code_is_unsafe_but_the_one_that_runs_before_main() {
    let marked = |file: &PathBuf| {
        fs::read_to_string(file).unwrap().lines().any(|line| {
            let code = line.trim_start();
            !code.starts_with("//") && code.contains("unsafe")
        })
    };
    let found: Vec<PathBuf> = rust_files(&source()).into_iter().filter(marked).collect();
    assert_eq!(found, [source().join("cli/talk/stdout.rs")]);
}

/// What only Unix has, as it is written in source.
const UNIX: &[&str] = &["std::os::unix", "rustix::", "signal_hook::", "\"/proc/"];

#[test]
fn what_is_unix_only_stands_in_one_list() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = fs::read_to_string(root.join(".ci/unix.md")).unwrap();
    let listed: BTreeSet<String> =
        page.split('`').filter(|word| word.starts_with("src/")).map(str::to_owned).collect();
    let found: BTreeSet<String> = rust_files(&source())
        .into_iter()
        .filter(|file| UNIX.iter().any(|word| fs::read_to_string(file).unwrap().contains(word)))
        .map(|file| file.strip_prefix(root).unwrap().display().to_string())
        .collect();
    assert_eq!(listed, found);
}
