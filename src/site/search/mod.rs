//! What a site's search covers: lessons by their headings, trade terms, formulas, calculators and the pages that every
//! site has, as one script that is loaded when search is first opened.

mod index;
mod text;
mod words;

use self::index::{Index, IndexEntry, LESSONS};
pub(super) use self::index::{Sections, share};
use self::text::{Reader, Section, plain};
use super::assets::in_script;
use super::formulas;
use super::spoken::{ASKED, SAME, SMALL};
use super::work::{Shown, title};
use crate::course::{Course, ReadyLesson};
use crate::markdown::{Body, Caution, Insert, page_names};
use std::cell::Cell;
use std::sync::{Mutex, PoisonError};
use tankside_calc::calculation::declare::FormItem;
use tankside_calc::text::escape::{html, quantities};
use tankside_calc::text::json::{Value, map};

/// The script's path in a site.
pub(super) const PATH: &str = "assets/search-index.js";
/// Pages of every site: address, phrase of the name, phrase of what they are for (with no place to fill), and phrases of
/// what else is on them.
const PAGES: &[(&str, &str, &str, &[&str])] = &[
    (page_names::DRILL, "learn.drill", "learn.drill-about", &["learn.plan", "learn.drill-exam"]),
    (page_names::EXAM, "learn.exam", "learn.exam-lead", &["learn.exam-code", "learn.pocket"]),
    (page_names::LOG, "learn.log", "learn.log-about", &[]),
    (page_names::READING, "learn.reading", "learn.reading-about", &[]),
    (page_names::STEPS, "learn.steps", "learn.steps-about", &["learn.more-slips"]),
    (
        page_names::PROGRESS,
        "learn.progress",
        "learn.progress-about",
        &["learn.record", "learn.certificate", "learn.carry", "learn.over"],
    ),
    (page_names::CARD, "card.title", "card.summary", &[]),
    (page_names::FORMULAS, "site.formulas", "site.formulas-about", &["learn.sheet", "site.exam"]),
    (page_names::UNITS, "site.units", "site.units-about", &[]),
    (page_names::GLOSSARY, "site.glossary", "site.glossary-about", &[]),
];

/// What is around the rows of the lessons: the script's beginning, and the rows of everything else with its end.
#[derive(Debug)]
pub(super) struct Around {
    pub(super) head: String,
    rows: String,
}

impl Around {
    pub(super) fn of(course: &Course, shown: &[Shown]) -> Self {
        let mut rows = Index::new(String::new(), None);
        of_terms(course, &mut rows);
        of_formulas(course, shown, &mut rows);
        of_calculators(course, shown, &mut rows);
        let phrases = &course.phrases;
        for (href, name, about, beside) in PAGES {
            let asked = format!("{ASKED}{}", href.trim_end_matches(".html"));
            let also: Vec<&str> = beside.iter().copied().chain([asked.as_str()]).map(|key| phrases.get(key)).collect();
            rows.add(&IndexEntry {
                group: "search.in-pages",
                href,
                title: phrases.get(name),
                text: phrases.get(about),
                also: &also.join(", "),
                ..IndexEntry::default()
            });
        }
        let groups = Value::List(rows.groups.iter().map(|group| phrases.get(group).into()).collect());
        let same = phrases.iter().filter(|(key, _)| key.starts_with(SAME)).map(|(_, words)| words.into());
        let small = phrases.get(SMALL).into();
        let head = map(vec![("groups", groups), ("same", Value::List(same.collect())), ("small", small)]).line();
        let head = format!("const TANKSIDE_INDEX = {},\"rows\":[", in_script(head.trim_end_matches('}')));
        Self { head, rows: rows.json }
    }

    /// The script's end, after the last rows of the lessons.
    pub(super) fn end(&self, after_lessons: bool) -> String {
        format!("{}{}]}};\n", if after_lessons { "," } else { "" }, self.rows)
    }
}

/// What a thread reads lessons into, one after the other: memory that is new to the processor for each would cost more
/// than most of them.
#[derive(Default)]
struct Desk {
    title: String,
    text: String,
    json: String,
}

thread_local! {
    static DESK: Cell<Desk> = const { Cell::new(Desk { title: String::new(), text: String::new(), json: String::new() }) };
}

/// The script as a whole, where the pages of the lessons are not made in the same run.
pub(super) fn script(course: &Course, shown: &[Shown]) -> String {
    let around = Around::of(course, shown);
    let rows = Mutex::new(String::new());
    let take = |piece: &str| rows.lock().unwrap_or_else(PoisonError::into_inner).push_str(piece);
    let sections = Sections::new(&take, share(course));
    for (index, lesson) in course.lessons.iter().enumerate() {
        bring(course, lesson, index, &lesson.html().unwrap_or_default(), None, &sections);
    }
    let rest = sections.end();
    let rows = rows.into_inner().unwrap_or_else(PoisonError::into_inner) + &rest;
    let end = around.end(!rows.is_empty());
    [around.head, rows, end].concat()
}

