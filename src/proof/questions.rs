//! Question banks: options that give themselves away, ranges that hold one number, limits that pass or fail everybody.

use super::Marks;
use crate::course::{Course, ReadyBank};
use crate::load::Bank;
use crate::problem::code;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::mistakes::{Mistake, all, nearest};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::ranges::{RangeSpec, value};
use tankside_calc::question::template::Posed;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::figures::plain_digits;

/// Letters by which a right option must be longer than every other one to be seen at once; it is half as long again, too.
const STANDS_OUT: usize = 15;

/// Share by which two amounts must differ to be told apart: what is allowed for rounding, on both sides.
const CLOSE: f64 = 0.04;
/// How many of the options before it one is compared with; nobody reads more, and all would cost the square of them.
const COMPARED: usize = 24;
/// How many problems of a question are looked at for mistakes that no number shows.
const LOOKED_AT: usize = 30;

pub(super) fn read(course: &Course, marks: &mut Marks) {
    for (name, bank) in course.bank_files.iter() {
        let Some(ready) =
            course.banks.get(name).filter(|_| !crate::embedded::is_text(&bank.source.name, &bank.source.text))
        else {
            continue;
        };
        let bank = Reading { bank, ready };
        bank.whole(marks);
        for (index, question) in
            ready.questions.iter().enumerate().filter(|(index, _)| !bank.bank.unsound.contains(index))
        {
            match question.kind {
                Ask::Number => bank.number(index, question, marks),
                _ => bank.choices(index, question, marks),
            }
        }
    }
}

struct Reading<'a> {
    bank: &'a Bank,
    ready: &'a ReadyBank,
}

