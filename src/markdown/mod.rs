//! The body of a lesson into HTML with holes: what the author wrote is finished here, what must be computed is left
//! open.
//!
//! No HTML of the author's passes, and no addresses but those of the web, of mail and of this course.

mod address;
mod alarm;
mod body;
mod braces;
pub mod escape;
mod fence;
mod heading;
mod inserts;
mod link;
mod meant;
mod notes;
pub mod page_names;
mod plain;
mod raw;
mod silent;
mod stray;
mod table;
mod unsupported;
mod writer;

use std::collections::{BTreeMap, BTreeSet, HashSet};

pub use body::{Body, Hole, Outline, Segment, figures_mut};
pub use heading::Heading;
pub use inserts::{Caution, Figure, FigureOf, First, Insert, Level, Phrase, Questions, Show, WorkedExample};
pub use link::{LessonLink, check_links};

use crate::problem::{Among, Problems, Source};
use crate::yaml::Embedded;

/// What the lessons of a course may refer to.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    /// Names of all lessons, in their order.
    pub lessons: &'a BTreeSet<String>,
    /// The same, to look one up: thousands of lessons have tens of thousands of links.
    pub known_lessons: &'a HashSet<String>,
    /// Names of lessons that are still being written, and left out.
    pub drafts: &'a BTreeSet<String>,
    /// Names of all question banks.
    pub banks: &'a BTreeSet<String>,
    /// Names of all cautions.
    pub cautions: &'a BTreeSet<String>,
    /// Names of the course's own cautions among them.
    pub own_cautions: &'a BTreeSet<String>,
    /// Names of all terms of the glossary.
    pub terms: &'a BTreeSet<String>,
    /// Other words for a term, as names, with the name of the term.
    pub other_words: &'a BTreeMap<String, String>,
    /// Pictures, as `images/gun.png`.
    pub images: &'a BTreeSet<String>,
    /// Files to download, as `attachments/label.pdf`.
    pub attachments: &'a BTreeSet<String>,
    /// From a lesson's page to the folder that holds `images/` and `glossary.html`: empty or `../`.
    pub to_root: &'a str,
}

/// A lesson's Markdown.
#[derive(Clone, Copy, Debug)]
pub struct Text<'a> {
    /// Name of the lesson's file without `.md`.
    pub stem: &'a str,
    /// The whole file.
    pub source: &'a Source,
    /// Where the Markdown starts in the file.
    pub start: usize,
}

impl<'a> Context<'a> {
    /// The names of one kind, for the problems of lessons that look for a near one.
    pub fn names(&self, among: Among) -> impl Iterator<Item = &'a str> + Clone + use<'a> {
        let names = match among {
            Among::Lessons => self.lessons,
            Among::Banks => self.banks,
            Among::Images => self.images,
            Among::Attachments => self.attachments,
        };
        names.iter().map(String::as_str)
    }
}

/// Turns the body of a lesson into HTML with holes.
pub fn render(text: Text<'_>, context: &Context<'_>, problems: &mut Problems) -> Body {
    let body = Embedded::whole(&text.source.text[text.start..], text.start);
    writer::write(text.source, text.stem, &body, context, writer::Manner::Lesson, problems)
}
