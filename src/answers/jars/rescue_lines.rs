//! What may still be done with a jar whose seal or whose load failed, in lines.

use crate::answers::moments;
use crate::answers::say::Say;
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::rules::load::consequence::{RESCUE_SOURCES, RESCUE_SOURCES_SHORT};
use crate::rules::load::remedy::Remedy;
use crate::values::time::clock::Clock;

/// Says the remedies there are and until when.
pub(crate) fn say_rescue(rescue: &Rescue, indent: &str, clock: Clock, screen: &mut impl Say) {
    let in_time = rescue.remedies.iter().any(|&remedy| remedy != Remedy::Discard);
    screen.say(match (in_time, rescue.until) {
        (true, Some(until)) => format!("{indent}Until {} you may", moments::in_words(until, clock)),
        (true, None) => format!("{indent}You may"),
        (false, Some(until)) => {
            format!("{indent}The time to rescue it ended {}. What is left:", moments::in_words(until, clock))
        }
        (false, None) => format!("{indent}What is left:"),
    });
    for remedy in &rescue.remedies {
        screen.say(format!("{indent}- {remedy}: {}", remedy.how()));
    }
    if rescue.load_failed {
        screen.say(format!("{indent}({RESCUE_SOURCES})"));
    }
}

/// Loads, and until when their jars may be rescued.
type Until<'a> = (Vec<&'a str>, String);

/// The remedies there are and until when, in one line, for loads that are named where several differ.
pub(crate) fn rescues_in_short(rescues: &[(String, &Rescue)], clock: Clock) -> Vec<String> {
    let mut lines: Vec<(&[Remedy], Vec<Until<'_>>)> = Vec::new();
    for (load, rescue) in rescues {
        let until = rescue.until.map(|until| {
            let is_today = on_the_wall(until).date_naive() == clock.today();
            if is_today {
                on_the_wall(until).format("%H:%M").to_string()
            } else {
                moments::in_words(until, clock)
            }
        });
        let until = until.unwrap_or_else(|| "a time nobody wrote down".to_owned());
        let at = lines.iter().position(|(remedies, _)| *remedies == rescue.remedies).unwrap_or_else(|| {
            lines.push((&rescue.remedies, Vec::new()));
            lines.len() - 1
        });
        let times = &mut lines[at].1;
        match times.iter_mut().find(|(_, time)| *time == until) {
            Some((loads, _)) => loads.push(load),
            None => times.push((vec![load], until)),
        }
    }
    let are_several = lines.len() > 1 || lines.iter().any(|(_, times)| times.len() > 1);
    lines.into_iter().map(|(remedies, times)| in_short(remedies, &times, are_several)).collect()
}

fn in_short(remedies: &[Remedy], times: &[Until<'_>], are_several: bool) -> String {
    let in_time = remedies.iter().any(|&remedy| remedy != Remedy::Discard);
    let times: Vec<String> = times
        .iter()
        .map(|(loads, time)| {
            let of = if are_several { format!("{} ", loads.join(", ")) } else { String::new() };
            let until = if in_time { "until" } else { "the time to rescue them ended" };
            format!("{of}{until} {time}")
        })
        .collect();
    let ways: Vec<&str> = remedies.iter().map(|remedy| remedy.in_short()).collect();
    let ways = match ways.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{}, or {last}", others.join(", ")),
        _ => ways.join(""),
    };
    let text = format!("{}: {ways}. {RESCUE_SOURCES_SHORT}", times.join("; "));
    text[..1].to_uppercase() + &text[1..]
}

/// What to type next, by what may be done with these jars, named as they are typed.
pub(crate) fn next_after(remedies: &[Remedy], jars: &str) -> String {
    if remedies.iter().any(|&remedy| remedy != Remedy::Discard) {
        format!("`jarledger freeze {jars}` (or `chill`, or `putup --reprocess`)")
    } else {
        format!("`jarledger discard {jars}` shows how")
    }
}
