//! How and where the jars of the household stand, as the page shows it.

use std::collections::BTreeMap;

use crate::answers::shelf::report::stands::{Group, Stands, Way, at};
use crate::cli::eating::eat::words::named;
use crate::paper::report::model::{Aside, Figure, JarsLine, PlaceLine};

/// The ways to stand, in the order they are shown.
const WAYS: [Way; 8] = [
    Way::Shelf,
    Way::Unrecorded,
    Way::Unchecked,
    Way::Unsealed,
    Way::Refrigerator,
    Way::Freezer,
    Way::OnHold,
    Way::Missing,
];

/// What a number of such jars is followed by.
pub(super) const fn in_words(way: Way) -> &'static str {
    match way {
        Way::Shelf => "on the shelf",
        Way::Unrecorded => "process not on record",
        Way::Unchecked => "seal not checked",
        Way::Unsealed => "not sealed",
        Way::Refrigerator => "in the refrigerator",
        Way::Freezer => "in the freezer",
        Way::OnHold => "on hold",
        Way::Missing => "missing",
    }
}

/// The heading over such jars, and what to bear in mind.
const fn heading(way: Way) -> (&'static str, &'static str) {
    match way {
        Way::Shelf => ("On the shelf", ""),
        Way::Unrecorded => (
            "Process not on record",
            "Low-acid and tomato food: unless you know its process yourself, do not eat it.",
        ),
        Way::Unchecked => ("Seal not checked", "Not food on the shelf until the lids were checked."),
        Way::Unsealed => ("Not sealed", "Not food on the shelf until something is decided about them."),
        Way::Refrigerator => ("In the refrigerator", ""),
        Way::Freezer => ("In the freezer", ""),
        Way::OnHold => ("On hold", "Do not eat from these jars."),
        Way::Missing => ("Missing", "Not found where they should stand."),
    }
}

fn line_of(group: &Group) -> JarsLine {
    JarsLine {
        count: group.jars(),
        jars: named(group.codes.iter().copied()),
        product: group.product_and_size(),
        text: group.text.clone(),
    }
}

/// The figures that add up to all jars; those on the shelf are shown even where there are none.
pub(super) fn figures(stands: &Stands) -> Vec<Figure> {
    WAYS.iter()
        .map(|&way| (way, stands.jars(way)))
        .filter(|&(way, jars)| jars > 0 || way == Way::Shelf)
        .map(|(way, jars)| Figure { what: in_words(way), jars })
        .collect()
}

/// What stands on the shelf, place by place, and how many jars beside it are no food as they stand; what has no
/// place on record comes last.
pub(super) fn places(stands: &Stands) -> Vec<PlaceLine> {
    let mut places: BTreeMap<(bool, Option<&str>), PlaceLine> = BTreeMap::new();
    for group in stands.groups.iter().filter(|group| group.is_here) {
        let place = group.place.as_deref();
        let line = places.entry((place.is_none(), place)).or_insert_with(|| PlaceLine {
            place: at(place).to_owned(),
            products: Vec::new(),
            batches: Vec::new(),
            besides: Vec::new(),
        });
        if group.way != Way::Shelf {
            Figure::add(&mut line.besides, in_words(group.way), group.jars());
            continue;
        }
        let product = group.product_and_size();
        match line.products.iter_mut().find(|(known, _)| *known == product) {
            Some((_, jars)) => *jars += group.jars(),
            None => line.products.push((product, group.jars())),
        }
        line.batches.push(line_of(group));
    }
    places.into_values().collect()
}

/// The jars kept apart, with the reasons of those on hold.
pub(super) fn aside(stands: &Stands, on_hold: &[JarsLine]) -> Vec<Aside> {
    (WAYS[1..].iter())
        .map(|&way| {
            let (what, note) = heading(way);
            let of_way = stands.groups.iter().filter(|group| group.way == way);
            let lines = match way {
                Way::OnHold => on_hold.to_vec(),
                _ => of_way.map(line_of).collect(),
            };
            Aside { what, note, lines }
        })
        .filter(|aside| !aside.lines.is_empty())
        .collect()
}
