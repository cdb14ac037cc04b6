//! Known mistakes over the whole registry and all stock questions: each is found where it is made, and nowhere else.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use tankside::course::ready_banks;
use tankside::load::Bank;
use tankside::problem::{Problems, Source, Style};
use tankside_calc::figures::{exact, to_figures};
use tankside_calc::mistakes::{self, ANOTHER_UNIT, APART, Mistake, Wrong};
use tankside_calc::phrases::{Phrases, places};
use tankside_calc::question::score::{Answer, Verdict, accepted, number};
use tankside_calc::question::template::Posed;
use tankside_calc::question::wire;
use tankside_calc::question::{Ask, Question};
use tankside_calc::record::Rounding;
use tankside_calc::registry::calculator;
use tankside_calc::unit::Unit;

const SEEDS: u32 = 100;

fn phrases() -> &'static Phrases {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    PHRASES.get_or_init(|| tankside::catalogue::phrases("en").expect("readable").expect("there is English"))
}

/// Every number question of the stock banks.
fn stock() -> &'static [Question] {
    static STOCK: OnceLock<Vec<Question>> = OnceLock::new();
    STOCK.get_or_init(|| {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/questions");
        let mut problems = Problems::new();
        let mut banks = BTreeMap::new();
        for entry in std::fs::read_dir(folder).expect("the folder of stock questions") {
            let path = entry.expect("a file").path();
            let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
            let source = Source::new(format!("questions/{stem}.yaml"), std::fs::read_to_string(&path).expect("text"));
            banks.insert(stem.clone(), Bank::read(&stem, source, &mut problems).expect("a readable bank"));
        }
        let ready = ready_banks(&banks, phrases(), &mut problems);
        assert!(problems.is_empty(), "{}", problems.draw(Style::Plain));
        let questions = ready.into_values().flat_map(|bank| bank.questions);
        questions.filter(|question| question.kind == Ask::Number).collect()
    })
}

/// A stock question posed, and what each mistake made in it leads to: to full figures, and with rounded steps.
struct Case {
    question: &'static Question,
    seed: u32,
    posed: Posed,
    leading: Vec<(&'static Mistake, f64, f64)>,
}

/// Every stock question posed at every seed.
fn cases() -> &'static [Case] {
    static CASES: OnceLock<Vec<Case>> = OnceLock::new();
    CASES.get_or_init(|| {
        let all: Vec<_> = stock().iter().flat_map(|question| (1..=SEEDS).map(move |seed| (question, seed))).collect();
        on_all_cores(&all, |(question, seed)| {
            let posed = question.pose(*seed).unwrap_or_else(|fault| panic!("{} {seed}: {fault:?}", question.id));
            let (problem, unit) = (posed.problem(), &posed.unit);
            let lead = |mistake: &'static Mistake| {
                let full = mistake.leads_to(&problem, unit)?;
                Some((mistake, full, mistake.leads_to_rounded(&problem, unit).unwrap_or(full)))
            };
            let leading = mistakes::all().filter_map(lead).collect();
            Case { question, seed: *seed, posed, leading }
        })
    })
}

fn on_all_cores<I: Sync, T: Send>(items: &[I], each: impl Fn(&I) -> T + Sync) -> Vec<T> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let each = &each;
    std::thread::scope(|scope| {
        let shares = items.chunks(items.len().div_ceil(threads).max(1));
        let running: Vec<_> =
            shares.map(|share| scope.spawn(move || share.iter().map(each).collect::<Vec<_>>())).collect();
        running.into_iter().flat_map(|thread| thread.join().expect("no test thread fails")).collect()
    })
}

/// What a learner types who arrives at `si` and rounds to three figures.
fn typed(si: f64, unit: &Unit) -> Answer {
    let number = exact(to_figures(si / unit.size(), 3)).replace('−', "-");
    Answer::Text(format!("{number} {}", unit.plain()))
}

/// The id of the mistake that is named for an answer; `right` where it is accepted.
fn named(posed: &Posed, answer: &Answer) -> &'static str {
    match number(posed, answer) {
        Verdict::Right => "right",
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id,
        Verdict::Wrong(None) => "none",
        Verdict::Ask(query) => panic!("{answer:?} is asked about: {query:?}"),
    }
}

