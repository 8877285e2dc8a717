//! Before the day: processes, plans, recipes, the season.

mod plan;
mod planned_day;
mod process;
mod published;
mod recipe;
mod season;
