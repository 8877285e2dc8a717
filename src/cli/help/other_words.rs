//! Words that people try for a command which has another name.

use crate::values::names::quoted::quoted;

/// Each word, and what to type instead.
const OTHER_WORDS: &[(&[&str], &str)] = &[
    (&["fridge", "refrigerate", "refrigerator"], "jarledger chill JAR"),
    (&["freezer", "frozen"], "jarledger freeze JAR"),
    (&["eaten", "ate", "empty", "emptied", "done", "used"], "jarledger finish JAR"),
    (&["throw", "toss", "trash", "dump", "bin", "spoiled", "bad"], "jarledger discard JAR --why TEXT"),
    (&["reprocess", "redo"], "jarledger seal BATCH --failed NUMBERS"),
    (&["today", "now", "due", "todo"], "jarledger"),
    (&["list", "stock", "jars", "inventory", "pantry", "ls"], "jarledger shelf"),
    (&["find", "where", "search", "what", "how", "which", "show", "have", "do"], "jarledger shelf WORDS"),
    (&["add", "log", "new", "canned", "put"], "jarledger putup"),
    (&["init", "start", "begin"], "jarledger setup --altitude 850ft"),
    (&["config", "settings", "altitude"], "jarledger setup --list"),
    (&["lost", "gone"], "jarledger missing JAR"),
    (&["found"], "jarledger missing JAR --found"),
    (&["recall", "pull", "sisters"], "jarledger trace JAR"),
    (&["gift", "gave", "given", "sell"], "jarledger give JAR --to WHO"),
    (&["labels", "print"], "jarledger label BATCH"),
    (&["stocktake", "audit", "walk"], "jarledger count PLACE"),
    (&["timer", "time", "step"], "jarledger run"),
    (&["sealed", "seals", "unsealed"], "jarledger seal BATCH"),
    (&["table", "tables", "minutes", "tested"], "jarledger process FOOD"),
    (&["fix", "edit", "change", "amend"], "jarledger correct"),
    (&["web", "page", "phone"], "jarledger serve"),
    (&["signs", "spoilage"], "jarledger discard --sign list"),
];

/// What to type for a word that is no command, with the words typed behind it in the place of what they stand for.
pub(in crate::cli) fn instead_of(word: &str, behind: &[&str]) -> Option<String> {
    let word = word.to_lowercase();
    let (_, typed) = OTHER_WORDS.iter().find(|(words, _)| words.contains(&&*word))?;
    let behind: Vec<String> =
        behind.iter().take_while(|word| !word.starts_with('-')).map(|word| quoted(word)).collect();
    let place = typed.split(' ').find(|part| part.chars().all(|letter| letter.is_ascii_uppercase()));
    Some(match place.filter(|_| !behind.is_empty()) {
        Some(place) => typed.replacen(place, &behind.join(" "), 1),
        None => (*typed).to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_behind_the_word_stands_in_what_to_type() {
        for (line, typed) in [
            ("eaten 26-016-1", "jarledger finish 26-016-1"),
            ("toss 26-016 1,2", "jarledger discard 26-016 1,2 --why TEXT"),
            ("where peach halves --json", "jarledger shelf peach halves"),
            ("where $(rm)", "jarledger shelf '$(rm)'"),
            ("fridge", "jarledger chill JAR"),
            ("found 26-016-1", "jarledger missing 26-016-1 --found"),
            ("settings altitude", "jarledger setup --list"),
        ] {
            let words: Vec<&str> = line.split(' ').collect();
            assert_eq!(instead_of(words[0], &words[1..]).as_deref(), Some(typed));
        }
    }

    #[test]
    fn no_word_stands_twice_or_is_a_command_and_each_leads_to_one() {
        let tree = crate::cli::command();
        let commands: Vec<&str> = tree.get_subcommands().map(clap::Command::get_name).collect();
        let mut seen = std::collections::BTreeSet::new();
        for (words, typed) in OTHER_WORDS {
            for word in *words {
                assert!(seen.insert(word) && !commands.contains(word), "{word}");
            }
            if let Some(command) = typed.split(' ').nth(1) {
                assert!(commands.contains(&command), "{typed}");
            }
        }
    }
}
