//! A language that is not the stock's: what a terminal writes in it, and what its file of phrases must hold.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use tankside_calc::words::phrases::{NUMBER, Phrases};

/// What marks a word of the invented language.
const MARK: char = 'ǂ';

/// Every word of a text in capitals after the mark; places in braces stay as they are.
fn shouted(text: &str) -> String {
    let (mut out, mut inside, mut in_word) = (String::new(), false, false);
    for letter in text.chars() {
        inside = (inside || letter == '{') && letter != '}';
        let of_word = !inside && letter.is_alphabetic();
        if of_word && !in_word {
            out.push(MARK);
        }
        in_word = of_word;
        if of_word { out.extend(letter.to_uppercase()) } else { out.push(letter) }
    }
    out
}

fn stock() -> Phrases {
    tankside::catalogue::first_phrases().clone()
}

/// The invented language as a file of phrases, with one line added or changed.
fn file(own: &[(&str, &str)]) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    let line = |(key, text): (&str, &str)| {
        let own = own.iter().find(|(name, _)| *name == key).map(|(_, text)| (*text).to_owned());
        let text = own.unwrap_or_else(|| if key == NUMBER { "12.345,6".to_owned() } else { shouted(text) });
        format!("{key}: {}\n", quoted(&text))
    };
    stock().iter().map(line).collect()
}

/// Words that are neither marked nor a unit, a name, or what is typed into a terminal.
fn unmarked(said: &str) -> Vec<String> {
    let units: Vec<String> = tankside_calc::quantity::units::ATOMS.iter().map(|atom| atom.shown.to_owned()).collect();
    let mut rest = said.to_owned();
    let mut known = units;
    known.sort_by_key(|unit| std::cmp::Reverse(unit.len()));
    for unit in known.iter().filter(|unit| unit.len() > 1) {
        rest = rest.replace(unit.as_str(), " ");
    }
    let words = rest.split(|letter: char| !letter.is_alphabetic() && letter != MARK && letter != '-');
    words
        .filter(|word| word.chars().filter(|letter| letter.is_alphabetic()).count() > 1 && !word.starts_with(MARK))
        .map(ToOwned::to_owned)
        .collect()
}

