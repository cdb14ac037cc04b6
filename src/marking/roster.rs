//! What `mark` writes: who may spray tomorrow, what to teach again on Monday, person by person, question by question.

use super::crew::{Crew, ON_PAGE};
use super::questions::{LessonRef, Questions};
use super::rows::{PersonRow, Rows, day, percent, topic_name};
use super::slips::slip_name;
use super::standing::READY;
use super::tally::TopicSum;
use super::together::{OddRow, odd_rows, together};
use super::wrong::Wrong;
use crate::course::Course;
use crate::embedded::{TEMPLATES, text};
use crate::problem::clean;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::escape::quantities;
use tankside_calc::words::phrases::Phrases;
use tera::{Context, Tera};

/// How many slips are listed as what to teach again.
const TO_TEACH: usize = 3;
/// The most questions of whose wrong answers, given by several people without a known mistake, a page lists all at once.
const ODD_OPEN: usize = 3;
/// A topic with too few right answers.
#[derive(Debug)]
pub struct WeakTopic {
    /// What it is called.
    pub name: String,
    /// How much of it was right, in words.
    pub told: String,
    /// The lesson that teaches the question most often missed.
    pub lesson: Option<LessonRef>,
}

#[derive(Debug, Serialize)]
struct TopicRow {
    name: String,
    told: String,
    lesson: Option<Lesson>,
}

/// Somebody with what they answered wrong.
#[derive(Debug, Serialize)]
struct Listed<'r> {
    #[serde(flatten)]
    row: &'r PersonRow,
    missed: Vec<MissedRow>,
}

/// A question that somebody answered wrong.
#[derive(Debug, Serialize)]
struct MissedRow {
    /// Its text, with the numbers that they had.
    question: String,
    /// What they wrote, and what is right.
    wrote: String,
    /// The mistake in it, in the words that the page says to the learner; empty where none is known.
    slip: String,
    over: bool,
}

/// A question with wrong answers that show no known mistake, and the lesson that teaches it.
#[derive(Debug, Serialize)]
struct OddListed {
    #[serde(flatten)]
    row: OddRow,
    lesson: Option<Lesson>,
}

/// A lesson to go back to, with its link.
#[derive(Debug, Serialize)]
pub(super) struct Lesson {
    title: String,
    href: String,
    /// Whether it is no lesson but a calculator's own page.
    worked: bool,
}

/// What a crew's records add up to, ready to be written down.
#[derive(Debug)]
pub struct Roster<'r> {
    pub(super) crew: &'r Crew,
    pub(super) questions: &'r Questions<'r>,
    pub(super) phrases: &'r Phrases,
}

