//! The rules of the trade: pure values and decisions.
//!
//! Nothing here touches SQL, the clock, files or the environment; whatever a
//! rule needs to know enters as a parameter.

mod named;
pub mod near;
pub use named::UnknownName;
pub(crate) use named::named_enum;

pub mod acid;
pub mod altitude;
pub mod basis;
pub mod care;
pub mod cautions;
pub mod civil_day;
pub mod clock;
pub mod clock_time;
pub mod consequence;
pub mod count_line;
pub mod counted;
pub mod day_words;
pub mod decide_now;
pub(crate) mod decimal;
mod exact_test;
pub mod finding;
pub mod food;
pub mod food_search;
pub mod gauge;
pub mod gauge_history;
pub mod jar_code;
pub mod jar_list;
pub mod jar_size;
pub mod jar_state;
pub mod jar_word;
pub mod keep_up;
pub mod keeps;
pub mod label_warning;
pub mod level_plan;
pub mod load_code;
pub mod load_record;
pub mod load_times;
pub mod loading;
pub mod method;
pub mod month;
pub mod name;
pub mod opened;
pub mod past_use;
pub mod permit;
pub mod plan;
pub mod pounds;
pub mod pressure;
pub mod process;
pub mod process_record;
pub mod produce;
pub mod remedy;
pub mod rotation;
pub mod run_time;
pub mod seal_statistics;
pub mod seal_test;
pub mod seal_window;
pub mod season;
pub mod season_work;
pub mod spoilage;
pub mod sureness;
pub mod suspect;
pub mod verdict;
pub mod what_if;