#[test]
fn every_mistake_is_named_in_95_of_100_seeds_of_each_template_it_is_made_in() {
    let found = on_all_cores(cases(), |case| {
        let mut found = Vec::new();
        for (mistake, full, rounded) in &case.leading {
            for si in [*full, *rounded] {
                let answer = typed(si, &case.posed.unit);
                let named = named(&case.posed, &answer);
                found.push((case.question.id.as_str(), mistake.id, named, format!("{answer:?}")));
            }
        }
        found
    });
    let mut tally: BTreeMap<(&str, &str), (u32, Vec<String>)> = BTreeMap::new();
    for (question, mistake, named, answer) in found.into_iter().flatten() {
        let (right, missed) = tally.entry((question, mistake)).or_default();
        if named == mistake {
            *right += 1;
        } else {
            missed.push(format!("{answer} named {named}"));
        }
    }
    for ((question, mistake), (right, missed)) in &tally {
        let all = *right + missed.len() as u32;
        assert!(*right * 100 >= all * 95, "{question}: {mistake} named {right} of {all}; {missed:?}");
    }
    let least = tally.iter().min_by_key(|(_, (right, missed))| right * 1000 / (right + missed.len() as u32));
    let least = least.map(|(place, (right, missed))| (place, *right, missed.len()));
    println!("{} pairs of question and mistake; least named in {least:?}", tally.len());
    let covered: BTreeSet<&str> = tally.keys().map(|(_, mistake)| *mistake).collect();
    let open: Vec<&str> = mistakes::all().map(|mistake| mistake.id).filter(|id| !covered.contains(id)).collect();
    assert!(open.is_empty(), "no stock question exercises {open:?}");
}

#[test]
fn a_right_answer_is_never_taken_for_a_mistake() {
    on_all_cores(cases(), |Case { question, seed, posed, .. }| {
        let system = posed.worked.system;
        let kind = tankside_calc::kind::Kind::of(&posed.unit).expect("a kind");
        let (us, metric) = kind.offered();
        let others = system.pick(us, metric).iter().map(|text| Unit::of(text));
        for unit in others.chain([posed.unit.clone()]) {
            let answer = typed(posed.si, &unit);
            assert_eq!(named(posed, &answer), "right", "{} {seed} {answer:?}", question.id);
        }
    });
}

#[test]
fn right_answer_and_mistakes_are_three_percent_apart() {
    for case in cases() {
        let mut values = vec![("right", case.posed.si)];
        values.extend(case.leading.iter().map(|(mistake, full, _)| (mistake.id, *full)));
        for (index, (one, a)) in values.iter().enumerate() {
            for (other, b) in &values[index + 1..] {
                let apart = (a - b).abs() / a.abs().min(b.abs());
                let place = (&case.question.id, case.seed);
                assert!(apart >= APART * (1.0 - 1e-6), "{place:?}: {one} {a} and {other} {b}");
            }
        }
    }
}

