//! A question bank as the templates need it.

use super::assets::in_script;
use super::teaching::{About, Places, Teaching};
use crate::course::{ReadyBank, need_of};
use serde::Serialize;
use tankside_calc::doors::question as wire;
use tankside_calc::question::Question;
use tankside_calc::question::template::TemplateFault;
use tankside_calc::text::figures::exact;
use tankside_calc::text::json::{Value, map};
use tankside_calc::words::phrases::Phrases;

/// The seed of the questions on a printed page.
const PRINTED_SEED: u32 = 1;

#[derive(Serialize)]
pub(super) struct Item {
    posed: String,
    key: String,
}

/// A bank for `parts/quiz.html`.
#[derive(Serialize)]
pub(super) struct BankPart {
    id: String,
    pub(super) title: String,
    pub(super) ask: usize,
    pub(super) need: usize,
    pub(super) pass_text: String,
    /// The share to pass, 0 to 1.
    pass: f64,
    /// Whether a question has several parts, each with a point of its own.
    parts: bool,
    counts: bool,
    items: Vec<Item>,
    json: String,
}

impl BankPart {
    /// The sentence that says how many questions there are, and what is needed to pass.
    pub(super) fn rule_key(&self) -> &'static str {
        if self.parts { "site.quiz-rule-parts" } else { "site.quiz-rule" }
    }
}

/// `ask` and `pass` as a lesson sets them, or the bank's own; `counts` where feedback comes at the end; `also` are
/// other banks that questions are drawn from; `teaching` where the page that asks does not teach it itself.
pub(super) fn part(
    bank: &ReadyBank,
    ask: Option<usize>,
    pass: Option<f64>,
    counts: bool,
    also: &[(&ReadyBank, Option<usize>)],
    teaching: Option<&Teaching>,
    phrases: &Phrases,
) -> Result<BankPart, String> {
    let pass = pass.unwrap_or(bank.pass);
    let (mut items, mut banks, mut asked, mut points) = (Vec::new(), Vec::new(), 0, 0);
    let mut places = teaching.map(|teaching| Places::new(teaching, "../"));
    for (bank, ask) in [(bank, ask)].iter().chain(also) {
        let ask = ask.unwrap_or(bank.questions.len()).clamp(1, bank.questions.len().max(1));
        asked += ask;
        for question in bank.questions.iter().take(ask) {
            points += question.points();
            let told = |fault: TemplateFault| format!("question `{}`: {}", question.id, fault.id());
            let draw = question.draw_at(PRINTED_SEED);
            let posed = wire::pose(question, draw, phrases).map_err(told)?;
            items.push(Item { posed, key: wire::key(question, draw, phrases).map_err(told)? });
        }
        let mut members = vec![
            ("id", bank.id.as_str().into()),
            ("ask", Value::Number(ask as f64)),
            ("questions", Value::List(bank.questions.iter().map(Question::json).collect())),
        ];
        if let Some(places) = &mut places {
            let taught = bank.questions.iter().map(|question| places.number(bank, About::of(question)));
            members.push(("taught", Value::List(taught.collect())));
        }
        banks.push(map(members));
    }
    let every = [(bank, ask)].into_iter().chain(also.iter().copied()).flat_map(|(bank, _)| &bank.questions);
    let banks_have_parts = every.into_iter().any(|question| question.points() > 1);
    let mut members = vec![("banks", Value::List(banks))];
    members.extend(places.map(|places| ("lessons", places.list())));
    Ok(BankPart {
        id: bank.id.clone(),
        title: bank.title.clone(),
        ask: asked,
        need: need_of(points, pass),
        pass,
        parts: banks_have_parts,
        pass_text: phrases.number(format!("{} %", exact(pass * 100.0))),
        counts,
        items,
        json: in_script(&map(members).line()),
    })
}
