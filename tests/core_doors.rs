//! The doors of the core: whatever is handed in, however long, is refused unread or answered in little.
//!
//! Work is counted by what comes out and by how many questions, cards or problems it is about, never by a clock.

use std::sync::OnceLock;
use tankside_calc::doors::cards::cards_json;
use tankside_calc::doors::learning::learning_json;
use tankside_calc::doors::log::log_json;
use tankside_calc::doors::practice::practice_json;
use tankside_calc::doors::question::{choices_json, draw_at, pose_json, score_json};
use tankside_calc::doors::reading::reading_json;
use tankside_calc::doors::work::{fragment_reply, switch_units_json, work_json};
use tankside_calc::text::json::{Value, map, pairs_json};
use tankside_calc::words::phrases::Phrases;

/// Ten megabytes.
const HUGE: usize = 10_000_000;
const QUESTION: &str = r#"{"id":"a","kind":"number","text":"What?","asks":"catch-test/nozzle-output","given":[["catch.1.volume","90 to 200 by 2 fl oz"],["catch.1.time","30 s"]],"answer-in":"gal/min","draws":50,"skip":""}"#;

fn phrases() -> &'static Phrases {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    PHRASES.get_or_init(|| tankside::catalogue::phrases("en").ok().flatten().expect("the stock has English"))
}

/// `piece` as often as it takes to fill ten megabytes.
fn huge(piece: &str) -> String {
    piece.repeat(HUGE / piece.len() + 1)
}

/// A list of ten megabytes.
fn list(piece: &str) -> String {
    format!("[{}{piece}]", huge(&format!("{piece},")))
}

fn quoted(text: &str) -> String {
    Value::from(text).line()
}

fn pair(name: &str, text: &str) -> String {
    pairs_json(&[(name.to_owned(), text.to_owned())]).line()
}

/// Asserts that a text was refused for its length, in a short answer.
fn refused(what: &str, answer: &str) {
    assert!(answer.len() < 200 && answer.contains("longer than anything that it reads"), "{what}: {answer:.200}");
}