#[test]
fn work_writes_in_the_language_of_a_file_of_phrases_in_this_folder() {
    let room = Room::new("language-work");
    room.write("phrases/qaa.yaml", file(&[]));
    let done = room.run(&["work", "catch-test", "catch=186,5 fl oz, 60 s", "--language", "qaa"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    // Names of results in brackets are what a command takes.
    let said: String =
        done.out.lines().map(|line| line.split("   [").next().unwrap_or(line).to_owned() + "\n").collect();
    assert_eq!(unmarked(&said), Vec::<String>::new(), "{said}");
    assert!(said.contains("186,5 fl oz") && !said.contains("186.5"), "{said}");
    let listed = room.run(&["work", "catch-test", "--language", "qaa"]).out;
    assert!(listed.contains("ǂUSUALLY") && listed.contains("ǂINPUTS"), "{listed}");
    let refused = room.run(&["work", "catch-test", "catch=186.5 fl oz, 60 s", "--language", "qaa"]);
    assert!(refused.code == Some(2) && refused.err.contains(MARK), "a point groups three digits here: {}", refused.err);
}

#[test]
fn a_mark_that_may_be_the_decimal_one_is_asked_about_as_the_language_writes_it() {
    let with = |number: &str| {
        let stock = stock();
        let pairs: Vec<(String, String)> = stock.iter().map(|(key, text)| (key.to_owned(), text.to_owned())).collect();
        Phrases::from_pairs(pairs.into_iter().chain([(NUMBER.to_owned(), number.to_owned())]))
    };
    let asked = |phrases: &Phrases| {
        let query = tankside_calc::question::score::Query::Comma("1.5 gal".to_owned());
        tankside_calc::page::question::query(&query, None, phrases)
    };
    assert!(asked(&with("12,345.6")).starts_with("Is “,” the decimal mark? Then write 1.5 gal."));
    assert!(asked(&with("12.345,6")).starts_with("Is “.” the decimal mark? Then write 1,5 gal."));
    // No phrase has a mark of one country's numbers in its words.
    for (key, text) in stock().iter() {
        let words = ["decimal point", "decimal comma", "comma only", "the comma"];
        let names = words.iter().find(|words| text.to_lowercase().contains(**words));
        assert_eq!(names, None, "{key}: {text}");
    }
}

#[test]
fn options_that_are_not_understood_are_refused_in_the_language_that_is_asked_for() {
    let room = Room::new("language-options");
    room.write("phrases/qaa.yaml", file(&[]));
    for words in [
        &["--units", "xx", "--language", "qaa"][..],
        &["--language=qaa", "--units", "metrik"],
        &["--language", "qaa", "--unit", "us"],
        &["--language", "qaa", "--bogus"],
        &["--language", "qaa", "--units"],
    ] {
        let done = room.run(&[&["work", "catch-test"], words].concat());
        assert_eq!(done.code, Some(2), "{words:?}");
        // What is in backticks or to be typed is the program's own.
        let said: String = done.err.split('`').step_by(2).collect();
        let typed = ["tankside", "work", "--help", "us", "metric", "units", "us|metric", "RESULT=UNIT", "--in"];
        let left: Vec<String> = unmarked(&said)
            .into_iter()
            .filter(|word| !typed.iter().any(|known| known.contains(word.trim_matches('-'))))
            .filter(|word| {
                !["CALCULATOR", "NAME", "VALUE", "LANGUAGE", "--language", "--factors", "--block", "--json", "--units"]
                    .contains(&word.as_str())
            })
            .collect();
        assert_eq!(left, Vec::<String>::new(), "{words:?}: {}", done.err);
        assert!(done.err.contains(MARK), "{words:?}: {}", done.err);
    }
    // A language that has no phrases can say nothing itself.
    let none = room.run(&["work", "catch-test", "--units", "xx", "--language", "qab"]);
    assert!(none.err.contains("is not one of the words"), "{}", none.err);
}

#[test]
fn a_language_without_phrases_is_refused_with_what_to_write() {
    let room = Room::new("language-none");
    let done = room.run(&["work", "catch-test", "--language", "qaa"]);
    assert_eq!(done.code, Some(2));
    assert!(
        done.err.contains("no phrases for the language `qaa`") && done.err.contains("phrases/qaa.yaml"),
        "{}",
        done.err
    );
    room.write("phrases/qaa.yaml", "site.lessons: \"{nowhere}\"\n");
    let done = room.run(&["work", "catch-test", "--language", "qaa"]);
    assert!(done.code == Some(2) && done.err.contains("error place-unknown"), "{}", done.err);
    assert_eq!(room.run(&["work", "--language", "en"]).code, Some(0), "the stock has English");
}

#[test]
fn a_number_that_is_not_the_one_asked_for_is_a_mistake_of_the_file() {
    let room = Room::new("language-number");
    room.course("course");
    let text = published::original("course.yaml").to_owned() + "language: qaa\n";
    room.write("course/course.yaml", text);
    room.write("course/phrases/qaa.yaml", file(&[(NUMBER, "twelve")]));
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert!(done.code == Some(1) && done.err.contains("shows how your language writes 12345.6"), "{}", done.err);
}

#[test]
fn names_have_both_their_forms_and_the_same_places() {
    for (key, text) in stock().iter() {
        let Some((inside, label)) = text.split_once(" | ") else { continue };
        let places = |text: &str| -> Vec<String> {
            tankside_calc::words::phrases::places(text).into_iter().map(str::to_ascii_lowercase).collect()
        };
        assert_eq!(places(inside), places(label), "{key}");
        assert!(!label.contains(" | "), "{key} has more than two forms");
        assert!(
            !label.starts_with(|first: char| first.is_lowercase()),
            "{key}: a label begins with a capital in English"
        );
    }
}

#[test]
fn every_name_that_a_page_shows_alone_has_a_label_form() {
    let stock = stock();
    for (key, _) in stock.iter() {
        let words: Vec<&str> = key.split('.').collect();
        if words.len() >= 3 && ["input", "group", "result", "step"].contains(&words[1]) {
            assert!(!stock.label(key).starts_with(|first: char| first.is_lowercase()), "{key}: {}", stock.label(key));
        }
    }
}

/// A language that only writes its numbers otherwise.
fn comma(room: &Room) {
    room.write("phrases/qaa.yaml", "number.written: \"12.345,6\"\n");
}

/// The command line that a text ends with or says, as the words of a call.
fn pasted(text: &str) -> Vec<String> {
    let line = text.lines().rev().find(|line| line.trim_start().starts_with("tankside ")).expect("a line to paste");
    let mut words = Vec::new();
    for (at, part) in line.trim().trim_start_matches("tankside ").split('\'').enumerate() {
        if at % 2 == 0 {
            words.extend(part.split(' ').map(str::to_owned));
        } else if let Some(last) = words.last_mut() {
            last.push_str(part);
        }
    }
    words.into_iter().filter(|word| !word.is_empty()).collect()
}

#[test]
fn the_example_of_every_calculator_works_in_a_language_with_a_decimal_comma() {
    let room = Room::new("language-example");
    comma(&room);
    for calculator in tankside_calc::calculators::registry::CALCULATORS {
        for units in ["us", "metric"] {
            let listed = room.run(&["work", calculator.id, "--language", "qaa", "--units", units]).out;
            let words = pasted(&listed);
            let done = room.run(&words.iter().map(String::as_str).collect::<Vec<_>>());
            assert_eq!(done.code, Some(0), "{words:?}: {}", done.err);
        }
    }
}

#[test]
fn what_a_refused_input_says_is_in_the_language_and_its_numbers_and_can_be_pasted() {
    let room = Room::new("language-refused");
    comma(&room);
    let refused = room.run(&["work", "catch-test", "catch=1.5 fl oz, 60 s", "--language", "qaa"]).err;
    assert!(refused.contains("gave `1.5 fl oz`; write catch.1.volume='1,5 fl oz'"), "{refused}");
    let renamed = room.run(&["work", "catch-test", "cach=96,5 fl oz, 60 s", "--language", "qaa"]).err;
    let words = pasted(&renamed);
    assert!(words.contains(&"catch.1.volume=96,5 fl oz".to_owned()), "{renamed}");
    let done = room.run(&words.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(done.code, Some(0), "{words:?}: {}", done.err);

    room.write("phrases/qaa.yaml", file(&[]));
    for given in ["catch=96 fl oz, 60", "cach=96 fl oz, 60 s"] {
        let refused = room.run(&["work", "catch-test", given, "--language", "qaa"]);
        assert_eq!(refused.code, Some(2), "{given}");
        let lines = refused.err.lines().filter(|line| !line.trim_start().starts_with("tankside "));
        // What is typed, by its name: inputs, values, and lists of names in backticks.
        let said: String =
            lines.map(|line| line.split_once(": ").map_or(line, |(_, said)| said).to_owned() + "\n").collect();
        let said = said.split('\'').step_by(2).collect::<String>();
        let said = said.split('`').step_by(2).collect::<String>();
        let typed = ["catch.1.volume=", "catch.1.time=", "catch", "“cach”"];
        let said = typed.iter().fold(said, |said, word| said.replace(word, ""));
        assert_eq!(unmarked(&said), Vec::<String>::new(), "{given}: {}", refused.err);
    }
}

#[test]
fn every_refusal_of_work_is_in_the_language() {
    let room = Room::new("language-refusals");
    room.write("phrases/qaa.yaml", file(&[]));
    let long = format!("catch={}", "1".repeat(30_000));
    for words in [
        &["catch-tst"][..],
        &["zzz"],
        &["catch-test", "foo"],
        &["catch-test", "nozzle-time=1 s", "nozzle-time=2 s"],
        &["catch-test", "catch=96 fl oz, 30 s, 4, 5"],
        &["catch-test", &long],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "nozle-output=L/min"],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "zzz=L/min"],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "mean-output=L/min"],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "nozzle-output=ft2"],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "nozzle-output=furlong"],
        &["catch-test", "catch=96 fl oz, 30 s", "--in", "nozzle-output"],
        &["--json"],
    ] {
        let refused = room.run(&[&["work"], words, &["--language", "qaa"]].concat());
        assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{words:?}: {}", refused.err);
        // What is typed stays: names in backticks, options, and what is in quotes.
        let said = refused.err.split('`').step_by(2).collect::<String>();
        let said = said.split('\'').step_by(2).collect::<String>();
        let said: String = said.replace("{\"error\":\"", "").replace("tankside work catch-test", "");
        let typed = |word: &&str| !word.starts_with("--") && !word.contains('=');
        let said = said.split_whitespace().filter(typed).collect::<Vec<_>>().join(" ");
        assert_eq!(unmarked(&said.replace("qaa", "")), Vec::<String>::new(), "{words:?}: {}", refused.err);
        assert!(refused.err.contains(MARK), "{words:?}: {}", refused.err);
    }
}

