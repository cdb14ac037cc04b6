//! Questions of several parts as HTML: a field for each part, and what is said of each answer.

use crate::page::question::{accepted, beside, query as asked_back, units};
use crate::page::worked;
use crate::question::Question;
use crate::question::parts::{Carried, Marks, PartVerdict};
use crate::question::score::{Query, Verdict};
use crate::question::template::Posed;
use crate::text::escape::{html, quantities};
use crate::words::phrases::Phrases;

/// A question with a field for each of its parts; `posed` part by part.
pub fn posed(question: &Question, posed: &[Posed], draw: u32, phrases: &Phrases) -> String {
    let id = html(&question.id);
    let text = posed.last().map_or_else(String::new, |posed| quantities(&question.text_for(posed, phrases)));
    let mut out = format!(
        "<div class=\"tk-question tk-question--number\" data-part=\"question\" data-question=\"{id}\" data-kind=\"number\" data-draw=\"{draw}\">\n\
         <p class=\"tk-question__text\" id=\"q-{id}-text\">{text}</p>\n<p class=\"tk-question__label\" id=\"q-{id}-rule\">{}</p>\n<ol class=\"tk-parts\">\n",
        html(phrases.get("score.parts-rule"))
    );
    for (index, label) in labels(question, posed, phrases).iter().enumerate() {
        out.push_str(&format!(
            "<li class=\"tk-parts__part\"><label class=\"tk-parts__label\" for=\"q-{id}-{index}\">{}</label> \
             <input class=\"tk-question__entry\" id=\"q-{id}-{index}\" name=\"{id}-{index}\" data-piece=\"{index}\" type=\"text\" autocapitalize=\"off\" autocomplete=\"off\" spellcheck=\"false\" aria-describedby=\"q-{id}-text q-{id}-rule q-{id}-ask\">{}</li>\n",
            quantities(label),
            posed.get(index).map_or_else(String::new, |posed| units(posed, phrases))
        ));
    }
    out.push_str(&format!(
        "</ol>\n<p class=\"tk-question__ask\" id=\"q-{id}-ask\" data-role=\"ask\"></p>\n<div class=\"tk-question__feedback\" data-role=\"feedback\"></div>\n</div>\n"
    ));
    out
}

/// What each part asks, in order; the last is what the question's text asks.
pub fn labels(question: &Question, posed: &[Posed], phrases: &Phrases) -> Vec<String> {
    let each = question.each();
    let earlier = each.iter().zip(posed).take(question.parts.len()).map(|(part, posed)| part.text_for(posed, phrases));
    earlier.chain([phrases.get("score.last-part").to_owned()]).collect()
}

/// What has to be asked about one part before it can be marked.
pub fn query(part: usize, about: &Query, posed: &Posed, phrases: &Phrases) -> String {
    let ask = asked_back(about, Some(posed.unit), phrases);
    if *about == Query::Empty {
        return ask;
    }
    phrases.fill("score.ask-part", |place| match place {
        "part" => Some((part + 1).to_string()),
        "ask" => Some(ask.clone()),
        _ => None,
    })
}

/// What is said after marking, part by part; `None` as marks is the key of a printed page.
pub fn feedback(question: &Question, posed: &[Posed], marks: Option<&Marks>, phrases: &Phrases) -> String {
    let class = marks.map_or("key", |marks| if marks.right() { "right" } else { "wrong" });
    let mut out = format!("<div class=\"tk-feedback tk-feedback--{class}\">\n");
    if let Some(marks) = marks {
        let points = phrases.fill("score.points", |place| match place {
            "earned" => Some(marks.earned().to_string()),
            "all" => Some(posed.len().to_string()),
            _ => None,
        });
        out.push_str(&format!(
            "<p class=\"tk-feedback__verdict\"><strong class=\"tk-feedback__word\">{}</strong></p>\n",
            html(&points)
        ));
    }
    out.push_str("<ol class=\"tk-parts\">\n");
    for (index, own) in posed.iter().enumerate() {
        out.push_str(&one(own, marks.map(|marks| &marks.parts[index]), phrases));
    }
    out.push_str("</ol>\n");
    if !question.because.is_empty() {
        out.push_str(&format!("<p class=\"tk-feedback__because\">{}</p>\n", quantities(&question.because)));
    }
    if let Some(last) = posed.last() {
        out.push_str(&worked::some_steps(&last.worked, &last.working(), phrases));
    }
    out.push_str("</div>\n");
    out
}

fn one(posed: &Posed, part: Option<&PartVerdict>, phrases: &Phrases) -> String {
    let (class, key) = match part {
        None => ("key", None),
        Some(PartVerdict { carried: Some(_), .. }) => ("carried", Some("score.carried-word")),
        Some(PartVerdict { verdict, .. }) => match verdict {
            Verdict::Right => ("right", Some("score.right")),
            Verdict::Coarse => ("right", Some("score.coarse")),
            Verdict::Wrong(_) => ("wrong", Some("score.wrong")),
            Verdict::Ask(Query::Empty) => ("blank", Some("score.part-blank")),
            Verdict::Ask(_) => ("blank", Some("score.part-open")),
        },
    };
    let word = key.map_or_else(String::new, |key| {
        format!("<strong class=\"tk-feedback__word\">{}</strong> ", html(phrases.get(key)))
    });
    let accepted = accepted(posed, part.map(|part| &part.verdict), phrases);
    let mut out = format!(
        "<li class=\"tk-parts__part tk-parts__part--{class}\"><p class=\"tk-feedback__verdict\">{word}<span class=\"tk-parts__expected\">{accepted}</span></p>\n"
    );
    match part {
        Some(PartVerdict { carried: Some(carried), .. }) => out.push_str(&carried_over(carried, phrases)),
        Some(PartVerdict { verdict, notes, .. }) => out.push_str(&beside(posed, verdict, notes, phrases)),
        None => {}
    }
    out.push_str("</li>\n");
    out
}

/// That a part earns its point although its figure is wrong, and where the slip is.
fn carried_over(carried: &Carried, phrases: &Phrases) -> String {
    let text = phrases.fill("score.carried", |place| match place {
        "figure" => Some(phrases.number(carried.from.1.clone())),
        "part" => Some((carried.slip + 1).to_string()),
        _ => None,
    });
    format!("<p class=\"tk-feedback__carried\">{}</p>\n", quantities(&text))
}
