//! Low-acid food that no table has under its name. Common usage, no source.

/// Food that no tested pickle, salsa or sauce holds either.
const NEVER_IN_PICKLES: &[&str] = &[
    "bacon",
    "bison",
    "bratwurst",
    "brisket",
    "chorizo",
    "frankfurter",
    "frog",
    "goat",
    "ham",
    "hominy",
    "jerky",
    "kielbasa",
    "lentil",
    "liver",
    "meat",
    "meatball",
    "meatloaf",
    "pepperoni",
    "pheasant",
    "quail",
    "salami",
    "squirrel",
    "steak",
    "tamale",
    "tofu",
    "turtle",
    "wiener",
];
/// Seafood, which no tested pickle holds either.
const SEAFOOD: &[&str] = &[
    "anchovy",
    "bass",
    "carp",
    "catfish",
    "caviar",
    "cod",
    "crawfish",
    "crayfish",
    "eel",
    "haddock",
    "halibut",
    "herring",
    "lobster",
    "mussel",
    "octopus",
    "perch",
    "pike",
    "prawn",
    "sardine",
    "scallop",
    "seafood",
    "shark",
    "shrimp",
    "smelt",
    "squid",
    "sturgeon",
    "swordfish",
    "tilapia",
    "walleye",
    "whitefish",
];
/// Food that tested pickles, salsas and sauces may hold, which fruit does not.
const IN_PICKLES_TOO: &[&str] = &[
    "artichoke",
    "avocado",
    "banana",
    "broccoli",
    "celery",
    "coconut",
    "eggplant",
    "garlic",
    "leek",
    "olive",
    "onion",
    "papaya",
    "parsnip",
    "peanut",
    "radish",
    "rutabaga",
    "shallot",
    "squash",
    "stock",
    "turnip",
];

/// The first low-acid food among the words that no tested pickle holds.
pub(super) fn never_in_pickles(is_named: impl Fn(&str) -> bool) -> Option<&'static str> {
    NEVER_IN_PICKLES.iter().chain(SEAFOOD).copied().find(|word| is_named(word))
}

/// The first low-acid food among the words that tested pickles may hold.
pub(super) fn in_pickles_too(is_named: impl Fn(&str) -> bool) -> Option<&'static str> {
    IN_PICKLES_TOO.iter().copied().find(|word| is_named(word))
}

/// Whether seafood that no table has is named.
pub(super) fn is_seafood(is_named: impl Fn(&str) -> bool) -> bool {
    SEAFOOD.iter().any(|word| is_named(word))
}

/// Whether a word names low-acid food that no table has.
pub(super) fn is_untested(word: &str) -> bool {
    NEVER_IN_PICKLES.contains(&word) || SEAFOOD.contains(&word) || IN_PICKLES_TOO.contains(&word)
}
