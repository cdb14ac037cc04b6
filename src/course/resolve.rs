//! From a course's files to the course itself, with every problem of every file.

use super::banks::{ReadyBank, read_pass, ready_banks};
use super::examples::{ReadyLesson, ready};
use super::figures::show_figures;
use super::silent::{tell_banks, tell_unplaced};
use super::words;
use crate::catalogue::{StockCaution, Term};
use crate::embedded::is_text;
use crate::load::{Attachment, Bank, CourseFile, Files, Lesson, Manuscript, Own, load, read_text};
use crate::markdown::{Caution, Context, Insert, Outline, Questions, Text, check_links, render};
use crate::parallel::{in_parallel, threads};
use crate::problem::{Problem, Problems, Source, code, offer};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A course in which everything that its files refer to was found: what [`crate::render`] makes pages of.
///
/// A copy costs little: what is large is shared.
#[derive(Clone, Debug)]
pub struct Course {
    /// `course.yaml`, with its text.
    pub source: Source,
    /// What `course.yaml` says.
    pub settings: CourseFile,
    /// The sentences of the course's language.
    pub phrases: Arc<Phrases>,
    /// The cautions by name, those of the course's own among them.
    pub cautions: Arc<BTreeMap<String, StockCaution>>,
    /// The glossary in alphabetical order.
    pub terms: Arc<Vec<Term>>,
    /// The lessons in the order of the course.
    pub lessons: Vec<Arc<ReadyLesson>>,
    /// Names of lessons that are still being written, and left out.
    pub drafts: BTreeSet<String>,
    /// Names of the course's own banks that only drafts place: they are left out with them.
    pub held_banks: BTreeSet<String>,
    /// Names of the cautions that drafts show.
    held_cautions: BTreeSet<String>,
    /// The question banks by name.
    pub banks: Arc<BTreeMap<String, ReadyBank>>,
    /// The same banks as they are written.
    pub bank_files: Arc<BTreeMap<String, Bank>>,
    /// Names of the pictures, `images/gun.png`.
    pub images: Arc<BTreeSet<String>>,
    /// Files that a learner can download.
    pub attachments: Arc<Vec<Attachment>>,
    /// Template parts that replace stock ones.
    pub templates: Arc<BTreeMap<String, Source>>,
    /// Names of all listed lessons that have a file, whether or not it could be read.
    pub lesson_names: Arc<BTreeSet<String>>,
    /// Names of all question banks that have a file, whether or not it could be read.
    pub bank_names: Arc<BTreeSet<String>>,
    /// Names of what can be linked to: terms, cautions, attachments.
    names: Arc<Names>,
}

impl Course {
    /// The units shown first.
    pub fn system(&self) -> System {
        super::examples::system(self.settings.units)
    }

    /// Lets go of the lessons' texts, which no page is made from any more: a course of thousands takes a third less.
    /// Lessons that a copy of this course shares keep theirs.
    pub fn forget_texts(&mut self) {
        for lesson in self.lessons.iter_mut().filter_map(Arc::get_mut) {
            lesson.source.text = Arc::from("");
            lesson.body_start = 0;
        }
    }

    /// The course's own banks that no lesson places: each gets its own page.
    pub fn banks_by_themselves(&self) -> impl Iterator<Item = &ReadyBank> {
        let placed = self.banks_placed();
        // A stock bank waits until a lesson places it.
        let stock = |id: &str| crate::catalogue::is_stock("questions", &format!("{id}.yaml"));
        self.banks.values().filter(move |bank| !placed.contains(bank.id.as_str()) && !stock(&bank.id))
    }

    /// Names of the banks that lessons place.
    pub fn banks_placed(&self) -> BTreeSet<&str> {
        self.lessons.iter().flat_map(|lesson| lesson.banks()).collect()
    }

    /// What a lesson may refer to.
    fn context(&self) -> Context<'_> {
        Context {
            lessons: &self.lesson_names,
            drafts: &self.drafts,
            banks: &self.bank_names,
            cautions: &self.names.cautions,
            terms: &self.names.terms,
            images: &self.images,
            attachments: &self.names.attachments,
            to_root: "../",
        }
    }
}

/// Who the pages are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// Learners: a lesson that is still being written is left out.
    Learners,
    /// The author, who sees drafts as well.
    Author,
}

