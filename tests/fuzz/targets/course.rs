//! A course as its author may have left it: files in one text, each after a line `=== NAME`.
//!
//! Whatever they hold, loading, rendering and checking end, every problem can be drawn, and no markup of an author's
//! own reaches a page.

#![no_main]

use libfuzzer_sys::fuzz_target;
use std::collections::BTreeSet;
use std::sync::OnceLock;
use tankside::course::{ready, ready_banks};
use tankside::load::{Memory, Units, load};
use tankside::markdown::{Context, check_links, render};
use tankside::problem::Style;
use tankside_calc::words::phrases::Phrases;

fuzz_target!(|data: &[u8]| {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    let phrases = PHRASES.get_or_init(|| match tankside::catalogue::phrases("en") {
        Ok(Some(phrases)) => phrases,
        _ => Phrases::default(),
    });
    let mut files = Memory::new();
    let mut rest = data;
    while let Some((name, bytes, after)) = next_file(rest) {
        files.add(name, bytes.to_vec());
        rest = after;
    }
    let (course, mut problems) = load(&files, 1);
    if let Some(course) = course {
        let (cautions, terms) = (BTreeSet::from(["clean-water".to_owned()]), BTreeSet::from(["adjuvant".to_owned()]));
        let context = Context {
            lessons: &course.lesson_names,
            banks: &course.bank_names,
            cautions: &cautions,
            terms: &terms,
            images: &course.images,
            to_root: "../",
        };
        let mut lessons = Vec::new();
        for lesson in &course.lessons {
            let body = render(lesson, &context, &mut problems);
            assert!(!body.html.contains("<zz"), "markup of the author's own reaches the page");
            lessons.push(ready(lesson, body, course.settings.units, phrases, &mut problems));
        }
        let outlines = course.lessons.iter().zip(&lessons);
        check_links(
            outlines.map(|(lesson, ready)| (lesson.stem.as_str(), &lesson.source, &ready.body.outline)),
            &mut problems,
        );
        ready_banks(&course.banks, phrases, &mut problems);
        assert!(matches!(course.settings.units, Units::Us | Units::Metric));
    }
    let drawn = problems.draw(Style::Plain);
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
