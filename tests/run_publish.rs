//! `tankside publish` from outside: mistakes are told at their place and change nothing that stood before.

mod published;

use published::tags::{Tag, tags};
use published::{COURSE, Done, Room};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A mistake in one file of the small course, and what its author is told.
struct Mistake {
    name: &'static str,
    file: &'static str,
    text: String,
    /// The code of the error, and its file, line and column.
    told: &'static [(&'static str, &'static str)],
}

fn original(file: &str) -> &'static str {
    COURSE.iter().find(|(name, _)| *name == file).map_or("", |(_, text)| text)
}

/// The file with one piece exchanged.
fn changed(
    name: &'static str,
    file: &'static str,
    from: &str,
    to: &str,
    told: &'static [(&'static str, &'static str)],
) -> Mistake {
    let text = original(file);
    assert!(text.contains(from), "{name}: {file} holds no {from}");
    Mistake { name, file, text: text.replacen(from, to, 1), told }
}

fn course_mistakes() -> Vec<Mistake> {
    let file = "course.yaml";
    vec![
        changed("broken YAML", file, "title: Two lessons", "title: [Two", &[("yaml-syntax", "course.yaml:3:")]),
        changed("an unknown key", file, "company:", "compny:", &[("unknown-key", "course.yaml:3:1")]),
        changed("a key twice", file, "contact:", "company:", &[("duplicate-key", "course.yaml:5:1")]),
        changed("a lesson that is missing", file, "second]", "third]", &[("lesson-missing", "course.yaml:6:18")]),
        changed("a lesson twice", file, "second]", "first]", &[("duplicate-id", "course.yaml:6:18")]),
        changed("no number", file, "title: Two lessons", "title: .nan", &[("not-a-number", "course.yaml:2:8")]),
        changed("a blank", file, "title: Two lessons", "title: ' '", &[("blank", "course.yaml:2:8")]),
        changed("no lesson", file, "[first, second]", "[]", &[("no-lessons", "course.yaml:6:10")]),
        changed("a language unknown", file, "id:", "language: xx\nid:", &[("language-unknown", "course.yaml")]),
        Mistake { name: "an empty file", file, text: String::new(), told: &[("missing-key", "course.yaml")] },
        Mistake { name: "deep nesting", file, text: "[".repeat(100_000), told: &[("too-deep", "course.yaml:1:")] },
        Mistake { name: "aliases of aliases", file, text: alias_bomb(), told: &[("anchor", "course.yaml:1:")] },
        Mistake { name: "endless", file, text: "- a\n".repeat(60_000), told: &[("too-many-values", "course.yaml:")] },
    ]
}

/// Nine levels of nine references each: some 400 million values to a reader that follows them.
fn alias_bomb() -> String {
    let mut text = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for level in 1..9 {
        let inside = vec![format!("*a{}", level - 1); 9].join(", ");
        text.push_str(&format!("a{level}: &a{level} [{inside}]\n"));
    }
    text
}

