//! A problem on the terminal: title, place, the author's own lines with marks, help.

use std::borrow::Cow;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::clean::clean;
use super::source::floor;
use super::{Mark, Problem, Severity};

/// Whether the drawing may use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// Text only.
    #[default]
    Plain,
    /// With colours of the terminal.
    Coloured,
}

/// Lines between two marks beyond which the farther one is left out, so that one problem stays on one screen.
const REACH: usize = 60;
/// Bytes of one line that are shown at most.
const WIDEST: usize = 2_000;

pub(super) fn draw(problem: &Problem, style: Style) -> String {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = clean(&problem.title);
    // A line's end in a name would let a file write messages of its own.
    let file = clean(&problem.file).replace(['\n', '\t'], "\u{fffd}");
    let help = problem.help.as_deref().map(clean);
    let head = level.primary_title(one_line(&title)).id(problem.code);
    let shown =
        problem.primary.as_ref().zip(problem.text.as_deref()).map(|(mark, text)| window(text, mark, &problem.context));
    let group = match shown {
        None if file.is_empty() => Group::with_title(head),
        None => head.element(Origin::path(&file)),
        Some(window) => {
            head.element(Snippet::source(window.text).path(&file).line_start(window.first_line).annotations(
                window.marks.into_iter().enumerate().map(|(index, (span, label))| {
                    let kind = if index == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
                    let annotation = kind.span(span);
                    if label.is_empty() { annotation } else { annotation.label(label) }
                }),
            ))
        }
    };
    let mut report = vec![group];
    if let Some(help) = &help {
        report.push(Group::with_title(Level::HELP.secondary_title(one_line(help))));
    }
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    renderer.term_width(120).render(&report)
}

/// The part of a file that is drawn, with its marks counted from its start.
struct Window {
    text: String,
    first_line: usize,
    marks: Vec<(Range<usize>, String)>,
}

fn window(text: &str, primary: &Mark, context: &[Mark]) -> Window {
    let first = clip(text, &primary.span);
    let mut marks = vec![(first.clone(), primary.label.clone())];
    for mark in context {
        let span = clip(text, &mark.span);
        let between = &text[span.start.min(first.start)..span.start.max(first.start)];
        if between.lines().count() <= REACH {
            marks.push((span, mark.label.clone()));
        }
    }
    let start = marks.iter().map(|(span, _)| line_start(text, span.start)).min().unwrap_or(0);
    let end = marks.iter().map(|(span, _)| line_end(text, span.end)).max().unwrap_or(text.len());
    let first_line = text[..start].bytes().filter(|byte| *byte == b'\n').count() + 1;
    // Cleaning may lengthen the text, so each mark is measured in the cleaned text.
    let measured = |at: usize| clean(&text[start..at]).len();
    let marks = marks
        .into_iter()
        .map(|(span, label)| (measured(span.start)..measured(span.end), clean(&label).into_owned()))
        .collect();
    Window { text: clean(&text[start..end]).into_owned(), first_line, marks }
}

/// The span inside the text, ending with its first line: a mark over many lines hides more than it shows.
fn clip(text: &str, span: &Range<usize>) -> Range<usize> {
    let start = floor(text, span.start);
    let end = floor(text, span.end.max(start)).min(line_end(text, start)).min(floor(text, start + WIDEST)).max(start);
    start..end
}

fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |end| end + 1)
}

fn line_end(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |length| at + length);
    let end = if text[at..end].ends_with('\r') { end - 1 } else { end };
    end.min(floor(text, at + WIDEST)).max(at)
}

fn one_line(text: &str) -> Cow<'_, str> {
    if text.contains(['\n', '\t']) { Cow::Owned(text.replace(['\n', '\t'], " ")) } else { Cow::Borrowed(text) }
}

#[cfg(test)]
mod tests {
    use super::super::Source;
    use super::*;

    #[test]
    fn a_problem_shows_the_authors_own_line_and_the_help() {
        let source =
            Source::new("questions/tank.yaml", "id: tank\n\nasks: tank-mix/product\ntext: x\nanswer: 12,500 ft²\n");
        let start = source.text.find("12,500").expect("in the text above");
        let drawn = Problem::error("unit-wrong-kind", "this answer is an area, but the question asks for a volume", "")
            .at(&source, start..start + 11)
            .label("an area")
            .context(16..32, "asks for a volume")
            .help("write the amount of product, for example `answer: 37.5 fl oz`")
            .draw(Style::Plain);
        assert!(drawn.starts_with("error[unit-wrong-kind]: this answer is an area"), "{drawn}");
        assert!(drawn.contains("--> questions/tank.yaml:5:9"), "{drawn}");
        assert!(drawn.contains("5 | answer: 12,500 ft²"), "{drawn}");
        assert!(drawn.contains("help: write the amount"), "{drawn}");
    }

    #[test]
    fn a_problem_without_a_place_names_its_file() {
        let drawn = Problem::error("file-missing", "there is no such lesson", "lessons/a.md").draw(Style::Plain);
        assert!(drawn.contains("--> lessons/a.md"), "{drawn}");
    }

    #[test]
    fn control_characters_of_the_file_are_not_drawn() {
        let source = Source::new("a\u{1b}.md", "x\u{1b}[2J\u{9b}y z\r\n");
        let at = source.text.find('z').expect("in the text above");
        let drawn = Problem::warning("odd", "odd \u{7} title", "").at(&source, at..at + 1).draw(Style::Plain);
        assert!(!drawn.chars().any(|c| c.is_control() && c != '\n'), "{drawn:?}");
        assert!(drawn.contains('^'), "{drawn}");
    }

    #[test]
    fn a_files_name_and_a_title_stay_on_one_line_whatever_is_in_them() {
        let drawn = Problem::error("odd", "odd\tname", "a.md\nerror: b\t.md").draw(Style::Plain);
        assert!(drawn.starts_with("error[odd]: odd name\n"), "{drawn}");
        assert!(drawn.contains("--> a.md\u{fffd}error: b\u{fffd}.md"), "{drawn}");
    }

    #[test]
    fn places_beyond_the_text_and_inside_a_character_are_drawn_all_the_same() {
        let source = Source::new("a.md", "ft²\nend");
        for (start, end) in [(0, 99), (3, 4), (50, 60), (8, 8), (5, 2)] {
            let span = start..end;
            let drawn = Problem::error("odd", "odd", "").at(&source, span).draw(Style::Plain);
            assert!(drawn.contains("a.md"), "{drawn}");
        }
    }
}
