//! What serde_yaml did not take, in the author's words and at its place.
//!
//! serde_yaml stops at its first mistake. To report the others, the offending key or list item is blanked out and
//! the text is read again: blanks keep every place as it was.

use std::ops::Range;

use serde::de::DeserializeOwned;

use super::document::Document;
use super::embedded::Embedded;
use super::node::Node;
use super::place::{Found, Step, steps, walk};
use super::tree;
use super::wording::{KEYS, Kind, expected_in_words, found_in_words, kind, taken_apart};
use crate::problem::{Problem, Problems, Source, offer};

/// Mistakes of one file that are told one by one.
const ROUNDS: usize = 50;

/// Explains an error of serde_yaml, and whatever else it finds in the same text.
pub(super) fn explain<T: DeserializeOwned>(first: serde_yaml::Error, document: &Document<'_>, problems: &mut Problems) {
    let mut yaml: Embedded<'_> = document.yaml().clone();
    let mut error = first;
    for _ in 0..ROUNDS {
        let root = tree::parse(&yaml.text).0.filter(|root| !root.is_empty()).unwrap_or_else(Node::no_keys);
        let complaint = Complaint::of(&error, &yaml.text, &root);
        problems.push(complaint.problem(document.source(), document.yaml()));
        let Some(blank) = complaint.blank.filter(|blank| !blank.is_empty()) else {
            break;
        };
        yaml = yaml.with_text(blanked(&yaml.text, &blank));
        match serde_yaml::from_str::<T>(&yaml.text) {
            Ok(_) => break,
            Err(next) => error = next,
        }
    }
}

/// One error of serde_yaml, taken apart. Places are those of the YAML text.
struct Complaint {
    code: &'static str,
    title: String,
    span: Range<usize>,
    context: Option<(Range<usize>, String)>,
    help: Option<String>,
    /// What must go so that the next mistake shows.
    blank: Option<Range<usize>>,
}

impl Complaint {
    fn of(error: &serde_yaml::Error, text: &str, root: &Node) -> Self {
        let message = error.to_string();
        let (path, message) = taken_apart(&message);
        let path = steps(path);
        let passed = walk(root, &path);
        let located = error.location().map(|location| location.index().min(text.len()));
        let here = passed.last().copied().unwrap_or(Found::Node(root));
        let exact = passed.len() == path.len() + 1;
        let mut complaint = match kind(message) {
            Kind::UnknownKey { key, expected } => unknown_key(key, &expected, holder(&passed, key), located),
            Kind::MissingKey(key) => missing_key(key, here),
            Kind::WrongType { found, expected } => {
                wrong_type(found, expected, if exact { here } else { Found::Node(root) })
            }
            Kind::UnknownWord { word, expected } => unknown_word(word, &expected, here),
            Kind::Other => Self {
                code: "wrong-value",
                title: format!("another value is expected here: {message}"),
                span: here.node().span.clone(),
                context: None,
                help: None,
                blank: None,
            },
        };
        if complaint.blank.is_none() {
            complaint.blank = item_to_blank(text, &passed, &path);
        }
        complaint
    }

    fn problem(&self, source: &Source, yaml: &Embedded<'_>) -> Problem {
        let mut problem = Problem::error(self.code, self.title.clone(), "").at(source, yaml.span(&self.span));
        if let Some((span, label)) = &self.context {
            problem = problem.context(yaml.span(span), label.clone());
        }
        problem.help.clone_from(&self.help);
        problem
    }
}

/// The mapping that holds the key: serde_yaml's path ends with the mapping or with the key in it.
fn holder<'a>(passed: &[Found<'a>], key: &str) -> &'a Node {
    let holders = passed.iter().rev().map(|found| found.node());
    let fallback = passed[0].node();
    holders.into_iter().find(|node| node.entry(key).is_some()).unwrap_or(fallback)
}

fn unknown_key(key: &str, expected: &[&str], holder: &Node, located: Option<usize>) -> Complaint {
    let entry = holder.entry(key);
    let start = located.unwrap_or(holder.span.start);
    let free: Vec<&str> = expected.iter().copied().filter(|name| holder.get(name).is_none()).collect();
    Complaint {
        code: "unknown-key",
        title: format!("the key `{key}` is not known here"),
        span: entry.map_or(start..start, |entry| entry.key_span.clone()),
        context: None,
        help: offer(key, free.iter().copied()).or_else(|| offer(key, expected.iter().copied())),
        // The last key of a mapping stays: without it the mapping would be no mapping.
        blank: entry.filter(|_| holder.entries().len() > 1).map(super::node::Entry::span),
    }
}

fn missing_key(key: &str, here: Found<'_>) -> Complaint {
    let node = here.node();
    let first = node.entries().first().map_or(node.span.start..node.span.start, |entry| entry.key_span.clone());
    let span = match here {
        Found::Entry(entry) => entry.key_span.clone(),
        Found::Node(_) => first,
    };
    Complaint {
        code: "missing-key",
        title: format!("the key `{key}` is expected here, and there is none"),
        span,
        context: None,
        help: Some(format!("add a line `{key}: …`")),
        blank: None,
    }
}

fn wrong_type(found: &str, expected: &str, here: Found<'_>) -> Complaint {
    let node = here.node();
    let (found, expected) = (found_in_words(found, node), expected_in_words(expected));
    let name = match here {
        Found::Entry(entry) => format!("`{}`", entry.key),
        Found::Node(_) => "this".to_owned(),
    };
    let help = match (expected.as_str(), here) {
        ("true or false", Found::Entry(entry)) => Some(format!("write `{}: true` or leave the line out", entry.key)),
        ("a list", Found::Entry(entry)) => Some(format!("write `{}:` and below it one line `- …` for each", entry.key)),
        _ => None,
    };
    Complaint {
        code: "wrong-type",
        title: format!("{name} is {found}, and {expected} {} expected", if expected == KEYS { "are" } else { "is" }),
        span: match here {
            Found::Entry(entry) if node.span.is_empty() => entry.key_span.clone(),
            _ => node.span.clone(),
        },
        context: None,
        help,
        blank: None,
    }
}

