use super::{Folder, answer, demo, record, right_answer, sealed, tankside, text};
use serde_json::{Value, json};
use std::collections::HashMap;
use std::fs;
use tankside_calc::question::score::{Answer, Verdict, judge};
use tankside_calc::question::{Ask, Question};
use tankside_calc::reading::{Reading, Thing};
use tankside_calc::working::record::System;

fn questions() -> Vec<Question> {
    let resolved = demo();
    let course = resolved.course().expect("the demo resolves");
    course.banks["first-week"].questions.to_vec()
}

fn all_right(questions: &[Question]) -> Vec<Value> {
    let one = |question: &Question| {
        let draw = question.draw_at(3);
        answer(question, draw, &right_answer(question, draw))
    };
    questions.iter().map(one).collect()
}

/// A typed number that names a mistake by which at least a tenth too much is put on, with its question.
fn slip(questions: &[Question]) -> (usize, u32, String) {
    named(questions, 1.1)
}

/// A typed number that names a mistake by which at least so much of what was meant is put on, with its question.
fn named(questions: &[Question], least: f64) -> (usize, u32, String) {
    for (index, question) in questions.iter().enumerate().filter(|(_, question)| question.kind == Ask::Number) {
        let draw = question.draw_at(3);
        let posed = question.draw(draw).expect("offered");
        for mistake in tankside_calc::mistakes::all() {
            let Some(wrong) = mistake.leads_to(&posed.right_working(), &posed.unit) else { continue };
            let typed = tankside_calc::quantity::written::quantity(wrong, &posed.unit);
            let verdict = judge(question, draw, &Answer::Text(typed.clone()));
            if let Ok((Verdict::Wrong(Some(recognised)), _)) = verdict
                && recognised.dose.unwrap_or(0.0) >= least
            {
                return (index, draw, typed);
            }
        }
    }
    panic!("no question of these has such a slip");
}

#[test]
fn whoever_answers_all_right_may_spray_and_whoever_puts_on_too_much_may_not() {
    let folder = Folder::new("ready");
    let questions = questions();
    let right = record("Ada", "a", "s1", all_right(&questions));
    let (index, draw, typed) = slip(&questions);
    let mut answers = all_right(&questions);
    answers[index] = answer(&questions[index], draw, &typed);
    let over = record("=cmd()|Bo", "b", "s2", answers);
    folder.write("ada.json", right.to_string().as_bytes());
    folder.write("bo.json", over.to_string().as_bytes());
    let output = tankside(&folder.0, &["mark", "ada.json", "bo.json", "--site", "https://example.org/course/"]);
    let said = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{said}{}", text(&output.stderr));
    assert!(said.starts_with("1 of 2 ready for the field.\n"), "{said}");
    assert!(said.contains("Teach again, in the words that the learner reads:\n  “") && said.ends_with('\n'), "{said}");

    let page = folder.read("tankside-roster/roster.html");
    assert!(page.contains("<li><strong>Ada</strong> <span class=\"tk-desk__open\">By the check alone.</span> <span class=\"tk-desk__open\">Never asked about: "), "Ada may spray");
    assert!(said.contains("1 of them has no drill in the records and count as ready by the check alone.\n"), "{said}");
    assert!(page.contains("One answer would have put down at least 10 % too much."), "and why Bo may not");
    let why = page.split("id=\"not-yet\"").nth(1).and_then(|rest| rest.split("</section>").next()).expect("a list");
    assert!(why.contains("<summary>Answered wrong: ") && why.contains("puts down too much"), "which one: {why}");
    assert!(page.contains("Marked on 20"), "and the day");
    assert!(page.contains("href=\"https://example.org/course/lessons/"), "the lesson to go back to");
    assert!(!page.contains("<script") && !page.contains(" style="), "no script and no style of its own");

    let table = folder.read("tankside-roster/roster.csv");
    assert!(table.contains("\r\n'=cmd()|Bo,"), "no cell is a formula:\n{table}");
    assert!(table.contains("\r\nAda,yes,"), "{table}");
}

