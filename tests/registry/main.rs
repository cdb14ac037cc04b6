//! Tests over every calculator in the registry: what a declaration promises, held as a whole.

mod declared;

use std::collections::BTreeSet;
use tankside_calc::calculation::declare::{Calculator, FormItem, Holds, Input};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::page::drawing;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::units::Dim;
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::{Phrases, places};
use tankside_calc::words::say;
use tankside_calc::working::line;
use tankside_calc::working::record::{Expr, Outcome, System};

fn phrases() -> Phrases {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/phrases/en");
    let mut pairs: Vec<(String, String)> = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the phrase folder") {
        let path = entry.expect("a file").path();
        let text = std::fs::read_to_string(&path).expect("a readable catalogue");
        let map: std::collections::BTreeMap<String, String> =
            serde_yaml::from_str(&text).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
        for (key, text) in map {
            assert!(pairs.iter().all(|(other, _)| *other != key), "{key} is there twice");
            pairs.push((key, text));
        }
    }
    Phrases::from_pairs(pairs)
}

fn inputs(calculator: &'static Calculator) -> Vec<(String, &'static Input)> {
    let mut all = Vec::new();
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => all.push((input.name.to_owned(), input)),
            FormItem::Many(group) => {
                all.extend(group.fields.iter().map(|field| (format!("{}.{}", group.name, field.name), field)));
            }
        }
    }
    all
}

fn examples() -> Vec<(&'static Calculator, System, Worked)> {
    let mut all = Vec::new();
    for calculator in CALCULATORS {
        for (system, pairs) in [(System::Us, calculator.example), (System::Metric, calculator.example_metric)] {
            let given = RawInputs::from_pairs(pairs);
            let worked = work(calculator, &given, system)
                .unwrap_or_else(|faults| panic!("{} {}: {faults:?}", calculator.id, system.id()));
            all.push((*calculator, system, worked));
        }
    }
    all
}

#[test]
fn ids_are_unique_and_kebab_case() {
    let mut seen = BTreeSet::new();
    for calculator in CALCULATORS {
        assert!(seen.insert(calculator.id));
        let names = calculator.results.iter().map(|spec| spec.name.to_owned());
        for name in names.chain(inputs(calculator).into_iter().map(|(name, _)| name)) {
            let plain = name.replace("-N-", "-").replace("-N", "").replace("-M", "");
            assert!(
                plain
                    .chars()
                    .all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || "-.".contains(letter)),
                "{name}"
            );
        }
        assert!(!calculator.sources.is_empty(), "{} has no source", calculator.id);
    }
}

#[test]
fn every_quantity_has_limits_units_in_both_systems_and_a_hard_range_around_the_plausible_one() {
    for calculator in CALCULATORS {
        for (name, input) in inputs(calculator) {
            let Holds::Quantity(kind) = input.holds else { continue };
            for unit in [input.units.us, input.units.metric] {
                if kind == Kind::Number {
                    continue;
                }
                assert!(kind.takes(&unit), "{} {name}", calculator.id);
            }
            if !kind.members().is_empty() {
                continue; // of several kinds at once; the label's own maximum is its limit
            }
            let bounds = input.bounds.unwrap_or_else(|| panic!("{} {name} has no limits", calculator.id));
            assert!(kind.takes(&bounds.unit), "{} {name}", calculator.id);
            assert!(
                bounds.hard.0 <= bounds.plausible.0 && bounds.plausible.1 <= bounds.hard.1,
                "{} {name}",
                calculator.id
            );
        }
        for spec in calculator.results {
            if spec.kind == Kind::Number {
                continue;
            }
            for unit in [spec.units.us, spec.units.metric] {
                assert!(spec.kind.takes(&unit), "{} {}", calculator.id, spec.name);
            }
        }
    }
}

