//! What can be worked and posed, but is probably not what its author meant.

use super::banks::ReadyBank;
use super::limits::{self, LimitWords};
use super::ranges;
use super::slips::input_names;
use crate::catalogue::is_stock;
use crate::load::Bank;
use crate::problem::{Problem, Problems, Source, code};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use tankside_calc::calculation::label::MAX;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::order::order;
use tankside_calc::question::ranges::value;
use tankside_calc::question::{Ask, Question};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{Arg, Caution, Outcome, Severity};

/// What an example shows about itself: that it raises a danger, or that an input is unusual.
pub(super) fn tell_example(
    source: &Source,
    place: impl Fn(&str) -> Range<usize>,
    worked: &Worked,
    phrases: &Phrases,
    problems: &mut Problems,
) {
    for caution in &worked.cautions {
        let danger = caution.severity == Severity::Danger;
        if caution.id == "caution.fluid-ounces" {
            let at = place(&about(worked, caution));
            let typed = source.text.get(at.clone()).unwrap_or_default();
            let help = match typed.split_once("oz") {
                Some((before, after)) if !typed.contains('\n') => format!("write `{before}fl oz{after}`"),
                _ => "say that they are fluid ounces, fl oz".to_owned(),
            };
            let title = "`oz` does not say which ounce, and a note beside the answer says so to every learner";
            problems.push(Problem::new(code::OUNCE_BARE, title.to_owned(), "").help(help).at(source, at));
            continue;
        }
        if !danger && !UNUSUAL.contains(&caution.id) {
            continue;
        }
        let said = say::caution(worked, caution, phrases);
        let said = said.trim_end_matches('.');
        let problem = if danger {
            Problem::new(code::EXAMPLE_DANGER, format!("this example raises a danger: {said}"), "")
                .help("change its inputs; if the danger is what you teach, say so in the text, and leave this warning")
        } else {
            Problem::new(code::EXAMPLE_UNUSUAL, format!("an input of this example is unusual: {said}"), "")
                .help("write a usual value; if it is meant, say why in the text, and leave this warning")
        };
        problems.push(problem.at(source, place(&about(worked, caution))));
    }
}

/// The second of two products of one mix that have the same name: its flat name, and the name.
pub(super) fn product_twice<'a>(given: impl Iterator<Item = (&'a str, &'a str)>) -> Option<(&'a str, &'a str)> {
    let mut seen = BTreeSet::new();
    let names = given.filter(|(flat, _)| flat.starts_with("product.") && flat.ends_with(".name"));
    // A name that is drawn from several is compared by nobody.
    let plain = names.map(|(flat, name)| (flat, name.trim())).filter(|(_, name)| !name.starts_with("one of "));
    plain.filter(|(_, name)| !name.is_empty()).find(|(_, name)| !seen.insert(name.to_lowercase()))
}

/// Says it of an example or a question.
pub(super) fn tell_product_twice(source: &Source, name: &str, place: Range<usize>, problems: &mut Problems) {
    let title = format!("two products of this mix are called `{name}`");
    let help = "give each its own name; if it is one product, leave one of the two out";
    problems.push(Problem::new(code::PRODUCT_TWICE, title, "").at(source, place).help(help));
}

/// Cautions about an unusual input; a short catch has its own.
const UNUSUAL: &[&str] = &["caution.implausible", "catch-test.short", SCATTER];
/// The caution that one catch is far from the others: perhaps a digit too much.
const SCATTER: &str = "catch-test.scatter";

/// The input that a caution is about, by its name or its value; nothing where it has neither.
fn about(worked: &Worked, caution: &Caution) -> String {
    if caution.id == SCATTER {
        let row = caution.args.iter().find_map(|(name, arg)| match arg {
            Arg::Text(row) if *name == "n" => Some(row.as_str()),
            _ => None,
        });
        return row.map(|row| format!("catch.{row}.volume")).unwrap_or_default();
    }
    let named = caution.args.iter().find_map(|(name, arg)| match arg {
        Arg::Phrase(flat) if *name == "input" => Some(flat.clone()),
        Arg::Quantity(si, _) if *name == "time" => {
            let same = |flat: &&str| worked.inputs.typed_at(flat).is_some_and(|typed| order(typed.si, *si).is_eq());
            worked.inputs.names().find(same).map(str::to_owned)
        }
        _ => None,
    });
    named.unwrap_or_default()
}