/// Of answers drawn log-uniformly within a factor of ten of the right one, those that are not right and are named.
#[test]
fn at_most_one_random_wrong_answer_in_twenty_is_named() {
    let tallies = on_all_cores(cases(), |Case { question, seed, posed, .. }| {
        let mut draw = Draw(u64::from(*seed).wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let mut named_wrongly = 0_u32;
        let mut wrong = 0_u32;
        for _ in 0..2 {
            let si = posed.si * 10_f64.powf(draw.unit() * 2.0 - 1.0);
            if accepted(posed, si) {
                continue;
            }
            wrong += 1;
            named_wrongly += u32::from(named(posed, &typed(si, &posed.unit)) != "none");
        }
        (question.id.as_str(), wrong, named_wrongly)
    });
    let mut by_question: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    for (id, wrong, named) in tallies {
        let tally = by_question.entry(id).or_default();
        *tally = (tally.0 + wrong, tally.1 + named);
    }
    let (wrong, named) = by_question.values().fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    let most = by_question.iter().max_by_key(|(_, (wrong, named))| named * 10_000 / wrong.max(&1));
    println!("{named} of {wrong} random answers named; most in {most:?}");
    assert!(named * 20 <= wrong, "{named} of {wrong} random answers named");
    for (id, (wrong, named)) in by_question {
        // About 195 draws a question: one in ten leaves room for chance.
        assert!(named * 10 <= wrong, "{id}: {named} of {wrong} random answers named");
    }
}

/// A generator of our own, so that a find can be repeated (Knuth's MMIX constants, TAOCP 2, 3.3.4).
struct Draw(u64);

impl Draw {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[test]
fn every_mistake_has_its_phrases_and_its_places() {
    let mut seen = BTreeSet::new();
    for mistake in mistakes::all().chain([&ANOTHER_UNIT]) {
        assert!(seen.insert(mistake.id), "{} twice", mistake.id);
        assert!(
            mistake.id.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-')
        );
        for part in ["did", "why", "lawn"] {
            let key = format!("mistake.{}.{part}", mistake.id);
            let text = phrases().find(&key).unwrap_or_else(|| panic!("no phrase {key}"));
            let allowed: &[&str] = match part {
                "lawn" => &["dose"],
                "did" => &["unit"],
                _ => &[],
            };
            assert!(places(text).iter().all(|place| allowed.contains(place)), "{key}: {text}");
        }
        for place in mistake.places.iter().copied().flatten() {
            let calculator = calculator(place.calculator).unwrap_or_else(|| panic!("no {}", place.calculator));
            let known = calculator.results.iter().any(|spec| spec.name == place.result);
            assert!(known, "{}: {} has no {}", mistake.id, place.calculator, place.result);
        }
    }
    for key in ["none", "dose.times", "dose.over", "dose.under", "dose.part"] {
        assert!(phrases().find(&format!("mistake.{key}")).is_some(), "{key}");
    }
    let written = phrases().iter().filter_map(|(key, _)| key.strip_prefix("mistake.")?.strip_suffix(".did"));
    for id in written {
        assert!(seen.contains(id), "phrases of an unknown mistake {id}");
    }
}

/// One worked example of a mistake, as `tests/mistakes/examples.yaml` has it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Example {
    mistake: String,
    asks: String,
    given: serde_yaml::Value,
    beside: Option<serde_yaml::Value>,
    answer_in: String,
    right: f64,
    wrong: f64,
    dose: Option<f64>,
    source: String,
    note: Option<String>,
}

fn flat(name: &str, value: &serde_yaml::Value, out: &mut Vec<(String, String)>) {
    let join = |part: &str| if name.is_empty() { part.to_owned() } else { format!("{name}.{part}") };
    match value {
        serde_yaml::Value::Mapping(map) => {
            map.iter().for_each(|(key, value)| flat(&join(key.as_str().expect("a text")), value, out));
        }
        serde_yaml::Value::Sequence(list) => {
            list.iter().enumerate().for_each(|(index, value)| flat(&join(&(index + 1).to_string()), value, out));
        }
        serde_yaml::Value::String(text) => out.push((name.to_owned(), text.clone())),
        serde_yaml::Value::Number(number) => out.push((name.to_owned(), number.to_string())),
        other => panic!("{name}: {other:?}"),
    }
}

#[test]
fn the_worked_examples_of_every_mistake_are_reproduced() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes/examples.yaml");
    let text = std::fs::read_to_string(path).expect("the examples");
    let examples: Vec<Example> = serde_yaml::from_str(&text).expect("the form of the examples");
    let mut seen = BTreeSet::new();
    for example in &examples {
        let id = example.mistake.as_str();
        let mistake = mistakes::all().find(|mistake| mistake.id == id).unwrap_or_else(|| panic!("no mistake {id}"));
        assert!(!example.source.is_empty() && example.note.as_deref() != Some(""), "{id}");
        let (mut given, mut beside) = (Vec::new(), Vec::new());
        flat("", &example.given, &mut given);
        example.beside.iter().for_each(|value| flat("", value, &mut beside));
        let question = Question {
            id: id.to_owned(),
            kind: Ask::Number,
            text: String::new(),
            asks: example.asks.clone(),
            given,
            beside,
            answer_in: example.answer_in.clone(),
            tolerance: String::new(),
            because: String::new(),
            options: Vec::new(),
        };
        let posed = question.pose(1).unwrap_or_else(|fault| panic!("{id}: {fault:?}"));
        // Four figures, and conversion factors that handbooks print with three (9.35, 340 ft2).
        let close = |si: f64, number: f64| (si / posed.unit.size() / number - 1.0).abs() <= 1.5e-3;
        assert!(close(posed.si, example.right), "{id}: right is {}", posed.si / posed.unit.size());
        let problem = posed.problem();
        let wrong = (mistake.wrong)(&Wrong::new(&problem, &posed.unit, Rounding::None));
        let wrong = wrong.unwrap_or_else(|| panic!("{id}: no room for it"));
        assert!(mistake.place(posed.calculator.id, &posed.result).is_some(), "{id} is not made here");
        assert!(close(wrong, example.wrong), "{id}: leads to {}", wrong / posed.unit.size());
        if let Some(dose) = example.dose {
            let told = mistake.dose(&problem, wrong, &posed.unit).unwrap_or_else(|| panic!("{id}: no dose"));
            assert!((told / dose - 1.0).abs() <= 3e-3, "{id}: the lawn gets {told} times what was meant");
        }
        seen.insert(id);
    }
    let open: Vec<&str> = mistakes::all().map(|mistake| mistake.id).filter(|id| !seen.contains(id)).collect();
    assert!(open.is_empty(), "no worked example of {open:?}");
}

