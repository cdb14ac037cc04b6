//! The page templates: the stock's, and the course's own parts in their place.
//!
//! A course's own part sees what it is given and nothing else: it reads no file, and what it makes ends up in the
//! course's own pages. If it fails, it is named with the line.

use super::fault::Fault;
use super::turns::{self, Counted};
use crate::embedded::TEMPLATES;
use crate::problem::{Problem, Source, code, offer};
use std::collections::BTreeMap;
use std::io::{self, Write};
use tera::{Context, ErrorKind, Tera};

/// Room for most pages, so that they need not move while they grow.
const USUAL_PAGE: usize = 32 * 1024;
/// The most bytes that one page may have: an endless loop stops there.
const LARGEST_PAGE: usize = 32 * 1024 * 1024;

/// Templates that are ready to be filled.
#[derive(Debug)]
pub(super) struct Templates {
    tera: Tera,
    own: BTreeMap<String, Source>,
    /// The course's own parts with the calls that count their turns.
    counted: BTreeMap<String, Counted>,
}

/// The stock templates by name: `parts/foot.html`.
pub fn stock() -> impl Iterator<Item = (String, &'static str)> {
    let folders = ["pages", "parts"].into_iter().filter_map(|folder| TEMPLATES.get_dir(folder));
    folders.flat_map(|folder| folder.files()).map(|file| {
        let name = file.path().display().to_string().replace('\\', "/");
        (name, file.contents_utf8().unwrap_or_default())
    })
}

/// The comment at the start of a template: what it is for and what it is given.
pub fn note(text: &str) -> &str {
    let inside = text.strip_prefix("{#-").and_then(|rest| rest.split_once("#}"));
    inside.map_or("", |(note, _)| note.trim_end_matches('-').trim())
}

impl Templates {
    /// Reads them all, the course's own in place of the stock's.
    ///
    /// # Errors
    /// A part that cannot be read, with its place.
    pub(super) fn read(own: &BTreeMap<String, Source>) -> Result<Self, Fault> {
        let mut texts: BTreeMap<String, &str> = stock().collect();
        for (name, source) in own {
            let stock = texts.get(name).copied().unwrap_or_default();
            same_components(stock, source)?;
            texts.insert(name.clone(), &source.text);
        }
        endless(&texts, own)?;
        let counted = own.iter().map(|(name, source)| (name.clone(), Counted::of(&source.text))).collect();
        let mut templates = Self { tera: Tera::default(), own: own.clone(), counted };
        turns::register(&mut templates.tera);
        for (name, part) in &templates.counted {
            texts.insert(name.clone(), &part.text);
        }
        let added = templates.tera.add_raw_templates(texts);
        added.map_err(|fault| templates.fault(&fault))?;
        Ok(templates)
    }

    /// Fills one of them.
    ///
    /// # Errors
    /// A part that fails, with its place.
    pub(super) fn render(&self, name: &str, context: &Context) -> Result<String, Fault> {
        let mut page = Page(Vec::with_capacity(USUAL_PAGE));
        turns::begin_page();
        self.tera.render_to(name, context, &mut page).map_err(|fault| match fault.kind() {
            ErrorKind::Io(_) => {
                let title = format!("a page would be larger than {} MiB", LARGEST_PAGE / 1024 / 1024);
                Problem::new(code::PART_ENDLESS, title, self.owner(name))
                    .help("look for a loop that repeats itself")
                    .into()
            }
            _ => self.fault(&fault),
        })?;
        String::from_utf8(page.0).map_err(|_| Fault::from("a template gives what is not text".to_owned()))
    }

    /// The course's own part that is blamed first if the name does not say whose fault it is.
    fn owner(&self, name: &str) -> String {
        let own = if self.own.contains_key(name) { Some(name) } else { self.own.keys().next().map(String::as_str) };
        own.map_or_else(|| "templates".to_owned(), |own| format!("templates/{own}"))
    }

