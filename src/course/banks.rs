//! Question banks: from the author's file to questions that the core can pose and mark.

use super::examples::{calculator_help, flat, input_problem, key_of, place_of};
use super::offered::judged_before;
use super::ranges;
use super::slips::{results_called, without_knock_ons};
use super::stock_bank::{Questions, stock_bank};
use super::unusable;
use crate::load::{self, AnswerKind, Bank, Topic as Named};
use crate::notation::{curved, percent_meant};
use crate::parallel::{for_each, in_parallel, threads};
use crate::problem::{Problem, Problems, code, nearest};
use crate::yaml::Node;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use tankside_calc::calculation::inputs::{InputFault, RawInputs};
use tankside_calc::calculators::registry::calculator;
use tankside_calc::mistakes::APART;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::offered::{JUDGED, Offered};
use tankside_calc::question::parts::{MOST, QuestionPart};
use tankside_calc::question::template::TemplateFault;
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Choice, Question};
use tankside_calc::working::record::System;

/// Units of each system that are offered for an answer.
const UNITS_OFFERED: usize = 3;

/// A bank whose questions were checked.
#[derive(Debug)]
pub struct ReadyBank {
    /// Its name.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Share of right answers to pass.
    pub pass: f64,
    /// Its questions.
    pub questions: Questions,
    /// The digest of each.
    pub digests: Vec<String>,
    /// Whether each is metric throughout; found when somebody first asks.
    pub metric: OnceLock<Vec<bool>>,
    /// Whether it has a question that cannot be posed; that has been reported at its place.
    pub broken: bool,
}

/// Checks every bank but the stock's own, and judges which draws of their questions may be asked.
pub fn ready_banks(banks: &BTreeMap<String, Bank>, problems: &mut Problems) -> BTreeMap<String, ReadyBank> {
    let (mut ready, mut own) = (BTreeMap::new(), BTreeMap::new());
    for (name, bank) in banks {
        match stock_bank(name, bank) {
            Some(stock) => drop(ready.insert(name.clone(), stock)),
            None => drop(own.insert(name, bank)),
        }
    }
    ready.extend(own_banks(&own, problems));
    ready
}

fn own_banks(banks: &BTreeMap<&String, &Bank>, problems: &mut Problems) -> BTreeMap<String, ReadyBank> {
    let mut asked: BTreeMap<&String, (Vec<Question>, Vec<String>)> = BTreeMap::new();
    for (name, bank) in banks {
        let questions: Vec<Question> = (0..bank.file.questions.len()).map(|index| question(bank, index).0).collect();
        let digests = questions.iter().map(Question::digest).collect();
        asked.insert(name, (questions, digests));
    }
    let judged = judged(&asked);
    let mut ready = BTreeMap::new();
    for (name, (mut questions, digests)) in asked {
        let bank = banks[name];
        let (id, title, pass) = (name.clone(), curved(bank.file.title.clone()), pass_share(bank, problems));
        let sound = |index: &usize| !bank.unsound.contains(index);
        for (index, asked) in questions.iter_mut().enumerate().filter(|(index, _)| sound(index)) {
            if let Some(Ok(offered)) = is_judged(asked).then(|| &judged[&digests[index]]) {
                asked.offered = offered.clone();
            }
        }
        let (questions, metric) = (questions.into(), OnceLock::new());
        ready.insert(name.clone(), ReadyBank { id, title, pass, questions, digests, metric, broken: false });
    }
    let faults = faults(&ready, banks, &judged);
    for (name, index, fault) in faults {
        let (Some(bank), source) = (ready.get_mut(&name), banks[&name]) else { continue };
        let (_, places) = question(source, index);
        tell(source, index, &bank.questions[index], &places, fault, problems);
        bank.broken = true;
    }
    for (name, bank) in &mut ready {
        bank.broken |= !banks[name].unsound.is_empty();
        bank.broken |= bank.questions.iter().any(|asked| asked.kind == Ask::Number && asked.asks.is_empty());
    }
    ready
}

