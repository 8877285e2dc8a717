//! Requests that mean no good.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::server::World;

#[test]
fn hostile_requests_are_refused_and_change_nothing() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let file = world.folder.path().join("ledger.jarledger");
    let before = std::fs::read(&file).unwrap();
    let host = server.host.clone();
    let key = "key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a01";
    let ours = format!("Host: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n");
    let post = format!("POST /j/{jar}/open HTTP/1.1\r\n{ours}");
    let origin = format!("Origin: http://{host}\r\n");
    let length = format!("Content-Length: {}\r\n\r\n{key}", key.len());
    let port = host.rsplit(':').next().unwrap();
    let table: Vec<(&str, Vec<u8>, &[u16])> = vec![
        (
            "another name for our address",
            format!(
                "GET / HTTP/1.1\r\nHost: evil.example:{port}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
            )
            .into(),
            &[421],
        ),
        (
            "no host",
            format!("GET / HTTP/1.1\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n").into(),
            &[400, 421],
        ),
        ("two hosts", format!("GET / HTTP/1.1\r\nHost: evil.example\r\n{ours}\r\n").into(), &[400, 421]),
        (
            "our host at another port",
            b"GET / HTTP/1.1\r\nHost: 127.0.0.1:1\r\nConnection: close\r\n\r\n".to_vec(),
            &[421],
        ),
        ("no origin", format!("{post}{length}").into(), &[403]),
        ("a foreign origin", format!("{post}Origin: http://evil.example\r\n{length}").into(), &[403]),
        ("a hidden origin", format!("{post}Origin: null\r\n{length}").into(), &[403]),
        ("our origin under https", format!("{post}Origin: https://{host}\r\n{length}").into(), &[403]),
        ("two origins", format!("{post}{origin}Origin: http://evil.example\r\n{length}").into(), &[403]),
        (
            "no cookie",
            format!("POST /j/{jar}/open HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{origin}{length}")
                .into(),
            &[401],
        ),
        (
            "a guessed cookie",
            format!(
                "GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nCookie: jarledger={}\r\n\r\n",
                "0".repeat(32)
            )
            .into(),
            &[401],
        ),
        (
            "what the file of phones holds, shown as a cookie",
            {
                let phones = world.json(&["serve", "phones"]);
                assert_eq!(phones["phones"].as_array().unwrap().len(), 1);
                let hash = kept_hash(world.folder.path());
                format!(
                    "GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nCookie: jarledger={hash}\r\n\r\n"
                )
                .into()
            },
            &[401],
        ),
        (
            "a good cookie behind a guessed one",
            format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nCookie: jarledger=0; {cookie}\r\n\r\n")
                .into(),
            &[401],
        ),
        ("a body said to be 100 kB", format!("{post}{origin}Content-Length: 100000\r\n\r\n").into(), &[413]),
        (
            "a body of 100 kB in pieces",
            {
                let mut bytes =
                    format!("{post}{origin}Transfer-Encoding: chunked\r\n\r\n186a0\r\n").into_bytes();
                bytes.extend(vec![b'a'; 100_000]);
                bytes.extend(b"\r\n0\r\n\r\n");
                bytes
            },
            &[413],
        ),
        (
            "a million characters of path",
            format!("GET /{} HTTP/1.1\r\n{ours}\r\n", "a".repeat(1_000_000)).into(),
            &[0, 400, 414, 431],
        ),
        ("a long path", format!("GET /{} HTTP/1.1\r\n{ours}\r\n", "a".repeat(5_000)).into(), &[414]),
        (
            "a flood of headers",
            format!("GET / HTTP/1.1\r\n{ours}{}\r\n", "X-More: 1\r\n".repeat(5_000)).into(),
            &[0, 400, 431],
        ),
        ("encoded slashes", format!("GET /j%2F{jar} HTTP/1.1\r\n{ours}\r\n").into(), &[404]),
        ("the way up", format!("GET /../../etc/passwd HTTP/1.1\r\n{ours}\r\n").into(), &[404]),
        (
            "the way up, encoded",
            format!("GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\n{ours}\r\n").into(),
            &[404],
        ),
        (
            "a file that is not ours to serve",
            format!("GET /ledger.jarledger HTTP/1.1\r\n{ours}\r\n").into(),
            &[404],
        ),
        (
            "a proxy's request",
            format!("GET http://evil.example/ HTTP/1.1\r\n{ours}\r\n").into(),
            &[400, 414, 421],
        ),
        ("putting", format!("PUT / HTTP/1.1\r\n{ours}\r\n").into(), &[405]),
        ("deleting", format!("DELETE /j/{jar} HTTP/1.1\r\n{ours}\r\n").into(), &[405]),
        (
            "asking first",
            format!("OPTIONS / HTTP/1.1\r\n{ours}Origin: http://evil.example\r\n\r\n").into(),
            &[405],
        ),
        (
            "an upgrade",
            format!(
                "GET /none HTTP/1.1\r\n{}Connection: Upgrade\r\nUpgrade: websocket\r\n\r\n",
                ours.replace("Connection: close\r\n", "")
            )
            .into(),
            &[404],
        ),
        ("no name for the act", format!("{post}{origin}Content-Length: 3\r\n\r\na=b").into(), &[400]),
        (
            "an act from the future",
            {
                let body = format!("{key}&age=-5");
                format!("{post}{origin}Content-Length: {}\r\n\r\n{body}", body.len()).into()
            },
            &[400],
        ),
        (
            "an act of another kind",
            format!("POST /j/{jar}/void HTTP/1.1\r\n{ours}{origin}{length}").into(),
            &[404],
        ),
        (
            "an upgrade of the protocol",
            format!(
                "GET / HTTP/1.1\r\n{}Connection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n\
                 \r\nGET /none HTTP/1.1\r\n{ours}\r\n",
                ours.replace("Connection: close\r\n", "")
            )
            .into(),
            &[200],
        ),
        ("another protocol", b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_vec(), &[0, 400, 421]),
        ("a tunnel", format!("CONNECT evil.example:443 HTTP/1.1\r\n{ours}\r\n").into(), &[400, 405]),
        (
            "two lengths",
            format!("{post}{origin}Content-Length: 3\r\nContent-Length: 44\r\n\r\na=b").into(),
            &[400],
        ),
        (
            "a header in two lines",
            format!("GET / HTTP/1.1\r\nX-Long: a\r\n b\r\n{ours}\r\n").into(),
            &[400],
        ),
        ("a path with a line's end", format!("GET /%0d%0aSet-Cookie:a=b HTTP/1.1\r\n{ours}\r\n").into(), &[404]),
        ("a code with slashes", format!("GET /j/..%2f..%2f{jar} HTTP/1.1\r\n{ours}\r\n").into(), &[400, 404]),
        ("no http at all", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n".to_vec(), &[0, 400]),
    ];
    for (what, bytes, wanted) in table {
        let answer = server.raw(&bytes);
        assert!(wanted.contains(&answer.status), "{what}: {} {}", answer.status, answer.head);
        if answer.status >= 401 && answer.status != 431 {
            assert!(answer.head.contains("cache-control: no-store"), "{what}");
            assert!(answer.head.contains("frame-ancestors 'none'"), "{what}");
        }
        assert!(!answer.head.contains("access-control-allow"), "{what}");
    }
    assert!(std::fs::read(&file).unwrap() == before, "nothing was changed");
    assert_eq!(server.get("/", &cookie).status, 200, "and it serves on");
}

