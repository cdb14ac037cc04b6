//! A published site as it is on the disk: no word of a course becomes markup, it is the same wherever it is made,
//! and its links lead to its own files.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::tags::{Tag, tags};
use published::{Room, original};
use std::collections::BTreeMap;
use std::fs;

/// Text that a browser would run, if it ever reached one as markup.
const HOSTILE: &[&str] = &[
    "<img src=x onerror=ran()>",
    "\"><script>ran()</script>",
    "' onmouseover='ran()' x='",
    "</title></script></style></textarea><script>ran()</script>",
    "--><svg onload=ran()><!--",
    "{{ 4321 * 2 }}{% include \"x\" %}{# x #}",
    "javascript:ran()",
    "&lt;script&gt;&#60;b&#62;&quot; onclick=&quot;ran()",
    "]]><a href=\"javascript:ran()\">x</a>",
    "\u{202e}<b>\u{2028}ran()",
];

/// The small course with `text` in every place where a person writes words.
fn worded(room: &Room, folder: &str, text: &str) {
    // JSON is YAML as well, and quotes everything.
    let quoted = serde_json::to_string(text).expect("text");
    let escaped: String = text.chars().map(escape).collect();
    room.course(folder);
    let write = |file: &str, text: String| room.write(&format!("{folder}/{file}"), text);
    write(
        "course.yaml",
        format!(
            "id: two-lessons\ntitle: {quoted}\ncompany: {quoted}\nsummary: {quoted}\ncontact: {quoted}\nlessons: [first, second]\n"
        ),
    );
    let example = format!(
        "```worked-example gun\ncalculator: tank-mix\ntitle: {quoted}\ngiven:\n  tank: 200 gal\n  application-rate: 2 gal/1000 ft2\n  product: [{{ name: {quoted}, rate: 2 fl oz/1000 ft2 }}]\n```"
    );
    let code = text.replace(['`', '|'], "");
    write(
        "lessons/first.md",
        format!(
            "---\ntitle: {quoted}\nsummary: {quoted}\n---\n\n# A {escaped}\n\nA {escaped} and `x {code}` and [a {escaped}](second.md \"{escaped}\").\n\n| {escaped} |\n|---|\n| {escaped} |\n\n![{escaped}](../images/gun.svg)\n\n{example}\n\n```caution warning\nA {escaped}\n```\n\n```\n{code}\n```\n"
        ),
    );
    // A question's braces hold its numbers.
    let asked = serde_json::to_string(&text.replace(['{', '}'], "")).expect("text");
    let other = serde_json::to_string(&format!("Not {}", text.replace(['{', '}'], ""))).expect("text");
    write(
        "questions/small.yaml",
        format!(
            "id: small\ntitle: {quoted}\nquestions:\n  - id: a\n    kind: one\n    text: {asked}\n    options:\n      - {{ text: {asked}, right: true, because: {asked} }}\n      - {{ text: {other} }}\n"
        ),
    );
}

/// A character that Markdown leaves as it is.
fn escape(letter: char) -> String {
    if letter.is_ascii_punctuation() { format!("\\{letter}") } else { letter.to_string() }
}

#[test]
fn words_from_a_course_never_become_live_markup() {
    let room = Room::new("hostile");
    worded(&room, "plain", "Plain words");
    room.publish("plain", "plain-site");
    let outline = |site: &str| -> BTreeMap<String, Vec<String>> {
        let pages = room.pages(site).into_iter();
        pages.map(|(name, page)| (name, tags(&page).iter().map(Tag::outline).collect())).collect()
    };
    let plain = outline("plain-site");
    assert!(plain.values().map(Vec::len).sum::<usize>() > 100, "the tags are seen");
    for text in HOSTILE {
        worded(&room, "hostile", text);
        room.publish("hostile", "site");
        let hostile = outline("site");
        for (page, tags) in &plain {
            assert_eq!(tags, &hostile[page], "{page} with {text}");
        }
        let pages = room.pages("site");
        let said = |page: &str| pages[page].matches("ran()").count() + pages[page].matches("4321").count();
        assert!(said("index.html") > 3 && said("lessons/first.html") > 9 && said("lessons/second.html") > 3, "{text}");
        for (page, html) in pages {
            for tag in tags(&html) {
                harmless(&tag, &format!("{page} with {text}"));
            }
            assert!(!html.contains("8642"), "{page}: a template ran over {text}");
            scripts_hold_data(&html, &page);
        }
    }
}