fn lesson_mistakes() -> Vec<Mistake> {
    let (first, second) = ("lessons/first.md", "lessons/second.md");
    let wrong_kind: &[_] = &[("input-unreadable", "lessons/first.md:17:17")];
    vec![
        changed(
            "a header never closed",
            first,
            "minutes: 3\n---\n",
            "minutes: 3\n",
            &[("header-open", "lessons/first.md:1:1")],
        ),
        changed("no header", first, "---\n", "", &[("header-missing", "lessons/first.md:1:1")]),
        changed("a unit of the wrong kind", first, "96 fl oz", "96 ft", wrong_kind),
        changed(
            "a number that cannot be",
            first,
            "96 fl oz",
            "9600 gal",
            &[("input-impossible", "lessons/first.md:17:17")],
        ),
        changed("no number in an example", first, "96 fl oz", ".nan", &[("not-a-number", "lessons/first.md:17:17")]),
        changed("an unknown input", first, "volume:", "volum:", &[("input-unknown", "lessons/first.md:17:")]),
        changed(
            "an unknown calculator",
            first,
            "catch-test",
            "catchtest",
            &[("calculator-unknown", "lessons/first.md:14:13")],
        ),
        changed(
            "a link to nowhere",
            first,
            "second.md#walk",
            "third.md",
            &[("link-to-nowhere", "lessons/first.md:9:")],
        ),
        changed("a place that is not there", first, "#walk", "#run", &[("heading-missing", "lessons/first.md:9:")]),
        changed(
            "a picture that is missing",
            first,
            "gun.svg",
            "nozzle.svg",
            &[("image-missing", "lessons/first.md:11:")],
        ),
        changed(
            "a result that is not there",
            first,
            "gun/nozzle-output",
            "gun/nozle-output",
            &[("figure-unknown", "lessons/first.md:20:")],
        ),
        changed("a bank that is missing", second, "small", "smal", &[("bank-missing", "lessons/second.md:10:14")]),
        changed("HTML", second, "Back", "<b onclick=\"ran()\">Back</b>", &[("raw-html", "lessons/second.md:8:1")]),
        changed(
            "a script for a link",
            second,
            "(first.md)",
            "(javascript:ran())",
            &[("link-scheme", "lessons/second.md:8:9")],
        ),
        changed(
            "attributes of a heading",
            second,
            "# Walk",
            "# Walk {onclick=\"ran()\"}",
            &[("heading-attribute", "lessons/second.md:6:1")],
        ),
        changed("a tag", second, "title: Second", "title: !!js/function ran", &[("tag", "lessons/second.md:2:8")]),
        changed(
            "an example twice",
            second,
            "```questions",
            &example_twice(),
            &[("duplicate-id", "lessons/second.md:")],
        ),
    ]
}

fn example_twice() -> String {
    let example =
        "```worked-example gun\ncalculator: catch-test\ngiven: { catch: [{ volume: 1 gal, time: 30 s }] }\n```\n\n";
    format!("{example}{example}```questions")
}

fn bank_mistakes() -> Vec<Mistake> {
    let file = "questions/small.yaml";
    vec![
        changed("no right answer", file, "right: true, ", "", &[("right-options", "questions/small.yaml:")]),
        changed("a kind unknown", file, "kind: one", "kind: most", &[("unknown-word", "questions/small.yaml:5:11")]),
        changed(
            "a bank with another name",
            file,
            "id: small",
            "id: large",
            &[("id-not-file-name", "questions/small.yaml:1:5")],
        ),
        changed(
            "two questions of one id",
            file,
            "  - id: a\n",
            "  - id: a\n    kind: one\n    text: What?\n    options: [{ text: X, right: true }, { text: Y }]\n  - id: a\n",
            &[("duplicate-id", "questions/small.yaml:8:9")],
        ),
    ]
}

#[test]
fn a_mistake_is_told_at_its_place_and_the_earlier_site_stays() {
    let room = Room::new("mistakes");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    let mut untold = Vec::new();
    for mistake in course_mistakes().into_iter().chain(lesson_mistakes()).chain(bank_mistakes()) {
        room.write(&format!("course/{}", mistake.file), &mistake.text);
        let done = room.run(&["publish", "course", "--to", "site"]);
        refused(&done, mistake.name);
        for (code, place) in mistake.told {
            let error = format!("error[{code}]");
            if !done.said.contains(&error) || !done.said.contains(&format!("--> {place}")) {
                untold.push(format!("{}: no {error} at {place} in\n{}", mistake.name, done.said));
            }
        }
        assert!(done.said.contains("is untouched"), "{}: {}", mistake.name, done.said);
        assert_eq!(room.digests("site"), before, "{}", mistake.name);
        let done = room.run(&["publish", "course", "--to", "new/folders/site"]);
        refused(&done, mistake.name);
        assert_eq!(room.names(""), ["course", "site"], "{}: nothing is left behind", mistake.name);
        room.write(&format!("course/{}", mistake.file), original(mistake.file));
    }
    assert!(untold.is_empty(), "{}", untold.join("\n"));
    room.publish("course", "site");
    assert_eq!(room.digests("site"), before, "mended, it is published as before");
}

fn refused(done: &Done, name: &str) {
    assert_eq!(done.code, Some(1), "{name}: {} {}", done.out, done.said);
    assert!(done.out.is_empty(), "{name}: {}", done.out);
    assert!(done.said.contains("error["), "{name}: {}", done.said);
}