#[test]
fn a_roster_that_cannot_be_written_says_so_and_leaves_nothing_half_written() {
    let folder = Folder::new("unwritable");
    fs::create_dir(folder.0.join("records")).expect("a folder for the test");
    let one = record("Ana", "a1", "s1", all_right(&questions()[..1]));
    folder.write("records/ana.json", one.to_string().as_bytes());
    // A file where the folder of the roster should be.
    folder.write("taken", b"mine");
    let done = tankside(&folder.0, &["mark", "records", "--to", "taken"]);
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(said.contains("error desk-unwritable") && said.contains("`--to`"), "{said}");
    assert_eq!(folder.read("taken"), "mine");
    // A folder where the roster itself should be.
    fs::create_dir_all(folder.0.join("desk/roster.html/inside")).expect("a folder for the test");
    let done = tankside(&folder.0, &["mark", "records", "--to", "desk"]);
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(said.contains("error desk-unwritable"), "{said}");
    let names: Vec<_> = fs::read_dir(folder.0.join("desk")).expect("a folder").filter_map(Result::ok).collect();
    assert!(names.iter().all(|name| !name.file_name().to_string_lossy().ends_with(".new")), "{names:?}");
}

#[test]
fn the_same_sitting_in_two_files_counts_once_and_the_fuller_copy_counts() {
    let folder = Folder::new("twice");
    let questions = questions();
    let whole = all_right(&questions);
    let early = record("Ada", "a", "s1", whole[..4].to_vec());
    let mut late = record("Ada", "a", "s1", whole.clone());
    late["made"] = "2026-05-09T09:00:00Z".into();
    folder.write("1.json", sealed(&early).as_bytes());
    folder.write("2.json", sealed(&late).as_bytes());
    folder.write("3.json", sealed(&late).as_bytes());
    let output = tankside(&folder.0, &["mark", "."]);
    let (said, told) = (text(&output.stdout), text(&output.stderr));
    assert_eq!(said, text(&tankside(&folder.0, &["mark", "."]).stdout), "the roster itself is no record");
    assert!(said.contains(&format!("Marked {} answers from 1 file.", whole.len())), "{said}");
    let named = "Counted once, 2 files whose contents another file holds as well:\n  ./1.json\n  ./3.json\n";
    assert_eq!(told, named, "the file is named");
    assert!(said.starts_with("1 of 1 ready"), "{said}");
}

#[test]
fn records_without_a_seal_are_named_once_and_still_count() {
    let folder = Folder::new("unsealed");
    let questions = questions();
    let one = |id: &str| record(&format!("Learner {id}"), id, id, all_right(&questions));
    folder.write("0.json", sealed(&one("0")).as_bytes());
    let told = || text(&tankside(&folder.0, &["mark", "."]).stderr);
    assert_eq!(told(), "");
    (1..=2).for_each(|id| _ = folder.write(&format!("{id}.json"), one(&id.to_string()).to_string().as_bytes()));
    let why = "There is no seal at the end, so a change by hand would not show";
    assert!(told().starts_with(&format!("Look at:\n  ./1.json: {why}; nor in 2.json.")), "{}", told());
    (3..=9).for_each(|id| _ = folder.write(&format!("{id}.json"), one(&id.to_string()).to_string().as_bytes()));
    assert!(told().contains("nor in 2.json, 3.json, 4.json, 5.json, 6.json and 3 more."), "{}", told());
    assert!(folder.read("tankside-roster/roster.html").contains(why));
    assert!(folder.read("tankside-roster/roster.csv").contains("\r\nLearner 9,yes,"));
}

#[test]
fn an_answer_to_a_question_that_has_changed_is_reported_and_not_counted() {
    let folder = Folder::new("changed");
    let questions = questions();
    let mut answers = all_right(&questions);
    answers[0]["digest"] = "0123456789abcdef".into();
    folder.write("ada.json", record("Ada", "a", "s", answers).to_string().as_bytes());
    let said = text(&tankside(&folder.0, &["mark", "ada.json"]).stdout);
    assert!(said.contains("1 answer belongs to questions that have changed since; not counted."), "{said}");
    let renamed = {
        let mut answers = all_right(&questions);
        answers[0]["question"] = "some-other-name".into();
        record("Ada", "a", "s", answers)
    };
    folder.write("ada.json", renamed.to_string().as_bytes());
    let said = text(&tankside(&folder.0, &["mark", "ada.json"]).stdout);
    assert!(said.contains(&format!("Marked {} answers", questions.len())), "the digest finds it again: {said}");
}

