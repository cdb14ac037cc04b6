//! From a course's files to the course itself, with every problem of every file.

use super::banks::ready_banks;
use super::drafts::hold_back;
use super::examples::ReadyLesson;
use super::follow::{check_terms, follow};
use super::lessons::{Groundwork, Lessons, lessons, make};
use super::limits::LimitWords;
use super::silent::{tell_banks, tell_unplaced};
use super::whole::{Course, Names, Readers, Resolved};
use super::words;
use crate::load::{Bank, CourseFile, Files, Lesson, Rest, Syllabus, load_rest, read_text};
use crate::problem::{ASKED, Problem, Problems, Rule, Source, alike, code, nearest};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Reads a course and follows everything in it: examples are worked, questions posed, links and numbers looked up.
///
/// All problems of all files come out of one call. What cannot be read is replaced by a stand-in, so that it hides
/// no problem elsewhere. Reads through `files` and touches nothing else.
pub fn resolve(files: &dyn Files) -> Resolved {
    resolve_for(files, Readers::Learners)
}

/// The same for the author or for learners.
pub fn resolve_for(files: &dyn Files, readers: Readers) -> Resolved {
    resolve_keeping(files, readers, true)
}

/// The same for whoever makes pages for learners. Most lessons come without their text, which is let go of as soon as it is
/// read: those of thousands would take a third of the memory.
pub fn resolve_for_pages(files: &dyn Files) -> Resolved {
    let resolved = resolve_keeping(files, Readers::Learners, false);
    // What leads from one lesson to another is looked up last. A problem there needs the text that shows it.
    let textless = |problem: &Problem| problem.text.as_ref().is_some_and(|text| text.is_empty());
    if resolved.problems.iter().any(textless) { resolve(files) } else { resolved }
}

fn resolve_keeping(files: &dyn Files, readers: Readers, keep_texts: bool) -> Resolved {
    let (syllabus, mut read) = Syllabus::read(files);
    let Syllabus { source, settings, images, lessons: listed } = syllabus;
    let lesson_names: BTreeSet<String> = listed.listed.iter().cloned().collect();
    let mut general = Problems::new();
    let groundwork = || {
        let (rest, found) = load_rest(files, &settings);
        read.extend(found);
        let course = without_lessons(source, settings, images, lesson_names, rest, &mut general);
        let words = (!keep_texts).then(|| LimitWords::of(&course.phrases));
        Groundwork { course, words }
    };
    let (Groundwork { mut course, .. }, made) = lessons(files, &listed, readers, groundwork);
    let Lessons { ready: mut fresh, problems: mut of_lessons, drafts: held, others } = made;
    read.extend(others);
    // Few courses have a problem so far, and many have thousands of lessons.
    let named = fresh.iter().enumerate().filter(|_| !read.is_empty());
    let stems: BTreeMap<&str, usize> = named.map(|(at, lesson)| (&*lesson.source.name, at)).collect();
    for problem in read {
        match stems.get(&*problem.file) {
            Some(at) => of_lessons[*at].push(problem),
            None => general.push(problem),
        }
    }
    if fresh.is_empty() && !held.is_empty() {
        let source = &course.source;
        let at = source.text.find("lessons:").unwrap_or_default();
        let place = at..at + "lessons:".len().min(source.text.len() - at);
        let title = "every lesson of this course is a draft, so it is published without one";
        let problem = Problem::new(code::ONLY_DRAFTS, title, "").at(source, place);
        general.push(problem.help("remove the draft line from the header of a lesson that is ready"));
    }
    follow(&mut fresh, &[], &course, &mut of_lessons);
    course.lessons = fresh;
    hold_back(&held, &mut course);
    let none = Arc::new(Problems::new());
    let shared = |own: Problems| if own.is_empty() { Arc::clone(&none) } else { Arc::new(own) };
    put_together(course, Arc::new(general), of_lessons.into_iter().map(shared).collect())
}

