//! Questions of several parts: results of the same problem that are asked one after another.
//!
//! A part worked correctly from an earlier wrong figure earns its point: the recording is worked again with the
//! learner's own figures in place of those steps ([`Rounding::Figures`]), and the answer is compared with that.

use super::Question;
use super::score::{Answer, COARSE, FIGURES, Note, Query, Verdict, dose, notes, number, read, rounds_to};
use super::template::{Posed, TemplateFault};
use crate::calculation::worked::Worked;
use crate::mistakes::Recognised;
use crate::working::record::{Expr, FIGURES_AT_MOST, Origin, Rounding, again};
use crate::working::toward::rests_on;

/// The most parts of one question, the last included.
pub const MOST: usize = FIGURES_AT_MOST + 1;
/// Between the answers to the parts of one question, as a record keeps them.
pub const BETWEEN: &str = "; ";

/// An earlier result of a question's calculator that is asked on the way to the last one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuestionPart {
    /// What is asked; `{input.name}` stands for that input.
    pub text: String,
    /// `calculator/result`, of the calculator that the question itself asks.
    pub asks: String,
    /// The unit in which the answer is usually said.
    pub answer_in: String,
}

impl Question {
    /// Its parts in order as questions of their own, the last of them what the question itself asks.
    pub fn each(&self) -> Vec<Question> {
        let whole = Question { parts: Vec::new(), ..self.clone() };
        let earlier = self.parts.iter().map(|part| Question {
            text: part.text.clone(),
            asks: part.asks.clone(),
            answer_in: part.answer_in.clone(),
            ..whole.clone()
        });
        earlier.chain([whole.clone()]).collect()
    }

    /// Points that it is worth: one a part.
    pub fn points(&self) -> usize {
        self.parts.len() + 1
    }

    /// The results, as `calculator/result`, that can be asked on the way to its own at a draw.
    pub fn on_the_way(&self, draw: u32) -> Vec<String> {
        let Ok(posed) = self.draw(draw) else { return Vec::new() };
        let Some(last) = posed.worked.result(&posed.result).and_then(|last| last.expr.as_ref()) else {
            return Vec::new();
        };
        let own = step_of(&posed.worked, &posed.result);
        let names = posed.worked.results.iter().map(|found| found.name());
        let leads = names.filter(|name| {
            let step = step_of(&posed.worked, name);
            step != own && step.is_some_and(|step| rests_on(last, &posed.worked.steps, step))
        });
        leads.map(|name| format!("{}/{name}", posed.calculator.id)).collect()
    }

    /// Its parts with the numbers of a draw.
    ///
    /// # Errors
    /// What is wrong with a template, or that these numbers cannot be worked.
    pub fn draw_parts(&self, draw: u32) -> Result<Vec<Posed>, TemplateFault> {
        self.each().iter().map(|part| part.draw(draw)).collect()
    }
}

/// What is wrong with a part of `question` at these numbers: it is worked by another calculator, or what the question
/// asks in the end does not rest on it.
pub(super) fn fault(question: &Question, draw: u32) -> Option<TemplateFault> {
    let at = |part: usize, fault| Some(TemplateFault::Part(part, Box::new(fault)));
    let calculator = |asks: &str| asks.split_once('/').map_or("", |(id, _)| id).to_owned();
    if question.points() > MOST {
        return at(MOST - 1, TemplateFault::TooManyParts);
    }
    for (index, part) in question.parts.iter().enumerate() {
        if calculator(&part.asks) != calculator(&question.asks) {
            return at(index, TemplateFault::PartElsewhere(calculator(&part.asks)));
        }
    }
    let leads = question.on_the_way(draw);
    for (index, part) in question.parts.iter().enumerate() {
        let fault = match question.each()[index].draw(draw) {
            Ok(_) if leads.contains(&part.asks) => continue,
            Ok(own) => TemplateFault::NotOnTheWay(own.result),
            Err(fault) => fault,
        };
        return at(index, fault);
    }
    None
}

/// The step that gives a result.
fn step_of(worked: &Worked, result: &str) -> Option<usize> {
    match worked.result(result)?.expr.as_deref()? {
        Expr::Leaf { origin: Origin::Step(index), .. } => Some(*index),
        _ => None,
    }
}

/// The answers to `count` parts in one text, each trimmed; what is missing was left blank.
pub fn pieces(text: &str, count: usize) -> Vec<String> {
    let mut pieces: Vec<String> = text.splitn(count, ';').map(|piece| piece.trim().to_owned()).collect();
    pieces.resize(count, String::new());
    pieces
}

/// A part worked correctly from an earlier wrong figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carried {
    /// The part whose figure it was worked from, and that figure as it was typed.
    pub from: (usize, String),
    /// The part in which the slip is.
    pub slip: usize,
}

