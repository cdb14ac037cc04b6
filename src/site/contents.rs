//! The list of lessons on the first page: the template engine fills one row for all that look alike. Ten thousand rows
//! would take it as long as two hundred lessons' pages.

use super::escape::escaped;
use super::holes::{Holed, NO_POSITION};
use super::pages::LessonRow;

/// Shorter lists are left to the engine.
pub(super) const SHORT: usize = 100;
/// Room in a row for its number, and for letters that are escaped.
const SPARE: usize = 24;
/// Looks that are told apart; more are left to the engine.
const MOST_LOOKS: usize = 16;

const HREF: &str = "\0href\0";
const TITLE: &str = "\0title\0";
const SUMMARY: &str = "\0summary\0";

#[derive(Clone, Copy, Debug)]
enum Hole {
    Href,
    Title,
    Summary,
    Position,
}

/// What decides how a row looks, apart from what is written into it.
fn look(row: &LessonRow) -> (Option<u32>, bool) {
    (row.minutes, row.draft)
}

/// The first page with all rows, where `render` makes it from any of them; nothing if its rows do not simply follow
/// each other, or look too different. `late` is a mark in the page, and the long text that is put in its place in the end.
///
/// # Errors
/// What `render` reports.
pub(super) fn page<F>(
    rows: &[LessonRow],
    late: (&str, &str),
    mut render: impl FnMut(&[LessonRow]) -> Result<String, F>,
) -> Result<Option<String>, F> {
    let mut first: Vec<&LessonRow> = Vec::new();
    for row in rows {
        if !first.iter().any(|known| look(known) == look(row)) {
            first.push(row);
        }
        if first.len() > MOST_LOOKS {
            return Ok(None);
        }
    }
    let bare = render(&[])?;
    let mut frames = Vec::new();
    let mut start = None;
    for row in &first {
        let one = render(&[model(row)])?;
        // Where a row begins like what comes after the list, it is taken from a little later to a little later: the
        // rows still follow each other, as long as all are taken alike.
        let at = same_start(&bare, &one);
        let end = one.len().saturating_sub(bare.len() - at);
        if *start.get_or_insert(at) != at || one.get(end..) != Some(&bare[at..]) {
            return Ok(None);
        }
        let Some(row_only) = one.get(at..end) else { return Ok(None) };
        frames.push((look(row), holed(row_only)));
    }
    let at = start.unwrap_or(bare.len());
    let filled = |rows: &[LessonRow], (mark, text): (&str, &str)| {
        let texts: usize = rows.iter().map(|row| row.href.len() + row.title.len() + row.summary.len()).sum();
        let around = frames.iter().map(|(_, frame)| frame.length()).max().unwrap_or_default() + SPARE;
        let mut page = String::with_capacity(bare.len() + text.len() + texts + rows.len() * around);
        put_late(&bare[..at], mark, text, &mut page);
        for row in rows {
            let frame = frames.iter().find(|(known, _)| *known == look(row));
            frame.into_iter().for_each(|(_, frame)| put(row, frame, &mut page));
        }
        put_late(&bare[at..], mark, text, &mut page);
        page
    };
    let sample: Vec<LessonRow> = first.iter().map(|row| (*row).clone()).chain(rows.first().cloned()).collect();
    if filled(&sample, (late.0, late.0)) != render(&sample)? {
        return Ok(None);
    }
    Ok(Some(filled(rows, late)))
}

/// Puts a part of a page at the end of `page`, with a text in the place of a mark.
fn put_late(part: &str, mark: &str, text: &str, page: &mut String) {
    match part.split_once(mark) {
        Some((before, after)) => page.extend([before, text, after]),
        None => page.push_str(part),
    }
}

/// The row from which a frame is made.
fn model(of: &LessonRow) -> LessonRow {
    let (href, title, summary) = (HREF.to_owned(), TITLE.to_owned(), SUMMARY.to_owned());
    LessonRow { href, title, summary, minutes: of.minutes, draft: of.draft, position: NO_POSITION }
}

