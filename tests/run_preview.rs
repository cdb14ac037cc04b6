//! `tankside preview` from outside: a saved file is on the page, what is wrong is shown, and nobody else gets in.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Room, original};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A preview that runs until the test ends.
struct Preview {
    child: Child,
    port: u16,
}

/// What a server answers.
struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Preview {
    fn of(course: &Path) -> Preview {
        let mut child = Command::new(env!("CARGO_BIN_EXE_tankside"))
            .args(["preview", "--port", "0"])
            .arg(course)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        let lines = BufReader::new(child.stdout.take().expect("it is piped")).lines();
        let open =
            lines.map(|line| line.expect("text")).find(|line| line.contains("open  http://")).expect("an address");
        let port = open.trim_end_matches('/').rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
        Preview { child, port }
    }

    fn stream(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(30))).expect("a time limit");
        stream
    }

    /// One request with exactly this head.
    fn ask(&self, head: &str) -> Answer {
        let mut stream = self.stream();
        let _ = write!(stream, "{head}Connection: close\r\n\r\n");
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").map_or((text.as_str(), ""), |(head, body)| (head, body));
        let status = head.split(' ').nth(1).and_then(|code| code.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_lowercase(), body: body.to_owned() }
    }

    fn get(&self, path: &str) -> Answer {
        self.ask(&format!("GET {path} HTTP/1.1\r\nHost: localhost:{}\r\n", self.port))
    }

    fn state(&self, page: &str) -> serde_json::Value {
        serde_json::from_str(&self.get(&format!("/-/state?page={page}")).body).expect("JSON")
    }

    /// Listens for changes; the lines come as they are sent.
    fn events(&self) -> BufReader<TcpStream> {
        let mut stream = self.stream();
        write!(stream, "GET /-/events HTTP/1.1\r\nHost: localhost:{}\r\n\r\n", self.port).expect("it is sent");
        let mut events = BufReader::new(stream);
        let mut line = String::new();
        while line != "\r\n" {
            line.clear();
            events.read_line(&mut line).expect("a head");
        }
        events
    }

    /// Waits until the page says `wanted`, asking again after each change.
    fn until(&self, events: &mut BufReader<TcpStream>, mut good: impl FnMut(&Preview) -> bool) {
        let mut beats = 0;
        for _ in 0..200 {
            if good(self) {
                return;
            }
            let mut line = String::new();
            while !line.starts_with("event: change") {
                // A preview with nothing more to show says only that it is still here, every 15 seconds. A busy machine
                // may take that long over a change, but not two minutes.
                beats += usize::from(line.starts_with(": still here"));
                assert!(beats < 8, "no change comes: {}", self.state("/")["html"]);
                line.clear();
                let read = events.read_line(&mut line).expect("a change comes");
                assert_ne!(read, 0, "the preview ended");
            }
        }
        panic!("the change never showed");
    }
}

impl Drop for Preview {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn started(name: &str) -> (Room, Preview) {
    let room = Room::new(name);
    room.course("course");
    let preview = Preview::of(&room.path("course"));
    (room, preview)
}

#[test]
fn a_saved_lesson_is_on_the_page_and_a_broken_one_leaves_the_last_good_page() {
    let (room, preview) = started("preview-save");
    let mut events = preview.events();
    let first = preview.get("/lessons/first.html");
    assert_eq!(first.status, 200);
    assert!(first.body.contains("/-/desk.js") && first.body.contains("It puts out"), "{}", first.body);
    let before = preview.state("/lessons/first.html");
    assert_eq!(before["html"], "");

    let text = original("lessons/first.md").replace("It puts out", "The gun gives");
    room.write("course/lessons/first.md", &text);
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("The gun gives"));
    let good = preview.state("/lessons/first.html");
    assert_ne!(good["digest"], before["digest"]);
    // A number in another lesson follows.
    room.write(
        "course/lessons/second.md",
        original("lessons/second.md").replace("Back to", "[n](figure:first.gun/nozzle-output). Back to"),
    );
    preview.until(&mut events, |preview| preview.get("/lessons/second.html").body.contains("1.5"));
    room.write("course/lessons/first.md", text.replace("96 fl oz", "128 fl oz"));
    preview.until(&mut events, |preview| preview.get("/lessons/second.html").body.contains(">2\u{a0}gal/min<"));
    room.write("course/lessons/first.md", &text);