/// The verdict on the answer to one part.
#[derive(Debug)]
pub struct PartVerdict {
    /// Against the right value.
    pub verdict: Verdict,
    /// Where it is wrong, but worked correctly from an earlier figure.
    pub carried: Option<Carried>,
    /// What to say beside the verdict.
    pub notes: Vec<Note>,
    /// Product on the lawn as a share of what was meant, where it is wrong and this number decides it; what was carried
    /// over is no slip of its own.
    pub dose: Option<f64>,
}

impl PartVerdict {
    /// Whether it earns its point.
    pub fn earns(&self) -> bool {
        self.verdict.is_right() || self.carried.is_some()
    }

    /// The mistake that it shows; what was carried over is no mistake of its own.
    fn mistake(&self) -> Option<&Recognised> {
        match &self.verdict {
            Verdict::Wrong(Some(recognised)) if self.carried.is_none() => Some(recognised),
            _ => None,
        }
    }
}

/// The verdicts on all parts of a question.
#[derive(Debug)]
pub struct Marks {
    /// Part by part.
    pub parts: Vec<PartVerdict>,
}

impl Marks {
    /// What has to be asked before it can be marked, and about which part. A part that was left blank is asked about
    /// only where all were.
    pub fn ask(&self) -> Option<(usize, &Query)> {
        let blank = self.parts.iter().all(|part| matches!(part.verdict, Verdict::Ask(Query::Empty)));
        let mut asks = self.parts.iter().enumerate().filter_map(|(index, part)| match &part.verdict {
            Verdict::Ask(query) if part.carried.is_none() => Some((index, query)),
            _ => None,
        });
        asks.find(|(_, query)| blank || **query != Query::Empty)
    }

    /// Whether every part is right by itself.
    pub fn right(&self) -> bool {
        self.parts.iter().all(|part| part.verdict.is_right())
    }

    /// Whether a part is wrong without telling how much product it would put down.
    pub fn untold(&self) -> bool {
        let untold = |part: &PartVerdict| part.carried.is_none() && part.dose.is_none();
        self.parts.iter().any(|part| matches!(part.verdict, Verdict::Wrong(_)) && untold(part))
    }

    /// Points earned.
    pub fn earned(&self) -> usize {
        self.parts.iter().filter(|part| part.earns()).count()
    }

    /// The first mistake that shows.
    pub fn mistake(&self) -> Option<&Recognised> {
        self.parts.iter().find_map(PartVerdict::mistake)
    }

    /// Product on the lawn as a share of what was meant, the most that a wrong answer to any part comes to.
    pub fn dose(&self) -> Option<f64> {
        let doses = self.parts.iter().filter_map(|part| part.dose);
        doses.fold(None, |most, dose| Some(most.map_or(dose, |most: f64| most.max(dose))))
    }
}

/// Judges the answers to the parts of a question, `posed` part by part.
pub fn judge(posed: &[Posed], text: &str) -> Marks {
    let answers = pieces(text, posed.len());
    let mut parts: Vec<PartVerdict> = Vec::with_capacity(posed.len());
    for (index, (own, typed)) in posed.iter().zip(&answers).enumerate() {
        let answer = Answer::Text(typed.clone());
        let verdict = number(own, &answer);
        let may = matches!(verdict, Verdict::Wrong(_) | Verdict::Ask(Query::Figure(_)));
        let carried = if may { carried(&posed[..=index], &answers, &parts) } else { None };
        let dose = if carried.is_none() { dose(own, &answer, &verdict) } else { None };
        parts.push(PartVerdict { verdict, carried, notes: notes(own, &answer), dose });
    }
    Marks { parts }
}

/// Whether the answer to the last of these parts is worked correctly from the wrong figures of those before it.
fn carried(posed: &[Posed], answers: &[String], before: &[PartVerdict]) -> Option<Carried> {
    let (own, earlier) = posed.split_last()?;
    let reply = read(own, &answers[earlier.len()])?;
    let mut figures = [None; FIGURES_AT_MOST];
    let mut from = None;
    for (index, part) in earlier.iter().enumerate() {
        if before[index].verdict.is_right() {
            continue;
        }
        let Some(figure) = read(part, &answers[index]).filter(|figure| figure.si.is_finite() && figure.si != 0.0)
        else {
            continue;
        };
        let Some(step) = step_of(&own.worked, &part.result) else { continue };
        let result = own.worked.result(&own.result)?.expr.as_ref()?;
        if rests_on(result, &own.worked.steps, step) {
            *figures.get_mut(index)? = Some((step, figure.si));
            from = Some(index);
        }
    }
    let from = from?;
    let result = own.worked.result(&own.result)?.expr.as_ref()?;
    let si = again(&own.worked.steps, result, Rounding::Figures(figures));
    let unit = if reply.unit.dim() == own.unit.dim() { reply.unit } else { own.unit };
    let rounded = || [FIGURES, COARSE].iter().any(|figures| rounds_to(reply.si, si, &unit, *figures));
    if !(own.close_to(reply.si, si) || rounded()) {
        return None;
    }
    let slip = before[from].carried.as_ref().map_or(from, |carried| carried.slip);
    Some(Carried { from: (from, answers[from].clone()), slip })
}
