use super::{Folder, demo, right_answer, tankside, text};
use tankside::marking::paper::draws;
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
    let copies: Vec<&str> = sheet.split("<table class=\"tk-copy\"").skip(1).collect();
    assert_eq!(copies.len(), 3);
    assert!(copies[0].contains("Copy 1") && copies[2].contains("Copy 3"));
    assert_ne!(copies[0].replace("Copy 1", ""), copies[1].replace("Copy 2", ""), "neighbors have other numbers");
    assert!(key.contains("tk-steps") || key.contains("tk-step"), "the key shows the steps");
    assert!(!sheet.contains("tk-feedback"), "and the copies do not");
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
        format!("first-week,5,{copy},{name},{}\r\n", cells.join(","))
    };
    // Cy copied from the neighbor: right answers to other numbers.
    // One slip in a quiz's name costs that row alone.
    let table = format!(
        "{head}\r\n{}{}first-wek,5,1,Di,2 gal\r\n",
        row(1, "Ada"),
        row(1, "Cy").replace("first-week,5,1,", "first-week,5,2,")
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
fn a_quiz_that_is_not_there_is_refused_with_the_near_name() {
    let folder = Folder::new("unknown");
    let output = tankside(&folder.0, &["sheet", "first-weak"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("`first-week`"), "{}", text(&output.stderr));
    assert!(!folder.0.join("tankside-sheet").exists());
}