    /// What a template's engine reports, in the author's words and at its place.
    fn fault(&self, fault: &tera::Error) -> Fault {
        let report = match fault.kind() {
            ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => report,
            other => {
                let first = self.own.keys().next();
                let file = first.map_or_else(|| "templates".to_owned(), |name| format!("templates/{name}"));
                return Problem::new(code::PART_FAILS, one_line(&other.to_string()), file).into();
            }
        };
        let rule = if turns::is_limit(report.message()) { code::PART_ENDLESS } else { code::PART_FAILS };
        let title = format!("this part cannot be filled: {}", one_line(report.message()));
        match self.own.get(report.filename()).zip(self.counted.get(report.filename())) {
            Some((source, counted)) => {
                let place = counted.place(&report.span().range);
                let source = Source::new(format!("templates/{}", report.filename()), source.text.clone());
                let help = format!("tankside parts {} lists what it is given", report.filename());
                Problem::new(rule, title, "").at(&source, place).help(help).into()
            }
            None => Problem::new(rule, title, format!("templates/{}", report.filename())).into(),
        }
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A page that is being made, up to its largest size.
struct Page(Vec<u8>);

impl Write for Page {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0.len() + bytes.len() > LARGEST_PAGE {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Names of the components that a template defines.
fn defined(text: &str) -> Vec<&str> {
    let names = text.split("component ").skip(1).filter_map(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_')?;
        rest[end..].starts_with('(').then(|| &rest[..end])
    });
    names.filter(|name| !name.is_empty()).collect()
}

/// A part that replaces another must define what other templates call.
fn same_components(stock: &str, own: &Source) -> Result<(), Fault> {
    let names = defined(&own.text);
    let Some(lost) = defined(stock).into_iter().find(|name| !names.contains(name)) else { return Ok(()) };
    let title = format!("this part defines no component `{lost}`, which other parts of the page call");
    let mut problem =
        Problem::new(code::PART_FAILS, title, format!("templates/{}", own.name.trim_start_matches("templates/")));
    let near = names.first().and_then(|_| offer(lost, names.iter().copied()));
    problem.help = Some(match near {
        Some(_) => format!("name its component `{lost}`, as the stock part does"),
        None => format!("begin it with `{{% component {lost}(…) -%}}`, as the stock part does"),
    });
    Err(problem.into())
}

/// Components that a template calls: `{{<name …/>}}` and `{% <name …> %}`.
fn called(text: &str) -> Vec<&str> {
    let calls = text.match_indices('<').filter_map(|(at, _)| {
        let before = text[..at].trim_end_matches([' ', '-', '\n', '\t']);
        if !(before.ends_with("{{") || before.ends_with("{%")) {
            return None;
        }
        let rest = &text[at + 1..];
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
        (end > 0).then(|| &rest[..end])
    });
    calls.collect()
}

/// Templates that a template takes in: `{% include "parts/law.html" %}`, `{% extends "pages/layout.html" %}`.
fn taken_in(text: &str) -> Vec<&str> {
    let tags = text.split("{%").skip(1).map(|tag| tag.trim_start_matches('-').trim_start());
    let named = tags.filter_map(|tag| tag.strip_prefix("include").or_else(|| tag.strip_prefix("extends")));
    named.filter_map(|rest| rest.split(['"', '\'', '`']).nth(1)).collect()
}

/// A component that calls itself, directly, through another or through a template, would never end.
fn endless(texts: &BTreeMap<String, &str>, own: &BTreeMap<String, Source>) -> Result<(), Fault> {
    let mut calls: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (template, text) in texts {
        for name in defined(text).into_iter().chain([template.as_str()]) {
            calls.entry(name).or_default().extend(called(text).into_iter().chain(taken_in(text)));
        }
    }
    for (part, source) in own {
        for start in defined(&source.text) {
            let (mut seen, mut next) = (Vec::new(), calls.get(start).cloned().unwrap_or_default());
            while let Some(name) = next.pop() {
                if name == start {
                    let title = format!("the component `{start}` calls itself, and would never end");
                    return Err(Problem::new(code::PART_FAILS, title, format!("templates/{part}")).into());
                }
                if !seen.contains(&name) {
                    seen.push(name);
                    next.extend(calls.get(name).into_iter().flatten());
                }
            }
        }
    }
    Ok(())
}
