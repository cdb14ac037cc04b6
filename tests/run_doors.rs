//! The doors through which a course brings more than lessons: its phrases, its parts of templates, its attachments, its
//! whole folder. A hostile one reaches nothing but its own pages, and proof reads any of it without a panic or a trace.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Done, Room, original};
use std::collections::BTreeMap;
use std::fs;

/// What must never be read: it lies beside the course.
const SECRET: &str = "the-secret-beside-the-course";

fn started(name: &str) -> Room {
    let room = Room::new(name);
    room.course("course");
    room.write("secret.txt", SECRET);
    room.write("secret.html", SECRET);
    room
}

fn told_nothing(done: &Done, what: &str) {
    assert!(!done.err.contains(SECRET) && !done.out.contains(SECRET), "{what}: {}", done.err);
}

#[test]
fn a_hostile_part_reads_no_file_no_setting_of_the_machine_and_writes_nowhere() {
    let room = started("doors-parts");
    let foot =
        tankside::site::templates().find(|(name, _)| name == "parts/foot.html").map(|(_, text)| text).expect("it is");
    let secret = room.path("secret.html").display().to_string();
    for attack in [
        "{% include \"../../secret.html\" %}".to_owned(),
        format!("{{% include \"{secret}\" %}}"),
        "{% include \"/proc/self/environ\" %}".to_owned(),
        "{% include \"file:///etc/passwd\" %}".to_owned(),
        "{% extends \"../../secret.html\" %}".to_owned(),
        "{% import \"../../secret.html\" as x %}".to_owned(),
        "{{ get_env(name=\"DOOR_SECRET\") }}".to_owned(),
        "{{ load_data(path=\"../secret.txt\") }}".to_owned(),
        "{{ read(path=\"../secret.txt\") }}".to_owned(),
        "{{ now() }}".to_owned(),
        "{{ get_random(start=0, end=9) }}".to_owned(),
        "{{ throw(message=\"x\") }}".to_owned(),
        "{% macro x() %}{{ self::x() }}{% endmacro x %}{{ self::x() }}".to_owned(),
        // What follows the bar is a component of the attacker's own, below the one that calls it.
        "{{<again/>}}|{% component again() %}{{<again/>}}{% endcomponent again %}".to_owned(),
        "{{<ping/>}}|{% component ping() %}{{<pong/>}}{% endcomponent ping %}{% component pong() %}{{<ping/>}}{% endcomponent pong %}".to_owned(),
        "{{<read/>}}|{% component read() %}{% include \"/etc/passwd\" %}{% endcomponent read %}".to_owned(),
        "{{<up/>}}|{% component up() %}{% include \"../../../../etc/passwd\" %}{% endcomponent up %}".to_owned(),
        "{{<turn/>}}|{% component turn() %}{% for a in range(end=30000) %}{% for b in range(end=30000) %}y{% endfor %}{% endfor %}{% endcomponent turn %}".to_owned(),
        "{% include \"parts/foot.html\" %}".to_owned(),
        "{% for a in range(end=1000000000) %}{% endfor %}".to_owned(),
        "{% for a in range(end=9000000) %}x{% endfor %}".to_owned(),
        "{% for a in range(end=30000) %}{% for b in range(end=30000) %}{% endfor %}{% endfor %}".to_owned(),
        "{% set a = \"0123456789\" %}{% for b in range(end=40) %}{% set_global a = a ~ a %}{% endfor %}{{ a }}".to_owned(),
        "{% set n = range(end=9007199254740991) %}{{ n }}".to_owned(),
    ] {
        let (inside, below) = attack.split_once('|').unwrap_or((&attack, ""));
        let part = format!("{}\n{below}", foot.replace("<footer", &format!("{inside}<footer")));
        room.write("course/templates/parts/foot.html", part);
        let before = room.digests("");
        let done = room.run_in("", &["publish", "course", "--to", "site"], &[("DOOR_SECRET", SECRET)]);
        told_nothing(&done, &attack);
        assert!(done.code == Some(1) && done.err.contains("templates/parts/foot.html"), "{attack}: {}", done.err);
        assert_eq!(room.digests(""), before, "{attack} leaves a trace");
    }
    // What it can print is what it is given, and that is what is on its pages anyway.
    room.write(
        "course/templates/parts/foot.html",
        foot.replace("<footer", "<pre>{{ __tera_context is defined }}</pre><footer"),
    );
    let done = room.run_in("", &["publish", "course", "--to", "site"], &[("DOOR_SECRET", SECRET)]);
    told_nothing(&done, "context");
    assert!(room.pages("site").values().all(|page| !page.contains(SECRET)));
}