/// Why no draw of a question makes a sensible problem: the first input that is unusual, and what is usual for it.
pub(super) fn unusual(question: &Question) -> Option<(String, String)> {
    let template = question.template().ok()?;
    let posed = template.draw(0).ok()?;
    let caution = posed.worked.cautions.iter().find(|caution| UNUSUAL.contains(&caution.id))?;
    let said = say::caution(&posed.worked, caution, crate::catalogue::first_phrases());
    Some((about(&posed.worked, caution), said.trim_end_matches('.').to_owned()))
}

/// Problems that a question asks and that raise a danger when they are worked: how many of how many, the first
/// danger in words, and the input that holds the limit.
fn dangers(question: &Question) -> Option<(usize, usize, String, String)> {
    let template = question.template().ok()?;
    let (mut asked, mut raised, mut first) = (0, 0, None);
    for draw in question.offered.draws() {
        let Ok(posed) = template.draw(draw) else { continue };
        asked += 1;
        let Some(danger) = posed.worked.cautions.iter().find(|caution| caution.severity == Severity::Danger) else {
            continue;
        };
        raised += 1;
        first.get_or_insert_with(|| {
            let said = say::caution(&posed.worked, danger, crate::catalogue::first_phrases());
            let limit = question.given.iter().find(|(name, _)| name.rsplit('.').next() == Some(MAX.name()));
            let limit = limit.filter(|_| danger.id.ends_with("over-label-max"));
            (said.trim_end_matches('.').to_owned(), limit.map(|(name, _)| name.clone()).unwrap_or_default())
        });
    }
    let (said, limit) = first?;
    if looks_back(question) && raised < asked {
        return None;
    }
    Some((raised, asked, said, limit))
}

/// Whether a question is about what was put down: a learner is asked about it to find the days on which it was too much.
fn looks_back(question: &Question) -> bool {
    question.asks.split('/').next().and_then(calculator).is_some_and(|found| found.looks_back)
}

/// A rate that is above the maximum in the question's own words: what to say, and the maximum as it is written.
fn over_limit(question: &Question, words: &LimitWords) -> Option<(String, String)> {
    let texts = [&question.text].into_iter().chain(question.parts.iter().map(|part| &part.text));
    if looks_back(question) || !texts.into_iter().any(|text| limits::may_limit(text, words)) {
        return None;
    }
    let phrases = crate::catalogue::first_phrases();
    let template = question.template().ok()?;
    question.offered.draws().find_map(|draw| {
        let posed = template.draw(draw).ok()?;
        let parts = question.parts.iter().map(|part| part.text.as_str());
        let text = [question.text_for(&posed, phrases)].into_iter().chain(parts.map(str::to_owned)).collect::<Vec<_>>();
        let text = text.join("\n");
        let limits = limits::limits(&text, words);
        let (name, si, unit, limit) = limits::broken(&posed.worked, &limits)?;
        let limit = &text[limit.place.clone()];
        let rate = say::quantity(si, &unit, phrases);
        Some((format!("the text allows at most {limit}, and `{name}` is {rate}"), limit.to_owned()))
    })
}

/// Banks in which a question cannot be answered as it is worded, or is not what it seems.
pub(super) fn tell_banks(
    banks: &BTreeMap<String, Bank>,
    ready: &mut BTreeMap<String, ReadyBank>,
    phrases: &Phrases,
    problems: &mut Problems,
) {
    let words = LimitWords::of(phrases);
    for (name, bank) in banks {
        let Some(ready) = ready.get_mut(name) else { continue };
        if bank.stock {
            continue;
        }
        if is_stock("questions", &format!("{name}.yaml")) {
            let title = format!("this bank replaces the stock bank `{name}` wherever it is used");
            let place = bank.root.get("id").map_or(0..0, |id| id.span.clone());
            let help = format!("rename the file and its id, for example to `own-{name}`, unless that is meant");
            problems.push(Problem::new(code::BANK_REPLACES_STOCK, title, "").at(&bank.source, place).help(help));
        }
        for (index, question) in ready.questions.iter().enumerate() {
            if bank.unsound.contains(&index) {
                continue;
            }
            let found = tell_question(bank, index, question, &words);
            ready.broken |= found.has_errors();
            problems.extend(found);
        }
    }
}