fn unknown_word(word: &str, expected: &[&str], here: Found<'_>) -> Complaint {
    let names: Vec<String> = expected.iter().map(|name| format!("`{name}`")).collect();
    let list = match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => names.join(""),
    };
    Complaint {
        code: "unknown-word",
        title: format!("one of the words {list} is expected, and this is `{word}`"),
        span: here.node().span.clone(),
        context: None,
        help: crate::problem::nearest(word, expected.iter().copied()).map(|near| format!("write `{near}`")),
        blank: None,
    }
}

/// The innermost list item on the way, with its dash, unless it is the only one or stands in brackets.
fn item_to_blank(text: &str, passed: &[Found<'_>], path: &[Step]) -> Option<Range<usize>> {
    for depth in (0..path.len().min(passed.len() - 1)).rev() {
        let (Step::Index(_), list, item) = (&path[depth], passed[depth].node(), passed[depth + 1].node()) else {
            continue;
        };
        let before = text[..item.span.start].trim_end_matches([' ', '\t', '\r', '\n']);
        if list.items().len() < 2 || !before.ends_with('-') {
            return None;
        }
        return Some(before.len() - 1..item.span.end);
    }
    None
}

/// Blanks, so that lines and columns stay; a comma that would be left over in braces goes too.
fn blanked(text: &str, span: &Range<usize>) -> String {
    let mut end = span.end;
    let rest = text[end..].trim_start();
    if rest.starts_with(',') {
        end = text.len() - rest.len() + 1;
    }
    let middle =
        text[span.start..end].bytes().map(|byte| if matches!(byte, b'\n' | b'\r') { char::from(byte) } else { ' ' });
    let mut out = String::with_capacity(text.len());
    out.push_str(&text[..span.start]);
    out.extend(middle);
    out.push_str(&text[end..]);
    out
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::*;
    use crate::problem::Style;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code, reason = "only the reading is tested")]
    struct Top {
        title: String,
        minutes: Option<u32>,
        #[serde(default)]
        questions: Vec<Item>,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code, reason = "only the reading is tested")]
    struct Item {
        id: String,
        kind: Word,
        #[serde(default)]
        right: bool,
    }

    #[derive(Debug, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Word {
        One,
        Several,
    }

    type Told = (&'static str, String, Option<(usize, usize)>, Option<String>);

    fn found(text: &str) -> Vec<Told> {
        let source = Source::new("a.yaml", text);
        let mut problems = Problems::new();
        let typed = Document::of_file(&source, &mut problems).and_then(|document| document.typed::<Top>(&mut problems));
        assert_eq!(typed.is_some(), problems.is_empty(), "{}", problems.draw(Style::Plain));
        problems.into_iter().map(|p| (p.code, p.title.clone(), p.line_column(), p.help.clone())).collect()
    }

    fn short(text: &str) -> Vec<(&'static str, Option<(usize, usize)>)> {
        found(text).into_iter().map(|(code, _, place, _)| (code, place)).collect()
    }

    #[test]
    fn a_slip_in_a_key_is_shown_at_the_key_and_the_name_is_offered() {
        let all = found("titel: A\nminutes: 5\n");
        assert_eq!(
            all[0],
            ("unknown-key", "the key `titel` is not known here".into(), Some((1, 1)), Some("write `title`".into()))
        );
        assert_eq!(all[1].0, "missing-key");
    }

    #[test]
    fn a_value_of_the_wrong_kind_says_what_is_expected_and_what_was_found() {
        let all = found("title: [12]\nminutes: 5\n");
        assert_eq!(all[0].1, "`title` is a list, and text is expected");
        assert_eq!(all[0].2, Some((1, 8)));
        assert_eq!(
            found("title: A\nminutes: soon\n")[0].1,
            "`minutes` is the text `soon`, and a whole number, 0 or more, is expected"
        );
        assert_eq!(found("title: A\nquestions: yes\n")[0].2, Some((2, 12)));
        assert_eq!(found("title: A\nquestions: [{id: [x], kind: one}]\n")[0].1, "`id` is a list, and text is expected");
    }

    #[test]
    fn one_run_reports_the_mistakes_of_several_items() {
        let text = "title: A\nquestions:\n  - id: a\n    kind: on\n  - {id: b, kind: one, rihgt: true}\n  - id: c\n    kind: one\n    extra: 1\n    right: maybe\n  - id: d\n    kind: one\n";
        assert_eq!(
            short(text),
            [
                ("unknown-word", Some((4, 11))),
                ("unknown-key", Some((5, 24))),
                ("unknown-key", Some((8, 5))),
                ("wrong-type", Some((9, 12)))
            ]
        );
    }

    #[test]
    fn a_missing_key_is_shown_where_its_neighbours_stand() {
        assert_eq!(short("title: A\nquestions:\n  - id: a\n"), [("missing-key", Some((3, 5)))]);
    }

    #[test]
    fn an_empty_file_lacks_its_keys() {
        assert_eq!(short(""), [("missing-key", Some((1, 1)))]);
        assert_eq!(short("# only a note\n"), [("missing-key", Some((1, 1)))]);
    }

    #[test]
    fn a_list_or_text_where_keys_are_expected_is_told() {
        assert_eq!(found("- a\n- b\n")[0].1, "this is a list, and keys with values are expected");
        assert_eq!(found("just text\n")[0].0, "wrong-type");
    }
}