/// A course, and everything that is wrong with its files.
#[derive(Clone, Debug)]
pub struct Resolved {
    course: Course,
    /// Every problem of every file, errors and warnings, sorted by file and place.
    pub problems: Problems,
    /// The same, separated: those that belong to no lesson, and those of each lesson.
    general: Arc<Problems>,
    of_lessons: Vec<Arc<Problems>>,
}

impl Resolved {
    /// The course, unless an error rules out making pages of it.
    pub fn course(&self) -> Option<&Course> {
        (!self.problems.has_errors()).then_some(&self.course)
    }

    /// The same, for whoever makes pages of it and reads nothing again.
    pub fn into_course(self) -> Option<Course> {
        (!self.problems.has_errors()).then_some(self.course)
    }

    /// The course as far as it could be made out, whatever is wrong with it: for whoever looks for more problems.
    pub fn draft(&self) -> &Course {
        &self.course
    }
}

/// Reads a course and follows everything in it: examples are worked, questions posed, links and numbers looked up.
///
/// All problems of all files come out of one call. What cannot be read is replaced by a stand-in, so that it hides
/// no problem elsewhere. Reads through `files` and touches nothing else.
pub fn resolve(files: &dyn Files) -> Resolved {
    resolve_for(files, Readers::Learners)
}

/// The same for the author or for learners.
pub fn resolve_for(files: &dyn Files, readers: Readers) -> Resolved {
    let (mut manuscript, read) = load(files, threads());
    let held = match readers {
        Readers::Learners => take_drafts(&mut manuscript),
        Readers::Author => Vec::new(),
    };
    let all_held = manuscript.lessons.is_empty() && !held.is_empty();
    let drafts: BTreeSet<String> = held.iter().map(|lesson| lesson.stem.clone()).collect();
    let stems: BTreeMap<String, usize> =
        manuscript.lessons.iter().enumerate().map(|(at, lesson)| (lesson.source.name.to_string(), at)).collect();
    let mut of_lessons = vec![Problems::new(); manuscript.lessons.len()];
    let mut general = Problems::new();
    for problem in read {
        match stems.get(&*problem.file) {
            Some(at) => of_lessons[*at].push(problem),
            None => general.push(problem),
        }
    }
    let Manuscript { source, settings, lessons, banks, images, own, lesson_names, bank_names } = manuscript;
    if all_held {
        let at = source.text.find("lessons:").unwrap_or_default();
        let place = at..at + "lessons:".len().min(source.text.len() - at);
        let title = "every lesson of this course is a draft, so it is published without one";
        let problem = Problem::new(code::ONLY_DRAFTS, title, "").at(&source, place);
        general.push(problem.help("remove the draft line from the header of a lesson that is ready"));
    }
    let phrases = words::phrases(&settings.language, &own, &mut general);
    let cautions = words::cautions(&settings.language, &own, &mut general);
    let terms = words::terms(&settings.language, &own, &mut general);
    let bank_files = banks;
    let mut banks = ready_banks(&bank_files, &mut general);
    tell_banks(&bank_files, &mut banks, &mut general);
    let names = Names {
        cautions: cautions.keys().chain(&own.unread_cautions).cloned().collect(),
        terms: terms.iter().map(|term| &term.id).chain(&own.unread_terms).cloned().collect(),
        attachments: own.attachments.iter().map(|attachment| attachment.name.clone()).collect(),
        unplaced: own.unplaced_cautions.clone(),
    };
    check_terms(&own, &names.terms, &mut general);
    let mut course = Course {
        source,
        settings,
        phrases: Arc::new(phrases),
        cautions: Arc::new(cautions),
        terms: Arc::new(terms),
        lessons: Vec::new(),
        drafts,
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
    };
    let mut fresh = ready_lessons(&lessons, &course, &mut of_lessons);
    follow(&mut fresh, &[], &course, &mut of_lessons);
    course.lessons = fresh.into_iter().map(Arc::new).collect();
    hold_back(&held, &mut course);
    put_together(course, Arc::new(general), of_lessons.into_iter().map(Arc::new).collect())
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
    let mut fresh = ready_lessons(&lessons, course, &mut own);
    // A bank that was held back with a draft is asked now.
    if fresh.iter().flat_map(ReadyLesson::banks).any(|bank| course.held_banks.contains(bank)) {
        return None;
    }
    follow(&mut fresh, &kept, course, &mut own);
    let mut course = course.clone();
    let mut of_lessons = before.of_lessons.clone();
    for ((at, lesson), problems) in places.into_iter().zip(fresh).zip(own) {
        course.lessons[at] = Arc::new(lesson);
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
                || terms && problem.code == code::TERM_UNKNOWN.code)
        });
        problems.extend(known.cloned());
    }
    // A lesson that could not be read whole may be the one that asks it.
    let hidden = problems.iter().any(|problem| {
        let lesson =
            problem.file.starts_with("lessons/") && code::rule(problem.code).is_some_and(|rule| rule.hides_text());
        lesson || problem.code == code::LESSON_MISSING.code
    });
    // So may one that names the bank and has errors: perhaps in the very block.
    let in_doubt = |bank: &str| {
        let lessons = course.lessons.iter().zip(&of_lessons);
        lessons.into_iter().any(|(lesson, own)| own.has_errors() && lesson.source.text.contains(bank))
    };
    let unplaced = course.banks_by_themselves().filter(|bank| !hidden && !in_doubt(&bank.id));
    let unplaced: Vec<&Bank> = unplaced.filter_map(|bank| course.bank_files.get(&bank.id)).collect();
    tell_unplaced(&unplaced, &mut problems);
    let shown: BTreeSet<&str> = course.lessons.iter().flat_map(|lesson| lesson.cautions()).collect();
    let lost = course.names.unplaced.iter().filter(|(caution, _)| {
        !hidden && !shown.contains(caution.as_str()) && !course.held_cautions.contains(caution) && !in_doubt(caution)
    });
    problems.extend(lost.map(|(_, problem)| problem.clone()));
    problems.sort();
    problems.find_near(|among| course.context().names(among));
    Resolved { course, problems, general, of_lessons }
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

