//! A file of our own that is nothing but a key and a text on each line, read in one pass: a catalog of phrases has
//! thousands of them, and reading it as YAML takes ten times as long.

/// The pairs of such a file, in its order; nothing if any line of it needs a reader of YAML.
pub(crate) fn pairs_of_lines(text: &str) -> Option<Vec<(String, String)>> {
    let lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines.map(|line| pair(line).map(|(key, value)| (key.to_owned(), value))).collect()
}

fn pair(line: &str) -> Option<(&str, String)> {
    let (key, value) = line.split_once(": ")?;
    let in_key = |byte: u8| byte.is_ascii_alphanumeric() || b".-_ %/".contains(&byte);
    let is_key =
        key.as_bytes().first().is_some_and(u8::is_ascii_alphabetic) && key.bytes().all(in_key) && !key.ends_with(' ');
    let value = value.trim_matches(' ');
    let value = match value.strip_prefix('"') {
        Some(quoted) => unquoted(quoted.strip_suffix('"')?)?,
        None => plain(value)?.to_owned(),
    };
    is_key.then_some((key, value))
}

/// What is between double quotes; of the escapes only those of the quote and of the backslash.
fn unquoted(inside: &str) -> Option<String> {
    let mut out = String::with_capacity(inside.len());
    let mut rest = inside;
    while let Some(at) = memchr::memchr2(b'"', b'\\', rest.as_bytes()) {
        let escaped = rest[at..].strip_prefix('\\').filter(|after| after.starts_with(['"', '\\']))?;
        out.push_str(&rest[..at]);
        out.push_str(&escaped[..1]);
        rest = &escaped[1..];
    }
    out.push_str(rest);
    Some(out)
}

/// A text without quotes that means what it says (YAML 1.2.2, 7.3.3, "Plain Style").
fn plain(text: &str) -> Option<&str> {
    let first = *text.as_bytes().first()?;
    let begins = !b"-?:,[]{}#&*!|>'\"%@`~".contains(&first);
    (begins && !text.contains(": ") && !text.contains(" #") && !text.ends_with(':') && !text.contains('\t'))
        .then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::embedded::CONTENT;
    use std::collections::BTreeMap;

    #[test]
    fn every_catalog_is_read_as_a_reader_of_yaml_reads_it() {
        let folder = CONTENT.get_dir("phrases").expect("it is in the tree");
        let files: Vec<_> = folder.dirs().flat_map(|language| language.files()).collect();
        assert!(files.len() > 20);
        for file in files {
            let text = file.contents_utf8().expect("text");
            let read =
                pairs_of_lines(text).unwrap_or_else(|| panic!("{} is not read in one pass", file.path().display()));
            let count = read.len();
            let read: BTreeMap<String, String> = read.into_iter().collect();
            assert_eq!(read.len(), count, "{}: a key is there twice", file.path().display());
            assert_eq!(read, serde_yaml::from_str(text).expect("YAML"), "{}", file.path().display());
        }
    }

    #[test]
    fn a_line_is_read_as_yaml_or_not_at_all() {
        for line in [
            "a.b: text",
            "a: \"x: y\"",
            "a: \"x \\\" \\\\ y\"",
            "a: x:y",
            "a: x#y",
            "a: it's",
            "a: é ²  ",
            "a: \"\"",
            "a: 12",
            "a: true",
            "a: =x",
            "# a: b",
            "a: -x",
            "a: ~",
            "a:  x",
            "a: x: y",
            "a: x #y",
            "a: 'x'",
            "a: \"x\\n\"",
            "a: \"x\" # y",
            "a: [x]",
            "a: |",
            "a: >-",
            "a: *x",
            "a: &x y",
            "a: !x y",
            "a: ",
            "a:",
            " a: b",
            "- a",
            "---",
            "a: x\n  y",
            "\"a\": b",
            "a b: c",
            "a: x:",
            "a: ? x",
            "a: @x",
            "a: `x",
            "a: %x",
            "a: \"x\"y\"",
        ] {
            let Some(read) = pairs_of_lines(line) else { continue };
            let read: BTreeMap<String, String> = read.into_iter().collect();
            assert_eq!(Some(read), serde_yaml::from_str(line).ok(), "{line}");
        }
        let read = pairs_of_lines("# about\na: x\n\nb.c: \"y \\\"z\\\"\"\n").expect("two lines");
        assert_eq!(read, [("a".to_owned(), "x".to_owned()), ("b.c".to_owned(), "y \"z\"".to_owned())]);
        for other in ["a: x\n  y", "a: |\n  y", "a: 'x'", "a: [x]", "a: \"\\u00e9\"", "- a: b", "---\na: b"] {
            assert_eq!(pairs_of_lines(other), None, "{other}");
        }
    }
}
