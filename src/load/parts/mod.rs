//! A course's own template parts, compared with the stock's and with what the template engine knows, before any
//! page is made: each mistake with its place and what to write.

mod names;
mod own;
mod syntax;
mod tags;

use std::collections::BTreeMap;
use std::ops::Range;

use names::{EngineNames, NameKind, Used, used};
pub(super) use own::own_parts;
pub use own::stock_parts;
use syntax::misspelled;
pub use tags::next_tag;
use tags::{Tag, tags};

use crate::problem::{Problem, Problems, Source, code, nearest, offer};

/// The most unknown names that are reported for one part.
const MOST: usize = 20;

/// Checks all of a course's own parts, by their stock names.
fn check(own: &BTreeMap<String, Source>, problems: &mut Problems) {
    if own.is_empty() {
        return;
    }
    let stock: BTreeMap<String, &str> = stock_parts().collect();
    let mut texts = stock.clone();
    texts.extend(own.iter().map(|(name, source)| (name.clone(), &*source.text)));
    let all: BTreeMap<&str, Vec<Component<'_>>> =
        texts.iter().map(|(name, text)| (name.as_str(), components(text))).collect();
    let whole = Whole { texts: &texts, all: &all };
    for (name, source) in own {
        let before = stock.get(name).copied().unwrap_or_default();
        let mut found = Vec::new();
        components_as_before(before, name, source, &whole, &mut found);
        blocks_as_before(before, name, source, &whole, &mut found);
        unknown_names(source, &whole, &mut found);
        let lost = outside(before, source, &whole);
        // The engine marks what is outside the blocks of a page too, in its own words.
        found.extend(lost.or_else(|| misspelled(source)));
        found.extend(endless(name, source, &whole));
        problems.extend(found);
    }
}

/// All templates of the site, the course's own in place of the stock's.
struct Whole<'t> {
    texts: &'t BTreeMap<String, &'t str>,
    all: &'t BTreeMap<&'t str, Vec<Component<'t>>>,
}

/// `{% component foot(site, root="") %}`
#[derive(Clone, Debug)]
struct Component<'t> {
    name: &'t str,
    /// Each with whether it has a value of its own.
    takes: Vec<(&'t str, bool)>,
    /// Whether it takes anything else too: `...rest`.
    more: bool,
    /// The tag.
    span: Range<usize>,
}

fn components(text: &str) -> Vec<Component<'_>> {
    let defined = tags(text).into_iter().filter(|tag| tag.acts() && tag.word == "component");
    defined.filter_map(|tag| component(&tag)).collect()
}

fn component<'t>(tag: &Tag<'t>) -> Option<Component<'t>> {
    let (name, takes) = tag.rest().split_once('(')?;
    let takes = takes.trim_end().strip_suffix(')')?;
    let (mut all, mut more, mut depth, mut quote, mut from) = (Vec::new(), false, 0_i32, None, 0);
    let ends = takes.char_indices().chain([(takes.len(), ',')]);
    for (at, letter) in ends {
        match (letter, quote) {
            (_, Some(open)) if letter == open => quote = None,
            (_, Some(_)) if at < takes.len() => {}
            ('"' | '\'' | '`', _) => quote = Some(letter),
            ('[' | '{' | '(', _) => depth += 1,
            (']' | '}' | ')', _) => depth -= 1,
            (',', _) if depth <= 0 || at == takes.len() => {
                let one = takes[from..at].trim();
                from = (at + 1).min(takes.len());
                if let Some(rest) = one.strip_prefix("...") {
                    more = !rest.is_empty();
                } else if !one.is_empty() {
                    let end = one.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(one.len());
                    all.push((&one[..end], one.contains('=')));
                }
            }
            _ => {}
        }
    }
    Some(Component { name: name.trim(), takes: all, more, span: tag.span() })
}

fn problem(title: String, source: &Source, span: Range<usize>) -> Problem {
    Problem::new(code::PART_FAILS, title, "").at(source, span)
}