/// Takes the lessons out that are still being written.
fn take_drafts(manuscript: &mut Manuscript) -> Vec<Lesson> {
    let (drafts, lessons): (Vec<Lesson>, Vec<Lesson>) =
        std::mem::take(&mut manuscript.lessons).into_iter().partition(|lesson| lesson.header.draft);
    manuscript.lessons = lessons;
    manuscript.lesson_names.retain(|stem| drafts.iter().all(|draft| draft.stem != *stem));
    drafts
}

/// Takes the course's own banks out that only drafts place, and remembers the cautions that drafts show.
fn hold_back(drafts: &[Lesson], course: &mut Course) {
    let (mut placed, mut shown) = (BTreeSet::new(), BTreeSet::new());
    for draft in drafts {
        let text = Text { stem: &draft.stem, source: &draft.source, start: draft.body_start };
        // What is wrong with a draft is told once it is meant to be read.
        let body = render(text, &course.context(), &mut Problems::new());
        for hole in &body.holes {
            match &hole.insert {
                Insert::Questions(questions) => placed.extend(questions.banks().map(|(bank, _)| bank.to_owned())),
                Insert::Caution(Caution::Stock { id, .. }) => _ = shown.insert(id.clone()),
                _ => {}
            }
        }
    }
    course.held_cautions = shown;
    let own: BTreeSet<String> = course.banks_by_themselves().map(|bank| bank.id.clone()).collect();
    course.held_banks = placed.intersection(&own).cloned().collect();
    // Nobody else has the banks yet.
    if let Some(banks) = Arc::get_mut(&mut course.banks) {
        banks.retain(|name, _| !course.held_banks.contains(name));
    }
}

/// Names that a lesson may refer to.
#[derive(Debug)]
struct Names {
    cautions: BTreeSet<String>,
    terms: BTreeSet<String>,
    attachments: BTreeSet<String>,
    /// What is said of each of the course's own cautions if no lesson shows it.
    unplaced: Vec<(String, Problem)>,
}

/// The course's own terms must link to existing terms.
fn check_terms(own: &Own, terms: &BTreeSet<String>, problems: &mut Problems) {
    for term in &own.terms {
        for address in term.text.split("](term:").skip(1).filter_map(|rest| rest.split(')').next()) {
            if !terms.contains(address) {
                let title = format!("the term `{}` leads to a term `{address}`, which does not exist", term.id);
                let mut problem = Problem::new(code::TERM_UNKNOWN, title, "glossary.yaml");
                problem.help = offer(address, terms.iter().map(String::as_str));
                problems.push(problem);
            }
        }
    }
}

