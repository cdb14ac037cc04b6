//! What a site's search covers: lessons by their headings, trade terms, formulas, calculators and the pages that every
//! site has, as one script that is loaded when search is first opened.

use super::assets::in_script;
use super::formulas;
use super::work::{Shown, title};
use crate::course::{Course, ReadyLesson};
use crate::markdown::{Body, Caution, Part};
use tankside_calc::problem::declare::Entry;
use tankside_calc::text::escape::{html, quantities};
use tankside_calc::text::json::{Value, map};
use tankside_calc::words::phrases::Phrases;

/// The script's path in a site.
pub(super) const PATH: &str = "assets/search-index.js";
/// Total letters of text beyond which each section is cut: a phone reads and sorts this many in a moment.
const MOST_TEXT: usize = 2_000_000;
/// Letters of a section that are always kept, however long the course is.
const LEAST_TEXT: usize = 160;
/// Sets of synonyms are phrases whose keys begin with this.
const SAME: &str = "search.same-";
/// Pages of every site: address, phrase of the name, phrase of what they are for.
const PAGES: &[(&str, &str, &str)] = &[
    ("drill.html", "learn.drill", "learn.drill-about"),
    ("exam.html", "learn.exam", "learn.exam-about"),
    ("log.html", "learn.log", "learn.log-about"),
    ("reading.html", "learn.reading", "learn.reading-about"),
    ("steps.html", "learn.steps", "learn.steps-about"),
    ("progress.html", "learn.progress", "learn.progress-about"),
    ("card.html", "card.title", "card.summary"),
    ("units.html", "site.units", "site.units-about"),
];

/// One thing that can be found.
#[derive(Debug, Default, PartialEq, Eq)]
struct Found {
    /// The phrase of its group: `search.in-lessons`.
    group: &'static str,
    /// From the site's folder.
    href: String,
    title: String,
    /// Which lesson, which calculator; may be empty.
    place: String,
    text: String,
    /// Other words for the same thing; searched, but not shown.
    also: String,
}

/// The script.
pub(super) fn script(course: &Course, shown: &[Shown]) -> String {
    let mut all: Vec<Found> = Vec::new();
    for (index, lesson) in course.lessons.iter().enumerate() {
        of_lesson(course, lesson, index + 1, &mut all);
    }
    shorten(&mut all);
    of_terms(course, &mut all);
    of_formulas(course, shown, &mut all);
    of_calculators(course, shown, &mut all);
    let phrases = &course.phrases;
    all.extend(PAGES.iter().map(|(href, name, about)| Found {
        group: "search.in-pages",
        href: (*href).to_owned(),
        title: phrases.get(name).to_owned(),
        text: phrases.get(about).to_owned(),
        ..Found::default()
    }));
    let mut groups: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for found in all {
        let group = groups.iter().position(|group| *group == found.group).unwrap_or_else(|| {
            groups.push(found.group);
            groups.len() - 1
        });
        let mut row = vec![Value::Number(group as f64)];
        row.extend([found.href, found.title, found.place, found.text, found.also].map(Value::from));
        rows.push(Value::List(row));
    }
    let same = phrases.iter().filter(|(key, _)| key.starts_with(SAME)).map(|(_, words)| words.into());
    let index = map(vec![
        ("groups", Value::List(groups.iter().map(|group| phrases.get(group).into()).collect())),
        ("same", Value::List(same.collect())),
        ("rows", Value::List(rows)),
    ]);
    format!("const TANKSIDE_INDEX = {};\n", in_script(&index.line()))
}

/// The sentences that the search itself shows, for its script.
pub(super) fn words(phrases: &Phrases) -> String {
    let own = |(key, text): (&str, &str)| {
        let name = key.strip_prefix("search.")?;
        (!key.starts_with(SAME) && !name.starts_with("in-")).then(|| (name.to_owned(), text.into()))
    };
    format!("const TANKSIDE_SEARCH = {};\n", in_script(&Value::Map(phrases.iter().filter_map(own).collect()).line()))
}

fn filled(phrases: &Phrases, key: &str, places: &[(&str, &str)]) -> String {
    super::work::fill(phrases, key, places)
}

