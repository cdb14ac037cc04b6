//! Advice never goes in a circle: whatever a help line says to write is accepted once it is written.
//!
//! Each text that a help line of the specs offers is written into the author's files, in the place where an author would
//! put it. It is accepted when the problem is gone, nothing is wrong with what was written, and nothing else became wrong.

use super::{Written, examples, fences, memory, spec_files, written};
use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use tankside::embedded::CONTENT;
use tankside::load::{Layered, Memory};
use tankside::problem::{Problem, Severity};
use tankside::resolve;

/// Every problem of a course, and how many of them keep it from being published or are warned of then; what only a
/// proofreader marks comes after those.
fn problems(files: &Written, proofread: bool) -> (Vec<Problem>, usize) {
    let (own, stock) = (memory(files), Memory::of(&CONTENT));
    let course = resolve(&Layered(vec![&own, &stock]));
    let mut all: Vec<Problem> = course.problems.iter().cloned().collect();
    let count = all.len();
    if proofread {
        all.extend(tankside::proof::proof(course.draft()));
    }
    (all, count)
}

/// The texts that a help line offers: between backticks, and not a place for the author's own words.
fn offered(help: &str) -> Vec<String> {
    const PLACES: [&str; 18] = [
        "…",
        "EXAMPLE",
        "NAME",
        "[words]",
        "what it shows",
        "name.png",
        "address",
        "{name}",
        "LANGUAGE",
        "#part",
        "]]",
        "---",
        "questions/",
        "lessons/",
        "course.yaml",
        "glossary.html",
        "&name",
        "input: value",
    ];
    let mut all: Vec<String> = help.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    // A text that has a backtick of its own is not taken apart.
    if help.matches('`').count() % 2 == 1 {
        all.clear();
    }
    // A single sign is named, and not written by itself.
    all.retain(|text| text.chars().count() > 1 && !PLACES.iter().any(|place| text.contains(place)));
    all
}

/// A change to the files, and where in which file the new text is.
type Change = (Written, String, Range<usize>);

fn replaced(files: &Written, name: &str, span: Range<usize>, with: &str) -> Option<Change> {
    let text = String::from_utf8(files.get(name)?.clone()).ok()?;
    let changed = format!("{}{with}{}", text.get(..span.start)?, text.get(span.end..)?);
    let mut files = files.clone();
    files.insert(name.to_owned(), changed.into_bytes());
    Some((files, name.to_owned(), span.start..span.start + with.len()))
}

