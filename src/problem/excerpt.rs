//! A problem in text: the sentence, the place, the author's own lines with the words in question marked, what to write.
//!
//! The marks are inside the line, as a proofreader's are, so they stay where they belong whatever the width of a
//! character, in a pipe, in an email and read aloud: `»…«` around the mistake, `›…‹` around what explains it.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::Arc;

use anstyle::{AnsiColor, Style as Look};
use textwrap::core::display_width;

use super::clean::clean;
use super::sentence::sentence;
use super::source::{floor, line_of};
use super::window::window;
use super::wrapped::wrapped;
use super::{Mark, Problem, Severity};

/// How a problem is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// Text only, one sentence per line whatever its length: for pipes, files and programs.
    #[default]
    Plain,
    /// For a page, which has room for longer lines.
    Page,
    /// For a person at a terminal.
    Terminal {
        /// Whether colors may be used.
        colours: bool,
        /// Columns to wrap at.
        width: usize,
    },
}

impl Style {
    fn width(self) -> usize {
        match self {
            Style::Plain | Style::Page => usize::MAX,
            Style::Terminal { width, .. } => width.max(NARROWEST),
        }
    }

    fn look(self, look: Look) -> Look {
        match self {
            Style::Terminal { colours: true, .. } => look,
            _ => Look::new(),
        }
    }
}

/// The least width used, even if the terminal says that it has less.
const NARROWEST: usize = 30;
/// Lines between two marks beyond which the farther one is left out, so that one problem stays on one screen.
const REACH: usize = 60;
/// Columns of an author's line that are shown around its mark.
const SHOWN: usize = 100;
/// The same on a page.
const SHOWN_ON_PAGE: usize = 220;
/// How a mark on a page differs from `»` and `«` of the author's own: no author's text has escapes.
pub const ON_PAGE: Look = Look::new().bold();

pub(super) fn draw(problem: &Problem, style: Style) -> String {
    let colour = match problem.severity {
        Severity::Error => AnsiColor::Red,
        Severity::Warning => AnsiColor::Yellow,
    };
    let marked = match style {
        Style::Page => ON_PAGE,
        _ => style.look(colour.on_default().bold()),
    };
    let mut out = String::new();
    let bold = style.look(Look::new().bold());
    for line in wrapped(&one_line(&sentence(&clean(&problem.title))), style.width(), "", "") {
        out.push_str(&format!("{bold}{line}{bold:#}\n"));
    }
    out.push_str(&place(problem));
    if let (Some(mark), Some(text)) = (&problem.primary, &problem.text) {
        draw_lines(&mut out, &rows(text, mark, &problem.context), style, marked);
    }
    if let Some(help) = &problem.help {
        for line in wrapped(&one_line(&sentence(&clean(help))), style.width(), "  ", "  ") {
            out.push_str(&line);
            out.push('\n');
        }
    }
    let plain = style.look(colour.on_default());
    out.push_str(&format!("  {plain}{}{plain:#} {}\n", problem.severity.word(), problem.code));
    out
}

/// `  file:line:column`, as editors open it; nothing if there is no file.
fn place(problem: &Problem) -> String {
    if problem.file.is_empty() {
        return String::new();
    }
    // A line's end in a name would let a file write messages of its own.
    let file = clean(&problem.file).replace(['\n', '\t'], "\u{fffd}");
    match problem.line_column() {
        Some((line, column)) => format!("  {file}:{line}:{column}\n"),
        None => format!("  {file}\n"),
    }
}

/// One of the author's lines with the marks on it; the first row of a problem need not hold its primary mark.
struct SourceLine<'t> {
    number: usize,
    start: usize,
    text: &'t str,
    marks: Vec<(Range<usize>, bool)>,
    labels: Vec<&'t str>,
}

fn rows<'t>(text: &'t Arc<str>, primary: &'t Mark, context: &'t [Mark]) -> Vec<SourceLine<'t>> {
    let (first, _) = line_of(text, primary.span.start);
    let mut rows: Vec<SourceLine<'t>> = Vec::new();
    for (mark, is_primary) in std::iter::once((primary, true)).chain(context.iter().map(|mark| (mark, false))) {
        let (number, line) = line_of(text, mark.span.start);
        if number.abs_diff(first) > REACH {
            continue;
        }
        let span = clip(text, &mark.span, line.end);
        let start = line.start;
        let row = match rows.iter_mut().find(|row| row.start == start) {
            Some(row) => row,
            None => {
                rows.push(SourceLine { number, start, text: &text[line], marks: vec![], labels: vec![] });
                rows.last_mut().expect("a row was just pushed")
            }
        };
        row.marks.push((span.start - start..span.end - start, is_primary));
        if !mark.label.is_empty() {
            row.labels.push(&mark.label);
        }
    }
    rows.sort_by_key(|row| row.start);
    rows
}

