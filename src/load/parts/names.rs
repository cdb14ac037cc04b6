//! Names that a template uses: filters, functions, tests, components and other templates, each with its place.

use std::collections::BTreeMap;
use std::ops::Range;

use tera::Tera;

use super::tags::tags;

/// What a name belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum NameKind {
    Filter,
    Function,
    Test,
    Component,
    Template,
}

impl NameKind {
    pub(super) fn word(self) -> &'static str {
        match self {
            NameKind::Filter => "filter",
            NameKind::Function => "function",
            NameKind::Test => "test",
            NameKind::Component => "component",
            NameKind::Template => "part",
        }
    }

    /// The names that the template engine brings.
    pub(super) fn brought(self) -> &'static [&'static str] {
        match self {
            NameKind::Filter => FILTERS,
            NameKind::Function => FUNCTIONS,
            NameKind::Test => TESTS,
            NameKind::Component | NameKind::Template => &[],
        }
    }
}

const FILTERS: &[&str] = &[
    "abs",
    "capitalize",
    "default",
    "escape",
    "first",
    "float",
    "get",
    "group_by",
    "indent",
    "int",
    "join",
    "keys",
    "last",
    "length",
    "lower",
    "newlines_to_br",
    "nth",
    "pairs",
    "pluralize",
    "replace",
    "reverse",
    "round",
    "safe",
    "sort",
    "split",
    "str",
    "title",
    "trim",
    "truncate",
    "unique",
    "upper",
    "values",
];
const FUNCTIONS: &[&str] = &["range", "throw"];
const TESTS: &[&str] = &[
    "array",
    "bool",
    "containing",
    "defined",
    "divisible_by",
    "ending_with",
    "even",
    "float",
    "integer",
    "iterable",
    "map",
    "none",
    "number",
    "odd",
    "starting_with",
    "string",
    "undefined",
];
/// Words that may come before a bracket without being functions.
const WORDS: &[&str] = &["and", "elif", "else", "for", "if", "in", "is", "not", "or", "set", "set_global"];

/// One name where it is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Used<'t> {
    pub(super) kind: NameKind,
    pub(super) name: &'t str,
    pub(super) span: Range<usize>,
}

/// The names that a template uses, in their order.
pub(super) fn used(text: &str) -> Vec<Used<'_>> {
    let mut all = Vec::new();
    for tag in tags(text) {
        let (start, end) = (tag.start + 2, tag.start + tag.text.len() - 2);
        let takes_in = tag.acts() && matches!(tag.word, "include" | "extends");
        let bytes = text.as_bytes();
        let (mut at, mut before, mut words) = (start, b' ', ["", ""]);
        while at < end {
            let byte = bytes[at];
            if matches!(byte, b'"' | b'\'' | b'`') {
                let close = closing(bytes, at, end);
                if takes_in && words[1] == tag.word {
                    let span = at + 1..close;
                    all.push(Used { kind: NameKind::Template, name: &text[span.clone()], span });
                }
                (at, before, words) = (close + 1, byte, [words[1], ""]);
                continue;
            }
            if !(byte.is_ascii_alphabetic() || byte == b'_') {
                if byte.is_ascii_digit() {
                    // `2e3` holds no name.
                    at += text[at..end].bytes().take_while(|b| b.is_ascii_alphanumeric() || *b == b'.').count();
                    before = b'0';
                    continue;
                }
                if !(byte.is_ascii_whitespace() || byte == b'-' && at == start) {
                    before = byte;
                }
                at += 1;
                continue;
            }
            let length = text[at..end].bytes().take_while(|b| b.is_ascii_alphanumeric() || *b == b'_').count();
            let (span, name) = (at..at + length, &text[at..at + length]);
            let called = text[span.end..end].trim_start().starts_with('(');
            let tested = words[1] == "is" || words == ["is", "not"];
            let kind = match before {
                b'|' => Some(NameKind::Filter),
                b'<' if text[start..at].trim_start_matches('-').trim() == "<" => Some(NameKind::Component),
                b' ' | b'.' if words[1] == "filter" && tag.acts() && tag.word == "filter" => Some(NameKind::Filter),
                _ if tested && name != "not" => Some(NameKind::Test),
                b'.' => None,
                _ if called && tag.word != "component" && !WORDS.contains(&name) => Some(NameKind::Function),
                _ => None,
            };
            all.extend(kind.map(|kind| Used { kind, name, span }));
            (at, before, words) = (at + length, b' ', [words[1], name]);
        }
    }
    all
}

/// Where the text that begins with a quote ends.
fn closing(bytes: &[u8], open: usize, end: usize) -> usize {
    let mut at = open + 1;
    while at < end && bytes[at] != bytes[open] {
        at += if bytes[at] == b'\\' { 2 } else { 1 };
    }
    at.min(end)
}

/// What the template engine knows, asked once for each name.
#[derive(Default)]
pub(super) struct EngineNames<'t>(BTreeMap<(NameKind, &'t str), bool>);

impl<'t> EngineNames<'t> {
    pub(super) fn has(&mut self, used: &Used<'t>) -> bool {
        let (kind, name) = (used.kind, used.name);
        *self.0.entry((kind, name)).or_insert_with(|| kind.brought().contains(&name) || engine_knows(kind, name))
    }
}

fn engine_knows(kind: NameKind, name: &str) -> bool {
    let text = match kind {
        NameKind::Filter => format!("{{{{ '' | {name} }}}}"),
        NameKind::Test => format!("{{% if '' is {name} %}}{{% endif %}}"),
        // In a block, what the page below it has there.
        NameKind::Function if name == "super" => return true,
        NameKind::Function => format!("{{{{ {name}() }}}}"),
        NameKind::Component | NameKind::Template => return false,
    };
    Tera::default().add_raw_template("asked", &text).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_where_they_are_used_and_nowhere_else() {
        let text = "{# {{ a | no }} #}{{ \"x | no\" | upper }}{% raw %}{{ b | no }}{% endraw %}{% if a.b is not odd and (c) is even %}\
                    {{ range(end=len(1)) }}{% endif %}{% include \"parts/law.html\" %}{{<foot site={site} />}}{{ a < b }}{{- x.call(1) }}\
                    {% component foot(site, root) %}{% for x in (y) %}{% endfor %}{% endcomponent foot %}{% filter lower %}{% endfilter %}";
        let found: Vec<(NameKind, &str)> = used(text).iter().map(|used| (used.kind, used.name)).collect();
        use NameKind::{Component, Filter, Function, Template, Test};
        assert_eq!(
            found,
            [
                (Filter, "upper"),
                (Test, "odd"),
                (Test, "even"),
                (Function, "range"),
                (Function, "len"),
                (Template, "parts/law.html"),
                (Component, "foot"),
                (Filter, "lower"),
            ]
        );
        assert!(used(text).iter().all(|used| text[used.span.clone()] == *used.name));
    }

    #[test]
    fn what_is_offered_exists_and_what_is_unknown_does_not() {
        for kind in [NameKind::Filter, NameKind::Function, NameKind::Test] {
            assert!(kind.brought().iter().all(|name| engine_knows(kind, name)), "{kind:?}");
            assert!(!engine_knows(kind, "upprcase"));
        }
    }
}