/// Where an author puts a text, the likeliest first.
fn ways(files: &Written, problem: &Problem, text: &str) -> Vec<Change> {
    let file = problem.file.to_string();
    let mut ways: Vec<Option<Change>> = Vec::new();
    let renamed = |to: String| -> Option<Change> {
        let mut files = files.clone();
        let bytes = files.remove(&file)?;
        let end = bytes.len();
        files.insert(to.clone(), bytes);
        // A lesson that is listed under its new name, and one that is listed already.
        Some((files, to, 0..end))
    };
    let folder = file.rsplit_once('/').map_or(String::new(), |(folder, _)| format!("{folder}/"));
    let Some(mark) = &problem.primary else {
        if file.ends_with('/') {
            ways.push(folder_renamed(files, &file, text));
        }
        ways.push(renamed(text.to_owned()));
        ways.push(renamed(format!("{folder}{text}")));
        ways.push(renamed(format!("lessons/{text}")));
        if text.starts_with('.') {
            let stem = file.rsplit_once('.').map_or(file.as_str(), |(stem, _)| stem);
            ways.push(renamed(format!("{stem}{text}")));
        }
        let end = files.get(&file).map_or(0, Vec::len);
        ways.push(replaced(files, &file, end..end, &format!("\n{text}\n")));
        ways.push(listed(files, text));
        ways.push(asked(files, text));
        return ways.into_iter().flatten().collect();
    };
    let Some(whole) = files.get(&file).and_then(|bytes| std::str::from_utf8(bytes).ok()) else { return Vec::new() };
    let span = mark.span.start.min(whole.len())..mark.span.end.min(whole.len());
    let marked = whole.get(span.clone()).unwrap_or_default();
    let line_start = whole[..span.start].rfind('\n').map_or(0, |at| at + 1);
    let line_end = whole[span.start..].find('\n').map_or(whole.len(), |at| span.start + at);
    let line = &whole[line_start..line_end];
    let indent = line.len() - line.trim_start().len();
    let put = |span: Range<usize>, with: &str| replaced(files, &file, span, with);
    // In the place of the words in question; in brackets where they are an address.
    ways.push(put(span.clone(), text));
    if text.starts_with('(') {
        ways.push(put(span.start.saturating_sub(1)..span.end + 1, text));
    }
    // The key of the value in question.
    if let Some(key) = whole[line_start..span.start].strip_suffix(": ") {
        let start = key.rfind([' ', '{', ',']).map_or(0, |at| at + 1);
        ways.push(put(line_start + start..span.start - 2, text));
    }
    // `key: value` in the place of the key and its value.
    if let Some((key, _)) = text.split_once(": ") {
        let before = whole[line_start..span.start].rfind(&format!("{key}:")).map(|at| line_start + at);
        ways.push(before.and_then(|at| put(at..span.end, text)));
        ways.push(before.and_then(|at| put(at..line_end, text)));
        // Up to the comma: a pair of one line in braces.
        ways.push(before.and_then(|at| put(at..at + whole[at..].find([',', '}', '\n'])?, text)));
        // In the line of that key, wherever it is in the same item.
        let above = whole[..span.start].rfind(&format!("\n{}{key}:", " ".repeat(indent))).map(|at| at + 1 + indent);
        let below = whole[span.start..].find(&format!("\n{}{key}:", " ".repeat(indent)));
        for at in above.into_iter().chain(below.map(|at| span.start + at + 1 + indent)) {
            let end = whole[at..].find('\n').map_or(whole.len(), |end| at + end);
            ways.push(put(at..end, text));
        }
        // As a line of its own, above or below; in braces, as a further pair.
        ways.push(put(line_start + indent..line_start + indent, &format!("{text}\n{}", " ".repeat(indent))));
        ways.push(put(line_end..line_end, &format!("\n{}{text}", " ".repeat(indent))));
        ways.push(put(span.end..span.end, &format!(", {text}")));
        if let Some(brace) = line.find(" }").filter(|_| marked.starts_with('[') || marked.starts_with('{')) {
            ways.push(put(line_start + brace..line_start + brace, &format!(", {text}")));
        }
        if let Some(at) = whole[span.start..].find(" }") {
            ways.push(put(span.start + at..span.start + at, &format!(", {text}")));
        }
        // Flat, where the author wrote rows: `catch.1.time: 60 s`.
        let last = text.rsplit_once('.').map_or(text, |(_, last)| last);
        ways.push(put(span.end..span.end, &format!(", {last}")));
    }
    // The key of a list on a line of its own: above the items, or above entries that were keys.
    if let Some(key) = text.strip_suffix(':').filter(|key| key.bytes().all(|byte| byte.is_ascii_lowercase())) {
        ways.push(put(line_start..line_start, &format!("{key}:\n")));
        let entry = |line: &str| match line.strip_suffix(':').filter(|_| !line.starts_with(' ')) {
            Some(name) => format!("  - id: {name}\n"),
            None => format!("  {line}\n"),
        };
        let items: String = whole.lines().map(entry).collect();
        ways.push(put(0..whole.len(), &format!("{key}:\n{items}")));
    }
    // The whole line, with its indentation or as it is written.
    ways.push(put(line_start + indent..line_end, text));
    ways.push(put(line_start..line_end, text));
    // The value of the line's key, or the item of a list.
    for sign in [": ", "- "] {
        if let Some(at) = line.find(sign) {
            ways.push(put(line_start + at + sign.len()..line_end, text));
        }
    }
    // Part of what is marked: the address of a link or the end of it, the braces of a heading, its number signs.
    for (from, to) in [("](", ")"), ("#", ")"), ("/", ")"), ("/", "?"), ("in=", ")"), ("/", ""), ("{", "}"), ("[", "]")]
    {
        let start = if from == "](" || from == "{" { marked.find(from) } else { marked.rfind(from) };
        let Some(start) = start.map(|at| at + from.len()) else { continue };
        let Some(end) =
            (if to.is_empty() { Some(marked.len()) } else { marked[start..].find(to).map(|at| start + at) })
        else {
            continue;
        };
        ways.push(put(span.start + start..span.start + end, text));
        if from == "{" || from == "[" {
            ways.push(put(span.start + start - 1..span.start + end + 1, text));
        }
    }
    let signs = marked.len() - marked.trim_start_matches('#').len();
    if signs > 0 {
        ways.push(put(span.start..span.start + signs, text));
    }
    let double = whole[span.start..].find("}}").filter(|_| marked.starts_with("{{"));
    ways.push(double.and_then(|end| put(span.start..span.start + end + 2, text)));
    ways.push(marked.strip_prefix('<').and_then(|_| put(span.start..span.start + 1, text)));
    // What is around the marked words: a word of a fence, a quotation, a key before it.
    ways.push(fenced(files, &file, whole, line_start, text));
    let bar = whole[line_start..].find('\n').map(|at| line_start + at);
    ways.push(bar.and_then(|at| put(at..at, &format!("\n{text}"))));
    // A further place in the text of the question, a footnote in the text of the lesson.
    for (around, end) in [("text: \"", "\"\n"), ("text: ", "\n")] {
        let start = whole[..span.start].rfind(around).map(|at| at + around.len());
        let end = start.and_then(|start| whole[start..].find(end).map(|end| start + end));
        ways.push(end.and_then(|end| put(end..end, &format!(" {text}"))));
    }
    ways.push(put(line_start.saturating_sub(1)..line_start.saturating_sub(1), &format!("Words.{text}\n")));
    // At the end of the file, in the list of lessons, in a lesson.
    ways.push(put(whole.len()..whole.len(), &format!("\n{text}\n")));
    ways.push(listed(files, text));
    ways.push(asked(files, text));
    ways.push(renamed_to(files, problem, text));
    ways.into_iter().flatten().collect()
}

