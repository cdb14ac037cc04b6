//! What reads as YAML and is probably not what its author meant: a text cut off by a comment, curly quotes.

use std::ops::Range;

use super::{Builder, Open, refusal};
use crate::problem::code;

impl Builder<'_> {
    /// A ` #` starts a comment, so what follows it is not part of the text; an author's own comment is left alone.
    pub(super) fn remark_cut(&mut self, text: &str, span: &Range<usize>) {
        let line = &self.text[span.end..self.text[span.end..].find('\n').map_or(self.text.len(), |end| span.end + end)];
        let comment = line.trim_start_matches([' ', '\t']);
        let Some(rest) = comment.strip_prefix('#').filter(|_| comment.len() < line.len() && !text.is_empty()) else {
            return;
        };
        // Items of a list below a text on the line of its key have a problem of their own; in quotes they would still be one
        // text.
        let list = self.text[span.clone()].lines().skip(1).any(|line| line.trim_start().starts_with("- "));
        let sentence = text.trim_end().ends_with(['.', '!', '?', ':']);
        let joined = rest.starts_with(|letter: char| !letter.is_whitespace() && letter != '#');
        let words = text.split_whitespace().count();
        // After a setting, a comment is on purpose; after half a sentence that learners read, it hardly is.
        let read =
            matches!(self.open.last(), Some(Open::Map(_, _, Some((key, _)))) if key == "text" || key == "because");
        if list && !read || !joined && (sentence || words < 4 && !read) {
            return;
        }
        let start = span.end + (line.len() - comment.len());
        let whole = self.text[span.start..start + comment.trim_end().len()].replace('\n', " ");
        let told = refusal(
            code::TEXT_CUT,
            "a `#` after a space starts a comment, so this text ends before it",
            start..start + comment.trim_end().len(),
            &format!("put the text in quotes: `{}`; or put the comment on its own line", quoted(&whole)),
        );
        self.remarks.push(told);
    }

    /// Curly quotation marks are letters to YAML: around a whole text they were meant as quotes.
    pub(super) fn remark_curly(&mut self, text: &str, span: &Range<usize>) {
        // The program that wrote them may have turned only one of the two.
        let inside = text.strip_prefix(['\u{201c}', '\u{201d}', '\u{201e}']);
        let Some(inside) = inside.and_then(|rest| rest.strip_suffix(['\u{201c}', '\u{201d}', '"'])) else { return };
        if inside.contains(['\u{201c}', '\u{201d}', '"']) || !inside.contains(' ') {
            return;
        }
        let title = "curly quotes around a text are shown with it, and do not protect a colon or a `#` in it";
        let help = format!("write straight ones: `{}`", quoted(inside));
        self.remarks.push(refusal(code::CURLY_QUOTES, title, span.clone(), &help));
    }
}

/// A text in double quotes.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