/// What is wrong with questions that were judged, each by its bank and place in it.
fn faults(
    ready: &BTreeMap<String, ReadyBank>,
    banks: &BTreeMap<&String, &Bank>,
    judged: &Judged,
) -> Vec<(String, usize, TemplateFault)> {
    let all = ready.iter().flat_map(|(name, bank)| (0..bank.questions.len()).map(move |index| (name, bank, index)));
    // One that asks for nothing, or is unsound in another way, was reported when the file was read.
    let sound = |(name, bank, index): &(&String, &ReadyBank, usize)| {
        let read = &banks[*name];
        !read.stock && is_judged(&bank.questions[*index]) && !read.unsound.contains(index)
    };
    let all: Vec<_> = all.filter(sound).collect();
    for_each(&all, threads(), |(name, bank, index)| {
        let asked = &bank.questions[*index];
        let fault = match &judged[&bank.digests[*index]] {
            Ok(_) => asked.fault_in_text(),
            Err(fault) => Some(fault.clone()),
        };
        fault.map(|fault| ((*name).clone(), *index, fault))
    })
}

fn is_judged(question: &Question) -> bool {
    question.kind == Ask::Number && !question.asks.is_empty()
}

/// The draws offered of each template, or why there are none.
type Judged = BTreeMap<String, Result<Offered, TemplateFault>>;

/// Judges each template once, by its digest, in however many banks it is.
fn judged(banks: &BTreeMap<&String, (Vec<Question>, Vec<String>)>) -> Judged {
    let all = banks.values().flat_map(|(questions, digests)| digests.iter().zip(questions));
    let each: BTreeMap<&String, &Question> = all.filter(|(_, question)| is_judged(question)).collect();
    let each: Vec<(&String, &Question)> = each.into_iter().collect();
    let judged = in_parallel(&each, threads(), |(digest, question)| {
        judged_before(digest).map_or_else(|| question.judged(JUDGED), Ok)
    });
    each.into_iter().map(|(digest, _)| digest.clone()).zip(judged).collect()
}

fn pass_share(bank: &Bank, problems: &mut Problems) -> f64 {
    let Some(text) = &bank.file.pass else { return 0.8 };
    match read_pass(text) {
        Some(share) => share,
        None => {
            let span = bank.root.get("pass").map_or(0..0, |node| node.span.clone());
            let title = "a percentage above 0 and up to 100 % is expected here";
            problems.push(
                Problem::new(code::PASS_NOT_A_SHARE, title, "")
                    .at(&bank.source, span)
                    .help(format!("write `pass: {}`", percent_meant(text, "80 %"))),
            );
            0.8
        }
    }
}

/// The share in `80 %`.
pub(crate) fn read_pass(text: &str) -> Option<f64> {
    let share = typed::read(text, Kind::Share, None).ok()?.si;
    (0.0 < share && share <= 1.0).then_some(share)
}

/// How many of `asked` must be right to pass.
pub fn need_of(asked: usize, pass: f64) -> usize {
    // A thousandth of a question of slack: 80 % of 10 is 8, not 9.
    ((asked as f64 * pass - 1e-3).ceil() as usize).clamp(1, asked.max(1))
}

/// A question as the core takes it, and the places of its inputs in the file.
fn question(bank: &Bank, index: usize) -> (Question, Vec<(String, &Node)>) {
    let written = &bank.file.questions[index];
    let kind = match written.kind {
        AnswerKind::Number => Ask::Number,
        AnswerKind::One => Ask::One,
        AnswerKind::Several => Ask::Several,
        AnswerKind::Order => Ask::Order,
    };
    let asks = written.asks.clone().unwrap_or_default();
    let known = asks.split_once('/').and_then(|(id, _)| calculator(id));
    let (given, places) = match known {
        Some(calculator) => flat(calculator, bank.given(index)),
        None => (RawInputs::default(), Vec::new()),
    };
    let beside = bank.beside(index).map_or_else(Vec::new, Node::flat);
    let beside = beside.into_iter().map(|(name, node)| (name, node.text().unwrap_or_default().to_owned()));
    let options = written.options.iter().map(|option| Choice {
        // As typed: it decides the question's digest, by which records know it.
        text: option.text.clone(),
        right: option.right,
        because: curved(option.because.clone().unwrap_or_default()),
    });
    let question = Question {
        id: format!("{}-{}", bank.file.id, written.id),
        kind,
        topic: written.topic.map(topic),
        text: curved(written.text.trim().to_owned()),
        asks,
        given: given.0,
        beside: beside.collect(),
        answer_in: written.answer_in.clone().unwrap_or_default(),
        tolerance: written.tolerance.clone().unwrap_or_default(),
        because: curved(written.because.clone().unwrap_or_default()),
        parts: written.parts.iter().map(part).collect(),
        options: options.collect(),
        draw_version: written.draw_version.unwrap_or(1),
        offered: Offered::default(),
    };
    (question, places)
}