/// How many bytes two texts have in common at their start, in whole letters.
fn same_start(one: &str, other: &str) -> usize {
    let mut at = one.bytes().zip(other.bytes()).take_while(|(one, other)| one == other).count();
    while !one.is_char_boundary(at) || !other.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn holed(row: &str) -> Holed<Hole> {
    let position = NO_POSITION.to_string();
    let marks =
        [(HREF, Hole::Href), (TITLE, Hole::Title), (SUMMARY, Hole::Summary), (position.as_str(), Hole::Position)];
    Holed::at(&marks, row)
}

/// Puts a row at the end of the page.
fn put(row: &LessonRow, frame: &Holed<Hole>, page: &mut String) {
    let [href, title, summary] = [&row.href, &row.title, &row.summary].map(|text| escaped(text));
    let position = row.position.to_string();
    frame.put(page, |hole| match hole {
        Hole::Href => &href,
        Hole::Title => &title,
        Hole::Summary => &summary,
        Hole::Position => &position,
    });
}

#[cfg(test)]
mod tests {
    use super::super::pages::Pages;
    use super::*;
    use crate::load::{Layered, Memory};

    const LATE: (&str, &str) = ("\0late\0", "");

    fn rows(looks: u32) -> Vec<LessonRow> {
        let row = |index: usize| LessonRow {
            href: format!("lessons/a-{index}.html"),
            title: format!("Gallons & <acres> {index}"),
            summary: "It's \"4190728653\"".to_owned(),
            minutes: Some(index as u32 % looks).filter(|minutes| *minutes > 0),
            draft: index % 5 == 3,
            position: index + 1,
        };
        (0..SHORT + 20).map(row).collect()
    }

    #[test]
    fn the_first_page_is_the_one_that_the_engine_makes_row_by_row() {
        let (demo, stock) = (Memory::of(&crate::embedded::DEMO), Memory::of(&crate::embedded::CONTENT));
        let resolved = crate::course::resolve(&Layered(vec![&demo, &stock]));
        let course = resolved.course().expect("the demo is whole");
        let pages = Pages::new(course).expect("the templates can be read");
        let mut context = pages.home_context(&course.settings, &[], &[], "{}", &[]).expect("it can be filled");
        let rows = rows(3);
        let by_engine = pages.home_of(&rows, &mut context).expect("it can be filled");
        let by_frames = page(&rows, LATE, |rows| pages.home_of(rows, &mut context)).expect("so can some of it");
        assert!(by_frames.as_deref() == Some(&*by_engine) && by_engine.contains("Gallons &amp; &lt;acres&gt; 119"));
        let home = pages.home(&course.settings, &rows, &[], &[], "{}", &[]).expect("as above");
        assert!(home == by_engine);
    }

    #[test]
    fn a_list_that_is_more_than_its_rows_is_left_to_the_engine() {
        let shown =
            |rows: &[LessonRow]| rows.iter().map(|row| format!("<li>{}</li>", row.position)).collect::<String>();
        let plain = |rows: &[LessonRow]| Ok::<_, ()>(format!("<ol>{}</ol>é", shown(rows)));
        assert_eq!(page(&rows(2), LATE, plain).expect("no error"), plain(&rows(2)).ok());
        let numbered = |rows: &[LessonRow]| Ok::<_, ()>(format!("<ol>{}</ol>{}", shown(rows), rows.len()));
        assert_eq!(page(&rows(2), LATE, numbered), Ok(None));
        let first_differs = |rows: &[LessonRow]| {
            let first = rows.first().map_or(String::new(), |row| format!("<b>{}</b>", row.position));
            Ok::<_, ()>(format!("<ol>{first}{}</ol>", shown(rows)))
        };
        assert_eq!(page(&rows(2), LATE, first_differs), Ok(None));
        assert_eq!(page(&rows(MOST_LOOKS as u32 + 1), LATE, plain), Ok(None), "too many looks");
        assert_eq!(page(&[], LATE, plain).expect("no error"), plain(&[]).ok());
        // The long text is put into its place, before the rows or after them.
        let with =
            |mark: &'static str| move |rows: &[LessonRow]| Ok::<_, ()>(format!("{mark}<ol>{}</ol>{mark}", shown(rows)));
        let late = page(&rows(2), (LATE.0, "a long text"), with(LATE.0)).expect("no error");
        assert_eq!(late, with("a long text")(&rows(2)).ok());
    }
}