/// The lessons rendered and their examples worked; the problems of each go to its own.
fn ready_lessons(lessons: &[Lesson], course: &Course, of_lessons: &mut [Problems]) -> Vec<ReadyLesson> {
    let context = course.context();
    let made = in_parallel(lessons, threads(), |lesson: &Lesson| {
        let mut problems = Problems::new();
        let text = Text { stem: &lesson.stem, source: &lesson.source, start: lesson.body_start };
        let body = render(text, &context, &mut problems);
        let ready = ready(lesson, body, course.settings.units, &course.phrases, &mut problems);
        (ready, problems)
    });
    let mut ready = Vec::with_capacity(made.len());
    for ((lesson, found), own) in made.into_iter().zip(of_lessons) {
        own.extend(found);
        ready.push(lesson);
    }
    ready
}

/// Follows what leads from one lesson to another: links to headings, numbers, questions.
fn follow(fresh: &mut [ReadyLesson], kept: &[&ReadyLesson], course: &Course, of_lessons: &mut [Problems]) {
    let outline = |lesson| -> (&str, &Source, &Outline) {
        let lesson: &ReadyLesson = lesson;
        (lesson.stem.as_str(), &lesson.source, &lesson.body.outline)
    };
    let all = fresh.iter().chain(kept.iter().copied()).map(outline);
    check_links(fresh.iter().map(outline), all, of_lessons);
    show_figures(fresh, kept, &course.lesson_names, &course.phrases, of_lessons);
    for (lesson, problems) in fresh.iter().zip(of_lessons) {
        for hole in &lesson.body.holes {
            if let Insert::Questions(questions) = &hole.insert {
                check_questions(&lesson.source, questions, course, problems);
            }
        }
    }
}

