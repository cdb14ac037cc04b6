//! A question as those pages know it that ask the whole course. Those of the stock's own banks are worked out when the
//! program is built (`build.rs`): most courses ask them, and few show one in a lesson.

use super::offered::may_be_chosen;
use super::topics::topic_of;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};

/// What is known of a question of the stock before anything is published. Written as one record, its fields in this
/// order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ahead<'t> {
    /// Its name.
    pub id: &'t str,
    /// Its digest.
    pub digest: &'t str,
    /// Its topic.
    pub topic: Topic,
    /// Whether that is its author's word.
    pub own_topic: bool,
    /// The calculator and the result that it asks for; empty for a choice.
    pub asks: &'t str,
    /// Whether it is metric throughout.
    pub metric: bool,
    /// Whether an exam may ask it as a choice.
    pub chosen: bool,
    /// As a script carries it, with its topic.
    pub script: &'t str,
}

const BETWEEN: char = '\u{1f}';

impl<'t> Ahead<'t> {
    /// From its record.
    pub(crate) fn read(record: &'t str) -> Option<Self> {
        let mut fields = record.splitn(8, BETWEEN);
        let mut next = || fields.next();
        let (id, digest, topic, own_topic, asks) = (next()?, next()?, next()?, next()?, next()?);
        let (metric, chosen, script) = (next()?, next()?, next()?);
        let [own_topic, metric, chosen] = [own_topic, metric, chosen].map(|flag| flag == "1");
        Some(Ahead { id, digest, topic: Topic::of(topic)?, own_topic, asks, metric, chosen, script })
    }

    /// The question itself.
    pub(crate) fn question(&self) -> Option<Question> {
        let read = Question::read(self.script)?;
        Some(Question { topic: read.topic.filter(|_| self.own_topic), ..read })
    }
}

/// The record of a question; `script` is as a script carries it.
#[allow(dead_code, reason = "called when the program is built")]
pub(crate) fn record(question: &Question, script: &str) -> String {
    let digest = question.digest();
    let flag = |yes: bool| if yes { "1" } else { "0" };
    let fields = [
        &question.id,
        &digest,
        topic_of(question).id(),
        flag(question.topic.is_some()),
        &question.asks,
        flag(metric_throughout(question)),
        flag(may_be_chosen(question, &digest)),
        script,
    ];
    fields.join(&BETWEEN.to_string())
}

/// Whether every amount of a number question, and its answer, is in metric units; what has none of either is not.
pub(crate) fn metric_throughout(question: &Question) -> bool {
    if question.kind != Ask::Number {
        return false;
    }
    let sided = |unit: &Unit| unit.dim().length != 0 || unit.dim().mass != 0 || unit.dim().volume != 0;
    // Most say in which unit they are answered, and need not be drawn.
    if Unit::parse(&question.answer_in).is_some_and(|unit| sided(&unit) && unit.is_us()) {
        return false;
    }
    question.draw(0).is_ok_and(|posed| posed.right_working().is_metric(&posed.unit))
}
