//! Answers typed from paper: what an unknown slip would put down, what cannot be read, what is there twice.

use super::{Folder, demo, right_answer, tankside, text};
use tankside::course::ReadyBank;
use tankside::marking::paper::{digests, draws, stamp};
use tankside::marking::sheet::right_letters;
use tankside_calc::question::Ask;

/// A copy, a name, and cells by the number of their question.
type TypedRow<'a> = (u32, &'a str, &'a [(usize, &'a str)]);

/// The head of a table of answers to a bank, and a row of right ones in which some cells, counted from 1, hold something
/// else.
fn typed_table(bank: &ReadyBank, sheet: u32, rows: &[TypedRow]) -> String {
    let head = (1..=bank.questions.len()).map(|index| index.to_string()).collect::<Vec<_>>().join(",");
    let mut table = format!("quiz,sheet,copy,stamp,name,{head}\r\n");
    for (copy, name, others) in rows {
        let right = bank.questions.iter().zip(draws(bank, sheet, *copy)).map(|(question, draw)| match question.kind {
            Ask::Number => right_answer(question, draw),
            _ => right_letters(question, draw),
        });
        let cells = right.enumerate().map(|(index, right)| {
            let other = others.iter().find(|(number, _)| *number == index + 1).map(|(_, other)| (*other).to_owned());
            format!("\"{}\"", other.unwrap_or(right))
        });
        let stamp = stamp(&bank.id, &digests(bank), sheet, *copy);
        table += &format!("{},{sheet},{copy},{stamp},{name},{}\r\n", bank.id, cells.collect::<Vec<_>>().join(","));
    }
    table
}

/// The right answer to a question of a copy, by its number, as many times over.
fn times(bank: &ReadyBank, sheet: u32, copy: u32, number: usize, factor: f64) -> String {
    let posed = bank.questions[number - 1].draw(draws(bank, sheet, copy)[number - 1]).expect("a draw that is offered");
    tankside_calc::quantity::written::quantity(posed.si * factor, &posed.unit)
}

#[test]
fn an_overdose_that_shows_no_known_mistake_keeps_somebody_out_of_the_field() {
    let folder = Folder::new("overdose");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let number = |asks: &str| 1 + bank.questions.iter().position(|question| question.asks == asks).expect(asks);
    let (amount, rate, area) = (
        number("tank-mix/product-1-amount"),
        number("application-rate/application-rate"),
        number("swath-timing/area-rate"),
    );
    let cell = |place: usize, factor: f64| times(bank, 7, 3, place, factor);
    // Each wrong in one answer; a number of spray that is believed too high thins the product.
    let typed = [
        ("Ada", amount, cell(amount, 2.13), false),
        ("Bo", amount, cell(amount, 0.86), true),
        ("Cy", area, cell(area, 1.37), false),
        ("Di", rate, cell(rate, 1.37), true),
        ("Ed", rate, cell(rate, 0.77), false),
        // Twice, ten times and twice what is right.
        ("Flo", 7, "160 fl oz".to_owned(), false),
        ("Gus", 16, "160 fl oz".to_owned(), false),
        ("Hal", 10, "57 oz".to_owned(), false),
    ];
    for (name, place, text, ready) in &typed {
        folder.write("typed.csv", typed_table(bank, 7, &[(3, name, &[(*place, text)])]).as_bytes());
        let said = text_of_mark(&folder);
        assert!(!said.contains("Teach again"), "no known mistake shows: {said}");
        // What to teach is reported all the same, by topic.
        let page = folder.read("tankside-roster/roster.html");
        assert!(said.contains("Weakest topics:\n  ") && page.contains("1 person is under 90 %."), "{said}");
        assert!(said.starts_with(&format!("{} of 1 ready", u32::from(*ready))), "{name} {text}: {said}");
        let why = if *ready { "yes,," } else { "no,One answer would have put down at least 10 % too much.," };
        let table = folder.read("tankside-roster/roster.csv");
        assert!(table.contains(&format!("{name},{why}")), "{table}");
    }
}

#[test]
fn a_wrong_answer_that_says_nothing_about_the_dose_does_not_count_as_too_much_and_is_named() {
    let folder = Folder::new("untold");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let (place, question) =
        bank.questions.iter().enumerate().find(|(_, question)| question.kind == Ask::One).expect("a choice");
    let right = right_letters(question, draws(bank, 7, 1)[place]);
    let wrong = if right == "A" { "B" } else { "A" };
    folder.write("typed.csv", typed_table(bank, 7, &[(1, "Ada", &[(place + 1, wrong)]), (2, "Bo", &[])]).as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.starts_with("2 of 2 ready for the field.\n"), "{said}");
    assert!(said.contains("1 of them has a wrong answer that does not tell the dose"), "{said}");
    let (table, page) = (folder.read("tankside-roster/roster.csv"), folder.read("tankside-roster/roster.html"));
    let about = "One wrong answer does not tell how much product would have gone down.";
    assert!(table.contains(&format!("Ada,yes,{about}")) && table.contains("Bo,yes,,"), "{table}");
    assert_eq!(page.matches(about).count(), 1, "the roster says it beside the name");
}