#[test]
fn every_name_message_and_caption_has_its_phrase() {
    let phrases = phrases();
    let mut missing = BTreeSet::new();
    let mut need = |key: String| {
        if phrases.find(&key).is_none() {
            missing.insert(key);
        }
    };
    for calculator in CALCULATORS {
        let id = calculator.id;
        for key in ["title", "summary", "drawing"] {
            need(format!("{id}.{key}"));
        }
        for (name, input) in inputs(calculator) {
            need(format!("{id}.input.{name}"));
            if let Holds::Choice(words) = input.holds {
                words.iter().for_each(|word| need(format!("{id}.word.{word}")));
            }
        }
        for item in calculator.inputs {
            if let FormItem::Many(group) = item {
                ["group", "add", "drop"].iter().for_each(|what| need(format!("{id}.{what}.{}", group.name)));
            }
        }
        calculator.results.iter().for_each(|spec| need(format!("{id}.result.{}", spec.name)));
    }
    // Message ids are literals in the sources; each must have its phrase.
    let sources = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("calc-wasm/src");
    let literal = |text: &str| -> Vec<String> {
        text.split('"')
            .skip(1)
            .step_by(2)
            .filter(|piece| {
                let named = |word: &str| piece.strip_prefix(word).is_some_and(|rest| rest.starts_with('.'));
                named("uncertainty") || named("caution") || CALCULATORS.iter().any(|calculator| named(calculator.id))
            })
            .filter(|piece| !piece.contains('{'))
            .map(ToOwned::to_owned)
            .collect()
    };
    for entry in walkdir::WalkDir::new(sources) {
        let entry = entry.expect("a readable folder");
        if entry.path().extension().is_some_and(|ending| ending == "rs") {
            let text = std::fs::read_to_string(entry.path()).expect("a readable file");
            let code: String =
                text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
            literal(&code).into_iter().for_each(&mut need);
        }
    }
    assert!(missing.is_empty(), "no phrase for:\n{}", Vec::from_iter(missing).join("\n"));
}

#[test]
fn the_working_shown_comes_to_the_value_recorded() {
    for (calculator, system, worked) in examples() {
        for step in &worked.steps {
            assert_eq!(step.expr.value().to_bits(), step.si.to_bits(), "{} {}", calculator.id, step.id);
            let line = line::numbers(step);
            let shown = line::evaluate(&line);
            let value = step.si / step.unit.size();
            let close = (shown - value).abs() <= 1e-9 * value.abs().max(1e-12);
            assert!(
                close,
                "{} {} {}: {} comes to {shown}, not {value}",
                calculator.id,
                system.id(),
                step.id,
                line::signs(&line)
            );
        }
    }
}

/// What an expression measures, from the units of its leaves.
fn dimension(expr: &Expr) -> Dim {
    match expr {
        Expr::Leaf { unit, .. } => unit.dim(),
        Expr::Mul(a, b) => dimension(a).plus(dimension(b), 1),
        Expr::Div(a, b) => dimension(a).plus(dimension(b), -1),
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Least(a, b) => {
            assert_eq!(dimension(a), dimension(b));
            dimension(a)
        }
        Expr::Root(a) => {
            let square = dimension(a);
            let half = |exponent: i8| exponent / 2;
            Dim {
                length: half(square.length),
                time: half(square.time),
                mass: half(square.mass),
                volume: half(square.volume),
                pressure: half(square.pressure),
            }
        }
        Expr::Ceil(a) | Expr::Floor(a) => dimension(a),
    }
}

#[test]
fn every_step_measures_what_its_unit_measures() {
    for (calculator, _, worked) in examples() {
        for step in &worked.steps {
            assert_eq!(dimension(&step.expr), step.unit.dim(), "{} {}", calculator.id, step.id);
        }
    }
}

#[test]
fn every_result_of_an_example_is_declared_and_finite() {
    for (calculator, _, worked) in examples() {
        assert!(!worked.results.is_empty());
        for found in &worked.results {
            assert!(calculator.result(&found.name()).is_some(), "{} {}", calculator.id, found.name());
            if let Outcome::Quantity(si, unit) = &found.outcome {
                assert!(si.is_finite());
                assert!(!unit.is_none() || found.spec.kind == Kind::Number);
            }
        }
    }
}

#[test]
fn no_sentence_is_left_with_an_open_place() {
    let phrases = phrases();
    for (calculator, system, worked) in examples() {
        let mut said: Vec<String> = Vec::new();
        said.extend(worked.steps.iter().map(|step| say::step_title(&worked, step, &phrases)));
        said.extend(worked.steps.iter().map(|step| say::formula(&worked, step, &phrases)));
        said.extend(worked.results.iter().map(|found| say::result_name(&worked, found, &phrases)));
        said.extend(worked.cautions.iter().map(|caution| say::caution(&worked, caution, &phrases)));
        said.push(drawing::figure(&(calculator.draw)(&worked, system), "x", "x", &phrases));
        for text in said {
            assert!(places(&text).is_empty(), "{}: {text}", calculator.id);
        }
    }
}

