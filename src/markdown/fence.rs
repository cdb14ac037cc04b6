//! Fenced blocks: our constructs, and plain code.

use std::ops::Range;

use serde::Deserialize;
use serde::de::IgnoredAny;

use super::escape;
use super::inserts::{Caution, First, Insert, Level, OtherBank, Questions, Show, WorkedExample};
use super::link::OFFERED;
use super::writer::{Manner, Writer, write};
use crate::notation::{Units, is_name};
use crate::problem::{Among, alike, code, nearest, offer};
use crate::yaml::{Document, Embedded, Node, or_default};

/// A block that is being read.
#[derive(Debug)]
pub(super) struct Fence<'a> {
    /// The words after the fence; nothing for an indented block.
    pub(super) info: Option<String>,
    /// Its text, with its places in the file.
    pub(super) text: Embedded<'a>,
    /// The block within the Markdown.
    pub(super) range: Range<usize>,
}

pub(super) const WORKED: &str = "worked-example";
pub(super) const CAUTION: &str = "caution";
pub(super) const QUESTIONS: &str = "questions";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WorkedFile {
    calculator: String,
    title: Option<String>,
    units: Option<Units>,
    show: Option<Show>,
    first: Option<Vec<String>>,
    large: Option<String>,
    #[serde(rename = "given")]
    _given: Option<IgnoredAny>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct QuestionsFile {
    ask: Option<u32>,
    pass: Option<String>,
    counts: Option<bool>,
    #[serde(default, deserialize_with = "or_default")]
    also: Vec<AlsoFile>,
}

/// Another bank that a check draws from.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AlsoFile {
    bank: String,
    ask: Option<u32>,
}

/// The most worked examples in one lesson: each is a hundred times as large on the page as in the lesson.
const MOST_EXAMPLES: usize = 100;