#[test]
fn parts_with_names_of_other_places_are_no_parts() {
    let room = started("doors-part-names");
    for name in
        ["course/templates/parts/evil.html", "course/templates/parts/foot.html.tera", "course/templates/top.html"]
    {
        room.write(name, "x");
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert!(done.code == Some(1) || done.err.contains("warning"), "{name} slips by: {}", done.err);
        fs::remove_file(room.path(name)).expect("it was just written");
        let _ = fs::remove_dir_all(room.path("site"));
    }
    #[cfg(unix)]
    {
        fs::create_dir_all(room.path("course/templates/parts")).expect("made");
        std::os::unix::fs::symlink(room.path("secret.html"), room.path("course/templates/parts/foot.html"))
            .expect("made");
        let done = room.run(&["publish", "course", "--to", "site"]);
        told_nothing(&done, "a link");
        assert_eq!(done.code, Some(1), "{}", done.err);
    }
}

#[test]
fn hostile_phrases_are_text_wherever_they_are_shown() {
    let room = started("doors-phrases");
    let all: BTreeMap<String, String> = serde_yaml::from_str(&room.run(&["phrases"]).out).expect("YAML");
    let hostile = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>&#60;b\u{2028}";
    let written: BTreeMap<&String, String> = all
        .iter()
        .filter(|(key, _)| !key.starts_with("number."))
        .map(|(key, text)| (key, format!("{text} {hostile}")))
        .collect();
    let written = serde_yaml::to_string(&written).expect("YAML");
    room.write("course/phrases/en.yaml", written);
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    let mut seen = 0;
    for name in room.digests("site").keys().filter(|name| name.contains('.') && !name.ends_with(".txt")) {
        let text = String::from_utf8_lossy(&fs::read(room.path("site").join(name)).expect("readable")).into_owned();
        seen += usize::from(text.contains("alert(1)"));
        for raw in ["<script>alert", "<img src=x"] {
            assert!(name.ends_with(".webmanifest") || !text.contains(raw), "{raw} in {name}");
        }
        assert!(!name.ends_with(".js") || !text.contains('\u{2028}'), "an end of line within a script: {name}");
    }
    assert!(seen > 10, "the phrases were used: {seen}");
}

#[test]
fn attachments_are_of_listed_kinds_and_are_handed_over_never_opened() {
    let room = started("doors-attachments");
    let evil: &[u8] = b"<html><script>alert(document.domain)</script></html>";
    for name in [
        "a.html",
        "a.htm",
        "a.svg",
        "a.xhtml",
        "a.xml",
        "a.js",
        "a.mjs",
        "a.pdf.html",
        "a.exe",
        "a",
        "a.PDF ",
        "a.hta",
        "a.mht",
        "a.swf",
    ] {
        room.write(&format!("course/attachments/{name}"), evil);
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert!(done.code == Some(1) && done.err.contains("attachment-kind"), "{name}: {}", done.err);
        fs::remove_file(room.path(&format!("course/attachments/{name}"))).expect("it was just written");
    }
    for (name, bytes) in
        [("a.pdf", evil), ("a.docx", evil), ("a.csv", b"a\0b".as_slice()), ("a.txt", b"\xff\xfe<\0".as_slice())]
    {
        room.write(&format!("course/attachments/{name}"), bytes);
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert!(done.code == Some(1) && done.err.contains("attachment-kind"), "{name}: {}", done.err);
        fs::remove_file(room.path(&format!("course/attachments/{name}"))).expect("it was just written");
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(room.path("secret.txt"), room.path("course/attachments/out.txt")).expect("made");
        let done = room.run(&["publish", "course", "--to", "site"]);
        told_nothing(&done, "a link that leads out");
        assert_eq!(done.code, Some(1), "{}", done.err);
        fs::remove_file(room.path("course/attachments/out.txt")).expect("it was just made");
    }
    room.write("course/attachments/a.pdf", b"%PDF-1.4 <script>alert(1)</script>");
    room.write("course/attachments/x y\"><b>.csv", "a,b\n");
    room.publish("course", "site");
    for (name, page) in room.pages("site") {
        for at in page.match_indices("attachments/").map(|(at, _)| at) {
            let tag = &page[page[..at].rfind('<').unwrap_or(0)..];
            let tag = &tag[..tag.find('>').unwrap_or(tag.len())];
            assert!(tag.starts_with("<a ") && tag.contains(" download"), "{name}: {tag}");
        }
        assert!(!page.contains("<b>.csv"), "{name}");
    }
    // The worker that keeps a course hands them over as a browser's download, in a box of their own.
    let worker = fs::read_to_string(room.path("site/offline.js")).expect("it is there");
    assert!(worker.contains("\"content-disposition\": \"attachment\"") && worker.contains("\"sandbox\""));
}