/// The hash kept of the one phone that is paired, whoever stole the file it stands in.
fn kept_hash(folder: &Path) -> String {
    let mut files = std::fs::read_dir(folder.join("jarledger")).unwrap();
    let is_list = |path: &PathBuf| path.extension().is_some_and(|end| end == "json");
    let file = files.find_map(|file| Some(file.unwrap().path()).filter(is_list)).unwrap();
    let kept: serde_json::Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
    kept["phones"][0]["hash"].as_str().unwrap().to_owned()
}

#[test]
fn a_body_that_never_ends_is_cut_and_changes_nothing() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let host = &server.host;
    let mut stream = TcpStream::connect(host).unwrap();
    let head = format!(
        "POST /j/{jar}/open HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nOrigin: http://{host}\r\nContent-Length: \
         90\r\n\r\nkey=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a01"
    );
    stream.write_all(head.as_bytes()).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer);
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert_eq!(world.state(&jar), "sealed");
    assert_eq!(server.get("/", &cookie).status, 200);
}

#[test]
fn requests_in_one_breath_are_answered_one_by_one_and_none_hides_in_another() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let host = server.host.clone();
    let stay = format!("Host: {host}\r\nCookie: {cookie}\r\n");
    let key = "key=8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a01";
    let post = format!("POST /j/{jar}/open HTTP/1.1\r\n{stay}Origin: http://{host}\r\n");
    let count = |answer: &super::server::Answer| {
        (answer.head.clone() + &answer.body).to_lowercase().matches("http/1.1 ").count()
    };
    let three = format!(
        "GET /page.css HTTP/1.1\r\n{stay}\r\nGET /walk HTTP/1.1\r\n{stay}\r\nGET /none HTTP/1.1\r\n{stay}Connection: close\r\n\r\n"
    );
    assert_eq!(count(&server.raw(three.as_bytes())), 3);
    // Refused before its body was read: what looks like a request in there is none.
    let inner = format!("{post}Content-Length: {}\r\n\r\n{key}", key.len());
    let foreign = format!(
        "POST /undo HTTP/1.1\r\n{stay}Origin: http://evil.example\r\nContent-Length: {}\r\n\r\n{inner}",
        inner.len()
    );
    let answer = server.raw(foreign.as_bytes());
    assert_eq!((answer.status, count(&answer)), (403, 1));
    assert_eq!(world.state(&jar), "sealed");
    // Two ways to tell where a body ends.
    let both = format!("{post}Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n{inner}");
    let answer = server.raw(both.as_bytes());
    assert!(count(&answer) <= 1 && answer.status != 200, "{answer:?}");
    assert_eq!(world.state(&jar), "sealed");
}

