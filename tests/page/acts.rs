//! What a phone writes down, once.

use super::server::World;

const KEY: &str = "8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a01";
const OTHER: &str = "8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a02";

fn entries(world: &World) -> usize {
    world.json(&["history"])["entries"].as_array().unwrap().len()
}

#[test]
fn an_act_sent_again_is_done_once_and_answered_with_what_was_done() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let open = format!("/j/{jar}/open");
    let first = server.post(&open, &cookie, &format!("key={KEY}&age=3600"));
    assert_eq!(first.status, 200, "{first:?}");
    assert!(first.body.contains("Look and smell before you taste"));
    let events = world.json(&["jar", &jar])["events"].clone();
    let at = events.as_array().unwrap().last().unwrap()["at"].as_str().unwrap().to_owned();
    assert!(at.starts_with("2026-11-25T11:00"), "an hour before {}: {at}", super::server::NOW);
    // Killed between commit and answer, the phone sends it once more.
    server.kill();
    let server = world.serve();
    let again = server.post(&open, &cookie, &format!("key={KEY}&age=3700"));
    assert_eq!(again.status, 200);
    assert!(again.body.contains("done already") && again.body.contains("Look and smell before you taste"));
    assert_eq!(world.json(&["jar", &jar])["events"], events);
    assert!(world.command(&["check"]).output().unwrap().status.success());
}

#[test]
fn a_phone_takes_back_its_own_last_act_and_no_other() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    assert_eq!(
        server.post("/undo", &cookie, &format!("key={KEY}")).status,
        409,
        "the terminal's acts are not its own"
    );
    server.post(&format!("/j/{jar}/open"), &cookie, &format!("key={OTHER}"));
    assert_eq!(world.state(&jar), "opened");
    let taken = server.post("/undo", &cookie, &format!("key={KEY}"));
    assert_eq!(taken.status, 200, "{taken:?}");
    assert_eq!(world.state(&jar), "sealed");
}

#[test]
fn a_held_jar_says_so_first_offers_no_open_and_refuses_it_as_the_terminal_does() {
    let world = World::new();
    let held = world.json(&["eat"])["on_hold"][0]["jar"].as_str().unwrap().to_owned();
    let server = world.serve();
    let cookie = server.pair("hall");
    let page = server.get(&format!("/j/{held}"), &cookie).body;
    assert!(page.find("On hold").unwrap() < page.find("class=\"acts\"").unwrap());
    assert!(!page.contains("/open\""), "{page}");
    let before = entries(&world);
    let refused = server.post(&format!("/j/{held}/open"), &cookie, &format!("key={KEY}"));
    assert_eq!(refused.status, 409);
    let answer = world.command(&["open", &held, "--json"]).output().unwrap();
    assert_eq!(answer.status.code(), Some(4));
    assert!(
        refused.body.contains("it is on hold since")
            && String::from_utf8_lossy(&answer.stderr).contains("it is on hold since")
    );
    assert_eq!(entries(&world), before);
}

// USDA AIB 539, Guide 2, Peaches: pints, hot pack, 20 minutes up to 1,000 ft. A failed load may be rescued for 2 hours.
#[test]
fn a_jar_says_whose_its_process_is_and_offers_the_cold_only_while_that_rescues() {
    let world = World::empty();
    world.json(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:9"]);
    let own =
        ["process", "add", "--food", "rose-hips", "--acidity", "acid", "--pack", "hot", "--jar", "pint"];
    let figures =
        ["--method", "boiling-water", "--minutes", "15", "--headspace", "0.25in", "--publication", "Leaflet"];
    world.json(&[&own[..], &figures, &["--page", "3", "--published", "2020-01-01"]].concat());
    let put_up = |food, minutes, out| {
        let line = ["putup", "--product", "Fruit", "--food", food, "--pack", "hot", "--jars", "pint:1"];
        let answer =
            world.json(&[&line[..], &["--canner", "Kettle", "--minutes", minutes, "--out", out]].concat());
        answer["jars"][0].as_str().unwrap().to_owned()
    };
    let [hips, late, in_time] =
        [("rose-hips", "15", "11:30"), ("peaches", "19", "08:00"), ("peaches", "19", "11:00")]
            .map(|(food, minutes, out)| put_up(food, minutes, out));
    let server = world.serve();
    let cookie = server.pair("hall");
    let page = |jar: &str| server.get(&format!("/j/{jar}"), &cookie).body;
    assert!(page(&hips).contains("own process, confirmed by no table"));
    for (jar, offered) in [(late, false), (in_time, true)] {
        let page = page(&jar);
        for cold in ["chill", "freeze"] {
            assert_eq!(page.contains(&format!("/j/{jar}/{cold}\"")), offered, "{jar} {cold}");
        }
        assert!(page.contains(&format!("/j/{jar}/discard\"")), "{jar}");
    }
}

#[test]
fn looking_at_pages_writes_nothing() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let file = world.folder.path().join("ledger.jarledger");
    let before = std::fs::read(&file).unwrap();
    for path in [
        "/",
        "/run",
        "/find",
        "/find?q=pear",
        "/walk",
        "/walk?place=Pantry+low",
        "/b/26-019",
        &format!("/j/{jar}"),
    ] {
        let answer = server.get(path, &cookie);
        assert_eq!(answer.status, 200, "{path}: {answer:?}");
    }
    assert_eq!(server.get(&format!("/j/{jar}/open?key={KEY}"), &cookie).status, 404);
    assert!(std::fs::read(&file).unwrap() == before);
}