/// Marks `typed.csv` and gives what was said.
fn text_of_mark(folder: &Folder) -> String {
    let output = tankside(&folder.0, &["mark", "typed.csv"]);
    format!("{}{}", text(&output.stdout), text(&output.stderr))
}

#[test]
fn a_cell_that_cannot_be_read_is_named_with_its_place_and_holds_back_whoever_it_belongs_to() {
    let folder = Folder::new("unread");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let place = |kind: Ask| 1 + bank.questions.iter().position(|question| question.kind == kind).expect("there is one");
    let (number, one, order) = (place(Ask::Number), place(Ask::One), place(Ask::Order));
    let column = |number: usize| char::from(b'A' + 4 + number as u8);
    let cases = [
        (number, "2.5 gal/mn", "The unit is not known."),
        (number, "no idea", "There is no number in it."),
        (number, "1,68 gal/min", "If “,” is the decimal mark, write 1.68 gal/min."),
        (number, "160", "The number has no unit."),
        (number, "3 acres", "The unit measures something else."),
        (one, "F", "Write one letter from A to "),
        (one, "AB", "Write one letter from A to "),
        (one, "clean water", "Write one letter from A to "),
        (order, "AAB", "Write letters from A to "),
    ];
    for (place, typed, why) in cases {
        let table = typed_table(bank, 7, &[(1, "Ada", &[(place, typed)]), (2, "Bo", &[(place, "")])]);
        folder.write("typed.csv", table.as_bytes());
        let said = text_of_mark(&folder);
        let cell = format!("typed.csv: line 2, column {} (question {place}), Ada: “{typed}”. {why}", column(place));
        assert!(said.contains("Not read, 1 answer; ask, or look at the sheet") && said.contains(&cell), "{said}");
        assert!(said.starts_with("1 of 2 ready"), "an empty cell is an answer that was not given: {said}");
        let (table, page) = (folder.read("tankside-roster/roster.csv"), folder.read("tankside-roster/roster.html"));
        assert!(table.contains("Ada,no,One answer could not be read."), "{table}");
        assert!(page.contains(&cell), "{cell}");
        assert!(page.contains("so they earn no points yet"));
    }
}

#[test]
fn a_part_that_cannot_be_read_is_named_by_its_number() {
    let folder = Folder::new("unread-part");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["check-tank"];
    let place = 1 + bank.questions.iter().position(|question| question.points() > 1).expect("one with parts");
    let right = right_answer(&bank.questions[place - 1], draws(bank, 5, 1)[place - 1]);
    let pieces: Vec<&str> = right.split("; ").collect();
    let typed = [pieces[0], "12 gll", pieces[2]].join("; ");
    folder.write("typed.csv", typed_table(bank, 5, &[(1, "Ada", &[(place, &typed)])]).as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.contains("In part 2: The unit is not known."), "{said}");
}

#[test]
fn letters_are_read_as_people_write_them() {
    let folder = Folder::new("letters");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let place = bank.questions.iter().position(|question| question.kind == Ask::Several).expect("there is one");
    let right = right_letters(&bank.questions[place], draws(bank, 7, 1)[place]);
    let spaced: Vec<String> = right.to_lowercase().chars().map(|letter| format!("{letter})")).collect();
    folder.write("typed.csv", typed_table(bank, 7, &[(1, "Ada", &[(place + 1, &spaced.join(", "))])]).as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.starts_with("1 of 1 ready") && !said.contains("Not read"), "{said}");
}

