//! A question bank as written.

use std::collections::BTreeSet;
use std::ops::Deref;
use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::IgnoredAny;

use crate::embedded::is_text;
use crate::notation::{NAME_PATTERN, SAYS_SOMETHING};
use crate::problem::{Problem, Problems, Rule, Source, code};
use crate::yaml::{Document, Node, Seen, check_name, not_blank, or_default};

/// How a question is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "Kind")]
pub enum AnswerKind {
    /// With a number and its unit.
    Number,
    /// With one of several choices.
    One,
    /// With every right one of several choices.
    Several,
    /// By putting the choices in order.
    Order,
}

/// What a question is about, as written; the core says what each covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "described at the topics of the core")]
pub enum Topic {
    Units,
    Area,
    Timing,
    Output,
    Rate,
    Tank,
    Adjust,
    Active,
    Carrier,
    Label,
}

/// One choice of a question.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// What is chosen.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub text: String,
    /// Whether it is right.
    #[serde(default, deserialize_with = "or_default")]
    pub right: bool,
    /// Why it is right or wrong.
    pub because: Option<String>,
}

/// An earlier result that a question asks first.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "Part")]
pub struct QuestionPart {
    /// What is asked.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub text: String,
    /// A result of the question's own calculator on which the last answer rests: `tank-mix/area-per-tank`.
    #[schemars(schema_with = "super::schema::asks")]
    pub asks: String,
    /// The unit that is shown as the usual one.
    pub answer_in: Option<String>,
}

/// One question as written; `given` and `beside` stay in the tree.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Question {
    /// Its name within the bank.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// How it is answered.
    pub kind: AnswerKind,
    /// What it is about: `units`, `area` and so on.
    pub topic: Option<Topic>,
    /// What is asked.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub text: String,
    /// For a number: calculator and result, `catch-test/nozzle-output`.
    #[schemars(default, schema_with = "super::schema::asks")]
    pub asks: Option<String>,
    #[schemars(default, schema_with = "super::schema::inputs")]
    given: Option<IgnoredAny>,
    #[schemars(default, schema_with = "super::schema::inputs")]
    beside: Option<IgnoredAny>,
    /// For a number: the unit that is shown as the usual one.
    pub answer_in: Option<String>,
    /// For a number: how far off an answer may be.
    #[schemars(default, schema_with = "super::schema::share")]
    pub tolerance: Option<String>,
    /// For a number: earlier results that are asked first, in their order, at most three. Each is worth a point, and a
    /// part that is worked correctly from an earlier wrong figure earns its own.
    #[serde(default, deserialize_with = "or_default")]
    #[schemars(length(max = 3))]
    pub parts: Vec<QuestionPart>,
    /// The choices.
    #[serde(default, deserialize_with = "or_default")]
    pub options: Vec<Choice>,
    /// An explanation of the whole question.
    pub because: Option<String>,
    /// Raised when the numbers of a published question are changed on purpose; 1 unless written.
    #[schemars(range(min = 1))]
    pub draw_version: Option<u32>,
}

/// A question file as typed.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BankFile {
    /// The same as the name of the file.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// Heading of the quiz.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub title: String,
    /// Share of right answers to pass, as written: `80 %`.
    #[schemars(default, schema_with = "super::schema::share")]
    pub pass: Option<String>,
    /// The questions in order.
    #[schemars(length(min = 1))]
    pub questions: Vec<Question>,
}

/// A question bank as written.
#[derive(Clone, Debug)]
pub struct Bank {
    /// The whole file.
    pub source: Source,
    /// Whether this is a bank of the stock, unchanged: nothing is wrong with it.
    pub stock: bool,
    /// What is in it. A bank of the stock is read when somebody first asks; most courses only publish it.
    content: OnceLock<BankContent>,
}

/// What is in a question bank.
#[derive(Clone, Debug)]
pub struct BankContent {
    /// Its typed values.
    pub file: BankFile,
    /// Its tree, with places.
    pub root: Node,
    /// The questions that could not be read in full, by their place in the list.
    pub unsound: BTreeSet<usize>,
    /// Whether a question could not be read at all, and is in none of these.
    pub cut: bool,
}

impl Deref for Bank {
    type Target = BankContent;

    fn deref(&self) -> &BankContent {
        // A test reads the stock's, with which nothing is wrong.
        self.content.get_or_init(|| {
            let read = BankContent::read("", &self.source, true, &mut Problems::new());
            read.unwrap_or_else(BankContent::empty)
        })
    }
}