#[test]
fn seals_discards_moves_gifts_and_a_walk_are_written_down() {
    let world = World::new();
    let jars: Vec<String> = world.json(&["eat"])["eat_first"]
        .as_array()
        .unwrap()
        .iter()
        .take(3)
        .map(|jar| jar["jar"].as_str().unwrap().to_owned())
        .collect();
    let server = world.serve();
    let cookie = server.pair("hall");
    let key = |last: u32| format!("8c1f2a10-5a0e-4b6e-9f55-{last:012}");
    let done = |path: &str, body: String| {
        let answer = server.post(path, &cookie, &body);
        assert_eq!(answer.status, 200, "{path}: {answer:?}");
        answer.body
    };
    let why = server.post(&format!("/j/{}/discard", jars[0]), &cookie, &format!("key={}", key(1)));
    assert_eq!(why.status, 400, "a discard says why");
    done(&format!("/j/{}/discard", jars[0]), format!("key={}&sign=S02", key(2)));
    assert_eq!(world.state(&jars[0]), "discarded");
    // "top" is meant for one place, "pantry" for several, "attic" for none yet.
    done(&format!("/j/{}/move", jars[1]), format!("key={}&to=top", key(3)));
    assert_eq!(world.json(&["jar", &jars[1]])["place"], "Pantry top");
    let several =
        server.post(&format!("/j/{}/move", jars[1]), &cookie, &format!("key={}&to=pantry", key(11)));
    assert_eq!(several.status, 409, "{several:?}");
    assert!(several.body.contains("Pantry low"), "{several:?}");
    assert_eq!(world.json(&["jar", &jars[1]])["place"], "Pantry top");
    let moved = done(&format!("/j/{}/move", jars[1]), format!("key={}&to=Attic", key(12)));
    assert!(moved.contains("Attic is now a new place"), "{moved}");
    let given = done(&format!("/j/{}/give", jars[2]), format!("key={}&to=The+neighbors", key(4)));
    assert!(given.contains("Gave The neighbors"), "{given}");
    assert!(given.contains("A gift is one thing"), "what the terminal says, the page says too: {given}");
    assert_eq!(world.state(&jars[2]), "given");
    let seal = done("/seal", format!("key={}&batch=26-019&jar-1=sealed&jar-2=failed", key(5)));
    assert!(seal.contains("1 of 2 sealed"), "{seal}");
    assert_eq!(world.json(&["batch", "26-019"])["jars"][1]["state"], "unsealed");
    let compared = done("/count", format!("key={}&place=Pantry+top&seen={}", key(6), jars[1]));
    assert!(compared.contains("Nothing is changed yet"));
    done("/count", format!("key={}&place=Pantry+top&seen={}&settle=yes", key(7), jars[1]));
    assert!(world.command(&["check"]).output().unwrap().status.success());
}

