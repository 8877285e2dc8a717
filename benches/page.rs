//! The page at the shelf under load: 60 phones that ask once a second, one in ten an act, on a ledger of a million jars.
//!
//! ```text
//! cargo bench --bench page
//! JARS=1000 PHONES=10 SECONDS=5 cargo bench --bench page
//! ```
//!
//! The phones run beside the server on the same cores. What counts is the time from the first byte asked to the last
//! byte answered.

#![allow(clippy::unwrap_used, reason = "a measurement stops where it cannot go on")]

mod kitchen;

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Stdio};
use std::thread::{scope, sleep};
use std::time::{Duration, Instant};

use kitchen::measure::{median, millis};
use kitchen::{folder, household, jarledger};

/// How long the phones ask without a pause at the end, to see whether anything grows.
const RUSH: Duration = Duration::from_secs(60);

struct Server {
    child: Child,
    host: String,
    cookie: String,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A phone with its connection, which stays open.
struct Phone<'s> {
    server: &'s Server,
    stream: BufReader<TcpStream>,
}

impl<'s> Phone<'s> {
    fn of(server: &'s Server) -> Self {
        let stream = TcpStream::connect(&server.host).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { server, stream: BufReader::new(stream) }
    }

    /// Asks, and says how long the whole answer took.
    fn ask(&mut self, request: &str) -> (Duration, u16, String) {
        let begun = Instant::now();
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let mut head = String::new();
        while !head.ends_with("\r\n\r\n") {
            assert!(self.stream.read_line(&mut head).unwrap() > 0, "closed: {head}");
        }
        let lower = head.to_ascii_lowercase();
        let length = lower.split("content-length: ").nth(1).and_then(|rest| rest.lines().next());
        let mut body = vec![0; length.map_or(0, |length| length.parse().unwrap())];
        self.stream.read_exact(&mut body).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        (begun.elapsed(), status, head)
    }

    fn get(&mut self, path: &str) -> Duration {
        let Server { host, cookie, .. } = self.server;
        let (took, status, _) =
            self.ask(&format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n"));
        assert_eq!(status, 200, "{path}");
        took
    }

    fn post(&mut self, path: &str, body: &str) -> (Duration, u16, String) {
        let (Server { host, cookie, .. }, length) = (self.server, body.len());
        self.ask(&format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{body}"
        ))
    }

    /// Opens a jar that nobody opened before.
    fn open(&mut self, jar: &str) -> Duration {
        let (took, status, _) =
            self.post(&format!("/j/{jar}/open"), &format!("key={}", uuid::Uuid::new_v4()));
        assert_eq!(status, 200, "{jar}");
        took
    }
}

fn serve(ledger: &Path) -> Server {
    let state = folder().join("phones");
    let _ = fs::remove_dir_all(&state);
    let mut child = jarledger(ledger, &["serve", "--port", "0", "--json"])
        .env("XDG_STATE_HOME", &state)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let said: serde_json::Value = serde_json::from_str(&line).unwrap();
    let host = said["url"].as_str().unwrap().trim_start_matches("http://").trim_end_matches('/').to_owned();
    let code = said["pair_url"].as_str().unwrap().split("code=").nth(1).unwrap().to_owned();
    let mut server = Server { child, host, cookie: String::new() };
    let (_, status, head) = Phone::of(&server).post("/pair", &format!("code={code}&name=bench"));
    assert_eq!(status, 303, "{head}");
    let cookie =
        head.lines().find_map(|line| line.to_ascii_lowercase().strip_prefix("set-cookie: ").map(|_| line));
    cookie.unwrap()["set-cookie: ".len()..].split(';').next().unwrap().clone_into(&mut server.cookie);
    server
}

/// A figure of the server's `/proc/PID/status`, in MiB.
fn memory(server: &Server, what: &str) -> f64 {
    let status = fs::read_to_string(format!("/proc/{}/status", server.child.id())).unwrap();
    let kib =
        status.lines().find_map(|line| line.strip_prefix(what)?.trim().strip_suffix(" kB")?.parse().ok());
    f64::from(kib.unwrap_or(0_u32)) / 1024.0
}

/// Processor time the server has used, in the clock ticks of the kernel.
fn ticks(server: &Server) -> u64 {
    let stat = fs::read_to_string(format!("/proc/{}/stat", server.child.id())).unwrap();
    stat.rsplit(')')
        .next()
        .unwrap()
        .split(' ')
        .skip(12)
        .take(2)
        .map(|field| field.parse::<u64>().unwrap())
        .sum()
}

