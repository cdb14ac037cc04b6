//! Lessons' pages around their bodies, filled by the template engine once for all lessons that look alike.

use super::escape::escaped;
use super::holes::{Holed, NO_POSITION};
use super::pages::LessonPart;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Where a lesson's body belongs in its page, until it is put there. No file of a course holds a NUL.
pub(super) const BODY_HERE: &str = "\0body\0";
/// Looks that are kept: each number of minutes is one.
const MOST: usize = 256;

/// What decides how a lesson's page looks, apart from what is written into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Look {
    minutes: Option<u32>,
    draft: bool,
    previous: bool,
    next: bool,
    computes: bool,
    asks: bool,
}

impl Look {
    pub(super) fn of(lesson: &LessonPart, computes: bool, asks: bool) -> Look {
        let (previous, next) = (lesson.previous.is_some(), lesson.next.is_some());
        Look { minutes: lesson.minutes, draft: lesson.draft, previous, next, computes, asks }
    }
}

/// What differs between pages that look alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hole {
    Title,
    Summary,
    Position,
    PreviousHref,
    PreviousTitle,
    NextHref,
    NextTitle,
    Body,
}

const TEXTS: [(&str, Hole); 7] = [
    ("\0title\0", Hole::Title),
    ("\0summary\0", Hole::Summary),
    ("\0previous\0", Hole::PreviousHref),
    ("\0before\0", Hole::PreviousTitle),
    ("\0next\0", Hole::NextHref),
    ("\0after\0", Hole::NextTitle),
    (BODY_HERE, Hole::Body),
];

/// A page with holes. It is used only if it gives the very page that the engine makes.
#[derive(Debug)]
pub(super) struct Frame(Holed<Hole>);

impl Frame {
    /// The lesson to fill a page with from which the frame is made.
    pub(super) fn model(of: &LessonPart) -> LessonPart {
        let named = |hole: Hole| TEXTS.iter().find(|(_, other)| *other == hole).map_or("", |(text, _)| text).to_owned();
        let link = |href, title| super::pages::Link { href: named(href), title: named(title) };
        LessonPart {
            title: named(Hole::Title),
            summary: named(Hole::Summary),
            minutes: of.minutes,
            draft: of.draft,
            position: NO_POSITION,
            total: of.total,
            segments: vec![BODY_HERE.to_owned()],
            previous: of.previous.as_ref().map(|_| link(Hole::PreviousHref, Hole::PreviousTitle)),
            next: of.next.as_ref().map(|_| link(Hole::NextHref, Hole::NextTitle)),
        }
    }

    /// The frame in the page of the model.
    pub(super) fn in_page(page: &str) -> Frame {
        let position = NO_POSITION.to_string();
        let marks: Vec<_> = TEXTS.into_iter().chain([(position.as_str(), Hole::Position)]).collect();
        Frame(Holed::at(&marks, page))
    }

    /// The page of a lesson.
    pub(super) fn fill(&self, lesson: &LessonPart, body: &str) -> String {
        let (title, summary) = (escaped(&lesson.title), escaped(&lesson.summary));
        let position = lesson.position.to_string();
        let [previous, next] = [&lesson.previous, &lesson.next].map(|link| {
            link.as_ref().map_or_else(Default::default, |link| (escaped(&link.href), escaped(&link.title)))
        });
        let text = |hole: Hole| match hole {
            Hole::Title => &title,
            Hole::Summary => &summary,
            Hole::Position => &position,
            Hole::PreviousHref => &previous.0,
            Hole::PreviousTitle => &previous.1,
            Hole::NextHref => &next.0,
            Hole::NextTitle => &next.1,
            Hole::Body => body,
        };
        let mut page = String::new();
        self.0.put(&mut page, text);
        page
    }
}

/// The frames made so far; none for a look whose pages the engine must make one by one.
#[derive(Debug, Default)]
pub(super) struct Frames(Mutex<HashMap<Look, Option<Arc<Frame>>>>);

impl Frames {
    /// The frame for a look, made by `make` unless it is known. Two threads may make the same one at once.
    pub(super) fn frame<F>(
        &self,
        look: Look,
        make: impl FnOnce() -> Result<Option<Frame>, F>,
    ) -> Result<Option<Arc<Frame>>, F> {
        if let Some(known) = self.with(|made| made.get(&look).cloned()) {
            return Ok(known);
        }
        if self.with(|made| made.len() >= MOST) {
            return Ok(None);
        }
        let frame = make()?.map(Arc::new);
        self.with(|made| made.insert(look, frame.clone()));
        Ok(frame)
    }

    fn with<R>(&self, with: impl FnOnce(&mut HashMap<Look, Option<Arc<Frame>>>) -> R) -> R {
        // Nothing is left half done by a panic in here.
        with(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

#[cfg(test)]
mod tests {
    use super::super::pages::Link;
    use super::*;

    /// A page as simple as one can be that shows everything.
    fn shown(lesson: &LessonPart) -> String {
        let link = |link: &Option<Link>| {
            link.as_ref()
                .map_or(String::new(), |link| format!("<a href={}>{}</a>", escaped(&link.href), escaped(&link.title)))
        };
        let (title, summary) = (escaped(&lesson.title), escaped(&lesson.summary));
        let (before, after, body) = (link(&lesson.previous), link(&lesson.next), lesson.segments.concat());
        let minutes = lesson.minutes.unwrap_or_default();
        format!("{title}|{} of {}|{title} {summary} {minutes}\n{body}{before}{after}.", lesson.position, lesson.total)
    }

    #[test]
    fn a_page_put_into_its_frame_is_the_page() {
        let link = |title: &str| Some(Link { href: "a&b.html".to_owned(), title: title.to_owned() });
        for (previous, next) in [(None, link("It's <next>")), (link("\"One\""), link("é")), (link(""), None)] {
            let lesson = LessonPart {
                title: "Gallons & <acres>".to_owned(),
                summary: "Isn't it \"4190728653\"?".to_owned(),
                minutes: Some(7),
                draft: false,
                position: 12,
                total: 40,
                segments: vec!["<p>Body</p>".to_owned()],
                previous,
                next,
            };
            let frame = Frame::in_page(&shown(&Frame::model(&lesson)));
            assert_eq!(frame.fill(&lesson, "<p>Body</p>"), shown(&lesson));
        }
    }

    #[test]
    fn a_frame_is_made_once_for_each_look() {
        let (frames, made) = (Frames::default(), std::cell::Cell::new(0));
        let look = |minutes| Look { minutes, draft: false, previous: true, next: true, computes: false, asks: false };
        let frame = |look| {
            frames.frame::<()>(look, || {
                made.set(made.get() + 1);
                Ok((look.minutes != Some(1)).then(|| Frame::in_page("x")))
            })
        };
        assert!(frame(look(None)).is_ok_and(|frame| frame.is_some()));
        assert!(frame(look(None)).is_ok_and(|frame| frame.is_some()));
        assert!(frame(look(Some(1))).is_ok_and(|frame| frame.is_none()));
        assert!(frame(look(Some(1))).is_ok_and(|frame| frame.is_none()));
        assert_eq!(made.get(), 2);
    }
}