/// Courses that no friend would send.
fn hostile(room: &Room) -> Vec<&'static str> {
    let lesson = original("lessons/first.md");
    room.write("deep/course.yaml", format!("id: {}x", "[".repeat(100_000)));
    room.write("wide/course.yaml", format!("id: x\ntitle: {}\n", "t".repeat(3_000_000)));
    room.write("bytes/course.yaml", [0xff, 0xfe, 0, 0x1b, b'[', b'2', b'J']);
    room.write("empty/course.yaml", "");
    room.write("bomb/course.yaml", "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nid: *c\n");
    for course in ["quotes", "fences", "tables", "links", "header", "escape", "banks", "own", "places", "options"] {
        room.course(course);
    }
    room.write("quotes/lessons/first.md", format!("{lesson}\n{}a\n", "> ".repeat(20_000)));
    room.write("fences/lessons/first.md", format!("{lesson}\n{}", "```worked-example\n".repeat(5_000)));
    room.write("tables/lessons/first.md", format!("{lesson}\n{}\n{}\n", "|a".repeat(9_000), "|-".repeat(9_000)));
    room.write("links/lessons/first.md", format!("{lesson}\n{}", "[a](".repeat(50_000)));
    room.write("header/lessons/first.md", format!("---\n{}: x\n---\n", "a".repeat(200_000)));
    room.write("escape/lessons/first.md", lesson.replace("First", "\u{1b}]0;owned\u{7}\u{202e}\r\n::error::x"));
    room.write("banks/questions/small.yaml", format!("id: small\nquestions:\n{}", "  - id: a\n".repeat(20_000)));
    room.write(
        "own/glossary.yaml",
        format!("terms:\n{}", "  - { id: a, term: x, text: '[a](javascript:x)', source: y }\n".repeat(2_000)),
    );
    // Thousands of problems far down a file: to find the place of each by counting from the top would take minutes.
    let far: String = (0..1_500).map(|at| format!("# H {at}\n\n[a](#no-{at})\n\n")).collect();
    room.write("places/lessons/first.md", format!("{lesson}\n{}\n{far}", "[b](#none) ".repeat(1_500)));
    let options: String = (0..2_000).map(|at| format!("      - {{ text: option number {at} x }}\n")).collect();
    let right = "  - id: a\n    kind: one\n    text: W?\n    options:\n      - { text: A, right: true }\n";
    room.write("options/questions/small.yaml", format!("id: small\ntitle: S\nquestions:\n{right}{options}"));
    let phrases: String = (0..2_000).map(|at| format!("site.nope{at}: x\n")).collect();
    room.write("options/phrases/en.yaml", phrases);
    room.write("own/cautions.yaml", "cautions: 7\n");
    room.write("own/phrases/en.yaml", "- a\n- b\n");
    let mut all = vec![
        "deep", "wide", "bytes", "empty", "bomb", "quotes", "fences", "tables", "links", "header", "escape", "banks",
        "own", "places", "options",
    ];
    #[cfg(unix)]
    {
        room.course("links-out");
        fs::remove_file(room.path("links-out/lessons/first.md")).expect("it is there");
        std::os::unix::fs::symlink(room.path("secret.txt"), room.path("links-out/lessons/first.md")).expect("made");
        std::os::unix::fs::symlink("/", room.path("links-out/attachments")).expect("made");
        std::os::unix::fs::symlink(room.path("links-out"), room.path("links-out/templates")).expect("made");
        room.course("pipe");
        fs::remove_file(room.path("pipe/questions/small.yaml")).expect("it is there");
        let made = std::process::Command::new("mkfifo").arg(room.path("pipe/questions/small.yaml")).status();
        assert!(made.is_ok_and(|status| status.success()), "a pipe can be made");
        all.extend(["links-out", "pipe"]);
    }
    all
}

/// Names and sizes of everything in the room; a pipe is not to be read.
fn trace(room: &Room) -> Vec<(String, u64)> {
    let entries = walkdir::WalkDir::new(room.path("")).sort_by_file_name().into_iter().filter_map(Result::ok);
    entries.map(|entry| (entry.path().display().to_string(), entry.metadata().map_or(0, |about| about.len()))).collect()
}

