//! Damaged paths and forms, sent to a page that is served.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

#[path = "../fuzz/mutate.rs"]
mod mutate;

use super::server::World;
use mutate::Mutator;

const PATHS: [&[u8]; 10] = [
    b"/",
    b"/j/26-001-05-2",
    b"/J/26-001-05-2",
    b"/b/26-019",
    b"/find?q=pear",
    b"/find?q=26-001%205-7",
    b"/walk?place=Pantry+low",
    b"/run",
    b"/pair?code=abc",
    b"/j/26-001-05-2/open",
];

const FORMS: [(&str, &[u8]); 8] = [
    ("/j/26-001-05-2/discard", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a01&age=12&sign=S02&why=smell"),
    ("/j/26-001-05-2/move", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a02&to=Pantry+low"),
    ("/seal", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a03&batch=26-019&jar-1=sealed&jar-2=failed&sealed=3-4&test=press"),
    ("/count", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a04&place=Pantry+low&seen=26-001-05-2&more=3+pints+pears&settle=yes"),
    ("/undo", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a05&entry=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a04"),
    ("/run/step", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a06&age=3&run=1&step=steam&seen=1"),
    ("/run/back", b"key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a07&run=1&seen=2"),
    ("/pair", b"code=abcdefghjkmn&name=hall"),
];

/// Sends bytes and says the status of every answer.
fn statuses(host: &str, bytes: &[u8]) -> Vec<u16> {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
    let _ = stream.write_all(bytes);
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    let text = String::from_utf8_lossy(&all).into_owned();
    let lines = text.split('\n').filter_map(|line| line.strip_prefix("HTTP/1.1 "));
    lines.filter_map(|line| line.get(..3)?.parse().ok()).collect()
}

#[test]
fn no_damage_to_a_path_or_a_form_upsets_the_page() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let host = server.host.clone();
    let stay = format!("Host: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\nConnection: close\r\n");
    let rounds = std::env::var("JARLEDGER_FUZZ_CASES").map_or(300, |cases| cases.parse().unwrap());
    let mut mutator = Mutator::new(6);
    let mut answered = std::collections::BTreeMap::<u16, u32>::new();
    for round in 0..rounds {
        let mut bytes = Vec::new();
        if mutator.below(2) == 0 {
            bytes.extend(b"GET ");
            bytes.extend(mutator.damaged(&PATHS));
            bytes.extend(format!(" HTTP/1.1\r\n{stay}\r\n").as_bytes());
        } else {
            let (path, form) = FORMS[mutator.below(FORMS.len())];
            let form = mutator.damaged(&[form]);
            bytes.extend(
                format!("POST {path} HTTP/1.1\r\n{stay}Content-Length: {}\r\n\r\n", form.len()).as_bytes(),
            );
            bytes.extend(form);
        }
        for status in statuses(&host, &bytes) {
            assert!(status < 500, "round {round}: {status} for {}", String::from_utf8_lossy(&bytes));
            *answered.entry(status).or_default() += 1;
        }
    }
    println!("{answered:?}");
    assert!(answered.len() >= 4 && answered.contains_key(&200), "{answered:?}");
    assert_eq!(server.get("/", &cookie).status, 200);
    assert!(world.command(&["check"]).output().unwrap().status.success());
}
