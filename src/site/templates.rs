//! The page templates: the stock's, and the course's own parts in their place.
//!
//! A course's own part sees what it is given and nothing else: it reads no file, and what it makes ends up in the
//! course's own pages. If it fails, it is named with the line.

use super::escape::escape;
use super::fault::Fault;
use super::misused::misused;
use super::turns::{self, Counted};
use crate::load::stock_parts;
use crate::problem::{Problem, Rule, Source, code, nearest, offer};
use std::cell::Cell;
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::ops::Range;
use std::sync::{Arc, OnceLock};
use tera::{Context, ErrorKind, ReportError, Tera};

/// Room for most pages, so that they need not move while they grow.
const USUAL_PAGE: usize = 64 * 1024;
/// The most room that a thread keeps for its next page.
const MOST_ROOM: usize = 512 * 1024;
/// The most bytes that one page may have: an endless loop stops there. The first page lists every lesson, and so may be
/// larger by this for each.
const LARGEST_PAGE: usize = 32 * 1024 * 1024;
const LARGER_EACH: usize = 2 * 1024;

thread_local! {
    /// Where a thread makes its pages, one after the other: a new buffer for each costs more than copying it out.
    static ROOM: Cell<Vec<u8>> = const { Cell::new(Vec::new()) };
}

/// Templates that are ready to be filled.
#[derive(Debug)]
pub(super) struct Templates {
    tera: Arc<Tera>,
    own: BTreeMap<String, Source>,
    /// The course's own parts with the calls that count their turns.
    counted: BTreeMap<String, Counted>,
    /// The most bytes of a page.
    largest: usize,
}

/// The comment at the start of a template: what it is for and what it is given.
pub fn note(text: &str) -> &str {
    let inside = text.strip_prefix("{#-").and_then(|rest| rest.split_once("#}"));
    inside.map_or("", |(note, _)| note.trim_end_matches('-').trim())
}

/// The engine, without a template.
fn engine() -> Tera {
    let mut tera = Tera::default();
    tera.set_escape_fn(escape);
    turns::register(&mut tera);
    tera
}

/// The stock's templates, read once; nothing where one cannot be, which is told with its place when they are read for a
/// course.
pub(super) fn stock() -> Option<Arc<Tera>> {
    static STOCK: OnceLock<Option<Arc<Tera>>> = OnceLock::new();
    let read = || {
        let mut tera = engine();
        tera.add_raw_templates(stock_parts()).ok()?;
        Some(Arc::new(tera))
    };
    STOCK.get_or_init(read).clone()
}

impl Templates {
    /// Reads them all, the course's own in place of the stock's, for pages of a course of so many lessons.
    ///
    /// # Errors
    /// A part that cannot be read, with its place.
    pub(super) fn read(own: &BTreeMap<String, Source>, lessons: usize) -> Result<Self, Fault> {
        let counted = own.iter().map(|(name, source)| (name.clone(), Counted::of(&source.text))).collect();
        let largest = LARGEST_PAGE + lessons * LARGER_EACH;
        let mut templates = Self { tera: Arc::default(), own: own.clone(), counted, largest };
        if let Some(stock) = stock().filter(|_| own.is_empty()) {
            templates.tera = stock;
            return Ok(templates);
        }
        let mut texts: BTreeMap<String, &str> = stock_parts().collect();
        for (name, part) in &templates.counted {
            texts.insert(name.clone(), &part.text);
        }
        let mut tera = engine();
        tera.add_raw_templates(texts).map_err(|fault| templates.fault(&fault, None))?;
        templates.tera = Arc::new(tera);
        Ok(templates)
    }

    /// Whether the course brings no part of its own.
    pub(super) fn are_stock(&self) -> bool {
        self.own.is_empty()
    }

    /// Whether a page may have so many bytes.
    pub(super) fn have_room(&self, bytes: usize) -> bool {
        bytes <= self.largest
    }

    /// Fills one of them.
    ///
    /// # Errors
    /// A part that fails, with its place.
    pub(super) fn render(&self, name: &str, context: &Context) -> Result<String, Fault> {
        let mut page = Page { made: ROOM.take(), largest: self.largest };
        page.made.clear();
        page.made.reserve(USUAL_PAGE);
        turns::begin_page();
        let filled = self.tera.render_to(name, context, &mut page);
        let text = str::from_utf8(&page.made).map(str::to_owned);
        if page.made.capacity() <= MOST_ROOM {
            ROOM.set(page.made);
        }
        filled.map_err(|fault| match fault.kind() {
            ErrorKind::Io(_) => {
                let title = format!("a page would be larger than {} MiB", self.largest / 1024 / 1024);
                Problem::new(code::PART_ENDLESS, title, self.owner(name))
                    .help("look for a loop that repeats itself")
                    .into()
            }
            _ => self.fault(&fault, Some(context)),
        })?;
        text.map_err(|_| Fault::from("a template gives what is not text".to_owned()))
    }

