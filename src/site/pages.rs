//! Page templates and what they are given.

use super::card::CardPart;
use super::contents;
use super::fault::Fault;
use super::frames::{BODY_HERE, Frame, Frames, Look};
use super::needs::Needs;
use super::quiz::BankPart;
use super::templates::Templates;
use super::unbroken::whole_addresses;
use super::work::{WorkPart, WorkShelf};
use crate::catalogue::inline;
use crate::course::Course;
use crate::load::CourseFile;
use crate::markdown::page_names;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use tankside_calc::words::phrases::Phrases;
use tera::Context;

#[derive(Clone, Debug, Serialize)]
pub(super) struct Link {
    pub(super) href: String,
    pub(super) title: String,
}

#[derive(Serialize)]
pub(super) struct LessonPart {
    pub(super) title: String,
    pub(super) summary: String,
    pub(super) minutes: Option<u32>,
    pub(super) draft: bool,
    pub(super) position: usize,
    pub(super) total: usize,
    pub(super) segments: Vec<String>,
    pub(super) previous: Option<Link>,
    pub(super) next: Option<Link>,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct LessonRow {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) summary: String,
    pub(super) minutes: Option<u32>,
    pub(super) draft: bool,
    pub(super) position: usize,
}

#[derive(Serialize)]
pub(super) struct QuizRow {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) rule: String,
}

/// A file to download.
#[derive(Serialize)]
pub(super) struct AttachedRow {
    pub(super) href: String,
    pub(super) title: String,
    /// Its kind and size: `PDF, 120 KB`.
    pub(super) about: String,
}

/// A link that every page has: in its foot, and the most used ones in its top band.
#[derive(Serialize)]
struct Way<'a> {
    /// From the site's folder.
    href: &'a str,
    title: &'a str,
    /// The `place` of the page it leads to; empty if it leads to a place within a page.
    place: &'a str,
    top: bool,
}

/// The links in order: address, phrase of the name, place, whether it is in the top band.
const WAYS: &[(&str, &str, &str, bool)] = &[
    (page_names::HOME, "site.way-course", "home", false),
    ("index.html#work", "site.way-work", "", true),
    (page_names::DRILL, "learn.drill", "", true),
    (page_names::EXAM, "learn.exam", "", false),
    (page_names::LOG, "learn.log", "", false),
    (page_names::STEPS, "learn.steps", "", false),
    (page_names::READING, "learn.reading", "", false),
    (page_names::PROGRESS, "learn.progress", "", false),
    (page_names::CARD, "site.way-cards", "card", true),
    (page_names::FORMULAS, "site.way-formulas", "formulas", false),
    (page_names::UNITS, "site.way-units", "units", false),
    // Search finds it by these words too.
    (page_names::GLOSSARY, "site.way-glossary", "glossary", false),
];

/// Where the outline belongs in the first page of a long course, which is filled several times before it is put there.
const OUTLINE_HERE: &str = "\0outline\0";

/// A page that every site has and that holds no form.
#[derive(Clone, Copy, Debug)]
pub(super) enum Standing {
    /// Every formula with its source.
    Formulas,
    /// Units and constants.
    Units,
    /// The trade's words.
    Glossary,
}

impl Standing {
    fn name(self) -> &'static str {
        match self {
            Standing::Formulas => "formulas",
            Standing::Units => "units",
            Standing::Glossary => "glossary",
        }
    }
}

#[derive(Serialize)]
struct PagePart<'a> {
    title: &'a str,
    description: &'a str,
    computes: bool,
    asks: bool,
    place: &'a str,
}

/// The templates, ready to render.
#[derive(Debug)]
pub(super) struct Pages {
    templates: Templates,
    /// What every page shares.
    frame: Context,
    /// The same with the band and the foot of a place: they are made once for all pages of a place.
    framed: Mutex<BTreeMap<(&'static str, &'static str), Context>>,
    /// Lessons' pages without what differs from lesson to lesson.
    frames: Frames,
}

