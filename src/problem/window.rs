//! How much of an author's line is shown: all of it, or what fits around its first mark.

use std::ops::Range;

use textwrap::core::display_width;

use super::clean::clean;

/// Columns shown in front of a mark where a line is too long to be shown whole.
const BEFORE: usize = 40;

/// The bytes of a line that are shown, and the columns they take with their marks: all of it, or what fits around its
/// first mark, which is shown whole wherever it can be.
pub(super) fn window(text: &str, marks: &[(Range<usize>, bool)], room: usize) -> (Range<usize>, usize) {
    let inside = |at: usize| marks.iter().any(|(span, _)| span.contains(&at));
    let columns = |at: usize, letter: char| match letter {
        '\t' if inside(at) => 1,
        '\t' => 4,
        _ => display_width(&clean(letter.encode_utf8(&mut [0; 4]))),
    };
    // A line may be a megabyte long, and no more of it is looked at than could be shown.
    let wide = |from: usize| {
        let letters = text[from..].char_indices().take(4 * room + 1);
        letters.map(move |(at, letter)| (from + at, columns(from + at, letter)))
    };
    let signs = 2 * marks.len();
    let whole: usize = wide(0).map(|(_, columns)| columns).sum();
    let first = marks.iter().map(|(span, _)| span).min_by_key(|span| span.start);
    let Some(first) = first.filter(|_| text.len() > 16 * room || whole + signs > room) else {
        return (0..text.len(), whole + signs);
    };
    let room = room.saturating_sub(signs + 2);
    let marked = wide(first.start).take_while(|(at, _)| *at < first.end).map(|(_, columns)| columns).sum::<usize>();
    let mut from = first.start;
    // The start of the line if the mark is near it, else some words in front of the mark.
    let near: usize = wide(0).take_while(|(at, _)| *at < first.start).map(|(_, columns)| columns).sum();
    let reached = wide(0).last().is_some_and(|(at, _)| at >= first.start);
    if reached && near + marked.min(BEFORE) + BEFORE / 2 <= room {
        from = 0;
    } else {
        let mut before = 0;
        let most = BEFORE.min(room.saturating_sub(marked) * 2 / 3);
        for (at, letter) in text[..first.start].char_indices().rev() {
            let more = columns(at, letter);
            if before + more > most {
                break;
            }
            (from, before) = (at, before + more);
        }
    }
    let (mut end, mut taken) = (from, 0);
    for (at, columns) in wide(from) {
        if taken + columns > room {
            break;
        }
        (end, taken) = (at + text[at..].chars().next().map_or(0, char::len_utf8), taken + columns);
    }
    (from..end, taken + signs + 2)
}

#[cfg(test)]
mod tests {
    use super::super::{Problem, Source, Style};
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_terminal_and_a_mark_that_fits_is_shown_whole() {
        let line = "The gun puts out [this much, pooled over all of the catches](figure:our-catch/nozzle-output), ½ ft² 表 more.\tEnd";
        let source = Source::new("a.md", format!("x\n{line}\n"));
        let whole = source.text.find("figure:our").expect("in the text above");
        for width in 40..120 {
            for (from, length) in [(whole, 30), (whole + 7, 9), (whole - 40, 12), (2, 3)] {
                let drawn = Problem::error("odd", "odd", "")
                    .at(&source, from..from + length)
                    .label("a label beside the mark")
                    .draw(Style::Terminal { colours: false, width });
                assert!(drawn.lines().all(|line| display_width(line) <= width), "{width}: {drawn}");
                let mark = format!("»{}«", &source.text[from..from + length]);
                assert!(length > width.saturating_sub(14) || drawn.contains(&mark), "{width}: {mark} in {drawn}");
            }
        }
    }
}
