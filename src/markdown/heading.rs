//! Headings: one level below the page's title, each with its own identifier.

use crate::problem::code;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::LazyLock;

use memchr::memmem::Finder;
use pulldown_cmark::{CowStr, HeadingLevel};

use super::escape;
use super::writer::Writer;
use tankside_calc::calculation::declare::FormItem;
use tankside_calc::calculators::registry::CALCULATORS;

/// A heading of a lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// Level on the page, 2 to 6.
    pub level: u8,
    /// Identifier on the page.
    pub id: String,
}

/// A heading that is open.
pub(super) struct OpenHeading {
    level: u8,
    id: Option<String>,
    classes: Vec<String>,
    html_start: usize,
    holes_start: usize,
    pub(super) text: String,
    place: Range<usize>,
}

/// Starts of identifiers that the parts of a page use themselves.
pub(super) const RESERVED: [&str; 6] = ["tk-", "worked-", "questions-", "quiz-", "q-", "card-"];
/// Identifiers that the frame of a page uses itself.
const TAKEN: [&str; 2] = ["main", "law"];

/// Whether the page itself may use the identifier.
fn is_the_pages_own(id: &str) -> bool {
    TAKEN.contains(&id) || RESERVED.iter().any(|start| id.starts_with(start))
}

/// Names of the worked examples in a text: what is in an example has identifiers that begin with its name.
fn example_names(text: &str) -> Vec<String> {
    static FENCE: LazyLock<Finder<'static>> = LazyLock::new(|| Finder::new("worked-example "));
    let found = FENCE.find_iter(text.as_bytes());
    let after = found.filter_map(|at| text[at + FENCE.needle().len()..].split_whitespace().next());
    after.map(|name| format!("{name}-")).collect()
}

/// Whether an identifier belongs to an example: to an input, a reading resolution, a drawing, the lines on uncertainty.
fn is_an_examples_own(id: &str, examples: &[String]) -> bool {
    let inside = examples.iter().find_map(|name| id.strip_prefix(name.as_str()));
    let Some(inside) = inside else { return false };
    let begins = |part: &str| inside.strip_prefix(part).is_some_and(|rest| rest.is_empty() || rest.starts_with('-'));
    let inputs = || CALCULATORS.iter().flat_map(|calculator| calculator.inputs).map(FormItem::name);
    ["drawing", "sure", "title", "read-to"].into_iter().chain(inputs()).any(begins)
}

/// Whether an identifier or a class is made of letters, digits, hyphens and underscores, starting with a letter.
pub(super) fn is_plain(name: &str) -> bool {
    name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_')
}

/// Whether an author may use the identifier.
pub(super) fn is_free(id: &str) -> bool {
    is_plain(id) && !is_the_pages_own(id)
}

/// The identifiers given so far.
#[derive(Debug, Default)]
pub(super) struct Ids {
    /// What the identifiers inside the lesson's worked examples begin with.
    examples: Vec<String>,
    /// How often each was requested, and where first.
    taken: BTreeMap<String, (u32, Range<usize>)>,
}

impl Ids {
    /// Those of a text, none given out yet.
    pub(super) fn of(text: &str) -> Ids {
        Ids { examples: example_names(text), taken: BTreeMap::new() }
    }

    /// Whether an author may use the identifier here.
    fn is_free(&self, id: &str) -> bool {
        is_free(id) && !is_an_examples_own(id, &self.examples)
    }

    /// Takes an identifier the author chose; the place of its twin if there is one.
    pub(super) fn choose(&mut self, id: &str, place: Range<usize>) -> Result<(), Range<usize>> {
        if let Some((_, first)) = self.taken.get(id) {
            return Err(first.clone());
        }
        self.taken.insert(id.to_owned(), (1, place));
        Ok(())
    }

    /// Makes an identifier from a heading's text.
    pub(super) fn make(&mut self, text: &str, place: &Range<usize>) -> String {
        let mut base = slug(text);
        if is_an_examples_own(&base, &self.examples) {
            base.insert_str(0, "on-");
        }
        // With a number added, one heading may match another heading's own identifier, so the search goes on.
        let mut count = self.taken.get(&base).map_or(0, |(count, _)| *count);
        loop {
            count += 1;
            let id = if count == 1 { base.clone() } else { format!("{base}-{count}") };
            if count == 1 || !self.taken.contains_key(&id) {
                self.taken.entry(base).and_modify(|entry| entry.0 = count).or_insert((1, place.clone()));
                if count > 1 {
                    self.taken.insert(id.clone(), (1, place.clone()));
                }
                return id;
            }
        }
    }
}

/// Words of a heading joined by hyphens.
fn slug(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().take(80) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if c.is_alphanumeric() {
            out.extend(c.to_lowercase());
        } else if (c.is_whitespace() || c == '-' || c == '_' || c == '/') && !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    out.truncate(out.trim_end_matches('-').len());
    if out.is_empty() {
        return "section".to_owned();
    }
    if is_the_pages_own(&out) {
        out.insert_str(0, "on-");
    }
    out
}