impl Reading<'_> {
    fn place(&self, index: usize, key: &str) -> Range<usize> {
        let node = self.bank.node(index);
        node.and_then(|node| node.get(key).or(node.get("id"))).map_or(0..0, |node| node.span.clone())
    }

    fn whole(&self, marks: &mut Marks) {
        let (source, root) = (&self.bank.source, &self.bank.root);
        if !(0.6..1.0).contains(&self.ready.pass) {
            let place = root.get("pass").map_or(0..0, |pass| pass.span.clone());
            let title = format!("{:.0} % of the answers must be right to pass", self.ready.pass * 100.0);
            marks.at(
                code::PASS_UNUSUAL,
                source,
                place,
                title,
                "write `pass: 80 %`, or what your certification asks for".to_owned(),
            );
        }
        let mut texts: BTreeMap<String, usize> = BTreeMap::new();
        let mut longest = Vec::new();
        for (index, question) in self.ready.questions.iter().enumerate() {
            if let Some(first) = texts.insert(question.text.trim().to_lowercase(), index) {
                let first = &self.bank.file.questions[first].id;
                let title = format!("the question `{first}` has the same words");
                marks.at(
                    code::QUESTION_TWICE,
                    source,
                    self.place(index, "text"),
                    title,
                    "change one, or remove it".to_owned(),
                );
            }
            if question.kind == Ask::One {
                let length = |right: bool| {
                    question.options.iter().filter(|one| one.right == right).map(|one| one.text.chars().count()).max()
                };
                longest.push((length(true).unwrap_or(0), length(false).unwrap_or(0)));
            }
        }
        // Four in a row is no accident: one in 81 with three options each. Fewer will do where each is much longer.
        let always = longest.iter().all(|(right, wrong)| right > wrong);
        let by_far = longest.iter().all(|(right, wrong)| right * 4 >= wrong * 5);
        if always && (longest.len() >= 4 || longest.len() >= 2 && by_far) {
            let place = root.get("id").map_or(0..0, |id| id.span.clone());
            let title =
                format!("in all {} questions with one right option, the right one is the longest", longest.len());
            marks.at(
                code::RIGHT_ALWAYS_LONGEST,
                source,
                place,
                title,
                "write the wrong options as carefully as the right ones".to_owned(),
            );
        }
    }

    fn choices(&self, index: usize, question: &Question, marks: &mut Marks) {
        let source = &self.bank.source;
        let options = self.bank.node(index).and_then(|node| node.get("options"));
        let place = |at: usize| {
            let text = options.and_then(|options| options.items().get(at)?.get("text"));
            text.map_or_else(|| self.place(index, "options"), |text| text.span.clone())
        };
        for (at, option) in question.options.iter().enumerate() {
            let words = option.text.trim().trim_end_matches('.').to_lowercase();
            if ["all of the above", "none of the above", "all of these", "none of these", "both of the above"]
                .contains(&words.as_str())
            {
                let title = format!("options come in any order, so “{}” does not say which", option.text.trim());
                marks.at(
                    code::OPTION_CATCH_ALL,
                    source,
                    place(at),
                    title,
                    "take it out; if more than one is right, mark each of them, and the kind of the question is then several".to_owned(),
                );
            }
            if question.kind != Ask::Order && !option.right && option.because.trim().is_empty() {
                let title = "this wrong option does not say why it is wrong".to_owned();
                marks.at(code::OPTION_UNEXPLAINED, source, place(at), title, "add `because: …`".to_owned());
            }
            for other in question.options[..at].iter().rev().take(COMPARED) {
                if option.text.trim() == other.text.trim() {
                    // An error of its own.
                    continue;
                }
                let (a, b) = (option.text.to_lowercase(), other.text.to_lowercase());
                let alike = strsim::normalized_damerau_levenshtein(&a, &b);
                let numbers = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
                if let Some((own, others)) =
                    too_close(&option.text, &other.text).filter(|_| !(option.right && other.right))
                {
                    let title = format!("this option, {own}, is hard to tell from {others}");
                    let help = "make the options differ by more than rounding: a tenth or more".to_owned();
                    marks.at(code::OPTIONS_ALIKE, source, place(at), title, help);
                } else if a.len() > 8 && alike > 0.9 && strsim::osa_distance(&a, &b) <= 2 && numbers(&a) == numbers(&b)
                {
                    let title = format!("this option differs from “{}” in a letter or two", other.text.trim());
                    marks.at(
                        code::OPTIONS_ALIKE,
                        source,
                        place(at),
                        title,
                        "make the options differ in what they say".to_owned(),
                    );
                }
            }
        }
        if question.kind == Ask::One {
            self.stands_out(question, place, marks);
        }
        let all = question.options.len();
        if all == 2 && question.kind == Ask::One {
            let title = "this question has two options, so half of those who guess are right".to_owned();
            marks.at(
                code::OPTIONS_ONLY_TWO,
                source,
                self.place(index, "options"),
                title,
                "add a third option".to_owned(),
            );
        }
        if question.kind == Ask::Several && question.options.iter().all(|option| option.right) {
            let title = "every option of this question is right".to_owned();
            marks.at(
                code::SEVERAL_ALL_RIGHT,
                source,
                self.place(index, "options"),
                title,
                "add an option that is wrong".to_owned(),
            );
        }
        if question.text.contains(" not ")
            && question.text.trim_end().ends_with('?')
            && ["Which", "What"].iter().any(|word| question.text.starts_with(word))
        {
            let title = "this question asks for what is not true".to_owned();
            marks.at(
                code::QUESTION_NEGATIVE,
                source,
                self.place(index, "text"),
                title,
                "ask for what is true, or write `NOT`".to_owned(),
            );
        }
    }

    /// A right option that is so much longer than the others that nobody needs to read them.
    fn stands_out(&self, question: &Question, place: impl Fn(usize) -> Range<usize>, marks: &mut Marks) {
        let letters = |at: usize| question.options[at].text.trim().chars().count();
        let of = |right: bool| {
            let such = (0..question.options.len()).filter(move |at| question.options[*at].right == right);
            such.max_by_key(|at| letters(*at))
        };
        let (Some(right), Some(wrong)) = (of(true), of(false)) else { return };
        let (long, short) = (letters(right), letters(wrong));
        if long * 2 < short * 3 || long < short + STANDS_OUT {
            return;
        }
        let title =
            format!("the right option has {long} letters and the longest wrong one {short}, which gives it away");
        let help = "say it in fewer words, and put the reason into `because`".to_owned();
        marks.at(code::RIGHT_STANDS_OUT, &self.bank.source, place(right), title, help);
    }

    /// Mistakes that give the right answer itself in every problem, and, where the numbers are fixed, those too near to it
    /// or to each other.
    fn colliding(&self, index: usize, question: &Question, marks: &mut Marks) {
        let place = || self.place(index, "given");
        let mut unseen: Option<BTreeSet<&'static str>> = None;
        let mut clash = None;
        let each = question.each();
        let mut shown = BTreeSet::new();
        for (draw, question) in
            question.offered.draws().take(LOOKED_AT).flat_map(|draw| each.iter().map(move |one| (draw, one)))
        {
            let Ok(posed) = question.draw(draw) else { return };
            let near = nearest(&posed.right_working(), &posed.unit, &[]);
            if question.offered.parts().0 == 1 {
                clash = clash.or(near.clash);
            }
            let mut found: BTreeSet<&str> = near.unseen.into_iter().collect();
            if unseen.is_none() && !found.is_empty() {
                shown = (1..=3).flat_map(|turn| made_at_others(question, &posed.given, turn)).collect();
            }
            // A mistake is hidden only if it is hidden in every draw: one draw without any is enough.
            if unseen.as_ref().is_none_or(|unseen| !unseen.is_empty()) {
                let hidden = hidden(question, &posed);
                shown.extend(&hidden);
                found.extend(hidden);
            }
            unseen = Some(match unseen {
                None => found,
                Some(before) => before.intersection(&found).copied().collect(),
            });
        }
        if let Some((first, second)) = clash {
            let first = first.map_or_else(|| "the right answer".to_owned(), |id| format!("the mistake `{id}`"));
            let title = format!("with these numbers the mistake `{second}` cannot be told from {first}");
            let help = "change a number, so that a wrong answer shows which mistake was made".to_owned();
            marks.at(code::MISTAKES_COLLIDE, &self.bank.source, place(), title, help);
        } else if let Some(id) = unseen.unwrap_or_default().intersection(&shown).next() {
            let title = format!(
                "with these numbers the mistake `{id}` gives the right answer, so anyone who makes it is marked right"
            );
            let help = "change a number, or widen a range".to_owned();
            marks.at(code::MISTAKES_COLLIDE, &self.bank.source, place(), title, help);
        }
    }

    fn number(&self, index: usize, question: &Question, marks: &mut Marks) {
        let source = &self.bank.source;
        if let Ok(tolerance) = typed::read(&question.tolerance, Kind::Share, None) {
            let help = "write `tolerance: 2 %`, or leave the line out".to_owned();
            if tolerance.si > 0.05 {
                let title = format!("an answer may be {} off here", question.tolerance.trim());
                marks.at(code::TOLERANCE_WIDE, source, self.place(index, "tolerance"), title, help);
            } else if tolerance.si < 0.005 {
                let title =
                    format!("an answer may be only {} off here, less than the trade rounds", question.tolerance.trim());
                marks.at(code::TOLERANCE_NARROW, source, self.place(index, "tolerance"), title, help);
            }
        }
        self.colliding(index, question, marks);
        let judged = question.offered.parts().0;
        let offered: Vec<u32> = question.offered.draws().collect();
        if judged == 0 || offered.is_empty() {
            return;
        }
        if offered.len() * 2 < judged as usize {
            let title = format!("of {judged} draws from these ranges, {} make a sensible problem", offered.len());
            let help = "narrow the ranges to what is usual".to_owned();
            marks.at(code::RANGE_MOSTLY_UNUSED, source, self.place(index, "given"), title, help);
        }
        let Ok(template) = question.template() else { return };
        let given = self.bank.given(index).map(|given| given.flat()).unwrap_or_default();
        for (name, written) in &question.given {
            let Some(RangeSpec::OneOf(numbers, unit)) = value(written).filter(|value| value.count() > 4) else {
                continue;
            };
            let drawn: Vec<f64> = offered
                .iter()
                .filter_map(|draw| {
                    let (inputs, _) = template.numbers(*draw);
                    inputs.text(name)?.split_whitespace().next()?.parse().ok()
                })
                .collect();
            let (low, high) = ends(&numbers);
            let (least, most) = ends(&drawn);
            if drawn.len() < 8 || high <= low || most - least > 0.5 * (high - low) {
                continue;
            }
            let place = given
                .iter()
                .find(|(other, _)| other == name)
                .map_or_else(|| self.place(index, "given"), |(_, node)| node.span.clone());
            let title = format!("of this range only {least} to {most} {unit} can be drawn from");
            marks.at(
                code::RANGE_ONE_SIDED,
                source,
                place,
                title,
                "move the range to where every draw can be posed".to_owned(),
            );
        }
    }
}