impl Bank {
    /// Takes a question file apart. The mistakes within one question do not hide those of the others.
    pub fn read(stem: &str, source: Source, problems: &mut Problems) -> Option<Self> {
        let stock = is_text(&source.name, &source.text);
        let content = match stock {
            true => OnceLock::new(),
            false => OnceLock::from(BankContent::read(stem, &source, false, problems)?),
        };
        Some(Self { source, stock, content })
    }
}

impl BankContent {
    fn empty() -> Self {
        let file = BankFile { id: String::new(), title: String::new(), pass: None, questions: Vec::new() };
        Self { file, root: Node::no_keys(), unsound: BTreeSet::new(), cut: false }
    }

    fn read(stem: &str, source: &Source, stock: bool, problems: &mut Problems) -> Option<Self> {
        let document = Document::of_file(source, problems)?;
        let filled = document.filled::<BankFile>(problems)?;
        let sound = |path: &str| document.get(path).is_some_and(|node| !node.is_empty() && filled.is_sound(&node.span));
        let file = &filled.value;
        if sound("id") && file.id != stem && !stock {
            let title = format!("the id of this bank is `{}`, and the file is named `{stem}.yaml`", file.id);
            problems.push(document.problem(code::ID_NOT_FILE_NAME, title, "id").help(format!("write `id: {stem}`")));
        }
        if sound("title") {
            not_blank(&document, "title", &file.title, problems);
        }
        if sound("questions") && file.questions.is_empty() {
            problems.push(
                document
                    .problem(code::BANK_EMPTY, "this bank has no questions", "questions")
                    .help("write one below `questions:`, beginning with `- id: …`"),
            );
        }
        let (mut seen, mut unsound) = (Seen::default(), BTreeSet::new());
        // The stock's own were checked by a test.
        for (index, question) in file.questions.iter().enumerate().filter(|_| !stock) {
            let path = format!("questions[{index}]");
            let id = format!("{path}.id");
            if sound(&id) && check_name(&document, &id, &question.id, problems) {
                seen.add(&document, &id, &question.id, "question", problems);
            }
            if document.get(&path).is_some_and(|node| filled.is_read(&node.span)) {
                check_question(&document, &path, question, problems);
            } else {
                unsound.insert(index);
            }
        }
        let (root, cut) = (document.root().clone(), document.is_cut());
        Some(Self { file: filled.value, root, unsound, cut })
    }

    /// The `given` of a question, free-form.
    pub fn given(&self, question: usize) -> Option<&Node> {
        self.node(question)?.get("given")
    }

    /// What the text of a question gives besides the inputs, free-form.
    pub fn beside(&self, question: usize) -> Option<&Node> {
        self.node(question)?.get("beside")
    }

    /// The tree of a question.
    pub fn node(&self, question: usize) -> Option<&Node> {
        self.root.get("questions")?.items().get(question)
    }
}

fn check_question(document: &Document, path: &str, question: &Question, problems: &mut Problems) {
    not_blank(document, &format!("{path}.text"), &question.text, problems);
    let mut check = QuestionCheck { document, path, problems };
    if question.draw_version == Some(0) {
        let help = "write `draw-version: 2` when the numbers of a published question are changed on purpose";
        check.at("draw-version", code::DRAW_VERSION_LOW, "versions start at 1, and this is 0", help);
    }
    if question.kind == AnswerKind::Number {
        check.number(question);
        return;
    }
    check.unused_keys(question);
    check.right_options(question);
    check_choices(document, path, question, problems);
}

/// What is reported about one question, each at one of its keys.
struct QuestionCheck<'a> {
    document: &'a Document,
    path: &'a str,
    problems: &'a mut Problems,
}