/// What is known of a course before its lessons are made.
fn without_lessons(
    source: Source,
    settings: CourseFile,
    images: BTreeSet<String>,
    lesson_names: BTreeSet<String>,
    rest: Rest,
    problems: &mut Problems,
) -> Course {
    let Rest { banks: bank_files, bank_names, own } = rest;
    let phrases = words::phrases(&source, &settings.language, &own, problems);
    let cautions = words::cautions(&settings.language, &own, problems);
    let terms = words::terms(&settings.language, &own, problems);
    let mut banks = ready_banks(&bank_files, problems);
    tell_banks(&bank_files, &mut banks, &phrases, problems);
    let names = Names {
        lessons: lesson_names.iter().cloned().collect(),
        cautions: cautions.keys().chain(&own.unread_cautions).cloned().collect(),
        own_cautions: own.cautions.iter().map(|own| &own.id).chain(&own.unread_cautions).cloned().collect(),
        other_words: words::other_words(&terms),
        terms: terms.iter().map(|term| &term.id).chain(&own.unread_terms).cloned().collect(),
        attachments: own.attachments.iter().map(|attachment| attachment.name.clone()).collect(),
        unplaced: own.unplaced_cautions.clone(),
    };
    check_terms(&own, &names.terms, problems);
    Course {
        source,
        settings,
        phrases,
        cautions: Arc::new(cautions),
        terms: Arc::new(terms),
        lessons: Vec::new(),
        drafts: BTreeSet::new(),
        held_banks: BTreeSet::new(),
        held_cautions: BTreeSet::new(),
        banks: Arc::new(banks),
        bank_files: Arc::new(bank_files),
        images: Arc::new(images),
        attachments: Arc::new(own.attachments),
        templates: Arc::new(own.templates),
        lesson_names: Arc::new(lesson_names),
        bank_names: Arc::new(bank_names),
        names: Arc::new(names),
    }
}

/// The same course after one of its lessons has changed; only what refers to it is read or worked again.
///
/// `None` where that cannot be known from the lesson alone, and the whole course must be read.
pub fn resolve_again(before: &Resolved, files: &dyn Files, stem: &str, readers: Readers) -> Option<Resolved> {
    let course = &before.course;
    let changed = course.lessons.iter().position(|lesson| lesson.stem == stem)?;
    let mut problems = Problems::new();
    // A file of another language, or of the stock, may have come or gone with it.
    let source = read_text(files, &format!("lessons/{stem}.md")).ok()?;
    if source.name != course.lessons[changed].source.name {
        return None;
    }
    let lesson = Lesson::read(stem, source, &mut problems)?;
    if lesson.header.draft && readers == Readers::Learners {
        return None;
    }
    // A lesson that shows a number from this one is made again; one that links to a place in it is checked again.
    let shows = |other: &ReadyLesson| other.body.figures().any(|figure| figure.lesson.as_deref() == Some(stem));
    let links = |other: &ReadyLesson| other.body.outline.links.iter().any(|link| link.stem == stem);
    let mut again = vec![(changed, lesson, problems)];
    for (at, other) in course.lessons.iter().enumerate() {
        if at != changed && (shows(other) || links(other)) {
            let mut problems = Problems::new();
            let lesson = Lesson::read(&other.stem, other.source.clone(), &mut problems)?;
            again.push((at, lesson, problems));
        }
    }
    let mut own: Vec<Problems> = Vec::new();
    let (mut places, mut lessons) = (Vec::new(), Vec::new());
    for (at, lesson, problems) in again {
        places.push(at);
        lessons.push(lesson);
        own.push(problems);
    }
    let kept: Vec<&ReadyLesson> =
        course.lessons.iter().enumerate().filter(|(at, _)| !places.contains(at)).map(|(_, lesson)| &**lesson).collect();
    let waiting = lessons.into_iter().zip(&mut own);
    let mut fresh: Vec<_> = waiting.map(|(lesson, problems)| make(lesson, course, None, problems)).collect();
    // A bank that was held back with a draft is asked now.
    if fresh.iter().flat_map(|lesson| lesson.banks()).any(|bank| course.held_banks.contains(bank)) {
        return None;
    }
    follow(&mut fresh, &kept, course, &mut own);
    let mut course = course.clone();
    let mut of_lessons = before.of_lessons.clone();
    for ((at, lesson), problems) in places.into_iter().zip(fresh).zip(own) {
        course.lessons[at] = lesson;
        of_lessons[at] = Arc::new(problems);
    }
    Some(put_together(course, Arc::clone(&before.general), of_lessons))
}