#[test]
fn how_numbers_are_written_is_said_in_the_languages_own_notation() {
    let room = Room::new("language-notation");
    comma(&room);
    let refused = room.run(&["work", "catch-test", "catch=1.5 fl oz, 60 s", "--language", "qaa"]).err;
    assert!(refused.contains("write numbers as in 12.345,6"), "{refused}");
    let refused = room.run(&["work", "catch-test", "catch=1,5 fl oz, 60 s"]).err;
    assert!(refused.contains("write numbers as in 12,345.6"), "{refused}");
}

#[test]
fn a_word_that_is_no_code_of_a_language_is_refused_and_mistakes_of_its_file_are_shown() {
    let room = Room::new("language-code");
    for code in ["", "../../etc", "e", "e n"] {
        let done = room.run(&["work", "catch-test", "--language", code]);
        assert_eq!((done.code, done.out.as_str()), (Some(2), ""), "{code}");
        assert!(done.err.contains("is not a code of a language") && done.err.contains("--language es"), "{}", done.err);
    }
    room.write("phrases/qaa.yaml", "site.lessons: \"\"\n");
    let done = room.run(&["work", "catch-test", "--language", "qaa"]);
    let expected = "The phrase `site.lessons` is blank, and text is expected.\n  phrases/qaa.yaml:1:15\n    1  site.lessons: »\"\"«\n  Write the words, or remove the line.\n  error wrong-type\n\n1 error\n";
    assert_eq!((done.code, done.err.as_str()), (Some(2), expected), "outside a course");
    let json = room.run(&["work", "catch-test", "catch=1 gal, 1 min", "--language", "", "--json"]).err;
    assert!(json.starts_with("{\"error\":"), "{json}");
}
