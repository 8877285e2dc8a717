//! What holds where nothing else is said, and who said it.

use serde::Serialize;

use crate::cli::global_args::GlobalArgs;
use crate::cli::global_args::{find_ledger, now};
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::columns;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::setting::{QUALITY_MONTHS, Settings};
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
const NOT_KNOWN: &str = "not known: the ledger does not open";

/// Every setting, as it is in force for this command line.
pub(in crate::cli) fn in_force(global: &GlobalArgs) -> Vec<Setting> {
    let found = find_ledger(global);
    let kept = match &found {
        Ok((path, _)) => Ledger::glance(path).and_then(|ledger| ledger.settings()),
        Err(_) => Ok(Settings::default()),
    };
    let is_known = matches!(&kept, Ok(_) | Err(LedgerError::NoLedger(_)));
    let kept = kept.unwrap_or_default();
    on_screen::write_days_in(kept.day_order);
    let setting = |setting, value: Option<String>, from: &str, instead| Setting {
        setting,
        product: None,
        value,
        from: from.to_owned(),
        instead,
    };
    let by_ledger = |set: bool, otherwise| match set {
        true => "said to `setup`",
        false if is_known => otherwise,
        false => NOT_KNOWN,
    };
    let unset = |value: String| is_known.then_some(value);
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
            by_ledger(kept.altitude.is_some(), "not said yet"),
            "--altitude",
        ),
        setting(
            "dates on labels",
            kept.day_order.map(|order| order.to_string()).or(unset(DayOrder::DayMonthYear.to_string())),
            by_ledger(kept.day_order.is_some(), BUILT_IN),
            "--dates",
        ),
        setting(
            "dates on screens",
            kept.day_order.map(|order| order.to_string()).or(unset("iso".to_owned())),
            by_ledger(kept.day_order.is_some(), BUILT_IN),
            "",
        ),
        setting(
            "measures",
            kept.units.map(|units| units.to_string()).or(unset(Units::Us.to_string())),
            by_ledger(kept.units.is_some(), BUILT_IN),
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
            _ if setting.from == NOT_KNOWN => String::new(),
            flag => format!("; {flag} overrides it"),
        };
        screen.say(format!("  {}{product}: {value} ({}{instead})", setting.setting, setting.from));
    }
}
