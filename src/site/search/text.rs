//! The generator's own HTML read back as text, by its headings.

use memchr::memmem::Finder;
use std::sync::LazyLock;

/// The text under a heading.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Section {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) text: String,
}

/// Words with one blank between them, however the HTML is laid out. Once it holds enough letters it takes no more.
struct Words {
    text: String,
    blank: bool,
    room: usize,
}

impl Words {
    fn holding(enough: usize, usual: usize) -> Self {
        Self { text: String::with_capacity(enough.min(usual)), blank: false, room: enough }
    }

    fn push(&mut self, text: &str) {
        if !text.is_ascii() {
            return self.push_any(text);
        }
        // Where all of it fits, a line with single spaces between its words is taken as it is.
        if self.room <= text.len() {
            return self.push_ascii(text);
        }
        let mut rest = text;
        while let Some((line, after)) = split(rest, b'\n') {
            self.push_line(line);
            self.blank = true;
            rest = after;
        }
        self.push_line(rest);
    }

    fn push_line(&mut self, line: &str) {
        let bytes = line.as_bytes();
        // Both look at every byte, many at a time.
        let control = bytes.iter().fold(false, |found, byte| found | (*byte < b' '));
        let pairs = bytes.iter().zip(bytes.get(1..).unwrap_or_default());
        if pairs.fold(control, |found, (one, next)| found | ((*one == b' ') & (*next == b' '))) {
            return self.push_ascii(line);
        }
        let words = line.strip_prefix(' ').unwrap_or(line);
        self.blank |= words.len() < line.len();
        let ended = words.strip_suffix(' ').unwrap_or(words);
        self.word(ended, ended.len());
        self.blank |= ended.len() < words.len();
    }

    fn push_ascii(&mut self, text: &str) {
        let bytes = text.as_bytes();
        let is_blank = |at: usize| bytes.get(at).is_some_and(|byte| matches!(byte, b' ' | b'\t'..=b'\r'));
        let mut at = 0;
        while self.room > 0 {
            while is_blank(at) {
                self.blank = true;
                at += 1;
            }
            if at == bytes.len() {
                return;
            }
            // Words with one space between them are taken together.
            let (start, mut letters) = (at, 0);
            loop {
                let word = at;
                while at < bytes.len() && !is_blank(at) {
                    at += 1;
                }
                letters += at - word;
                let space = bytes.get(at) == Some(&b' ') && at + 1 < bytes.len() && !is_blank(at + 1);
                // The space between words and the text in front of this one take room as well.
                let led = usize::from(self.blank && !self.text.is_empty());
                if !space || letters + led >= self.room {
                    break;
                }
                letters += 1;
                at += 1;
            }
            self.word(&text[start..at], letters);
        }
    }

    fn push_any(&mut self, text: &str) {
        // Where the word begins, and how many letters of it were passed.
        let (mut start, mut letters) = (0, 0);
        for (at, letter) in text.char_indices() {
            if !letter.is_whitespace() {
                letters += 1;
                continue;
            }
            self.word(&text[start..at], letters);
            self.blank = true;
            (start, letters) = (at + letter.len_utf8(), 0);
            if self.room == 0 {
                return;
            }
        }
        self.word(&text[start..], letters);
    }

    fn word(&mut self, word: &str, letters: usize) {
        if letters == 0 || self.room == 0 {
            return;
        }
        if std::mem::take(&mut self.blank) && !self.text.is_empty() {
            self.text.push(' ');
            self.room -= 1;
        }
        self.text.push_str(word);
        self.room = self.room.saturating_sub(letters);
    }
}

/// Room for most titles and texts, so that they need not move while they grow.
const TITLE: usize = 32;
const TEXT: usize = 512;

/// The generator's own HTML as text, by heading; the first entry is the text before any heading. Of each text at least
/// the first `enough` letters are there.
pub(super) fn sections(html: &str, enough: usize) -> Vec<Section> {
    let made = |id: &str| (id.to_owned(), Words::holding(usize::MAX, TITLE), Words::holding(enough, TEXT));
    let mut all = vec![made("")];
    let (mut rest, mut heading) = (html, false);
    while let Some((_, title, text)) = all.last_mut() {
        if !heading && text.room == 0 {
            // What is left of this section adds nothing.
            let Some(at) = next_heading(rest) else { break };
            rest = &rest[at..];
        }
        let (words, after) = split(rest, b'<').unwrap_or((rest, ""));
        let into = if heading { title } else { text };
        // The link back from a note is not part of its text.
        read(words.trim_end_matches('↑'), into);
        let Some((tag, after)) = tag(after) else { break };
        rest = after;
        let name = &tag[..tag.bytes().position(|byte| matches!(byte, b' ' | b'\n')).unwrap_or(tag.len())];
        let is_heading = |name: &str| matches!(name.as_bytes(), [b'h', b'2'..=b'6']);
        if is_heading(name) {
            heading = true;
            all.push(made(identifier(tag)));
        } else if name.strip_prefix('/').is_some_and(is_heading) {
            heading = false;
        } else if !is_inline(name.strip_prefix('/').unwrap_or(name)) {
            into.blank = true;
        }
    }
    all.into_iter().map(|(id, title, text)| Section { id, title: title.text, text: text.text }).collect()
}

