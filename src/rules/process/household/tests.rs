//! What a household may add, and how it is answered.

use crate::rules::process::household::*;
use crate::rules::process::look_up;
use crate::values::measures::altitude::Altitude;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn today() -> NaiveDate {
    day("2031-08-20")
}

/// An invented process of an invented bulletin.
fn turnips() -> HouseholdProcess {
    HouseholdProcess {
        food: "turnips".parse().unwrap(),
        acidity: Acidity::LowAcid,
        pack: Pack::Hot,
        size: JarSize::Pint,
        method: Method::PressureDial,
        altitude_min_ft: 0,
        altitude_max_ft: Some(2_000),
        minutes: 30,
        psi: Some(Pressure::from_psi(11)),
        vent_min: 10,
        headspace_hundredths_in: 100,
        publication: "Invented Bulletin".to_owned(),
        page: "page 4".to_owned(),
        published_on: day("2030-01-01"),
        entered_on: today(),
    }
}

fn wrong(change: impl FnOnce(&mut HouseholdProcess)) -> HouseholdProcessError {
    let mut process = turnips();
    change(&mut process);
    process.check(today()).unwrap_err()
}

#[test]
fn a_process_needs_its_publication_page_and_date() {
    assert_eq!(turnips().check(today()), Ok(()));
    assert_eq!(wrong(|own| own.publication = " ".into()), HouseholdProcessError::NoSource("publication"));
    assert_eq!(wrong(|own| own.page.clear()), HouseholdProcessError::NoSource("page"));
    let late = day("2031-08-21");
    assert_eq!(wrong(|own| own.published_on = late), HouseholdProcessError::FromTheFuture(late));
}

#[test]
fn low_acid_food_cannot_be_given_boiling_water_nor_a_low_pressure() {
    assert!(matches!(
        wrong(|own| {
            own.method = Method::BoilingWater;
            own.psi = None;
            own.vent_min = 0;
        }),
        HouseholdProcessError::LowAcidInBoilingWater(_)
    ));
    assert!(matches!(
        wrong(|own| own.psi = Some(Pressure::from_centi_psi(999))),
        HouseholdProcessError::LowAcidTooLow(_)
    ));
    // The tables list green beans as low-acid: calling them acid is no way round.
    assert!(matches!(
        wrong(|own| {
            own.food = "green-beans".parse().unwrap();
            own.acidity = Acidity::Acid;
            own.method = Method::BoilingWater;
            own.psi = None;
            own.vent_min = 0;
        }),
        HouseholdProcessError::OtherAcidity { .. }
    ));
}

#[test]
fn a_food_of_the_tables_goes_by_no_other_key() {
    for (near, listed) in [
        ("greenbeans", "green-beans"),
        ("green-bean", "green-beans"),
        ("string-beans", "green-beans"),
        ("corn", "corn-whole-kernel or corn-cream-style"),
    ] {
        let named = wrong(|own| {
            own.food = near.parse().unwrap();
            own.acidity = Acidity::Acid;
        });
        let food = near.parse().unwrap();
        assert_eq!(named, HouseholdProcessError::OtherKey { food, listed: listed.to_owned() });
    }
    let turned = wrong(|own| {
        own.food = "beans-green".parse().unwrap();
        own.acidity = Acidity::Acid;
    });
    assert!(matches!(turned, HouseholdProcessError::OtherKey { listed, .. } if listed == "green-beans"));
    // The key itself is the way to add a process for that food.
    let beans = HouseholdProcess { food: "green-beans".parse().unwrap(), ..turnips() };
    assert_eq!(beans.check(today()), Ok(()));
}

