//! The stock's question banks as the pages take them that ask a whole course: for each question a record
//! (`src/course/ahead.rs`).
//!
//! Nothing is checked here: the tests compare each question with the one that the program reads from the same text.

use crate::ahead::record;
use crate::curved::curved;
use crate::offered::judged_before;
use crate::spoken::in_script;
use crate::topics::topic_of;
use saphyr_parser::{Event, Parser};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::parts::QuestionPart;
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Choice, Question};

/// A value of YAML, as it is written.
enum WrittenValue {
    Scalar(String),
    List(Vec<WrittenValue>),
    Map(Vec<(String, WrittenValue)>),
}

/// What is being read.
enum OpenValue {
    List(Vec<WrittenValue>),
    Map(Vec<(String, WrittenValue)>, Option<String>),
}

impl WrittenValue {
    /// The value of a text without anchors, tags and references.
    fn read(text: &str) -> Option<WrittenValue> {
        let (mut open, mut root) = (Vec::new(), None);
        for event in Parser::new_from_str(text) {
            let value = match event.ok()?.0 {
                Event::Scalar(text, _, 0, None) => WrittenValue::Scalar(text.into_owned()),
                Event::SequenceStart(0, None) => {
                    open.push(OpenValue::List(Vec::new()));
                    continue;
                }
                Event::MappingStart(0, None) => {
                    open.push(OpenValue::Map(Vec::new(), None));
                    continue;
                }
                Event::SequenceEnd | Event::MappingEnd => match open.pop()? {
                    OpenValue::List(items) => WrittenValue::List(items),
                    OpenValue::Map(entries, _) => WrittenValue::Map(entries),
                },
                Event::Scalar(..) | Event::SequenceStart(..) | Event::MappingStart(..) | Event::Alias(_) => {
                    return None;
                }
                _ => continue,
            };
            match (open.last_mut(), value) {
                (None, value) => root = Some(value),
                (Some(OpenValue::List(items)), value) => items.push(value),
                (Some(OpenValue::Map(_, key @ None)), WrittenValue::Scalar(text)) => *key = Some(text),
                (Some(OpenValue::Map(entries, key)), value) => entries.push((key.take()?, value)),
            }
        }
        root
    }

    fn get(&self, key: &str) -> Option<&WrittenValue> {
        match self {
            WrittenValue::Map(entries) => entries.iter().find(|(name, _)| name == key).map(|(_, value)| value),
            _ => None,
        }
    }

    fn text(&self, key: &str) -> String {
        match self.get(key) {
            Some(WrittenValue::Scalar(text)) => text.clone(),
            _ => String::new(),
        }
    }

    fn items(&self, key: &str) -> &[WrittenValue] {
        match self.get(key) {
            Some(WrittenValue::List(items)) => items,
            _ => &[],
        }
    }

    /// Every text below a key with its flat name: `catch.1.volume`.
    fn flat(&self, key: &str) -> Vec<(String, String)> {
        let mut all = Vec::new();
        if let Some(value) = self.get(key) {
            value.flatten("", &mut all);
        }
        all
    }

    fn flatten(&self, name: &str, all: &mut Vec<(String, String)>) {
        let below = |part: &str| if name.is_empty() { part.to_owned() } else { format!("{name}.{part}") };
        match self {
            WrittenValue::Scalar(text) => all.push((name.to_owned(), text.clone())),
            WrittenValue::List(items) => {
                (1..).zip(items).for_each(|(number, item)| item.flatten(&below(&number.to_string()), all));
            }
            WrittenValue::Map(entries) => entries.iter().for_each(|(key, value)| value.flatten(&below(key), all)),
        }
    }
}

/// The bank of a text: its share to pass and its title, then a record for each question.
pub(crate) fn bank(text: &str) -> Option<String> {
    let bank = WrittenValue::read(text)?;
    let (id, title) = (bank.text("id"), curved(bank.text("title")));
    let pass = match bank.text("pass").as_str() {
        "" => 0.8,
        pass => typed::read(pass, Kind::Share, None).ok()?.si,
    };
    let mut out = format!("{pass}\u{1f}{title}\u{1e}");
    for written in bank.items("questions") {
        let question = question(&id, written)?;
        let with_topic = Question { topic: Some(topic_of(&question)), ..question.clone() };
        out.push_str(&record(&question, &in_script(&with_topic.json().line())));
        out.push('\u{1e}');
    }
    Some(out)
}

fn question(bank: &str, written: &WrittenValue) -> Option<Question> {
    let kind = written.text("kind");
    let asks = written.text("asks");
    let given = RawInputs(written.flat("given"));
    let option = |option: &WrittenValue| Choice {
        text: option.text("text"),
        right: option.text("right") == "true",
        because: curved(option.text("because")),
    };
    let part = |part: &WrittenValue| QuestionPart {
        text: curved(part.text("text").trim().to_owned()),
        asks: part.text("asks"),
        answer_in: part.text("answer-in"),
    };
    let mut question = Question {
        id: format!("{bank}-{}", written.text("id")),
        kind: Ask::ALL.iter().copied().find(|ask| ask.id() == kind)?,
        topic: Topic::of(&written.text("topic")),
        text: curved(written.text("text").trim().to_owned()),
        given: match asks.split_once('/').and_then(|(id, _)| calculator(id)) {
            Some(calculator) => given.opened(calculator).0,
            None => Vec::new(),
        },
        asks,
        beside: written.flat("beside"),
        answer_in: written.text("answer-in"),
        tolerance: written.text("tolerance"),
        because: curved(written.text("because")),
        parts: written.items("parts").iter().map(part).collect(),
        options: written.items("options").iter().map(option).collect(),
        draw_version: written.text("draw-version").parse().unwrap_or(1),
        offered: Default::default(),
    };
    // One that was never judged is judged when a course is published, as an author's own.
    if question.kind == Ask::Number {
        question.offered = judged_before(&question.digest())?;
    }
    Some(question)
}
