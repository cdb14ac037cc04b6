//! Questions and their feedback as HTML.

use crate::mistakes::{Mistake, Recognised, is_percent_off};
use crate::page::worked;
use crate::quantity::kind::Kind;
use crate::quantity::typed::unit_text;
use crate::quantity::unit::{Unit, unit};
use crate::question::score::{Note, Query, Verdict};
use crate::question::template::Posed;
use crate::question::{Ask, Question};
use crate::text::escape::{html, quantities};
use crate::text::figures::shown;
use crate::text::texts::replaced;
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::System;

/// Steps shown to a learner whose slip is not known.
const FIRST_STEPS: usize = 2;

/// A question ready to be answered.
pub fn posed(question: &Question, posed: Option<&Posed>, draw: u32, phrases: &Phrases) -> String {
    let id = html(&question.id);
    let kind = question.kind.id();
    let text = match posed {
        Some(posed) => quantities(&question.text_for(posed, phrases)),
        None => quantities(&question.text),
    };
    let body = match question.kind {
        Ask::Number => number(&id, &text, posed, phrases),
        Ask::One | Ask::Several => choices(question, &id, &text, draw, phrases),
        Ask::Order => order(question, &id, &text, draw, phrases),
    };
    format!(
        "<div class=\"tk-question tk-question--{kind}\" data-part=\"question\" data-question=\"{id}\" data-kind=\"{kind}\" data-draw=\"{draw}\">\n{body}\
         <p class=\"tk-question__ask\" id=\"q-{id}-ask\" data-role=\"ask\"></p>\n<div class=\"tk-question__feedback\" data-role=\"feedback\"></div>\n</div>\n"
    )
}

pub(super) fn number(id: &str, text: &str, posed: Option<&Posed>, phrases: &Phrases) -> String {
    format!(
        "<p class=\"tk-question__text\" id=\"q-{id}-text\">{text}</p>\n<div class=\"tk-question__answer\"><label class=\"tk-question__label\" for=\"q-{id}\">{}</label> \
         <input class=\"tk-question__entry\" id=\"q-{id}\" name=\"{id}\" type=\"text\" autocapitalize=\"off\" autocomplete=\"off\" spellcheck=\"false\" aria-describedby=\"q-{id}-text q-{id}-ask\">{}</div>\n",
        html(phrases.get("score.answer-label")),
        posed.map_or_else(String::new, |posed| units(posed, phrases))
    )
}

/// A list of the units that an answer may be given in, for fingers; none is chosen, so that it does not tell which.
pub(super) fn units(posed: &Posed, phrases: &Phrases) -> String {
    let Some(kind) = Kind::of(&posed.unit).filter(|_| !posed.unit.is_none()) else { return String::new() };
    let (us, metric) = kind.offered();
    // Where percent is asked for, a percentage is the answer: nobody is off by 11 fl oz/100 gal.
    let offered = if posed.unit == unit!("%") { &[] } else { posed.worked.system.pick(us, metric) };
    let own = (!offered.contains(&posed.unit)).then_some(posed.unit);
    let label = html(phrases.get("score.unit"));
    let mut out =
        format!("<select class=\"tk-question__unit\" aria-label=\"{label}\"><option value=\"\">{label}</option>");
    for unit in offered.iter().copied().chain(own) {
        out.push_str(&format!("<option value=\"{}\">{}</option>", html(&unit_text(&unit, kind)), html(&unit.shown())));
    }
    out.push_str("</select>");
    out
}

fn choices(question: &Question, id: &str, text: &str, draw: u32, phrases: &Phrases) -> String {
    let (mark, label) = match question.kind {
        Ask::One => ("radio", "score.one-label"),
        _ => ("checkbox", "score.several-label"),
    };
    let mut out = opening(id, text, phrases.get(label));
    for index in question.dealt(draw) {
        out.push_str(&format!(
            "<label class=\"tk-choice\"><input class=\"tk-choice__mark\" type=\"{mark}\" name=\"{id}\" value=\"{index}\"> <span class=\"tk-choice__text\">{}</span></label>\n",
            quantities(&question.options[index].text)
        ));
    }
    out.push_str("</fieldset>\n");
    out
}