// Which food is low-acid: common knowledge and the tables, no source. Calling it acid is no way round the botulism rule.
#[test]
fn a_name_that_names_low_acid_food_is_not_acid_by_the_household_s_word() {
    for (food, acidity) in [
        ("turnips", Acidity::Acid),
        ("grandmas-green-beans", Acidity::Acid),
        ("garlic-cloves", Acidity::Acid),
        ("bacon", Acidity::Acidified),
        ("hominy", Acidity::Acidified),
    ] {
        let acid = |own: &mut HouseholdProcess| {
            own.food = food.parse().unwrap();
            own.acidity = acidity;
            own.method = Method::BoilingWater;
            own.psi = None;
            own.vent_min = 0;
        };
        assert!(matches!(wrong(acid), HouseholdProcessError::NamesOther { .. }), "{food}");
        // One that an older release took answers nothing.
        let mut old = turnips();
        acid(&mut old);
        let question = ProcessQuestion {
            food: old.food.clone(),
            pack: old.pack,
            size: old.size,
            method: old.method,
            altitude: Altitude::from_feet(0),
        };
        assert!(!old.answers(&question), "{food}");
    }
}

// Corn, whole kernel, in pints: 55 minutes at 11 psi up to 2,000 ft (USDA AIB 539, Guide 4).
#[test]
fn a_name_with_a_low_acid_food_of_the_tables_in_it_owes_what_that_food_owes() {
    let corn =
        |minutes| HouseholdProcess { food: "grandmas-kernel-corn".parse().unwrap(), minutes, ..turnips() };
    let refused = corn(54).check(today()).unwrap_err();
    assert!(
        matches!(&refused, HouseholdProcessError::UnderTheTables { food, .. } if food.as_str().starts_with("corn-")),
        "{refused}"
    );
    assert_eq!(corn(55).check(today()), Ok(()));
}

#[test]
fn a_food_that_must_not_be_canned_has_no_own_process() {
    for food in ["pesto", "pumpkin-butter", "butter-pumpkin", "zucchini", "refried-beans"] {
        let refused = wrong(|own| own.food = food.parse().unwrap());
        assert!(matches!(refused, HouseholdProcessError::Never { .. }), "{food}: {refused:?}");
    }
}

// USDA AIB 539, Guide 4, Beans, snap and Italian: 20 min for pints and 25 min for quarts; 11 psi on a dial to 2,000 ft, 12
// to 4,000 ft; on a weighted gauge 10 psi to 1,000 ft and 15 psi above.
#[test]
fn an_own_process_never_stays_under_the_tables() {
    let beans = |size: &str, minutes, psi: i64, band| HouseholdProcess {
        food: "green-beans".parse().unwrap(),
        size: size.parse().unwrap(),
        minutes,
        psi: Some(Pressure::from_psi(psi)),
        altitude_min_ft: 0,
        altitude_max_ft: band,
        ..turnips()
    };
    let under = |own: &HouseholdProcess| match own.check(today()) {
        Ok(()) => None,
        Err(HouseholdProcessError::UnderTheTables { row, jar, .. }) => Some((jar.as_str(), row.minutes)),
        Err(other) => panic!("{other}"),
    };
    let to = Some(2_000);
    assert_eq!(under(&beans("pint", 20, 11, to)), None);
    assert_eq!(under(&beans("quart", 24, 11, to)), Some(("quart", 25)));
    assert_eq!(under(&beans("quart", 25, 11, to)), None);
    // A larger jar than any listed takes no less than the largest: mushrooms, Guide 4, have 45 min in half-pints and pints, and no quarts.
    let mushrooms = HouseholdProcess { food: "mushrooms".parse().unwrap(), ..beans("quart", 44, 11, to) };
    assert_eq!(under(&mushrooms), Some(("half-pint", 45)));
    // Penn State Extension: half-gallons for two juices only.
    let half_gallon = beans("half-gallon", 90, 11, to).check(today());
    assert!(matches!(half_gallon, Err(HouseholdProcessError::NeverInJar { .. })));
    // Less pressure than the row, however long; and anywhere includes where the table asks for more.
    assert_eq!(under(&beans("pint", 60, 10, to)), Some(("pint", 20)));
    assert!(under(&beans("pint", 60, 11, None)).is_some());
    // Fewer minutes at more pressure are fewer minutes.
    assert_eq!(under(&beans("quart", 22, 15, to)), Some(("quart", 25)));
    // A jar smaller than any listed has no row above it, and no table gives low-acid food less than 20 min.
    assert_eq!(under(&beans("half-pint", 20, 11, to)), None);
    let words = beans("quart", 24, 11, to).check(today()).unwrap_err().to_string();
    assert!(words.contains("25 min at 11 psi for green-beans in quarts, 0 to 2000 ft"), "{words}");
}

