//! What holds where nothing else is said, and who said it.

use serde::Serialize;

use crate::cli::context::{find_ledger, now};
use crate::cli::global_args::GlobalArgs;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::columns;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::setting::QUALITY_MONTHS;
use crate::paper::label::sheet::built_in::DEFAULT_SHEET;
use crate::values::measures::units::Units;
use crate::values::time::day_words::DayOrder;
use crate::values::time::on_screen;

/// A setting in force.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(in crate::cli) struct Setting {
    /// What is set.
    setting: &'static str,
    /// The product it is for, where it is not for all.
    #[serde(skip_serializing_if = "Option::is_none")]
    product: Option<String>,
    /// To what; none: not set, and needed.
    value: Option<String>,
    /// Who said it.
    from: String,
    /// The flag that goes before it for one command.
    instead: &'static str,
}

const BUILT_IN: &str = "built in";

/// Every setting, as it is in force for this command line.
pub(in crate::cli) fn in_force(global: &GlobalArgs) -> Vec<Setting> {
    let found = find_ledger(global);
    let ledger = found.as_ref().ok().and_then(|(path, _)| Ledger::glance(path).ok());
    let kept = ledger.and_then(|ledger| ledger.settings().ok()).unwrap_or_default();
    on_screen::write_days_in(kept.day_order);
    let setting = |setting, value: Option<String>, from: &str, instead| Setting {
        setting,
        product: None,
        value,
        from: from.to_owned(),
        instead,
    };
    let by_ledger = |set: bool| if set { "said to `setup`" } else { BUILT_IN };
    let mut settings = vec![
        match &found {
            Ok((path, origin)) => {
                setting("ledger", Some(path.display().to_string()), origin.in_words(), "--ledger")
            }
            Err(_) => setting("ledger", None, "nowhere", "--ledger"),
        },
        setting(
            "today",
            Some(on_screen::day(now(global).date_naive())),
            if global.today.is_some() { "named by --today" } else { "read from the clock" },
            "--today",
        ),
        setting(
            "columns",
            columns().map(|columns| columns.to_string()),
            if std::env::var_os("COLUMNS").is_some() { "named by COLUMNS" } else { "set by the terminal" },
            "",
        ),
        setting(
            "altitude",
            kept.altitude.map(|altitude| altitude.to_string()),
            if kept.altitude.is_some() { "said to `setup`" } else { "not said yet" },
            "--altitude",
        ),
        setting(
            "dates on labels",
            Some(kept.day_order.unwrap_or(DayOrder::DayMonthYear).to_string()),
            by_ledger(kept.day_order.is_some()),
            "--dates",
        ),
        setting(
            "dates on screens",
            Some(kept.day_order.map_or_else(|| "iso".to_owned(), |order| order.to_string())),
            by_ledger(kept.day_order.is_some()),
            "",
        ),
        setting(
            "measures",
            Some(kept.units.unwrap_or(Units::Us).to_string()),
            by_ledger(kept.units.is_some()),
            "",
        ),
        setting("label sheet", Some(DEFAULT_SHEET.to_owned()), BUILT_IN, "--sheet"),
        setting("best-by months", Some(QUALITY_MONTHS.to_string()), BUILT_IN, "--quality-months"),
    ];
    settings.extend(kept.quality_months.into_iter().map(|(product, months)| Setting {
        product: Some(product),
        ..setting("best-by months", Some(months.to_string()), "said to `putup`", "--quality-months")
    }));
    settings
}

/// Says them, a line each.
pub(in crate::cli) fn say(settings: &[Setting], screen: &mut Screen) {
    screen.say("Settings and where they come from:");
    for setting in settings {
        let product = setting.product.as_ref().map(|product| format!(" of {product}")).unwrap_or_default();
        let value = setting.value.as_deref().unwrap_or("none");
        let instead = match setting.instead {
            "" => String::new(),
            flag if setting.from.ends_with(flag) => String::new(),
            flag => format!("; {flag} overrides it"),
        };
        screen.say(format!("  {}{product}: {value} ({}{instead})", setting.setting, setting.from));
    }
}