/// A number question with choices instead of a field, or with the field if it has no choices.
pub fn posed_with_choices(
    question: &Question,
    posed: &Posed,
    choices: &[String],
    draw: u32,
    phrases: &Phrases,
) -> String {
    if choices.is_empty() {
        return self::posed(question, Some(posed), draw, phrases);
    }
    let id = html(&question.id);
    let mut body = opening(&id, &quantities(&question.text_for(posed, phrases)), phrases.get("score.one-label"));
    for (index, text) in choices.iter().enumerate() {
        let text = &phrases.number(text.clone());
        body.push_str(&format!(
            "<label class=\"tk-choice\"><input class=\"tk-choice__mark\" type=\"radio\" name=\"{id}\" value=\"{index}\" data-answer=\"{}\"> <span class=\"tk-choice__text\">{}</span></label>\n",
            html(text),
            quantities(text)
        ));
    }
    format!(
        "<div class=\"tk-question tk-question--one\" data-part=\"question\" data-question=\"{id}\" data-kind=\"number\" data-draw=\"{draw}\">\n{body}</fieldset>\n\
         <p class=\"tk-question__ask\" id=\"q-{id}-ask\" data-role=\"ask\"></p>\n</div>\n"
    )
}

fn opening(id: &str, text: &str, label: &str) -> String {
    format!(
        "<fieldset class=\"tk-question__answer\" aria-describedby=\"q-{id}-ask\"><legend class=\"tk-question__text\" id=\"q-{id}-text\">{text}</legend>\n<p class=\"tk-question__label\">{}</p>\n",
        html(label)
    )
}

fn order(question: &Question, id: &str, text: &str, draw: u32, phrases: &Phrases) -> String {
    let mut out = opening(id, text, phrases.get("score.order-label"));
    out.push_str("<ol class=\"tk-order\">\n");
    for index in question.dealt(draw) {
        let item = &question.options[index].text;
        let label = |key: &str| html(&phrases.fill(key, |place| (place == "item").then(|| item.clone())));
        out.push_str(&format!(
            "<li class=\"tk-order__item\" data-value=\"{index}\"><span class=\"tk-order__text\">{}</span> <span class=\"tk-order__tools\">\
             <button type=\"button\" class=\"tk-button tk-order__move\" data-do=\"up\" aria-label=\"{}\">↑</button>\
             <button type=\"button\" class=\"tk-button tk-order__move\" data-do=\"down\" aria-label=\"{}\">↓</button></span></li>\n",
            quantities(item),
            label("score.up"),
            label("score.down")
        ));
    }
    out.push_str("</ol></fieldset>\n");
    out
}

/// The feedback after marking; `None` as a verdict is the key of a printed page.
pub fn feedback(question: &Question, posed: Option<&Posed>, verdict: Option<&Verdict>, phrases: &Phrases) -> String {
    feedback_on(question, posed, verdict, &[], phrases)
}

/// The same with notes on how an answer was taken.
pub fn feedback_on(
    question: &Question,
    posed: Option<&Posed>,
    verdict: Option<&Verdict>,
    notes: &[Note],
    phrases: &Phrases,
) -> String {
    let (class, word) = match verdict {
        Some(Verdict::Right) => ("right", Some("score.right")),
        Some(Verdict::Coarse) => ("right", Some("score.coarse")),
        Some(_) => ("wrong", Some("score.wrong")),
        None => ("key", None),
    };
    let word = word.map_or_else(String::new, |key| {
        format!("<strong class=\"tk-feedback__word\">{}</strong> ", html(phrases.get(key)))
    });
    let accepted = posed.map_or_else(String::new, |posed| accepted(posed, verdict, phrases));
    let mut out = format!("<div class=\"tk-feedback tk-feedback--{class}\">\n");
    if !(word.is_empty() && accepted.is_empty()) {
        out.push_str(&format!("<p class=\"tk-feedback__verdict\">{word}{accepted}</p>\n"));
    }
    if let (Some(verdict), Some(posed)) = (verdict, posed) {
        out.push_str(&beside(posed, verdict, notes, phrases));
    }
    if !question.because.is_empty() {
        out.push_str(&format!("<p class=\"tk-feedback__because\">{}</p>\n", quantities(&question.because)));
    }
    match posed {
        Some(posed) => out.push_str(&worked::some_steps(&posed.worked, &posed.working(), phrases)),
        None => out.push_str(&options(question)),
    }
    out.push_str("</div>\n");
    out
}

