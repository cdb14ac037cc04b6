//! The generator's own HTML read back as text, by its headings.

/// The text under a heading.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Section {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) text: String,
}

/// The generator's own HTML as text, by heading; the first entry is the text before any heading.
pub(super) fn sections(html: &str) -> Vec<Section> {
    let mut all = vec![Section::default()];
    let (mut rest, mut heading) = (html, false);
    while let Some(section) = all.last_mut() {
        let (text, after) = rest.split_once('<').unwrap_or((rest, ""));
        let into = if heading { &mut section.title } else { &mut section.text };
        // The link back from a note is not part of its text.
        read(text.trim_end_matches('↑'), into);
        let Some((tag, after)) = tag(after) else { break };
        rest = after;
        let name = tag.split([' ', '>', '\n']).next().unwrap_or_default();
        let is_heading = |name: &str| matches!(name.as_bytes(), [b'h', b'2'..=b'6']);
        if is_heading(name) {
            heading = true;
            all.push(Section { id: identifier(tag).to_owned(), ..Section::default() });
        } else if name.strip_prefix('/').is_some_and(is_heading) {
            heading = false;
        } else if !INLINE.contains(&name.trim_start_matches('/')) {
            into.push(' ');
        }
    }
    for section in &mut all {
        for text in [&mut section.title, &mut section.text] {
            *text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        }
    }
    all
}

/// Elements that may start within a word.
const INLINE: &[&str] = &["a", "abbr", "b", "code", "del", "em", "i", "s", "span", "strong", "sub", "sup"];

/// The text of some HTML.
pub(super) fn plain(html: &str) -> String {
    sections(html).into_iter().map(|section| section.text).collect()
}

/// A tag up to its end; a `>` in quotes does not end it.
fn tag(text: &str) -> Option<(&str, &str)> {
    let mut quoted = false;
    let end = text.bytes().position(|byte| {
        quoted ^= byte == b'"';
        byte == b'>' && !quoted
    })?;
    Some((&text[..end], &text[end + 1..]))
}

fn identifier(tag: &str) -> &str {
    tag.split_once(" id=\"").and_then(|(_, rest)| rest.split_once('"')).map_or("", |(id, _)| id)
}

/// Text with its entities read.
fn read(text: &str, out: &mut String) {
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        out.push_str(before);
        let named = [("amp;", '&'), ("lt;", '<'), ("gt;", '>'), ("quot;", '"'), ("#39;", '\''), ("nbsp;", ' ')];
        let entity = named.iter().find_map(|(name, letter)| Some((after.strip_prefix(name)?, *letter)));
        let (after, letter) = entity.unwrap_or((after, '&'));
        out.push(letter);
        rest = after;
    }
    out.push_str(rest);
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
            sections(html),
            [section("", "", "Before it & all."), section("a-b", "Gun <5>", "one two"), section("c", "C", "")]
        );
        assert_eq!(sections("a < b <broken"), [section("", "", "a")]);
    }
}