    /// The course's own part that is blamed first if the name does not say whose fault it is.
    fn owner(&self, name: &str) -> String {
        let own = if self.own.contains_key(name) { Some(name) } else { self.own.keys().next().map(String::as_str) };
        own.map_or_else(|| "templates".to_owned(), |own| format!("templates/{own}"))
    }

    /// What the template engine reports, in our words and at its place.
    fn fault(&self, fault: &tera::Error, context: Option<&Context>) -> Fault {
        let report = match fault.kind() {
            ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => report,
            other => {
                let first = self.own.keys().next();
                let file = first.map_or_else(|| "templates".to_owned(), |name| format!("templates/{name}"));
                let help = "tankside parts lists the stock's, which fit";
                return Problem::new(code::PART_FAILS, unfit(other), file).help(help).into();
            }
        };
        let limit = turns::limit(report.message());
        let rule = if limit.is_some() { code::PART_ENDLESS } else { code::PART_FAILS };
        let found = self.own.get(report.filename()).zip(self.counted.get(report.filename()));
        let Some((source, counted)) = found else {
            let title = limit.unwrap_or_else(|| "this part is called in a way that does not fit it".to_owned());
            return self.given(rule, title, report);
        };
        let place = counted.place(&report.span().range);
        let source = Source::new(format!("templates/{}", report.filename()), source.text.clone());
        let lists = format!("tankside parts {} lists what it is given", report.filename());
        let (title, help) = match limit {
            Some(limit) => (limit, None),
            None => {
                let marked = source.text.get(place.clone()).unwrap_or_default();
                let path = whole_path(&source.text, &place);
                let missing = missing(path, context).filter(|_| nothing(report.message()));
                let said = missing.or_else(|| misused(report.message(), marked.trim()));
                said.unwrap_or_else(|| unfilled(path, context))
            }
        };
        let help = help.map_or(lists.clone(), |help| format!("{help}; {lists}"));
        Problem::new(rule, title, "").at(&source, place).help(help).into()
    }

    /// A stock part fails where it fills one of the course's own, which then is the one to mend.
    fn given(&self, rule: &'static Rule, title: String, report: &ReportError) -> Fault {
        let stock = stock_parts().find(|(name, _)| name == report.filename()).map(|(_, text)| text);
        let call = stock.and_then(|text| text.get(report.span().range.clone())).unwrap_or_default();
        let called = |head: &str| {
            let name = head.split('(').next().unwrap_or_default().split_whitespace().last().unwrap_or_default();
            !name.is_empty() && call.contains(&format!("<{name}"))
        };
        for (name, own) in &self.own {
            let head = own.text.match_indices("{% component ").find(|(at, _)| called(&own.text[*at..]));
            let Some((at, _)) = head else { continue };
            let source = Source::new(format!("templates/{name}"), own.text.clone());
            let end = own.text[at..].find("%}").map_or(own.text.len(), |end| at + end + 2);
            let help = format!("tankside parts {name} lists what it is given");
            return Problem::new(rule, title, "").at(&source, at..end).help(help).into();
        }
        Problem::new(rule, title, format!("templates/{}", report.filename())).into()
    }
}

/// Why the parts do not fit together, as far as the checks before have not said it.
fn unfit(kind: &ErrorKind) -> String {
    match kind {
        ErrorKind::CircularExtend { tpl, .. } | ErrorKind::CircularInclude { tpl, .. } => {
            format!("`{tpl}` includes itself, and would never end")
        }
        ErrorKind::MissingParent { current, parent } => {
            format!("there is no part `{parent}`, which `{current}` extends")
        }
        ErrorKind::TemplateNotFound(name) => format!("there is no part `{name}`"),
        ErrorKind::ComponentNotFound(name) => format!("there is no component `{name}`"),
        _ => "the parts do not fit together".to_owned(),
    }
}

/// The expression at a place, with what it is taken from and what is taken from it: `site.contact` where only
/// `contact` or `site` is marked.
fn whole_path<'t>(text: &'t str, place: &Range<usize>) -> &'t str {
    let before = text.get(..place.start).unwrap_or_default();
    let from = before.trim_end_matches(|letter: char| letter.is_alphanumeric() || matches!(letter, '_' | '.')).len();
    let line = text.get(from..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    line.trim_start()
}

/// Whether a message of the template engine says that a value is not there.
fn nothing(message: &str) -> bool {
    ["`undefined`", "`none`", "is not defined"].iter().any(|word| message.contains(word))
}