    room.write("course/lessons/first.md", text.replace("catch-test", "catchtest"));
    // A file that is being written may be seen empty for a moment.
    preview.until(&mut events, |preview| {
        let html = preview.state("/lessons/first.html")["html"].to_string();
        html.contains("lessons/first.md:14:13") && html.contains("<mark>catchtest</mark>")
    });
    assert!(preview.get("/lessons/first.html").body.contains("The gun gives"), "the last good page is kept");
    room.write("course/lessons/first.md", text.replace("The gun gives", "Out comes"));
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("Out comes"));
    assert_eq!(preview.state("/lessons/first.html")["html"], "");
}

#[test]
fn what_editors_and_folders_do_is_survived() {
    let (room, preview) = started("preview-editors");
    let mut events = preview.events();
    // Written beside and renamed over, with a swap file; then a burst; then a lesson removed and another one added.
    room.write("course/lessons/.first.md.swp", "x");
    room.write("course/lessons/first.md~", original("lessons/first.md"));
    room.write("course/lessons/new-first", original("lessons/first.md").replace("It puts out", "Renamed over"));
    fs::rename(room.path("course/lessons/new-first"), room.path("course/lessons/first.md")).expect("renamed");
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("Renamed over"));
    for number in 0..100 {
        room.write(
            "course/lessons/first.md",
            original("lessons/first.md").replace("It puts out", &format!("Burst {number}.")),
        );
    }
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("Burst 99."));
    fs::remove_file(room.path("course/lessons/second.md")).expect("it is there");
    preview.until(&mut events, |preview| preview.state("/")["html"].to_string().contains("course.yaml:6"));
    assert_eq!(preview.get("/lessons/second.html").status, 200, "the last good one is kept");
    room.write("course/lessons/third.md", original("lessons/second.md"));
    room.write("course/course.yaml", original("course.yaml").replace("second", "third"));
    room.write("course/lessons/first.md", original("lessons/first.md").replace("second.md", "third.md"));
    preview.until(&mut events, |preview| preview.get("/lessons/third.html").status == 200);
    preview.until(&mut events, |preview| preview.get("/lessons/second.html").status == 404);
    // The folder is taken away and comes back.
    fs::rename(room.path("course"), room.path("away")).expect("renamed");
    preview.until(&mut events, |preview| preview.state("/")["html"].to_string().contains("course folder"));
    assert_eq!(preview.get("/lessons/third.html").status, 200);
    fs::rename(room.path("away"), room.path("course")).expect("renamed");
    // What an editor left beside a lesson may get a warning; it is no error.
    preview.until(&mut events, |preview| !preview.state("/")["html"].to_string().contains("--error"));
    room.write(
        "course/lessons/first.md",
        original("lessons/first.md").replace("second.md", "third.md").replace("It puts out", "Back again"),
    );
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("Back again"));
}

#[test]
fn a_folder_that_is_removed_for_good_leaves_the_last_good_pages_and_one_in_its_place_is_shown() {
    let (room, preview) = started("preview-removed");
    let mut events = preview.events();
    fs::remove_dir_all(room.path("course")).expect("it is there");
    preview.until(&mut events, |preview| preview.state("/")["html"].to_string().contains("course folder"));
    for page in ["/", "/lessons/first.html", "/assets/site.css"] {
        assert_eq!(preview.get(page).status, 200, "{page}");
    }
    room.course("course");
    room.write("course/lessons/first.md", original("lessons/first.md").replace("It puts out", "Begun anew"));
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("Begun anew"));
    preview.until(&mut events, |preview| !preview.state("/")["html"].to_string().contains("--error"));
    // And it is watched again.
    room.write("course/lessons/first.md", original("lessons/first.md").replace("It puts out", "And changed"));
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("And changed"));
}

#[test]
fn a_maximum_in_words_that_an_example_is_above_is_shown_until_it_is_mended_in_its_own_lesson() {
    let (room, preview) = started("preview-maximum");
    let mut events = preview.events();
    let lesson = |limit: &str| {
        format!(
            "---\ntitle: Third\nsummary: The third.\n---\n\nThe label allows at most {limit} fl oz/1000 ft2.\n\n```worked-example mix\ncalculator: tank-mix\ngiven:\n  tank: 200 gal\n  application-rate: 2 gal/1000 ft2\n  product: [ {{ rate: 1.5 fl oz/1000 ft2 }} ]\n```\n"
        )
    };
    let told = |preview: &Preview| {
        preview.state("/lessons/first.html")["html"].to_string().contains("The text allows at most 1.0 fl oz")
    };
    room.write("course/lessons/third.md", lesson("2.0"));
    room.write("course/course.yaml", original("course.yaml").replace("second]", "second, third]"));
    preview.until(&mut events, |preview| preview.get("/lessons/third.html").status == 200);
    assert!(!told(&preview));
    room.write("course/lessons/third.md", lesson("1.0"));
    preview.until(&mut events, told);
    let text = original("lessons/first.md").replace("It puts out", "The gun gives");
    room.write("course/lessons/first.md", text);
    preview.until(&mut events, |preview| preview.get("/lessons/first.html").body.contains("The gun gives"));
    assert!(told(&preview), "a change elsewhere does not hide it");
    room.write("course/lessons/third.md", lesson("2.0"));
    preview.until(&mut events, |preview| !told(preview));
}

