//! The registry of problems: every code has a case, and none is written anywhere else.

use super::spec_files;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Codes whose cases need a disk, a network, another program or a fault of our own: each with the test that causes it.
const ELSEWHERE: &[(&str, &str, &str)] = &[
    (
        "core-part-missing",
        "src/site/site.rs",
        "a_calculator_that_was_never_built_stops_the_publishing_with_the_command_to_run",
    ),
    ("course-missing", "src/load/files.rs", "nothing_outside_the_course_is_read"),
    (
        "desk-unwritable",
        "tests/run_mark/roster.rs",
        "a_roster_that_cannot_be_written_says_so_and_leaves_nothing_half_written",
    ),
    ("lesson-long", "tests/run_proof.rs", "a_lesson_that_nobody_reads_to_its_end_is_marked_whatever_its_header_says"),
    ("file-missing", "src/load/course.rs", "a_folder_without_settings_names_the_file_that_is_missing"),
    ("file-too-large", "tests/run_publish.rs", "a_file_that_cannot_be_read_is_named_and_the_earlier_site_stays"),
    ("file-unread", "src/load/text.rs", "what_is_no_file_lies_outside_or_cannot_be_read_is_refused_by_its_code"),
    ("folder-unread", "tests/run_pictures.rs", "what_cannot_be_listed_is_reported"),
    (
        "limit-words-missing",
        "tests/run_own.rs",
        "a_course_whose_language_has_no_words_for_a_maximum_gets_a_warning_when_it_is_published",
    ),
    ("link-to-draft", "tests/run_own.rs", "a_draft_is_left_out_and_a_link_to_it_is_a_mistake"),
    ("link-to-drawing", "tests/run_pictures.rs", "a_link_never_opens_a_drawing_as_a_page"),
    (
        "mistakes-inseparable",
        "tests/mistakes/of_an_author.rs",
        "ranges_that_never_keep_two_mistakes_apart_are_reported_at_their_place",
    ),
    ("not-a-file", "src/load/text.rs", "what_is_no_file_lies_outside_or_cannot_be_read_is_refused_by_its_code"),
    ("not-utf-8", "src/load/text.rs", "what_is_not_text_is_refused_with_its_place"),
    ("nul", "src/load/text.rs", "what_is_not_text_is_refused_with_its_place"),
    ("outside-course", "src/load/text.rs", "what_is_no_file_lies_outside_or_cannot_be_read_is_refused_by_its_code"),
    (
        "part-endless",
        "tests/run_own.rs",
        "a_part_that_never_ends_or_grows_without_end_is_refused_at_its_place_and_soon",
    ),
    ("phrase-missing", "tests/run_own.rs", "a_language_of_a_courses_own_needs_every_phrase"),
    ("preview-refused", "tests/run_preview.rs", "a_port_that_is_taken_is_refused_with_what_to_write"),
    ("site-changed", "tests/run_targets.rs", "a_page_changed_by_hand_is_not_lost"),
    ("site-moved-away", "tests/run_interrupted.rs", "a_rename_that_fails_is_reported_truthfully"),
    ("start-refused", "tests/run_start.rs", "nothing_that_is_there_is_overwritten"),
    ("stock-unreadable", "src/course/words.rs", "stock_content_that_cannot_be_read_is_reported_and_the_rest_goes_on"),
    ("stopped", "src/write/error.rs", "whoever_stops_a_publishing_is_told_what_is_there"),
    ("target-and-course", "tests/run_targets.rs", "a_course_and_a_target_that_hold_each_other_are_refused"),
    ("target-busy", "tests/run_targets.rs", "whoever_publishes_there_already_is_waited_for_in_plain_words"),
    ("target-file-in-the-way", "tests/run_targets.rs", "a_file_where_a_new_page_goes_is_named_and_stays"),
    (
        "target-leftovers",
        "tests/run_targets.rs",
        "what_an_interrupted_run_left_of_somebody_elses_is_named_and_not_removed",
    ),
    ("target-not-a-folder", "tests/run_targets.rs", "a_file_where_the_folder_of_the_site_should_be_stays"),
    ("target-not-ours", "tests/run_targets.rs", "a_folder_whose_list_is_not_as_we_wrote_it_is_left_alone"),
    (
        "target-of-another-course",
        "tests/run_targets.rs",
        "a_site_of_another_course_is_not_replaced_unless_that_is_said",
    ),
    ("target-unwritable", "tests/run_targets.rs", "a_link_is_followed_or_called_a_link"),
    ("template-unusable", "src/site/fault.rs", "a_page_that_cannot_be_made_is_named"),
    ("too-many-examples", "tests/run_messages.rs", "more_examples_than_a_phone_can_load_are_refused_once"),
    ("too-many-values", "tests/run_publish.rs", "more_values_than_can_be_read_are_refused"),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The text of a test: from its attribute to the one of the next.
fn test_of<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let start = text.find(&format!("fn {name}("))?;
    let is_test = text[..start]
        .rfind("#[test]")
        .is_some_and(|at| !text[at..start].contains("\n}") && !text[at..start].contains("\n    }"));
    let end = text[start..].find("#[test]").map_or(text.len(), |end| start + end);
    is_test.then_some(&text[start..end])
}

