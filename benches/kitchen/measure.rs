//! Time and memory of a whole process.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Runs a command that must succeed, its output thrown away, and says how long that took.
pub fn time(command: &mut Command) -> Duration {
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let begun = Instant::now();
    let status = command.status().unwrap_or_else(|error| panic!("{command:?}: {error}"));
    let took = begun.elapsed();
    assert!(status.success(), "{command:?}: {status}");
    took
}

/// Runs a command and says how long it took and how much memory it held at most, in MiB, as the system told while it
/// ran; what a process takes in its last moments may go unseen.
pub fn peak(command: &mut Command) -> (Duration, f64) {
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let begun = Instant::now();
    let mut child = command.spawn().unwrap_or_else(|error| panic!("{command:?}: {error}"));
    let status = format!("/proc/{}/status", child.id());
    let mut most = 0_u32;
    let ended = loop {
        let told = std::fs::read_to_string(&status).unwrap_or_default();
        let kib = told
            .lines()
            .find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.parse().ok());
        most = most.max(kib.unwrap_or(0));
        if let Some(ended) = child.try_wait().unwrap() {
            break ended;
        }
        // A long one is not looked at all the time.
        if begun.elapsed() > Duration::from_millis(200) {
            std::thread::sleep(Duration::from_millis(1));
        }
    };
    assert!(ended.success(), "{command:?}: {ended}");
    (begun.elapsed(), f64::from(most) / 1024.0)
}

/// The middle one.
pub fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

pub fn millis(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
