//! Faults injected into single system calls, and into disks.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use tempfile::TempDir;

use crate::lab::{Ended, Lab, ended};

/// A command that writes one small entry.
pub(crate) const WRITE: &[&str] =
    &["canner", "add", "Small weight", "--method", "pressure-weighted", "--holds", "pint:9"];

/// Says what is not tested here; where `CI=true` that is an error.
pub(crate) fn skip(what: &str) {
    assert!(std::env::var_os("CI").is_none_or(|ci| ci != "true"), "this machine cannot test {what}");
    eprintln!("SKIPPED: this machine cannot test {what}");
}

/// Says for the table of faults what a test went through.
pub(crate) fn counted(count: usize, what: &str) {
    println!("counted: {count} {what}");
}

/// Whether system calls can be traced here.
pub(crate) fn can_trace() -> bool {
    static CAN: OnceLock<bool> = OnceLock::new();
    let can = *CAN.get_or_init(|| {
        Command::new("strace").args(["-qq", "-o", "/dev/null", "true"]).status().is_ok_and(|s| s.success())
    });
    if !can {
        skip("faults in system calls (strace is missing or not allowed)");
    }
    can
}

/// One run with a fault in one system call.
#[derive(Debug)]
pub(crate) struct Hit {
    /// Where in the sweep.
    pub(crate) when: String,
    pub(crate) ended: Ended,
    /// False: the call was never reached, and the run went as always.
    pub(crate) injected: bool,
}

/// Runs `args` with `fault` injected into the `nth` call of `call`; `fault` is in the tracer's
/// words, such as `signal=KILL` or `error=EIO`, and ends in `+` to hit every later call as well.
pub(crate) fn hit(lab: &Lab, call: &str, fault: &str, nth: u32, args: &[&str]) -> Hit {
    let folder = TempDir::new().unwrap();
    let trace = folder.path().join("trace");
    let (fault, onward) = fault.strip_suffix('+').map_or((fault, ""), |fault| (fault, "+"));
    let inject = format!("inject={call}:{fault}:when={nth}{onward}");
    let (trace_to, only, ledger) = (trace.to_str().unwrap(), format!("trace={call}"), lab.ledger());
    let mut wrapper = vec!["strace", "-f", "-qq", "-o", trace_to, "-e", &only, "-e", &inject];
    if call.contains("read") {
        // The loader reads its libraries by the same calls.
        wrapper.extend(["-P", ledger.to_str().unwrap()]);
    }
    let ended = ended(&lab.under(&wrapper, args).output().unwrap());
    let seen = fs::read_to_string(&trace).unwrap_or_default();
    let injected = ended.code.is_none() || seen.contains("(INJECTED)") || seen.contains("killed by SIGKILL");
    if injected {
        match fault {
            "signal=KILL" => counted(1, "kill points"),
            _ => counted(1, "failed calls"),
        }
    }
    Hit { when: format!("{call} {nth} {fault}{onward}: {args:?}"), ended, injected }
}

/// Hits each call of `call` in turn, from a fresh ledger each time, until one is not reached;
/// returns how many were hit.
pub(crate) fn sweep(lab: &Lab, call: &str, fault: &str, args: &[&str], mut after: impl FnMut(&Hit)) -> u32 {
    for nth in 1.. {
        lab.reset();
        let hit = hit(lab, call, fault, nth, args);
        hit.ended.assert_calm(&hit.when);
        if !hit.injected {
            assert_eq!(hit.ended.code, Some(0), "{}: {}", hit.when, hit.ended.err);
            return nth - 1;
        }
        after(&hit);
    }
    unreachable!("a run makes finitely many calls")
}

/// A file system of its own, unmounted when dropped.
pub(crate) struct Disk {
    folder: TempDir,
}

/// One file system seen through another, unmounted when dropped.
pub(crate) struct Overlay(PathBuf);

impl Overlay {
    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Overlay {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

impl Disk {
    /// Mounts a file system in memory of so many KiB; none where that is not allowed.
    pub(crate) fn of_kib(kib: u32) -> Option<Self> {
        let folder = TempDir::new().unwrap();
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={kib}k,mode=0777"), "jarledger-test"])
            .arg(folder.path())
            .output()
            .is_ok_and(|output| output.status.success());
        if !mounted {
            skip("real full disks (mounting is not allowed)");
            return None;
        }
        Some(Self { folder })
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    pub(crate) fn ledger(&self) -> PathBuf {
        self.path().join("ledger.jarledger")
    }

    /// Shows the folder `lower` of this disk in `seen`, with what is written to it in `upper`.
    pub(crate) fn overlay(&self) -> Option<Overlay> {
        let part = |name: &str| self.path().join(name);
        let options = format!(
            "lowerdir={},upperdir={},workdir={}",
            part("lower").display(),
            part("upper").display(),
            part("work").display()
        );
        let mounted = Command::new("mount")
            .args(["-t", "overlay", "-o", &options, "jarledger-test"])
            .arg(part("seen"))
            .output()
            .is_ok_and(|output| output.status.success());
        if !mounted {
            skip("overlays (mounting one is not allowed)");
            return None;
        }
        Some(Overlay(part("seen")))
    }

    /// Mounts it anew with other options, such as `ro`.
    pub(crate) fn remount(&self, options: &str) {
        let done = Command::new("mount")
            .args(["-o", &format!("remount,{options}")])
            .arg(self.path())
            .status()
            .unwrap();
        assert!(done.success(), "remount {options}");
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.folder.path()).status();
    }
}
