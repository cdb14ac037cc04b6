//! What an author reads about constructs that are not supported.

use crate::problem::code;
use std::ops::Range;

use pulldown_cmark::{LinkType, Tag};

use super::silent::rest_of_line;
use super::writer::{Manner, Writer};

impl Writer<'_> {
    pub(super) fn refuse_block_in_caution(&mut self, tag: &Tag<'_>, range: &Range<usize>) {
        let block = match tag {
            _ if self.manner == Manner::Lesson => return,
            Tag::Heading { .. } => "a heading",
            Tag::Table(_) => "a table",
            Tag::Image { .. } => "a picture",
            _ => return,
        };
        let problem = self.problem(
            code::CAUTION_BLOCK,
            format!("a caution holds sentences, and this is {block}"),
            self.place(range),
        );
        self.problems.push(problem.help("move it out of the caution"));
    }

    pub(super) fn tell_html(&mut self, html: &str, range: &Range<usize>) {
        if self.is_a_note_to_oneself(range) {
            return;
        }
        // The closing tag of something already reported is nothing new.
        if self.html_told && html.starts_with("</") && !html.contains('\n') {
            return;
        }
        self.html_told = true;
        let place = self.place(range);
        let problem = self.problem(code::RAW_HTML, "HTML is not allowed in a lesson", place);
        self.problems.push(problem.help(in_place_of(html)));
    }

    /// Whether HTML is nothing but comments: those are the author's own, and are not published. A comment that is never
    /// closed, and text after one on its line, would be lost, so that is reported.
    fn is_a_note_to_oneself(&mut self, range: &Range<usize>) -> bool {
        let mut rest = self.text.text[range.clone()].trim();
        if !rest.starts_with("<!--") {
            return false;
        }
        while let Some(inside) = rest.strip_prefix("<!--") {
            let Some((_, after)) = inside.split_once("-->") else {
                let place = self.place(&(range.start..range.start + 4));
                let title = "this comment is never closed, so everything after it would be left out";
                let problem = self.problem(code::NOTE_OPEN, title, place);
                self.problems.push(problem.help("write `-->` where it ends"));
                return true;
            };
            rest = after.trim_start();
        }
        if !rest.is_empty() {
            let at = range.start + self.text.text[range.clone()].rfind(rest).unwrap_or(0);
            let place = self.place(&(at..at + rest.len()));
            let title = "this text follows a comment on its line, and would be left out with it";
            let problem = self.problem(code::NOTE_HIDES_TEXT, title, place);
            self.problems.push(problem.help("start it on a new line, after a blank one"));
        }
        true
    }

    /// A footnote that is not defined anywhere arrives as text: `[`, `^name`, `]`.
    pub(super) fn tell_missing_note(&mut self, text: &str, range: &Range<usize>) {
        let Some(label) =
            text.strip_prefix('^').filter(|label| !label.is_empty() && !label.contains(char::is_whitespace))
        else {
            return;
        };
        let before = &self.text.text[..range.start];
        if before.ends_with('[') && !before.ends_with("\\[") && self.text.text[range.end..].starts_with(']') {
            let place = self.place(&(range.start - 1..range.end + 1));
            let problem =
                self.problem(code::NOTE_MISSING, format!("there is no footnote `[^{label}]` in this lesson"), place);
            self.problems.push(
                problem.help(format!("add a line `[^{label}]: …`, or write `\\[^{label}]` if brackets are meant")),
            );
        }
    }

    pub(super) fn tell_broken(&mut self, broken: Vec<(LinkType, Range<usize>, String)>) {
        for (kind, range, reference) in broken {
            let place = self.place(&range);
            // `[!WARNING]` marks a caution elsewhere; here it is a word in brackets.
            if let Some(word) = reference.strip_prefix('!')
                && self.tell_lost_caution(word, "", place.clone())
            {
                continue;
            }
            // An address with a space in it has been reported where the address is.
            if self.text.text[range.end..].starts_with('(') {
                continue;
            }
            let problem = match kind {
                // A word in brackets may be meant as just a word in brackets.
                LinkType::Shortcut | LinkType::ShortcutUnknown => self.problem(
                    code::LINK_IN_BRACKETS,
                    format!("no address is given for `[{reference}]`, so it is shown as it is"),
                    place,
                ),
                _ => self.problem(code::LINK_REFERENCE, format!("no address is given for `[{reference}]`"), place),
            };
            let after = &self.text.text[range.end..];
            let address = after.strip_prefix(" (").and_then(|rest| rest_of_line(rest, 0).split_once(')'));
            let address = address.map(|(address, _)| address).filter(|address| {
                !address.contains(' ') && (address.contains(['/', ':', '#']) || address.ends_with(".md"))
            });
            let help = if let Some(address) = address {
                format!("write `[{reference}]({address})`, without the space in front of the address")
            } else if reference.starts_with("figure:") || reference.starts_with("term:") {
                format!("write `[words]({reference})`")
            } else {
                format!("add a line `[{reference}]: address`, or write `\\[{reference}\\]` if brackets are meant")
            };
            self.problems.push(problem.help(help));
        }
    }
}

/// What to write in place of a tag of HTML.
fn in_place_of(html: &str) -> String {
    let name = html.trim_start_matches(['<', '/']);
    let end = name.find(|letter: char| !letter.is_ascii_alphanumeric()).unwrap_or(name.len());
    let address = || {
        let after = html.split_once("src=").or_else(|| html.split_once("href="))?.1.trim_start_matches(['"', '\'']);
        after.split(['"', '\'', ' ', '>']).next().filter(|address| !address.is_empty() && address.len() < 200)
    };
    match name[..end].to_ascii_lowercase().as_str() {
        "br" => "end the line above with a backslash `\\`, or leave a line empty for a new paragraph".to_owned(),
        "b" | "strong" => "write two asterisks on both sides of the words: `**words**`".to_owned(),
        "i" | "em" => "write one asterisk on both sides of the words: `*words*`".to_owned(),
        "img" => "put the picture into `images/` and write `![what it shows](../images/NAME.png)`".to_owned(),
        "a" => format!("write a link: `[words]({})`", address().unwrap_or("https://example.org/")),
        "iframe" | "video" | "audio" | "embed" | "object" => format!(
            "a page loads nothing from elsewhere; write a link to it: `[what it shows]({})`",
            address().unwrap_or("https://example.org/")
        ),
        _ => "write it as Markdown; a bare `<` is written `\\<`".to_owned(),
    }
}