#[test]
fn threads_and_the_order_of_files_make_no_difference() {
    let folder = Folder::new("threads");
    let questions = questions();
    std::fs::create_dir(folder.0.join("records")).expect("a folder of records");
    for person in 0..7 {
        let mut answers = all_right(&questions);
        answers[person]["answer"] = "1 gal".into();
        let id = format!("p{person}");
        folder.write(&format!("records/{person}.json"), record(&id, &id, &id, answers).to_string().as_bytes());
    }
    let pages: Vec<(String, String)> = ["1", "2", "5"]
        .iter()
        .map(|threads| {
            let output = std::process::Command::new(env!("CARGO_BIN_EXE_tankside"))
                .current_dir(&folder.0)
                .env("TANKSIDE_THREADS", threads)
                .args(["mark", "records", "--to", &format!("out-{threads}")])
                .output()
                .expect("the program runs");
            assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
            (folder.read(&format!("out-{threads}/roster.html")), folder.read(&format!("out-{threads}/roster.csv")))
        })
        .collect();
    for (page, table) in &pages {
        assert_eq!(table, &pages[0].1);
        assert_eq!(page, &pages[0].0);
    }
}

/// A course of one lesson with a bank of its own, in a folder.
fn own_course(folder: &Folder) {
    for place in ["course/lessons", "course/questions"] {
        fs::create_dir_all(folder.0.join(place)).expect("a folder for the test");
    }
    folder.write("course/course.yaml", b"id: own-course\ntitle: Own\ncompany: Invented Lawns\nlessons: [gun]\n");
    let lesson = "---\ntitle: The gun\nsummary: What it puts out.\nminutes: 3\n---\n\n```worked-example gun\ncalculator: catch-test\ngiven: { catch: [ { volume: 126 fl oz, time: 30 s } ] }\n```\n\n```questions own\n```\n";
    folder.write("course/lessons/gun.md", lesson.as_bytes());
    let bank = r#"id: own
title: Our own
questions:
  - id: gun
    kind: number
    asks: catch-test/nozzle-output
    text: "You catch {catch.1.volume} in {catch.1.time}. What does the gun put out?"
    given: { catch: [ { volume: 64 fl oz, time: 30 s } ] }
    answer-in: gal/min
  - { id: lawn, kind: one, topic: area, text: What is a lawn?, options: [ { text: Grass, right: true }, { text: A shed } ] }
  - { id: law, kind: one, text: What is the law?, options: [ { text: The label, right: true }, { text: The foreman } ] }
"#;
    folder.write("course/questions/own.yaml", bank.as_bytes());
}