impl Writer<'_> {
    pub(super) fn open_heading(
        &mut self,
        level: HeadingLevel,
        id: Option<CowStr<'_>>,
        classes: &[CowStr<'_>],
        others: Vec<String>,
        range: &Range<usize>,
    ) {
        let place = self.place(range);
        for other in others {
            let title = format!("a heading takes `#name` and `.class` in braces, and `{other}` is neither");
            let problem = self.problem(code::HEADING_ATTRIBUTE, title, place.clone());
            self.problems.push(problem.help("write for example `## Time one pass {#one-pass}`"));
        }
        // The style and the scripts would take what looks like a part of the page for one.
        let free = |class: &String| is_plain(class) && !class.starts_with("tk-");
        let (good, bad): (Vec<_>, Vec<_>) = classes.iter().map(ToString::to_string).partition(free);
        for class in bad {
            let title =
                format!("a class has letters, digits and hyphens and does not start with `tk-`, and this is `{class}`");
            let problem = self.problem(code::HEADING_ATTRIBUTE, title, place.clone());
            self.problems.push(problem.help("write for example `{.wide}`, or leave the class out"));
        }
        let id = id.and_then(|id| self.chosen_id(&id, &place));
        self.heading = Some(OpenHeading {
            // The page's title is the only heading of level 1.
            level: (level as u8 + 1).min(6),
            id,
            classes: good,
            html_start: self.out.html.len(),
            holes_start: self.out.holes.len(),
            text: String::with_capacity(range.len()),
            place,
        });
    }

    pub(super) fn chosen_id(&mut self, id: &str, place: &Range<usize>) -> Option<String> {
        if !self.ids.is_free(id) {
            let title = if is_plain(id) {
                format!("the heading's name `{id}` is one that the page itself uses")
            } else {
                format!("a heading's name has letters, digits and hyphens, starting with a letter, and this is `{id}`")
            };
            let problem = self.problem(code::HEADING_NAME, title, place.clone());
            self.problems.push(problem.help("write for example `{#one-pass}`"));
            return None;
        }
        if let Err(first) = self.ids.choose(id, place.clone()) {
            let problem = self.problem(
                code::DUPLICATE_ID,
                format!("the heading name `{id}` appears twice in this lesson"),
                place.clone(),
            );
            self.problems.push(problem.context(first, "here for the first time").help("rename one of the two"));
            return None;
        }
        Some(id.to_owned())
    }

    pub(super) fn close_heading(&mut self) {
        let Some(heading) = self.heading.take() else {
            return;
        };
        let id = heading.id.unwrap_or_else(|| self.ids.make(&heading.text, &heading.place));
        if heading.text.trim().is_empty() {
            let problem = self.problem(
                code::HEADING_BLANK,
                "words are expected in this heading, and there are none",
                heading.place.clone(),
            );
            self.problems.push(problem.help("write the words after the `#`, or remove the line"));
        }
        let before = self.outline.headings.last().map_or(1, |heading| heading.level);
        // A heading below one that is to be moved up is compared with where that one will be.
        let meant = heading.level.min(self.level + 1);
        if heading.level > meant {
            let title = match heading.level.saturating_sub(before) {
                0 | 1 => "this heading is below one that is too deep, and moves with it".to_owned(),
                levels => format!("this heading is {levels} levels below the one before it"),
            };
            let problem = self.problem(code::HEADING_SKIPS_LEVEL, title, heading.place);
            self.problems.push(problem.help(format!("write `{}`", "#".repeat(usize::from(meant - 1)))));
        }
        self.level = meant;
        let level = char::from(b'0' + heading.level);
        let mut tag = String::with_capacity("<h2 id=\"\">".len() + id.len());
        tag.push_str("<h");
        tag.push(level);
        tag.push_str(" id=\"");
        escape::attribute(&mut tag, &id);
        if !heading.classes.is_empty() {
            tag.push_str("\" class=\"");
            escape::attribute(&mut tag, &heading.classes.join(" "));
        }
        tag.push_str("\">");
        self.out.insert(heading.html_start, heading.holes_start, &tag);
        self.out.html.push_str("</h");
        self.out.html.push(level);
        self.out.html.push_str(">\n");
        self.outline.headings.push(Heading { level: heading.level, id });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identifiers_come_from_the_text_and_never_twice() {
        let mut ids = Ids::default();
        let mut make = |text: &str| ids.make(text, &(0..1));
        assert_eq!(make("Time one pass"), "time-one-pass");
        assert_eq!(make("Time one pass 2"), "time-one-pass-2");
        assert_eq!(make("Time one pass!"), "time-one-pass-3");
        assert_eq!(make("Time one pass"), "time-one-pass-4");
        assert_eq!(make("Worked example"), "on-worked-example");
        assert_eq!(make("!?"), "section");
        assert_eq!(make("Fläche in ft²"), "fläche-in-ft²");
        assert_eq!(ids.choose("section", 5..6), Err(0..1));
        assert_eq!(ids.choose("own", 5..6), Ok(()));
    }

    #[test]
    fn an_author_may_not_take_the_pages_own_identifiers() {
        assert!(
            is_free("gun")
                && !is_free("tk-x")
                && !is_free("worked-first")
                && !is_free("main")
                && !is_free("quiz-small")
                && !is_free("a b")
                && !is_free("1")
                && !is_free("\"><b")
        );
    }
}
