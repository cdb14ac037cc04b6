//! The generator's own HTML read back as text, by its headings.

use super::words::Words;
use memchr::memchr;
use memchr::memmem::Finder;
use std::sync::LazyLock;

/// The text under a heading.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Section<'h> {
    pub(super) id: &'h str,
    pub(super) title: String,
    pub(super) text: String,
}

/// HTML that is read one section after another; the first one is the text before any heading.
pub(super) struct Reader<'h> {
    html: &'h str,
    at: usize,
    /// Of each text at least so many letters are read, if it has them.
    enough: usize,
    next: Next<'h>,
}

/// What is read next.
enum Next<'h> {
    Beginning,
    /// What follows the tag of a heading with this id.
    Heading(&'h str),
    Nothing,
}

impl<'h> Reader<'h> {
    pub(super) fn new(html: &'h str, enough: usize) -> Self {
        Self { html, at: 0, enough, next: Next::Beginning }
    }

    /// Reads the next section in place of the one before, whose room is used again; whether there was one.
    pub(super) fn read(&mut self, section: &mut Section<'h>) -> bool {
        section.title.clear();
        section.text.clear();
        let (id, mut in_title) = match std::mem::replace(&mut self.next, Next::Nothing) {
            Next::Beginning => ("", false),
            Next::Heading(id) => (id, true),
            Next::Nothing => return false,
        };
        section.id = id;
        let mut words = match in_title {
            true => Words::into(&mut section.title, usize::MAX),
            false => Words::into(&mut section.text, self.enough),
        };
        loop {
            self.at = words.read(self.html, self.at);
            if words.room == 0 {
                // What is left of this section adds nothing.
                let Some(passed) = next_heading(&self.html[self.at..]) else { return true };
                self.at += passed;
            }
            if let Some((length, parts)) = usual_tag(&self.html.as_bytes()[self.at..]) {
                self.at += length;
                words.blank |= parts;
                continue;
            }
            let Some(tag) = Tag::at(self.html.as_bytes(), self.at) else { return true };
            self.at = tag.end;
            if is_inline(tag.name) {
                continue;
            }
            words.blank = true;
            if matches!(tag.name, [b'h', b'2'..=b'6']) {
                if !tag.closes {
                    self.next = Next::Heading(identifier(&self.html[tag.start..tag.end]));
                    return true;
                }
                if std::mem::take(&mut in_title) {
                    words = Words::into(&mut section.text, self.enough);
                }
            }
        }
    }
}

/// The text of some HTML.
pub(super) fn plain(html: &str) -> String {
    let (mut reader, mut section, mut all) = (Reader::new(html, usize::MAX), Section::default(), String::new());
    while reader.read(&mut section) {
        all.push_str(&section.text);
    }
    all
}

struct Tag<'h> {
    name: &'h [u8],
    /// Whether the element ends here.
    closes: bool,
    start: usize,
    end: usize,
}

impl<'h> Tag<'h> {
    /// The tag that begins at a place; a `>` in quotes does not end it.
    fn at(html: &'h [u8], start: usize) -> Option<Self> {
        let tag = html.get(start + 1..)?;
        let length = tag.iter().position(|byte| matches!(byte, b'>' | b' ' | b'\n'))?;
        let end = if tag[length] == b'>' { length } else { length + after_attributes(&tag[length..])? };
        let name = &tag[..length];
        let (name, closes) = name.strip_prefix(b"/").map_or((name, false), |name| (name, true));
        Some(Self { name, closes, start, end: start + 1 + end + 1 })
    }
}

/// One of the tags that most texts are full of: its length, and whether it parts two words.
fn usual_tag(html: &[u8]) -> Option<(usize, bool)> {
    match html {
        [b'<', b'p', b'>', ..] => Some((3, true)),
        [b'<', b'/', b'p', b'>', ..] | [b'<', b'l', b'i', b'>', ..] => Some((4, true)),
        [b'<', b'/', b'l', b'i', b'>', ..] => Some((5, true)),
        [b'<', b'e', b'm', b'>', ..] => Some((4, false)),
        [b'<', b'/', b'e', b'm', b'>', ..] => Some((5, false)),
        _ if html.starts_with(b"<strong>") => Some((8, false)),
        _ if html.starts_with(b"</strong>") => Some((9, false)),
        _ => None,
    }
}