#[test]
fn topics_of_a_courses_own_questions_steps_worked_and_the_exam_code_are_in_the_roster() {
    let folder = Folder::new("own");
    own_course(&folder);
    let given = |id: &str, typed: &str, part: &str| json!({ "question": format!("own/{id}"), "draw": 0, "answer": typed, "part": part, "try": 1 });
    let answers = [
        given("gun", "1 gal/min", ""),
        given("lawn", "1", ""),
        given("law", "0", ""),
        given("gun", "1 gal/min", "steps-1"),
        given("gun", "9 gal/min", "steps-1"),
    ];
    let mut own = record("Ada", "a", "s1", answers.to_vec());
    let jug = Reading::drawn(Thing::Jug, System::Us, 7);
    let read = |typed: f64, attempt: u32| json!({ "question": "reading/jug", "digest": "reading-us", "draw": 7, "answer": format!("{typed} fl oz"), "part": "reading", "try": attempt });
    let mut practice = own["sittings"][0].clone();
    (practice["id"], practice["kind"], practice["name"]) = ("s3".into(), "practice".into(), "reading".into());
    // Off by a mark, then right; and right at the first look.
    practice["answers"] = vec![read(jug.nearest() + 2.0, 1), read(jug.nearest(), 2), read(jug.nearest(), 1)].into();
    own["sittings"].as_array_mut().expect("a list").push(practice);
    own["course"]["id"] = "own-course".into();
    // Ten questions make a mixed set, whose code the roster names.
    let mut long = record("Bo", "b", "s2", (0..10).map(|_| given("gun", "1 gal/min", "")).collect());
    long["course"]["id"] = "own-course".into();
    long["sittings"][0]["code"] = "OAK-17".into();
    folder.write("ada.json", own.to_string().as_bytes());
    folder.write("bo.json", long.to_string().as_bytes());
    let output = tankside(&folder.0, &["mark", "ada.json", "bo.json", "--course", "course"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let table = folder.read("tankside-roster/roster.csv");
    let rows = cells(&table);
    let [ada, bo] = ["Ada", "Bo"].map(|name| rows.iter().find(|row| row["Name"] == name).expect(name));
    let cell = |row: &HashMap<String, String>, name: &str| row[name].clone();
    let row = ada;
    let shares = ["Output", "Area", "Label", "Tank"].map(|topic| cell(row, topic));
    assert_eq!(shares, ["100 %", "0 %", "100 %", ""], "{table}");
    assert_eq!([cell(row, "Steps right"), cell(row, "Steps practiced")], ["1", "2"], "{table}");
    assert_eq!([cell(row, "Readings right"), cell(row, "Readings")], ["1", "2"], "{table}");
    assert_eq!((cell(row, "Right"), cell(row, "Answers")), ("2".to_owned(), "3".to_owned()), "steps are practice");
    let page = folder.read("tankside-roster/roster.html");
    assert!(page.contains("<th scope=\"col\">Readings</th>") && !page.contains("have since changed"), "{page}");
    assert!(page.contains("<th scope=\"col\">Steps practiced</th>") && page.contains("<td>1/2</td>"), "{page}");
    assert_eq!(cell(bo, "Exam code"), "OAK-17", "{table}");
    // Whoever is ready has not been asked about everything.
    let never = "Units, Area, Timing, Rate, Tank, Adjusting, Active ingredient, Water volume, Label";
    assert_eq!([cell(bo, "Ready"), cell(bo, "Never asked about")], ["yes", never], "{table}");
    assert!(cell(ada, "Never asked about").starts_with("Units, Timing, "), "{table}");
    assert!(page.contains(&format!("<strong>Bo</strong> <span class=\"tk-desk__open\">By the check alone.</span> <span class=\"tk-desk__open\">Never asked about: {never}.</span>")), "{page}");
}

/// The rows of a table, by their columns.
fn cells(table: &str) -> Vec<HashMap<String, String>> {
    csv::Reader::from_reader(table.as_bytes()).deserialize().map(|row| row.expect("a row by RFC 4180")).collect()
}

#[test]
fn the_roster_shows_what_somebody_wrote_beside_what_is_right_and_says_where_no_known_mistake_fits() {
    let folder = Folder::new("wrote");
    let questions = questions();
    let (one, draw) = (&questions[0], questions[0].draw_at(3));
    let choice = questions.iter().position(|question| question.kind == Ask::One).expect("a choice");
    let wrong = questions[choice].options.iter().position(|option| !option.right).expect("a wrong option");
    let right = right_answer(one, draw);
    // A figure that no known mistake leads to, a choice, a hostile text, nothing; and of somebody who is ready, a choice.
    let with = |name: &str, changes: &[(usize, &str)]| {
        let mut answers = all_right(&questions);
        changes.iter().for_each(|(place, typed)| answers[*place]["answer"] = (*typed).into());
        folder.write(&format!("{name}.json"), sealed(&record(name, name, name, answers)).as_bytes());
    };
    let chosen = wrong.to_string();
    with("Ada", &[(0, "0.123 gal/min"), (choice, &chosen)]);
    with("Bo", &[(0, "=cmd|'<img src=x>\n9")]);
    with("Cy", &[(0, ""), (choice, &chosen)]);
    with("Di", &[(choice, &chosen)]);
    assert_eq!(tankside(&folder.0, &["mark", "."]).status.code(), Some(0));
    let (page, table) = (folder.read("tankside-roster/roster.html"), folder.read("tankside-roster/roster.csv"));
    let posed = one.draw(draw).expect("offered");
    let asked = one.text_for(&posed, &demo().course().expect("the demo resolves").phrases);
    let [option, true_one] = [false, true].map(|is_right| {
        let option = questions[choice].options.iter().find(|option| option.right == is_right);
        option.expect("an option").text.clone()
    });
    for told in [
        format!("“{asked}” Wrote “0.123 gal/min”; right is {right}."),
        format!("Left blank; right is {right}."),
        format!("Chose “{option}”; right is “{true_one}”."),
        "Wrote “=cmd|&#39;&lt;img src=x&gt; 9”".to_owned(),
        "Answered wrong: 2".to_owned(),
    ] {
        assert!(page.contains(&told), "{told} in\n{page}");
    }
    assert!(!page.contains("<img"), "what was typed is text");
    let rows = cells(&table);
    let cell = |name: &str, column: &str| rows.iter().find(|row| row["Name"] == name).expect(name)[column].clone();
    let wrote = |name: &str| cell(name, "Answered wrong in the newest check");
    let id = |place: usize| questions[place].id.as_str();
    assert_eq!(wrote("Ada"), format!("{}: 0.123 gal/min | {}: {option}", id(0), id(choice)));
    assert_eq!(wrote("Bo"), format!("{}: =cmd|'<img src=x> 9", id(0)), "no cell begins with a formula");
    assert_eq!(wrote("Cy"), format!("{}: left blank | {}: {option}", id(0), id(choice)));
    assert_eq!([cell("Ada", "Most common mistake"), cell("Di", "Ready")], ["no known mistake fits", "yes"]);
    // Three chose the same option.
    let together = format!("“{option}” where “{true_one}” is right. <strong>3 people: Ada, Cy, Di</strong>");
    assert!(page.contains(&together), "{together} in\n{page}");
    // A number never leaves its unit at the end of a line.
    let written = folder.as_written("tankside-roster/roster.html");
    assert!(written.contains("0.123\u{a0}gal/min") && written.contains("90\u{a0}%"));
    let broken =
        written.match_indices(" %").find(|(at, _)| written[..*at].ends_with(|last: char| last.is_ascii_digit()));
    assert_eq!(broken, None);
}

#[test]
fn wrong_answers_without_a_known_mistake_are_together_where_they_are_about_as_far_off() {
    let folder = Folder::new("together");
    let questions = questions();
    let place = questions.iter().position(|question| question.asks == "tank-mix/product-1-amount").expect("one");
    let question = &questions[place];
    // Everybody has other numbers, and three are as far off; in what they wrote that does not show.
    let mut said = Vec::new();
    for (turn, (name, factor)) in [("Ada", 2.13), ("Bo", 2.13), ("Cy", 2.15), ("Di", 0.71)].into_iter().enumerate() {
        let draw = question.draw_at(40 + 7 * turn as u32);
        let posed = question.draw(draw).expect("offered");
        let typed = tankside_calc::quantity::written::quantity(posed.si * factor, &posed.unit);
        let mut answers = all_right(&questions);
        answers[place] = answer(question, draw, &typed);
        said.push((typed, right_answer(question, draw)));
        folder.write(&format!("{name}.json"), sealed(&record(name, name, name, answers)).as_bytes());
    }
    let output = tankside(&folder.0, &["mark", "."]);
    let page = folder.read("tankside-roster/roster.html");
    let odd = page.split("id=\"odd\"").nth(1).and_then(|rest| rest.split("</section>").next()).expect("a list");
    let (typed, right) = &said[0];
    let told = format!(
        "About 2.1 times what is right, as “{typed}” where {right} is right. <strong>3 people: Ada, Bo, Cy</strong>"
    );
    assert!(odd.contains(&told), "{told} in\n{odd}");
    let (typed, right) = &said[3];
    assert!(odd.contains(&format!("% too low, as “{typed}” where {right} is right. 1 person: Di")), "{odd}");
    assert!(odd.contains("Lesson: "), "{odd}");
    let about = "To 1 question several people gave about the same wrong figure, and no known mistake fits; the roster says who.";
    assert!(text(&output.stdout).contains(about), "{}", text(&output.stdout));
}

#[test]
fn a_roster_beside_its_site_links_to_the_lessons_and_to_a_worked_example_where_no_lesson_teaches_it() {
    let folder = Folder::new("links");
    own_course(&folder);
    let wrong = json!({ "question": "own/gun", "draw": 0, "answer": "0.5 gal/min", "try": 1 });
    // A slip in what no lesson of this course teaches, in a question of the stock.
    let resolved = demo();
    let areas = &resolved.course().expect("the demo resolves").banks["lawn-area"].questions;
    let (index, draw, typed) = named(areas, 0.0);
    let mut own = record("Ada", "a", "s1", vec![wrong, answer(&areas[index], draw, &typed)]);
    own["course"]["id"] = "own-course".into();
    folder.write("records.json", own.to_string().as_bytes());
    let mark = |to: &str| {
        let output = tankside(&folder.0, &["mark", "records.json", "--course", "course", "--to", to]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        folder.read(&format!("{to}/roster.html"))
    };
    assert!(mark("one").contains("“The gun”"), "without a site the lesson is named");
    assert_eq!(tankside(&folder.0, &["publish", "course"]).status.code(), Some(0));
    let page = mark("two");
    assert!(page.contains("<p>Lesson: <a href=\"../tankside-site/lessons/gun.html\">The gun</a>"), "{page}");
    assert!(page.contains("<p>Worked example: <a href=\"../tankside-site/work/"), "{page}");
    assert!(mark("deep/er").contains("<a href=\"../../tankside-site/lessons/gun.html\">"));
}
