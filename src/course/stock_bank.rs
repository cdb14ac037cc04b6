//! The stock's own question banks, unchanged: what is known of them ahead of time, and their questions whole where
//! somebody needs them.

use super::ahead::Ahead;
use super::banks::ReadyBank;
use crate::embedded::bank_ready;
use crate::load::Bank;
use std::ops::Deref;
use std::sync::OnceLock;
use tankside_calc::question::Question;

/// The questions of a bank; those of the stock are read when somebody first looks at one.
#[derive(Debug)]
pub struct Questions {
    ahead: Vec<Ahead<'static>>,
    whole: OnceLock<Vec<Question>>,
}

impl From<Vec<Question>> for Questions {
    fn from(whole: Vec<Question>) -> Self {
        Self { ahead: Vec::new(), whole: OnceLock::from(whole) }
    }
}

impl Deref for Questions {
    type Target = [Question];

    fn deref(&self) -> &[Question] {
        // A test reads them all.
        self.whole.get_or_init(|| self.ahead.iter().filter_map(Ahead::question).collect())
    }
}

impl<'q> IntoIterator for &'q Questions {
    type Item = &'q Question;
    type IntoIter = std::slice::Iter<'q, Question>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl Questions {
    /// What is known of a question ahead of time.
    pub fn ahead(&self, index: usize) -> Option<&Ahead<'static>> {
        self.ahead.get(index)
    }
}

/// A bank of the stock that nobody has changed.
pub(super) fn stock_bank(name: &str, bank: &Bank) -> Option<ReadyBank> {
    let written = bank_ready(&bank.source.name, &bank.source.text)?;
    let (head, records) = written.split_once('\u{1e}')?;
    let (pass, title) = head.split_once('\u{1f}')?;
    let ahead: Option<Vec<Ahead>> = records.split_terminator('\u{1e}').map(Ahead::read).collect();
    let ahead = ahead?;
    Some(ReadyBank {
        id: name.to_owned(),
        title: title.to_owned(),
        pass: pass.parse().ok()?,
        digests: ahead.iter().map(|one| one.digest.to_owned()).collect(),
        questions: Questions { ahead, whole: OnceLock::new() },
        metric: OnceLock::new(),
        broken: false,
    })
}

#[cfg(test)]
mod tests {
    use super::super::ahead::record;
    use super::super::topics::topic_of;
    use super::*;
    use crate::course::ready_banks;
    use crate::embedded::CONTENT;
    use crate::problem::{Problems, Source};
    use std::collections::BTreeMap;
    use tankside_calc::text::json::Value;

    #[test]
    fn what_is_known_of_a_stock_bank_ahead_of_time_is_what_is_read_from_it() {
        let mut all = 0;
        for file in CONTENT.get_dir("questions/en").expect("the stock has banks").files() {
            let (name, text) = (file.path().to_str().expect("plain"), file.contents_utf8().expect("UTF-8"));
            let stem = file.path().file_stem().and_then(|stem| stem.to_str()).expect("plain");
            let mut problems = Problems::new();
            let mut bank = |text: &str| {
                let bank = Bank::read(stem, Source::new(name, text), &mut problems).expect("it can be read");
                ready_banks(&BTreeMap::from([(stem.to_owned(), bank)]), &mut Problems::new()).remove(stem).expect("it")
            };
            // A changed text is read whole.
            let (ahead, read) = (bank(text), bank(&format!("{text}\n")));
            assert!(ahead.questions.whole.get().is_none() && read.questions.ahead(0).is_none(), "{name}");
            assert_eq!((&ahead.title, ahead.pass, &ahead.digests), (&read.title, read.pass, &read.digests), "{name}");
            assert_eq!(ahead.questions.len(), read.questions.len(), "{name}");
            for (index, (own, question)) in ahead.questions.iter().zip(&read.questions).enumerate() {
                assert_eq!(own.json(), question.json(), "{}", question.id);
                let known = ahead.questions.ahead(index).expect("it is known");
                assert_eq!(Ahead::read(&record(question, known.script)).as_ref(), Some(known));
                let with_topic = Question { topic: Some(topic_of(question)), ..question.clone() };
                assert_eq!(Value::read(known.script), Some(with_topic.json()), "{}", question.id);
                assert!(!known.script.contains(['<', '\u{2028}']), "it may be inside a script: {}", question.id);
                all += 1;
            }
        }
        assert!(all > 200, "{all} questions");
    }
}