fn of_lesson(course: &Course, lesson: &ReadyLesson, position: usize, all: &mut Vec<Found>) {
    let phrases = &course.phrases;
    let (number, total) = (position.to_string(), course.lessons.len().to_string());
    let name = &lesson.header.title;
    let page = format!("lessons/{}.html", lesson.stem);
    let within = filled(phrases, "search.in-lesson", &[("position", &number), ("lesson", name)]);
    let markup = course.html(lesson);
    let mut whole = String::with_capacity(markup.len());
    written(course, &lesson.body, &markup, &mut whole);
    for (index, section) in sections(&whole).into_iter().enumerate() {
        let (href, title, place, text) = if index == 0 {
            let place = filled(phrases, "site.place", &[("position", &number), ("total", &total)]);
            (page.clone(), name.clone(), place, [lesson.header.summary.as_str(), &section.text].join(" "))
        } else {
            (format!("{page}#{}", section.id), section.title, within.clone(), section.text)
        };
        let text = text.trim().to_owned();
        all.push(Found { group: "search.in-lessons", href, title, place, text, ..Found::default() });
    }
    for example in lesson.body.examples().filter_map(|written| lesson.examples.get(&written.name)) {
        let calculator = title(example.calculator, phrases);
        let own = Some(example.title.clone()).filter(|title| !title.trim().is_empty());
        all.push(Found {
            group: "search.in-lessons",
            href: format!("{page}#worked-{}", example.name),
            title: own.unwrap_or_else(|| calculator.clone()),
            place: within.clone(),
            text: filled(phrases, "search.example", &[("calculator", &calculator)]),
            ..Found::default()
        });
    }
}

/// A body as it is read, without the parts that forms fill in.
fn written(course: &Course, body: &Body, markup: &str, out: &mut String) {
    body.fill_in(markup, out, |part, out| match part {
        Part::Figure(figure) => out.push_str(&quantities(&figure.shown)),
        Part::Caution(Caution::Stock { id, .. }) => {
            if let Some(caution) = course.cautions.get(id) {
                out.push_str(&format!("<p>{}</p>", caution.html()));
            }
        }
        Part::Caution(Caution::Own { body, .. }) => written(course, body, &body.html, out),
        Part::Questions(placed) => {
            for bank in placed.banks().filter_map(|(bank, _)| course.banks.get(bank)) {
                out.push_str(&format!("<p>{}</p>", html(&bank.title)));
            }
        }
        Part::Phrase(phrase) => out.push_str(&html(course.phrases.get(phrase.key))),
        // An example is an entry of its own.
        Part::WorkedExample(_) => {}
    });
}

fn of_terms(course: &Course, all: &mut Vec<Found>) {
    for term in course.terms.iter() {
        all.push(Found {
            group: "search.in-words",
            href: format!("glossary.html#{}", term.id),
            title: term.term.clone(),
            place: String::new(),
            text: plain(&term.html()),
            also: term.also.join(", "),
        });
    }
}

fn of_formulas(course: &Course, shown: &[Shown], all: &mut Vec<Found>) {
    for part in formulas::sheet(shown, &course.phrases) {
        for (step, ways) in part.in_words() {
            let ways: Vec<String> = ways.iter().map(|way| format!("= {}", plain(way))).collect();
            all.push(Found {
                group: "search.in-formulas",
                href: format!("formulas.html#{}", part.id()),
                title: step.to_owned(),
                place: part.title().to_owned(),
                text: ways.join("; "),
                ..Found::default()
            });
        }
    }
}

fn of_calculators(course: &Course, shown: &[Shown], all: &mut Vec<Found>) {
    let phrases = &course.phrases;
    for one in shown {
        let id = one.calculator.id;
        let name = |path: &str| phrases.get(&format!("{id}.input.{path}")).to_owned();
        let mut also: Vec<String> = Vec::new();
        for entry in one.calculator.inputs {
            match entry {
                Entry::One(input) => also.push(name(input.name)),
                Entry::Many(group) => {
                    let fields = group.fields.iter().map(|field| name(&format!("{}.{}", group.name, field.name)));
                    also.extend(fields);
                }
            }
        }
        let results = format!("{id}.result.");
        also.extend(phrases.iter().filter(|(key, _)| key.starts_with(&results)).map(|(_, text)| text.to_owned()));
        all.push(Found {
            group: "search.in-calculators",
            href: one.page(),
            title: title(one.calculator, phrases),
            text: phrases.get(&format!("{id}.summary")).to_owned(),
            also: also.join(", "),
            ..Found::default()
        });
    }
}

