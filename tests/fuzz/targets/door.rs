//! What a page hands to the core: the first line chooses the call, the lines after it are its texts.
//!
//! Whatever they hold, the answer is one JSON object or list, and its markup has no element of anybody else's.

#![no_main]

use libfuzzer_sys::fuzz_target;
use std::sync::OnceLock;
use tankside_calc::doors::cards::cards_json;
use tankside_calc::doors::question::{pose_json, score_json};
use tankside_calc::doors::work::{fragment_reply, switch_units_json, work_json};
use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::Phrases;

/// Elements that the core writes. Everything else in an answer is text.
const ELEMENTS: &[&str] = &[
    "a",
    "article",
    "b",
    "br",
    "button",
    "caption",
    "circle",
    "dd",
    "details",
    "div",
    "dl",
    "dt",
    "ellipse",
    "fieldset",
    "figcaption",
    "figure",
    "form",
    "g",
    "h2",
    "h3",
    "h4",
    "h5",
    "input",
    "label",
    "legend",
    "li",
    "line",
    "math",
    "mfrac",
    "mi",
    "mn",
    "mo",
    "mrow",
    "msqrt",
    "mtext",
    "ol",
    "option",
    "p",
    "path",
    "polygon",
    "polyline",
    "rect",
    "s",
    "section",
    "select",
    "span",
    "strong",
    "summary",
    "svg",
    "table",
    "tbody",
    "td",
    "text",
    "tfoot",
    "th",
    "thead",
    "title",
    "tr",
    "tspan",
    "ul",
];

fuzz_target!(|data: &[u8]| {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    let phrases = PHRASES.get_or_init(|| match tankside::catalogue::phrases("en") {
        Ok(Some(phrases)) => phrases,
        _ => Phrases::default(),
    });
    let Ok(text) = std::str::from_utf8(data) else { return };
    let mut lines = text.splitn(4, '\n');
    let mut next = || lines.next().unwrap_or_default();
    let (call, a, b, c) = (next(), next(), next(), next());
    let draw = u32::from(data.last().copied().unwrap_or_default());
    let answer = match call {
        "fragment" => fragment_reply(a, b, c, phrases),
        "work" => work_json(a, b, c, phrases),
        "switch" => switch_units_json(a, b, c, phrases),
        "pose" => pose_json(a, draw, phrases),
        "score" => score_json(a, draw, b, phrases),
        "cards" => cards_json(a, phrases),
        _ => {
            // A catalog that a page hands over may be anything as well.
            let own = Phrases::from_lines(text);
            assert_eq!(Phrases::from_lines(&own.to_lines()).to_lines(), own.to_lines());
            return;
        }
    };
    // Form and answer of a worked example come after its JSON, each behind a zero byte.
    let mut pieces = answer.split('\0');
    let said = pieces.next().unwrap_or_default();
    assert!(Value::read(said).is_some(), "{said}");
    let read: serde_json::Value = serde_json::from_str(said).unwrap_or_else(|fault| panic!("{fault}: {said}"));
    read["html"].as_str().into_iter().chain(pieces).for_each(elements);
});

fn elements(markup: &str) {
    for piece in markup.split('<').skip(1) {
        let name = piece.trim_start_matches('/').split(|letter: char| !letter.is_ascii_alphanumeric()).next();
        assert!(name.is_some_and(|name| ELEMENTS.contains(&name)), "an element of somebody else's: <{piece}");
    }
}