#[test]
fn a_part_that_never_ends_is_shown_with_its_line_and_the_last_good_page_stays() {
    let (room, preview) = started("preview-endless");
    let mut events = preview.events();
    assert_eq!(preview.get("/lessons/first.html").status, 200);
    let endless = "{% component foot(site, root, phrases, ways, place) -%}\n{% for a in range(end=99999) %}{% for b in range(end=99999) %}{% endfor %}{% endfor %}{%- endcomponent foot %}";
    room.write("course/templates/parts/foot.html", endless);
    preview.until(&mut events, |preview| {
        preview.state("/lessons/first.html")["html"].to_string().contains("templates/parts/foot.html:2")
    });
    let page = preview.get("/lessons/first.html");
    assert!(page.status == 200 && page.body.contains("It puts out"), "{}", page.status);
    fs::remove_dir_all(room.path("course/templates")).expect("it is there");
    preview.until(&mut events, |preview| preview.state("/lessons/first.html")["html"] == "");
}

#[test]
fn a_course_that_is_broken_at_the_start_is_waited_for() {
    let room = Room::new("preview-broken");
    room.course("course");
    room.write("course/course.yaml", "id: [x\n");
    let preview = Preview::of(&room.path("course"));
    let mut events = preview.events();
    let page = preview.get("/");
    assert!(page.status == 503 && page.body.contains("/-/desk.js"), "{}", page.body);
    let state = preview.state("/");
    assert!(state["html"].to_string().contains("course.yaml:"), "the place is named");
    assert!(state["summary"].to_string().contains("1 error, 0 warnings; there is no good page yet."), "{state}");
    room.write("course/course.yaml", original("course.yaml"));
    preview.until(&mut events, |preview| preview.get("/").status == 200);
    // What is not there has the look of the course, however deep its address.
    let lost = preview.get("/lessons/gone.html");
    assert!(lost.status == 404 && lost.body.contains("href=\"../assets/site.css\""), "{}", lost.body);
    assert!(preview.get("/gone.html").body.contains("href=\"assets/site.css\""));
}

#[test]
fn only_the_site_is_served_and_only_to_this_machine() {
    let (room, preview) = started("preview-door");
    room.write("secret.md", "the secret");
    let host = format!("Host: localhost:{}\r\n", preview.port);
    for path in [
        "/../secret.md",
        "/%2e%2e/secret.md",
        "/..%2fsecret.md",
        "/lessons/../../secret.md",
        "/course.yaml",
        "/lessons/first.md",
        "//etc/passwd",
        "/%2fetc%2fpasswd",
        "/images/..%5c..%5csecret.md",
        "/%00",
        "/%ff",
        "/-/",
        "/-/x",
        "/images/",
    ] {
        let answer = preview.ask(&format!("GET {path} HTTP/1.1\r\n{host}"));
        assert!(answer.status == 404 || answer.status == 400, "{path}: {}", answer.status);
        assert!(!answer.body.contains("the secret") && !answer.body.contains("root:"), "{path}");
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "BREW"] {
        let answer = preview.ask(&format!("{method} / HTTP/1.1\r\n{host}Content-Length: 0\r\n"));
        assert!(answer.status == 405 && answer.head.contains("allow: get, head"), "{method}: {}", answer.status);
    }
    for foreign in [
        "Host: evil.example\r\n".to_owned(),
        "Host: localhost.evil.example\r\n".to_owned(),
        "Host: 192.168.1.9\r\n".to_owned(),
        String::new(),
        format!("{host}Origin: http://evil.example\r\n"),
        format!("{host}Origin: null\r\n"),
        format!("{host}Origin: http://localhost:1\r\n"),
        format!("{host}Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: no-cors\r\n"),
    ] {
        for path in ["/", "/-/events", "/-/state?page=/"] {
            let answer = preview.ask(&format!("GET {path} HTTP/1.1\r\n{foreign}"));
            assert_eq!(answer.status, 403, "{foreign}{path}: {}", answer.body);
        }
    }
    // An address in full, as a proxy is asked.
    assert_eq!(preview.ask(&format!("GET http://evil.example/ HTTP/1.1\r\n{host}")).status, 403);
    let home = preview.ask(&format!("GET / HTTP/1.1\r\n{host}Origin: http://localhost:{}\r\n", preview.port));
    assert_eq!(home.status, 200);
    for name in ["nosniff", "no-store", "frame-ancestors 'none'", "same-origin"] {
        assert!(home.head.contains(name), "{name}: {}", home.head);
    }
    let long = preview.ask(&format!("GET /{} HTTP/1.1\r\n{host}", "x".repeat(100_000)));
    assert!((400..500).contains(&long.status), "{}", long.status);
    assert_eq!(preview.get("/").status, 200);
}

