//! The tags of a template: what is in braces, with its place.

use std::ops::Range;

/// What is before the next tag, the tag, and what is after it. A tag that is never closed is the engine's to report.
pub fn next_tag(text: &str) -> Option<(&str, &str, &str)> {
    let opens = |at: &usize| matches!(text.as_bytes().get(at + 1), Some(b'%' | b'{' | b'#'));
    let start = text.match_indices('{').map(|(at, _)| at).find(opens)?;
    let inside = &text[start..];
    let length = if inside.starts_with("{#") {
        inside.find("#}")? + 2
    } else {
        let close: &[u8] = if inside.starts_with("{%") { b"%}" } else { b"}}" };
        let bytes = inside.as_bytes();
        let (mut at, mut quote) = (2, None);
        loop {
            match (*bytes.get(at)?, quote) {
                (b'\\', Some(_)) => at += 1,
                (byte, Some(open)) if byte == open => quote = None,
                (byte @ (b'"' | b'\'' | b'`'), None) => quote = Some(byte),
                (_, None) if bytes[at..].starts_with(close) => break at + 2,
                _ => {}
            }
            at += 1;
        }
    };
    Some((&text[..start], &inside[..length], &inside[length..]))
}

/// A tag with its place in the template.
#[derive(Clone, Debug)]
pub(super) struct Tag<'t> {
    /// The whole tag, with its braces.
    pub(super) text: &'t str,
    /// Where it begins.
    pub(super) start: usize,
    /// Its first word: `for`, `component`; empty in an expression that begins with none.
    pub(super) word: &'t str,
}

impl<'t> Tag<'t> {
    /// The bytes of the tag.
    pub(super) fn span(&self) -> Range<usize> {
        self.start..self.start + self.text.len()
    }

    /// What is after its first word.
    pub(super) fn rest(&self) -> &'t str {
        let at = self.text.find(self.word).map_or(0, |at| at + self.word.len());
        let rest = &self.text[at..];
        rest.strip_suffix("%}").or_else(|| rest.strip_suffix("}}")).unwrap_or(rest).trim_end_matches('-').trim()
    }

    /// Whether it is `{% … %}`.
    pub(super) fn acts(&self) -> bool {
        self.text.starts_with("{%")
    }
}

/// The tags of a template in their order, without comments and without what is in `raw`.
pub(super) fn tags(text: &str) -> Vec<Tag<'_>> {
    let mut all = Vec::new();
    let mut at = 0;
    while let Some((before, tag, _)) = next_tag(&text[at..]) {
        let start = at + before.len();
        at = start + tag.len();
        if tag.starts_with("{#") {
            continue;
        }
        let inside = tag[2..].trim_start_matches('-').trim_start();
        let end = inside.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(inside.len());
        let word = &inside[..end];
        if word == "raw" && tag.starts_with("{%") {
            at += text[at..].find("endraw").unwrap_or(text.len() - at);
            continue;
        }
        all.push(Tag { text: tag, start, word });
    }
    all
}