/// The right answer, as a verdict or a key shows it.
pub(super) fn accepted(posed: &Posed, verdict: Option<&Verdict>, phrases: &Phrases) -> String {
    let answer = say::quantity(posed.si, &posed.unit, phrases);
    let marked = format!("<span class=\"tk-feedback__accepted\">{}</span>", quantities(&answer));
    let key = if matches!(verdict, Some(Verdict::Coarse)) { "score.mix-with" } else { "score.expected" };
    replaced(&html(phrases.get(key)), "{answer}", &marked)
}

fn note_text(note: &Note, phrases: &Phrases) -> String {
    match note {
        Note::Wrote(answer) => phrases.number(answer.clone()),
        Note::FluidOunces => phrases.get("score.note-ounces").to_owned(),
        Note::Trade(factor) => phrases.fill("score.note-trade", |place| match place {
            "unit" => Some(factor.unit.shown()),
            "amount" => Some(say::quantity(factor.count * factor.of.size(), &factor.of, phrases)),
            _ => None,
        }),
    }
}

/// What is said of an answer beside its verdict: the slip in it where it is wrong, and how it was taken.
pub(super) fn beside(posed: &Posed, verdict: &Verdict, notes: &[Note], phrases: &Phrases) -> String {
    let mut out = String::new();
    if let Verdict::Wrong(recognised) = verdict {
        let answer = notes.iter().find_map(|note| if let Note::Wrote(answer) = note { Some(&**answer) } else { None });
        out.push_str(&slip(posed, recognised.as_ref(), answer, phrases));
    }
    for note in notes.iter().filter(|note| !matches!(note, Note::Wrote(_))) {
        out.push_str(&format!("<p class=\"tk-feedback__note\">{}</p>\n", quantities(&note_text(note, phrases))));
    }
    out
}

/// What was done, the right way, and what it does on the lawn; or plainly that nothing known fits, and where to look.
fn slip(posed: &Posed, recognised: Option<&Recognised>, answer: Option<&str>, phrases: &Phrases) -> String {
    let Some(recognised) = recognised else {
        let steps = posed.working();
        let titles = steps.iter().take(FIRST_STEPS).map(|step| say::step_title(&posed.worked, step, phrases));
        let titles: Vec<String> = titles.collect();
        let key = match (answer, steps.len()) {
            (None, _) | (_, 0) => "mistake.none-short",
            (_, 1) => "mistake.none-one",
            _ => "mistake.none",
        };
        let text = phrases.fill(key, |place| match place {
            "answer" => answer.map(|answer| phrases.number(answer.to_owned())),
            "steps" => Some(say::listed_apart(&titles, phrases)),
            _ => None,
        });
        return format!("<p class=\"tk-feedback__slip\">{}</p>\n", quantities(&text));
    };
    let dose = recognised.dose.map(|share| dose(share, phrases));
    let mut out = String::from("<div class=\"tk-feedback__slip\">\n");
    for part in ["did", "why", "lawn"] {
        let own = || slip_key(posed, recognised.mistake, part, phrases);
        let key = if part == "lawn" { lawn_key(posed, recognised, phrases) } else { own() };
        let mut text = phrases.fill(&key, |place| match place {
            "dose" => dose.clone(),
            "unit" => recognised.other.as_ref().map(Unit::shown),
            _ => None,
        });
        if let ("did", Some(answer)) = (part, answer) {
            let wrote = phrases
                .fill("mistake.you-wrote", |place| (place == "answer").then(|| phrases.number(answer.to_owned())));
            text = format!("{wrote} {text}");
        }
        // A sentence about the lawn is left out if this number alone does not decide what the lawn gets.
        if !(part == "lawn" && dose.is_none() && phrases.get(&key).contains("{dose}")) {
            out.push_str(&format!("<p class=\"tk-feedback__{part}\">{}</p>\n", quantities(&text)));
        }
    }
    out.push_str("</div>\n");
    out
}

/// The sentence on what a mistake was, or on the right way: where a metric problem has one of its own, that one.
pub(super) fn slip_key(posed: &Posed, mistake: &Mistake, part: &str, phrases: &Phrases) -> String {
    let key = format!("mistake.{}.{part}", mistake.id);
    let own = [&key, "-metric"].concat();
    if phrases.find(&own).is_some() && posed.right_working().is_metric(&posed.unit) { own } else { key }
}