/// A part must define what other parts call, and take what they give.
fn components_as_before(stock: &str, part: &str, own: &Source, whole: &Whole<'_>, found: &mut Vec<Problem>) {
    let mine = components(&own.text);
    for wanted in components(stock) {
        let head = &stock[wanted.span.clone()];
        let Some(here) = mine.iter().find(|mine| mine.name == wanted.name) else {
            let title = format!("this part defines no component `{}`, which other parts of the page call", wanted.name);
            let near = nearest(wanted.name, mine.iter().map(|mine| mine.name));
            let near = mine.iter().find(|mine| Some(mine.name) == near);
            let one = match near {
                Some(near) => {
                    let name = near.span.start + own.text[near.span.clone()].find(near.name).unwrap_or_default();
                    problem(title, own, name..name + near.name.len())
                }
                None => problem(title, own, 0..own.text.lines().next().unwrap_or_default().len()),
            };
            found.push(one.help(format!("put it inside `{head} … {{% endcomponent {} %}}`", wanted.name)));
            continue;
        };
        let lost: Vec<&str> = wanted.takes.iter().map(|(name, _)| *name).collect();
        let lost: Vec<&str> =
            lost.into_iter().filter(|name| !here.more && here.takes.iter().all(|(mine, _)| mine != name)).collect();
        let needs = here.takes.iter().filter(|(name, has)| !has && wanted.takes.iter().all(|(known, _)| known != name));
        let needs: Vec<&str> = needs.map(|(name, _)| *name).collect();
        if let Some(lost) = lost.first() {
            let title = format!("the component `{}` is given `{lost}`, and does not take it", here.name);
            found.push(problem(title, own, here.span.clone()).help(format!("write `{head}`")));
        } else if let Some(needs) = needs.first() {
            let title = format!("the component `{}` is given no `{needs}`", here.name);
            let help = format!("write `{head}`, or give `{needs}` a value of its own: `{needs}=\"\"`");
            found.push(problem(title, own, here.span.clone()).help(help));
        }
    }
    for (at, here) in mine.iter().enumerate() {
        let others = whole.all.iter().filter(|(other, _)| **other != part);
        let other = others.into_iter().find(|(_, all)| all.iter().any(|other| other.name == here.name));
        let twice = mine[..at].iter().any(|earlier| earlier.name == here.name);
        let title = match other {
            Some((other, _)) => format!("the component `{}` is defined in `{other}` too", here.name),
            None if twice => format!("the component `{}` is defined twice", here.name),
            None => continue,
        };
        found.push(problem(title, own, here.span.clone()).help("give it a name of its own"));
    }
}

/// Names of the blocks of a template, with the places of the names.
fn blocks(text: &str) -> Vec<(&str, Range<usize>)> {
    let tags = tags(text).into_iter().filter(|tag| tag.acts() && tag.word == "block");
    let named = tags.filter_map(|tag| {
        let name = tag.rest().split_whitespace().next()?;
        let at = tag.start + tag.text.rfind(name)?;
        Some((name, at..at + name.len()))
    });
    named.collect()
}

/// The template below a page: `{% extends "pages/layout.html" %}`.
fn below(text: &str) -> Option<&str> {
    let used = used(text).into_iter().find(|used| used.kind == NameKind::Template)?;
    let tag = text[..used.span.start].rfind("{%")?;
    text[tag..used.span.start].contains("extends").then_some(used.name)
}

/// A frame keeps the blocks that pages fill, and a page fills those that its frame has.
fn blocks_as_before(stock: &str, part: &str, own: &Source, whole: &Whole<'_>, found: &mut Vec<Problem>) {
    let mine = blocks(&own.text);
    if whole.texts.values().any(|text| below(text) == Some(part)) {
        for (name, _) in blocks(stock).into_iter().filter(|(name, _)| mine.iter().all(|(mine, _)| mine != name)) {
            let title = format!("this part has no block `{name}`, which other pages fill");
            let help = format!("write `{{% block {name} %}}{{% endblock {name} %}}` where it belongs");
            found.push(problem(title, own, 0..own.text.lines().next().unwrap_or_default().len()).help(help));
        }
    }
    let Some(frame) = below(&own.text).and_then(|frame| Some((frame, *whole.texts.get(frame)?))) else { return };
    let theirs: Vec<&str> = blocks(frame.1).into_iter().map(|(name, _)| name).collect();
    for (name, span) in mine.into_iter().filter(|(name, _)| !theirs.contains(name)) {
        let mut one = problem(format!("there is no block `{name}` in `{}`", frame.0), own, span);
        one.help = offer(name, theirs.iter().copied());
        found.push(one);
    }
}