fn put_together(course: Course, general: Arc<Problems>, of_lessons: Vec<Arc<Problems>>) -> Resolved {
    let mut problems = Problems::clone(&general);
    let (cautions, terms) = (unread(&general, "caution"), unread(&general, "glossary"));
    for own in of_lessons.iter().filter(|own| !own.is_empty()) {
        // What an unread file holds is not missing: its own problem says what to do.
        let known = own.iter().filter(|problem| {
            !(cautions && problem.code == code::CAUTION_UNKNOWN.code
                || terms && problem.code == code::TERM_UNKNOWN.code
                || problem.code == code::LINK_TO_NOWHERE.code && listed_without_file(&general, problem))
        });
        problems.extend(known.cloned().map(|problem| picture_of_another_kind(&general, problem)));
    }
    // A lesson that could not be read whole may be the one that asks it.
    let hidden = problems.iter().any(|problem| {
        let lesson =
            problem.file.starts_with("lessons/") && code::rule(problem.code).is_some_and(|rule| rule.hides_text());
        // A lesson listed under something that cannot be a name is not read either.
        let misnamed = problem.code == code::NAME_FORM.code && &*problem.file == "course.yaml";
        lesson || misnamed || problem.code == code::LESSON_MISSING.code
    });
    // So may one that names the bank and has errors: perhaps in the very block.
    let in_doubt = |bank: &str| {
        let lessons = course.lessons.iter().zip(&of_lessons);
        lessons.into_iter().any(|(lesson, own)| own.has_errors() && lesson.source.text.contains(bank))
    };
    // And a lesson that names one nearly, which has been reported with this name.
    let nearly = |rule: &Rule, name: &str| {
        let told = problems.iter().filter(|problem| problem.code == rule.code && problem.file.starts_with("lessons/"));
        told.take(ASKED).any(|problem| is_nearly(named(problem), name))
    };
    let misnamed: Vec<&str> =
        course.bank_files.keys().filter(|bank| nearly(code::BANK_MISSING, bank)).map(String::as_str).collect();
    let unplaced = course
        .banks_by_themselves()
        .filter(|bank| !hidden && !in_doubt(&bank.id) && !misnamed.contains(&bank.id.as_str()));
    let mistyped = course.names.unplaced.iter().map(|(caution, _)| caution);
    let nearly_shown: BTreeSet<&String> = mistyped.filter(|caution| nearly(code::CAUTION_UNKNOWN, caution)).collect();
    let unplaced: Vec<&Bank> = unplaced.filter_map(|bank| course.bank_files.get(&bank.id)).collect();
    tell_unplaced(&unplaced, &mut problems);
    let shown: BTreeSet<&str> = course.lessons.iter().flat_map(|lesson| lesson.cautions()).collect();
    let lost = course.names.unplaced.iter().filter(|(caution, _)| {
        !hidden
            && !shown.contains(caution.as_str())
            && !course.held_cautions.contains(caution)
            && !in_doubt(caution)
            && !nearly_shown.contains(caution)
    });
    problems.extend(lost.map(|(_, problem)| problem.clone()));
    problems.sort();
    problems.find_near(|among| course.context().names(among));
    Resolved { course, problems, general, of_lessons }
}

/// The first name that a problem's sentence has in backticks.
fn named(problem: &Problem) -> &str {
    problem.title.split('`').nth(1).unwrap_or_default()
}

/// Whether what is named in a lesson, `questions/yard-chek.yaml` or `drip-trey`, is a slip of this name.
fn is_nearly(typed: &str, name: &str) -> bool {
    let typed = typed.strip_prefix("questions/").unwrap_or(typed);
    let typed = typed.strip_suffix(".yaml").unwrap_or(typed);
    nearest(typed, [name]).is_some() || !alike(typed, [name]).is_empty()
}

/// Whether a link leads to a lesson that is listed and has no file, which has been reported.
fn listed_without_file(general: &Problems, link: &Problem) -> bool {
    let missing = general.iter().filter(|problem| problem.code == code::LESSON_MISSING.code);
    missing.into_iter().any(|problem| named(problem).strip_prefix("lessons/") == Some(named(link)))
}

/// A picture that is there in a form that browsers do not show is not missing: it is to be saved anew.
fn picture_of_another_kind(general: &Problems, problem: Problem) -> Problem {
    let file = named(&problem).to_owned();
    let other = |told: &Problem| told.code == code::IMAGE_KIND.code && *told.file == *file;
    if problem.code != code::IMAGE_MISSING.code || !general.iter().any(other) {
        return problem;
    }
    let stem = file.rsplit_once('.').map_or(file.as_str(), |(stem, _)| stem);
    let mut problem = problem.help(format!("save `{file}` as PNG, and write `../{stem}.png`"));
    problem.sought = None;
    problem
}

/// Whether a file of the course's own words could not be read at all, or has a name under which it is not read.
fn unread(problems: &Problems, stem: &str) -> bool {
    let rules = [
        code::OUTSIDE_COURSE,
        code::WORDS_FILE_NAME,
        code::FILE_MISSING,
        code::FILE_TOO_LARGE,
        code::FILE_UNREAD,
        code::NOT_A_FILE,
        code::NOT_UTF_8,
        code::NUL,
    ];
    let named = |file: &str| file.to_lowercase().starts_with(stem);
    problems.iter().any(|problem| named(&problem.file) && rules.iter().any(|rule| rule.code == problem.code))
}

#[cfg(test)]
mod tests;