#[test]
fn a_product_is_found_by_how_a_word_of_it_begins_and_else_by_any_part() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    for (asked, found, not) in [
        ("pea", "Peach halves", "Dill spears"),
        ("spear", "Dill spears", "Pears in light syrup"),
        ("ears", "Dill spears", "Peach halves"),
    ] {
        let page = server.get(&format!("/find?q={asked}"), &cookie).body;
        assert!(page.contains(found) && !page.contains(not), "{asked}: {page}");
    }
    // A number does not make a code of it, and words for several products are no fault of ours.
    assert_eq!(server.get("/find?q=pears+2", &cookie).status, 200);
    assert_eq!(server.get("/j/tomatoes", &cookie).status, 409);
}

#[test]
fn a_walk_is_settled_only_as_it_was_shown() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let in_place = |place: &str| -> Vec<String> {
        let jars = world.json(&["shelf", "--jars"])["jars"].as_array().unwrap().clone();
        let here = jars.into_iter().filter(|jar| jar["place"] == place && jar["state"] == "sealed");
        here.map(|jar| jar["jar"].as_str().unwrap().to_owned()).collect()
    };
    let (here, elsewhere) = (in_place("Pantry low"), in_place("Pantry middle"));
    let key = |last: u32| format!("8c1f2a10-5a0e-4b6e-9f55-{last:012}");
    let walk = format!("place=Pantry+low&seen={}", here[0]);
    let shown = server.post("/count", &cookie, &format!("key={}&{walk}", key(1))).body;
    let would_change =
        shown.split("name=\"would_change\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let would_change = would_change.replace(' ', "+").replace(';', "%3B");
    // As many are missing as before, but one of them is another.
    for (jar, place) in [(&here[1], "Pantry middle"), (&elsewhere[0], "Pantry low")] {
        assert!(world.command(&["move", jar, "--to", place]).output().unwrap().status.success());
    }
    let settle = |number| format!("key={}&{walk}&settle=yes&would_change={would_change}", key(number));
    let again = server.post("/count", &cookie, &settle(2));
    assert_eq!(again.status, 409, "{again:?}");
    assert!(again.body.contains("It changed meanwhile. Look again: nothing was settled."), "{again:?}");
    assert_eq!(world.state(&elsewhere[0]), "sealed");
    for (jar, place) in [(&here[1], "Pantry low"), (&elsewhere[0], "Pantry middle")] {
        assert!(world.command(&["move", jar, "--to", place]).output().unwrap().status.success());
    }
    assert_eq!(server.post("/count", &cookie, &settle(3)).status, 200);
    assert_eq!(world.state(&here[1]), "missing");
}

#[test]
fn a_revoked_phone_stays_outside() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    assert_eq!(server.get("/", &cookie).status, 200);
    assert_eq!(world.json(&["serve", "phones"])["phones"][0]["name"], "hall");
    world.json(&["serve", "phones", "--revoke", "hall"]);
    let outside = server.get("/j/26-001-05-2", &cookie);
    assert_eq!(outside.status, 401);
    assert!(
        outside.body.contains("href=\"/j/26-001-05-2\""),
        "a link from our own page may bring the cookie"
    );
}

#[test]
fn a_link_on_a_label_leads_to_its_jar_and_first_to_ourselves() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let scanned = format!("/J/{jar}");
    // A camera program's first request brings no cookie; the link in the answer is ours, and brings it.
    let first = server.get(&scanned, "");
    assert_eq!(first.status, 401);
    let ours = format!("href=\"{scanned}\"");
    assert!(first.body.find(&ours).unwrap() < first.body.find("Pairing code").unwrap(), "{first:?}");
    let second = server.get(&scanned, &cookie);
    assert_eq!(second.status, 303);
    assert!(second.head.contains(&format!("location: /j/{jar}")), "{second:?}");
    let asked = server.get("/find?q=pear&more=%22%3E", "");
    assert!(asked.body.contains("href=\"/find?q=pear&#38;more=%22%3E\""), "{asked:?}");
    // Two slashes would lead to another machine.
    for other in ["//evil.example/", "/\\evil.example/", "///evil.example"] {
        let answer = server.get(other, "");
        assert!(
            !answer.body.contains("href=\"//") && !answer.body.contains("href=\"/\\"),
            "{other}: {answer:?}"
        );
        assert_ne!(answer.status, 200);
    }
    let found = server.get(&format!("/find?q=HTTP://SHELF.LOCAL:8464/J/{jar}"), &cookie);
    assert!(found.head.contains(&format!("location: /j/{jar}")), "{found:?}");
}