#[test]
fn a_file_that_cannot_be_read_is_named_and_the_earlier_site_stays() {
    let room = Room::new("unreadable");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    let lesson = |body: &[u8]| [b"---\ntitle: First\nsummary: A.\n---\n".as_slice(), body].concat();
    for (name, bytes, code, place) in [
        ("not UTF-8", lesson(b"caf\xe9\n"), "not-utf-8", "lessons/first.md:5:4"),
        ("UTF-16", b"\xff\xfe-\0-\0-\0".to_vec(), "not-utf-8", "lessons/first.md"),
        ("NUL", lesson(b"a\0b\n"), "nul", "lessons/first.md:5:2"),
        ("empty", Vec::new(), "header-missing", "lessons/first.md"),
    ] {
        room.write("course/lessons/first.md", &bytes);
        let done = room.run(&["publish", "course", "--to", "site"]);
        refused(&done, name);
        assert!(done.said.contains(&format!("error[{code}]")), "{name}: {}", done.said);
        assert!(done.said.contains(place), "{name}: no {place} in\n{}", done.said);
        assert_eq!(room.digests("site"), before, "{name}");
    }
    // 50 MB without a byte behind them: the size alone is enough to refuse it.
    let file = fs::File::create(room.path("course/lessons/first.md")).expect("a file can be made");
    file.set_len(50_000_000).expect("a file can be long");
    let done = room.run(&["publish", "course", "--to", "site"]);
    refused(&done, "50 MB");
    assert!(done.said.contains("error[file-too-large]") && done.said.contains("lessons/first.md"), "{}", done.said);
    fs::remove_file(room.path("course/lessons/first.md")).expect("it is there");
    let done = room.run(&["publish", "course", "--to", "site"]);
    refused(&done, "a missing lesson");
    assert!(done.said.contains("--> course.yaml:6:11"), "{}", done.said);
    assert_eq!(room.digests("site"), before);
}

#[test]
fn deep_and_endless_markdown_is_published_or_refused_and_never_a_crash() {
    let room = Room::new("deep");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    for (name, body) in [
        ("quotes", ">".repeat(20_000)),
        ("quotes with words", format!("{} x\n", "> ".repeat(5_000))),
        ("lists", (0..2_000).map(|level| format!("{}- x\n", "  ".repeat(level % 300))).collect()),
        ("brackets", "[".repeat(100_000)),
        ("links", "[a](".repeat(20_000)),
        ("stars", "*a **b ".repeat(20_000)),
        ("pictures", "![".repeat(50_000)),
        ("ticks", "` `` ``` ".repeat(10_000)),
        ("tables", format!("|{}\n|{}\n", "a|".repeat(5_000), "-|".repeat(5_000))),
        ("notes", "[^a]".repeat(10_000)),
        ("headings", (0..3_000).map(|_| "## a\n".to_owned()).collect()),
        ("entities", "&amp;&#x41;&nope;".repeat(10_000)),
        ("fences", "```questions small\n```\n".repeat(500)),
        ("an open fence", "````questions small\n```\n".to_owned()),
    ] {
        room.write("course/lessons/first.md", format!("---\ntitle: First\nsummary: A.\n---\n\n{body}\n"));
        let done = room.run(&["publish", "course", "--to", "other"]);
        assert!(matches!(done.code, Some(0 | 1)), "{name}: {:?} {}", done.code, done.said);
        assert_eq!(done.code == Some(1), done.said.contains("error["), "{name}: {}", done.said);
        let left = if done.code == Some(0) { &["course", "other", "site"][..] } else { &["course", "site"] };
        assert_eq!(room.names(""), left, "{name}");
        let _ = fs::remove_dir_all(room.path("other"));
    }
    assert_eq!(room.digests("site"), before);
}

#[test]
fn a_course_path_that_leads_to_no_course_is_refused() {
    let room = Room::new("nowhere");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    room.write("empty-file", "");
    for (course, part) in [
        ("nowhere", "there is no such course folder"),
        ("course/course.yaml", "a course folder is expected here"),
        ("empty-file/below", "there is no such course folder"),
        ("empty", "course.yaml"),
        ("course/lessons", "course.yaml"),
    ] {
        let done = room.run(&["publish", course, "--to", "site"]);
        refused(&done, course);
        assert!(done.said.contains(part), "{course}: {}", done.said);
        assert_eq!(room.digests("site"), before, "{course}");
    }
    for words in [&["publish", "course", "more"][..], &["publish", "--to"], &["publsh"], &["publish", "--two", "x"]] {
        let done = room.run(words);
        assert_eq!(done.code, Some(2), "{words:?}: {}", done.said);
        assert!(done.said.starts_with("error: "), "{words:?}: {}", done.said);
    }
}