/// The mistakes that show when the numbers of a problem are moved a little: a mistake that has no room in this question
/// never shows, whatever the numbers.
fn made_at_others(question: &Question, given: &RawInputs, turn: usize) -> Vec<&'static str> {
    let Some(posed) = moved(question, given, |index| 0.13 * (1 + (index + turn) % 4) as f64) else { return Vec::new() };
    nearest(&posed.right_working(), &posed.unit, &[]).made
}

/// The mistakes that make no difference because of one number: a catch of 60 s is called the output of a minute. With
/// that number a millionth larger, the mistake is made, and leads to the right answer but for that millionth.
fn hidden(question: &Question, posed: &Posed) -> BTreeSet<&'static str> {
    const MOVED: f64 = 1e-6;
    let right = posed.right_working();
    let silent = |mistake: &&Mistake| mistake.leads_to(&right, &posed.unit).is_none();
    let mut found = BTreeSet::new();
    for at in 0..posed.given.0.len() {
        let other = moved(question, &posed.given, |index| if index == at { MOVED } else { 0.0 });
        let Some(other) = other else { continue };
        let right = other.right_working();
        let meets = |mistake: &&Mistake| {
            let led = mistake.leads_to(&right, &other.unit);
            led.is_some_and(|si| (si - right.si).abs() <= 100.0 * MOVED * right.si.abs())
        };
        found.extend(all().filter(meets).filter(silent).map(|mistake| mistake.id));
    }
    found
}

