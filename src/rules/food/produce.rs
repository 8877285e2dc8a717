//! How much produce fills how many jars, where the guide gives a figure.

use crate::tables::yields;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::pounds::Pounds;

/// What a canner load of one food takes, as the guide gives it: average pounds as bought.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Yield {
    /// Which style of the food, where the guide gives several.
    pub style: Option<&'static str>,
    /// Pounds for `load_jars` jars; dry weight for dried beans and peas.
    pub load_pounds: Pounds,
    /// How many jars the figure is for: 7 quarts or 9 pints.
    pub load_jars: u32,
    /// Publication and section.
    pub source: String,
    /// How sure the figure is.
    pub basis: Basis,
    /// What must be said beside it.
    pub remark: Option<&'static str>,
}

/// What the guide says of a food in jars of one size; empty where it says nothing.
///
/// The guide gives loads of 7 quarts and of 9 pints. Other sizes are not worked out from them.
pub fn yields(food: &FoodId, size: JarSize) -> Vec<Yield> {
    let load = |row: &yields::YieldRow| match size {
        JarSize::Quart => row.pounds_7_quarts.map(|pounds| (pounds, 7)),
        JarSize::Pint => row.pounds_9_pints.map(|pounds| (pounds, 9)),
        _ => None,
    };
    yields::of(food)
        .filter_map(|row| {
            let (load_pounds, load_jars) = load(row)?;
            Some(Yield {
                style: row.style.as_deref(),
                load_pounds,
                load_jars,
                source: row.source.to_string(),
                basis: row.basis,
                remark: row.remark.as_deref(),
            })
        })
        .collect()
}

impl Yield {
    /// Pounds for so many jars, a part of a hundredth counting whole; none beyond 9,999 lb.
    pub fn pounds_for(&self, jars: u32) -> Option<Pounds> {
        let hundredths =
            (u64::from(jars) * u64::from(self.load_pounds.hundredths())).div_ceil(u64::from(self.load_jars));
        u32::try_from(hundredths).ok().filter(|&most| most <= 999_900).map(Pounds::from_hundredths)
    }

    /// How many whole jars a weight fills.
    pub fn jars_from(&self, pounds: Pounds) -> u32 {
        let jars = u64::from(pounds.hundredths()) * u64::from(self.load_jars)
            / u64::from(self.load_pounds.hundredths());
        u32::try_from(jars)
            .expect("9,999 lb at a hundredth of a pound a jar stay below four thousand million")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(food: &str, size: JarSize) -> Vec<Yield> {
        yields(&food.parse().unwrap(), size)
    }

    #[test]
    fn pounds_and_jars_follow_the_load_of_the_guide() {
        // AIB 539, Guide 4, snap beans: 14 lb for 7 quarts, 9 lb for 9 pints; 24 lb / 2 lb = 12 quarts by hand.
        let quarts = &of("green-beans", JarSize::Quart)[0];
        assert_eq!(quarts.pounds_for(14), Some("28".parse().unwrap()));
        assert_eq!(quarts.jars_from("24".parse().unwrap()), 12);
        assert_eq!(quarts.jars_from("25.99".parse().unwrap()), 12);
        let pints = &of("green-beans", JarSize::Pint)[0];
        assert_eq!(pints.jars_from("24".parse().unwrap()), 24);
        // Peas: 31.5 lb for 7 quarts is 4.5 lb a quart. Asparagus: 16 lb for 9 pints, 1.777… lb a pint.
        assert_eq!(of("peas-green", JarSize::Quart)[0].pounds_for(3), Some("13.5".parse().unwrap()));
        assert_eq!(of("asparagus", JarSize::Pint)[0].pounds_for(1), Some("1.78".parse().unwrap()));
        assert_eq!(of("asparagus", JarSize::Pint)[0].pounds_for(u32::MAX), None);
    }

    #[test]
    fn no_weight_is_given_that_could_not_be_entered() {
        // By hand: a load of 100 jars from a pound, so a jar takes a hundredth.
        let load_pounds = Pounds::from_hundredths(100);
        let load = Yield { load_pounds, load_jars: 100, ..of("beets", JarSize::Quart).remove(0) };
        assert_eq!(load.pounds_for(999_900), "9999".parse().ok());
        assert_eq!(load.pounds_for(999_901), None);
    }

    #[test]
    fn where_the_guide_gives_no_figure_none_is_worked_out() {
        assert!(of("green-beans", JarSize::HalfPint).is_empty());
        assert!(of("corn-cream-style", JarSize::Quart).is_empty());
        assert_eq!(of("corn-cream-style", JarSize::Pint).len(), 1);
        assert!(of("soup", JarSize::Quart).is_empty());
        assert!(of("turnips", JarSize::Quart).is_empty());
    }

    #[test]
    fn thin_and_thick_sauce_are_distinguished() {
        // AIB 539, Guide 3, standard tomato sauce, 7 quarts: 35 lb for thin sauce, 46 lb for thick.
        let styles = of("tomato-sauce-standard", JarSize::Quart);
        let found: Vec<_> = styles.iter().map(|one| (one.style, one.load_pounds.pounds())).collect();
        assert_eq!(found, [(Some("thin sauce"), 35.0), (Some("thick sauce"), 46.0)]);
    }
}