/// Ledger files the server holds open now.
fn ledgers_open(server: &Server, ledger: &Path) -> usize {
    let files = fs::read_dir(format!("/proc/{}/fd", server.child.id())).unwrap();
    files.filter(|file| fs::read_link(file.as_ref().unwrap().path()).is_ok_and(|to| to == ledger)).count()
}

fn main() {
    let number = |name: &str, otherwise: u32| {
        std::env::var(name).ok().and_then(|given| given.parse().ok()).unwrap_or(otherwise)
    };
    let (jars, phones, seconds) = (number("JARS", 1_000_000), number("PHONES", 60), number("SECONDS", 30));
    let ledger = folder().join("page.jarledger");
    fs::copy(household(jars), &ledger).unwrap();
    fs::File::open(&ledger).unwrap().sync_all().unwrap();
    let shelf = jarledger(&ledger, &["shelf", "--jars", "--json"]).output().unwrap();
    let shelf: serde_json::Value = serde_json::from_slice(&shelf.stdout).unwrap();
    let sealed = shelf["jars"].as_array().unwrap().iter().filter(|jar| jar["state"] == "sealed");
    let sealed: Vec<&str> = sealed.filter_map(|jar| jar["jar"].as_str()).collect();
    let jar = |at: u32| sealed[at as usize];
    let looked_at = sealed[sealed.len() - 1];
    let batch = looked_at.rsplitn(3, '-').last().unwrap();
    let page = |at: u32| match at % 4 {
        0 => "/".to_owned(),
        1 => format!("/j/{looked_at}"),
        2 => "/find?q=food".to_owned(),
        _ => format!("/b/{batch}"),
    };
    let server = serve(&ledger);

    let idle = ticks(&server);
    sleep(Duration::from_secs(10));
    println!(
        "idle: {} ticks of processor time in 10 s, {:.1} MiB",
        ticks(&server) - idle,
        memory(&server, "VmRSS:")
    );

    let mut alone = Phone::of(&server);
    let times: Vec<Duration> = (0..40).map(|at| alone.get(&page(at))).collect();
    println!("{jars} jars, one phone: median {:.2} ms", millis(median(times)));
    drop(alone);

    let (times, acts, most) = scope(|scope| {
        let threads: Vec<_> = (0..phones)
            .map(|phone| {
                let (server, page, jar) = (&server, &page, &jar);
                scope.spawn(move || {
                    let mut connection = Phone::of(server);
                    let begun =
                        Instant::now() + Duration::from_secs_f64(f64::from(phone) / f64::from(phones));
                    let (mut asked, mut acts) = (Vec::new(), Vec::new());
                    for at in 0..seconds {
                        sleep(
                            (begun + Duration::from_secs(at.into()))
                                .saturating_duration_since(Instant::now()),
                        );
                        if (at + phone) % 10 == 0 {
                            acts.push(connection.open(jar(at / 10 * phones + phone)));
                        } else {
                            asked.push(connection.get(&page(at + phone)));
                        }
                    }
                    (asked, acts)
                })
            })
            .collect();
        let mut most = 0;
        while threads.iter().any(|thread| !thread.is_finished()) {
            most = most.max(ledgers_open(&server, &ledger));
            sleep(Duration::from_millis(2));
        }
        let (mut times, mut acts) = (Vec::new(), Vec::new());
        for thread in threads {
            let (asked, acted) = thread.join().unwrap();
            times.extend(asked);
            acts.extend(acted);
        }
        (times, acts, most)
    });
    let mut all: Vec<Duration> = times.iter().chain(&acts).copied().collect();
    all.sort_unstable();
    println!(
        "{phones} phones for {seconds} s: {} asked, {} acts; median {:.2} ms, p99 {:.2} ms, acts median {:.2} ms; \
         ledgers open at most {most}",
        times.len(),
        acts.len(),
        millis(all[all.len() / 2]),
        millis(all[all.len() * 99 / 100]),
        millis(median(acts)),
    );

    let before = memory(&server, "VmRSS:");
    let asked: u32 = scope(|scope| {
        let threads: Vec<_> = (0..4_u32)
            .map(|phone| {
                let (server, page) = (&server, &page);
                scope.spawn(move || {
                    let (mut connection, begun, mut asked) = (Phone::of(server), Instant::now(), 0);
                    while begun.elapsed() < RUSH {
                        connection.get(&page(asked + phone));
                        asked += 1;
                    }
                    asked
                })
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).sum()
    });
    println!(
        "{asked} asked within a minute: {before:.1} MiB before, {:.1} after, {:.1} at most",
        memory(&server, "VmRSS:"),
        memory(&server, "VmHWM:")
    );
    drop(server);
    fs::remove_file(&ledger).unwrap();
}
