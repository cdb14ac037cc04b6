//! Places in braces, which only questions fill, in a lesson.

use super::fence::WORKED;
use super::silent::rest_of_line;
use super::writer::Writer;
use crate::problem::code;
use tankside_calc::calculators::registry::calculator;

impl Writer<'_> {
    /// `{figure:a/b}` and `{catch.1.volume}` in a lesson.
    pub(super) fn tell_braces(&mut self, at: usize) {
        if self.text.text[..at].ends_with(['{', '\\']) {
            return;
        }
        let braced = rest_of_line(&self.text.text, at);
        let line = braced.trim_start_matches('{');
        let open = braced.len() - line.len();
        let Some(end) = line.find('}') else { return self.tell_open_brace(at, open) };
        let inside = line[..end].trim();
        let close = line[end..].len() - line[end..].trim_start_matches('}').len();
        let place = at..at + open + end + close.min(open);
        if let Some(number) = inside.strip_prefix("figure:") {
            let title = "a computed number is written as a link, and this one would be shown in braces";
            let help = format!("write `[words](figure:{})`", number.trim().replace(' ', "_"));
            return self.tell(code::FIGURE_IN_BRACES, title.to_owned(), place, help);
        }
        let name = |part: &str| {
            !part.is_empty()
                && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-')
        };
        let dotted = inside.contains('.') && inside.split('.').all(name);
        if dotted || name(inside) && (open > 1 || inside.contains('-')) {
            let title = format!("only questions fill `{{{inside}}}`, so the braces would be shown");
            let help = format!("write a computed number: `[words](figure:{})`", self.figure_of(inside, at));
            self.tell(code::PLACE_IN_LESSON, title, place, help);
        }
    }

    /// `{catch.1.volume` without the brace that closes it.
    fn tell_open_brace(&mut self, at: usize, open: usize) {
        let rest = &rest_of_line(&self.text.text, at)[open..];
        if let Some(number) = rest.strip_prefix("figure:") {
            let number = number.split([' ', ',', '.', '{', '}']).next().unwrap_or_default();
            let title = "a computed number is written as a link, and this one would be shown in braces";
            let help = format!("write `[words](figure:{number})`");
            let end = at + open + "figure:".len() + number.len();
            return self.tell(code::FIGURE_IN_BRACES, title.to_owned(), at..end, help);
        }
        let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.');
        let name = rest.split(|c: char| !letter(c)).next().unwrap_or_default().trim_end_matches('.');
        if !name.contains('.') {
            return;
        }
        let end = at + open + name.len();
        let title = format!("only questions fill `{{{name}}}`, so the brace would be shown");
        let help = format!("write a computed number: `[words](figure:{})`", self.figure_of(name, at));
        self.tell(code::PLACE_IN_LESSON, title, at..end, help);
    }

    /// The address of a number by its name: that of the example above, or else of the first one below.
    fn figure_of(&self, name: &str, at: usize) -> String {
        let text = &self.text.text;
        let fence = format!("```{WORKED} ");
        let Some(found) = text[..at].rfind(&fence).or_else(|| text.find(&fence)) else {
            return format!("EXAMPLE/input/{name}");
        };
        let block = &text[found + fence.len()..];
        let block = &block[..block.find("```").unwrap_or(block.len())];
        let example = block.split_whitespace().next().unwrap_or("EXAMPLE");
        let of = block.lines().find_map(|line| calculator(line.strip_prefix("calculator:")?.trim()));
        let is_result =
            of.is_some_and(|of| of.input(name).is_none() && of.results.iter().any(|result| result.name == name));
        format!("{example}/{}{name}", if is_result { "" } else { "input/" })
    }
}
