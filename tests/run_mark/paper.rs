use super::{Folder, demo, right_answer, tankside, text};
use tankside::marking::paper::{digests, draws, stamp};
use tankside::marking::sheet::right_letters;
use tankside_calc::question::Ask;

#[test]
fn copies_have_numbers_of_their_own_and_the_same_sheet_comes_out_again() {
    let folder = Folder::new("copies");
    let made = |to: &str, seed: &str| {
        let output = tankside(&folder.0, &["sheet", "first-week", "--copies", "3", "--seed", seed, "--to", to]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        (folder.read(&format!("{to}/sheet.html")), folder.read(&format!("{to}/key.html")))
    };
    let (sheet, key) = made("one", "7");
    assert_eq!((sheet.clone(), key.clone()), made("again", "7"));
    assert_ne!(sheet, made("other", "8").0);
    let copies: Vec<&str> = sheet.split("<table class=\"tk-copy").skip(1).collect();
    assert_eq!(copies.len(), 3);
    assert!(copies[0].contains("Copy 1") && copies[2].contains("Copy 3"));
    assert_ne!(copies[0].replace("Copy 1", ""), copies[1].replace("Copy 2", ""), "neighbors have other numbers");
    assert!(key.contains("tk-steps") || key.contains("tk-step"), "the key shows the steps");
    assert!(!sheet.contains("tk-feedback"), "and the copies do not");
}

#[test]
fn the_key_has_the_letter_and_the_text_of_what_is_right_on_each_copy() {
    let folder = Folder::new("key");
    tankside(&folder.0, &["sheet", "first-week", "--copies", "2", "--seed", "5", "--to", "out"]);
    let key = folder.read("out/key.html");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let copies: Vec<&str> = key.split("<table class=\"tk-copy").skip(1).collect();
    let mut told = 0;
    for (copy, page) in (1..).zip(&copies) {
        for (question, draw) in
            bank.questions.iter().zip(draws(bank, 5, copy)).filter(|(one, _)| one.kind != Ask::Number)
        {
            let letters = right_letters(question, draw);
            assert!(page.contains(&format!("The answer is {letters}.")), "{letters}");
            let right = question.options.iter().filter(|option| question.kind == Ask::Order || option.right);
            for option in right {
                let place = question.dealt(draw).iter().position(|one| question.options[*one].text == option.text);
                let letter = char::from(b'A' + place.expect("it is dealt") as u8);
                let text = tankside_calc::text::escape::html(&option.text);
                assert!(
                    page.contains(&format!("<li class=\"tk-copy__right\"><strong>{letter}</strong> {text}")),
                    "{text}"
                );
                told += 1;
            }
        }
    }
    assert!(copies.len() == 2 && told >= 20, "{told}");
    assert!(!folder.read("out/sheet.html").contains("tk-copy__right"), "the copies do not tell");
}

#[test]
fn answers_typed_from_paper_are_marked_by_copy() {
    let folder = Folder::new("typed");
    tankside(&folder.0, &["sheet", "first-week", "--copies", "2", "--seed", "5", "--to", "out"]);
    let head = folder.read("out/answers.csv").lines().next().expect("a head").to_owned();
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let row = |copy: u32, name: &str| {
        let cells: Vec<String> = bank
            .questions
            .iter()
            .zip(draws(bank, 5, copy))
            .map(|(question, draw)| match question.kind {
                Ask::Number => format!("\"{}\"", right_answer(question, draw)),
                _ => right_letters(question, draw).to_lowercase(),
            })
            .collect();
        format!("first-week,5,{copy},{},{name},,{}\r\n", stamp("first-week", &digests(bank), 5, copy), cells.join(","))
    };
    // Cy copied from the neighbor: right answers to other numbers.
    // One slip in a quiz's name costs that row alone.
    let table = format!(
        "{head}\r\n{}{}first-wek,5,1,BCDF,Di,,2 gal\r\n",
        row(1, "Ada"),
        row(1, "Cy").replace(&row(1, "Cy")[..19], &row(2, "Cy")[..19])
    );
    folder.write("answers.csv", table.as_bytes());
    let output = tankside(&folder.0, &["mark", "answers.csv"]);
    let slip = "line 4: the course has no quiz “first-wek”; write “first-week”";
    assert!(text(&output.stderr).contains(slip), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    assert!(said.starts_with("1 of 2 ready for the field."), "{said}{}", text(&output.stderr));
    let table = folder.read("tankside-roster/roster.csv");
    assert!(table.contains(&format!("Ada,yes,,1,{0},{0},100 %", bank.questions.len())), "{table}");
}

#[test]
fn a_part_worked_correctly_from_a_wrong_figure_earns_its_point_on_paper() {
    let folder = Folder::new("parts");
    tankside(&folder.0, &["sheet", "check-tank", "--copies", "1", "--seed", "5", "--to", "out"]);
    let (sheet, key) = (folder.read("out/sheet.html"), folder.read("out/key.html"));
    assert!(sheet.contains("How much mix does the lawn take?") && !sheet.contains("tk-feedback"));
    assert_eq!(sheet.matches("<ol class=\"tk-copy__parts\">").count(), 1);
    assert!(key.matches("tk-feedback__accepted").count() > 4, "the key has the answer of each part");
    let head = folder.read("out/answers.csv").lines().next().expect("a head").to_owned();
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["check-tank"];
    let row = |name: &str, slip: bool| {
        let cell = |(question, draw): (&tankside_calc::question::Question, u32)| match question.kind {
            Ask::Number if slip && question.points() == 3 => {
                // A tenth too much mix for the lawn, and right from there on.
                let posed = question.draw_parts(draw).expect("a draw that is offered");
                let left = posed[0].worked.inputs.typed_at("left").expect("some is left").si;
                let need = posed[0].si * 1.1;
                let make = need - left;
                let values = [need, make, posed[2].si / posed[1].si * make];
                let written = |(si, posed): (f64, &tankside_calc::question::template::Posed)| {
                    tankside_calc::quantity::written::quantity(si, &posed.unit)
                };
                values.into_iter().zip(&posed).map(written).collect::<Vec<_>>().join("; ")
            }
            Ask::Number => right_answer(question, draw),
            _ => right_letters(question, draw).to_lowercase(),
        };
        let cells = bank.questions.iter().zip(draws(bank, 5, 1)).map(|pair| format!("\"{}\"", cell(pair)));
        format!(
            "check-tank,5,1,{},{name},,{}\r\n",
            stamp("check-tank", &digests(bank), 5, 1),
            cells.collect::<Vec<_>>().join(",")
        )
    };
    folder.write("answers.csv", format!("{head}\r\n{}{}", row("Ada", false), row("Bo", true)).as_bytes());
    let output = tankside(&folder.0, &["mark", "answers.csv"]);
    let table = folder.read("tankside-roster/roster.csv");
    let line = |name: &str| table.lines().find(|line| line.starts_with(name)).unwrap_or_default().to_owned();
    assert!(line("Ada,").contains(",1,6,6,100 %"), "{table}{}", text(&output.stderr));
    assert!(line("Bo,").contains(",1,5,6,83 %"), "{table}{}", text(&output.stderr));
}

#[test]
fn a_quiz_that_is_not_there_is_refused_with_the_near_name() {
    let folder = Folder::new("unknown");
    let output = tankside(&folder.0, &["sheet", "first-weak"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("`first-week`"), "{}", text(&output.stderr));
    assert!(!folder.0.join("tankside-sheet").exists());
}

#[test]
fn a_copy_that_was_never_made_another_sheet_and_changed_questions_are_not_marked() {
    let folder = Folder::new("stamp");
    let quiz = |most: u32| {
        let question = format!(
            "  - id: gun\n    kind: number\n    asks: catch-test/nozzle-output\n    text: \"You catch {{catch.1.volume}} in \
             {{catch.1.time}}. What does the gun put out?\"\n    given: {{ catch: [ {{ volume: 90 to {most} by 2 fl oz, \
             time: \"one of 20, 30, 45 s\" }} ] }}\n    answer-in: gal/min\n"
        );
        let course = "id: own\ntitle: Own\ncompany: Invented Lawns\nlessons: [gun]\n";
        folder.write("own/course.yaml", course.as_bytes());
        let lesson =
            "---\ntitle: The gun\nsummary: What it puts out.\nminutes: 3\n---\n\n```questions gun-check\n```\n";
        folder.write("own/lessons/gun.md", lesson.as_bytes());
        let bank = format!("id: gun-check\ntitle: The gun\npass: 80 %\nquestions:\n{question}");
        folder.write("own/questions/gun-check.yaml", bank.as_bytes());
    };
    ["own/lessons", "own/questions"].iter().for_each(|name| {
        std::fs::create_dir_all(folder.0.join(name)).expect("a folder of the course");
    });
    quiz(200);
    let made = tankside(&folder.0, &["sheet", "gun-check", "--copies", "30", "--course", "own", "--to", "out"]);
    assert_eq!(made.status.code(), Some(0), "{}", text(&made.stderr));
    let blank = folder.read("out/answers.csv");
    let mut lines: Vec<String> = blank.lines().map(str::to_owned).collect();
    let stamps: Vec<String> = lines.iter().map(|line| line.split(',').nth(3).unwrap_or_default().to_owned()).collect();
    let page = folder.read("out/sheet.html");
    assert!(page.contains(&format!("Copy 9, stamp {}", stamps[9])), "what is typed is on the page");
    lines[1] = format!("gun-check,1,1,{},Ada,,1 gal/min", stamps[1].to_lowercase());
    lines[9] = format!("gun-check,1,99,{},Bo,,1 gal/min", stamps[9]);
    lines[10] = format!("gun-check,2,10,{},Cy,,1 gal/min", stamps[10]);
    lines[11] = "gun-check,1,11,,Di,,1 gal/min".to_owned();
    let marked = |lines: &[String]| {
        folder.write("out/answers.csv", lines.join("\r\n").as_bytes());
        let output = tankside(&folder.0, &["mark", "out/answers.csv", "--course", "own"]);
        (text(&output.stdout), text(&output.stderr))
    };
    let (said, told) = marked(&lines);
    assert!(said.starts_with("0 of 1 ready") && said.contains("Marked 1 answer from 1 file."), "{said}{told}");
    for fault in [
        format!("line 10: copy 99 does not have the stamp {}, copy 9 does; look at the page", stamps[9]),
        format!("line 11: copy 10 of sheet 2 does not have the stamp {}; compare quiz, sheet, copy", stamps[10]),
        "line 12: the stamp is missing; write the four letters beside “Copy 11” on the page".to_owned(),
    ] {
        assert!(told.contains(&format!("  out/answers.csv: {fault}")), "{fault} in\n{told}");
    }
    // Reprinting must not throw away what was typed.
    let again = tankside(&folder.0, &["sheet", "gun-check", "--course", "own", "--to", "out"]);
    assert_eq!(again.status.code(), Some(2), "{}", text(&again.stdout));
    assert!(text(&again.stderr).contains("answers.csv holds answers that somebody typed"), "{}", text(&again.stderr));
    assert_eq!(folder.read("out/answers.csv"), lines.join("\r\n"));
    assert_eq!(folder.read("out/sheet.html"), page);
    // Other numbers of the same question: the paper asks other things than the course.
    quiz(260);
    let (said, told) = marked(&lines[..2]);
    assert!(told.contains("the questions have changed since it was printed"), "{said}{told}");
}

#[test]
fn what_a_sheet_says_to_run_next_marks_it_with_its_own_course() {
    let folder = Folder::new("next");
    assert!(tankside(&folder.0, &["start", "our course", "--no-questions"]).status.success());
    let made = tankside(&folder.0, &["sheet", "our-check", "--course", "our course", "--to", "on paper"]);
    let said = text(&made.stdout);
    let next = "then: tankside mark 'on paper/answers.csv' --course 'our course'\n";
    assert!(said.contains(next), "{said}{}", text(&made.stderr));
    let empty = tankside(&folder.0, &["mark", "on paper/answers.csv", "--course", "our course"]);
    let beside = text(&empty.stderr);
    assert_eq!(beside, "No answers are typed into these tables yet. Each copy has its row; type name and answers.\n");
    // Without the course it is the demo's, and that is said.
    let table = folder.read("on paper/answers.csv").replacen(",,,,,", ",Ada,,1.51 gal/min,A,A", 1);
    folder.write("on paper/answers.csv", table.as_bytes());
    let of_demo = text(&tankside(&folder.0, &["mark", "on paper/answers.csv"]).stderr);
    assert!(of_demo.contains("This is the demo course, since no course is in this folder"), "{of_demo}");
    let own = tankside(&folder.0, &["mark", "on paper/answers.csv", "--course", "our course"]);
    let (said, beside) = (text(&own.stdout), text(&own.stderr));
    assert!(said.contains("Marked 3 answers from 1 file.") && beside.is_empty(), "{said}{beside}");
}

#[test]
fn a_sheet_that_cannot_be_made_says_what_to_write() {
    let folder = Folder::new("slips");
    for (words, write) in [
        (&["sheet", "first"][..], "There are `first-week`, `safety-first`"),
        (
            &["sheet", "our-own"],
            "This is the demo course, since no course is in this folder; name yours with `--course`",
        ),
        (&["sheet", "first-week", "--copies", "none"], "Write a whole number from 1 to 500"),
        (&["sheet", "first-week", "--copies", "501"], "Write a whole number from 1 to 500"),
        (&["sheet", "first-week", "--seed", "A"], "Write a whole number from 0 to 4294967295"),
    ] {
        let output = tankside(&folder.0, words);
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        let said = text(&output.stderr);
        assert!(said.contains(&format!("\n  {write}\n")), "{words:?}: {said}");
    }
}