/// The names that an expression begins with, one taken from the other: `site.contact`, `phrases["site.home"]`; and
/// whether each is written in brackets.
fn names(expression: &str) -> Vec<(&str, bool)> {
    let word =
        |text: &str| text.find(|letter: char| !(letter.is_alphanumeric() || letter == '_')).unwrap_or(text.len());
    let mut names = Vec::new();
    let mut rest = expression;
    let end = word(rest);
    names.extend((end > 0).then(|| (&rest[..end], false)));
    rest = &rest[end..];
    while !names.is_empty() {
        if let Some(after) = rest.strip_prefix('.') {
            let end = word(after);
            if end == 0 {
                break;
            }
            names.push((&after[..end], false));
            rest = &after[end..];
            continue;
        }
        let quoted = rest.strip_prefix("[\"").map(|after| (after, '"'));
        let Some((after, quote)) = quoted.or_else(|| rest.strip_prefix("['").map(|after| (after, '\''))) else { break };
        let Some((name, after)) = after.split_once(quote) else { break };
        names.push((name, true));
        rest = after.strip_prefix(']').unwrap_or_default();
    }
    names
}

/// The name in an expression that is not there, in what the page was given, and what to write.
fn missing(expression: &str, context: Option<&Context>) -> Option<(String, Option<String>)> {
    let names = names(expression);
    let ((first, _), rest) = names.split_first()?;
    let mut value = context?.get(first)?;
    let mut before = (*first).to_owned();
    for (name, in_brackets) in rest {
        let Some(map) = value.as_map() else {
            return Some((format!("`{before}` is one value, so it has no `{name}`"), None));
        };
        let known = map.iter().find(|(key, _)| key.as_str() == Some(*name)).map(|(_, value)| value);
        let Some(next) = known else {
            let mut keys: Vec<&str> = map.keys().filter_map(|key| key.as_str()).collect();
            keys.sort_unstable();
            let help = match nearest(name, keys.iter().copied()) {
                Some(near) if *in_brackets => Some(format!("write `{before}[\"{near}\"]`")),
                None if *first == "phrases" => Some("tankside phrases prints every phrase with its key".to_owned()),
                _ => offer(name, keys),
            };
            return Some((format!("`{before}` has no `{name}`"), help));
        };
        (value, before) = (next, format!("{before}.{name}"));
    }
    None
}

/// What is wrong with an expression that cannot be filled, by the names in it and what the page was given.
fn unfilled(expression: &str, context: Option<&Context>) -> (String, Option<String>) {
    if let Some(said) = missing(expression, context) {
        return said;
    }
    let names: Vec<&str> = names(expression).into_iter().map(|(name, _)| name).collect();
    let (Some((first, rest)), Some(context)) = (names.split_first(), context) else {
        return ("this cannot be filled with what the part is given".to_owned(), None);
    };
    if context.get(first).is_some() {
        return (format!("`{}` cannot be used like this", names.join(".")), None);
    }
    match rest.first() {
        Some(name) => (format!("`{first}` has no `{name}`, or is not there itself"), None),
        None => (format!("this part is given no `{first}`, or nothing that can be used like this"), None),
    }
}

/// A page that is being made, up to its largest size.
struct Page {
    made: Vec<u8>,
    largest: usize,
}

impl Write for Page {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.made.len() + bytes.len() > self.largest {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        self.made.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_is_not_there_is_told_with_the_nearest_one() {
        let mut context = Context::new();
        context.insert("phrases", &BTreeMap::from([("site.home", "Start"), ("site.turn", "Turn")]));
        context.insert("site", &BTreeMap::from([("company", "Example Lawns")]));
        for (expression, title, help) in [
            ("phrases[\"site.hom\"] | upper }}", "`phrases` has no `site.hom`", Some("write `phrases[\"site.home\"]`")),
            (
                "phrases['zzzzzzzz'] }}",
                "`phrases` has no `zzzzzzzz`",
                Some("tankside phrases prints every phrase with its key"),
            ),
            ("site.compny %}", "`site` has no `compny`", Some("write `company`")),
            ("site.company.name }}", "`site.company` is one value, so it has no `name`", None),
            ("way.titel }}", "`way` has no `titel`, or is not there itself", None),
            ("site.company + 1 }}", "`site.company` cannot be used like this", None),
        ] {
            let (said, write) = unfilled(expression, Some(&context));
            assert_eq!((said.as_str(), write.as_deref()), (title, help), "{expression}");
        }
    }

    #[test]
    fn a_page_that_lists_a_hundred_thousand_lessons_has_room_and_one_without_end_has_none() {
        // A row of the first page with its entry for showing progress: 900 bytes with a long title and summary.
        let row = "<li>".repeat(225);
        let mut list = Page { made: Vec::new(), largest: LARGEST_PAGE + 100_000 * LARGER_EACH };
        assert!((0..100_000).all(|_| list.write_all(row.as_bytes()).is_ok()));
        assert!(list.made.len() > 2 * LARGEST_PAGE);
        let mut page = Page { made: Vec::new(), largest: LARGEST_PAGE };
        assert_eq!(
            (0..100_000).take_while(|_| page.write_all(row.as_bytes()).is_ok()).count(),
            LARGEST_PAGE / row.len()
        );
    }
}