#[test]
fn every_range_holds_both_its_ends() {
    // The ranges are our own, wide enough for every published row.
    type Set = fn(&mut HouseholdProcess, i64);
    let ends: [(Set, [i64; 2]); 5] = [
        // Low-acid food: the fewest minutes of the tables are 20, green beans in pints (AIB 539, Guide 4).
        (|own, at| own.minutes = at as u32, [20, 600]),
        (|own, at| own.vent_min = at as u32, [10, 60]),
        (|own, at| own.headspace_hundredths_in = at as u32, [25, 300]),
        (|own, at| (own.altitude_min_ft, own.altitude_max_ft) = (at, None), [0, 30_000]),
        (|own, at| own.altitude_max_ft = Some(at), [0, 30_000]),
    ];
    for (set, [least, most]) in ends {
        for (at, fits) in [(least - 1, false), (least, true), (most, true), (most + 1, false)] {
            let mut process = turnips();
            set(&mut process, at);
            let found = process.check(today());
            assert_eq!(found.is_ok(), fits, "{at}: {found:?}");
        }
    }
    let in_a_kettle = |own: &mut HouseholdProcess| {
        own.food = "rose-hips".parse().unwrap();
        own.acidity = Acidity::Acid;
        own.method = Method::BoilingWater;
        own.psi = None;
    };
    let unvented = |vent_min| {
        let mut process = turnips();
        in_a_kettle(&mut process);
        process.vent_min = vent_min;
        process.check(today())
    };
    assert!(unvented(0).is_ok() && unvented(1).is_err());
}

// USDA AIB 539, Guide 1, Using Pressure Canners: weighted gauges regulate at 5, 10 or 15 psi.
#[test]
fn a_weight_is_of_five_ten_or_fifteen_pounds() {
    for psi in 1..=20 {
        let mut process = turnips();
        process.food = "rose-hips".parse().unwrap();
        process.acidity = Acidity::Acid;
        process.method = Method::PressureWeighted;
        process.psi = Some(Pressure::from_psi(psi));
        assert_eq!(process.check(today()).is_ok(), [5, 10, 15].contains(&psi), "{psi}");
    }
}

#[test]
fn figures_out_of_range_are_refused() {
    let out_of_range = |change: fn(&mut HouseholdProcess)| {
        assert!(matches!(wrong(change), HouseholdProcessError::OutOfRange { .. }));
    };
    out_of_range(|own| own.minutes = 0);
    out_of_range(|own| own.minutes = 601);
    out_of_range(|own| own.vent_min = 9);
    out_of_range(|own| own.headspace_hundredths_in = 24);
    out_of_range(|own| own.headspace_hundredths_in = 301);
    out_of_range(|own| own.altitude_min_ft = -1);
    out_of_range(|own| own.altitude_max_ft = Some(30_001));
    out_of_range(|own| {
        own.food = "rose-hips".parse().unwrap();
        own.acidity = Acidity::Acid;
        own.psi = Some(Pressure::from_centi_psi(99));
    });
    assert!(matches!(
        wrong(|own| {
            own.altitude_min_ft = 2_001;
        }),
        HouseholdProcessError::BandUpsideDown { min_ft: 2_001, max_ft: 2_000 }
    ));
    assert!(matches!(wrong(|own| own.psi = None), HouseholdProcessError::Pressure(..)));
    assert!(matches!(
        wrong(|own| own.method = Method::PressureWeighted),
        HouseholdProcessError::NotAWeight(_)
    ));
}