fn draw_lines(out: &mut String, rows: &[SourceLine<'_>], style: Style, marked: Look) {
    let digits = rows.iter().map(|row| row.number.to_string().len()).max().unwrap_or(1);
    let dim = style.look(Look::new().dimmed());
    let indent = " ".repeat(digits + 6);
    for row in rows {
        out.push_str(&format!("    {dim}{:>digits$}{dim:#}  ", row.number));
        let signs = 2 * row.marks.len();
        let most = if style == Style::Page { SHOWN_ON_PAGE } else { SHOWN };
        let room = style.width().saturating_sub(indent.len()).min(most + signs + 2);
        let mut line = String::new();
        let columns = draw_row(&mut line, row, room, marked);
        out.push_str(&line);
        if !row.labels.is_empty() {
            let label = format!("({})", one_line(&clean(&row.labels.join("; "))));
            if columns + 3 + display_width(&label) + indent.len() <= style.width() {
                out.push_str(&format!("   {label}"));
            } else {
                for line in wrapped(&label, style.width(), &indent, &indent) {
                    out.push('\n');
                    out.push_str(&line);
                }
            }
        }
        out.push('\n');
    }
}

/// The line with its marks, cut to `room` columns around the first of them; gives the columns it takes.
fn draw_row(out: &mut String, row: &SourceLine<'_>, room: usize, marked: Look) -> usize {
    let (shown, columns) = window(row.text, &row.marks, room);
    if shown.start > 0 {
        out.push('…');
    }
    let inside = |at: usize| row.marks.iter().any(|(span, _)| span.contains(&at));
    let letters = row.text[shown.start..].char_indices().map(|(at, letter)| (shown.start + at, letter));
    for (at, character) in letters.chain([(row.text.len(), '\n')]) {
        if at > shown.end {
            break;
        }
        close_marks(out, row, at, marked);
        open_marks(out, row, at, marked);
        if at == shown.end {
            break;
        }
        match character {
            // Invisible characters are shown if the problem is about them.
            '\t' if inside(at) => out.push('⇥'),
            '\u{a0}' if inside(at) => out.push('⍽'),
            '\t' => out.push_str("    "),
            _ => out.push_str(&clean(character.encode_utf8(&mut [0; 4]))),
        }
    }
    if shown.end < row.text.len() {
        // A mark that is cut is still closed.
        for (_, primary) in row.marks.iter().filter(|(span, _)| span.start < shown.end && span.end > shown.end) {
            close(out, *primary, marked);
        }
        out.push('…');
    }
    columns
}

fn close_marks(out: &mut String, row: &SourceLine<'_>, at: usize, marked: Look) {
    for (span, primary) in row.marks.iter().rev() {
        if span.end == at && !span.is_empty() {
            close(out, *primary, marked);
        }
    }
}

fn open_marks(out: &mut String, row: &SourceLine<'_>, at: usize, marked: Look) {
    for (span, primary) in &row.marks {
        if span.start == at {
            if *primary {
                out.push_str(&format!("{marked}»"));
            } else {
                out.push('›');
            }
            if span.is_empty() {
                close(out, *primary, marked);
            }
        }
    }
}

fn close(out: &mut String, primary: bool, marked: Look) {
    if primary {
        out.push_str(&format!("«{marked:#}"));
    } else {
        out.push('‹');
    }
}

/// The span inside the text, ending with its first line: a mark over many lines hides more than it shows.
fn clip(text: &str, span: &Range<usize>, line_end: usize) -> Range<usize> {
    let start = floor(text, span.start).min(line_end);
    start..floor(text, span.end.max(start)).min(line_end).max(start)
}

fn one_line(text: &str) -> Cow<'_, str> {
    if text.contains(['\n', '\t']) { Cow::Owned(text.replace(['\n', '\t'], " ")) } else { Cow::Borrowed(text) }
}

#[cfg(test)]
mod tests {
    use super::super::Source;
    use super::*;

