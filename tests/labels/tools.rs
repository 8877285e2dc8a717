//! The outside programs that look at the pages. Missing here, their tests say so and
//! pass; missing where `CI` is set, they fail.

use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

/// Whether programs are here; `CI` demands them.
pub fn have(programs: &[&str]) -> bool {
    let missing: Vec<&&str> =
        programs.iter().filter(|program| Command::new(program).arg("-v").output().is_err()).collect();
    if missing.is_empty() {
        return true;
    }
    assert!(
        std::env::var_os("CI").is_none(),
        "needed here: {missing:?} (Debian: poppler-utils, zbar-tools, libharfbuzz-bin)"
    );
    eprintln!("SKIPPED: {missing:?} not installed (Debian: poppler-utils, zbar-tools, libharfbuzz-bin)");
    false
}

/// Runs a program to its end and gives what it wrote.
pub fn output(program: &str, arguments: &[&str]) -> Vec<u8> {
    let output = Command::new(program).args(arguments).output().unwrap();
    assert!(output.status.success(), "{program} {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// A PDF and the pictures of its pages.
pub struct Pages {
    pub dir: TempDir,
    pub pdf: PathBuf,
}

impl Pages {
    pub fn new(pdf: &[u8]) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("labels.pdf");
        std::fs::write(&path, pdf).unwrap();
        Self { dir, pdf: path }
    }

    /// Grey pictures of the pages at a resolution, in page order.
    pub fn pictures(&self, dpi: u32) -> Vec<PathBuf> {
        let stem = self.dir.path().join("page");
        output("pdftoppm", &["-r", &dpi.to_string(), "-gray", text(&self.pdf), text(&stem)]);
        let mut pictures: Vec<PathBuf> = std::fs::read_dir(self.dir.path())
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|kind| kind == "pgm"))
            .collect();
        pictures.sort();
        pictures
    }

    /// The text of all pages, as written.
    pub fn text(&self) -> String {
        String::from_utf8(output("pdftotext", &["-raw", text(&self.pdf), "-"])).unwrap()
    }
}

/// A path as an argument.
pub fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// The codes in pictures, one after the other, as zbar reads them.
pub fn codes(pictures: &[PathBuf]) -> Vec<String> {
    let options = ["-q", "--raw", "-Sdisable", "-Sqrcode.enable"];
    let read = Command::new("zbarimg").args(options).args(pictures).output().unwrap();
    String::from_utf8(read.stdout).unwrap().lines().map(str::to_owned).collect()
}