#[test]
fn a_target_that_is_no_site_of_ours_is_never_touched() {
    let room = Room::new("targets");
    room.course("course");
    room.write("a-file", "mine");
    room.write("pictures/holiday.jpg", "mine");
    room.write("looks-alike/index.html", "mine");
    let before = room.digests("");
    for target in
        ["a-file", "a-file/site", "pictures", "looks-alike", "course", "course/lessons", ".", "..", "nowhere/../site"]
    {
        let done = room.run(&["publish", "course", "--to", target]);
        refused(&done, target);
        assert!(done.said.contains("-->"), "{target}: the error names the place: {}", done.said);
        assert_eq!(room.digests(""), before, "{target}");
    }
    // A folder that holds nothing is nobody's.
    fs::create_dir(room.path("free")).expect("a folder can be made");
    room.publish("course", "free");
    room.publish("course", "new/folders/site");
    room.publish("course", "new/../beside");
    let site = room.digests("free");
    // A file of somebody's own in an old site: the marker says that all of it goes.
    room.publish("course", "free");
    assert_eq!(room.digests("free"), site);
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_told_and_left() {
    use std::os::unix::fs::PermissionsExt;
    let room = Room::new("read-only");
    room.course("course");
    room.publish("course", "locked/site");
    let before = room.digests("locked");
    let mode = |mode| fs::set_permissions(room.path("locked"), fs::Permissions::from_mode(mode)).expect("it is ours");
    mode(0o555);
    // Root may write everywhere; then there is nothing to see.
    let everywhere = fs::write(room.path("locked/probe"), "").is_ok();
    if everywhere {
        fs::remove_file(room.path("locked/probe")).expect("it was just made");
    } else {
        let done = room.run(&["publish", "course", "--to", "locked/site"]);
        refused(&done, "read-only");
        assert!(done.said.contains("locked"), "{}", done.said);
    }
    mode(0o755);
    assert_eq!(room.digests("locked"), before);
    // Where nobody may write, root included.
    if Path::new("/proc/self").exists() {
        let done = room.run(&["publish", "course", "--to", "/proc/site"]);
        refused(&done, "/proc");
        assert!(done.said.contains("--> /proc"), "{}", done.said);
    }
}

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

/// A character that Markdown takes as itself.
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
        assert_eq!((done.code, done.said.as_str()), (Some(0), ""), "{threads} threads");
        assert_eq!(room.digests("threads"), site, "{threads} threads");
    }
    let clock =
        [("TZ", "Pacific/Kiritimati"), ("LANG", "tr_TR.UTF-8"), ("LC_ALL", "tr_TR.UTF-8"), ("HOME", "/nowhere")];
    let done = room.run_in("", &["publish", "course", "--to", "threads"], &clock);
    assert_eq!(done.code, Some(0), "{}", done.said);
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
    assert_eq!((done.code, done.said.as_str()), (Some(0), ""));
    assert!(done.out.contains("the demo course") && done.out.contains("tankside-site"), "{}", done.out);
    assert_eq!(room.names("empty"), ["tankside-site"]);
    assert!(room.pages("empty/tankside-site").len() > 5);
    // In a folder that holds a course it is that course.
    room.course("own");
    let done = room.run_in("own", &["publish"], &[]);
    assert!(done.out.contains("Two lessons") && !done.out.contains("the demo course"), "{}", done.out);
    room.publish("own", "elsewhere");
    assert_eq!(room.digests("own/tankside-site"), room.digests("elsewhere"));
}

#[test]
fn a_link_within_the_site_is_relative_and_ends_in_the_name_of_a_file_that_is_there() {
    let room = Room::new("links");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    let done = room.run_in("empty", &["publish", "--to", "site"], &[]);
    assert_eq!(done.code, Some(0), "{}", done.said);
    let files = room.digests("empty/site");
    let pages = room.pages("empty/site");
    let mut followed = 0;
    for (page, html) in &pages {
        for tag in tags(html) {
            for link in ["href", "src"].iter().filter_map(|name| tag.get(name)) {
                if link.starts_with("https://")
                    || link.starts_with("http://")
                    || link.starts_with("mailto:")
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
