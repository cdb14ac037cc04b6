//! A text in which the parser stopped, read around the piece it stopped in: a mistake in one question hides none of the
//! others.

use std::ops::Range;

use super::{Tree, parse_within};
use crate::problem::code;

/// How often a text is read again; each time one more piece is left out.
const TIMES: usize = 8;
/// The longest text that is read again, in bytes.
const LONGEST: usize = 400_000;

/// The tree of what can be read, every refusal, and the pieces that were left out, in order.
///
/// Where leaving out a piece does not help, it is the tree of the text as it is.
pub(in crate::yaml) fn parse_around(text: &str, limit: usize) -> (Tree, Vec<Range<usize>>) {
    let first = parse_within(text, limit);
    if !first.stopped || text.len() > LONGEST {
        return (first, Vec::new());
    }
    let (mut rest, mut cut, mut told) = (text.to_owned(), Vec::<Range<usize>>::new(), Vec::new());
    let Some(mut stopped) = first.refusals.last().cloned() else { return (first, cut) };
    while stopped.rule.code != code::TOO_DEEP.code && cut.len() < TIMES {
        let piece = piece(&rest, stopped.span.start);
        // A second stop in a piece may follow from what was left out of it.
        let overlaps = |other: &Range<usize>| piece.start < other.end && other.start < piece.end;
        if rest[piece.clone()].trim().is_empty() || cut.iter().any(overlaps) {
            break;
        }
        blank(&mut rest, &piece);
        if rest.trim().is_empty() {
            break;
        }
        cut.push(piece);
        told.push(stopped);
        let mut tree = parse_within(&rest, limit);
        if tree.complete {
            tree.refusals.extend(told);
            cut.sort_by_key(|piece| piece.start);
            return (tree, cut);
        }
        let Some(next) = tree.refusals.pop().filter(|_| tree.stopped) else { break };
        stopped = next;
    }
    (first, Vec::new())
}

/// Spaces in the place of everything but the ends of lines, so that all other places stay.
fn blank(text: &mut String, piece: &Range<usize>) {
    let blanks: String = text[piece.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(piece.clone(), &blanks);
}

/// What to leave out around a place: the item of the outermost list that it is in, or else its line with what is below
/// that, further to the right.
fn piece(text: &str, at: usize) -> Range<usize> {
    let lines = lines(text);
    if lines.is_empty() {
        return 0..0;
    }
    let here = lines.iter().rposition(|line| line.start <= at).unwrap_or(0);
    let written = |index: usize| &text[lines[index].clone()];
    let indent = |index: usize| written(index).len() - written(index).trim_start().len();
    let is_item = |index: usize| written(index).trim_start().starts_with("- ") || written(index).trim() == "-";
    let is_blank = |index: usize| matches!(written(index).trim_start().chars().next(), None | Some('#'));
    // The key in the first column that all this belongs to.
    let top = (0..=here).rev().find(|index| !is_blank(*index) && indent(*index) == 0 && !is_item(*index));
    let inside = top.map_or(0, |top| top + 1)..here + 1;
    let column = inside.clone().filter(|index| is_item(*index)).map(indent).min();
    let (start, ends): (usize, Box<dyn Fn(usize) -> bool>) = match column {
        Some(column) => {
            let start = inside.rev().find(|index| is_item(*index) && indent(*index) == column).unwrap_or(here);
            let tab = move |index: usize| written(index).starts_with('\t');
            (start, Box::new(move |index| !is_blank(index) && indent(index) <= column && !tab(index)))
        }
        None => {
            let column = indent(here);
            let list = column == 0;
            (here, Box::new(move |index| !is_blank(index) && indent(index) <= column && !(list && is_item(index))))
        }
    };
    let end = (here + 1..lines.len()).find(|index| ends(*index)).map_or(text.len(), |index| lines[index].start);
    lines[start].start..end
}

/// Every line, without its end.
fn lines(text: &str) -> Vec<Range<usize>> {
    let mut start = 0;
    let line = |line: &str| {
        let range = start..start + line.trim_end_matches(['\n', '\r']).len();
        start += line.len();
        range
    };
    text.split_inclusive('\n').map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::super::NODE_LIMIT;
    use super::*;

    fn read(text: &str) -> (Vec<&'static str>, String) {
        let (tree, cut) = parse_around(text, NODE_LIMIT);
        let mut left = text.to_owned();
        cut.iter().for_each(|piece| blank(&mut left, piece));
        let lines: Vec<&str> = left.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
        assert_eq!(tree.complete, !cut.is_empty() || tree.refusals.is_empty());
        (tree.refusals.iter().map(|refusal| refusal.rule.code).collect(), lines.join("/"))
    }

    #[test]
    fn an_item_that_cannot_be_read_hides_no_other() {
        let bank = "id: b\nquestions:\n  - id: one\n    text: A: b\n  - id: two\n\ttext: C\n  - id: three\n    options:\n      - { text: D }\n";
        let left = "id: b/questions:/- id: three/options:/- { text: D }";
        assert_eq!(read(bank), (vec!["yaml-syntax"; 2], left.to_owned()));
    }

    #[test]
    fn a_line_that_cannot_be_read_hides_no_other_key() {
        let settings = "id: x\ntitle: A: b\nlessons:\n- one\nexam:\n  items: 3\n  pass: 80: %\n";
        let left = "id: x/lessons:/- one/exam:/items: 3";
        assert_eq!(read(settings), (vec!["yaml-syntax"; 2], left.to_owned()));
    }

    #[test]
    fn a_text_that_is_no_yaml_at_all_is_told_once() {
        assert_eq!(read("[").0.len(), 1);
        assert_eq!(read("a: [\nb: [\nc: [\n").0.len(), 1);
        assert_eq!(read(&"- ".repeat(5_000)).0, ["too-deep"]);
    }
}
