//! What the template engine cannot read in a part, said in words of our own: braces without their partner, words that no
//! tag begins with, tags that are never ended; and the place where it stopped, for all that is left.

use std::ops::Range;

use tera::{ErrorKind, Tera};

use super::problem;
use super::tags::{Tag, next_tag, tags};
use crate::problem::{Problem, Source, nearest};

/// Words that begin a tag and are ended by another, with the word that ends them.
const PAIRS: &[(&str, &str)] = &[
    ("if", "endif"),
    ("for", "endfor"),
    ("block", "endblock"),
    ("component", "endcomponent"),
    ("filter", "endfilter"),
    ("set", "endset"),
    ("set_global", "endset"),
];
/// Words that begin a tag of its own.
const ALONE: &[&str] = &["break", "continue", "elif", "else", "extends", "include", "raw"];

/// The first thing in a part that cannot be read.
pub(super) fn misspelled(own: &Source) -> Option<Problem> {
    // What the part needs from others is missing here, and is checked elsewhere.
    let fault = Tera::default().add_raw_template("part", &own.text).err()?;
    let ErrorKind::SyntaxError(report) = fault.kind() else { return None };
    Some(open_braces(own).or_else(|| word_of_tag(own)).or_else(|| pairs(own)).unwrap_or_else(|| {
        let span = report.span().range.clone();
        stopped(own, span)
    }))
}

/// `{{` or `{%` without the braces that close it.
fn open_braces(own: &Source) -> Option<Problem> {
    let mut at = 0;
    while let Some((before, tag, _)) = next_tag(&own.text[at..]) {
        // A tag that swallows the next one has lost its end.
        let start = at + before.len();
        let swallowed = !tag.starts_with("{#") && tag[2..].contains("{%");
        if swallowed {
            return Some(unclosed(own, start));
        }
        at = start + tag.len();
    }
    let rest = &own.text[at..];
    let opens = ["{{", "{%", "{#"].iter().filter_map(|open| rest.find(open)).min()?;
    Some(unclosed(own, at + opens))
}

fn unclosed(own: &Source, start: usize) -> Problem {
    let open = &own.text[start..start + 2];
    let close = match open {
        "{%" => "%}",
        "{#" => "#}",
        _ => "}}",
    };
    let line = own.text[start..].lines().next().unwrap_or_default().trim_end();
    let quotes = line.matches('"').count() % 2 == 1;
    let help = match quotes {
        true => format!("close the quotation mark, and write `{close}` where the tag ends"),
        false => format!("write `{close}` where it ends"),
    };
    problem(format!("`{open}` is opened here and never closed"), own, start..start + line.len()).help(help)
}

/// `{% fro … %}`
fn word_of_tag(own: &Source) -> Option<Problem> {
    let known = || PAIRS.iter().flat_map(|(open, close)| [*open, *close]).chain(ALONE.iter().copied());
    for tag in tags(&own.text).iter().filter(|tag| tag.acts()) {
        if tag.word.is_empty() {
            let help = "write `if`, `for` or `set` with what belongs to it, or `{{ name }}` for a value";
            return Some(problem("no word says what this tag does".to_owned(), own, tag.span()).help(help));
        }
        if known().any(|word| word == tag.word) || tag.word.starts_with("end") {
            continue;
        }
        let at = tag.start + tag.text.find(tag.word).unwrap_or_default();
        let help = match nearest(tag.word, known()) {
            Some(near) => format!("write `{near}`"),
            None if inside(tag).contains(' ') => "write `if`, `for` or `set` in front of what belongs to it".to_owned(),
            None => format!("write `{{{{ {} }}}}` for a value", inside(tag)),
        };
        return Some(problem(format!("no tag begins with `{}`", tag.word), own, at..at + tag.word.len()).help(help));
    }
    None
}

/// What is between the braces of a tag.
fn inside<'t>(tag: &Tag<'t>) -> &'t str {
    tag.text[2..tag.text.len() - 2].trim_matches('-').trim()
}

