//! What would keep a second language out, looked for in templates and code: sentences glued together, words and numbers
//! that a program writes by itself, case changed by a program, one language by its name.
//!
//! `tests/browser/language*.test.mjs` look at the pages from outside, in a language that shouts; this looks where a page
//! is never opened in just that state.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files below a folder that end so, with their names and texts.
fn files(folder: &str, ending: &str) -> Vec<(String, String)> {
    let all = walkdir::WalkDir::new(root().join(folder)).sort_by_file_name().into_iter();
    let paths = all.map(|entry| entry.expect("a readable entry").into_path());
    let found: Vec<PathBuf> = paths.filter(|path| path.to_string_lossy().ends_with(ending)).collect();
    let named = |path: PathBuf| {
        let name = path.strip_prefix(root()).expect("it is below").to_string_lossy().replace('\\', "/");
        let text = fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        (name, text)
    };
    found.into_iter().map(named).collect()
}

/// Stands for a tag of the template engine.
const BRANCH: &str = "\u{1}";

/// A template cut into texts between tags, and the values of attributes that are read aloud or shown; what the template
/// engine fills in stays in its braces, and comments and tags of the engine are gone.
fn texts(template: &str) -> Vec<String> {
    let mut plain = String::new();
    let mut rest = template;
    while let Some(at) = rest.find("{#").into_iter().chain(rest.find("{%")).min() {
        plain.push_str(&rest[..at]);
        let close = if rest[at..].starts_with("{#") { "#}" } else { "%}" };
        let end = rest[at..].find(close).map_or(rest.len(), |end| at + end + 2);
        // Branches are apart; a comment is nothing.
        plain.push_str(if close == "%}" { BRANCH } else { "" });
        rest = &rest[end..];
    }
    plain.push_str(rest);
    let mut found = Vec::new();
    let (mut text, mut tag, mut braces) = (String::new(), String::new(), 0);
    let mut in_tag = false;
    for (at, letter) in plain.char_indices() {
        match letter {
            '{' => braces += 1,
            '}' => braces -= 1,
            _ => {}
        }
        match (letter, braces, in_tag) {
            ('<', 0, false) => {
                found.push(std::mem::take(&mut text));
                in_tag = true;
            }
            ('>', 0, true) => {
                found.extend(said_in(&std::mem::take(&mut tag)));
                in_tag = false;
            }
            ('\u{1}', _, true) => {}
            ('\u{1}', _, false) => found.push(std::mem::take(&mut text)),
            _ if in_tag => tag.push(letter),
            _ => text.push(letter),
        }
        assert!(braces >= 0, "{}", &plain[..at]);
    }
    found.push(text);
    found.retain(|text| !text.trim().is_empty());
    found
}

/// Values of attributes that people read or hear.
fn said_in(tag: &str) -> Vec<String> {
    let all = ["aria-label", "aria-description", "alt", "title", "placeholder", "aria-roledescription"];
    let value = |name: &str| {
        let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
        // A quotation mark in braces does not end the value.
        let mut depth = 0;
        let end = rest.char_indices().find(|(_, letter)| {
            depth += i32::from(*letter == '{') - i32::from(*letter == '}');
            depth == 0 && *letter == '"'
        });
        Some(rest[..end.map_or(rest.len(), |(end, _)| end)].to_owned())
    };
    all.into_iter().filter_map(value).collect()
}

/// The expressions in braces of a text, and what is left of it.
fn parted(text: &str) -> (Vec<&str>, String) {
    let (mut filled, mut left, mut rest) = (Vec::new(), String::new(), text);
    while let Some((before, after)) = rest.split_once("{{") {
        left.push_str(before);
        let (inside, after) = after.split_once("}}").expect("braces are closed");
        // A component is a part of its own.
        if !inside.starts_with('<') {
            filled.push(inside);
        }
        rest = after;
    }
    (filled, left + rest)
}

/// What is wrong with a text of a template, if anything.
fn glued(text: &str) -> Option<&'static str> {
    let (filled, left) = parted(text);
    let phrases = filled.iter().filter(|inside| inside.contains("phrases")).count();
    if left.chars().filter(|letter| letter.is_alphabetic()).count() > 1 && !left.contains('&') {
        return Some("words that no phrase says");
    }
    // Items of a line, between dots, are not one sentence.
    let items = left.contains('·') || filled.len() < 2;
    if phrases >= 1 && filled.len() > phrases && !items {
        return Some("a phrase and a value beside it: give the phrase a place");
    }
    (phrases >= 2 && !items).then_some("two phrases side by side")
}

