//! Pages as HTML. Names may hold anything: the templates escape them, and no control character gets through.

use askama::Template;
use chrono::{DateTime, FixedOffset};
use uuid::Uuid;

use crate::answers::run::RunNow;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::kept::Kept;
use crate::paper::text::plain::plain;
use crate::tables::spoilage::Sign;
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// A jar in a list.
pub(super) struct Line {
    pub(super) jar: JarCode,
    pub(super) product: String,
    pub(super) what: String,
    /// With a comma in front, or nothing.
    pub(super) place: String,
    /// Whether it leads to its batch.
    pub(super) whole_batch: bool,
}

/// What the templates make of texts.
mod filters {
    use std::fmt::Display;

    use askama::filters::{Html, Safe, escape};
    use askama::{Result, Values};

    /// A longer word breaks where it must, or the page would be wider than the phone.
    const LONGEST: usize = 16;

    /// Escapes it, and keeps dates and codes whole where lines break.
    #[askama::filter_fn]
    pub(super) fn whole(text: impl Display, _: &dyn Values) -> Result<Safe<String>> {
        let escaped = escape(text.to_string(), Html)?.to_string();
        let words = escaped.split(' ').map(|word| {
            let is_code = word.contains('-') && word.starts_with(|letter: char| letter.is_ascii_digit());
            if is_code && word.len() <= LONGEST {
                format!("<span class=\"whole\">{word}</span>")
            } else {
                word.to_owned()
            }
        });
        Ok(Safe(words.collect::<Vec<_>>().join(" ")))
    }

    /// Begins it with a capital.
    #[askama::filter_fn]
    pub(super) fn begun(text: impl Display, _: &dyn Values) -> Result<String> {
        let text = text.to_string();
        let mut letters = text.chars();
        Ok(letters
            .next()
            .map(|first| first.to_uppercase().collect::<String>() + letters.as_str())
            .unwrap_or_default())
    }
}

macro_rules! page {
    ($name:ident, $file:literal, { $($field:ident: $kind:ty),* $(,)? }) => {
        #[derive(Template)]
        #[template(path = $file, config = "src/page/askama.toml")]
        pub(super) struct $name<'a> {
            $(pub(super) $field: $kind,)*
        }

        impl $name<'_> {
            pub(super) fn html(&self) -> String {
                plain(self.render().expect("writing to a string cannot fail"))
            }
        }
    };
}

page!(TroublePage, "trouble.html", { what: &'a str, near: &'a [JarCode] });
page!(UnknownPage, "unknown.html", { path: &'a str, code: &'a str });
page!(PairPage, "pair.html", { code: &'a str });
page!(DonePage, "done.html", { title: &'a str, lines: &'a [String], jar: Option<JarCode>, undo: Option<Uuid>, key: Uuid });
page!(TodayPage, "today.html", {
    runs: &'a [RunNow], now: DateTime<FixedOffset>,
    decide: &'a [Line], eat: &'a [Line], more_eat: usize, held: usize, held_words: String,
    cautions: &'a [String], last: Option<Kept>, key: Uuid,
});
page!(JarPage, "jar.html", {
    jar: &'a Jar, held: bool, reasons: String, standing: String, takes_seal: bool, takes_open: bool,
    takes_finish: bool, takes_chill: bool, takes_freeze: bool, takes_move: bool, takes_give: bool,
    takes_discard: bool, places: Vec<String>, people: Vec<String>, signs: Vec<&'static Sign>,
    rescue: Vec<String>, story: Vec<String>,
});
page!(FindPage, "find.html", { q: &'a str, found: &'a [Line], more: usize, products: Vec<String> });
page!(BatchPage, "batch.html", {
    code: BatchCode, product: &'a str, windows: &'a [String], cooling: &'a [JarCode], early: bool, jars: &'a [Line],
    key: Uuid,
});
page!(WalkPage, "walk.html", { place: Option<&'a str>, places: Vec<String>, expected: &'a [Line], key: Uuid });
page!(RunPage, "run.html", {
    runs: &'a [RunNow], notice: Option<&'a str>, refused: Option<&'a str>,
});
page!(CountPage, "count.html", {
    place: &'a str, lines: &'a [String], settles: usize, settles_words: String, seen: String, would_change: String,
    changed: bool, key: Uuid,
});

impl JarPage<'_> {
    /// A name for each act.
    fn key(&self) -> Uuid {
        Uuid::new_v4()
    }
}

impl RunPage<'_> {
    /// A name for each step.
    fn key(&self) -> Uuid {
        Uuid::new_v4()
    }

    /// What the page stands for: another one has other steps to press.
    fn stands_for(&self) -> String {
        let stands: Vec<String> =
            self.runs.iter().map(|run| format!("{} {} {}", run.run, run.last_name, run.phase)).collect();
        stands.join(", ")
    }
}

pub(super) fn trouble(what: &str, near: &[JarCode]) -> String {
    TroublePage { what, near }.html()
}

/// For a phone that shows nothing we know. One that comes from its camera may show it only from the next page on.
pub(super) fn unknown_phone(path: &str) -> String {
    UnknownPage { path, code: "" }.html()
}

pub(super) fn pair(code: &str) -> String {
    PairPage { code }.html()
}