#[test]
fn proof_of_a_hostile_course_ends_and_leaves_no_trace() {
    let room = started("doors-proof");
    let courses = hostile(&room);
    let before = trace(&room);
    for course in courses {
        for form in ["text", "json", "sarif"] {
            let done = room.run(&["proof", course, "--format", form]);
            told_nothing(&done, course);
            assert!(matches!(done.code, Some(0 | 1)), "{course} {form}: {:?} {}", done.code, done.err);
            let shown = format!("{}{}", done.out, done.err);
            // Two thousand slips, each a result of its own with its place in the standard's form.
            assert!(shown.len() < 4_000_000, "{course} {form}: {} bytes", shown.len());
            assert!(!shown.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{course} {form} steers the terminal");
            if form != "text" {
                assert!(serde_json::from_str::<serde_json::Value>(&done.out).is_ok(), "{course} {form}: {}", done.out);
            }
        }
    }
    assert_eq!(trace(&room), before);
}

#[test]
fn proof_of_twenty_thousand_bad_links_is_short_for_people_and_whole_for_programs() {
    let room = started("doors-many");
    let lesson = original("lessons/first.md");
    let many: String = (0..20_000).map(|at| format!("[a](#no-{at})\n")).collect();
    room.write("course/lessons/first.md", format!("{lesson}\n{many}"));
    let people = room.run(&["proof", "course"]);
    assert_eq!(people.code, Some(1));
    assert!(people.out.len() < 100_000, "{} bytes", people.out.len());
    assert_eq!(people.out.matches("error heading-missing").count(), 20);
    assert!(people.out.contains("And 19,980 more `heading-missing` in course/lessons/first.md.\n"), "{}", people.out);
    assert!(people.out.contains("`tankside proof --format json` lists every one."));
    assert!(people.out.contains("20000 errors"), "the last line counts them all");
    let all = room.run(&["proof", "course", "--format", "json"]).out;
    assert_eq!(all.matches("\"heading-missing\"").count(), 20_000);
    let all = room.run(&["proof", "course", "--format", "sarif"]).out;
    assert_eq!(all.matches("\"ruleId\": \"heading-missing\"").count(), 20_000);
}

#[test]
fn a_course_that_is_not_kept_takes_away_what_was() {
    let room = started("doors-off");
    room.write("course/course.yaml", format!("{}offline: false\n", original("course.yaml")));
    room.publish("course", "site");
    assert!(room.pages("site").values().all(|page| !page.contains("data-keep")));
    let worker = fs::read_to_string(room.path("site/offline.js")).expect("it is there");
    assert!(worker.contains("unregister()") && !worker.contains("\"fetch\""), "{worker}");
    room.write("course/course.yaml", original("course.yaml"));
    room.publish("course", "site");
    assert!(room.pages("site").values().all(|page| page.contains("data-keep=\"yes\"")));
}

#[test]
fn what_is_kept_is_every_file_of_the_site_and_nothing_else() {
    let room = started("doors-kept");
    room.publish("course", "site");
    let worker = fs::read_to_string(room.path("site/offline.js")).expect("it is there");
    let kept = worker.split_once("const KEPT = ").and_then(|(_, rest)| rest.split_once(";\n")).expect("as written").0;
    let kept: serde_json::Value = serde_json::from_str(kept).expect("JSON");
    let files = kept["files"].as_array().expect("a list");
    let named: Vec<&str> = files.iter().filter_map(|file| file[0].as_str()).collect();
    let there: Vec<String> =
        room.digests("site").into_iter().filter(|(_, what)| what != "folder").map(|(name, _)| name).collect();
    let mut wanted: Vec<&str> = there.iter().map(String::as_str).collect();
    wanted.retain(|name| !["offline.js", "tankside-site.txt"].contains(name));
    let mut sorted = named.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, wanted);
    // As the site's own list has them, which `sha256sum` can check.
    let list = fs::read_to_string(room.path("site/tankside-site.txt")).expect("it is there");
    for file in files {
        let (name, digest) = (file[0].as_str().expect("a name"), file[1].as_str().expect("a digest"));
        assert!(list.lines().any(|line| line.starts_with(digest) && line.ends_with(&format!("  {name}"))), "{name}");
    }
    let first = fs::read(room.path("site/offline.js")).expect("it is there");
    room.publish("course", "again");
    assert_eq!(
        fs::read(room.path("again/offline.js")).expect("it is there"),
        first,
        "the same course, the same version"
    );
}

#[test]
fn an_icon_and_a_manifest_are_in_the_companys_color() {
    let room = started("doors-icon");
    room.write("course/course.yaml", format!("{}colours: {{ band: \"#ffd400\" }}\n", original("course.yaml")));
    room.publish("course", "site");
    let manifest: serde_json::Value =
        serde_json::from_slice(&fs::read(room.path("site/course.webmanifest")).expect("it is there")).expect("JSON");
    assert_eq!(manifest["theme_color"], "#ffd400");
    for icon in manifest["icons"].as_array().expect("a list") {
        let path = icon["src"].as_str().expect("an address");
        assert!(room.path("site").join(path).is_file(), "{path}");
    }
    let drawn = fs::read_to_string(room.path("site/assets/icon.svg")).expect("it is there");
    assert!(drawn.contains("#ffd400"), "{drawn}");
}