impl Writer<'_> {
    pub(super) fn fence(&mut self, fence: &Fence<'_>) {
        let info = fence.info.clone().unwrap_or_default();
        let mut words = info.split_whitespace();
        let (first, name, rest) = (words.next().unwrap_or(""), words.next(), words.next());
        let ours = matches!(first, WORKED | CAUTION | QUESTIONS);
        if fence.info.is_some() {
            self.tell_open_fence(&fence.range);
            if self.tell_swallowed(&fence.range) {
                // Numbers that lead to it have nothing wrong with them.
                if let (WORKED, Some(name)) = (first, name) {
                    let place = self.place(&fence.range);
                    self.examples.entry(name.to_owned()).or_insert(place);
                }
                return;
            }
        } else {
            self.tell_indented_fence(&fence.text.text, &fence.range);
        }
        if !ours {
            if fence.info.is_some() {
                let place = self.info_place(self.place(&fence.range), info.trim());
                self.tell_meant(&info, &fence.text.text, place);
            }
            return self.code(&fence.text.text);
        }
        if self.manner == Manner::Caution {
            let place = self.place(&fence.range);
            let problem = self.problem(
                code::CAUTION_BLOCK,
                format!("a caution holds sentences, and this is a block `{first}`"),
                self.info_place(place, first),
            );
            self.problems.push(problem.help("move the block below the caution"));
            return;
        }
        let whole = self.place(&fence.range);
        let place = self.info_place(whole, name.unwrap_or(first));
        let Some(name) = name.filter(|name| rest.is_none() && is_name(name)) else {
            let title = format!(
                "one name of lowercase letters, digits and hyphens is expected after `{first}`, and this is `{info}`"
            );
            let problem = self.problem(code::CONSTRUCT_NAME, title, place);
            let after = info.trim_start().strip_prefix(first).unwrap_or_default();
            let help = self.name_to_write(first, after, &fence.text.text);
            self.problems.push(problem.help(help));
            return;
        };
        match first {
            WORKED => self.worked_example(name, place, fence),
            CAUTION => self.caution(name, place, fence),
            _ => self.questions(name, place, fence),
        }
    }

    /// The place of a word in the line that opens the block.
    pub(super) fn info_place(&self, block: Range<usize>, word: &str) -> Range<usize> {
        let line = self.source.text[block.start..block.end.max(block.start)].lines().next().unwrap_or("");
        match line.rfind(word) {
            Some(at) => block.start + at..block.start + at + word.len(),
            None => block.start..block.start + line.len(),
        }
    }

    fn code(&mut self, text: &str) {
        // A long line scrolls sideways, also by keyboard.
        self.out.html.push_str("<pre tabindex=\"0\"><code>");
        escape::text(&mut self.out.html, text);
        self.out.html.push_str("</code></pre>\n");
    }

    fn worked_example(&mut self, name: &str, place: Range<usize>, fence: &Fence<'_>) {
        if let Some(first) = self.examples.get(name).cloned() {
            let problem = self.problem(
                code::DUPLICATE_ID,
                format!("the worked example `{name}` appears twice in this lesson"),
                place,
            );
            self.problems.push(problem.context(first, "here for the first time").help("rename one of the two"));
            return;
        }
        self.examples.insert(name.to_owned(), place.clone());
        if self.examples.len() > MOST_EXAMPLES {
            if self.examples.len() == MOST_EXAMPLES + 1 {
                let title = format!("a lesson has at most {MOST_EXAMPLES} worked examples, and this is one too many");
                let problem = self.problem(code::TOO_MANY_EXAMPLES, title, place);
                self.problems.push(problem.help("start another lesson here"));
            }
            return;
        }
        // The numbers of half an example would be others.
        let document = Document::read(self.source, &fence.text, self.problems).filter(|document| !document.is_cut());
        let Some(document) = document else { return };
        let mut found = crate::problem::Problems::new();
        let filled = document.filled::<WorkedFile>(&mut found);
        // A key that is missing altogether is shown at the block, whose first line names it.
        let empty = fence.text.text.trim().is_empty();
        self.problems.extend(
            found.into_iter().map(|problem| if empty { problem.at(self.source, place.clone()) } else { problem }),
        );
        let Some(filled) = filled else { return };
        let given = document.root().get("given").filter(|given| !given.is_empty());
        let sound = |key| document.root().get(key).is_some_and(|node| filled.is_sound(&node.span));
        // A mistake in another key hides none of its numbers.
        if !(filled.is_whole() || sound("calculator") && sound("given") && given.is_some()) {
            return;
        }
        let (first, large) = (sound("first") && filled.value.first.is_some(), sound("large"));
        let file = filled.value;
        if let Some(given) = given.filter(|given| given.entries().is_empty()) {
            let problem = self.problem(
                code::WRONG_TYPE,
                format!("`given` is {}, and keys with values are expected", given.form()),
                given.span.clone(),
            );
            self.problems.push(problem.help("write `given:` and below it, indented, one line `input: value` for each"));
            return;
        }
        self.out.hole(Insert::WorkedExample(WorkedExample {
            name: name.to_owned(),
            title: file.title.filter(|title| !title.trim().is_empty()),
            calculator: file.calculator,
            units: file.units,
            show: file.show,
            first: first.then(|| names(document.root().get("first"))),
            large: file
                .large
                .filter(|_| large)
                .map(|name| First { name: name.trim().to_owned(), place: document.place("large") }),
            given: given.cloned(),
            place,
            calculator_place: document.place("calculator"),
        }));
    }

    fn caution(&mut self, name: &str, place: Range<usize>, fence: &Fence<'_>) {
        let level = level_of(name);
        let blank = fence.text.text.trim().is_empty();
        match level {
            Some(_) if blank => {
                let problem = self.problem(
                    code::CAUTION_BLANK,
                    format!("sentences are expected in this caution `{name}`, and there are none"),
                    place,
                );
                self.problems.push(problem.help("write the sentences between the fences"));
            }
            Some(level) => {
                let body = write(self.source, self.stem, &fence.text, self.context, Manner::Caution, self.problems);
                self.out.hole(Insert::Caution(Caution::Own { level, body, place }));
            }
            None if !self.context.cautions.contains(name) => {
                let own = self.context.own_cautions;
                let stock = self.context.cautions.difference(own).map(String::as_str);
                let known =
                    ["danger", "warning", "notice"].into_iter().chain(own.iter().map(String::as_str)).chain(stock);
                // No page of a site lists the stock cautions: a command does.
                let all = || {
                    let names: Vec<String> = known.clone().map(|name| format!("`{name}`")).collect();
                    let (listed, rest) = names.split_at(names.len().min(LISTED));
                    let more = match rest.len() {
                        0 => String::new(),
                        more => format!(" and {more} more; `tankside proof --explain caution-unknown` lists them"),
                    };
                    format!("there is {}{more}", listed.join(", "))
                };
                let far = || nearest(name, known.clone()).is_none() && alike(name, known.clone()).is_empty();
                let many = self.problems.len() > OFFERED;
                // A caution with a similar name is a different one, and must not replace this one.
                let sure = nearest(name, known.clone()).is_some_and(|near| strsim::osa_distance(near, name) <= 2);
                let help = match offer(name, known.clone()) {
                    _ if many || far() => Some(all()),
                    Some(help) if !sure && help.starts_with("write") => Some(format!(
                        "{help}, if that is the one you mean; or add a caution of your own under this name"
                    )),
                    help => help,
                };
                let mut problem = self.problem(code::CAUTION_UNKNOWN, format!("there is no caution `{name}`"), place);
                problem.help = help;
                self.problems.push(problem);
            }
            None if !blank => {
                let title = format!("the caution `{name}` has its own sentences, and this block adds others");
                let problem = self.problem(code::CAUTION_TEXT, title, place);
                self.problems.push(
                    problem.help(
                        "leave the block empty, or write `caution danger`, `caution warning` or `caution notice`",
                    ),
                );
            }
            None => self.out.hole(Insert::Caution(Caution::Stock { id: name.to_owned(), place })),
        }
    }

    fn questions(&mut self, name: &str, place: Range<usize>, fence: &Fence<'_>) {
        if !self.context.banks.contains(name) {
            let problem =
                self.problem(code::BANK_MISSING, format!("there is no question bank `questions/{name}.yaml`"), place);
            let problem = problem.help("write the file, or remove this block");
            self.problems.push(problem.seek(name, Among::Banks, "", ""));
            return;
        }
        if let Some(first) = self.banks.get(name).cloned() {
            let problem = self.problem(
                code::DUPLICATE_ID,
                format!("the question bank `{name}` appears twice in this lesson"),
                place,
            );
            self.problems.push(problem.context(first, "here for the first time").help("remove one of the two"));
            return;
        }
        self.banks.insert(name.to_owned(), place.clone());
        let document = Document::read(self.source, &fence.text, self.problems).filter(|document| !document.is_cut());
        let Some(document) = document else { return };
        let Some(file) = document.typed::<QuestionsFile>(self.problems) else {
            return;
        };
        if file.ask == Some(0) {
            let problem =
                document.problem(code::ASKS_NOTHING, "at least one question must be asked, and this is 0", "ask");
            self.problems.push(problem.help("write `ask: 10`, or leave the line out to ask them all"));
        }
        let also = self.also(&document, file.also);
        let (ask_place, pass_place) = (document.place("ask"), document.place("pass"));
        let (bank, ask, pass) = (name.to_owned(), file.ask, file.pass);
        let counts = file.counts.unwrap_or(false);
        self.out.hole(Insert::Questions(Questions { bank, ask, ask_place, pass, pass_place, counts, also, place }));
    }

    /// The other banks of a block: each must exist, be named once, and be asked for something.
    fn also(&mut self, document: &Document, written: Vec<AlsoFile>) -> Vec<OtherBank> {
        let mut also = Vec::new();
        for (index, other) in written.into_iter().enumerate() {
            let (bank, ask) = (format!("also[{index}].bank"), format!("also[{index}].ask"));
            if !self.context.banks.contains(&other.bank) {
                let title = format!("there is no question bank `questions/{}.yaml`", other.bank);
                let problem =
                    document.problem(code::BANK_MISSING, title, &bank).help("write the file, or remove this line");
                self.problems.push(problem.seek(&other.bank, Among::Banks, "", ""));
                continue;
            }
            if let Some(first) = self.banks.get(&other.bank).cloned() {
                let title = format!("the question bank `{}` appears twice in this lesson", other.bank);
                let problem = document.problem(code::DUPLICATE_ID, title, &bank);
                self.problems.push(problem.context(first, "here for the first time").help("remove one of the two"));
                continue;
            }
            if other.ask == Some(0) {
                let title = "at least one question must be asked, and this is 0";
                let problem = document.problem(code::ASKS_NOTHING, title, &ask);
                self.problems.push(problem.help("write `ask: 3`, or leave the line out to ask them all"));
            }
            self.banks.insert(other.bank.clone(), document.place(&bank));
            also.push(OtherBank { bank: other.bank, ask: other.ask, ask_place: document.place(&ask) });
        }
        also
    }
}

/// The most cautions named where none has a similar name.
const LISTED: usize = 12;

/// The level that a caution of the author's own has by its name.
pub(super) fn level_of(name: &str) -> Option<Level> {
    match name {
        "danger" => Some(Level::Danger),
        "warning" => Some(Level::Warning),
        "notice" => Some(Level::Notice),
        _ => None,
    }
}

/// The names in a list, with their places.
fn names(list: Option<&Node>) -> Vec<First> {
    let items = list.map(Node::items).unwrap_or_default();
    let name = |item: &Node| Some(First { name: item.text()?.trim().to_owned(), place: item.span.clone() });
    items.iter().filter_map(name).collect()
}
