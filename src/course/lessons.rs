//! The lessons of a course: each is read and made by one thread in one go, so that few texts are in memory at a time.

use super::examples::{ReadyLesson, ready};
use super::limits::LimitWords;
use super::whole::{Course, Readers};
use crate::load::{Files, Lesson, LessonFiles};
use crate::markdown::{Text, render};
use crate::parallel::{in_parallel_after, threads};
use crate::problem::Problems;
use std::sync::Arc;

/// A course without its lessons.
pub(super) struct Groundwork {
    pub(super) course: Course,
    /// The words for a maximum, where a lesson may let go of its text.
    pub(super) words: Option<LimitWords>,
}

/// What came of the lessons.
#[derive(Default)]
pub(super) struct Lessons {
    pub(super) ready: Vec<Arc<ReadyLesson>>,
    /// The problems of each of them.
    pub(super) problems: Vec<Problems>,
    /// Those that are still being written, and left out.
    pub(super) drafts: Vec<Lesson>,
    /// The problems of drafts, and of what could not be read.
    pub(super) others: Problems,
}

enum Made {
    Ready(Arc<ReadyLesson>),
    Draft(Lesson),
    Unread,
}

/// Makes all lessons. While this thread lays the groundwork, others read lessons ahead.
pub(super) fn lessons(
    files: &dyn Files,
    listed: &LessonFiles,
    readers: Readers,
    groundwork: impl FnOnce() -> Groundwork,
) -> (Groundwork, Lessons) {
    let (mut groundwork, made) = all(files, listed, readers, groundwork);
    if made.drafts.is_empty() {
        return (groundwork, made);
    }
    // Only now is it known which lessons are drafts, and the others must not link to them: they are made again.
    groundwork.course.leave_out(&made.drafts);
    drop(made);
    all(files, listed, readers, || groundwork)
}

fn all(
    files: &dyn Files,
    listed: &LessonFiles,
    readers: Readers,
    groundwork: impl FnOnce() -> Groundwork,
) -> (Groundwork, Lessons) {
    let made = |(lesson, mut problems): (Option<Lesson>, Problems), groundwork: &Groundwork| {
        let made = match lesson {
            None => Made::Unread,
            Some(lesson) if lesson.header.draft && readers == Readers::Learners => Made::Draft(lesson),
            Some(lesson) => {
                let words = groundwork.words.as_ref().filter(|_| problems.is_empty());
                Made::Ready(make(lesson, &groundwork.course, words, &mut problems))
            }
        };
        (made, problems)
    };
    let (groundwork, all) =
        in_parallel_after(&listed.listed, threads(), groundwork, |stem| listed.read(files, stem), made);
    let mut lessons = Lessons::default();
    lessons.ready.reserve(all.len());
    lessons.problems.reserve(all.len());
    for (made, found) in all {
        match made {
            Made::Ready(lesson) => {
                lessons.ready.push(lesson);
                lessons.problems.push(found);
                continue;
            }
            Made::Draft(lesson) => lessons.drafts.push(lesson),
            Made::Unread => {}
        }
        lessons.others.extend(found);
    }
    (groundwork, lessons)
}

/// A lesson rendered and its examples worked. Its text is let go of where there are `words` for a maximum to tell that
/// nothing in it will be read again.
pub(super) fn make(
    lesson: Lesson,
    course: &Course,
    words: Option<&LimitWords>,
    problems: &mut Problems,
) -> Arc<ReadyLesson> {
    let mut found = Problems::new();
    let text = Text { stem: &lesson.stem, source: &lesson.source, start: lesson.body_start };
    let body = render(text, &course.context(), &mut found);
    let ready = ready(lesson, body, course.settings.units, &course.phrases, words, &mut found);
    problems.extend(found);
    Arc::new(ready)
}