/// Cuts the text of every section if the course is so long that its index would be too large.
fn shorten(all: &mut [Found]) {
    let letters: usize = all.iter().map(|found| found.text.chars().count()).sum();
    if letters <= MOST_TEXT {
        return;
    }
    let share = (MOST_TEXT / all.len().max(1)).max(LEAST_TEXT);
    for found in all {
        if let Some((end, _)) = found.text.char_indices().nth(share) {
            let end = found.text[..end].rfind(' ').unwrap_or(end);
            found.text.truncate(end);
        }
    }
}

/// The text under a heading.
#[derive(Debug, Default, PartialEq, Eq)]
struct Section {
    id: String,
    title: String,
    text: String,
}

/// The generator's own HTML as text, by heading; the first entry is the text before any heading.
fn sections(html: &str) -> Vec<Section> {
    let mut all = vec![Section::default()];
    let (mut rest, mut heading) = (html, false);
    while let Some(section) = all.last_mut() {
        let (text, after) = rest.split_once('<').unwrap_or((rest, ""));
        let into = if heading { &mut section.title } else { &mut section.text };
        // The link back from a note is not part of its text.
        read(text.trim_end_matches('↑'), into);
        let Some((tag, after)) = tag(after) else { break };
        rest = after;
        let name = tag.split([' ', '>', '\n']).next().unwrap_or_default();
        let is_heading = |name: &str| matches!(name.as_bytes(), [b'h', b'2'..=b'6']);
        if is_heading(name) {
            heading = true;
            all.push(Section { id: identifier(tag).to_owned(), ..Section::default() });
        } else if name.strip_prefix('/').is_some_and(is_heading) {
            heading = false;
        } else if !INLINE.contains(&name.trim_start_matches('/')) {
            into.push(' ');
        }
    }
    for section in &mut all {
        for text in [&mut section.title, &mut section.text] {
            *text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        }
    }
    all
}

/// Elements that may start within a word.
const INLINE: &[&str] = &["a", "abbr", "b", "code", "del", "em", "i", "s", "span", "strong", "sub", "sup"];

/// The text of some HTML.
fn plain(html: &str) -> String {
    sections(html).into_iter().map(|section| section.text).collect()
}

/// A tag up to its end, which no quoted `>` is.
fn tag(text: &str) -> Option<(&str, &str)> {
    let mut quoted = false;
    let end = text.bytes().position(|byte| {
        quoted ^= byte == b'"';
        byte == b'>' && !quoted
    })?;
    Some((&text[..end], &text[end + 1..]))
}

fn identifier(tag: &str) -> &str {
    tag.split_once(" id=\"").and_then(|(_, rest)| rest.split_once('"')).map_or("", |(id, _)| id)
}

/// Text with its entities read.
fn read(text: &str, out: &mut String) {
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        out.push_str(before);
        let named = [("amp;", '&'), ("lt;", '<'), ("gt;", '>'), ("quot;", '"'), ("#39;", '\''), ("nbsp;", ' ')];
        let entity = named.iter().find_map(|(name, letter)| Some((after.strip_prefix(name)?, *letter)));
        let (after, letter) = entity.unwrap_or((after, '&'));
        out.push(letter);
        rest = after;
    }
    out.push_str(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_headings_and_the_text_under_them() {
        let html = "<p>Be<em>fore</em> it &amp; all.</p>\n<h2 id=\"a-b\" class=\"x\">Gun &lt;5&gt;</h2>\n<ul><li>one</li><li>two</li></ul><img alt=\"a > b\"><h3 id=\"c\">C</h3>";
        let section =
            |id: &str, title: &str, text: &str| Section { id: id.into(), title: title.into(), text: text.into() };
        assert_eq!(
            sections(html),
            [section("", "", "Before it & all."), section("a-b", "Gun <5>", "one two"), section("c", "C", "")]
        );
        assert_eq!(sections("a < b <broken"), [section("", "", "a")]);
    }

    #[test]
    fn a_long_course_keeps_the_beginning_of_every_section() {
        let long = "word ".repeat(2_000);
        let found = || Found { text: long.clone(), ..Found::default() };
        let mut few = vec![found()];
        shorten(&mut few);
        assert_eq!(few[0].text, long);
        let mut many: Vec<Found> = (0..20_000).map(|_| found()).collect();
        shorten(&mut many);
        assert!(many.iter().all(|found| (LEAST_TEXT - 5..=LEAST_TEXT).contains(&found.text.len())));
        assert!(many[0].text.ends_with("word"));
    }
}