fn harmless(tag: &Tag, about: &str) {
    for (name, value) in &tag.attributes {
        assert!(!name.starts_with("on") && name != "style" && name != "srcdoc", "{about}: {tag:?}");
        if ["href", "src", "action", "formaction", "data", "xlink:href"].contains(&name.as_str()) {
            let scheme = value.split_once(':').map(|(scheme, _)| scheme.trim().to_ascii_lowercase());
            let known = scheme.as_deref().is_none_or(|scheme| ["https", "http", "mailto", "data"].contains(&scheme));
            assert!(known, "{about}: {tag:?}");
            assert!(scheme.as_deref() != Some("data") || value == "data:,", "{about}: {tag:?}");
        }
    }
    if tag.name == "script" {
        let data = tag.get("type") == Some("application/json");
        assert!(data || tag.get("src").is_some_and(|src| src.ends_with(".js")), "{about}: {tag:?}");
    }
}

/// A script element is empty or holds JSON, in which nothing can end it.
fn scripts_hold_data(html: &str, page: &str) {
    for piece in html.split("<script").skip(1) {
        let (open, rest) = piece.split_once('>').expect("the tag ends");
        let (inside, _) = rest.split_once("</script>").expect("the script ends");
        if open.contains("application/json") {
            assert!(!inside.contains("<"), "{page}: {inside}");
            assert!(serde_json::from_str::<serde_json::Value>(inside).is_ok(), "{page}: {inside}");
        } else {
            assert!(inside.is_empty(), "{page}: {inside}");
        }
    }
}

#[test]
fn the_same_course_comes_out_the_same_wherever_and_with_however_many_threads() {
    let room = Room::new("same");
    for folder in ["course", "deep/down/another name é"] {
        room.course(folder);
        // More lessons than one thread takes at a time.
        let many: Vec<String> = (0..60).map(|number| format!("more-{number}")).collect();
        for name in &many {
            let text = original("lessons/first.md").replace("title: First", &format!("title: {name}"));
            room.write(&format!("{folder}/lessons/{name}.md"), text);
        }
        let lessons = format!("lessons: [first, second, {}]", many.join(", "));
        let settings = original("course.yaml").replace("lessons: [first, second]", &lessons);
        room.write(&format!("{folder}/course.yaml"), settings);
    }
    room.publish("course", "site");
    let site = room.digests("site");
    assert!(site.len() > 70);
    room.publish("course", "site");
    assert_eq!(room.digests("site"), site, "once more over itself");
    room.publish("deep/down/another name é", "deep/elsewhere");
    assert_eq!(room.digests("deep/elsewhere"), site, "from another folder into another");
    for threads in ["1", "2", "7", "64", "no number"] {
        let done = room.run_in("course", &["publish", "--to", "../threads"], &[("TANKSIDE_THREADS", threads)]);
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{threads} threads");
        assert_eq!(room.digests("threads"), site, "{threads} threads");
    }
    let clock =
        [("TZ", "Pacific/Kiritimati"), ("LANG", "tr_TR.UTF-8"), ("LC_ALL", "tr_TR.UTF-8"), ("HOME", "/nowhere")];
    let done = room.run_in("", &["publish", "course", "--to", "threads"], &clock);
    assert_eq!(done.code, Some(0), "{}", done.err);
    assert_eq!(room.digests("threads"), site, "with other surroundings");
    // Nothing of this machine is in it.
    let here = room.path("").to_string_lossy().into_owned();
    for (page, html) in room.pages("site") {
        assert!(!html.contains(here.trim_end_matches('/')) && !html.contains(env!("CARGO_MANIFEST_DIR")), "{page}");
    }
}

#[test]
fn without_a_course_the_demo_is_published_into_the_usual_folder() {
    let room = Room::new("demo");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    let done = room.run_in("empty", &["publish"], &[]);
    assert_eq!((done.code, done.err.as_str()), (Some(0), ""));
    assert!(done.out.contains("the demo course") && done.out.contains("tankside-site"), "{}", done.out);
    assert_eq!(room.names("empty"), ["tankside-site"]);
    assert!(room.pages("empty/tankside-site").len() > 5);
    // In a folder that holds a course it is that course.
    room.course("own");
    let done = room.run_in("own", &["publish"], &[]);
    assert!(done.out.contains("Two lessons") && !done.out.contains("the demo course"), "{}", done.out);
    // A site inside its course would be read as part of it, so it goes beside the course.
    assert_eq!(room.names(""), ["empty", "own", "own-site"]);
    room.publish("own", "elsewhere");
    assert_eq!(room.digests("own-site"), room.digests("elsewhere"));
    let done = room.run_in("own/lessons", &["publish", ".."], &[]);
    assert!(done.out.contains("own-site"), "{} {}", done.out, done.err);
    let done = room.run(&["publish", "own"]);
    assert!(done.code == Some(0) && room.names("").contains(&"tankside-site".to_owned()), "{}", done.err);
}