impl Pages {
    /// Reads the templates and sets what every page shares.
    pub(super) fn new(course: &Course) -> Result<Pages, Fault> {
        let (settings, phrases) = (&course.settings, &course.phrases);
        let templates = Templates::read(&course.templates, course.lessons.len())?;
        let footer = settings.footer.as_deref().map(inline).unwrap_or_default();
        let contact = settings.contact.as_deref().unwrap_or_default();
        let ask = match contact {
            "" => String::new(),
            contact => whole_addresses(&phrases.fill_with("site.ask", &[("contact", contact)])),
        };
        let mut logo = String::new();
        crate::markdown::escape::file(&mut logo, settings.logo.as_deref().unwrap_or_default());
        let site: BTreeMap<&str, &str> = BTreeMap::from([
            ("id", settings.id.as_str()),
            ("title", &settings.title),
            ("company", &settings.company),
            ("language", &settings.language),
            ("contact", contact),
            ("ask", &ask),
            ("summary", settings.summary.as_deref().unwrap_or_default()),
            ("logo", &logo),
            ("footer", &footer),
            ("keep", if settings.offline { "yes" } else { "" }),
        ]);
        let words: BTreeMap<&str, &str> = phrases
            .iter()
            .filter(|(key, _)| ["site.", "learn.", "search.open"].iter().any(|room| key.starts_with(room)))
            .map(|(key, _)| (key, phrases.get(key)))
            .collect();
        let mut frame = Context::new();
        frame.insert("site", &site);
        frame.insert("phrases", &words);
        let way = |(href, key, place, top): &(&'static str, &'static str, &'static str, bool)| Way {
            href,
            title: phrases.get(key),
            place,
            top: *top,
        };
        frame.insert("ways", &WAYS.iter().map(way).collect::<Vec<_>>());
        let pages = Pages { templates, frame, framed: Mutex::default(), frames: Frames::default() };
        // A band or a foot that fails is reported before any page is made.
        pages.framed("lesson", "../")?;
        Ok(pages)
    }

    fn framed(&self, place: &'static str, root: &'static str) -> Result<Context, Fault> {
        let framed = || self.framed.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(made) = framed().get(&(place, root)) {
            return Ok(made.clone());
        }
        let mut context = self.frame.clone();
        context.insert("place", place);
        context.insert("root", root);
        let (top, foot) = (
            self.render("parts/top-ways-fragment.html", &context)?,
            self.render("parts/foot-fragment.html", &context)?,
        );
        context.insert("top_ways", top.trim());
        context.insert("foot", foot.trim());
        framed().insert((place, root), context.clone());
        Ok(context)
    }

    fn page(
        &self,
        title: &str,
        description: &str,
        needs: Needs,
        place: &'static str,
        root: &'static str,
    ) -> Result<Context, Fault> {
        let Needs { computes, asks } = needs;
        let mut context = self.framed(place, root)?;
        context.insert("page", &PagePart { title, description, computes, asks, place });
        Ok(context)
    }

    fn render(&self, name: &str, context: &Context) -> Result<String, Fault> {
        self.templates.render(name, context)
    }

    /// The first page.
    pub(super) fn home(
        &self,
        settings: &CourseFile,
        lessons: &[LessonRow],
        quizzes: &[QuizRow],
        shelves: &[WorkShelf],
        outline: &str,
        attached: &[AttachedRow],
    ) -> Result<String, Fault> {
        let mut context = self.home_context(settings, quizzes, shelves, OUTLINE_HERE, attached)?;
        // A course's own parts may look at all of the list.
        if self.templates.are_stock()
            && lessons.len() > contents::SHORT
            && let late = (OUTLINE_HERE, outline)
            && let Some(page) = contents::page(lessons, late, |rows| self.home_of(rows, &mut context))?
            && self.templates.have_room(page.len())
        {
            return Ok(page);
        }
        context.insert("outline", outline);
        self.home_of(lessons, &mut context)
    }

    /// What the first page is given besides the list of lessons.
    pub(super) fn home_context(
        &self,
        settings: &CourseFile,
        quizzes: &[QuizRow],
        shelves: &[WorkShelf],
        outline: &str,
        attached: &[AttachedRow],
    ) -> Result<Context, Fault> {
        let summary = settings.summary.as_deref().unwrap_or_default();
        let mut context = self.page(&settings.title, summary, Needs::NOTHING, "home", "")?;
        context.insert("quizzes", quizzes);
        context.insert("shelves", shelves);
        context.insert("outline", outline);
        context.insert("attached", attached);
        Ok(context)
    }