const GUN: &str = r#"id: own
title: Own
questions:
  - id: gun
    kind: number
    asks: catch-test/nozzle-output
    text: "From a {tank} tank you catch {catch.1.volume} in {catch.1.time}. What does the gun put out?"
    given:
      catch: [{ volume: 96 fl oz, time: 30 s }]
    beside: { tank: "one of 100, 200 gal" }
    answer-in: gal/min
"#;

/// A bank of an author's own, and what its author is told.
fn own_bank(text: &str) -> (Vec<Question>, String) {
    let mut problems = Problems::new();
    let bank = Bank::read("own", Source::new("questions/own.yaml", text), &mut problems).expect("a bank");
    let ready = ready_banks(&BTreeMap::from([("own".to_owned(), bank)]), phrases(), &mut problems);
    let questions = ready.into_values().flat_map(|bank| bank.questions).collect();
    (questions, if problems.is_empty() { String::new() } else { problems.draw(Style::Plain) })
}

fn scored(question: &Question, answer: &str) -> serde_json::Value {
    let answer = serde_json::to_string(answer).expect("a text");
    let told = wire::score_json(&question.json().line(), 1, &answer, phrases());
    serde_json::from_str(&told).expect("JSON")
}

#[test]
fn feedback_says_what_was_done_the_right_way_and_what_the_lawn_gets() {
    let (questions, told) = own_bank(GUN);
    assert_eq!(told, "");
    // 96 fl oz in 30 s is 1.5 gal/min; 96 / 100 in half a minute is 1.92, and the catch alone 0.75.
    let said = |answer: &str| scored(&questions[0], answer);
    let hundred = said("1.92 gal/min");
    assert_eq!(hundred["mistake"], "128-forgotten-divides-by-100");
    assert_eq!(hundred["right"], false);
    let html = hundred["html"].as_str().expect("HTML");
    for part in ["You took a gallon for 100", "A gallon is 128", "about 22", "too little product"] {
        assert!(html.contains(part), "{part} in {html}");
    }
    let half = said("0.75 gal/min");
    assert_eq!(half["mistake"], "partial-minute-catch-called-gpm");
    assert!(half["html"].as_str().expect("HTML").contains("times the product you meant"), "{half}");
    let unit = said("192 gal/min");
    assert_eq!(unit["mistake"], "another-unit");
    assert!(unit["html"].as_str().expect("HTML").contains("fl\u{a0}oz/min"), "{unit}");
    let none = said("1.1 gal/min");
    assert_eq!(none["mistake"], serde_json::Value::Null);
    assert!(none["html"].as_str().expect("HTML").contains("not guessed at"), "{none}");
    for right in ["1.5 gal/min", "192 fl oz/min"] {
        let right = said(right);
        assert_eq!((&right["right"], &right["mistake"]), (&true.into(), &serde_json::Value::Null));
        assert!(!right["html"].as_str().expect("HTML").contains("tk-feedback__slip"), "{right}");
    }
    assert_eq!(said("1.5")["mistake"], serde_json::Value::Null);
}

