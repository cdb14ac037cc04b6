//! Options of a question: those that give the right one away, explain nothing, or are hard to tell apart.

use super::Marks;
use super::questions::Reading;
use crate::problem::code;
use std::ops::Range;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::{Ask, Question};

/// Letters by which a right option must be longer than every other one to be seen at once; it is half as long again, too.
const STANDS_OUT: usize = 15;

/// Share by which two amounts must differ to be told apart: what is allowed for rounding, on both sides.
const CLOSE: f64 = 0.04;
/// How many of the options before it one is compared with; nobody reads more, and all would cost the square of them.
const COMPARED: usize = 24;

impl Reading<'_> {
    /// A question of choices: its options one by one, with each other, and as a whole.
    pub(super) fn choices(&self, index: usize, question: &Question, marks: &mut Marks) {
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
            self.alike(question, at, place, marks);
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

    /// An option that is hard to tell from one before it.
    fn alike(&self, question: &Question, at: usize, place: impl Fn(usize) -> Range<usize>, marks: &mut Marks) {
        let (source, option) = (&self.bank.source, &question.options[at]);
        for other in question.options[..at].iter().rev().take(COMPARED) {
            if option.text.trim() == other.text.trim() {
                // An error of its own.
                continue;
            }
            let (a, b) = (option.text.to_lowercase(), other.text.to_lowercase());
            let alike = strsim::normalized_damerau_levenshtein(&a, &b);
            let numbers = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
            if let Some((own, others)) = too_close(&option.text, &other.text).filter(|_| !(option.right && other.right))
            {
                let title = format!("this option, {own}, is hard to tell from {others}");
                let help = "make the options differ by more than rounding: a tenth or more".to_owned();
                marks.at(code::OPTIONS_ALIKE, source, place(at), title, help);
            } else if a.len() > 8 && alike > 0.9 && strsim::osa_distance(&a, &b) <= 2 && numbers(&a) == numbers(&b) {
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