#[test]
fn processes_at_the_very_edge_of_the_rules_are_taken() {
    let taken = |change: fn(&mut HouseholdProcess)| {
        let mut process = turnips();
        change(&mut process);
        assert_eq!(process.check(today()), Ok(()), "{process:?}");
    };
    taken(|own| own.published_on = today());
    taken(|own| own.altitude_min_ft = 2_000);
    taken(|own| {
        own.method = Method::PressureWeighted;
        own.psi = Some(Pressure::from_psi(10));
    });
    taken(|own| {
        own.food = "rose-hips".parse().unwrap();
        own.acidity = Acidity::Acid;
        own.psi = Some(Pressure::from_psi(1));
    });
    taken(|own| {
        own.acidity = Acidity::Acidified;
        own.method = Method::BoilingWater;
        own.psi = None;
        own.vent_min = 0;
    });
}

#[test]
fn boiling_water_has_neither_pressure_nor_vent() {
    let boiling = |psi, vent_min| {
        wrong(move |own| {
            own.food = "rose-hips".parse().unwrap();
            own.acidity = Acidity::Acid;
            own.method = Method::BoilingWater;
            own.psi = psi;
            own.vent_min = vent_min;
        })
    };
    assert!(matches!(boiling(Some(Pressure::from_psi(11)), 0), HouseholdProcessError::Pressure(..)));
    assert!(matches!(boiling(None, 10), HouseholdProcessError::OutOfRange { .. }));
}

#[test]
fn tomatoes_take_their_acid_whoever_published_the_process() {
    let own = |food: &str| HouseholdProcess { food: food.parse().unwrap(), ..turnips() };
    assert_eq!(
        own("tomatoes-crushed").tested().acid,
        acid::doses(&"tomatoes-crushed".parse().unwrap(), JarSize::Pint)
    );
    assert!(own("beets").tested().acid.is_empty());
}

#[test]
fn an_own_process_is_answered_beside_the_tables_and_marked_as_theirs() {
    let question = ProcessQuestion {
        food: "turnips".parse().unwrap(),
        pack: Pack::Hot,
        size: JarSize::Pint,
        method: Method::PressureDial,
        altitude: Altitude::from_feet(2_000),
    };
    let answer = look_up(&question, &[turnips()]);
    assert!(answer.options.is_empty());
    assert_eq!(answer.household_options.len(), 1);
    let own = &answer.household_options[0];
    assert_eq!(own.basis, Basis::Household);
    assert_eq!(own.source, "Invented Bulletin, page 4 (2030-01-01)");
    let bare = HouseholdProcess { page: " 4".to_owned(), ..turnips() };
    assert_eq!(bare.tested().source, own.source);
    assert_eq!((own.minutes, own.psi, own.vent_min), (30, Some(Pressure::from_psi(11)), 10));
    assert_eq!(own.headspace_in, 1.0);
    let above = ProcessQuestion { altitude: Altitude::from_feet(2_001), ..question.clone() };
    assert_eq!(look_up(&above, &[turnips()]).all().count(), 0);
    for other in [
        ProcessQuestion { pack: Pack::Raw, ..question.clone() },
        ProcessQuestion { size: JarSize::Quart, ..question.clone() },
        ProcessQuestion { method: Method::PressureWeighted, ..question.clone() },
        ProcessQuestion { food: "beets".parse().unwrap(), ..question.clone() },
    ] {
        assert!(look_up(&other, &[turnips()]).household_options.is_empty(), "{other:?}");
    }
}

#[test]
fn an_own_process_for_a_listed_food_leaves_the_published_ones_as_they_are() {
    let mut own = turnips();
    own.food = "beets".parse().unwrap();
    own.minutes = 999;
    let question = ProcessQuestion {
        food: own.food.clone(),
        pack: own.pack,
        size: own.size,
        method: own.method,
        altitude: Altitude::from_feet(0),
    };
    let with = look_up(&question, &[own]);
    let without = look_up(&question, &[]);
    assert_eq!(with.options, without.options);
    assert_eq!(with.all().map(|process| process.minutes).collect::<Vec<_>>(), [30, 999]);
}