/// Texts that are no form of ours: one value, one name, rows and rows, deep, blank.
fn forms() -> [(&'static str, String); 6] {
    [
        ("a value", pair("catch.1.volume", &huge("gal+"))),
        ("a name", pair(&huge("catch."), "1 gal")),
        ("inputs", list(r#"["catch.1.volume","1 gal"]"#)),
        (
            "rows",
            format!("[{}[\"a\",\"\"]]", (0..600_000).map(|row| format!("[\"x.{row}.y\",\"1\"],")).collect::<String>()),
        ),
        ("nested", huge("[")),
        ("blanks", huge(" ")),
    ]
}

#[test]
fn a_form_of_ten_megabytes_is_refused_unread() {
    for (what, form) in &forms() {
        refused(what, &work_json("catch-test", form, "{}", phrases()));
        refused(what, &work_json("catch-test", "[]", form, phrases()));
        refused(what, &fragment_reply("catch-test", form, "{}", phrases()));
        refused(what, &fragment_reply("catch-test", "[]", form, phrases()));
        refused(what, &switch_units_json("catch-test", form, "metric", phrases()));
    }
    for id in [huge("a"), huge("catch-test")] {
        assert!(work_json(&id, "[]", "{}", phrases()).len() < 100);
        assert!(switch_units_json("catch-test", "[]", &id, phrases()).len() < 100);
    }
}

#[test]
fn a_form_as_long_as_is_read_is_answered_in_little() {
    // As long as a text may be: a value and a name that nobody types, and as many inputs as there may be.
    let long = "gal+".repeat(240_000);
    for form in [pair("catch.1.volume", &long), pair(&long, "1 gal")] {
        for answer in [
            work_json("catch-test", &form, "{}", phrases()),
            fragment_reply("catch-test", &form, r#"{"name":"a","title":"A","units":"us"}"#, phrases()),
        ] {
            // What was typed is in its field and in the message about it, so an answer grows with it and no faster.
            assert!(answer.len() < 4 * form.len(), "{} bytes", answer.len());
        }
    }
    let inputs = |count: usize| {
        let pairs: Vec<(String, String)> =
            (0..count).map(|row| (format!("catches.{row}.volume"), "1".to_owned())).collect();
        pairs_json(&pairs).line()
    };
    refused("one input too many", &work_json("catch-test", &inputs(2_001), "{}", phrases()));
    let answer = work_json("catch-test", &inputs(2_000), "{}", phrases());
    let lines = Value::read(&answer).and_then(|answer| Some(answer.get("error").text()?.lines().count())).unwrap_or(0);
    assert!((1..=2_001).contains(&lines) && answer.len() < 600_000, "{lines} lines, {} bytes", answer.len());
}

#[test]
fn a_question_or_an_answer_of_ten_megabytes_is_refused_unread() {
    let question = |member: &str, value: &str| QUESTION.replacen('{', &format!("{{\"{member}\":{value},"), 1);
    for (member, value) in [
        ("because", quoted(&huge("a"))),
        ("options", list(r#"{"text":"A"}"#)),
        ("parts", list("{}")),
        ("beside", list(r#"["a","1"]"#)),
        ("skip", quoted(&huge("A"))),
    ] {
        let question = question(member, &value);
        refused(member, &pose_json(&question, 1, phrases()));
        refused(member, &score_json(&question, 1, "\"1 gal/min\"", phrases()));
        refused(member, &choices_json(&question, 1, 1, phrases()));
        refused(
            member,
            &practice_json(
                &map(vec![("do", "faded".into()), ("question", question.as_str().into())]).line(),
                phrases(),
            ),
        );
        assert_eq!(draw_at(&question, 7), 7, "{member}: the seed itself, as for anything that is no question");
    }
    for (what, answer) in [("a text", quoted(&huge("1 gal"))), ("numbers", list("1")), ("nested", huge("["))] {
        refused(what, &score_json(QUESTION, 1, &answer, phrases()));
    }
    for key in ["answer", "step", "do"] {
        let request = map(vec![("question", QUESTION.into()), (key, huge("9").into())]).line();
        refused(key, &practice_json(&request, phrases()));
        refused(key, &reading_json(&map(vec![("thing", "jug".into()), (key, huge("9").into())]).line(), phrases()));
    }
}

#[test]
fn what_a_question_holds_is_bounded_as_its_length_is() {
    let options = |count: usize| {
        let options = vec![r#"{"text":"A","right":true}"#; count].join(",");
        format!(r#"{{"id":"a","kind":"several","text":"Which?","options":[{options}]}}"#)
    };
    let posed = |count: usize| pose_json(&options(count), 1, phrases());
    assert_eq!(posed(30_000), posed(1_000), "a thousand options are dealt, and no more");
    let inputs = vec![r#"["catch.1.volume","90 fl oz"]"#; 30_000].join(",");
    let crowded = QUESTION.replace(r#"["catch.1.time","30 s"]"#, &format!("{inputs},[\"catch.1.time\",\"30 s\"]"));
    let answer = pose_json(&crowded, 1, phrases());
    assert!(answer.len() < 1_000 && answer.contains("error"), "{answer:.300}");
    // Numbers without an end, where a count is asked for.
    let many =
        |key: &str| map(vec![("do", "faded".into()), ("question", QUESTION.into()), (key, Value::Number(4e9))]).line();
    for key in ["blanks", "seed", "draw", "step"] {
        assert!(practice_json(&many(key), phrases()).len() < 50_000, "{key}");
    }
}

#[test]
fn a_log_of_ten_megabytes_is_refused_and_a_long_one_shows_two_hundred_lawns() {
    for (key, value) in [
        ("rate", quoted(&huge("2 gal"))),
        ("lawns", list(r#"["a","12,500 ft2","25 gal"]"#)),
        ("tried", list("\"1 gal\"")),
    ] {
        refused(key, &log_json(&format!("{{\"{key}\":{value}}}"), phrases()));
    }
    let lawns = vec![r#"["a","12,500 ft2","25 gal"]"#; 20_000].join(",");
    let request =
        format!(r#"{{"rate":"2 gal/1000 ft2","sure":"4 %","area-sure":"4 %","gauge":"0.5 gal","lawns":[{lawns}]}}"#);
    let reply = Value::read(&log_json(&request, phrases())).expect("an object");
    assert_eq!(reply.get("rows").list().map(<[Value]>::len), Some(200));
}

#[test]
fn cards_of_ten_megabytes_are_refused_and_none_that_is_kept_is_lost() {
    let ask = |pairs: &[(&str, &str)]| {
        let pairs: Vec<(String, String)> = pairs.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        Value::read(&cards_json(&pairs_json(&pairs).line(), phrases())).expect("an object")
    };
    let now = pairs_json(&[
        ("units".to_owned(), "us".to_owned()),
        ("operator".to_owned(), "Ada".to_owned()),
        ("date".to_owned(), "2026-04-14".to_owned()),
        ("used.1.volume".to_owned(), "10 gal".to_owned()),
        ("used.1.area".to_owned(), "5000 ft2".to_owned()),
        ("tank".to_owned(), "200 gal".to_owned()),
    ])
    .line();
    let kept = ask(&[("do", "keep"), ("now", &now)]);
    let store = kept.get("store").text().expect("a store");
    assert_eq!(kept.get("count").text(), Some("1"), "{kept:?}");
    let begin = r#"{"format":"tankside-cards","version":1,"cards":"#;
    let files = [
        ("nested", huge("[")),
        ("blanks", huge(" ")),
        ("longer than a browser keeps", " ".repeat(16_000_001)),
        ("a thousand cards", format!("{begin}{}}}", list("[[\"units\",\"us\"]]"))),
        ("one card with all of it", format!("{begin}[{}]}}", list("[\"operator\",\"A\"]"))),
        ("one long name", format!("{begin}[[[\"units\",\"us\"],[\"operator\",{}]]]}}", quoted(&huge("A")))),
    ];
    for (what, file) in &files {
        let reply = ask(&[("do", "read"), ("store", store), ("file", file)]);
        assert_eq!((reply.get("refused").text(), reply.get("store").text()), (Some("yes"), Some(store)), "{what}");
        // As what a browser keeps it is put aside, unread, and the page begins with none.
        let reply = ask(&[("do", "show"), ("store", file)]);
        assert_eq!((reply.get("unread").text(), reply.get("count").text()), (Some("yes"), Some("0")), "{what}");
    }
    for key in ["now", "opened", "shown", "row", "today", "units", "do"] {
        let mut request = vec![("do", "keep"), ("store", store)];
        let text = huge("[");
        request.insert(0, (key, &text));
        let reply = ask(&request);
        assert_eq!(reply.get("store").text(), Some(store), "{key}");
    }
}

#[test]
fn a_learners_request_is_about_a_bounded_number_of_questions() {
    let answers: String = (0..200_000).map(|row| format!("[\"{row}\",1,1,true,true,false],")).collect();
    let reply = |request: &str| Value::read(&learning_json(request)).expect("an object");
    let all = reply(&format!(r#"{{"do":"standing","today":9,"answers":[{answers}[]]}}"#));
    let Value::Map(items) = all.get("items") else { panic!("{all:?}") };
    assert_eq!(items.len(), 5_000);
    let kinds: String = (0..200_000).map(|row| format!("[\"{row}\",\"f{row}\"],")).collect();
    let session = reply(&format!(r#"{{"do":"session","today":9,"length":4000000000,"kinds":[{kinds}["a","b"]]}}"#));
    let slots = session.get("slots").list().expect("a list");
    assert!(slots.len() == 200 && slots.iter().all(|slot| slot.whole().is_some_and(|slot| slot < 5_000)));
    let plan =
        reply(&format!(r#"{{"do":"plan","today":9,"exam":999999999,"most":4000000000,"kinds":[{kinds}["a","b"]]}}"#));
    let days = plan.get("days").list().expect("a list");
    let new: usize = days.iter().filter_map(|day| day.list()?.get(2)?.whole()).sum();
    // No more than can come back in the days before the exam.
    assert!(days.len() <= 401 && (1..=5_000).contains(&new), "{} days, {new} new", days.len());
    let pool = "[0,\"f\",true,true],".repeat(300_000);
    let weights = "1,".repeat(1_000_000);
    let exam = reply(&format!(
        r#"{{"do":"exam","items":4000000000,"typed":4000000000,"seed":1,"pool":[{pool}[]],"weights":[{weights}1]}}"#
    ));
    assert_eq!(exam.get("asked").list().map(<[Value]>::len), Some(200));
    let slots = "1,".repeat(2_000_000);
    let formulas = "\"a\",".repeat(500_000);
    let again = reply(&format!(r#"{{"do":"again","at":3,"slots":[{slots}2],"formulas":[{formulas}"b"]}}"#));
    assert_eq!(again.get("slots").list().map(<[Value]>::len), Some(1_000));
    // A whole progress file is sealed; what no browser keeps is refused.
    let seal = reply(&map(vec![("do", "seal".into()), ("text", huge("a").into())]).line());
    assert!(seal.get("seal").text().is_some_and(|seal| seal.len() < 200));
    refused(
        "a progress file",
        &learning_json(&map(vec![("do", "seal".into()), ("text", "a".repeat(16_000_001).into())]).line()),
    );
}
