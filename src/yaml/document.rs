//! A YAML text read once into a tree that knows the place of everything; types are filled from it.

use std::ops::Range;

use serde::de::DeserializeOwned;

use super::embedded::Embedded;
use super::fill::{Full, fill};
use super::node::{KeyValue, Node, YamlValue};
use super::place::{Passed, Step, steps, walk};
use super::tree::{self, Refusal};
use crate::embedded::events;
use crate::problem::{Problem, Problems, Rule, Source, code};

/// A YAML file, or the YAML part of another file, whose tree could be read.
#[derive(Clone, Debug)]
pub struct Document {
    source: Source,
    root: Node,
    /// Places of whatever was refused in the tree.
    refused: Vec<Range<usize>>,
    /// Pieces that could not be read and are not in the tree.
    cut: Vec<Range<usize>>,
}

/// A value filled from a document, with stand-ins where there were mistakes.
#[derive(Clone, Debug)]
pub struct Filled<T> {
    /// The value.
    pub value: T,
    /// Where the mistakes are.
    faults: Vec<Range<usize>>,
    /// Mistyped keys among them, whose values were read as those of the keys that were meant.
    misnamed: Vec<Range<usize>>,
}

impl<T> Filled<T> {
    /// The value, if nothing in it is a stand-in.
    pub fn whole(self) -> Option<T> {
        self.is_whole().then_some(self.value)
    }

    /// Whether nothing in it is a stand-in.
    pub fn is_whole(&self) -> bool {
        self.faults.is_empty()
    }

    /// Whether every value within a place could be read; keys may be mistyped.
    pub fn is_read(&self, place: &Range<usize>) -> bool {
        let within = |fault: &Range<usize>| place.start <= fault.start && fault.start < place.end.max(place.start + 1);
        !self.faults.iter().any(|fault| within(fault) && !self.misnamed.contains(fault))
    }

    /// Whether no mistake was found within a place.
    pub fn is_sound(&self, place: &Range<usize>) -> bool {
        !self.faults.iter().any(|fault| place.start <= fault.start && fault.start < place.end.max(place.start + 1))
    }
}

impl Document {
    /// Reads a whole file.
    pub fn of_file(source: &Source, problems: &mut Problems) -> Option<Self> {
        Self::read(source, &Embedded::whole(&source.text, 0), problems)
    }

    /// Reads a part of a file. An empty part is a mapping without keys. Nothing if the text has no tree.
    pub fn read(source: &Source, yaml: &Embedded<'_>, problems: &mut Problems) -> Option<Self> {
        let limit = if &*source.name == "course.yaml" { tree::COURSE_NODE_LIMIT } else { tree::NODE_LIMIT };
        let (tree, cut) = match events(&source.name, &yaml.text) {
            Some(known) => (tree::put_together(&yaml.text, known, limit), Vec::new()),
            None => tree::parse_around(&yaml.text, limit),
        };
        let mut refused = Vec::new();
        for refusal in tree.refusals {
            // What was left out is no value that could be a stand-in.
            let within = |piece: &Range<usize>| piece.start <= refusal.span.start && refusal.span.start <= piece.end;
            if !cut.iter().any(within) {
                refused.push(yaml.span(&refusal.span));
            }
            problems.push(placed(refusal, source, yaml));
        }
        let cut = cut.iter().map(|piece| yaml.span(piece)).collect();
        // Half a caution is a caution lost, and half a question has another answer.
        let cautions = source.name.starts_with("cautions.") || source.name.starts_with("cautions/");
        let questions = source.name.starts_with("questions/");
        for mut remark in tree.remarks {
            if remark.rule.code == code::TEXT_CUT.code {
                let kept = if questions { code::QUESTION_CUT } else { remark.rule };
                remark.rule = if cautions { code::CAUTION_CUT } else { kept };
            }
            problems.push(placed(remark, source, yaml));
        }
        if !tree.complete {
            return None;
        }
        let mut root = tree.root.filter(|root| !root.is_empty()).unwrap_or_else(Node::no_keys);
        move_to_file(&mut root, yaml);
        tell_notes(&root, source, problems);
        Some(Self { source: source.clone(), root, refused, cut })
    }

    /// Whether a piece of it could not be read, and is not in the tree.
    pub fn is_cut(&self) -> bool {
        !self.cut.is_empty()
    }

