//! A served ledger of the demo, and plain requests.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use tempfile::TempDir;

/// Noon of the day the demo ends on.
pub const NOW: &str = "2026-11-25T12:00";

/// A ledger of the demo in a folder of its own.
pub struct World {
    pub folder: TempDir,
}

/// A page being served.
pub struct Server {
    child: Child,
    pub host: String,
    pub code: String,
}

/// An answer.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl World {
    pub fn new() -> Self {
        let world = Self { folder: tempfile::tempdir().unwrap() };
        assert!(world.command(&["demo"]).output().unwrap().status.success());
        world
    }

    /// A kitchen at 500 ft without a jar.
    pub fn empty() -> Self {
        let world = Self { folder: tempfile::tempdir().unwrap() };
        world.json(&["setup", "--altitude", "500ft"]);
        world
    }

    /// Pairs another phone with a code made at the terminal.
    pub fn pair_one_more(&self, server: &Server, name: &str) -> String {
        let code = self.json(&["serve", "pair"])["code"].as_str().unwrap().to_owned();
        server.pair_with(&code, name)
    }

    /// The program on this ledger.
    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_jarledger"));
        command
            .args(args)
            .args(["--today", NOW])
            .env("JARLEDGER_FILE", self.ledger())
            .env("XDG_STATE_HOME", self.folder.path())
            .env("HOME", self.folder.path());
        command
    }

    /// What the program answers in JSON.
    pub fn json(&self, args: &[&str]) -> serde_json::Value {
        let out = self.command(args).arg("--json").output().unwrap();
        assert!(out.status.success(), "{args:?}: {}", String::from_utf8_lossy(&out.stderr));
        serde_json::from_slice(&out.stdout).unwrap()
    }

    pub fn state(&self, jar: &str) -> String {
        self.json(&["jar", jar])["state"].as_str().unwrap().to_owned()
    }

    /// A sealed jar that may be eaten.
    pub fn good_jar(&self) -> String {
        self.json(&["eat"])["eat_first"][0]["jar"].as_str().unwrap().to_owned()
    }

    pub fn ledger(&self) -> PathBuf {
        self.folder.path().join("ledger.jarledger")
    }

    pub fn serve(&self) -> Server {
        let mut child =
            self.command(&["serve", "--port", "0", "--json"]).stdout(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let answer: serde_json::Value = serde_json::from_str(&line).unwrap();
        let url = answer["url"].as_str().unwrap();
        let pair = answer["pair_url"].as_str().unwrap();
        let code = pair.strip_prefix(&format!("{url}pair?code=")).unwrap().to_owned();
        let host = url.strip_prefix("http://").unwrap().trim_end_matches('/').to_owned();
        Server { child, host, code }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Server {
    pub fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Sends bytes as they are, and reads until the other side is done.
    pub fn raw(&self, bytes: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        // Whoever is refused early may find the door closed while still talking.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        let text = String::from_utf8_lossy(&all).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_lowercase(), body: body.to_owned() }
    }

    pub fn get(&self, path: &str, cookie: &str) -> Answer {
        let host = &self.host;
        self.raw(
            format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n")
                .as_bytes(),
        )
    }

    pub fn post(&self, path: &str, cookie: &str, body: &str) -> Answer {
        self.post_from(path, cookie, body, &format!("Origin: http://{}\r\n", self.host))
    }

    pub fn post_from(&self, path: &str, cookie: &str, body: &str, origin: &str) -> Answer {
        let (host, length) = (&self.host, body.len());
        self.raw(
            format!(
                "POST {path} HTTP/1.1\r\nHost: {host}\r\n{origin}Cookie: {cookie}\r\nConnection: close\r\n\
                 Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{body}"
            )
            .as_bytes(),
        )
    }

    /// Pairs a phone and returns its cookie.
    pub fn pair(&self, name: &str) -> String {
        self.pair_with(&self.code, name)
    }

    pub fn pair_with(&self, code: &str, name: &str) -> String {
        let answer = self.post("/pair", "", &format!("code={code}&name={name}"));
        assert_eq!(answer.status, 303, "{answer:?}");
        let cookie = answer.head.split("set-cookie: ").nth(1).unwrap();
        assert!(cookie.contains("httponly") && cookie.contains("samesite=strict"), "{cookie}");
        cookie.split(';').next().unwrap().to_owned()
    }
}
