//! Each product over the past year and the year ahead, and how long it lasts, as the page shows it.

use std::collections::{BTreeMap, HashMap};

use crate::answers::shelf::report::products::Product;
use crate::answers::shelf::report::stands::{OnShelf, Stands, at};
use crate::cli::eating::eat::words::named;
use crate::cli::shelf::report::stands::in_words;
use crate::paper::report::model::{Figure, JarsLine, LastingLine, ProductLine, YearLine};
use crate::rules::eating::keep_up::Outlook;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::month::Month;

/// The group of products that have no month to last until.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Lasts {
    Gone,
    NoneOnShelf,
    PastBest,
    Until(Month),
    NotInTime,
    NoRate,
}

/// A product's line.
pub(super) fn line(product: Product) -> ProductLine {
    let Product { product, sizes, marks, elsewhere, past, ahead, year, outlook } = product;
    let figure = |(way, jars)| Figure { what: in_words(way), jars };
    let year = year.map_or_else(YearLine::default, |year| YearLine {
        put_up: year.put_up.into(),
        eaten: year.eaten.into(),
        given: year.given.into(),
        thrown_away: year.thrown_away.into(),
    });
    let elsewhere = elsewhere.into_iter().map(figure).collect();
    ProductLine { product, sizes, marks, elsewhere, past, ahead, year, outlook }
}

/// The products by how long they last.
pub(super) fn lasting(products: &[ProductLine]) -> Vec<LastingLine> {
    let mut by_time: BTreeMap<Lasts, Vec<String>> = BTreeMap::new();
    for line in products {
        let Some(outlook) = line.outlook else { continue };
        let lasts = match outlook {
            Outlook::RanOut { .. } => Lasts::Gone,
            Outlook::NothingAhead if line.sizes.is_empty() => Lasts::NoneOnShelf,
            Outlook::NothingAhead => Lasts::PastBest,
            Outlook::NoRate => Lasts::NoRate,
            Outlook::Reached { runs_out } | Outlook::Surplus { runs_out: Some(runs_out), .. } => {
                Lasts::Until(Month::of(runs_out))
            }
            Outlook::Surplus { runs_out: None, .. } => Lasts::NotInTime,
        };
        // Nothing on the shelf is not nothing in the house.
        let elsewhere = line.elsewhere.iter().filter(|_| lasts == Lasts::NoneOnShelf);
        let why: Vec<String> = elsewhere.map(|Figure { what, jars }| format!("{jars} {what}")).collect();
        let product = if why.is_empty() {
            line.product.clone()
        } else {
            format!("{} ({})", line.product, why.join(", "))
        };
        by_time.entry(lasts).or_default().push(product);
    }
    by_time.into_iter().map(|(lasts, products)| LastingLine { until: lasts.in_words(), products }).collect()
}

/// The jars that are not reached, by batch and place.
pub(super) fn surplus(missed: &[OnShelf], stands: &Stands) -> Vec<JarsLine> {
    let mut groups: Vec<(usize, Vec<JarCode>)> = Vec::new();
    let mut found: HashMap<usize, usize> = HashMap::new();
    for jar in missed {
        let turn = *found.entry(jar.group).or_insert_with(|| {
            groups.push((jar.group, Vec::new()));
            groups.len() - 1
        });
        groups[turn].1.push(jar.jar);
    }
    groups
        .into_iter()
        .map(|(group, codes)| {
            let group = &stands.groups[group];
            let place = at(group.place.as_deref());
            JarsLine {
                count: codes.len() as u64,
                jars: named(codes),
                product: group.product_and_size(),
                text: format!("{place}: {}", group.text),
            }
        })
        .collect()
}

impl Lasts {
    fn in_words(self) -> String {
        match self {
            Self::Gone => "None left".to_owned(),
            Self::NoneOnShelf => "None on the shelf".to_owned(),
            Self::PastBest => "Past best by".to_owned(),
            Self::Until(month) => format!("Until {}", month.in_words()),
            Self::NotInTime => "Not eaten in time".to_owned(),
            Self::NoRate => "None eaten yet".to_owned(),
        }
    }
}