/// Tags that are begun and not ended, ended and not begun, or ended in another order.
fn pairs(own: &Source) -> Option<Problem> {
    let mut open: Vec<(Tag<'_>, &str)> = Vec::new();
    for tag in tags(&own.text).into_iter().filter(Tag::acts) {
        // `set name = value` needs no end.
        let whole = matches!(tag.word, "set" | "set_global") && tag.rest().contains('=');
        if let Some((_, close)) = PAIRS.iter().find(|(word, _)| *word == tag.word && !whole) {
            open.push((tag, close));
            continue;
        }
        if matches!(tag.word, "else" | "elif")
            && !matches!(open.last(), Some((last, _)) if ["if", "for"].contains(&last.word))
        {
            let title = format!("`{}` is inside no `{{% if … %}}`", tag.word);
            return Some(problem(title, own, tag.span()).help("put it between the `if` and its `endif`"));
        }
        if !tag.word.starts_with("end") {
            continue;
        }
        match open.pop() {
            Some((_, close)) if close == tag.word => {}
            Some((last, close)) => {
                let title = format!("`{}` does not end what was begun last, `{}`", tag.word, last.text);
                let begun = open.iter().any(|(_, close)| *close == tag.word);
                let help = match begun {
                    true => format!("write `{{% {close} %}}{}`", tag.text),
                    false => format!("write `{{% {close} %}}`, or take this tag out"),
                };
                return Some(problem(title, own, tag.span()).help(help));
            }
            None => {
                let title = format!("`{}` ends nothing that was begun", tag.word);
                return Some(problem(title, own, tag.span()).help("take it out, or begin what it ends"));
            }
        }
    }
    let (tag, close) = open.pop()?;
    let title = format!("`{}` is begun here and never ended", tag.word);
    Some(problem(title, own, tag.span()).help(format!("write `{{% {close} %}}` where it ends")))
}

/// All that is left: the place says where reading stopped, and the tag around it what is expected there.
fn stopped(own: &Source, span: Range<usize>) -> Problem {
    let all = tags(&own.text);
    let around = all.iter().find(|tag| tag.start <= span.start && span.start < tag.span().end);
    let word = own.text.get(span.clone()).unwrap_or_default().trim();
    if own.text[..span.start].ends_with("loop.") {
        let title = format!("`loop` has no `{word}`");
        return problem(title, own, span)
            .help("there are `loop.index`, `loop.index0`, `loop.first`, `loop.last` and `loop.length`");
    }
    let help = match around {
        Some(tag) if tag.word == "for" => "write `{% for name in list %}`",
        Some(tag) if matches!(tag.word, "if" | "elif") => "write one condition, such as `{% if site.contact %}`",
        Some(tag) if matches!(tag.word, "set" | "set_global") => "write `{% set name = value %}`",
        Some(tag) if matches!(tag.word, "include" | "extends") => "write the name of a part in quotation marks",
        Some(tag) if tag.text.starts_with("{{<") => "write `{{<name key={value} />}}`",
        Some(tag) if tag.acts() => "write what its first word needs, and nothing else",
        _ => {
            "write one value, such as `{{ site.company }}`; a filter follows it with `|`, and texts have quotation marks"
        }
    };
    let span = if word.is_empty() { around.map_or(span, Tag::span) } else { span };
    let title = match word {
        "" | "%}" | "}}" | "-%}" | "-}}" => "something is missing in this tag".to_owned(),
        _ => "this part cannot be read from here on".to_owned(),
    };
    problem(title, own, span).help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_that_cannot_be_read_is_said_in_our_own_words() {
        let inside = |text: &str| format!("{{% component foot(site) -%}}\n{text}\n{{%- endcomponent foot %}}\n");
        for (text, marked, title, help) in [
            ("{{ site.company", "{{ site.company", "never closed", "`}}`"),
            ("{% if site.contact }x{% endif %}", "{% if site.contact }x{% endif %}", "never closed", "`%}`"),
            ("{{ \"a }}", "{{ \"a }}", "never closed", "quotation mark"),
            ("{% fi site.contact %}x{% endif %}", "fi", "no tag begins with `fi`", "`if`"),
            ("{% site.company %}", "site", "no tag begins with `site`", "`{{ site.company }}`"),
            ("{% %}", "{% %}", "no word says", "`if`"),
            ("{% for a in site %}{{ loop.idx }}{% endfor %}", "idx", "`loop` has no `idx`", "`loop.index`"),
            (
                "{% if site.contact %}x",
                "{%- endcomponent foot %}",
                "does not end what was begun last",
                "`{% endif %}{%- endcomponent foot %}`",
            ),
            ("x{% endif %}", "{% endif %}", "does not end what was begun last", "take this tag out"),
            ("{% else %}", "{% else %}", "inside no", "between the `if`"),
            ("{% for site.lessons %}x{% endfor %}", "", "", "`{% for name in list %}`"),
            ("{{ site..company }}", "", "", "one value"),
            ("{{ }}", "", "", "one value"),
            ("{% if %}x{% endif %}", "", "", "one condition"),
            ("{{ site.company | }}", "", "", "one value"),
            ("{% set x %}y", "", "does not end", "`{% endset %}{%- endcomponent foot %}`"),
        ] {
            let source = Source::new("templates/parts/foot.html", inside(text));
            let found = misspelled(&source).unwrap_or_else(|| panic!("{text}: it is read"));
            let drawn = format!("{} {}", found.title, found.help.clone().unwrap_or_default());
            assert!(found.title.contains(title), "{text}: {drawn}");
            assert!(found.help.as_ref().is_some_and(|said| said.contains(help)), "{text}: {drawn}");
            assert!(found.line_column().is_some_and(|(line, _)| line >= 2), "{text}: {drawn}");
            let said = found.primary.as_ref().map_or("", |mark| &source.text[mark.span.clone()]);
            assert!(marked.is_empty() || said == marked, "{text}: {said}");
        }
    }
}
