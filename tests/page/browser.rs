//! The page in a real browser, where one is installed.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::server::World;

/// The Node modules that drive it; none where they are not installed.
pub fn modules() -> Option<PathBuf> {
    let modules = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/test-tools/npm/node_modules");
    if modules.join("playwright-core").is_dir() && modules.join("qr").is_dir() {
        return Some(modules);
    }
    assert!(std::env::var_os("CI").is_none(), "run .ci/test --tools");
    eprintln!("SKIPPED, {} is missing: run .ci/test --tools", modules.display());
    None
}

#[test]
fn a_browser_pairs_opens_waits_offline_and_lets_no_other_page_in() {
    let Some(modules) = modules() else { return };
    let world = World::new();
    let jars = world.json(&["eat"])["eat_first"].clone();
    let (jar, other) = (jars[0]["jar"].as_str().unwrap(), jars[1]["jar"].as_str().unwrap());
    let held = world.json(&["eat"])["on_hold"][0]["jar"].as_str().unwrap().to_owned();
    let server = world.serve();
    let out = Command::new("node")
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/browser.cjs"))
        .env("NODE_PATH", &modules)
        .env("PAGE", format!("http://{}", server.host))
        .env("CODE", &server.code)
        .env("JAR", jar)
        .env("OTHER", other)
        .env("HELD", &held)
        .env("PICTURES", std::env::var_os("PICTURES").unwrap_or_default())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{said}");
    assert_eq!(world.state(jar), "opened");
    assert_eq!(world.state(other), "opened");
    let events = world.json(&["jar", other])["events"].clone();
    let opened = events.as_array().unwrap().iter().filter(|event| event["event"] == "open").count();
    assert_eq!(opened, 1, "what waited arrives once: {events}");
}