fn tell_question(bank: &Bank, index: usize, question: &Question, words: &LimitWords) -> Problems {
    let mut problems = Problems::new();
    let node = bank.node(index);
    let text = node.and_then(|node| node.get("text")).map_or(0..0, |text| text.span.clone());
    let mut tell = |rule, title: String, place: Range<usize>, help: String| {
        problems.push(Problem::new(rule, title, "").at(&bank.source, place).help(help));
    };
    let part_text = |at: usize| Some(node?.get("parts")?.items().get(at)?.get("text")?.span.clone());
    let parts = question.parts.iter().enumerate();
    let parts = parts.map(|(at, part)| (&part.text, part_text(at).unwrap_or_else(|| text.clone())));
    for (words, place) in [(&question.text, text.clone())].into_iter().chain(parts) {
        let within = |part: &str| within(&bank.source.text, &place, part);
        if let Some(open) = unmatched(words) {
            let title = format!("a `{open}` in this text has no partner, so a learner would see it");
            let (at, help) = match open_place(words) {
                Some(name) if open == '{' => (format!("{{{name}"), format!("write `{{{name}}}`, or remove the brace")),
                _ => (open.to_string(), "write `{name}` around the name of an input, or remove the brace".to_owned()),
            };
            tell(code::PLACE_OPEN, title, within(&at), help);
            return problems;
        }
        if let Some(name) = words.split("{{").nth(1).and_then(|rest| rest.split('}').next()) {
            let title = format!("`{{{{{name}}}}}` is in double braces; a place is written in single ones");
            tell(code::PLACE_IN_DOUBLE_BRACES, title, within("{{"), format!("write `{{{name}}}`"));
            return problems;
        }
    }
    if question.kind != Ask::Number {
        return problems;
    }
    let given = bank.given(index).map(|given| given.flat()).unwrap_or_default();
    let whole = node.and_then(|node| node.get("given")).map_or(text.clone(), |given| given.span.clone());
    let input =
        |name: &str| given.iter().find(|(other, _)| other == name).map_or(whole.clone(), |(_, node)| node.span.clone());
    let pairs = question.given.iter().map(|(name, written)| (name.as_str(), written.as_str()));
    let twice = product_twice(pairs).map(|(flat, name)| (name, input(flat)));
    if let Some((raised, asked, said, limit)) = dangers(question) {
        let title = match (raised, asked) {
            (_, 1) => format!("this question raises a danger: {said}"),
            (raised, asked) if raised == asked => {
                format!("every problem that this question asks raises a danger: {said}")
            }
            _ => format!("{raised} of the {asked} problems that this question asks raise a danger: {said}"),
        };
        let help = "move the range or the limit, so that no right answer breaks a label or hurts somebody";
        tell(code::QUESTION_DANGER, title, input(&limit), help.to_owned());
    } else if let Some((said, limit)) = over_limit(question, words) {
        let help = "move the range or the limit; if the limit is the product's maximum in `given` too, every draw is checked against it";
        tell(code::QUESTION_DANGER, said, within(&bank.source.text, &text, &limit), help.to_owned());
    }
    // Ranges from which nothing sensible can be drawn are an error, and have been reported.
    if question.offered.parts().0 == 1
        && let Some((name, said)) = unusual(question)
    {
        let title = format!("an input of this question is unusual: {said}");
        tell(code::QUESTION_UNUSUAL, title, input(&name), "write a usual value, or a range of usual ones".to_owned());
    }
    // The text of an earlier part may give the number.
    let said = question.parts.iter().fold(question.text.clone(), |said, part| said + "\n" + &part.text);
    for (name, written) in &question.given {
        let place = given.iter().find(|(other, _)| other == name).map_or(text.clone(), |(_, node)| node.span.clone());
        if let Some((step, span, help)) = ranges::step_beyond(written) {
            let title =
                format!("the step of this range, {step}, is larger than the range, {span}, so one number is drawn");
            tell(code::RANGE_STEP, title, place.clone(), help);
        }
        let drawn = value(written).is_some_and(|value| value.count() > 1);
        let placed = said.contains(&format!("{{{name}}}"));
        // An input that does not exist, or a place that names none, has been reported as that.
        if placed || !exists(question, name) || misnames(question, &said) {
            continue;
        }
        if !drawn && let Some(number) = number_of(written) {
            let twin = question
                .given
                .iter()
                .any(|(other, text)| other != name && text == written && said.contains(&format!("{{{other}}}")));
            if !twin && !says(&said, number) && matters(question, name, written, number) {
                let title = format!("the text does not say that `{name}` is {written}");
                tell(
                    code::QUESTION_LACKS_FIXED,
                    title,
                    place,
                    format!("write `{{{name}}}` into the text, or `{written}`"),
                );
            }
        } else if drawn {
            let title =
                format!("the text does not give `{name}`, which is drawn fresh each time, so nobody can answer");
            tell(code::QUESTION_LACKS_INPUT, title, place, format!("write `{{{name}}}` into the text of the question"));
        }
    }
    if let Some((name, place)) = twice {
        tell_product_twice(&bank.source, name, place, &mut problems);
    }
    problems
}

