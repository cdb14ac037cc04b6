//! The rows of a roster: one person each, for the page and for a spreadsheet.

use super::odd::OwnOdd;
use super::person::{Missed, Person, Sat};
use super::questions::Questions;
use super::slips::slip_name;
use super::standing::{MIXED, READY, Standing, Why};
use super::tally::{Made, NAMED};
use super::wrong::in_cell;
use crate::problem::clean;
use serde::Serialize;
use std::borrow::Cow;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::figures::shown;
use tankside_calc::words::phrases::Phrases;

/// Width of a full bar.
pub(super) const BAR: f64 = 100.0;

/// One person.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PersonRow {
    pub(super) name: String,
    pub(super) ready: bool,
    pub(super) why: String,
    /// What they answered wrong in the check that decides.
    #[serde(skip)]
    pub(super) missed: Vec<Missed>,
    right: u32,
    of: u32,
    percent: Option<String>,
    sittings: u32,
    newest: String,
    /// The day of the check that decides; empty where it is not known.
    day: String,
    /// Code of the newest check that counts; empty where it had none.
    code: String,
    /// Steps of worked examples that were filled in, and slips that were looked for.
    steps_right: u32,
    steps_of: u32,
    /// Instruments that were read, and read right at the first look.
    read_right: u32,
    read_of: u32,
    slip: String,
    /// Whether they made mistakes, and no known one.
    unknown: bool,
    /// Topics on which there is no answer of theirs.
    never: Vec<String>,
    /// What their answers leave open, though they are ready.
    pub(super) open: String,
    /// Whether that includes wrong answers that do not tell the dose.
    pub(super) untold: bool,
    /// First answers of the drill; whether there are none.
    drilled: u32,
    pub(super) alone: bool,
    topics: Vec<Option<TopicCell>>,
}

#[derive(Clone, Debug, Serialize)]
struct TopicCell {
    percent: String,
    right: u32,
    of: u32,
    /// Width of its bar.
    bar: f64,
    low: bool,
}

impl PersonRow {
    /// Whether they filled in steps of worked examples, or looked for slips.
    pub(super) fn has_steps(&self) -> bool {
        self.steps_of > 0
    }

    /// Whether they read instruments.
    pub(super) fn has_read(&self) -> bool {
        self.read_of > 0
    }
}

/// Makes rows, in the words of a course.
#[derive(Debug)]
pub struct Rows<'r> {
    phrases: &'r Phrases,
    topics: Vec<Topic>,
    questions: &'r Questions<'r>,
}

