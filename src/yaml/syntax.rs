//! The YAML parser's reasons for stopping, in the author's words.

/// The parser's reasons in the author's words, where one is common; else its own words.
pub(super) fn words(info: &str) -> (String, Option<&'static str>) {
    let has = |part: &str| info.contains(part);
    let known = if has("quoted scalar") {
        ("a quoted text is opened and never closed", "close it with the same kind of quote")
    } else if has("valid YAML whitespace") {
        ("a space is expected behind a colon, and this is none", "write one space behind the colon; a tab is none")
    } else if has("tab") {
        ("spaces are expected in front of a line, and there is a tab", "indent with spaces")
    } else if has("mapping values are not allowed") {
        ("a second `: ` stands in one line", "put a text that holds a colon in quotes")
    } else if has("flow") || has("',' or") || has("bracket") {
        (
            "a bracket is opened and not closed as expected",
            "close `[` with `]` and `{` with `}`, and put commas between",
        )
    } else if has("unknown anchor") {
        ("`*` in front of a value refers to another value, which is not read", "put the text in quotes")
    } else if has("simple key") || has("expected ':'") || has("block mapping") || has("block end") {
        ("a `key: value` line is expected here", "write `key: value`, indented like the lines around it")
    } else {
        return (format!("`key: value` lines are expected, and this is something else ({info})"), None);
    };
    (known.0.to_owned(), Some(known.1))
}