#[test]
fn every_sentence_about_the_lawn_is_whole() {
    let (questions, _) = own_bank(GUN);
    for question in stock().iter().chain(&questions) {
        let posed = question.pose(1).unwrap_or_else(|fault| panic!("{}: {fault:?}", question.id));
        let problem = posed.problem();
        for mistake in mistakes::all() {
            let Some(si) = mistake.leads_to(&problem, &posed.unit) else { continue };
            let said = scored(question, &text_of(&typed(si, &posed.unit)));
            let html = said["html"].as_str().unwrap_or_else(|| panic!("{}: {said}", question.id));
            assert!(!html.contains(['{', '}']), "{} {}: {html}", question.id, mistake.id);
            let lawn = phrases().get(&format!("mistake.{}.lawn", mistake.id)).to_owned();
            let told = said["mistake"] != *mistake.id || html.contains("tk-feedback__lawn");
            let whole = !lawn.contains("{dose}") || mistake.dose(&problem, si, &posed.unit).is_some();
            assert_eq!(told, whole || said["mistake"] != *mistake.id, "{} {}", question.id, mistake.id);
        }
    }
}

fn text_of(answer: &Answer) -> String {
    match answer {
        Answer::Text(text) => text.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn ranges_that_never_keep_two_mistakes_apart_are_told_at_their_place() {
    let tank = r#"id: own
title: Own
questions:
  - id: tank
    kind: number
    asks: tank-mix/product-1-amount
    text: "{tank} at {application-rate} and {product.1.rate}"
    given:
      tank: one of 100, 200 gal
      application-rate: 1.01 to 1.02 by 0.01 gal/1000 ft2
      product: [{ rate: 1.5 fl oz/1000 ft2 }]
    answer-in: fl oz
"#;
    let (_, told) = own_bank(tank);
    assert!(told.contains("error[mistakes-inseparable]: no draw from these ranges keeps the right answer and the mistake `gallons-taken-for-thousands` 3 % apart"), "{told}");
    assert!(told.contains("--> questions/own.yaml:9:7"), "{told}");
    assert_eq!(own_bank(&tank.replace("1.01 to 1.02 by 0.01", "1.2 to 2 by 0.2")).1, "");
    // Numbers that the author fixed are the author's business.
    let fixed = tank.replace("one of 100, 200 gal", "100 gal").replace("1.01 to 1.02 by 0.01", "1.01");
    assert_eq!(own_bank(&fixed).1, "");
}

#[test]
fn what_is_given_beside_the_inputs_is_checked() {
    for (from, to, place) in [
        ("one of 100, 200 gal", "large", "questions/own.yaml:10:21"),
        ("tank: \"one of 100, 200 gal\"", "catch.1.time: 30 s", "questions/own.yaml:10:29"),
    ] {
        let (_, told) = own_bank(&GUN.replace("{tank}", "large").replace(from, to));
        assert!(told.contains("error[beside-unreadable]"), "{told}");
        assert!(told.contains(place), "{told}");
    }
    let (_, told) = own_bank(&GUN.replace("{tank}", "{tanc}"));
    assert!(told.contains("error[place-unknown]") && told.contains("catch.1.time, tank"), "{told}");
    let choice = GUN.replace("kind: number", "kind: one");
    let mut problems = Problems::new();
    Bank::read("own", Source::new("questions/own.yaml", choice.as_str()), &mut problems);
    assert!(problems.draw(Style::Plain).contains("`beside` belongs to a question for a number"));
}

#[test]
fn an_answer_that_two_mistakes_lead_to_is_not_guessed_at() {
    // Taking the catch for the ground is a factor of 60 s over the spraying time here, a quart for a gallon one of 4.
    let rate = |time: &str| {
        let text = GUN
            .replace("catch-test/nozzle-output", "application-rate/application-rate")
            .replace(
                "From a {tank} tank you catch {catch.1.volume} in {catch.1.time}. What does the gun put out?",
                "Rate?",
            )
            .replace(
                "catch: [{ volume: 96 fl oz, time: 30 s }]",
                &format!("timed: [{{ volume: 96 fl oz, catch-time: 60 s, area: 1000 ft2, area-time: {time} }}]"),
            )
            .replace("    beside: { tank: \"one of 100, 200 gal\" }\n", "")
            .replace("gal/min", "gal/1000 ft2");
        let (questions, told) = own_bank(&text);
        assert_eq!(told, "");
        scored(&questions[0], "0.75 gal/1000 ft2")["mistake"].clone()
    };
    assert_eq!(rate("30 s"), "catch-time-not-scaled");
    assert_eq!(rate("15.06 s"), serde_json::Value::Null);
}