#[test]
fn a_preview_keeps_nothing_in_a_browser_and_takes_away_what_was_kept() {
    let (room, preview) = started("preview-kept");
    room.write("course/attachments/label.pdf", b"%PDF-1.4 <script>alert(1)</script>");
    let mut events = preview.events();
    preview.until(&mut events, |preview| preview.get("/attachments/label.pdf").status == 200);
    let attached = preview.get("/attachments/label.pdf");
    for name in ["content-disposition: attachment", "x-content-type-options: nosniff", "application/pdf"] {
        assert!(attached.head.contains(name), "{name}: {}", attached.head);
    }
    for page in ["/", "/lessons/first.html", "/drill.html"] {
        assert!(!preview.get(page).body.contains("data-keep"), "{page}");
    }
    let worker = preview.get("/offline.js");
    assert!(worker.status == 200 && worker.body.contains("unregister()"), "{}", worker.body);
    assert_eq!(preview.get("/assets/search-index.js").status, 200, "search works in a preview too");
}

#[test]
fn who_opens_a_preview_to_other_machines_is_warned_and_who_does_not_is_not() {
    let room = Room::new("preview-listen");
    room.course("course");
    room.write("course/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\n[a](gone.md)\n");
    for (listen, warned) in [("0.0.0.0", true), ("127.0.0.1", false)] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_tankside"))
            .args(["preview", "--port", "0", "--listen", listen])
            .arg(room.path("course"))
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        // The course has a warning of its own, so there is a line after this one or in its place.
        let mut lines = BufReader::new(child.stderr.take().expect("it is piped")).lines();
        let first = lines.next().map(|line| line.expect("text")).unwrap_or_default();
        let _ = child.kill();
        let _ = child.wait();
        let says = "Anyone who can reach this machine over the network can read the course while the preview runs.";
        assert_eq!(first == says, warned, "{listen}: {first}");
        assert!(!first.is_empty(), "{listen}");
    }
}

#[test]
fn a_port_that_is_taken_is_refused_with_what_to_write() {
    let (room, preview) = started("preview-taken");
    let done = room.run(&["preview", "course", "--port", &preview.port.to_string()]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(done.err.contains("error preview-refused") && done.err.contains("`--port`"), "{}", done.err);
    assert_eq!(preview.get("/").status, 200);
}

#[test]
fn a_thousand_connections_and_slow_clients_keep_nobody_out() {
    let (_room, preview) = started("preview-crowd");
    let mut crowd = Vec::new();
    for number in 0..1000 {
        let Ok(mut stream) = TcpStream::connect(("127.0.0.1", preview.port)) else { continue };
        // Some say nothing, some begin a request and never end it.
        if number % 2 == 0 {
            let _ = stream.write_all(b"GET / HTTP/1.1\r\nHost: local");
        }
        crowd.push(stream);
        if number % 250 == 249 {
            assert_eq!(preview.get("/lessons/first.html").status, 200, "after {number}");
        }
    }
    let listeners: Vec<_> = (0..80).map(|_| preview.stream()).collect();
    for mut stream in &listeners {
        let _ = write!(stream, "GET /-/events HTTP/1.1\r\nHost: localhost\r\n\r\n");
    }
    assert_eq!(preview.get("/").status, 200);
    drop(crowd);
    assert_eq!(preview.get("/").status, 200);
}

#[test]
fn clients_that_never_read_their_answers_keep_nobody_out() {
    let (_room, preview) = started("preview-unread");
    let mut unread = Vec::new();
    for _ in 0..200 {
        let mut stream = preview.stream();
        // Many answers, each larger than what waits on the way.
        for _ in 0..20 {
            let _ = write!(stream, "GET /assets/core.js HTTP/1.1\r\nHost: localhost:{}\r\n\r\n", preview.port);
        }
        unread.push(stream);
    }
    for page in ["/", "/lessons/first.html", "/assets/core.js"] {
        let answer = preview.get(page);
        assert!(answer.status == 200 && !answer.body.is_empty(), "{page}: {}", answer.status);
    }
    drop(unread);
    assert_eq!(preview.get("/").status, 200);
}