fn part(written: &load::QuestionPart) -> QuestionPart {
    QuestionPart {
        text: curved(written.text.trim().to_owned()),
        asks: written.asks.clone(),
        answer_in: written.answer_in.clone().unwrap_or_default(),
    }
}

fn topic(named: Named) -> Topic {
    match named {
        Named::Units => Topic::Units,
        Named::Area => Topic::Area,
        Named::Timing => Topic::Timing,
        Named::Output => Topic::Output,
        Named::Rate => Topic::Rate,
        Named::Tank => Topic::Tank,
        Named::Adjust => Topic::Adjust,
        Named::Active => Topic::Active,
        Named::Carrier => Topic::Carrier,
        Named::Label => Topic::Label,
    }
}

/// The results that a question can ask on the way to its own.
fn on_the_way(bank: &Bank, index: usize) -> String {
    let (whole, _) = question(bank, index);
    let draw = whole.each().last().and_then(|last| last.judged(1).ok()?.nth(0)).unwrap_or(0);
    let names = whole.on_the_way(draw);
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    if names.is_empty() {
        return "remove the parts: this answer is worked in one step".to_owned();
    }
    format!("ask for one of {}", names.join(", "))
}

/// The units that an answer may be requested in: the usual ones of what the result measures with these inputs.
fn unit_help(question: &Question) -> Option<String> {
    let posed = Question { answer_in: String::new(), ..question.clone() }.draw(0).ok()?;
    if posed.unit.is_none() {
        return Some("leave `answer-in` out: this result is a bare number".to_owned());
    }
    let (us, metric) = Kind::of(&posed.unit).map_or((&[][..], &[][..]), Kind::offered);
    let mut units = vec![posed.unit];
    for unit in us.iter().take(UNITS_OFFERED).chain(metric.iter().take(UNITS_OFFERED)) {
        if !units.contains(unit) {
            units.push(*unit);
        }
    }
    let names: Vec<String> = units.iter().map(|unit| format!("`{}`", unit.plain())).collect();
    Some(format!("write one of {}, or another unit of that kind", names.join(", ")))
}

fn tell(
    bank: &Bank,
    index: usize,
    question: &Question,
    places: &[(String, &Node)],
    fault: TemplateFault,
    problems: &mut Problems,
) {
    let node = bank.node(index);
    if let TemplateFault::Part(part, fault) = fault {
        let each = question.each();
        let node = node.and_then(|node| node.get("parts")).and_then(|parts| parts.items().get(part));
        return report_fault(bank, index, &each[part.min(each.len() - 1)], node, places, *fault, problems);
    }
    report_fault(bank, index, question, node, places, fault, problems);
}

