//! The shelf: stock, jars, stocktake, today, report and calendar.

mod calendar;
mod calendar_file;
mod count;
mod jar;
mod report;
mod report_page;
mod stock;
mod today;