#[test]
fn hostile_names_stay_text_on_every_page() {
    let world = World::new();
    let name = "Beets<script>alert(1)</script>\"'&\u{202e}evil";
    let (place, person) = ("<img src=x onerror=alert(2)>", "</option><script>3</script>");
    std::fs::write(
        world.folder.path().join("shelf.csv"),
        format!("product,put_up,jar,place\n\"{}\",2026-05-05,pint,\"{place}\"\n", name.replace('"', "\"\"")),
    )
    .unwrap();
    let file = world.folder.path().join("shelf.csv");
    let taken = world.command(&["import", file.to_str().unwrap()]).output().unwrap();
    assert!(taken.status.success(), "{}", String::from_utf8_lossy(&taken.stderr));
    let jars = world.json(&["shelf", "--jars"])["jars"].clone();
    let jar = jars
        .as_array()
        .unwrap()
        .iter()
        .find(|jar| jar["product"].as_str().unwrap().starts_with("Beets<"))
        .unwrap();
    let (jar, other) = (jar["jar"].as_str().unwrap().to_owned(), world.good_jar());
    let batch = jar[..6].to_owned();
    assert!(world.command(&["give", &other, "--to", person]).output().unwrap().status.success());
    let server = world.serve();
    let cookie = server.pair("<b>hall</b>");
    let encoded = |text: &str| text.bytes().map(|byte| format!("%{byte:02x}")).collect::<String>();
    let paths = [
        "/".to_owned(),
        format!("/j/{jar}"),
        format!("/b/{batch}"),
        format!("/find?q={}", encoded(name)),
        "/find".to_owned(),
        "/walk".to_owned(),
        format!("/walk?place={}", encoded(place)),
        format!("/walk?place={}", encoded("<script>")),
        format!("/pair?code={}", encoded("\"><script>")),
        format!("/{}", encoded("<script>")),
    ];
    let mut seen = 0;
    for path in paths {
        let page = server.get(&path, &cookie).body;
        for tag in ["<script>", "<img", "<b>", "</option><script"] {
            assert!(!page.contains(tag), "{path} holds {tag}: {page}");
        }
        assert!(!page.contains('\u{202e}') && !page.contains('\u{0}'), "{path}");
        seen += usize::from(page.contains("Beets&#60;script"));
    }
    assert!(seen >= 3, "{seen}");
}

#[test]
fn a_pairing_code_is_good_once_and_guessing_stops() {
    let world = World::new();
    let server = world.serve();
    assert_eq!(server.get(&format!("/pair?code={}", server.code), "").status, 200);
    let foreign = "Origin: http://evil.example\r\n";
    assert_eq!(server.post_from("/pair", "", &format!("code={}", server.code), foreign).status, 403);
    server.pair("hall");
    assert_eq!(server.post("/pair", "", &format!("code={}", server.code)).status, 403, "used");
    let old = world.json(&["serve", "pair"])["code"].as_str().unwrap().to_owned();
    world.json(&["serve", "pair"]);
    assert_eq!(server.post("/pair", "", &format!("code={old}")).status, 403, "a newer one was made");
    for _ in 0..2 {
        assert_eq!(server.post("/pair", "", "code=guessed").status, 403);
    }
    assert_eq!(server.post("/pair", "", "code=guessed").status, 429);
}

#[test]
fn slow_and_many_connections_do_not_keep_a_phone_out() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let slow: Vec<TcpStream> = (0..500)
        .map(|_| {
            let mut stream = TcpStream::connect(&server.host).unwrap();
            stream.write_all(b"GET / HTTP/1.1\r\n").unwrap();
            stream
        })
        .collect();
    // A header that never ends is cut.
    let mut first = &slow[0];
    first.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
    let mut all = Vec::new();
    let _ = first.read_to_end(&mut all);
    assert!(!String::from_utf8_lossy(&all).starts_with("HTTP/1.1 200"));
    drop(slow);
    assert_eq!(server.get("/", &cookie).status, 200);
}

#[test]
fn names_that_hold_html_and_controls_stay_text() {
    let world = World::new();
    let jar = world.good_jar();
    let name = "<script>alert(1)</script>\"' \u{202e}x";
    assert!(
        world
            .command(&["move", &jar, "--to", "<b onclick=x>shelf</b> \"'"])
            .output()
            .unwrap()
            .status
            .success()
    );
    let server = world.serve();
    let cookie = server.pair("hall");
    let page = server.get(&format!("/j/{jar}"), &cookie).body;
    assert!(!page.contains("<b onclick") && page.contains("&#60;b onclick"), "{page}");
    let query: String = name.bytes().map(|byte| format!("%{byte:02x}")).collect();
    let found = server.get(&format!("/find?q={query}"), &cookie).body;
    assert!(!found.contains("<script>alert") && !found.contains('\u{202e}'), "{found}");
}