impl QuestionCheck<'_> {
    fn at(&mut self, key: &str, rule: &'static Rule, title: impl Into<String>, help: &str) {
        let place = self.document.key_place(&format!("{}.{key}", self.path));
        let problem = Problem::new(rule, title, "").at(self.document.source(), place);
        self.problems.push(problem.help(help));
    }

    fn number(&mut self, question: &Question) {
        if question.asks.is_none() {
            let title = "a question for a number says which result it asks for, and this one does not";
            let help = "add a line such as `asks: catch-test/nozzle-output`";
            self.at("kind", code::ASKS_NOTHING, title, help);
        }
        if !question.options.is_empty() {
            let help = "remove the options, or write `kind: one`";
            let title = "a question for a number has no options";
            self.at("options", code::OPTIONS_UNUSED, title, help);
        }
        for (index, part) in question.parts.iter().enumerate() {
            not_blank(self.document, &format!("{}.parts[{index}].text", self.path), &part.text, self.problems);
        }
    }

    fn unused_keys(&mut self, question: &Question) {
        for (key, there) in [
            ("asks", question.asks.is_some()),
            ("given", question.given.is_some()),
            ("beside", question.beside.is_some()),
            ("answer-in", question.answer_in.is_some()),
            ("tolerance", question.tolerance.is_some()),
            ("parts", !question.parts.is_empty()),
        ] {
            if there {
                let title = format!("`{key}` belongs to a question for a number, and this one has choices");
                self.at(key, code::KEY_UNUSED, title, "remove it, or write `kind: number`");
            }
        }
    }

    fn right_options(&mut self, question: &Question) {
        let right = question.options.iter().filter(|choice| choice.right).count();
        if question.options.len() < 2 {
            let help = "add options: `- { text: …, because: … }`";
            self.at("kind", code::TOO_FEW_OPTIONS, "at least two options are expected", help);
            return;
        }
        let (title, help) = match (question.kind, right) {
            (AnswerKind::One, 1) | (AnswerKind::Order, 0) | (AnswerKind::Number, _) => return,
            (AnswerKind::One, 0) => (
                "exactly one right option is expected, and none is marked `right: true`".to_owned(),
                "add `right: true` to the right one",
            ),
            (AnswerKind::One, _) => (
                format!("exactly one right option is expected, and {right} are marked `right: true`"),
                "mark one, or write `kind: several`",
            ),
            (AnswerKind::Several, 0) => (
                "at least one right option is expected, and none is marked".to_owned(),
                "add `right: true` to each right one",
            ),
            (AnswerKind::Several, _) => return,
            (AnswerKind::Order, _) => (
                "options to be put in order are not marked `right`".to_owned(),
                "remove the mark: the options are written in the right order",
            ),
        };
        self.at("options", code::RIGHT_OPTIONS, title, help);
    }
}

fn check_choices(document: &Document, path: &str, question: &Question, problems: &mut Problems) {
    let mut seen = Seen::default();
    for (index, choice) in question.options.iter().enumerate() {
        let path = format!("{path}.options[{index}].text");
        not_blank(document, &path, &choice.text, problems);
        seen.add(document, &path, choice.text.trim(), "option", problems);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type CodeAndPlace = (&'static str, Option<(usize, usize)>);

    const GOOD: &str = "id: first-week\ntitle: First week\npass: 80 %\nquestions:\n  - id: gun\n    kind: number\n    asks: catch-test/nozzle-output\n    text: What?\n    given:\n      catch: [ { volume: 90 to 200 by 2 fl oz, time: \"one of 20, 30 s\" } ]\n    answer-in: gal/min\n  - id: why\n    kind: one\n    text: Why?\n    options:\n      - { text: A, right: true, because: it is }\n      - { text: B }\n";

    fn read(text: &str) -> (Option<Bank>, Vec<CodeAndPlace>) {
        let mut problems = Problems::new();
        let bank = Bank::read("first-week", Source::new("questions/first-week.yaml", text), &mut problems);
        problems.sort();
        (bank, problems.into_iter().map(|problem| (problem.code, problem.line_column())).collect())
    }

    #[test]
    fn a_bank_keeps_its_inputs_with_places() {
        let (bank, problems) = read(GOOD);
        assert_eq!(problems, []);
        let bank = bank.expect("a good bank");
        let given = bank.given(0).expect("there");
        let flat: Vec<_> =
            given.flat().into_iter().map(|(name, node)| (name, node.text().map(str::to_owned))).collect();
        assert_eq!(flat[0], ("catch.1.volume".into(), Some("90 to 200 by 2 fl oz".into())));
        assert!(bank.given(1).is_none());
    }

    #[test]
    fn what_does_not_fit_the_kind_is_reported() {
        let twice = GOOD
            .replace("id: why", "id: gun")
            .replace("text: B", "text: B, right: true")
            .replace("    asks: catch-test/nozzle-output\n", "");
        let (_, problems) = read(&twice);
        assert_eq!(
            problems,
            [("asks-nothing", Some((6, 5))), ("duplicate-id", Some((11, 9))), ("right-options", Some((14, 5)))]
        );
        assert_eq!(read(&GOOD.replace("id: first-week", "id: other")).1, [("id-not-file-name", Some((1, 5)))]);
        assert_eq!(
            read(&GOOD.replace("kind: one\n", "kind: one\n    tolerance: 1 %\n")).1,
            [("key-unused", Some((14, 5)))]
        );
    }
}