    #[test]
    fn the_sentence_comes_first_then_the_authors_lines_marked_then_what_to_write() {
        let source =
            Source::new("questions/tank.yaml", "id: tank\n\nasks: tank-mix/product\ntext: x\nanswer: 12,500 ft²\n");
        let start = source.text.find("12,500").expect("in the text above");
        let drawn = Problem::error("unit-wrong-kind", "this answer is an area, but the question asks for a volume", "")
            .at(&source, start..start + 11)
            .label("an area")
            .context(16..32, "asks for a volume")
            .help("write the amount of product, for example `answer: 37.5 fl oz`")
            .draw(Style::Plain);
        let expected = "This answer is an area, but the question asks for a volume.\n  questions/tank.yaml:5:9\n    3  asks: ›tank-mix/product‹   (asks for a volume)\n    5  answer: »12,500 ft²«   (an area)\n  Write the amount of product, for example `answer: 37.5 fl oz`.\n  error unit-wrong-kind\n";
        assert_eq!(drawn, expected);
    }

    #[test]
    fn a_problem_without_a_place_names_its_file() {
        let drawn = Problem::error("file-missing", "there is no such lesson", "lessons/a.md").draw(Style::Plain);
        assert_eq!(drawn, "There is no such lesson.\n  lessons/a.md\n  error file-missing\n");
    }

    #[test]
    fn control_characters_of_the_file_are_not_drawn() {
        let source = Source::new("a\u{1b}.md", "x\u{1b}[2J\u{9b}y z\r\n");
        let at = source.text.find('z').expect("in the text above");
        let drawn = Problem::warning("odd", "odd \u{7} title", "").at(&source, at..at + 1).draw(Style::Plain);
        assert!(!drawn.chars().any(|c| c.is_control() && c != '\n'), "{drawn:?}");
        assert!(drawn.contains("»z«\n"), "{drawn}");
    }

    #[test]
    fn a_files_name_and_a_title_stay_on_one_line_whatever_is_in_them() {
        let drawn = Problem::error("odd", "odd\tname", "a.md\nerror: b\t.md").draw(Style::Plain);
        assert!(drawn.starts_with("Odd name.\n  a.md\u{fffd}error: b\u{fffd}.md\n"), "{drawn}");
    }

    #[test]
    fn places_beyond_the_text_and_inside_a_character_are_drawn_all_the_same() {
        let source = Source::new("a.md", "ft²\nend");
        for (start, end) in [(0, 99), (3, 4), (50, 60), (8, 8), (5, 2)] {
            let drawn = Problem::error("odd", "odd", "").at(&source, start..end).draw(Style::Plain);
            assert!(drawn.contains("a.md") && drawn.contains('»') && drawn.contains('«'), "{drawn}");
        }
    }

    #[test]
    fn a_long_line_is_cut_around_its_mark_and_every_mark_is_closed() {
        let long = format!("{} HERE {}", "ä ".repeat(50_000), "z".repeat(90_000));
        let source = Source::new("a.md", long);
        let at = source.text.find("HERE").expect("in the text above");
        let row = |span: Range<usize>| {
            let drawn = Problem::error("odd", "odd", "").at(&source, span).draw(Style::Plain);
            drawn.lines().nth(2).unwrap_or_default().to_owned()
        };
        let drawn = row(at..at + 4);
        assert!(drawn.contains("»HERE«") && drawn.chars().count() < 130, "{drawn}");
        let drawn = row(at..at + 50_000);
        assert!(drawn.contains("»HERE") && drawn.ends_with("«…") && drawn.chars().count() < 130, "{drawn}");
    }

    #[test]
    fn a_missing_character_a_tab_and_a_fixed_space_can_be_seen() {
        let source = Source::new("a.md", "a:\tb\u{a0}c [d\n");
        let row = |span: Range<usize>| {
            let drawn = Problem::error("odd", "odd", "").at(&source, span).draw(Style::Plain);
            drawn.lines().nth(2).unwrap_or_default().trim().to_owned()
        };
        assert_eq!(row(2..3), "1  a:»⇥«b\u{a0}c [d");
        assert_eq!(row(4..6), "1  a:    b»⍽«c [d");
        assert_eq!(row(10..10), "1  a:    b\u{a0}c [d»«");
    }

    #[test]
    fn a_terminal_gets_its_width_and_colors_only_where_they_are_wanted() {
        let title = "a sentence that is a good deal longer than the narrow terminal that it is shown in";
        let problem = Problem::warning("odd", title, "a.md").help("write something that is just as long as that");
        let drawn = problem.draw(Style::Terminal { colours: false, width: 40 });
        assert!(drawn.lines().all(|line| line.chars().count() <= 40), "{drawn}");
        assert!(!drawn.contains('\u{1b}'), "{drawn}");
        assert!(problem.draw(Style::Terminal { colours: true, width: 40 }).contains('\u{1b}'));
        assert_eq!(problem.draw(Style::Plain).lines().count(), 4);
    }
}