fn unknown_names(own: &Source, whole: &Whole<'_>, found: &mut Vec<Problem>) {
    let mut engine = EngineNames::default();
    let names = used(&own.text);
    let components: Vec<&str> = whole.all.values().flatten().map(|one| one.name).collect();
    let unknown = names.into_iter().filter(|used| match used.kind {
        NameKind::Component => !components.contains(&used.name),
        NameKind::Template => !whole.texts.contains_key(used.name),
        _ => !engine.has(used),
    });
    for Used { kind, name, span } in unknown.take(MOST) {
        let mut one = problem(format!("there is no {} `{name}`", kind.word()), own, span);
        one.help = match kind {
            NameKind::Component => offer(name, components.iter().copied()),
            NameKind::Template => offer(name, whole.texts.keys().map(String::as_str)),
            _ => offer(name, kind.brought().iter().copied()),
        };
        found.push(one);
    }
}

/// What is written outside the component of a part, or outside the blocks of a page, is on no page.
fn outside(stock: &str, own: &Source, whole: &Whole<'_>) -> Option<Problem> {
    let text = &*own.text;
    let part = !components(stock).is_empty();
    if !part && below(text).is_none() {
        return None;
    }
    let (opens, closes) = if part { ("component", "endcomponent") } else { ("block", "endblock") };
    let all = tags(text);
    if !all.iter().any(|tag| tag.acts() && tag.word == opens) {
        return None;
    }
    let (mut depth, mut at) = (0_usize, 0);
    let mut lost = None;
    let end = Tag { text: "", start: text.len(), word: "" };
    for tag in all.iter().chain([&end]) {
        if depth == 0 && lost.is_none() {
            lost = written(text, at..tag.start);
            let silent = tag.text.is_empty() || tag.acts() && (!part || [opens, closes].contains(&tag.word));
            lost = lost.or((!silent).then(|| tag.span()));
        }
        match tag.word {
            word if tag.acts() && word == opens => depth += 1,
            word if tag.acts() && word == closes => depth = depth.saturating_sub(1),
            _ => {}
        }
        at = tag.span().end;
    }
    let span = lost?;
    let title = match part {
        true => "this is outside the component, so it is on no page",
        false => "this is outside every block, so it is on no page",
    };
    let frame = below(text).and_then(|name| whole.texts.get(name)).map(|text| blocks(text)).unwrap_or_default();
    let heads = all.iter().filter(|tag| tag.acts() && tag.word == opens);
    let head = heads.map(|tag| tag.text).find(|head| part || frame.iter().any(|(name, _)| head.contains(name)));
    let help = match head {
        _ if part => "move it into the component, before its end".to_owned(),
        Some(head) => format!("move it after `{head}` and before its end"),
        None => "move it into one of the blocks of the page's frame".to_owned(),
    };
    Some(problem(title.to_owned(), own, span).help(help))
}

/// The first words in a stretch of a template that are no comment, up to the end of their line.
fn written(text: &str, span: Range<usize>) -> Option<Range<usize>> {
    let mut at = span.start;
    while at < span.end {
        let rest = &text[at..span.end];
        let blank = rest.len() - rest.trim_start().len();
        let rest = &rest[blank..];
        if rest.is_empty() {
            return None;
        }
        if rest.starts_with("{#") {
            at += blank + rest.find("#}").map_or(rest.len(), |end| end + 2);
            continue;
        }
        let line = rest.lines().next().unwrap_or_default();
        let line = line.split("{#").next().unwrap_or_default().trim_end();
        return Some(at + blank..at + blank + line.len());
    }
    None
}

/// A part that calls or includes itself, directly or through others, would never end.
fn endless(part: &str, own: &Source, whole: &Whole<'_>) -> Option<Problem> {
    // Only a part that is reached can lead back, so one walk from here is enough.
    let leads = |name: &str| -> Vec<Used<'_>> {
        let text = whole.texts.get(name).copied().unwrap_or_default();
        used(text).into_iter().filter(|used| matches!(used.kind, NameKind::Component | NameKind::Template)).collect()
    };
    let owner = |used: &Used<'_>| match used.kind {
        NameKind::Template => whole.texts.get_key_value(used.name).map(|(name, _)| name.as_str()),
        _ => whole.all.iter().find(|(_, all)| all.iter().any(|one| one.name == used.name)).map(|(name, _)| *name),
    };
    for first in leads(part) {
        let (mut seen, mut next) = (Vec::new(), owner(&first).into_iter().collect::<Vec<_>>());
        while let Some(name) = next.pop() {
            if name == part {
                let title = match first.kind {
                    NameKind::Component => format!("the component `{}` calls itself, and would never end", first.name),
                    _ => format!("with `{}` this part includes itself, and would never end", first.name),
                };
                return Some(problem(title, own, first.span).help("take it out"));
            }
            if !seen.contains(&name) {
                seen.push(name);
                next.extend(leads(name).iter().filter_map(owner));
            }
        }
    }
    None
}
