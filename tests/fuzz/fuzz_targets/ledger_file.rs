#![no_main]

use std::sync::LazyLock;

#[path = "../targets.rs"]
mod targets;

static DAMAGE: LazyLock<targets::Damage> = LazyLock::new(|| {
    let folder = std::env::temp_dir().join(format!("jarledger-fuzz-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    targets::Damage::new(&folder)
});

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    DAMAGE.open(bytes);
});