/// Checks what a lesson asks of a bank.
fn check_questions(source: &Source, written: &Questions, course: &Course, problems: &mut Problems) {
    let banks = &course.banks;
    let Some(bank) = banks.get(&written.bank) else { return };
    if written.pass.as_deref().is_some_and(|pass| read_pass(pass).is_none()) {
        let title = "a share from above 0 to 100 % is expected for `pass`";
        let problem = Problem::new(code::PASS_NOT_A_SHARE, title, "").at(source, written.place.clone());
        problems.push(problem.help("write `pass: 80 %`"));
    }
    let mut too_many = |bank: &ReadyBank, ask: Option<u32>, place: &Range<usize>| {
        let there = bank.questions.len();
        if let Some(ask) = ask.filter(|ask| *ask as usize > there) {
            // No author has the stock's lesson: what can be changed is the bank in its place.
            if let Some(own) = course.bank_files.get(&bank.id).filter(|_| is_text(&source.name, &source.text)) {
                let stem = source.name.rsplit('/').next().unwrap_or_default().trim_end_matches(".md");
                let title =
                    format!("the stock lesson `{stem}` asks {ask} questions of this bank, which has only {there}");
                let help = format!("write at least {ask}; or rename the file and its id, and the stock bank is back");
                let place = own.root.get("id").map_or(0..0, |id| id.span.clone());
                return problems.push(Problem::new(code::ASKS_TOO_MANY, title, "").at(&own.source, place).help(help));
            }
            let title = format!("{ask} questions are asked for, but the bank `{}` has only {there}", bank.id);
            let problem = Problem::new(code::ASKS_TOO_MANY, title, "").at(source, place.clone());
            problems.push(problem.help(format!("write `ask: {there}` or less, or leave the line out to ask them all")));
        }
    };
    too_many(bank, written.ask, &written.ask_place);
    for other in &written.also {
        if let Some(bank) = banks.get(&other.bank) {
            too_many(bank, other.ask, &other.ask_place);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Memory;
    use crate::problem::Style;

    /// Our own generator, so that a finding can be repeated (Knuth's MMIX constants, TAOCP 2, 3.3.4).
    struct Random(u64);

    impl Random {
        fn below(&mut self, limit: usize) -> usize {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            usize::try_from(self.0 >> 33).unwrap_or(0) % limit
        }
    }

    const COURSE: &str = "id: demo\ntitle: Demo\ncompany: Green\nlessons: [one]\n";
    const LESSON: &str = "---\ntitle: A ft²\nsummary: B\n---\n# H {#x}\n\na[^n] [p](one.md#x) ![g](../images/g.png) `c`\n\n[^n]: Note\n\n- ```worked-example w\n  calculator: catch-test\n  given: { catch: [ { volume: 1 gal } ] }\n  ```\n\n| a | b |\n|---|:-:|\n| [x](figure:w/r?in=L) | <b> |\n\n```caution danger\nNo *way*.\n```\n";
    const BANK: &str = "id: bank\ntitle: B\nquestions:\n  - id: a\n    kind: one\n    text: Why ²?\n    options:\n      - { text: A, right: true }\n      - text: |\n          B\n  - {id: n, kind: number, asks: a/b, text: \"x\", given: {v: 1 gal}}\n";
    const SCRAPS: [&str; 22] = [
        "[", "]", "{", "}", ":", "- ", "\n", "\t", "\"", "'", "&a ", "*a", "!t ", "|", "---\n", "²", "\r", "<", "```",
        "[^n]", "\u{202e}", "# ",
    ];

    fn damaged(text: &str, random: &mut Random) -> String {
        let mut text = text.to_owned();
        for _ in 0..=random.below(4) {
            let mut at = random.below(text.len() + 1);
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            match random.below(3) {
                0 => text.insert_str(at, SCRAPS[random.below(SCRAPS.len())]),
                1 => text.truncate(at),
                _ => {
                    let end = text[at..].char_indices().nth(random.below(6)).map_or(text.len(), |(next, _)| at + next);
                    text.replace_range(at..end, "");
                }
            }
        }
        text
    }

    #[test]
    fn no_damage_to_a_course_makes_the_reader_panic_or_lose_its_place() {
        let mut random = Random(1);
        for _ in 0..400 {
            let mut files = Memory::new();
            files.add("course.yaml", damaged(COURSE, &mut random).into_bytes());
            files.add("lessons/one.md", damaged(LESSON, &mut random).into_bytes());
            files.add("questions/bank.yaml", damaged(BANK, &mut random).into_bytes());
            let resolved = resolve(&files);
            for lesson in &resolved.draft().lessons {
                assert!(!lesson.html().expect("it is whole").contains("<b>"));
                lesson.body.fill_in(&lesson.html().expect("it is whole"), &mut String::new(), |_, _| {});
            }
            for problem in &resolved.problems.draw(Style::Plain).into_bytes() {
                assert!(*problem >= b' ' || *problem == b'\n', "no control character is drawn");
            }
        }
    }

    fn told(files: &[(&'static str, &'static str)]) -> Vec<(&'static str, String)> {
        let mut memory = Memory::new();
        for (name, text) in files {
            memory.add(*name, text.as_bytes());
        }
        let resolved = resolve(&memory);
        resolved.problems.iter().map(|problem| (problem.code, problem.file.to_string())).collect()
    }

    #[test]
    fn an_error_in_the_settings_hides_no_problem_of_a_lesson_or_a_question() {
        let lesson = "---\ntitle: L\n---\n\nIt is [x](figure:gun/nozzle-output).\n\n```worked-example w\ncalculator: catch-test\ngiven: { catch: [ { volume: 1 gal } ] }\n```\n";
        let bank = "id: own\ntitle: T\nquestions:\n  - id: a\n    kind: number\n    text: What?\n    asks: catch-test/output\n    given: { catch: [ { volume: 1 gal, time: 60 s } ] }\n";
        let below = [
            ("missing-key", "lessons/l.md".to_owned()),
            ("figure-unknown", "lessons/l.md".to_owned()),
            ("input-missing", "lessons/l.md".to_owned()),
            ("bank-unplaced", "questions/own.yaml".to_owned()),
            ("result-unknown", "questions/own.yaml".to_owned()),
        ];
        for (settings, codes) in
            [("id: [x\n", &["yaml-syntax"][..]), ("id: c\ntitle: T\ncompany: C\nlessons: all\n", &["wrong-type"])]
        {
            let all = told(&[("course.yaml", settings), ("lessons/l.md", lesson), ("questions/own.yaml", bank)]);
            let mut expected: Vec<_> = codes.iter().map(|code| (*code, "course.yaml".to_owned())).collect();
            expected.extend(below.clone());
            assert_eq!(all, expected, "{settings}");
        }
    }
}
