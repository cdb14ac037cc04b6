//! Every mistake of one reading, each at its place.

use serde::Deserialize;

use super::super::Document;
use super::or_default;
use crate::problem::{Problems, Source, Style};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "only the reading is tested")]
struct Top {
    title: String,
    minutes: Option<u32>,
    #[serde(default, deserialize_with = "or_default")]
    questions: Vec<Item>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "only the reading is tested")]
struct Item {
    id: String,
    kind: Word,
    #[serde(default, deserialize_with = "or_default")]
    right: bool,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Word {
    One,
    Several,
}

type Reported = (&'static str, String, Option<(usize, usize)>, Option<String>);

fn found(text: &str) -> Vec<Reported> {
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
    assert_eq!(all.len(), 1, "the key that was meant is not reported as missing, too");
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
fn a_missing_key_is_shown_where_its_neighbors_are() {
    assert_eq!(short("title: A\nquestions:\n  - id: a\n"), [("missing-key", Some((3, 5)))]);
}

#[test]
fn an_empty_file_lacks_its_keys() {
    assert_eq!(short(""), [("missing-key", Some((1, 1)))]);
    assert_eq!(short("# only a note\n"), [("missing-key", Some((1, 1)))]);
}

#[test]
fn a_list_or_text_where_keys_are_expected_is_reported() {
    assert_eq!(found("- a\n- b\n")[0].1, "this is a list, and keys with values are expected");
    assert_eq!(found("just text\n")[0].0, "wrong-type");
}

#[test]
fn a_key_that_is_missing_is_reported_together_with_every_other_mistake() {
    assert_eq!(
        short("minutes: soon\nquestions:\n  - { kind: two }\n"),
        [
            ("wrong-type", Some((1, 10))),
            ("unknown-word", Some((3, 13))),
            ("missing-key", Some((3, 7))),
            ("missing-key", Some((1, 1))),
        ]
    );
}

#[test]
fn slips_of_the_space_bar_are_shown_where_they_are_with_the_line_that_works() {
    let help = |text: &str| found(text).into_iter().map(|(code, _, at, help)| (code, at, help)).collect::<Vec<_>>();
    let one = |code: &'static str, at, help: &str| vec![(code, Some(at), Some(help.to_owned()))];
    assert_eq!(help("title:A\n"), one("space-missing", (1, 1), "write `title: A`"));
    assert_eq!(help("title:A\nminutes: 5\n"), one("space-missing", (1, 1), "write `title: A`"));
    assert_eq!(help("title: A\nminutes:5\n"), one("space-missing", (2, 1), "write `minutes: 5`"));
    assert_eq!(
        help("title:\u{a0}A\nminutes: 5\n"),
        one("odd-space", (1, 1), "delete it and type a plain space in its place")
    );
    assert_eq!(help("title: A\n\u{a0}\u{a0}minutes: 5\n")[0].0, "odd-space");
}

#[test]
fn a_list_that_is_not_indented_is_put_where_it_belongs() {
    let all = found("title: A\nquestions:\n  - id: a\n    kind: one\n    right:\n  - x: y\n");
    assert_eq!(all[0].0, "list-indent", "{all:?}");
    assert_eq!(all[0].3.as_deref(), Some("put 6 spaces in front of it: `      - x: y`"));
}