impl<'r> Rows<'r> {
    /// Rows about the questions of a course.
    pub fn new(questions: &'r Questions<'r>) -> Rows<'r> {
        Rows { phrases: questions.phrases, topics: questions.topics().into_keys().collect(), questions }
    }

    /// Names of the topics, in the order of the columns.
    pub(super) fn topics(&self) -> Vec<String> {
        self.topics.iter().map(|topic| topic_name(self.phrases, *topic)).collect()
    }

    /// The head of the spreadsheet: one column for each topic after the others.
    pub(super) fn head(&self) -> Vec<u8> {
        let fixed = [
            "name",
            "ready",
            "why",
            "sittings",
            "right",
            "of",
            "percent",
            "newest",
            "code",
            "steps-right",
            "steps",
            "read-right",
            "read",
            "drill",
            "slip",
            "wrong",
            "never",
        ];
        let mut head: Vec<String> =
            fixed.iter().map(|column| self.phrases.get(&format!("desk.csv-{column}")).to_owned()).collect();
        head.extend(self.topics());
        written([head])
    }

    /// Rows of the spreadsheet, by RFC 4180.
    ///
    /// A text that a spreadsheet would take for a formula has an apostrophe in front.
    pub(super) fn table(&self, rows: &[PersonRow]) -> Vec<u8> {
        written(rows.iter().map(|row| self.cells(row)))
    }

    fn cells<'s>(&'s self, row: &'s PersonRow) -> Vec<Cow<'s, str>> {
        let number = |number: u32| Cow::from(number.to_string());
        let mut cells: Vec<Cow<str>> = vec![
            row.name.as_str().into(),
            self.phrases.get(if row.ready { "desk.yes" } else { "desk.no" }).into(),
            // Of somebody who is ready, what is left open.
            if row.ready { row.open.as_str().into() } else { row.why.as_str().into() },
            number(row.sittings),
            number(row.right),
            number(row.of),
            row.percent.as_deref().unwrap_or_default().into(),
            row.newest.as_str().into(),
            row.code.as_str().into(),
            number(row.steps_right),
            number(row.steps_of),
            number(row.read_right),
            number(row.read_of),
            number(row.drilled),
            if row.unknown { self.phrases.get("desk.no-known").into() } else { row.slip.as_str().into() },
            self.wrong(&row.missed).into(),
            row.never.join(", ").into(),
        ];
        cells.extend(
            row.topics.iter().map(|topic| Cow::from(topic.as_ref().map_or("", |topic| topic.percent.as_str()))),
        );
        cells
    }

    /// The row of somebody.
    pub(super) fn row(&self, person: &Person, standing: &Standing) -> PersonRow {
        let slip = person.slips.iter().max_by_key(|(id, slips)| (slips.times, std::cmp::Reverse(**id)));
        let topics = self.topics.iter().map(|topic| {
            let share = person.topics.get(topic)?;
            let part = share.share()?;
            Some(TopicCell {
                percent: self.percent(part),
                right: share.right,
                of: share.of,
                bar: tenths(part * BAR),
                low: part < READY,
            })
        });
        let newest = person.decides().map(|sat| format!("{} {}", sat.name, day(&sat.ended)).trim().to_owned());
        PersonRow {
            name: if person.name.is_empty() {
                self.phrases.get("desk.no-name").to_owned()
            } else {
                person.name.clone()
            },
            ready: standing.is_ready(),
            why: self.why(person, standing),
            missed: person.decides().map(|sat| sat.missed.clone()).unwrap_or_default(),
            right: person.first.right,
            of: person.first.of,
            percent: person.first.share().map(|share| self.percent(share)),
            sittings: person.sittings,
            newest: newest.unwrap_or_default(),
            day: person
                .decides()
                .filter(|sat| sat.is_dated())
                .map(|sat| day(&sat.ended).to_owned())
                .unwrap_or_default(),
            code: person.decides().map(|sat| sat.code.clone()).unwrap_or_default(),
            steps_right: person.steps.right,
            steps_of: person.steps.of,
            read_right: person.read.right,
            read_of: person.read.of,
            open: self.open(person),
            untold: person.decides().is_some_and(|sat| sat.untold > 0),
            drilled: person.drilled,
            alone: person.drilled == 0,
            unknown: slip.is_none() && person.odd.values().any(OwnOdd::is_mistaken),
            never: self.never(person),
            slip: slip.map(|(id, _)| slip_name(self.questions, id)).unwrap_or_default(),
            topics: topics.collect(),
        }
    }

    /// Wrong answers in the newest check that do not tell how much they would put down, and those of earlier checks that
    /// would put down too much.
    fn open(&self, person: &Person) -> String {
        let newest = |count: fn(&Sat) -> u32| person.decides().map_or(0, count);
        let open = [
            (newest(|sat| sat.untold), "desk.untold-one", "desk.untold"),
            (person.over - newest(|sat| sat.over), "desk.earlier-one", "desk.earlier"),
        ];
        let told = open.iter().filter(|(count, ..)| *count > 0).map(|(count, one, many)| match count {
            1 => self.phrases.get(one).to_owned(),
            count => self.fill(many, &[("count", &count.to_string())]),
        });
        told.chain(self.undated(person)).collect::<Vec<_>>().join(" ")
    }

    /// That nobody wrote when a check on paper was, where there is another one.
    fn undated(&self, person: &Person) -> Option<String> {
        (person.newest.is_some() && person.undated.is_some()).then(|| self.phrases.get("desk.undated").to_owned())
    }

    /// What was answered wrong, in one cell.
    fn wrong(&self, missed: &[Missed]) -> String {
        let each = missed.iter().map(|one| in_cell(self.questions.all[one.index].question, &one.typed, self.phrases));
        each.collect::<Vec<_>>().join(" | ")
    }

    /// Topics on which somebody never answered a question.
    fn never(&self, person: &Person) -> Vec<String> {
        let asked = |topic: &&Topic| person.topics.get(topic).is_some_and(|share| share.of > 0);
        let never = self.topics.iter().filter(|topic| !asked(topic));
        never.map(|topic| topic_name(self.phrases, *topic)).collect()
    }

    fn why(&self, person: &Person, standing: &Standing) -> String {
        let Standing::NotYet(why) = standing else { return String::new() };
        let texts = why.iter().map(|why| match why {
            Why::NoMixedSet(longest) => {
                self.fill("desk.why-no-set", &[("least", &MIXED.to_string()), ("longest", &longest.to_string())])
            }
            Why::TooFewRight(right, of) => self.fill(
                "desk.why-few",
                &[("right", &right.to_string()), ("of", &of.to_string()), ("need", &self.percent(READY))],
            ),
            Why::TooMuch(count) => {
                let key = if *count == 1 { "desk.why-over-one" } else { "desk.why-over" };
                self.fill(key, &[("count", &count.to_string())])
            }
            Why::NotCleared(count) => {
                let key = if *count == 1 { "desk.why-owed-one" } else { "desk.why-owed" };
                self.fill(key, &[("count", &count.to_string())])
            }
            Why::NotRead(count) => {
                let key = if *count == 1 { "desk.why-unread-one" } else { "desk.why-unread" };
                self.fill(key, &[("count", &count.to_string())])
            }
        });
        texts.chain(self.undated(person)).collect::<Vec<_>>().join(" ")
    }

    fn percent(&self, share: f64) -> String {
        self.phrases.number(percent(share))
    }

    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.phrases.fill_with(key, values)
    }
}

