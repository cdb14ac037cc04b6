//! The words of a lesson, block by block, each with its place in the file.

use crate::course::ReadyLesson;
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// What a block is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum BlockKind {
    Paragraph,
    Heading(HeadingLevel),
    /// A cell of a table's head.
    HeadCell,
    Cell,
    /// A fenced block, by the word after its fence and the name after that.
    Fence(String, String),
    /// Words for a picture, with its address.
    Image(String),
    /// The words of a link, with its address.
    Link(String),
}

/// A stretch of a lesson.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) kind: BlockKind,
    /// Its words without markup; a computed number is a blank in them.
    pub(super) text: String,
    /// Where it is in the file.
    pub(super) place: Range<usize>,
}

/// A lesson, block by block.
#[derive(Debug)]
pub(super) struct Text {
    pub(super) blocks: Vec<Block>,
}

impl Text {
    pub(super) fn of(lesson: &ReadyLesson) -> Text {
        let start = lesson.body_start.min(lesson.source.text.len());
        let body = &lesson.source.text[start..];
        let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES | Options::ENABLE_HEADING_ATTRIBUTES;
        let mut blocks: Vec<Block> = Vec::new();
        let mut open: Vec<Block> = Vec::new();
        let mut in_head = false;
        for (event, range) in Parser::new_ext(body, options).into_offset_iter() {
            let place = start + range.start..start + range.start + body[range.clone()].trim_end().len();
            let begin = |kind| Block { kind, text: String::new(), place: place.clone() };
            match event {
                Event::Start(Tag::Paragraph | Tag::Item) => open.push(begin(BlockKind::Paragraph)),
                Event::Start(Tag::Heading { level, .. }) => open.push(begin(BlockKind::Heading(level))),
                Event::Start(Tag::TableHead) => in_head = true,
                Event::End(TagEnd::TableHead) => in_head = false,
                Event::Start(Tag::TableCell) => {
                    open.push(begin(if in_head { BlockKind::HeadCell } else { BlockKind::Cell }))
                }
                Event::Start(Tag::CodeBlock(kind)) => {
                    let info = match kind {
                        CodeBlockKind::Fenced(info) => info.to_string(),
                        CodeBlockKind::Indented => String::new(),
                    };
                    let mut words = info.split_whitespace().map(str::to_owned);
                    let (word, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
                    open.push(begin(BlockKind::Fence(word, name)));
                }
                Event::Start(Tag::Image { dest_url, .. }) => open.push(begin(BlockKind::Image(dest_url.to_string()))),
                Event::Start(Tag::Link { dest_url, .. }) => open.push(begin(BlockKind::Link(dest_url.to_string()))),
                Event::End(
                    TagEnd::Paragraph
                    | TagEnd::Item
                    | TagEnd::Heading(_)
                    | TagEnd::TableCell
                    | TagEnd::CodeBlock
                    | TagEnd::Image
                    | TagEnd::Link,
                ) => {
                    if let Some(block) = open.pop() {
                        // The words of a link belong to the sentence around it; those of a computed number do not.
                        if let (BlockKind::Link(address), Some(around)) = (&block.kind, open.last_mut()) {
                            around.text.push_str(if address.starts_with("figure:") { "…" } else { &block.text });
                        }
                        blocks.push(block);
                    }
                }
                Event::Text(text) | Event::Code(text) => {
                    if let Some(block) = open.last_mut() {
                        block.text.push_str(&text);
                    }
                }
                Event::SoftBreak | Event::HardBreak => {
                    if let Some(block) = open.last_mut() {
                        block.text.push(' ');
                    }
                }
                _ => {}
            }
        }
        blocks.sort_by_key(|block| block.place.start);
        Text { blocks }
    }

    /// The paragraphs, without empty ones.
    pub(super) fn paragraphs(&self) -> impl Iterator<Item = &Block> {
        self.blocks.iter().filter(|block| block.kind == BlockKind::Paragraph && !block.text.trim().is_empty())
    }

    /// Fenced blocks of one kind.
    pub(super) fn fences<'t>(&'t self, word: &'t str) -> impl Iterator<Item = &'t Block> {
        self.blocks.iter().filter(move |block| matches!(&block.kind, BlockKind::Fence(other, _) if other == word))
    }

    /// How many words are read: paragraphs, headings, tables and cautions.
    pub(super) fn words(&self) -> usize {
        let read = |block: &&Block| match &block.kind {
            BlockKind::Fence(word, _) => word == "caution",
            BlockKind::Image(_) | BlockKind::Link(_) => false,
            _ => true,
        };
        self.blocks.iter().filter(read).map(|block| block.text.split_whitespace().count()).sum()
    }
}

/// The sentences of a text.
pub(super) fn sentences(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let mut start = 0;
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    for (index, (at, letter)) in letters.iter().enumerate() {
        let next = letters.get(index + 1).map(|(_, next)| *next);
        if matches!(letter, '.' | '!' | '?') && next.is_none_or(char::is_whitespace) {
            out.push(text[start..at + 1].trim());
            start = at + 1;
        }
    }
    out.push(text[start..].trim());
    out.retain(|sentence| !sentence.is_empty());
    out
}

/// Syllables of an English word, by its groups of vowels; at least one.
fn syllables(word: &str) -> usize {
    let word: String = word.chars().filter(|c| c.is_alphabetic()).collect::<String>().to_lowercase();
    let vowel = |c: char| "aeiouyáéíóúü".contains(c);
    let mut count = 0;
    let mut before = false;
    for letter in word.chars() {
        let now = vowel(letter);
        count += usize::from(now && !before);
        before = now;
    }
    let silent = word.ends_with('e') && !word.ends_with("le") && count > 1;
    (count - usize::from(silent)).max(1)
}

/// The school year in which a text is read with ease (Kincaid and others, Navy Research Branch Report 8-75, 1975).
pub(super) fn grade(paragraphs: &[&str]) -> Option<f64> {
    let mut total = (0_usize, 0_usize, 0_usize);
    for paragraph in paragraphs {
        for sentence in sentences(paragraph) {
            let words: Vec<&str> =
                sentence.split_whitespace().filter(|word| word.chars().any(char::is_alphabetic)).collect();
            if !words.is_empty() {
                total.0 += 1;
                total.1 += words.len();
                total.2 += words.iter().map(|word| syllables(word)).sum::<usize>();
            }
        }
    }
    // A shorter text says little about its reader.
    (total.1 >= 60).then(|| 0.39 * total.1 as f64 / total.0 as f64 + 11.8 * total.2 as f64 / total.1 as f64 - 15.59)
}

/// Notes that an author leaves for later.
const NOTES: &[&str] = &["TODO", "FIXME", "TBD", "XXX", "Lorem ipsum"];

/// Notes to oneself in a text, the first of each kind, with its place: a word of its own, and none of a sentence in
/// capitals, such as the Spanish `LEA TODO EL TEXTO`.
pub(super) fn notes_to_self(text: &str) -> impl Iterator<Item = (usize, &'static str)> + '_ {
    let in_capitals = |word: Option<&str>| {
        let letters = || word.unwrap_or_default().chars().filter(|letter| letter.is_alphabetic());
        letters().count() > 1 && letters().all(char::is_uppercase)
    };
    let is_note = move |at: usize, note: &str| {
        let (before, after) = (&text[..at], &text[at + note.len()..]);
        let whole = !before.ends_with(char::is_alphanumeric) && !after.starts_with(char::is_alphanumeric);
        let beside = [before.split_whitespace().next_back(), after.split_whitespace().next()];
        whole && (after.starts_with(':') || !beside.into_iter().any(in_capitals))
    };
    NOTES.iter().filter_map(move |note| {
        let at = text.match_indices(note).map(|(at, _)| at).find(|at| is_note(*at, note))?;
        Some((at, *note))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_and_syllables_are_counted() {
        assert_eq!(sentences("It is 1.5 gal. Go! Now"), ["It is 1.5 gal.", "Go!", "Now"]);
        for (word, count) in [("spray", 1), ("nozzle", 2), ("calibration", 4), ("rate", 1), ("area", 2)] {
            assert_eq!(syllables(word), count, "{word}");
        }
    }

    #[test]
    fn plain_words_read_more_easily_than_learned_ones() {
        let plain = "Fill the tank. Walk the line. Watch the clock. ".repeat(20);
        let hard = "Uniformity considerations necessitate systematic determination of volumetric output characteristics prior to operational application. ".repeat(20);
        let (plain, hard) = (grade(&[&plain]), grade(&[&hard]));
        assert!(plain.zip(hard).is_some_and(|(plain, hard)| plain < 3.0 && hard > 15.0), "{plain:?} {hard:?}");
        assert_eq!(grade(&["Short."]), None);
    }

    #[test]
    fn a_note_to_oneself_is_a_word_of_its_own_and_no_part_of_a_shout() {
        let found = |text| notes_to_self(text).collect::<Vec<_>>();
        assert_eq!(found("Fill it. TODO: SAY HOW FAR."), [(9, "TODO")]);
        assert_eq!(found("TODO how far? TBD."), [(0, "TODO"), (14, "TBD")]);
        assert_eq!(found("A suit in XXXL, or XXX"), [(19, "XXX")]);
        assert_eq!(found("ANTES DE ROCIAR, LEA TODO EL TEXTO."), []);
        assert_eq!(found("Pour in MASTODON."), []);
    }
}