/// Where a tag ends, counted from the end of its name.
fn after_attributes(tag: &[u8]) -> Option<usize> {
    let mut end = 0;
    loop {
        end += tag[end..].iter().position(|byte| matches!(byte, b'>' | b'"'))?;
        if tag[end] == b'>' {
            return Some(end);
        }
        end += 1;
        end += memchr(b'"', &tag[end..])? + 1;
    }
}

fn identifier(tag: &str) -> &str {
    const ID: &str = " id=\"";
    // The generator puts it right after the name of a heading.
    let first = tag.get("<h2".len()..).and_then(|rest| rest.strip_prefix(ID));
    let rest = first.or_else(|| tag.split_once(ID).map(|(_, rest)| rest));
    rest.and_then(|rest| memchr(b'"', rest.as_bytes()).map(|end| &rest[..end])).unwrap_or_default()
}

/// Elements that may start within a word.
fn is_inline(name: &[u8]) -> bool {
    matches!(
        name,
        b"a" | b"abbr" | b"b" | b"code" | b"del" | b"em" | b"i" | b"s" | b"span" | b"strong" | b"sub" | b"sup"
    )
}

/// Where the next heading's tag begins. No attribute holds a bare `<`: the generator escapes it.
fn next_heading(html: &str) -> Option<usize> {
    static BEGINS: LazyLock<Finder<'static>> = LazyLock::new(|| Finder::new("<h"));
    let (bytes, mut from) = (html.as_bytes(), 0);
    loop {
        let at = from + BEGINS.find(&bytes[from..])?;
        from = at + "<h".len();
        if matches!(bytes.get(from), Some(b'2'..=b'6')) {
            return Some(at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::{Rng, SeedableRng};

    /// A section that keeps its room.
    #[derive(Debug, PartialEq, Eq)]
    struct Read {
        id: String,
        title: String,
        text: String,
    }

    fn sections(html: &str, enough: usize) -> Vec<Read> {
        let (mut reader, mut section, mut all) = (Reader::new(html, enough), Section::default(), Vec::new());
        while reader.read(&mut section) {
            let Section { id, title, text } = &section;
            all.push(Read { id: (*id).to_owned(), title: title.clone(), text: text.clone() });
        }
        all
    }

    #[test]
    fn sections_are_headings_and_the_text_under_them() {
        let html = "<p>Be<em>fore</em> it &amp; all.</p>\n<h2 id=\"a-b\" class=\"x\">Gun &lt;5&gt;</h2>\n<ul><li>one</li><li>two</li></ul><img alt=\"a > b\"><h3 id=\"c\">C</h3>";
        let section =
            |id: &str, title: &str, text: &str| Read { id: id.into(), title: title.into(), text: text.into() };
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

    /// The same by a letter at a time: every heading's title and the whole text under it.
    fn slowly(html: &str) -> Vec<Read> {
        let read = |id: &str| Read { id: id.to_owned(), title: String::new(), text: String::new() };
        let (mut all, mut in_title, mut rest) = (vec![read("")], false, html);
        while let Some(letter) = rest.chars().next() {
            let section = all.last_mut().expect("there is one from the beginning");
            let into = if in_title { &mut section.title } else { &mut section.text };
            if letter != '<' {
                let entities =
                    [("&amp;", "&"), ("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&nbsp;", " ")];
                let entity = entities.iter().find(|(name, _)| rest.starts_with(name));
                let after = rest.trim_start_matches('↑');
                let is_link_back = after.len() < rest.len() && (after.is_empty() || after.starts_with('<'));
                let of_itself = &rest[..letter.len_utf8()];
                let (passed, shown) = match entity {
                    Some((name, shown)) => (name.len(), *shown),
                    None if is_link_back => (rest.len() - after.len(), ""),
                    None => (letter.len_utf8(), of_itself),
                };
                into.push_str(shown);
                rest = &rest[passed..];
                continue;
            }
            let mut quoted = false;
            let ends = |sign: char| {
                quoted ^= sign == '"';
                sign == '>' && !quoted
            };
            let Some(end) = rest.find(ends) else { break };
            let tag = &rest[1..end];
            let name = tag.split([' ', '\n']).next().unwrap_or_default();
            match name.trim_start_matches('/') {
                "h2" | "h3" | "h4" | "h5" | "h6" => {
                    in_title = !name.starts_with('/');
                    if in_title {
                        all.push(read(
                            tag.split(" id=\"").nth(1).and_then(|id| id.split('"').next()).unwrap_or_default(),
                        ));
                    }
                }
                "a" | "abbr" | "b" | "code" | "del" | "em" | "i" | "s" | "span" | "strong" | "sub" | "sup" => {}
                _ => into.push(' '),
            }
            rest = &rest[end + 1..];
        }
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        all.into_iter().map(|read| Read { title: words(&read.title), text: words(&read.text), ..read }).collect()
    }

    /// Made-up HTML, from pieces in any order.
    fn made_up(random: &mut Pcg32) -> String {
        const PIECES: &[&str] = &[
            "gun",
            "A worn nozzle limits",
            " ",
            " ",
            "\n",
            "  ",
            "\t",
            "e",
            "é",
            "größer",
            "\u{a0}",
            "\u{2003}",
            "\u{2028}",
            "日本",
            "🌿",
            "“wet” – ",
            "↑",
            "↑↑",
            "&amp;",
            "&lt;",
            "&gt;",
            "&quot;",
            "&#39;",
            "&nbsp;",
            "&",
            "&am",
            "&eacute;",
            "how much water is left, and the crew keeps",
            "\u{1}",
            "<em>",
            "</em>",
            "<strong>",
            "</strong>",
            "</a>",
            "</p>",
            "<a href=\"#note-1\" title=\"a > b\">",
            "<p>",
            "<li>",
            "</li>\n<li>",
            "<td class=\"x\">",
            "<br>",
            "<hr>",
            "<hr />",
            "<img alt=\"h2 > é ↑ 'x'\" src=\"a.png\">",
            "<!-- a comment -->",
            "<header>",
            "<span\nclass=\"y\">",
            "<sub>",
            "<section>",
            "<code>",
            "<h1>",
            "</h1>",
        ];
        let mut html = String::new();
        for _ in 0..random.next_u32() % 60 {
            let piece = PIECES[random.next_u32() as usize % PIECES.len()];
            let level = 2 + random.next_u32() % 5;
            match random.next_u32() % 12 {
                0 => html += &format!("<h{level} id=\"part-{level}\" class=\"z\">{piece} gun</h{level}>"),
                1 => {
                    html += &format!("<h{level} class=\"z\" id=\"{piece}\">{piece}</h{level}>\n")
                        .replace("id=\"<", "id=\"x")
                }
                _ => html += piece,
            }
        }
        html
    }

    #[test]
    fn whatever_the_html_it_reads_as_it_does_a_letter_at_a_time() {
        let mut random = Pcg32::seed_from_u64(11);
        for _ in 0..4_000 {
            let html = made_up(&mut random);
            let whole = slowly(&html);
            assert_eq!(sections(&html, usize::MAX), whole, "{html}");
            assert_eq!(plain(&html), whole.iter().map(|section| section.text.as_str()).collect::<String>());
            for enough in [0, 1, 2, 3, 7, 8, 9, 15, 16, 17, 24, 40, 161] {
                let some = sections(&html, enough);
                assert_eq!(some.len(), whole.len(), "{enough} of {html}");
                for (some, whole) in some.iter().zip(&whole) {
                    assert_eq!((&some.id, &some.title), (&whole.id, &whole.title), "{enough} of {html}");
                    // No less than is asked for, and no more than to the end of a word.
                    let least: String = whole.text.chars().take(enough).collect();
                    let more = some.text.strip_prefix(least.as_str()).expect("the beginning of the text");
                    assert!(whole.text.starts_with(&some.text), "{enough} of {html}");
                    assert!(!more.trim_start().contains(' '), "{enough} of {html}");
                }
            }
        }
    }
}