/// The first of some people by name, and how many more there are.
pub(super) fn names(made: &Made, phrases: &Phrases) -> String {
    let names = made.first.join(", ");
    match made.people.saturating_sub(NAMED) {
        0 => names,
        rest => phrases.fill_with("desk.and-others", &[("names", &names), ("count", &rest.to_string())]),
    }
}

/// How many people, and the first of them by name.
pub(super) fn who(made: &Made, phrases: &Phrases) -> String {
    let names = names(made, phrases);
    let key = if made.people == 1 { "desk.who-one" } else { "desk.who-many" };
    phrases.fill_with(key, &[("count", &made.people.to_string()), ("who", &names)])
}

/// What a topic is called.
pub(super) fn topic_name(phrases: &Phrases, topic: Topic) -> String {
    phrases.get(&format!("desk.topic-{}", topic.id())).to_owned()
}

fn written<C: AsRef<str>>(rows: impl IntoIterator<Item = Vec<C>>) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let mut rows = rows.into_iter();
    let written =
        rows.try_for_each(|row| writer.write_record(row.iter().map(|cell| safe(&clean(cell.as_ref())).into_owned())));
    // Writing into memory does not fail; a row always has as many cells as the head.
    written.ok().and_then(|()| writer.into_inner().ok()).unwrap_or_default()
}

/// A share in percent.
pub(super) fn percent(share: f64) -> String {
    // Nearly all is not all, and nearly ready is not ready.
    let close = share >= 0.995 || (0.895..READY).contains(&share);
    format!("{} %", shown(share * 100.0, if close { 3 } else { 2 }))
}

/// A number to the tenth.
pub(super) fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The day of a time as a record writes it.
pub(super) fn day(time: &str) -> &str {
    time.get(..10).unwrap_or(time)
}

/// A cell that no spreadsheet will take for a formula.
pub fn safe(cell: &str) -> Cow<'_, str> {
    let first = cell.trim_start_matches([' ', '\u{a0}']).chars().next();
    let starts = matches!(first, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'));
    if starts { format!("'{cell}").into() } else { cell.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        for hostile in ["=1+1", "+1", "-1", "@x", "\tx", "\r=1", " =1", "＝1"] {
            assert!(safe(hostile).starts_with('\''), "{hostile:?}");
        }
        assert_eq!(safe("Ada"), "Ada");
        assert_eq!(safe("85 %"), "85 %");
    }

    #[test]
    fn shares_are_shown_without_noise() {
        assert_eq!((percent(0.9), percent(1.0), percent(2.0 / 3.0)), ("90 %".into(), "100 %".into(), "67 %".into()));
    }
}