/// The sentence about the lawn: if a mistake can err in both directions, the one for its direction, that of the number
/// where it decides no dose, and for a percentage the one for the side of the right answer; where the dose is open, the
/// one that does without it.
fn lawn_key(posed: &Posed, recognised: &Recognised, phrases: &Phrases) -> String {
    let percent = is_percent_off(posed.calculator, &posed.result);
    let over = recognised.dose.map_or(if percent { posed.si > 0.0 } else { recognised.above }, |dose| dose > 1.0);
    let key = format!("mistake.{}.lawn", recognised.mistake.id);
    let alone = [&key, "-alone"].concat();
    if recognised.dose.is_none() && phrases.find(&alone).is_some() {
        return alone;
    }
    let sided = [key.as_str(), if over { "-over" } else { "-under" }].concat();
    if phrases.find(&sided).is_some() { sided } else { key }
}

/// What a share of the product meant is in words: `about 9 % too much product`.
fn dose(share: f64, phrases: &Phrases) -> String {
    let (key, amount) = match share {
        share if share >= 100.0 => ("mistake.dose.many", share),
        share if share >= 1.95 => ("mistake.dose.times", share),
        share if share >= 1.0 => ("mistake.dose.over", (share - 1.0) * 100.0),
        share if share > 0.1 => ("mistake.dose.under", (1.0 - share) * 100.0),
        share if share > 0.01 => ("mistake.dose.part", 1.0 / share),
        share => ("mistake.dose.hardly", share),
    };
    phrases.fill(key, |place| (place == "amount").then(|| phrases.number(shown(amount, 2))))
}

/// The options with their reasons: the right ones first, an order as it should be.
fn options(question: &Question) -> String {
    let list = if question.kind == Ask::Order { "ol" } else { "ul" };
    let (right, wrong): (Vec<_>, Vec<_>) =
        question.options.iter().partition(|option| question.kind == Ask::Order || option.right);
    let mut out = format!("<{list} class=\"tk-feedback__options\">\n");
    for option in right.into_iter().chain(wrong) {
        let class = if option.right { " class=\"tk-feedback__option--right\"" } else { "" };
        let mark = match (question.kind, option.right) {
            (Ask::Order, _) => "",
            (_, true) => "✓ ",
            (_, false) => "✗ ",
        };
        out.push_str(&format!(
            "<li{class}>{mark}{} <span class=\"tk-feedback__reason\">{}</span></li>\n",
            quantities(&option.text),
            quantities(&option.because)
        ));
    }
    out.push_str(&format!("</{list}>\n"));
    out
}

/// A phrase with one place, filled with what a learner typed.
fn with(phrases: &Phrases, key: &str, name: &str, typed: &str) -> String {
    phrases.fill(key, |place| (place == name).then(|| phrases.number(typed.to_owned())))
}

/// What is asked before an answer can be marked; `unit` is one that the answer may have, for an example of how to write.
pub fn query(query: &Query, unit: Option<Unit>, phrases: &Phrases) -> String {
    let system = if unit.is_some_and(|unit| !unit.is_us()) { System::Metric } else { System::Us };
    let fill = |key: &str, found: &str, wanted: &str| {
        phrases.fill(key, |place| match place {
            "found" => Some(phrases.get(&phrases.in_system(found, system)).to_owned()),
            "wanted" => Some(phrases.get(&phrases.in_system(wanted, system)).to_owned()),
            // Any amount but the answer itself: the example must not give it away.
            "example" => unit.map(|unit| phrases.number(format!("12.5 {}", unit.shown()).trim_end().to_owned())),
            _ => None,
        })
    };
    match query {
        Query::Empty => fill("score.ask-empty", "", ""),
        Query::Unit(number, _) => with(phrases, "score.ask-unit", "number", number),
        Query::UnitUnknown(Kind::Number) => fill("score.ask-bare", "", ""),
        Query::UnitUnknown(kind) => fill("score.ask-unit-unknown", "", kind.id()),
        Query::Side => fill("score.ask-side", "", ""),
        Query::Figure(typed) => with(phrases, "score.ask-figure", "answer", typed),
        Query::Kind(found, wanted) => fill("score.ask-kind", found.map_or("kind.other", Kind::id), wanted.id()),
        Query::Number => fill("score.ask-number", "", ""),
        Query::Comma(pointed) => phrases.fill("score.ask-comma", |place| match place {
            "answer" => Some(phrases.number(pointed.clone())),
            "mark" => Some(phrases.grouping()),
            _ => None,
        }),
        Query::Point(whole) => phrases.fill("score.ask-point", |place| match place {
            "answer" => Some(phrases.number(whole.clone())),
            "mark" => Some(phrases.decimal()),
            _ => None,
        }),
        Query::Ounces => fill("score.ask-ounces", "", ""),
    }
}