#[test]
fn a_link_within_the_site_is_relative_and_ends_in_the_name_of_a_file_that_is_there() {
    let room = Room::new("links");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    let done = room.run_in("empty", &["publish", "--to", "site"], &[]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    let files = room.digests("empty/site");
    let pages = room.pages("empty/site");
    let mut followed = 0;
    for (page, html) in &pages {
        for tag in tags(html) {
            for link in ["href", "src"].iter().filter_map(|name| tag.get(name)) {
                if link.starts_with("https://")
                    || link.starts_with("http://")
                    || link.starts_with("mailto:")
                    || link.starts_with("tel:+")
                    || link == "data:,"
                {
                    continue;
                }
                let (path, place) = link.split_once('#').unwrap_or((link, ""));
                let target = resolved(page, path);
                assert!(files.get(&target).is_some_and(|digest| digest != "folder"), "{page}: {link} is {target}");
                assert!(target.rsplit('/').next().is_some_and(|name| name.contains('.')), "{page}: {link}");
                if !place.is_empty() {
                    let ids = format!(" id=\"{place}\"");
                    assert!(pages[&target].contains(&ids), "{page}: {link} leads to no place");
                }
                followed += 1;
            }
        }
    }
    assert!(followed > 100, "{followed} links");
    for (name, _) in files.iter().filter(|(name, _)| name.ends_with(".css")) {
        let css = fs::read_to_string(room.path("empty/site").join(name)).expect("UTF-8");
        assert!(!css.contains("url(") && !css.contains("@import"), "{name} fetches nothing");
    }
}

/// Where a relative path on a page leads, within the site.
fn resolved(page: &str, path: &str) -> String {
    if path.is_empty() {
        return page.to_owned();
    }
    assert!(!path.starts_with('/'), "{page}: {path} begins at the root of a server");
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        match part {
            ".." => assert!(parts.pop().is_some(), "{page}: {path} leads out of the site"),
            "." => {}
            name => parts.push(name),
        }
    }
    parts.join("/")
}

#[test]
fn no_identifier_is_on_a_page_twice_whatever_an_author_calls_a_heading() {
    let room = Room::new("ids");
    room.course("course");
    room.publish("course", "plain");
    // Every identifier that a page of this course uses itself.
    let ids = |site: &str| -> Vec<(String, Vec<String>)> {
        let page_ids = |html: &str| tags(html).iter().filter_map(|tag| tag.get("id").map(str::to_owned)).collect();
        room.pages(site).into_iter().map(|(name, html)| (name, page_ids(&html))).collect()
    };
    let lessons = |(name, _): &(String, Vec<String>)| name.starts_with("lessons/");
    let mut own: Vec<String> = ids("plain").into_iter().filter(lessons).flat_map(|(_, ids)| ids).collect();
    own.sort();
    own.dedup();
    assert!(own.contains(&"main".to_owned()) && own.contains(&"quiz-small".to_owned()), "{own:?}");
    // As headings whose identifier is made from the text, all are accepted and none appears twice.
    let headings: String = own.iter().map(|id| format!("## {}\n\nText.\n\n", id.replace('-', " "))).collect();
    for file in ["lessons/first.md", "lessons/second.md"] {
        room.write(&format!("course/{file}"), format!("{}\n\n{headings}", original(file)));
    }
    room.publish("course", "headings");
    for (page, ids) in ids("headings") {
        let mut once = ids.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), ids.len(), "{page}: {ids:?}");
    }
    // As names that an author chose, those of the page are refused; names of their own headings are theirs.
    for file in ["lessons/first.md", "lessons/second.md"] {
        room.course("course");
        let page = file.replace(".md", ".html");
        let there: Vec<String> =
            ids("plain").into_iter().filter(|(name, _)| *name == page).flat_map(|(_, ids)| ids).collect();
        for id in there.iter().filter(|id| *id != "walk" && *id != "catch") {
            room.write(&format!("course/{file}"), format!("{}\n\n# More {{#{id}}}\n", original(file)));
            let done = room.run(&["publish", "course", "--to", "site"]);
            assert_eq!(done.code, Some(1), "{id}: {}", done.out);
            assert!(done.err.contains("heading-name"), "{id}: {}", done.err);
        }
    }
    room.course("course");
    for class in ["tk-number", "tk-quiz", "tk-"] {
        room.write("course/lessons/second.md", format!("{}\n\n# More {{.{class}}}\n", original("lessons/second.md")));
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert!(done.code == Some(1) && done.err.contains("heading-attribute"), "{class}: {}", done.err);
    }
}