#[test]
fn no_phrase_leaves_the_reader_to_choose_between_one_and_several() {
    for (key, text) in phrases().iter() {
        for plural in ["(s)", "(es)", "(ies)"] {
            assert!(!text.contains(plural), "{key}: {text}");
        }
    }
}

#[test]
fn switching_units_gives_round_numbers_of_about_the_same_size() {
    for calculator in CALCULATORS {
        for (pairs, system) in [(calculator.example, System::Us), (calculator.example_metric, System::Metric)] {
            let there = system.pick(System::Metric, System::Us);
            let given = RawInputs::from_pairs(pairs);
            let other = switched(calculator, &given, there);
            let before = work(calculator, &given, system).expect("the example works");
            let after = work(calculator, &other, there)
                .unwrap_or_else(|faults| panic!("{}: {faults:?} {other:?}", calculator.id));
            // A default is the same amount in either system; only what was entered is written anew.
            let entered = |name: &str| given.0.iter().any(|(own, _)| own == name);
            for (name, typed) in before.inputs.quantities().filter(|(name, _)| entered(name)) {
                let now = after.inputs.typed_at(name).expect("the same inputs");
                let at = format!(
                    "{} {name}: {} {}, then {} {}",
                    calculator.id,
                    typed.value(),
                    typed.unit.plain(),
                    now.value(),
                    now.unit.plain()
                );
                // Half a step of 0.05 at 1.0; zero stays zero.
                assert!((now.si - typed.si).abs() <= 0.026 * typed.si.abs(), "{at}");
                let figures = tankside_calc::text::figures::exact(now.value()).replace([',', '.'], "");
                let changed = now.unit != typed.unit;
                assert!(!changed || figures.trim_matches('0').len() <= 3, "{at}");
            }
        }
    }
}

fn switched_one(id: &str, name: &str, text: &str, system: System) -> String {
    let calculator = calculator(id).expect("a calculator");
    switched(calculator, &RawInputs::from_pairs(&[(name, text)]), system).0.remove(0).1
}

#[test]
fn a_switch_of_units_gives_what_somebody_would_set() {
    let mut wrong = Vec::new();
    for (id, name, us, metric) in [
        ("tank-mix", "tank", "200 gal", "760 L"),
        ("tank-mix", "tank", "50 gal", "190 L"),
        ("tank-mix", "application-rate", "2 gal/1000 ft2", "8.1 L/100 m2"),
        ("tank-mix", "product.1.rate", "1.5 fl oz/1000 ft2", "48 mL/100 m2"),
        ("tank-mix", "product.1.rate", "0.25 %", "0.25 %"),
        ("tank-mix", "left", "0 gal", "0 L"),
        ("catch-test", "catch.1.volume", "126 fl oz", "3.73 L"),
        ("catch-test", "catch.1.volume", "1 gal", "3.79 L"),
        ("catch-test", "catch.1.time", "30 s", "30 s"),
        ("catch-test", "read-to.catch.volume", "1 fl oz", "0.03 L"),
        ("swath-timing", "pass.1.length", "100 ft", "30.5 m"),
        ("swath-timing", "pass.1.spacing", "5 ft", "1.5 m"),
        ("usage-check", "area", "8000 ft2", "740 m2"),
        ("usage-check", "tank-before", "140 gal", "530 L"),
        ("pressure-flow", "pressure", "40 psi", "2.8 bar"),
    ] {
        wrong.extend(
            Some(switched_one(id, name, us, System::Metric))
                .filter(|have| have != metric)
                .map(|have| format!("{id} {name} {us}: {have}, not {metric}")),
        );
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(switched_one("catch-test", "catch.1.volume", "5.5 L", System::Us), "186 fl oz");
    assert_eq!(switched_one("tank-mix", "tank", "800 L", System::Us), "210 gal");
}

#[test]
fn a_round_number_is_never_beyond_what_can_be() {
    assert_eq!(switched_one("tank-mix", "tank", "10000 gal", System::Metric), "38000 L");
    assert_eq!(switched_one("tank-mix", "tank", "nonsense", System::Metric), "nonsense");
}
