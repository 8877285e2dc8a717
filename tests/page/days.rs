//! Days on the page, in the household's order.

use super::server::World;

#[test]
fn days_on_the_page_follow_the_order_that_was_said() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    // The demo's white beans, put up on 28 June 2026, and its squash, due by 24 November 2026, a Tuesday.
    let page = |path: &str| server.get(path, &cookie).body;
    assert!(
        page("/j/26-002-02-9").contains("best by <span class=\"whole\">2027-06-28</span>"),
        "ISO 8601 where nothing was said"
    );
    for (order, day, today) in [
        ("day-month-year", "28 Jun 2027", "Tuesday 24 November"),
        ("month-day-year", "Jun 28, 2027", "Tuesday, November 24"),
        ("year-month-day", "2027 Jun 28", "Tuesday, November 24"),
    ] {
        world.json(&["setup", "--dates", order]);
        let (jar, first) = (page("/j/26-002-02-9"), page("/"));
        assert!(jar.contains(&format!("best by {day}")), "{order}: {jar}");
        assert!(first.contains(&format!("best by {day}")), "{order}: {first}");
        assert!(first.contains(today), "{order}: {first}");
    }
}