#[test]
fn a_table_or_a_row_that_is_there_twice_counts_once_and_is_named() {
    let folder = Folder::new("typed-twice");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let table = typed_table(bank, 7, &[(1, "Ada", &[]), (2, "Bo", &[])]);
    folder.write("typed.csv", table.as_bytes());
    folder.write("again.csv", table.as_bytes());
    let answers = 2 * bank.questions.len();
    let marked = |files: &[&str]| {
        let output = tankside(&folder.0, &[&["mark"], files].concat());
        (text(&output.stdout), text(&output.stderr))
    };
    for files in [["typed.csv", "typed.csv"], ["typed.csv", "./typed.csv"], ["again.csv", "typed.csv"]] {
        let (said, told) = marked(&files);
        assert!(said.contains(&format!("Marked {answers} answers from 1 file.")), "{said}");
        let named = format!("Counted once, 1 file whose contents another file holds as well:\n  {}\n", files[1]);
        assert!(told.contains(&named), "{told}");
        let page = folder.read("tankside-roster/roster.html");
        assert!(page.contains("Everything in it is in another file as well.") && page.contains("typed.csv</li>"));
        let rows = folder.read("tankside-roster/roster.csv");
        assert!(rows.contains("Ada,yes,,1,") && rows.contains("Bo,yes,,1,"), "one sitting each: {rows}");
    }
    let (_, told) = marked(&[".", "typed.csv"]);
    assert!(told.contains("Counted once, 2 files"), "{told}");
    // A row that was typed once more in the same table, and one that was typed differently.
    let row = table.lines().nth(1).expect("a row");
    let other = row.replacen("\"", "\"9", 1);
    folder.write("typed.csv", format!("{table}{row}\r\n{other}\r\n").as_bytes());
    let (said, told) = marked(&["typed.csv"]);
    assert!(
        said.starts_with("2 of 2 ready") && said.contains(&format!("Marked {answers} answers from 1 file.")),
        "{said}"
    );
    assert!(told.contains("typed.csv: Line 4 is there twice. It counts once.\n"), "{told}");
    assert!(told.contains("typed.csv: line 5: Ada has other answers to this copy in line 2"), "{told}");
}

#[test]
fn one_copy_under_two_names_is_reported() {
    let folder = Folder::new("shared");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    folder.write("typed.csv", typed_table(bank, 7, &[(1, "Ada", &[]), (2, "Bo", &[]), (1, "Zed Moe", &[])]).as_bytes());
    let said = text_of_mark(&folder);
    let same =
        "Copy 1 of sheet 7 (first-week) is under several names with the same answers: Ada (line 2), Zed Moe (line 4).";
    assert!(said.contains(&format!("Look at:\n  typed.csv: {same}")), "{said}");
    assert!(folder.read("tankside-roster/roster.html").contains(same));
    folder.write("typed.csv", typed_table(bank, 7, &[(1, "Ada", &[]), (1, "Zed Moe", &[(1, "9 gal/min")])]).as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.contains("is under several names: Ada (line 2), Zed Moe (line 3)."), "{said}");
}

#[test]
fn a_copy_that_was_left_over_is_passed_over_and_a_name_without_answers_is_not_counted() {
    let folder = Folder::new("left-over");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let blank = ",".repeat(bank.questions.len() - 1);
    let table = typed_table(bank, 7, &[(1, "Ada", &[])])
        + &format!("first-week,7,2,BCDF,,{blank}\r\nfirst-week,7,3,BCDF,Bo,{blank}\r\n");
    folder.write("typed.csv", table.as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.starts_with("1 of 1 ready"), "{said}");
    assert!(
        said.contains("Not counted, 1 file or part of one:\n  typed.csv: line 4: no answers are typed for Bo\n"),
        "{said}"
    );
}

#[test]
fn a_table_from_a_spreadsheet_with_semicolons_and_decimal_commas_is_marked_whole() {
    let folder = Folder::new("semicolons");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let table = typed_table(bank, 7, &[(1, "Peña", &[]), (2, "Bo", &[])]);
    let mut rows = csv::ReaderBuilder::new().has_headers(false).from_reader(table.as_bytes());
    let mut out = "\u{feff};;;;\r\n".to_owned();
    for row in rows.records() {
        let row = row.expect("a row");
        out += &row.iter().map(|cell| cell.replace('.', ",")).collect::<Vec<_>>().join(";");
        out += "\r\n;;;;\r\n";
    }
    assert!(out.contains(";2,") || out.contains(";1,"), "{out}");
    folder.write("typed.csv", out.as_bytes());
    let said = text_of_mark(&folder);
    assert!(said.starts_with("2 of 2 ready") && !said.contains("Not read"), "{said}");
    assert!(folder.read("tankside-roster/roster.csv").contains("\r\nPeña,yes,"));
}

#[test]
fn a_table_in_another_encoding_is_refused_with_what_to_save_it_as() {
    let folder = Folder::new("encoding");
    let resolved = demo();
    let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
    let table = typed_table(bank, 7, &[(1, "Ada", &[]), (2, "Pena", &[])]);
    let (before, after) = table.split_once("Pena").expect("the name");
    folder.write("typed.csv", &[before.as_bytes(), b"Pe\xf1a", after.as_bytes()].concat());
    let said = text_of_mark(&folder);
    assert!(said.contains("line 3, column E: there are letters that are not stored as UTF-8"), "{said}");
    assert!(said.contains("save the table in the spreadsheet as “CSV UTF-8”"), "{said}");
}
