//! A course as its author may have left it: files in one text, each after a line `=== NAME`.
//!
//! Whatever they hold, resolving and rendering end, every problem can be drawn, and no markup of an author's own
//! reaches a page.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tankside::load::Memory;
use tankside::problem::Style;

fuzz_target!(|data: &[u8]| {
    let mut files = Memory::new();
    let mut rest = data;
    while let Some((name, bytes, after)) = next_file(rest) {
        files.add(name, bytes.to_vec());
        rest = after;
    }
    let resolved = tankside::resolve(&files);
    for lesson in &resolved.draft().lessons {
        assert!(!lesson.body.html.contains("<zz"), "markup of the author's own reaches the page");
    }
    if let Some(course) = resolved.course() {
        let site = tankside::render(course, &files).expect("the stock templates can be read");
        let lessons: Vec<&str> = site.paths().filter(|path| path.starts_with("lessons/")).collect();
        for path in lessons {
            let page = site.page(path).expect("it is a path of the site").expect("a good course becomes pages");
            assert!(!page.bytes.windows(3).any(|bytes| bytes == b"<zz"), "markup of the author's own reaches the page");
        }
    }
    let drawn = resolved.problems.draw(Style::Plain);
    assert!(drawn.bytes().all(|byte| byte >= b' ' || byte == b'\n'), "a control character is drawn");
});

/// The next file: its name, its bytes, and what follows.
fn next_file(data: &[u8]) -> Option<(String, &[u8], &[u8])> {
    let rest = data.strip_prefix(b"=== ")?;
    let end = rest.iter().position(|byte| *byte == b'\n')?;
    let name = std::str::from_utf8(&rest[..end]).ok()?.to_owned();
    let rest = &rest[end + 1..];
    let next = rest.windows(5).position(|window| window == b"\n=== ").map_or(rest.len(), |place| place + 1);
    Some((name, &rest[..next], &rest[next..]))
}
