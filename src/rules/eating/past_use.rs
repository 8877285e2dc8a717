//! How fast a product was eaten, counted only over days when there was some to eat.

/// Mean days in a month of the Gregorian calendar: 146,097 days in 4,800 months.
const DAYS_A_MONTH: f64 = 30.436_875;

/// Jars eaten over the time a product stood on the shelf. Days with an empty
/// shelf say nothing about appetite and are left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PastUse {
    /// Jars opened for eating.
    pub eaten: u32,
    /// Days with at least one jar on the shelf.
    pub days: u32,
}

impl PastUse {
    /// Months with stock.
    pub fn months(self) -> f64 {
        months(self.days)
    }
}

/// So many days in mean months.
pub fn months(days: u32) -> f64 {
    f64::from(days) / DAYS_A_MONTH
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_mean_months() {
        // 146,097 days are 4,800 months of the Gregorian calendar (400 years, by hand).
        let past = PastUse { eaten: 1_200, days: 146_097 };
        assert!((past.months() - 4_800.0).abs() < 1e-9);
    }
}
