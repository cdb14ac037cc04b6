//! Links and pictures: checked, rewritten from `.md` to `.html`, or refused with their place.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::address::{self, Address, pages};
use super::body::Outline;
use super::escape;
use super::inserts::{Figure, Insert};
use super::writer::Writer;
use crate::drawing::is_drawing;
use crate::notation::as_name;
use crate::problem::{ASKED, Among, Problem, Problems, Source, alike, code, nearest, offer};
use percent_encoding::percent_decode_str;

/// A link to a place in a lesson, to be checked when all lessons are known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonLink {
    /// The lesson it leads to.
    pub stem: String,
    /// The heading it leads to.
    pub fragment: String,
    /// The whole link.
    pub place: Range<usize>,
}

/// Checks every link of `lessons` to a heading against the headings in `all`; the problems of each lesson
/// go to its own.
pub fn check_links<'a>(
    lessons: impl Iterator<Item = (&'a str, &'a Source, &'a Outline)> + Clone,
    all: impl Iterator<Item = (&'a str, &'a Source, &'a Outline)>,
    of_lessons: &mut [Problems],
) {
    // Most lessons are never linked to by heading, so only the ones that are get their identifiers collected.
    let wanted: BTreeSet<&str> =
        lessons.clone().flat_map(|(_, _, outline)| outline.links.iter().map(|link| link.stem.as_str())).collect();
    let ids: BTreeMap<&str, BTreeSet<&str>> = all
        .filter(|(stem, _, _)| wanted.contains(stem))
        .map(|(stem, _, outline)| (stem, outline.headings.iter().map(|heading| heading.id.as_str()).collect()))
        .collect();
    let mut asked = 0;
    for ((_, source, outline), problems) in lessons.zip(of_lessons) {
        for link in &outline.links {
            // A lesson that could not be read has already been reported.
            let Some(ids) = ids.get(link.stem.as_str()) else {
                continue;
            };
            if !ids.contains(link.fragment.as_str()) {
                let title = format!("the lesson `{}` has no heading `#{}`", link.stem, link.fragment);
                let mut problem = Problem::new(code::HEADING_MISSING, title, "").at(source, link.place.clone());
                // Looking for a similar one costs a walk through all of them.
                asked += 1;
                problem.help = if asked <= ASKED { offer(&link.fragment, ids.iter().copied()) } else { None };
                if ids.is_empty() {
                    problem.help = Some(format!("write `{}.md`: that lesson has no headings", link.stem));
                }
                problems.push(problem);
            }
        }
    }
}

/// Problems of a lesson up to which near names of the stock are looked for.
pub(super) const OFFERED: usize = 10;

/// What became of the start of a link.
pub(super) enum Opened {
    /// `<a …>` was written.
    Anchor,
    /// Nothing was written; the words are there by themselves.
    Words,
    /// The whole link is a computed number; its words are only collected.
    Figure(Figure),
}

impl<'a> Writer<'a> {
    pub(super) fn open_link(&mut self, target: &str, title: &str, range: &Range<usize>) -> Opened {
        let place = self.place(range);
        match address::parse(target) {
            Address::Outside(address) => {
                self.out.html.push_str("<a href=\"");
                escape::address(&mut self.out.html, address);
            }
            Address::Lesson { stem, fragment } => {
                if !self.lesson_is_known(stem, &place) {
                    return Opened::Words;
                }
                self.out.html.push_str("<a href=\"");
                if let Some(stem) = stem {
                    escape::address(&mut self.out.html, stem);
                    self.out.html.push_str(".html");
                }
                if let Some(fragment) = fragment {
                    self.out.html.push('#');
                    escape::address(&mut self.out.html, fragment);
                    let stem = stem.unwrap_or(self.stem).to_owned();
                    self.outline.links.push(LessonLink { stem, fragment: fragment.to_owned(), place });
                }
            }
            Address::Image(name) => {
                let Some(name) = self.known_image(&name, place.clone()) else { return Opened::Words };
                if is_drawing(name) {
                    let title = "a link would open this drawing as its own page; drawings are only shown in a page";
                    let problem = self.problem(code::LINK_TO_DRAWING, title, place);
                    self.problems.push(problem.help(format!("show it: `![what it shows](../{name})`")));
                    return Opened::Words;
                }
                self.out.html.push_str("<a href=\"");
                escape::address(&mut self.out.html, self.context.to_root);
                escape::file(&mut self.out.html, name);
            }
            Address::Attachment(name) => {
                if !self.attachment_is_known(&name, place) {
                    return Opened::Words;
                }
                // Saved as a file, never opened as a page of this site.
                self.out.html.push_str("<a class=\"tk-attached\" download href=\"");
                escape::address(&mut self.out.html, self.context.to_root);
                escape::file(&mut self.out.html, &name);
            }
            Address::Page(name) => {
                self.out.html.push_str("<a href=\"");
                escape::address(&mut self.out.html, self.context.to_root);
                self.out.html.push_str(&name);
            }
            Address::Term(id) => {
                if !self.term_is_known(id, &place) {
                    return Opened::Words;
                }
                self.out.html.push_str("<a class=\"tk-term\" href=\"");
                escape::address(&mut self.out.html, self.context.to_root);
                self.out.html.push_str("glossary.html#");
                escape::address(&mut self.out.html, id);
                self.outline.terms.push(id.to_owned());
            }
            Address::Figure { lesson, example, of, unit } => {
                let lesson = lesson.map(str::to_owned);
                return Opened::Figure(Figure {
                    lesson,
                    example: example.to_owned(),
                    of,
                    unit,
                    words: String::new(),
                    place,
                    shown: String::new(),
                });
            }
            refused => {
                self.refuse_address(&refused, target, place);
                return Opened::Words;
            }
        }
        self.finish_anchor(title);
        Opened::Anchor
    }

    fn finish_anchor(&mut self, title: &str) {
        if !title.is_empty() {
            self.out.html.push_str("\" title=\"");
            escape::attribute(&mut self.out.html, title);
        }
        self.out.html.push_str("\">");
    }

    fn lesson_is_known(&mut self, stem: Option<&str>, place: &Range<usize>) -> bool {
        let Some(stem) = stem else { return true };
        if self.context.known_lessons.contains(stem) {
            return true;
        }
        if self.context.drafts.contains(stem) {
            let title = format!("the lesson `{stem}.md` is a draft, so it is not published and cannot be linked to");
            let problem = self.problem(code::LINK_TO_DRAFT, title, place.clone());
            self.problems.push(problem.help("remove `draft: true` from its header, or this link"));
            return false;
        }
        let problem = self.problem(
            code::LINK_TO_NOWHERE,
            format!("there is no lesson `{stem}.md` in this course"),
            place.clone(),
        );
        if pages().any(|page| page.strip_suffix(".html") == Some(stem)) {
            self.problems.push(problem.help(page_meant(stem).unwrap_or_default()));
            return false;
        }
        let problem = problem.help("link to a lesson that is listed in `course.yaml`");
        self.problems.push(problem.seek(stem, Among::Lessons, "", ".md"));
        false
    }

    fn term_is_known(&mut self, id: &str, place: &Range<usize>) -> bool {
        if self.context.terms.contains(id) {
            return true;
        }
        if let Some(term) = self.context.other_words.get(&as_name(id)) {
            let title = format!("`{id}` is another word for a term, and not the term's name");
            let problem = self.problem(code::TERM_UNKNOWN, title, place.clone());
            self.problems.push(problem.help(format!("write `term:{term}`")));
            return false;
        }
        let near = self.near(id, self.context.terms);
        let problem = self.problem(code::TERM_UNKNOWN, format!("the glossary has no term `{id}`"), place.clone());
        let near: Vec<String> = near.iter().map(|near| format!("`term:{near}`")).collect();
        self.problems.push(problem.help(if near.is_empty() {
            "write the name of a term; the page `glossary.html` shows it beside each, for example `term:pass-spacing`"
                .to_owned()
        } else {
            format!("write {}", near.join(" or "))
        }));
        false
    }

    /// The nearest name, or else similar ones, as long as there are few problems.
    fn near(&self, typed: &str, names: &'a BTreeSet<String>) -> Vec<&'a str> {
        if self.problems.len() > OFFERED {
            return Vec::new();
        }
        match nearest(typed, names.iter().map(String::as_str)) {
            Some(near) => vec![near],
            None => alike(typed, names.iter().map(String::as_str)),
        }
    }

    fn attachment_is_known(&mut self, name: &str, place: Range<usize>) -> bool {
        if self.context.attachments.contains(name) {
            return true;
        }
        let problem =
            self.problem(code::ATTACHMENT_MISSING, format!("there is no file `{name}` in this course"), place);
        let problem = problem.help("put the file into the folder `attachments/`");
        self.problems.push(problem.seek(name, Among::Attachments, "../", ""));
        false
    }

    /// The picture that an address means: the one with exactly that name, or else the one whose name it
    /// percent-encodes.
    fn known_image(&mut self, name: &str, place: Range<usize>) -> Option<&'a str> {
        let images = self.context.images;
        if let Some(known) = images.get(name) {
            return Some(known);
        }
        let plain = percent_decode_str(name).decode_utf8_lossy();
        if let Some(known) = images.get(plain.as_ref()) {
            return Some(known);
        }
        let problem = self.problem(code::IMAGE_MISSING, format!("there is no picture `{plain}` in this course"), place);
        let problem = problem.help("put the picture into the folder `images/`");
        self.problems.push(problem.seek(&plain, Among::Images, "../", ""));
        None
    }

    /// What an address that leads nowhere was probably meant as.
    fn address_meant(&self, target: &str) -> Option<String> {
        let stem = target.rsplit('/').next().and_then(|name| name.strip_suffix(".html").or(name.strip_suffix(".MD")));
        if let Some(stem) = stem.filter(|stem| self.context.known_lessons.contains(*stem)) {
            return Some(format!("write `{stem}.md`"));
        }
        // A lesson without its `.md`, with its folder, or as a web server without file names has it.
        let bare = target.trim_end_matches('/').rsplit('/').next().unwrap_or_default().to_lowercase();
        if self.context.known_lessons.contains(bare.as_str()) {
            return Some(format!("write `{bare}.md`"));
        }
        if self.context.terms.contains(target) {
            return Some(format!("write `term:{target}`"));
        }
        let example = target.split_once('/').filter(|(_, result)| !result.is_empty() && !result.contains(['/', '.']));
        let fence = |name: &str| self.source.text.contains(&format!("worked-example {name}\n"));
        if example.is_some_and(|(name, _)| !name.is_empty() && fence(name)) {
            return Some(format!("write `figure:{target}`"));
        }
        if target.starts_with("www.") {
            return Some(format!("write `https://{target}`"));
        }
        let mail = target.split_once('@').is_some_and(|(who, at)| !who.is_empty() && at.contains('.'));
        if mail && !target.contains(['/', ' ', ':']) {
            return Some(format!("write `mailto:{target}`"));
        }
        let digits = target.bytes().filter(u8::is_ascii_digit).count();
        if digits >= 7 && target.bytes().all(|byte| byte.is_ascii_digit() || b"+-.() ".contains(&byte)) {
            return Some("write `tel:+`, the code of the country, and the number without spaces".to_owned());
        }
        let figure = target.strip_prefix("figure/").or(target.strip_prefix("figure."));
        let figure = figure.filter(|figure| figure.contains('/')).map(|figure| format!("write `figure:{figure}`"));
        figure.or_else(|| page_meant(target))
    }

    fn refuse_address(&mut self, address: &Address<'_>, target: &str, place: Range<usize>) {
        let (rule, title, help) = match address {
            Address::FigureForm => (
                code::FIGURE_FORM,
                "a computed number is written `figure:EXAMPLE/RESULT`, and this address is not".to_owned(),
                "write for example `figure:first-catch/nozzle-output` or `figure:first-catch/nozzle-output?in=L/min`",
            ),
            Address::TermForm => (
                code::TERM_FORM,
                "a link to the glossary is written `term:NAME`, and this address is not".to_owned(),
                "write for example `[pass spacing](term:pass-spacing)`",
            ),
            Address::Scheme(scheme) => (
                code::LINK_SCHEME,
                format!("a link starts with `https:`, `http:`, `mailto:` or `tel:+`, and this one has {scheme}"),
                "write a web address in full, for example `https://example.org/`",
            ),
            Address::Absolute => (
                code::LINK_ABSOLUTE,
                "a link within the course is relative, and this one starts at the root".to_owned(),
                "write the name of the lesson file, for example `catch-test.md`",
            ),
            Address::Empty => (code::LINK_EMPTY, "this link has no address".to_owned(), "write `[words](address)`"),
            _ => (
                code::LINK_TO_NOWHERE,
                format!(
                    "a link leads to a lesson (`name.md`) or a picture (`../images/name.png`), and this one leads to `{target}`"
                ),
                "write the name of a lesson file, for example `catch-test.md`, or a web address in full",
            ),
        };
        let problem = self.problem(rule, title, place);
        let meant = match address {
            Address::Elsewhere => self.address_meant(target),
            Address::Absolute => page_meant(target),
            _ => None,
        };
        self.problems.push(problem.help(meant.unwrap_or_else(|| help.to_owned())));
    }

    pub(super) fn close_figure(&mut self, figure: Figure) {
        self.out.hole(Insert::Figure(figure));
    }

    /// Writes a picture, once its text is known.
    pub(super) fn image(&mut self, target: &str, title: &str, alt: &str, range: &Range<usize>) {
        let place = self.place(range);
        let name = match address::parse(target) {
            Address::Image(name) => name,
            _ => {
                let title =
                    format!("a picture belongs in the folder `images/` of the course, and this one is `{target}`");
                let problem = self.problem(code::IMAGE_ELSEWHERE, title, place);
                let name = target.rsplit(['/', '\\']).next().unwrap_or_default();
                let there = format!("images/{name}");
                let help = match self.context.images.get(&there) {
                    Some(there) => format!("write `../{there}`"),
                    None => "write `![what it shows](../images/name.png)`".to_owned(),
                };
                self.problems.push(problem.help(help));
                return;
            }
        };
        let known = self.known_image(&name, place.clone());
        if alt.trim().is_empty() {
            let problem =
                self.problem(code::IMAGE_WITHOUT_WORDS, "this picture has no words for those who do not see it", place);
            let help = format!("write what it shows between the brackets: `![what it shows]({target})`");
            self.problems.push(problem.help(help));
            return;
        }
        let Some(name) = known else { return };
        let html = &mut self.out.html;
        html.push_str("<img src=\"");
        escape::address(html, self.context.to_root);
        escape::file(html, name);
        html.push_str("\" alt=\"");
        escape::attribute(html, alt.trim());
        if !title.is_empty() {
            html.push_str("\" title=\"");
            escape::attribute(html, title);
        }
        html.push_str("\">");
    }
}

/// The page of every site that an address is meant as, with its ending, its folder and what follows it or without.
fn page_meant(target: &str) -> Option<String> {
    let path = target.split(['#', '?']).next().unwrap_or_default();
    let plain = path.trim_start_matches(['.', '/']).trim_end_matches(".html").trim_end_matches(".md");
    let names: Vec<String> = pages().map(|page| page.trim_end_matches(".html").to_owned()).collect();
    let name = match names.iter().find(|name| *name == plain) {
        Some(name) => name,
        None => nearest(plain, names.iter().map(String::as_str))?,
    };
    Some(format!("write `../{name}.html`, which leads to that page of the site"))
}