/// `- name` in the list of lessons.
fn listed(files: &Written, text: &str) -> Option<Change> {
    let name = text.strip_prefix("- ")?;
    let settings = String::from_utf8(files.get("course.yaml")?.clone()).ok()?;
    let at = settings.find("lessons: [")? + "lessons: [".len();
    replaced(files, "course.yaml", at..at, &format!("{name}, "))
}

/// A block in a lesson.
fn asked(files: &Written, text: &str) -> Option<Change> {
    let bank = text.strip_prefix("questions ")?;
    let end = files.get("lessons/pace.md")?.len();
    replaced(files, "lessons/pace.md", end..end, &format!("\n```questions {bank}\n```\n"))
}

/// A folder under another name, with all that is in it.
fn folder_renamed(files: &Written, folder: &str, to: &str) -> Option<Change> {
    let to = to.trim_end_matches('/');
    let moved = |name: &String| name.strip_prefix(folder).map_or_else(|| name.clone(), |rest| format!("{to}/{rest}"));
    let files: Written = files.iter().map(|(name, bytes)| (moved(name), bytes.clone())).collect();
    Some((files, format!("{to}/"), 0..0))
}

/// A bank under another name, its `id` with it.
fn renamed_to(files: &Written, problem: &Problem, text: &str) -> Option<Change> {
    let (folder, old) = problem.file.rsplit_once('/')?;
    let old = old.strip_suffix(".yaml")?;
    let mut files = files.clone();
    let whole = String::from_utf8(files.remove(&*problem.file)?)
        .ok()?
        .replace(&format!("id: {old}\n"), &format!("id: {text}\n"));
    let name = format!("{folder}/{text}.yaml");
    files.insert(name.clone(), whole.into_bytes());
    Some((files, name, 4..4 + text.len()))
}

