//! Labels found by photographs of them, simulated the same way every time: `README.md` has what was measured.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use super::browser::modules;
use super::server::World;

/// Dots in a millimetre of the pages that are photographed.
const DPI: f64 = 600.0;

type SheetOfLabels = (&'static str, [f64; 2], usize, f64, [f64; 2]);

/// A sheet with its labels' size, columns and pitch in millimetres, and the top left of the first: half of what its page
/// has over (`src/paper/label/sheet/built_in.rs`).
const SHEETS: [SheetOfLabels; 2] = [
    ("letter-3x6", [65.0, 42.0], 3, 65.0, [10.45, 13.7]),
    ("letter-4x8", [45.0, 32.0], 4, 45.0, [17.95, 11.7]),
];

#[test]
fn the_kept_decoder_is_the_published_one() {
    let Some(modules) = modules() else { return };
    let mut bundler = Command::new(modules.join(".bin/esbuild"))
        .args(["--bundle", "--format=esm", "--minify", "--legal-comments=none", "--target=es2020"])
        .arg(
            "--banner:js=/* qr 0.7.0 (decode.js), Copyright (c) 2023 Paul Miller, MIT License: qr.LICENSE */",
        )
        .current_dir(modules.parent().unwrap())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let entry = b"import decodeQR from \"qr/decode.js\"; export { decodeQR };\n";
    bundler.stdin.take().unwrap().write_all(entry).unwrap();
    let made = bundler.wait_with_output().unwrap().stdout;
    let browser = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/page/browser");
    assert!(std::fs::read(browser.join("qr.js")).unwrap() == made);
    let license = std::fs::read(modules.join("qr/LICENSE-MIT")).unwrap();
    assert!(std::fs::read(browser.join("qr.LICENSE")).unwrap() == license);
}

#[test]
fn a_photographed_label_leads_to_its_jar() {
    let Some(modules) = modules() else { return };
    let world = World::new();
    let jars: Vec<String> = world.json(&["eat"])["eat_first"]
        .as_array()
        .unwrap()
        .iter()
        .take(3)
        .map(|jar| jar["jar"].as_str().unwrap().to_owned())
        .collect();
    let folder = world.folder.path();
    let mut sheets = Vec::new();
    for (name, [width, height], columns, pitch, [left, top]) in SHEETS {
        let pdf = folder.join(format!("{name}.pdf"));
        let mut args: Vec<&str> = vec!["label", "--sheet", name, "--out", pdf.to_str().unwrap()];
        args.extend(jars.iter().map(String::as_str));
        world.json(&args);
        let stem = folder.join(name);
        let dpi = DPI.to_string();
        let drawn =
            Command::new("pdftoppm").args(["-r", &dpi, "-gray", "-singlefile"]).arg(&pdf).arg(&stem).status();
        assert!(drawn.unwrap().success());
        let labels: Vec<serde_json::Value> = jars
            .iter()
            .take(columns)
            .zip(0..)
            .map(|(code, at)| serde_json::json!({ "code": code, "box": [left + pitch * f64::from(at), top, width, height] }))
            .collect();
        sheets.push(
            serde_json::json!({ "file": stem.with_extension("pgm"), "dots": DPI / 25.4, "jars": labels }),
        );
    }
    let server = world.serve();
    let out = Command::new("node")
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/photos.cjs"))
        .env("NODE_PATH", &modules)
        .env("PAGE", format!("http://{}", server.host))
        .env("CODE", &server.code)
        .env("SHEETS", serde_json::Value::from(sheets).to_string())
        .env("EACH", std::env::var("JARLEDGER_PHOTOS").unwrap_or("2".to_owned()))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(out.status.success(), "{said}{}", String::from_utf8_lossy(&out.stderr));
    println!("{said}");
    let read: serde_json::Value = serde_json::from_str(&said).unwrap();
    for kind in ["plain", "far", "dim"] {
        assert_eq!(read[kind]["read"], read[kind]["of"], "{kind}: {said}");
    }
}