/// Elements that may start within a word.
fn is_inline(name: &str) -> bool {
    matches!(name, "a" | "abbr" | "b" | "code" | "del" | "em" | "i" | "s" | "span" | "strong" | "sub" | "sup")
}

/// The text of some HTML.
pub(super) fn plain(html: &str) -> String {
    sections(html, usize::MAX).into_iter().map(|section| section.text).collect()
}

/// How many letters most tags have at most, with the sign that ends them.
const SHORT_TAG: usize = 12;

/// A tag up to its end; a `>` in quotes does not end it.
fn tag(text: &str) -> Option<(&str, &str)> {
    let (bytes, mut quoted) = (text.as_bytes(), false);
    // Most are over in a few letters, where looking at many of them at a time takes longer.
    let near = bytes.iter().take(SHORT_TAG).position(|byte| matches!(byte, b'>' | b'"'));
    if let Some(end) = near.filter(|end| bytes[*end] == b'>') {
        return Some((&text[..end], &text[end + 1..]));
    }
    let end = memchr::memchr2_iter(b'>', b'"', bytes).find(|at| {
        let ends = bytes[*at] == b'>';
        quoted ^= !ends;
        ends && !quoted
    })?;
    Some((&text[..end], &text[end + 1..]))
}

/// Where the next heading's tag begins. No attribute holds a bare `<`: the generator escapes it.
fn next_heading(html: &str) -> Option<usize> {
    static BEGINS: LazyLock<Finder<'static>> = LazyLock::new(|| Finder::new("<h"));
    let bytes = html.as_bytes();
    BEGINS.find_iter(bytes).find(|at| matches!(bytes.get(at + 2), Some(b'2'..=b'6')))
}

/// What is before and after the first of a sign of ASCII.
fn split(text: &str, sign: u8) -> Option<(&str, &str)> {
    memchr::memchr(sign, text.as_bytes()).map(|at| (&text[..at], &text[at + 1..]))
}

fn identifier(tag: &str) -> &str {
    const ID: &str = " id=\"";
    // The generator puts it right after the name of a heading.
    let first = tag.get("h2".len()..).and_then(|rest| rest.strip_prefix(ID));
    let rest = first.or_else(|| tag.split_once(ID).map(|(_, rest)| rest));
    rest.and_then(|rest| split(rest, b'"')).map_or("", |(id, _)| id)
}

/// Text with its entities read.
fn read(text: &str, out: &mut Words) {
    let mut rest = text;
    while let Some((before, after)) = split(rest, b'&') {
        out.push(before);
        let named = [("amp;", '&'), ("lt;", '<'), ("gt;", '>'), ("quot;", '"'), ("#39;", '\''), ("nbsp;", ' ')];
        let entity = named.iter().find_map(|(name, letter)| Some((after.strip_prefix(name)?, *letter)));
        let (after, letter) = entity.unwrap_or((after, '&'));
        out.push(letter.encode_utf8(&mut [0; 4]));
        rest = after;
    }
    out.push(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_headings_and_the_text_under_them() {
        let html = "<p>Be<em>fore</em> it &amp; all.</p>\n<h2 id=\"a-b\" class=\"x\">Gun &lt;5&gt;</h2>\n<ul><li>one</li><li>two</li></ul><img alt=\"a > b\"><h3 id=\"c\">C</h3>";
        let section =
            |id: &str, title: &str, text: &str| Section { id: id.into(), title: title.into(), text: text.into() };
        assert_eq!(
            sections(html, usize::MAX),
            [section("", "", "Before it & all."), section("a-b", "Gun <5>", "one two"), section("c", "C", "")]
        );
        assert_eq!(sections("a < b <broken", 99), [section("", "", "a")]);
        // What is enough may end within a word that markup divides.
        let cut = "<p> one,  two&nbsp;three </p><h2 id=\"x\">The title whole</h2>four <b>f</b>ive six";
        assert_eq!(sections(cut, 6), [section("", "", "one, two"), section("x", "The title whole", "four f")]);
        // However soon it is enough, the headings are all there, and each text is the beginning of the whole one.
        let long = "<p>é one <a title=\"a > b\">two</a> &amp; three</p><hr><h2 id=\"x\">X &lt;</h2>a\u{a0}b c<h3 id=\"y\">Y</h3>";
        let whole = sections(long, usize::MAX);
        for enough in 0..30 {
            let some = sections(long, enough);
            assert_eq!(some.len(), 3);
            for (some, whole) in some.iter().zip(&whole) {
                assert_eq!((&some.id, &some.title), (&whole.id, &whole.title));
                assert!(whole.text.starts_with(&some.text), "{enough}");
                assert!(some.text.chars().count() >= enough.min(whole.text.chars().count()), "{enough}");
            }
        }
    }
}