#[test]
fn no_template_joins_pieces_of_a_sentence_or_has_words_of_its_own() {
    for (text, wrong) in [
        ("<p>{{ phrases[\"a\"] }} {{ name }}</p>", true),
        ("<p>{{ phrases[\"a\"] }} {{ phrases[\"b\"] }}</p>", true),
        ("<p>Lesson {{ number }}</p>", true),
        ("<a aria-label=\"Next: {{ title }}\">{{ title }}</a>", true),
        ("<a title=\"{{ phrases[\"a\"] }} {{ title }}\"></a>", true),
        ("{# a note #}<p>{{ phrases[\"a\"] | replace(from=\"{name}\", to=name) }}</p>", false),
        ("<p>{{ phrases[\"a\"] }}</p><p>{{ phrases[\"b\"] }}</p>", false),
        ("<p>{{ term.source }} · {{ phrases[\"a\"] }}</p>", false),
        ("<p>{% if a %}{{ phrases[\"a\"] }}{% else %}{{ phrases[\"b\"] }}{% endif %}</p>", false),
    ] {
        assert_eq!(texts(text).iter().any(|text| glued(text).is_some()), wrong, "{text}");
    }
    let templates = files("templates", ".html");
    assert!(templates.len() > 30, "{}", templates.len());
    let mut found = Vec::new();
    for (name, template) in &templates {
        let inline = template.replace("</style>", "<style>").split("<style>").step_by(2).collect::<Vec<_>>().join("<>");
        for text in texts(&inline) {
            found.extend(glued(&text).map(|why| format!("{name}: {why}: {}", text.trim())));
        }
    }
    assert_eq!(found, [""; 0]);
}

/// A file's text without its own tests and comments.
fn code(text: &str) -> String {
    let before = text.split("#[cfg(test)]").next().unwrap_or_default();
    let lines = before.lines().map(|line| {
        let line = line.trim_start();
        if ["//", "* ", "/*"].iter().any(|mark| line.starts_with(mark)) { "" } else { line }
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// What code must not do, and the files that may, each with its reason.
const NEVER: &[(&str, &str, &[&str])] = &[
    // A word's case is the language's own: letters of the glossary and endings of file names are no words, and the
    // commands write to authors in English.
    ("templates", ".toUpperCase(", &[]),
    ("templates", ".toLocaleUpperCase(", &[]),
    ("templates", "text-transform", &[]),
    ("src", "to_uppercase(", &["src/problem/sentence.rs", "src/site/glossary.rs", "src/site/home.rs", "src/commands/"]),
    ("calc-wasm/src", "to_uppercase(", &[]),
    ("src", "capital(", &["src/problem/", "src/commands/"]),
    ("calc-wasm/src", "capital(", &[]),
    // Numbers are written by the core, with the marks that the catalogue shows.
    ("templates", "NumberFormat", &[]),
    ("templates", "Number.prototype", &[]),
    ("templates", ".toLocaleString(\"", &[]),
    ("templates", "toLocaleString([]", &[]),
    ("templates", "toLocaleString()", &[]),
    ("templates", "toLocaleDateString()", &[]),
    // The stock's language is named in one place, a file.
    ("src", "\"en\"", &[]),
    ("src", "\"es\"", &[]),
    ("calc-wasm/src", "\"en\"", &[]),
    ("calc-wasm/src", "\"es\"", &[]),
    ("templates", "\"en\"", &[]),
    ("templates", "lang=\"en", &[]),
    ("templates", "en-US", &[]),
];

/// Two sentences, or a sentence and a value, put together by a script or by code.
fn joins(line: &str) -> bool {
    let says = ["word(", "phrases.get(", "phrases.fill(", "phrases.fill_with(", "TANKSIDE_WORDS["];
    let said: usize = says.iter().map(|says| line.matches(says).count()).sum();
    let after_plus = says.iter().any(|says| line.contains(&format!("+ {says}")));
    let in_text = line.contains("${word(") && !line.contains("`${word(");
    // A line end is not a word of a sentence.
    let with_text =
        ["} {}\", phrases.", "{}: {}\", phrases.", "{} {}\", phrases."].iter().any(|glue| line.contains(glue));
    said > 0 && (after_plus || in_text || with_text)
}

#[test]
fn no_code_changes_case_formats_numbers_names_a_language_or_joins_sentences() {
    assert!(joins("const line = name + word(\"a\");") && joins("`see ${word(\"a\")}`"));
    assert!(joins("format!(\"{} {}\", phrases.get(\"a\"), name)") && !joins("format!(\"{}\\n\", phrases.get(\"a\"))"));
    let mut found = Vec::new();
    let mut read = 0;
    for (folder, ending) in
        [("src", ".rs"), ("calc-wasm/src", ".rs"), ("templates", ".js"), ("templates", ".css"), ("templates", ".html")]
    {
        for (name, text) in files(folder, ending) {
            read += 1;
            let code = code(&text);
            for (room, never, may) in NEVER {
                let allowed = may.iter().any(|file| name.starts_with(file)) || name.ends_with("/tests.rs");
                if *room == folder && code.contains(never) && !allowed {
                    found.push(format!("{name}: {never}"));
                }
            }
            found.extend(code.lines().filter(|line| joins(line)).map(|line| format!("{name}: {line}")));
        }
    }
    assert!(read > 250, "{read}");
    assert_eq!(found, [""; 0]);
}
