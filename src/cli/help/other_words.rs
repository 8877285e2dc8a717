//! Words that people try for a command which has another name.

/// Each word, and what to type instead.
const OTHER_WORDS: &[(&[&str], &str)] = &[
    (&["fridge", "refrigerate", "refrigerator"], "jarledger chill JAR"),
    (&["freezer", "frozen"], "jarledger freeze JAR"),
    (&["eaten", "ate", "empty", "emptied", "done", "used"], "jarledger finish JAR"),
    (&["throw", "toss", "trash", "dump", "bin", "spoiled", "bad"], "jarledger discard JAR --why TEXT"),
    (&["reprocess", "redo"], "jarledger seal BATCH --failed NUMBERS"),
    (&["today", "now", "due", "todo"], "jarledger"),
    (&["list", "stock", "jars", "inventory", "pantry", "ls"], "jarledger shelf"),
    (&["find", "where", "search"], "jarledger shelf WORDS"),
    (&["add", "log", "new", "canned", "put"], "jarledger putup"),
    (&["init", "start", "begin"], "jarledger setup --altitude 850ft"),
    (&["config", "settings", "altitude"], "jarledger setup --list"),
    (&["lost", "gone"], "jarledger missing JAR"),
    (&["found"], "jarledger missing JAR --found"),
    (&["recall", "pull", "sisters"], "jarledger trace JAR"),
    (&["gift", "gave", "given", "sell"], "jarledger give JAR --to WHO"),
    (&["labels", "print"], "jarledger label BATCH"),
    (&["stocktake", "audit", "walk"], "jarledger count --place PLACE"),
    (&["timer", "time", "step"], "jarledger run"),
    (&["sealed", "seals", "unsealed"], "jarledger seal BATCH"),
    (&["table", "tables", "minutes", "tested"], "jarledger process FOOD"),
    (&["fix", "edit", "change", "amend"], "jarledger correct"),
    (&["web", "page", "phone"], "jarledger serve"),
    (&["signs", "spoilage"], "jarledger discard --sign list"),
];

/// What to type for a word that is no command.
pub(in crate::cli) fn instead_of(word: &str) -> Option<&'static str> {
    let word = word.to_lowercase();
    OTHER_WORDS.iter().find(|(words, _)| words.contains(&&*word)).map(|(_, typed)| *typed)
}

#[cfg(test)]
mod tests {
    use super::*;

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