/// The problem with each number larger by a share.
fn moved(question: &Question, given: &RawInputs, by: impl Fn(usize) -> f64) -> Option<Posed> {
    let mut moved = question.clone();
    moved.parts.clear();
    moved.given = given.0.clone();
    for (index, (_, text)) in moved.given.iter_mut().enumerate() {
        let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
        if let Ok(number) = text[..end].parse::<f64>() {
            *text = format!("{}{}", plain_digits(number * (1.0 + by(index))), &text[end..]);
        }
    }
    moved.draw(0).ok()
}

/// Two options that are amounts of the same kind, nearer to each other than [`CLOSE`].
fn too_close(one: &str, other: &str) -> Option<(String, String)> {
    let amount = |text: &str| {
        let text = text.trim().trim_end_matches('.');
        let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))?;
        let value: f64 = text[..end].replace(',', "").parse().ok()?;
        let unit = Unit::parse(text[end..].trim())?;
        Some((value * unit.size(), unit.dim(), text.to_owned()))
    };
    let ((a, dim, own), (b, of, others)) = (amount(one)?, amount(other)?);
    let close = own != others && (a - b).abs() <= CLOSE * a.abs().min(b.abs());
    (dim == of && close).then_some((own, others))
}

fn ends(numbers: &[f64]) -> (f64, f64) {
    numbers.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), number| (low.min(*number), high.max(*number)))
}
