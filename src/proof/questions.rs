//! Question banks: ranges that hold one number, limits that pass or fail everybody, questions asked twice.

use super::Marks;
use crate::course::{Course, ReadyBank};
use crate::load::Bank;
use crate::problem::code;
use std::collections::BTreeMap;
use std::ops::Range;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::ranges::{RangeSpec, value};
use tankside_calc::question::{Ask, Question};

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

/// A bank that is read.
pub(super) struct Reading<'a> {
    pub(super) bank: &'a Bank,
    ready: &'a ReadyBank,
}

impl Reading<'_> {
    /// The place of a key of a question, or of its id.
    pub(super) fn place(&self, index: usize, key: &str) -> Range<usize> {
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

fn ends(numbers: &[f64]) -> (f64, f64) {
    numbers.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), number| (low.min(*number), high.max(*number)))
}