    /// Whether a piece below a key of the whole text could not be read.
    pub fn is_cut_in(&self, key: &str) -> bool {
        let Some(start) = self.root.entry(key).map(|entry| entry.key_span.start) else { return self.is_cut() };
        let next = self.root.entries().iter().map(|entry| entry.key_span.start).find(|next| *next > start);
        self.cut.iter().any(|piece| start <= piece.start && next.is_none_or(|next| piece.start < next))
    }

    /// Whether a problem only follows from a piece that was left out: a key of the whole text is missing, or the key above
    /// the piece has nothing below it.
    fn follows_from_cut(&self, problem: &Problem) -> bool {
        let Some(place) = problem.primary.as_ref().map(|mark| &mark.span) else { return false };
        let first = self.root.entries().first().map_or(&self.root.span, |first| &first.key_span);
        if problem.code == code::MISSING_KEY.code && place == first {
            return self.is_cut();
        }
        let between = |piece: &Range<usize>| self.source.text.get(place.end..piece.start);
        problem.code == code::WRONG_TYPE.code
            && self
                .cut
                .iter()
                .any(|piece| between(piece).is_some_and(|text| text.trim_matches([':', ' ', '\n', '\r']).is_empty()))
    }

    /// The tree; its places are those of the file.
    pub fn root(&self) -> &Node {
        &self.root
    }

    /// The file this was read from.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// The value of a type, if nothing is wrong with it; every mistake is reported.
    pub fn typed<T: DeserializeOwned>(&self, problems: &mut Problems) -> Option<T> {
        self.filled(problems)?.whole().filter(|_| !self.is_cut())
    }

    /// The value of a type, with stand-ins where something is wrong; every mistake is reported.
    pub fn filled<T: DeserializeOwned>(&self, problems: &mut Problems) -> Option<Filled<T>> {
        let Full { value, found, misnamed } = fill::<T>(&self.root, &self.source);
        let mut faults = self.refused.clone();
        let place = |problem: &Problem| problem.primary.as_ref().map(|mark| mark.span.clone());
        faults.extend(found.iter().filter(|problem| !self.follows_from_cut(problem)).filter_map(place));
        // What was refused when the tree was read is reported once.
        let refused =
            |place: &Range<usize>| self.refused.iter().any(|one| one.start <= place.start && place.end <= one.end);
        let told =
            |problem: &Problem| !place(problem).is_some_and(|place| refused(&place)) && !self.follows_from_cut(problem);
        problems.extend(found.into_iter().filter(told));
        match value {
            Ok(value) => Some(Filled { value, faults, misnamed }),
            Err(stop) => {
                let title = format!("another value is expected here: {stop}");
                problems.push(Problem::new(code::WRONG_VALUE, title, "").at(&self.source, self.root.span.clone()));
                None
            }
        }
    }

    /// The place of the value at a path such as `questions[3].answer`, or of what is nearest above it.
    pub fn place(&self, path: &str) -> Range<usize> {
        let passed = walk(&self.root, &steps(path));
        // The walk always passes the root, so there is a last one.
        passed.last().map_or(self.root.span.clone(), |found| found.node().span.clone())
    }

    /// The place of the key at a path, or of the value if the path ends with an index.
    pub fn key_place(&self, path: &str) -> Range<usize> {
        match walk(&self.root, &steps(path)).last() {
            Some(Passed::KeyValue(KeyValue { key_span, .. })) => key_span.clone(),
            _ => self.place(path),
        }
    }

    /// The value at a path; nothing if the path leads out of the tree.
    pub fn get(&self, path: &str) -> Option<&Node> {
        let steps = steps(path);
        let passed = walk(&self.root, &steps);
        (passed.len() == steps.len() + 1).then(|| passed.last().map(|found| found.node())).flatten()
    }

