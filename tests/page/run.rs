//! The run at the stove, pressed on by any phone.

use super::server::{Server, World};

fn key(last: u32) -> String {
    format!("8c1f2a10-5a0e-4b6e-9f55-{last:012}")
}

/// Green beans, raw pack, pints in a dial-gauge canner at 500 ft: 20 min at 11 psi (USDA AIB 539, Guide 4, to 2,000 ft).
fn beans() -> World {
    let world = World::empty();
    world.json(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "pint:9"]);
    world.json(&[
        "run",
        "begin",
        "--canner",
        "Big dial",
        "--food",
        "green-beans",
        "--pack",
        "raw",
        "--jar",
        "pint",
    ]);
    world
}

/// What the page says was seen of the run when its buttons were drawn.
fn seen(server: &Server, cookie: &str) -> String {
    let page = server.get("/run", cookie).body;
    page.split("name=\"seen\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
}

fn steps(world: &World) -> Vec<(String, String, String)> {
    let run = world.json(&["run", "show"])["runs"][0].clone();
    let text = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
    let steps = run["steps"].as_array().unwrap().iter();
    steps.map(|step| (text(&step["step"]), text(&step["at"])[11..16].to_owned(), text(&step["by"]))).collect()
}

#[test]
fn steps_of_two_phones_are_timed_as_at_the_terminal_and_say_who_pressed() {
    let world = beans();
    let server = world.serve();
    let hall = server.pair("hall");
    let stove = world.pair_one_more(&server, "stove");
    let press = |cookie: &str, number: u32, step: &str, age: u32| {
        let answer =
            server.post("/run/step", cookie, &format!("key={}&age={age}&step={step}&run=1", key(number)));
        assert_eq!(answer.status, 200, "{step}: {answer:?}");
        answer.body
    };
    press(&hall, 1, "heat", 2_400);
    // Vented from 11:30 on: at noon the ten minutes of venting are long over.
    let vented = press(&stove, 2, "steam", 1_800);
    assert!(vented.contains("Vented long enough. Close the vent and press closed."), "{vented}");
    assert!(!vented.contains("Set an alarm"));
    press(&hall, 3, "closed", 1_000);
    // At pressure since 11:51:30; 20 min end at 12:11:30, and an alarm at 12:11 would ring too early.
    let timed = press(&stove, 4, "reached", 510);
    assert!(timed.contains("20 min at 11 psi: 12 min left, until 12:12."), "{timed}");
    assert!(timed.contains("Set an alarm on this phone for <strong>12:12</strong>"), "{timed}");
    assert!(timed.contains("Off, too early"), "{timed}");
    let shown = String::from_utf8(world.command(&["run"]).output().unwrap().stdout).unwrap();
    for line in shown.lines().map(str::trim) {
        assert!(timed.contains(line), "the page lacks {line:?}: {timed}");
    }
    let taken = [
        ("heat", "11:20", "hall"),
        ("steam", "11:30", "stove"),
        ("closed", "11:43", "hall"),
        ("reached", "11:51", "stove"),
    ];
    assert_eq!(steps(&world), taken.map(|(step, at, by)| (step.to_owned(), at.to_owned(), by.to_owned())));
    // Pressed by mistake, and taken back on the other phone: the time goes on.
    press(&hall, 5, "lost", 0);
    let back = server.post("/run/back", &stove, &format!("key={}&run=1", key(6)));
    assert!(back.status == 200 && back.body.contains("12 min left, until 12:12."), "{back:?}");
    assert!(world.command(&["check"]).output().unwrap().status.success());
}

#[test]
fn what_does_not_fit_is_refused_with_what_does_and_changes_nothing() {
    let world = beans();
    let server = world.serve();
    let cookie = server.pair("hall");
    let post = |body: &str| server.post("/run/step", &cookie, body);
    for (what, body, status, said) in [
        ("out of order", format!("key={}&step=reached&run=1", key(1)), 409, "the next step is heat"),
        ("no step", format!("key={}&step=boil&run=1", key(2)), 400, "use heat, steam"),
        ("another run", format!("key={}&step=heat&run=7", key(3)), 404, "no run 7 is under way; 1 is"),
        ("no number", format!("key={}&step=heat&run=x", key(4)), 400, "not the number of a run"),
        ("no name of its own", "step=heat&run=1".to_owned(), 400, "no name of its own"),
        ("given up", format!("key={}&step=abandon&run=1", key(5)), 400, "at the terminal"),
        ("in time to come", format!("key={}&step=heat&run=1&age=-60", key(6)), 400, "clock"),
    ] {
        let answer = post(&body);
        assert_eq!(answer.status, status, "{what}: {answer:?}");
        assert!(answer.body.contains(said), "{what}: {}", answer.body);
    }
    assert_eq!(steps(&world), []);
    assert_eq!(server.get("/run/step", &cookie).status, 404);
}

#[test]
fn a_step_sent_again_is_taken_once_and_two_at_once_are_one_and_a_refusal() {
    let world = beans();
    let server = world.serve();
    let hall = server.pair("hall");
    let stove = world.pair_one_more(&server, "stove");
    let heat = format!("key={}&age=600&step=heat&run=1", key(1));
    let first = server.post("/run/step", &hall, &heat);
    assert!(first.body.contains("heat at 11:50, run 1."), "{first:?}");
    let again = server.post("/run/step", &hall, &heat);
    assert!(
        again.status == 200 && again.body.contains("This was done already: run 1: heat at 11:50."),
        "{again:?}"
    );
    // Both looked at the page after one step. Of the same step twice, and of two steps that both would fit one after
    // the other, one is taken.
    for (number, (one, other)) in [("steam", "steam"), ("closed", "closed")].into_iter().enumerate() {
        let number = number as u32;
        let (before, seen) = (steps(&world).len(), seen(&server, &hall));
        let press = |cookie: &str, last: u32, step: &str| {
            server
                .post("/run/step", cookie, &format!("key={}&step={step}&run=1&seen={seen}", key(last)))
                .status
        };
        let statuses = std::thread::scope(|both| {
            let a = both.spawn(|| press(&hall, 10 + number, one));
            let b = both.spawn(|| press(&stove, 20 + number, other));
            let mut statuses = [a.join().unwrap(), b.join().unwrap()];
            statuses.sort_unstable();
            statuses
        });
        assert_eq!(statuses, [200, 409], "{one} and {other}");
        assert_eq!(steps(&world).len(), before + 1);
    }
    let closed = seen(&server, &hall);
    let reached =
        server.post("/run/step", &hall, &format!("key={}&step=reached&run=1&seen={closed}", key(30)));
    assert_eq!(reached.status, 200);
    let old = server.post("/run/step", &stove, &format!("key={}&step=lost&run=1&seen={closed}", key(31)));
    assert_eq!(old.status, 409);
    assert!(old.body.contains("run 1 has gone on meanwhile: reached 12:00 (hall)"), "{old:?}");
    // As many steps as before, but another last one: its time began again.
    let at_pressure = seen(&server, &stove);
    server.post("/run/back", &hall, &format!("key={}&run=1", key(32)));
    server.post("/run/step", &hall, &format!("key={}&step=reached&run=1", key(33)));
    let old = server.post("/run/step", &stove, &format!("key={}&step=off&run=1&seen={at_pressure}", key(34)));
    assert_eq!((old.status, steps(&world).len()), (409, 4), "{old:?}");
    let at_pressure = seen(&server, &stove);
    // One name twice at the same moment: both see what was done, and it is done once.
    let lost = format!("key={}&step=lost&run=1&seen={at_pressure}", key(40));
    let statuses = std::thread::scope(|both| {
        let all: Vec<_> =
            (0..6).map(|_| both.spawn(|| server.post("/run/step", &hall, &lost).status)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect::<Vec<_>>()
    });
    assert_eq!(statuses, [200; 6]);
    assert_eq!(steps(&world).len(), 5);
    assert!(world.command(&["check"]).output().unwrap().status.success());
}
