//! HTML with holes, in one piece of memory.

use std::collections::BTreeSet;

use super::heading::Heading;
use super::inserts::{Caution, Figure, Insert, Phrase, Questions, WorkedExample};
use super::link::LessonLink;

/// A lesson's body: finished HTML, and what must be put into it where.
#[derive(Clone, Debug, Default)]
pub struct Body {
    /// The HTML without its holes. A course packs that of its lessons.
    pub html: String,
    /// The holes, in order of place.
    pub holes: Vec<Hole>,
    /// What other lessons may ask about this one.
    pub outline: Outline,
}

/// An insert and its place in the HTML.
#[derive(Clone, Debug)]
pub struct Hole {
    /// Bytes from the start of the HTML.
    pub at: usize,
    /// What belongs there.
    pub insert: Insert,
}

/// Headings, links and terms of a lesson.
#[derive(Clone, Debug, Default)]
pub struct Outline {
    /// The headings in order.
    pub headings: Vec<Heading>,
    /// Links to places in lessons, to be checked when every lesson has been read.
    pub links: Vec<LessonLink>,
    /// Terms of the glossary that the text links to, in order.
    pub terms: Vec<String>,
    /// Names of all blocks for worked examples, whether or not they could be read.
    pub examples: BTreeSet<String>,
}

/// A stretch of the body.
#[derive(Clone, Copy, Debug)]
pub enum Segment<'b> {
    /// Finished HTML.
    Html(&'b str),
    /// A worked example.
    WorkedExample(&'b WorkedExample),
    /// A caution.
    Caution(&'b Caution),
    /// A question bank.
    Questions(&'b Questions),
    /// A number in prose.
    Figure(&'b Figure),
    /// Words from the phrase catalog; to be escaped for an attribute.
    Phrase(&'b Phrase),
}

impl Body {
    /// The body from its start to its end; nothing is copied.
    pub fn segments(&self) -> impl Iterator<Item = Segment<'_>> {
        let starts = std::iter::once(0).chain(self.holes.iter().map(|hole| hole.at));
        let ends =
            self.holes.iter().map(|hole| (hole.at, Some(&hole.insert))).chain(std::iter::once((self.html.len(), None)));
        starts.zip(ends).flat_map(|(start, (end, insert))| {
            let html = (start < end).then(|| Segment::Html(&self.html[start..end]));
            html.into_iter().chain(insert.map(Segment::of))
        })
    }

    /// Writes the body, asking `fill` to write each insert.
    pub fn fill(&self, out: &mut String, fill: impl FnMut(&Insert, &mut String)) {
        self.fill_in(&self.html, out, fill);
    }

    /// The same with the HTML that this body was made with.
    pub fn fill_in(&self, html: &str, out: &mut String, mut fill: impl FnMut(&Insert, &mut String)) {
        out.reserve(html.len());
        let mut copied = 0;
        for hole in &self.holes {
            out.push_str(html.get(copied..hole.at).unwrap_or_default());
            fill(&hole.insert, out);
            copied = hole.at;
        }
        out.push_str(html.get(copied..).unwrap_or_default());
    }

    /// The worked examples; cautions never contain any.
    pub fn examples(&self) -> impl Iterator<Item = &WorkedExample> {
        self.holes.iter().filter_map(|hole| match &hole.insert {
            Insert::WorkedExample(example) => Some(example),
            _ => None,
        })
    }

    pub(super) fn hole(&mut self, insert: Insert) {
        self.holes.push(Hole { at: self.html.len(), insert });
    }

    /// Puts text before what was written since `at` and `holes`.
    pub(super) fn insert(&mut self, at: usize, holes: usize, text: &str) {
        self.html.insert_str(at, text);
        for hole in &mut self.holes[holes..] {
            hole.at += text.len();
        }
    }

    /// Adds another body at the end.
    pub(super) fn append(&mut self, other: Body) {
        let shift = self.html.len();
        self.html.push_str(&other.html);
        self.holes.extend(other.holes.into_iter().map(|hole| Hole { at: hole.at + shift, insert: hole.insert }));
    }
}

impl Body {
    /// Every computed number, those inside cautions too.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        // A caution contains no caution, so this goes one level down.
        let inside = self.holes.iter().filter_map(|hole| match &hole.insert {
            Insert::Caution(Caution::Own { body, .. }) => Some(body),
            _ => None,
        });
        self.figures_here().chain(inside.flat_map(|body| body.figures_here()))
    }

    fn figures_here(&self) -> impl Iterator<Item = &Figure> {
        self.holes.iter().filter_map(|hole| match &hole.insert {
            Insert::Figure(figure) => Some(figure),
            _ => None,
        })
    }
}

/// Every computed number among the holes, those inside cautions too.
pub fn figures_mut(holes: &mut [Hole]) -> Vec<&mut Figure> {
    let mut found = Vec::new();
    for hole in holes {
        match &mut hole.insert {
            Insert::Figure(figure) => found.push(figure),
            // A caution contains no caution, so this goes one level down.
            Insert::Caution(Caution::Own { body, .. }) => found.extend(figures_mut(&mut body.holes)),
            _ => {}
        }
    }
    found
}

impl<'b> Segment<'b> {
    fn of(insert: &'b Insert) -> Self {
        match insert {
            Insert::WorkedExample(insert) => Segment::WorkedExample(insert),
            Insert::Caution(insert) => Segment::Caution(insert),
            Insert::Questions(insert) => Segment::Questions(insert),
            Insert::Figure(insert) => Segment::Figure(insert),
            Insert::Phrase(insert) => Segment::Phrase(insert),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_body_is_its_html_and_its_holes_in_order() {
        let phrase = |number| Insert::Phrase(Phrase { key: "k", number });
        let mut body = Body::default();
        body.hole(phrase(1));
        body.html.push_str("ab");
        body.hole(phrase(2));
        body.hole(phrase(3));
        body.html.push('c');
        body.insert(0, 0, "<");
        let mut out = String::new();
        body.fill(&mut out, |insert, out| match insert {
            Insert::Phrase(phrase) => out.push_str(&phrase.number.to_string()),
            _ => unreachable!("only phrases were put in"),
        });
        assert_eq!(out, "<1ab23c");
        assert_eq!(body.segments().count(), 6);
    }
}