    /// A path in the author's words: `questions[3].text` is ``the `text` of question `gun-output` ``.
    pub fn words(&self, path: &str) -> String {
        let steps = steps(path);
        let passed = walk(&self.root, &steps);
        let mut parts: Vec<String> = Vec::new();
        for (index, step) in steps.iter().enumerate() {
            match step {
                Step::Index(item) => {
                    let list = parts.pop().unwrap_or_default();
                    let kind = list.trim_matches('`').trim_end_matches('s').to_owned();
                    let id = passed.get(index + 1).and_then(|found| found.node().get("id")?.text());
                    parts.push(match id {
                        Some(id) => format!("{kind} `{id}`"),
                        None => format!("{kind} {}", item + 1),
                    });
                }
                Step::Key(key) => parts.push(format!("`{key}`")),
            }
        }
        parts.reverse();
        parts.join(" of ")
    }

    /// A problem at the value of a path.
    pub fn problem(&self, rule: &'static Rule, title: impl Into<String>, path: &str) -> Problem {
        Problem::new(rule, title, "").at(&self.source, self.place(path))
    }
}

fn placed(refusal: Refusal, source: &Source, yaml: &Embedded<'_>) -> Problem {
    let problem = Problem::new(refusal.rule, refusal.title, "");
    let mut problem = problem.at(source, yaml.span(&refusal.span));
    if let Some((span, label)) = refusal.context {
        problem = problem.context(yaml.span(&span), label);
    }
    problem.help = refusal.help;
    problem
}

/// Whether there is a note in it: words after the sign that begins one.
fn note_of(text: &str) -> bool {
    memchr::memchr(b'<', text.as_bytes()).is_some()
        && text.split_once("<!--").is_some_and(|(_, note)| !note.trim().is_empty())
}

/// A comment as lessons have it, `<!-- … -->`, inside a text of YAML: there it would be published.
// The depth is bounded: the tree has at most 32 levels.
fn tell_notes(node: &Node, source: &Source, problems: &mut Problems) {
    match &node.value {
        YamlValue::Scalar { text, .. } if note_of(text) => {
            let written = source.text.get(node.span.clone()).unwrap_or_default();
            let place = match written.find("<!--") {
                Some(at) => {
                    let end = written[at..].find("-->").map_or(written.len(), |end| at + end + 3);
                    node.span.start + at..node.span.start + end
                }
                None => node.span.clone(),
            };
            let title =
                "a comment between `<!--` and `-->` is read only in the text of a lesson; here learners would read it";
            let help = "write it on a line of its own that begins with `#`, or remove it";
            problems.push(Problem::new(code::NOTE_SHOWN, title, "").at(source, place).help(help));
        }
        YamlValue::Scalar { .. } => {}
        YamlValue::List(items) => items.iter().for_each(|item| tell_notes(item, source, problems)),
        YamlValue::Map(entries) => entries.iter().for_each(|entry| tell_notes(&entry.node, source, problems)),
    }
}

// The depth is bounded: the tree has at most 32 levels.
fn move_to_file(node: &mut Node, yaml: &Embedded<'_>) {
    node.span = yaml.span(&node.span);
    match &mut node.value {
        YamlValue::Scalar { .. } => {}
        YamlValue::List(items) => items.iter_mut().for_each(|item| move_to_file(item, yaml)),
        YamlValue::Map(entries) => {
            for entry in entries {
                entry.key_span = yaml.span(&entry.key_span);
                move_to_file(&mut entry.node, yaml);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    /// A number of feet that itself refuses impossible values.
    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(try_from = "String")]
    struct Feet(u32);

    impl TryFrom<String> for Feet {
        type Error = String;

        fn try_from(text: String) -> Result<Self, String> {
            let number = text.strip_suffix(" ft").and_then(|number| number.parse().ok());
            number.map(Feet).ok_or_else(|| format!("a number of feet, and this is `{text}`"))
        }
    }

    #[test]
    fn a_value_that_its_own_type_refuses_is_reported_and_gives_nothing() {
        let read = |text: &str| {
            let mut problems = Problems::new();
            let document = Document::of_file(&Source::new("a.yaml", text), &mut problems).expect("a tree");
            (document.typed::<Feet>(&mut problems), problems)
        };
        assert_eq!(read("12 ft\n").0, Some(Feet(12)));
        let (value, problems) = read("12 gal\n");
        assert_eq!(value, None);
        let problem = problems.iter().next().expect("it is reported");
        assert_eq!((problem.code, problem.line_column()), ("wrong-value", Some((1, 1))));
        assert!(problem.title.contains("a number of feet, and this is `12 gal`"), "{}", problem.title);
    }
}