/// `node` is the question, or the part of it that is at fault.
fn report_fault(
    bank: &Bank,
    index: usize,
    question: &Question,
    node: Option<&Node>,
    places: &[(String, &Node)],
    fault: TemplateFault,
    problems: &mut Problems,
) {
    let at = |key: &str| node.and_then(|node| node.get(key).or(node.get("id"))).map_or(0..0, |node| node.span.clone());
    let beside = bank.beside(index).map_or_else(Vec::new, Node::flat);
    let input = |name: &str| {
        let beside = beside.iter().find(|(beside, _)| beside == name).map(|(_, node)| node.span.clone());
        beside.or_else(|| place_of(name, places, bank.given(index))).unwrap_or_else(|| at("given"))
    };
    let mut push = |problem: Problem, span| problems.push(problem.at(&bank.source, span));
    let error = |rule, title: String| Problem::new(rule, title, "");
    match fault {
        TemplateFault::UnknownCalculator(id) => {
            // `catch-test.nozzle-output`: another sign between the two.
            let both = id.split_once(['.', ':', '_', ' ', '>']).and_then(|(first, name)| {
                let name = name.trim_start_matches(['.', ':', '_', ' ', '>']);
                let one = calculator(first.trim())?;
                one.results.iter().any(|spec| spec.name == name).then(|| format!("{}/{name}", one.id))
            });
            if let Some(meant) = both {
                let title = format!("a calculator and its result have a `/` between them, and this is `{id}`");
                return push(error(code::CALCULATOR_UNKNOWN, title).help(format!("write `{meant}`")), at("asks"));
            }
            let (title, help) = match (results_called(&id).as_slice(), question.asks.contains('/')) {
                ([], _) | (_, true) => (format!("there is no calculator called `{id}`"), calculator_help(&id)),
                (results, false) => {
                    let title = "a question asks for a calculator and its result, and this is only a result";
                    let results: Vec<String> = results.iter().map(|name| format!("`{name}`")).collect();
                    (title.to_owned(), format!("write {}", results.join(" or ")))
                }
            };
            push(error(code::CALCULATOR_UNKNOWN, title).help(help), at("asks"));
        }
        TemplateFault::UnknownResult(name) => {
            let known = question.asks.split_once('/').and_then(|(id, _)| calculator(id));
            let names: Vec<&str> =
                known.map_or_else(Vec::new, |one| one.results.iter().map(|spec| spec.name).collect());
            let help = match (known, nearest(&name, names.iter().copied().filter(|other| *other != name))) {
                (Some(calculator), Some(near)) => format!("write `{}/{near}`", calculator.id),
                _ => format!("its results: {} (N and M stand for row numbers)", names.join(", ")),
            };
            push(
                error(code::RESULT_UNKNOWN, format!("these inputs give no result called `{name}`")).help(help),
                at("asks"),
            );
        }
        TemplateFault::NotANumber(name) => {
            let problem = error(code::RESULT_NOT_A_NUMBER, format!("`{name}` is a verdict in words, not a number"));
            push(
                problem.help("ask for a different result, or write `kind: one` with the verdicts as options"),
                at("asks"),
            );
        }
        TemplateFault::Range(name) => {
            let written = question.given.iter().chain(&question.beside).find(|(other, _)| *other == name);
            let advice = ranges::advice(written.map_or("", |(_, text)| text));
            push(error(code::RANGE_UNREADABLE, advice.title).help(advice.help), input(&name));
        }
        TemplateFault::AnswerUnit => {
            let title = format!("`{}` does not measure what the question asks for", question.answer_in);
            let mut problem = error(code::UNIT_WRONG_KIND, title);
            problem.help = unit_help(question);
            push(problem, at("answer-in"));
        }
        TemplateFault::Tolerance => {
            let title = format!("a percentage above 0 is expected, and this is `{}`", question.tolerance);
            let help = format!("write `tolerance: {}`", percent_meant(&question.tolerance, "2 %"));
            push(error(code::TOLERANCE_NOT_A_SHARE, title).help(help), at("tolerance"));
        }
        TemplateFault::Beside(name) => {
            let title = format!("`{name}` is an input of the calculator, or not one amount with a unit");
            let help = "give inputs under `given`; under `beside`, write `one of 10, 12 s` or one amount";
            push(error(code::BESIDE_UNREADABLE, title).help(help), input(&name));
        }
        TemplateFault::UnknownPlace(name) => {
            let problem = error(code::PLACE_UNKNOWN, format!("`{{{name}}}` names no input that is given"));
            let inputs = question.given.iter().chain(&question.beside);
            let names: Vec<&str> = inputs.map(|(name, _)| name.as_str()).collect();
            let help = match nearest(&name, names.iter().copied()) {
                Some(near) => format!("write `{{{near}}}`"),
                None => format!("the inputs are: {}", names.join(", ")),
            };
            let text = at("text");
            let place = format!("{{{name}}}");
            push(problem.help(help), super::silent::within(&bank.source.text, &text, &place));
        }
        TemplateFault::Part(..) => {}
        TemplateFault::TooManyParts => {
            let title = format!("a question has at most {MOST} parts, and this is one too many");
            let help = "ask it as a separate question";
            push(error(code::PART_NOT_ON_THE_WAY, title).help(help), at("asks"));
        }
        TemplateFault::PartElsewhere(other) => {
            let own = bank.file.questions[index].asks.as_deref().unwrap_or_default();
            let own = own.split_once('/').map_or(own, |(id, _)| id);
            let title = format!("this part is worked by `{other}`, and the question by `{own}`");
            push(error(code::PART_NOT_ON_THE_WAY, title).help(on_the_way(bank, index)), at("asks"));
        }
        TemplateFault::NotOnTheWay(name) => {
            let title = format!("`{name}` is not used to work out the last answer, so it cannot be a part");
            push(error(code::PART_NOT_ON_THE_WAY, title).help(on_the_way(bank, index)), at("asks"));
        }
        TemplateFault::NoUsableNumbers => {
            let (name, title) = unusable::reason(question);
            let place = if name.is_empty() { at("given") } else { input(&name) };
            push(error(code::RANGE_IMPLAUSIBLE, title).help("write a range of usual values"), place);
        }
        TemplateFault::Inseparable((first, second)) => {
            let first = first.map_or_else(|| "the right answer".to_owned(), |id| format!("the mistake `{id}`"));
            let title = format!(
                "no draw from these ranges keeps {first} and the mistake `{second}` {} % apart",
                tankside_calc::text::figures::exact(APART * 100.0)
            );
            let help = "widen or move a range, so that a wrong answer shows which mistake was made";
            push(error(code::MISTAKES_INSEPARABLE, title).help(help), at("given"));
        }
        TemplateFault::Inputs(faults) => {
            let known = question.asks.split_once('/').and_then(|(id, _)| calculator(id));
            let Some(calculator) = known else { return };
            for fault in without_knock_ons(calculator, faults) {
                let typed = question.given.iter().find(|(name, _)| *name == fault.about).map_or("", |(_, text)| text);
                let mut problem = input_problem(calculator, &fault, typed, System::Us);
                if let (InputFault::Misread(..), Some((_, text))) =
                    (&fault.fault, question.given.iter().find(|(name, _)| *name == fault.about))
                    && let Some(range) = ranges::meant(text)
                {
                    // What is written well is refused for its unit, which is in the title.
                    let well = range.contains(&format!("`{}`", text.trim()));
                    if !well {
                        problem.title = format!("`{text}` is not an amount; a range is written with `to` and `by`");
                        problem.help = Some(range);
                    }
                }
                let place = input(&fault.about);
                let key = key_of(calculator, &fault, bank.given(index), &place);
                push(problem, key.unwrap_or(place));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::embedded::CONTENT;
    use crate::problem::Source;

    #[test]
    fn nothing_is_wrong_with_the_stocks_own_banks_which_are_not_checked_again() {
        let (mut problems, mut changed) = (Problems::new(), BTreeMap::new());
        for file in CONTENT.get_dir("questions/en").expect("the stock has banks").files() {
            let (name, text) = (file.path().to_str().expect("plain"), file.contents_utf8().expect("UTF-8"));
            let stem = file.path().file_stem().and_then(|stem| stem.to_str()).expect("plain");
            let bank = |text: &str, problems: &mut Problems| Bank::read(stem, Source::new(name, text), problems);
            let stock = bank(text, &mut problems).expect("it can be read");
            assert!(stock.stock, "{name}");
            // A changed bank is checked whole.
            let checked = bank(&format!("{text}\n"), &mut problems).expect("it can be read");
            assert!(stock.root == checked.root && stock.file.id == stem, "what is read later is the same: {name}");
            assert!(!checked.stock && checked.unsound.is_empty() && !checked.cut, "{name}");
            changed.insert(stem.to_owned(), checked);
        }
        assert!(changed.len() > 20);
        let ready = ready_banks(&changed, &mut problems);
        assert!(ready.values().all(|bank| !bank.broken));
        assert_eq!(problems.iter().map(|problem| &problem.title).collect::<Vec<_>>(), [""; 0]);
    }
}