/// A block as it is meant: three backticks and the words after them, its lines, three backticks.
fn fenced(files: &Written, file: &str, whole: &str, line_start: usize, text: &str) -> Option<Change> {
    let rest = &whole[line_start..];
    let block_end = rest.find("\n\n").map_or(rest.len(), |end| end);
    let block = &rest[..block_end];
    let plain = |line: &str| line.trim_start_matches(['>', ':', '`', ' ']).trim_end_matches('`').to_owned();
    let lines: Vec<String> = block.lines().skip(1).map(plain).filter(|line| !line.is_empty()).collect();
    // A stock caution has its own sentences.
    let body = if text.split(' ').nth(1).is_some_and(|name| ["danger", "warning", "notice"].contains(&name)) {
        // Where one line was written, the sentences are added.
        if lines.is_empty() { "Keep off.\n".to_owned() } else { format!("{}\n", lines.join("\n")) }
    } else if text.starts_with("worked-example ") && !lines.iter().any(|line| line.starts_with("given:")) {
        "calculator: catch-test\ngiven: { catch: [ { volume: 96 fl oz, time: 30 s } ] }\n".to_owned()
    } else if text.starts_with("worked-example ") {
        format!("{}\n", lines.join("\n"))
    } else {
        String::new()
    };
    let (span, with) = (line_start..line_start + block_end, format!("```{text}\n{body}```"));
    replaced(files, file, span, &with)
}

/// Whether a text is accepted where it is.
fn accepted(before: &[Problem], problem: &Problem, proofread: bool, change: &Change) -> bool {
    let (files, file, place) = change;
    let after = problems(files, proofread).0;
    let count = |all: &[Problem]| all.iter().filter(|one| one.code == problem.code).count();
    let errors = |all: &[Problem]| all.iter().filter(|one| one.severity == Severity::Error).count();
    let there = |one: &Problem| {
        let hit = one
            .primary
            .as_ref()
            .is_some_and(|mark| mark.span.start < place.end && place.start < mark.span.end.max(mark.span.start + 1));
        *one.file == **file && hit && one.severity == Severity::Error
    };
    count(&after) < count(before) && errors(&after) <= errors(before) && !after.iter().any(there)
}

/// A problem of the specs with a text that its help line offers.
struct Case {
    place: String,
    files: Written,
    before: Vec<Problem>,
    problem: Problem,
    /// Whether only a proofreader marks it.
    proofread: bool,
    text: String,
}

fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    let mut seen: BTreeMap<(String, String), usize> = BTreeMap::new();
    for file in spec_files() {
        let text = fs::read_to_string(&file).expect("a spec is UTF-8");
        let fences = fences(&text, &file);
        for (inputs, outputs) in examples(&fences, &file) {
            if outputs.iter().all(|fence| fence.info == "html") {
                continue;
            }
            let files = written(&inputs);
            let (before, count) = problems(&files, true);
            for (at, problem) in before.iter().enumerate() {
                let proofread = at >= count;
                for text in problem.help.as_deref().map(offered).unwrap_or_default() {
                    // The same advice about the same thing is tried twice, not two hundred times.
                    let tried = seen.entry((problem.code.to_owned(), text.clone())).or_default();
                    *tried += 1;
                    if *tried <= 2 {
                        let place = format!("{}:{}", file.display(), inputs[0].first_line);
                        let problem = problem.clone();
                        let before = if proofread { &before[..] } else { &before[..count] }.to_vec();
                        cases.push(Case { place, files: files.clone(), before, problem, proofread, text });
                    }
                }
            }
        }
    }
    cases
}

#[test]
fn what_a_help_line_says_to_write_is_accepted_once_it_is_written() {
    let cases = cases();
    assert!(cases.len() > 150, "only {} texts are offered", cases.len());
    let (next, refused) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(2, usize::from).min(4) {
            scope.spawn(|| {
                while let Some(case) = cases.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let ways = ways(&case.files, &case.problem, &case.text);
                    if !ways.iter().any(|change| accepted(&case.before, &case.problem, case.proofread, change)) {
                        let line = format!(
                            "{}: `{}` is not accepted\n{}",
                            case.place,
                            case.text,
                            case.problem.draw(tankside::problem::Style::Plain)
                        );
                        refused.lock().expect("no other thread panicked").push(line);
                    }
                }
            });
        }
    });
    let mut refused = refused.into_inner().expect("no thread panicked");
    refused.sort();
    assert!(refused.is_empty(), "{} of {}:\n{}", refused.len(), cases.len(), refused.join("\n"));
}
