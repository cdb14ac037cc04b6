//! The first page: lessons, quizzes, calculators and files to take along.

use super::fault::Fault;
use super::pages::{AttachedRow, LessonRow, Pages, QuizRow};
use super::work::{self, Shown};
use super::{pool, quiz};
use crate::course::{Course, ReadyLesson};
use crate::load::Attachment;
use std::sync::Arc;

pub(super) fn page(course: &Course, shown: &[Shown], pages: &Pages) -> Result<String, Fault> {
    let phrases = &course.phrases;
    let mut rows = Vec::new();
    for bank in course.banks_by_themselves() {
        let part = quiz::part(bank, None, None, true, &[], None, phrases)?;
        let rule = phrases.fill(part.rule_key(), |place| match place {
            "ask" => Some(part.ask.to_string()),
            "need" => Some(part.need.to_string()),
            "pass" => Some(part.pass_text.clone()),
            _ => None,
        });
        rows.push(QuizRow { href: format!("checks/{}.html", bank.id), title: bank.title.clone(), rule });
    }
    let row = |(index, lesson): (usize, &Arc<ReadyLesson>)| LessonRow {
        href: format!("lessons/{}.html", lesson.stem),
        title: lesson.header.title.clone(),
        summary: lesson.header.summary.clone(),
        minutes: lesson.header.minutes,
        draft: lesson.header.draft,
        position: index + 1,
    };
    let contents: Vec<LessonRow> = course.lessons.iter().enumerate().map(row).collect();
    let (shelves, attached) = (work::shelves(shown, phrases), attached(course));
    pages.home(&course.settings, &contents, &rows, &shelves, &pool::outline(course), &attached)
}

fn attached(course: &Course) -> Vec<AttachedRow> {
    let row = |attachment: &Attachment| {
        let kind = attachment.name.rsplit('.').next().unwrap_or_default().to_uppercase();
        let size = attachment.size.div_ceil(1000).max(1).to_string();
        let about = course.phrases.fill("site.attached-about", |place| match place {
            "kind" => Some(kind.clone()),
            "size" => Some(size.clone()),
            _ => None,
        });
        let mut href = String::new();
        crate::markdown::escape::file(&mut href, &attachment.name);
        AttachedRow { href, title: attachment.title.clone(), about }
    };
    course.attachments.iter().map(row).collect()
}
