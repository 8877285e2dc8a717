//! The stock by product, size, state and place.

use std::collections::HashMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::answers::streamed::Streamed;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::ledger::jar::shelf::Stock;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::process_record::ProcessMark;
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::clock::Clock;

/// What is in the house of what was asked for.
#[derive(Serialize)]
pub(crate) struct Answer<'a> {
    total: u64,
    pub(crate) stock: Vec<Alike>,
    /// Every jar, where they are wanted one by one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) jars: Option<Streamed<'a, Listed>>,
}

/// Jars alike, with what became of those in the refrigerator and those that did not seal.
#[derive(Serialize)]
pub(crate) struct Alike {
    #[serde(flatten)]
    pub(crate) stock: Stock,
    use_by: Option<NaiveDate>,
    discard: u32,
    /// Until when the first of them is to be eaten.
    #[serde(skip)]
    pub(crate) keeps: Keeps,
    /// How many of them are past that.
    #[serde(skip)]
    pub(crate) past: u32,
}

/// One jar.
#[derive(Serialize)]
pub(crate) struct Listed {
    #[serde(flatten)]
    pub(crate) jar: Jar,
    pub(crate) past_best: bool,
    use_by: Option<NaiveDate>,
    discard: bool,
    #[serde(skip)]
    pub(crate) keeps: Keeps,
}

/// Jars that their best by says nothing of any more: in the refrigerator, or not sealed.
#[derive(Default)]
struct OffTheShelf {
    use_by: Option<NaiveDate>,
    discard: u32,
    undecided: u32,
}

/// What jars are alike in.
type Kind = (String, JarSize, JarState, bool, ProcessMark, Option<String>);

impl<'a> Answer<'a> {
    /// Answers from the jars meant.
    pub(crate) fn read(
        ledger: &'a Ledger,
        which: &'a Which,
        each_jar: bool,
        clock: Clock,
    ) -> Result<Self, LedgerError> {
        let stock = ledger.shelf(which, clock.today())?;
        let off = off_the_shelf(ledger, which, &stock, clock)?;
        Ok(Self {
            total: stock.iter().map(|alike| u64::from(alike.jars)).sum(),
            stock: stock.into_iter().map(|stock| Alike::of(off.get(&kind(&stock)), stock)).collect(),
            jars: each_jar.then(|| {
                Streamed::new(move |take| ledger.each_live_jar(which, |live| take(Listed::of(live, clock))))
            }),
        })
    }
}

impl Alike {
    fn of(off: Option<&OffTheShelf>, stock: Stock) -> Self {
        let (keeps, past) = match off {
            None => (Keeps::BestBy(stock.best_by), stock.past_best),
            Some(off) => {
                let keeps = match (off.use_by, off.undecided) {
                    (Some(day), _) => Keeps::UseBy(day),
                    (None, 1..) => Keeps::Undecided,
                    (None, 0) => Keeps::Discard,
                };
                (keeps, off.discard)
            }
        };
        Self { use_by: keeps.use_by(), discard: off.map_or(0, |off| off.discard), stock, keeps, past }
    }
}

impl Listed {
    fn of(live: LiveJar, clock: Clock) -> Self {
        let keeps = live.keeps(clock.now);
        Self {
            past_best: live.jar.best_by < clock.today(),
            use_by: keeps.use_by(),
            discard: keeps == Keeps::Discard,
            jar: live.jar,
            keeps,
        }
    }
}

fn kind(stock: &Stock) -> Kind {
    let Stock { product, size, state, on_hold, process, place, .. } = stock;
    (product.clone(), *size, *state, *on_hold, process.clone(), place.clone())
}

/// The jars in the refrigerator and those not sealed, where there are any.
fn off_the_shelf(
    ledger: &Ledger,
    which: &Which,
    stock: &[Stock],
    clock: Clock,
) -> Result<HashMap<Kind, OffTheShelf>, LedgerError> {
    let is_off = |state| matches!(state, JarState::Opened | JarState::Chilled | JarState::Unsealed);
    let mut found: HashMap<Kind, OffTheShelf> = HashMap::new();
    if !stock.iter().any(|alike| is_off(alike.state)) {
        return Ok(found);
    }
    let which = Which { not_good: true, ..which.clone() };
    ledger.each_live_jar(&which, |live| {
        if is_off(live.jar.state) {
            let keeps = live.keeps(clock.now);
            let jar = live.jar;
            let off = found
                .entry((jar.product, jar.size, jar.state, jar.on_hold, jar.process, jar.place))
                .or_default();
            off.discard += u32::from(keeps == Keeps::Discard);
            off.undecided += u32::from(keeps == Keeps::Undecided);
            off.use_by = [off.use_by, keeps.use_by()].into_iter().flatten().min();
        }
        Ok::<(), LedgerError>(())
    })?;
    Ok(found)
}