#[test]
fn every_code_of_the_registry_has_a_case_in_the_specs_or_a_named_test() {
    let specs: String = spec_files().iter().map(|file| fs::read_to_string(file).expect("a spec is UTF-8")).collect();
    let mut wrong = Vec::new();
    for rule in tankside::problem::code::rules() {
        let code = rule.code;
        let in_specs = specs.contains(&format!("\n  {} {code}\n", rule.severity.word()));
        let elsewhere = ELSEWHERE.iter().find(|(other, _, _)| *other == code);
        match elsewhere {
            None if !in_specs => wrong.push(format!("{code} has no case")),
            Some(_) if in_specs => wrong.push(format!("{code} has a case in the specs; take it off the list")),
            Some((_, file, name)) => {
                let text = fs::read_to_string(root().join(file)).expect("the named test is in the tree");
                let whole = test_of(&text, name);
                if !whole
                    .is_some_and(|test| test.contains(&format!("{code}\"")) || test.contains(&format!("error {code}")))
                {
                    wrong.push(format!("{code}: {file} has no test `{name}` that names it"));
                }
            }
            None => {}
        }
    }
    for (code, _, _) in ELSEWHERE {
        if tankside::problem::code::rule(code).is_none() {
            wrong.push(format!("{code} is in no registry"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A file of the program without its tests; those in a file of their own are left out with it.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(text)
}

#[test]
fn no_code_is_written_anywhere_but_in_the_registry_and_every_one_is_used() {
    let codes: BTreeSet<&str> = tankside::problem::code::rules().map(|rule| rule.code).collect();
    let (mut wrong, mut all) = (Vec::new(), String::new());
    let mut files = 0;
    for entry in walkdir::WalkDir::new(root().join("src")) {
        let entry = entry.expect("a readable entry");
        let name = entry.path().strip_prefix(root()).expect("it is below").to_string_lossy().replace('\\', "/");
        if !name.ends_with(".rs") || name.ends_with("/tests.rs") || name.starts_with("src/problem/code/") {
            continue;
        }
        files += 1;
        let text = fs::read_to_string(entry.path()).expect("UTF-8");
        let text = without_tests(&text);
        for (number, line) in text.lines().enumerate() {
            // Between quotation marks there is every second piece.
            for literal in line.split('"').skip(1).step_by(2).filter(|literal| codes.contains(literal)) {
                wrong.push(format!("{name}:{}: `{literal}` is a code of the registry; use its entry", number + 1));
            }
        }
        all.push_str(text);
    }
    assert!(files > 100, "only {files} files");
    for code in codes {
        let entry = format!("code::{}", code.to_uppercase().replace('-', "_"));
        let used = all.match_indices(&entry).any(|(at, _)| {
            let next = all[at + entry.len()..].chars().next();
            !next.is_some_and(|next| next.is_alphanumeric() || next == '_')
        });
        if !used {
            wrong.push(format!("nothing in the program raises {code}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
