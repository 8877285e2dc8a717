//! How the program is linked.

use std::env::var;

fn main() {
    println!("cargo::rerun-if-changed=src/build.rs");
    let is = |name: &str, value: &str| var(name).is_ok_and(|set| set == value);
    if is("CARGO_CFG_TARGET_OS", "linux") && is("CARGO_CFG_TARGET_ENV", "gnu") {
        // With the unwinder inside, its library is not looked for and loaded at every start: 3 % of what `jar` takes.
        println!("cargo::rustc-link-arg-bins=-Wl,--push-state,--whole-archive,-l:libgcc_eh.a,--pop-state");
    }
}
