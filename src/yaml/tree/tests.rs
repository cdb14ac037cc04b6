//! Places, refusals and limits of the tree.

use super::*;

fn parse(text: &str) -> Tree {
    parse_within(text, NODE_LIMIT)
}

fn codes(text: &str) -> Vec<&'static str> {
    parse(text).refusals.into_iter().map(|refusal| refusal.rule.code).collect()
}

#[test]
fn every_value_and_key_has_its_place() {
    for newline in ["\n", "\r\n"] {
        let text =
            ["area: 5 ft²", "# note ²", "catch:", "  - volume: 96 fl oz", "    time: \"30 s\"", "  - [a, b]", ""]
                .join(newline);
        let tree = parse(&text);
        assert!(tree.refusals.is_empty(), "{:?}", tree.refusals);
        let root = tree.root.expect("not empty");
        let at = |span: &Range<usize>| text[span.clone()].to_owned();
        assert_eq!(at(&root.get("area").expect("there").span), "5 ft²");
        let catch = root.entry("catch").expect("there");
        assert_eq!(at(&catch.key_span), "catch");
        let first = &catch.node.items()[0];
        assert_eq!(at(&first.get("volume").expect("there").span), "96 fl oz");
        assert_eq!(at(&first.get("time").expect("there").span), "\"30 s\"");
        assert_eq!(at(&first.span).replace("\r\n", "\n"), "volume: 96 fl oz\n    time: \"30 s\"");
        assert_eq!(at(&catch.node.items()[1].span), "[a, b]");
        let flat: Vec<_> = root.flat().into_iter().map(|(name, _)| name).collect();
        assert_eq!(flat, ["area", "catch.1.volume", "catch.1.time", "catch.2.1", "catch.2.2"]);
    }
}

#[test]
fn a_text_in_quotes_ends_with_its_quote_and_not_with_a_comment() {
    let text = "a: \"x \\\" y\"   # a \"note\"\nb: 'it''s'  # 'note'\nc: { d: \"1\" }\n\"e\": \"two\n  lines\"\n";
    let root = parse(text).root.expect("not empty");
    let found: Vec<&str> =
        ["a", "b", "c", "e"].iter().map(|key| &text[root.get(key).expect("there").span.clone()]).collect();
    assert_eq!(found, ["\"x \\\" y\"", "'it''s'", "{ d: \"1\" }", "\"two\n  lines\""]);
}

#[test]
fn what_no_author_needs_is_refused() {
    assert_eq!(codes("a: &x 1\nb: *x\n"), ["anchor", "alias"]);
    assert_eq!(codes("a: !!str 1\n"), ["tag"]);
    assert_eq!(codes("<<: 1\n"), ["merge-key"]);
    assert_eq!(codes("a: 1\nb: 2\na: 3\n"), ["duplicate-key"]);
    assert_eq!(codes("a: 1\n---\nb: 2\n"), ["extra-document"]);
    assert_eq!(codes("a: .inf\nb: -.INF\nc: .nan\nd: \".nan\"\n"), ["not-a-number"; 3]);
    assert_eq!(codes("a: \"x\n"), ["yaml-syntax"]);
    assert_eq!(codes("? [a]\n: b\n"), ["key-not-text"]);
}

#[test]
fn deep_and_endless_files_are_refused_at_once() {
    assert_eq!(codes(&"[".repeat(200_000)), ["too-deep"]);
    assert_eq!(codes(&"- ".repeat(5_000)), ["too-deep"]);
    assert_eq!(codes(&"- a\n".repeat(60_000)), ["too-many-values"]);
    // A list of a hundred thousand lessons is accepted; a longer one is not.
    let lessons = |count: usize| format!("id: a\nlessons:\n{}", "- a\n".repeat(count));
    let refused = |count| parse_within(&lessons(count), COURSE_NODE_LIMIT).refusals.len();
    assert_eq!((refused(100_000), refused(101_000)), (0, 1));
}

#[test]
fn no_text_makes_the_reader_panic() {
    for text in [
        "",
        "\u{feff}",
        "%",
        "%YAML 9",
        "- : :",
        "{",
        "}",
        "a: |\n ²",
        "\t",
        "?",
        "'",
        "a:\n\t- b",
        "\u{85}",
        "---",
        "...",
        "&",
        "*",
        "!<",
    ] {
        let _ = parse(text);
    }
}