/// Brings what can be found in a lesson: by its headings and by its examples. `markup` is the HTML of its body, and
/// `shown` the same as its page shows it, where that is made in the same run.
pub(super) fn bring(
    course: &Course,
    lesson: &ReadyLesson,
    index: usize,
    markup: &str,
    shown: Option<&str>,
    all: &Sections<'_>,
) {
    let phrases = &course.phrases;
    let (number, total) = ((index + 1).to_string(), course.lessons.len().to_string());
    let name = &lesson.header.title;
    let page = format!("lessons/{}.html", lesson.stem);
    let within = phrases.fill_with("search.in-lesson", &[("position", &number), ("lesson", name)]);
    let mut whole = String::new();
    let only_numbers = lesson.body.holes.iter().all(|hole| matches!(hole.insert, Insert::Figure(_)));
    let whole = match shown.filter(|_| only_numbers) {
        Some(shown) => shown,
        None => {
            written(course, &lesson.body, markup, &mut whole);
            &whole
        }
    };
    let Desk { title: heading, text, json } = DESK.take();
    let mut rows = all.rows(json);
    let mut section = Section { id: "", title: heading, text };
    let (mut reader, mut first) = (Reader::new(whole, all.enough()), true);
    let mut href = page.clone();
    while reader.read(&mut section) {
        let Section { id, title, text } = &section;
        if std::mem::take(&mut first) {
            let place = phrases.fill_with("site.place", &[("position", &number), ("total", &total)]);
            let text = [&lesson.header.summary, " ", text].concat();
            let text = text.trim();
            rows.add(&IndexEntry {
                group: LESSONS,
                href: &page,
                title: name,
                place: &place,
                text,
                ..IndexEntry::default()
            });
        } else {
            href.truncate(page.len());
            href.push('#');
            href.push_str(id);
            rows.add(&IndexEntry { group: LESSONS, href: &href, title, place: &within, text, ..IndexEntry::default() });
        }
    }
    for example in lesson.body.examples().filter_map(|written| lesson.examples.get(&written.name)) {
        let calculator = title(example.calculator, phrases);
        let own = Some(example.title.as_str()).filter(|title| !title.trim().is_empty());
        rows.add(&IndexEntry {
            group: LESSONS,
            href: &format!("{page}#worked-{}", example.name),
            title: own.unwrap_or(&calculator),
            place: &within,
            text: &phrases.fill_with("search.example", &[("calculator", &calculator)]),
            ..IndexEntry::default()
        });
    }
    let json = all.bring(index, rows);
    DESK.set(Desk { title: section.title, text: section.text, json });
}

/// A body as it is read, without the parts that forms fill in.
fn written(course: &Course, body: &Body, markup: &str, out: &mut String) {
    body.fill_in(markup, out, |insert, out| match insert {
        Insert::Figure(figure) => out.push_str(&quantities(&figure.shown)),
        Insert::Caution(Caution::Stock { id, .. }) => {
            if let Some(caution) = course.cautions.get(id) {
                out.push_str(&format!("<p>{}</p>", caution.html()));
            }
        }
        Insert::Caution(Caution::Own { body, .. }) => written(course, body, &body.html, out),
        Insert::Questions(placed) => {
            for bank in placed.banks().filter_map(|(bank, _)| course.banks.get(bank)) {
                out.push_str(&format!("<p>{}</p>", html(&bank.title)));
            }
        }
        Insert::Phrase(phrase) => out.push_str(&html(course.phrases.get(phrase.key))),
        // An example is an entry of its own.
        Insert::WorkedExample(_) => {}
    });
}

fn of_terms(course: &Course, all: &mut Index) {
    for term in course.terms.iter() {
        all.add(&IndexEntry {
            group: "search.in-words",
            href: &format!("glossary.html#{}", term.id),
            title: &term.term,
            place: "",
            text: &plain(&term.html()),
            also: &term.also.join(", "),
        });
    }
}

fn of_formulas(course: &Course, shown: &[Shown], all: &mut Index) {
    // What cannot be worked is reported at its own page.
    for part in formulas::sheet(shown, &course.phrases).unwrap_or_default() {
        for (step, ways) in part.in_words() {
            let ways: Vec<String> = ways.iter().map(|way| format!("= {}", plain(way))).collect();
            all.add(&IndexEntry {
                group: "search.in-formulas",
                href: &format!("formulas.html#{}", part.id()),
                title: step,
                place: part.title(),
                text: &ways.join("; "),
                ..IndexEntry::default()
            });
        }
    }
}

/// A name as it is searched: in one of its forms, without places to fill.
fn once(name: &str) -> String {
    let mut rest = name.split(" | ").next().unwrap_or_default();
    let mut searched = String::with_capacity(rest.len());
    while let Some((before, after)) = rest.split_once('{') {
        searched.push_str(before);
        rest = after.split_once('}').map_or("", |(_, after)| after);
    }
    searched + rest
}

fn of_calculators(course: &Course, shown: &[Shown], all: &mut Index) {
    let phrases = &course.phrases;
    for one in shown {
        let id = one.calculator.id;
        let name = |path: &str| once(phrases.get(&format!("{id}.input.{path}")));
        let mut also: Vec<String> = Vec::new();
        for item in one.calculator.inputs {
            match item {
                FormItem::One(input) => also.push(name(input.name)),
                FormItem::Many(group) => {
                    let fields = group.fields.iter().map(|field| name(&format!("{}.{}", group.name, field.name)));
                    also.extend(fields);
                }
            }
        }
        let results = format!("{id}.result.");
        also.extend(phrases.iter().filter(|(key, _)| key.starts_with(&results)).map(|(_, text)| once(text)));
        also.push(phrases.get(&format!("{ASKED}{id}")).to_owned());
        all.add(&IndexEntry {
            group: "search.in-calculators",
            href: &one.page(),
            title: &title(one.calculator, phrases),
            text: phrases.get(&format!("{id}.summary")),
            also: &also.join(", "),
            ..IndexEntry::default()
        });
    }
}