    /// The first page with these lessons, by the engine alone.
    pub(super) fn home_of(&self, lessons: &[LessonRow], context: &mut Context) -> Result<String, Fault> {
        context.insert("lessons", lessons);
        self.render("pages/home.html", context)
    }

    /// A lesson's page.
    pub(super) fn lesson(&self, mut lesson: LessonPart, body: &str, needs: Needs) -> Result<String, Fault> {
        // A course's own parts may look at all of it.
        if self.templates.are_stock() {
            let look = Look::of(&lesson, needs.computes, needs.asks);
            if let Some(frame) = self.frames.frame(look, || self.frame_of(&mut lesson, needs))? {
                let page = frame.fill(&lesson, body);
                if self.templates.have_room(page.len()) {
                    return Ok(page);
                }
            }
        }
        lesson.segments = vec![body.to_owned()];
        self.whole_lesson(&lesson, needs)
    }

    /// The frame of pages that look like that of a lesson; nothing if it does not give the page that the engine makes.
    fn frame_of(&self, lesson: &mut LessonPart, needs: Needs) -> Result<Option<Frame>, Fault> {
        let frame = Frame::in_page(&self.whole_lesson(&Frame::model(lesson), needs)?);
        lesson.segments = vec![BODY_HERE.to_owned()];
        let page = self.whole_lesson(lesson, needs)?;
        Ok((frame.fill(lesson, BODY_HERE) == page && page.matches(BODY_HERE).count() == 1).then_some(frame))
    }

    fn whole_lesson(&self, lesson: &LessonPart, needs: Needs) -> Result<String, Fault> {
        let mut context = self.page(&lesson.title, &lesson.summary, needs, "lesson", "../")?;
        context.insert("lesson", lesson);
        self.render("pages/lesson.html", &context)
    }

    /// A calculator's page.
    pub(super) fn work(&self, work: &WorkPart) -> Result<String, Fault> {
        let mut context = self.page(&work.title, &work.summary, Needs::FORM, "work", "../")?;
        context.insert("work", work);
        self.render("pages/work.html", &context)
    }

    /// A standing page; `fill` gives the template what it asks for.
    pub(super) fn standing(
        &self,
        which: Standing,
        phrases: &Phrases,
        fill: impl FnOnce(&mut Context),
    ) -> Result<String, Fault> {
        let name = which.name();
        let (title, about) = (format!("site.{name}"), format!("site.{name}-about"));
        let mut context = self.page(phrases.get(&title), phrases.get(&about), Needs::NOTHING, name, "")?;
        fill(&mut context);
        self.render(&format!("pages/{name}.html"), &context)
    }

    /// A page for learners: `name` is that of its file, its template and its phrases.
    pub(super) fn learner(
        &self,
        name: &str,
        phrases: &Phrases,
        fill: impl FnOnce(&mut Context),
    ) -> Result<String, Fault> {
        let (lead, about) = (format!("learn.{name}-lead"), format!("learn.{name}-about"));
        let about = phrases.find(&lead).unwrap_or_else(|| phrases.get(&about));
        let mut context = self.page(phrases.get(&format!("learn.{name}")), about, Needs::QUESTIONS, "learning", "")?;
        fill(&mut context);
        self.render(&format!("pages/{name}.html"), &context)
    }

    /// A bank's own page.
    pub(super) fn quiz(&self, bank: &BankPart, needs: Needs) -> Result<String, Fault> {
        let mut context = self.page(&bank.title, &bank.title, needs, "quiz", "../")?;
        context.insert("bank", bank);
        self.render("pages/quiz.html", &context)
    }

    /// A bank as part of a lesson.
    pub(super) fn quiz_part(&self, bank: &BankPart) -> Result<String, Fault> {
        let mut context = self.frame.clone();
        context.insert("bank", bank);
        self.render("parts/quiz-fragment.html", &context)
    }

    /// The page of the calibration card.
    pub(super) fn card(&self, card: &CardPart, title: &str, summary: &str) -> Result<String, Fault> {
        let mut context = self.page(title, summary, Needs::FORM, "card", "")?;
        context.insert("card", card);
        self.render("pages/card.html", &context)
    }

    /// The page for an address that has no page.
    pub(super) fn not_found(&self, title: &str) -> Result<String, Fault> {
        self.render("pages/not-found.html", &self.page(title, title, Needs::NOTHING, "lost", "")?)
    }
}
