//! Low-acid food that no table has under its name. Common usage, no source.

/// Food that no tested pickle, salsa or sauce holds either.
const NEVER_IN_PICKLES: &[&str] = &[
    "anchovy",
    "bacon",
    "bass",
    "bison",
    "bratwurst",
    "brisket",
    "carp",
    "catfish",
    "caviar",
    "chorizo",
    "cod",
    "crawfish",
    "crayfish",
    "eel",
    "frankfurter",
    "frog",
    "goat",
    "haddock",
    "halibut",
    "ham",
    "herring",
    "hominy",
    "jerky",
    "kielbasa",
    "lentil",
    "liver",
    "lobster",
    "meat",
    "meatball",
    "meatloaf",
    "mussel",
    "octopus",
    "pepperoni",
    "perch",
    "pheasant",
    "pike",
    "prawn",
    "quail",
    "salami",
    "sardine",
    "scallop",
    "seafood",
    "shark",
    "shrimp",
    "smelt",
    "squid",
    "squirrel",
    "steak",
    "sturgeon",
    "swordfish",
    "tamale",
    "tilapia",
    "tofu",
    "turtle",
    "walleye",
    "whitefish",
    "wiener",
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
    NEVER_IN_PICKLES.iter().copied().find(|word| is_named(word))
}

/// The first low-acid food among the words that tested pickles may hold.
pub(super) fn in_pickles_too(is_named: impl Fn(&str) -> bool) -> Option<&'static str> {
    IN_PICKLES_TOO.iter().copied().find(|word| is_named(word))
}

/// Whether a word names low-acid food that no table has.
pub(super) fn is_untested(word: &str) -> bool {
    NEVER_IN_PICKLES.contains(&word) || IN_PICKLES_TOO.contains(&word)
}
