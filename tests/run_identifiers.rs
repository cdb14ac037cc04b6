//! Identifiers that an author gives to headings, against those that the pages give to their own parts: none is there twice.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use std::collections::{BTreeMap, BTreeSet};

fn identifiers(page: &str) -> Vec<String> {
    let ids = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next());
    ids.map(str::to_owned).collect()
}

fn lesson(headings: &[String]) -> String {
    let body: String = headings.iter().map(|heading| format!("# {heading}\n\nText.\n\n")).collect();
    let example =
        "```worked-example a-catch\ncalculator: catch-test\ngiven: { catch: [{ volume: 1 gal, time: 30 s }] }\n```\n";
    format!("---\ntitle: First\nsummary: S.\n---\n\n{body}{example}")
}

#[test]
fn an_identifier_that_the_page_has_itself_is_refused_in_a_heading() {
    let room = Room::new("identifiers");
    room.course("course");
    room.write("course/lessons/first.md", lesson(&[]));
    room.publish("course", "site");
    let mut own: BTreeSet<String> = identifiers(&room.pages("site")["lessons/first.html"]).into_iter().collect();
    assert!(own.contains("main") && own.len() > 5, "{own:?}");
    // Parts that only some lessons have, or that a script makes.
    own.extend(["law", "quiz-first", "questions-first", "q-first", "card-rate", "tk-find-words"].map(str::to_owned));
    let headings: Vec<String> = own.iter().map(|id| format!("A {{#{id}}}")).collect();
    room.write("course/lessons/first.md", lesson(&headings));
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(1), "{}", done.err);
    for (at, id) in own.iter().enumerate() {
        assert!(done.err.contains(&format!("first.md:{}:", 6 + 4 * at)), "`{id}` is refused\n{}", done.err);
    }
}

#[test]
fn headings_named_as_the_parts_of_a_page_double_no_identifier() {
    let room = Room::new("identifiers-named");
    room.course("course");
    let names = ["Main", "Law", "Tk find", "Worked a catch", "Quiz first", "Questions first", "Q 1", "Card", "A", "A"];
    room.write("course/lessons/first.md", lesson(&names.map(str::to_owned)));
    room.publish("course", "site");
    for (name, page) in room.pages("site") {
        let mut count: BTreeMap<String, usize> = BTreeMap::new();
        for id in identifiers(&page) {
            *count.entry(id).or_default() += 1;
        }
        count.retain(|_, count| *count > 1);
        assert!(count.is_empty(), "{name}: {count:?}");
    }
}