/// The name after a brace that is never closed: `catch.1.volume` of `{catch.1.volume in {catch.1.time}`.
fn open_place(words: &str) -> Option<&str> {
    let open = words.split('{').skip(1).find(|rest| !rest.contains('}'))?;
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.');
    let name = open.split(|c: char| !letter(c)).next()?.trim_end_matches('.');
    (!name.is_empty()).then_some(name)
}

/// Whether the calculator of a question has the input.
fn exists(question: &Question, name: &str) -> bool {
    let found = question.asks.split_once('/').and_then(|(id, _)| calculator(id));
    let row =
        |part: &str| if part.bytes().all(|byte| byte.is_ascii_digit()) { "N".to_owned() } else { part.to_owned() };
    let flat = name.split('.').map(row).collect::<Vec<_>>().join(".");
    found.is_some_and(|found| input_names(found).contains(&flat))
}

/// Whether a place in the text, or in that of a part, names no input.
fn misnames(question: &Question, said: &str) -> bool {
    let mut places = said.split('{').skip(1).filter_map(|rest| rest.split_once('}')).map(|(name, _)| name);
    places.any(|place| question.given.iter().chain(&question.beside).all(|(name, _)| name != place))
}

/// Whether the answer moves with an input: a calculator takes more than one question needs.
fn matters(question: &Question, name: &str, written: &str, number: &str) -> bool {
    let Ok(posed) = question.draw(0) else { return false };
    let Ok(value) = number.replace(',', "").parse::<f64>() else { return true };
    let moved = written.replacen(number, &format!("{}", value * 1.25), 1);
    let mut given = posed.given.clone();
    for (other, text) in &mut given.0 {
        if other == name {
            text.clone_from(&moved);
        }
    }
    let Ok(worked) = work(posed.calculator, &given, posed.worked.system) else { return true };
    match worked.result(&posed.result).map(|found| &found.outcome) {
        Some(Outcome::Quantity(si, _)) => order(*si, posed.si).is_ne(),
        _ => true,
    }
}

/// The number that an amount begins with.
fn number_of(written: &str) -> Option<&str> {
    let written = written.trim();
    let end = written.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/'))).unwrap_or(written.len());
    written.starts_with(|c: char| c.is_ascii_digit()).then(|| written[..end].trim_end_matches(['.', ',', '/']))
}

/// Small numbers as a text may write them.
const IN_WORDS: &[&str] =
    &["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// Whether a text has the number, in digits or, where it is small, in a word.
fn says(text: &str, number: &str) -> bool {
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
    let in_digits = text
        .split(|c: char| !digits(c))
        .any(|part| part.trim_end_matches(['.', ',', '/']).replace(',', "") == number.replace(',', ""));
    let word = number.parse::<usize>().ok().and_then(|small| IN_WORDS.get(small.checked_sub(1)?));
    let lower = text.to_lowercase();
    in_digits || word.is_some_and(|word| lower.split(|c: char| !c.is_alphabetic()).any(|part| part == *word))
}

/// A brace without its counterpart.
fn unmatched(text: &str) -> Option<char> {
    let mut depth = 0_i32;
    for letter in text.chars() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => return Some('}'),
            '}' => depth -= 1,
            _ => {}
        }
    }
    (depth > 0).then_some('{')
}

/// The place of a part within a place of the file; the whole place where it is not found as it is.
pub(super) fn within(text: &str, place: &Range<usize>, part: &str) -> Range<usize> {
    match text.get(place.clone()).and_then(|written| written.rfind(part)) {
        Some(at) => place.start + at..place.start + at + part.len(),
        None => place.clone(),
    }
}

/// The course's own banks that no lesson uses.
pub(super) fn tell_unplaced(unplaced: &[&Bank], problems: &mut Problems) {
    for bank in unplaced {
        let id = &bank.file.id;
        let place = bank.root.get("id").map_or(0..0, |id| id.span.clone());
        let title = format!("no lesson asks the bank `{id}`, so it gets its own page");
        let help = format!("write a block `questions {id}` into a lesson, unless that is meant");
        problems.push(Problem::new(code::BANK_UNPLACED, title, "").at(&bank.source, place).help(help));
    }
}