impl<'r> Roster<'r> {
    /// The roster of a crew.
    pub fn new(crew: &'r Crew, questions: &'r Questions<'r>) -> Roster<'r> {
        Roster { crew, questions, phrases: questions.phrases }
    }

    /// The commonest slips: name, how many people made it, and the lesson that teaches it.
    pub fn to_teach(&self) -> Vec<(String, usize, Option<LessonRef>)> {
        let slips = self.slips().into_iter().take(TO_TEACH);
        slips.map(|(id, made)| (slip_name(self.questions, id), made.people, self.lesson_of(id))).collect()
    }

    /// The weakest topics: those with fewer right answers than a person needs to be ready, the weakest first.
    pub fn weak_topics(&self) -> Vec<WeakTopic> {
        let share = |sum: &TopicSum| sum.share.share().unwrap_or(1.0);
        let mut weak: Vec<_> = self.crew.topics.iter().filter(|(_, sum)| share(sum) < READY).collect();
        weak.sort_by(|(_, one), (_, other)| share(one).total_cmp(&share(other)));
        let told = |(topic, sum): (&Topic, &TopicSum)| {
            let (right, of, below) = (sum.share.right.to_string(), sum.share.of.to_string(), sum.below.to_string());
            let percent = self.percent(share(sum));
            let values = [("percent", percent.as_str()), ("right", &right), ("of", &of), ("count", &below)];
            let key = if sum.below == 1 { "desk.weak-one" } else { "desk.weak-many" };
            WeakTopic {
                name: topic_name(self.phrases, *topic),
                told: self.fill(key, &values),
                lesson: self.lesson_on_topic(*topic),
            }
        };
        weak.into_iter().take(TO_TEACH).map(told).collect()
    }

    /// How many questions there are to which several people gave about the same figure, and no known mistake fits.
    pub fn together(&self) -> usize {
        together(self.crew, self.questions)
    }

    /// People with what they answered wrong.
    fn listed<'p>(&self, people: &'p [PersonRow]) -> Vec<Listed<'p>> {
        let missed = |row: &PersonRow| {
            let each = row.missed.iter().map(|missed| {
                let wrong = Wrong::of(self.questions, missed.index, missed.draw, &missed.typed);
                let slip = missed.slip.map(|id| slip_name(self.questions, id)).unwrap_or_default();
                MissedRow { question: wrong.asked(), wrote: wrong.both(), slip, over: missed.over }
            });
            each.collect()
        };
        people.iter().map(|row| Listed { row, missed: missed(row) }).collect()
    }

    /// The lesson that teaches the question of a topic that is missed most often.
    fn lesson_on_topic(&self, topic: Topic) -> Option<LessonRef> {
        let asked = self.questions.all.iter().zip(&self.crew.items).filter(|(known, _)| known.topic == topic);
        let taught = asked.filter(|(known, item)| known.lesson.is_some() && item.n > item.right);
        let most = taught.max_by(|(_, one), (_, other)| (one.n - one.right).total_cmp(&(other.n - other.right)));
        most.and_then(|(known, _)| known.lesson.clone())
    }

    /// The lesson, linked in the published site; without a link where nobody says where that is.
    pub(super) fn linked(lesson: LessonRef, site: &str) -> Lesson {
        Lesson {
            worked: !lesson.href.starts_with("lessons/"),
            title: lesson.title,
            href: if site.is_empty() {
                String::new()
            } else {
                format!("{}/{}", site.trim_end_matches('/'), lesson.href)
            },
        }
    }

    /// The page: one file that is next to its stylesheet. `now` is the time of marking, as a record writes it.
    ///
    /// # Errors
    /// A template that cannot be used.
    pub fn page(&self, course: &Course, site: &str, now: &str) -> Result<String, String> {
        let mut tera = Tera::default();
        // A number stays on one line with its unit.
        tera.set_escape_fn(|text, out| out.write_all(quantities(text).as_bytes()));
        tera.add_raw_templates(vec![("desk/roster.html", text(&TEMPLATES, "desk/roster.html"))])
            .map_err(|fault| fault.to_string())?;
        let words: BTreeMap<&str, &str> = self.phrases.iter().filter(|(key, _)| key.starts_with("desk.")).collect();
        let crew = self.crew;
        let mut context = Context::new();
        context.insert("words", &words);
        context.insert("language", &course.settings.language);
        context.insert("course", &course.settings.title);
        context.insert("company", &course.settings.company);
        context.insert("ready", &self.listed(&crew.are_ready));
        context.insert("not_yet", &self.listed(&crew.not_yet));
        context.insert(
            "headline",
            &self.fill("desk.headline", &[("ready", &crew.ready.to_string()), ("all", &crew.people.to_string())]),
        );
        context.insert("marked", &self.fill("desk.marked", &[("day", day(now))]));
        context.insert("alone", &(crew.alone > 0));
        context.insert("rows", &crew.rows);
        let more = crew.people.saturating_sub(ON_PAGE);
        context.insert("more", &(more > 0).then(|| self.fill("desk.more-people", &[("count", &more.to_string())])));
        context.insert("topics", &Rows::new(self.questions).topics());
        context.insert("steps", &crew.rows.iter().any(PersonRow::has_steps));
        context.insert("read", &crew.rows.iter().any(PersonRow::has_read));
        let slips = self.slip_rows(site);
        context.insert("teach", &slips.iter().take(TO_TEACH).collect::<Vec<_>>());
        context.insert("slips", &slips);
        let weak = self.weak_topics().into_iter().map(|weak| TopicRow {
            name: weak.name,
            told: weak.told,
            lesson: weak.lesson.map(|lesson| Roster::linked(lesson, site)),
        });
        context.insert("weak", &weak.collect::<Vec<_>>());
        let (odd, odd_more) = odd_rows(crew, self.questions);
        let odd = odd
            .into_iter()
            .map(|mut row| OddListed { lesson: row.lesson.take().map(|lesson| Roster::linked(lesson, site)), row });
        let odd: Vec<OddListed> = odd.collect();
        let (open, folded) = odd.split_at(odd.iter().take(ODD_OPEN).take_while(|one| one.row.is_together()).count());
        context.insert("odd", &[open, folded]);
        let folded = folded.len() + odd_more;
        context.insert("odd_folded", &self.fill("desk.odd-folded", &[("count", &folded.to_string())]));
        context.insert("items", &self.question_rows());
        context.insert("checks", &self.check_rows());
        let refused: Vec<(String, String)> =
            crew.refused.iter().map(|(path, why)| (file_name(path), why.clone())).collect();
        context.insert("refused", &refused);
        let look: Vec<(String, String)> =
            crew.look.iter().map(|(path, what)| (file_name(path), what.clone())).collect();
        context.insert("look", &look);
        let unread = crew.unread.iter().map(|cell| cell.told(&file_name(&cell.file), self.phrases));
        context.insert("unread", &unread.collect::<Vec<_>>());
        let more = |key: &str, count: usize| (count > 0).then(|| self.fill(key, &[("count", &count.to_string())]));
        context.insert("odd_more", &more("desk.odd-questions-more", odd_more));
        context.insert("unread_more", &more("desk.unread-more", crew.unread_more));
        let repeated: Vec<String> = crew.repeated_files.iter().map(|path| file_name(path)).collect();
        context.insert("repeated", &repeated);
        context.insert("repeated_more", &more("desk.repeated-more", crew.repeated - repeated.len()));
        context.insert(
            "changed",
            &(crew.changed > 0).then(|| self.fill("desk.changed", &[("count", &crew.changed.to_string())])),
        );
        let page = tera.render("desk/roster.html", &context).map_err(|fault| fault.to_string())?;
        // A name may hold controls, or marks that turn what follows it round.
        Ok(clean(&page).into_owned())
    }

    pub(super) fn percent(&self, share: f64) -> String {
        self.phrases.number(percent(share))
    }

    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.phrases.fill_with(key, values)
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}
