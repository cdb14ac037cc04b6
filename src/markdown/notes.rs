//! Footnotes: numbered by first mention, collected at the end, each with a link back.

use crate::problem::code;
use std::collections::BTreeMap;
use std::ops::Range;

use super::body::Body;
use super::inserts::{Insert, Phrase};
use super::writer::Writer;

/// One footnote by its label.
#[derive(Debug, Default)]
struct Note {
    number: Option<usize>,
    mentions: usize,
    body: Option<Body>,
    place: Range<usize>,
}

/// All footnotes of a lesson.
#[derive(Debug, Default)]
pub(super) struct Notes {
    by_label: BTreeMap<String, Note>,
    numbered: usize,
    /// Notes being written, with what was written before them.
    open: Vec<(String, Body)>,
}

impl Writer<'_> {
    pub(super) fn mention_note(&mut self, label: &str) {
        let note = self.notes.by_label.entry(label.to_lowercase()).or_default();
        let number = *note.number.get_or_insert_with(|| {
            self.notes.numbered += 1;
            self.notes.numbered
        });
        note.mentions += 1;
        let mention = note.mentions;
        self.out.html.push_str(&format!(
            "<sup class=\"tk-noteref\"><a href=\"#tk-note-{number}\" id=\"tk-note-{number}-ref-{mention}\" role=\"doc-noteref\">{number}</a></sup>"
        ));
    }

    pub(super) fn open_note(&mut self, label: &str, range: &Range<usize>) {
        let place = self.place(range);
        self.notes.by_label.entry(label.to_lowercase()).or_default().place = place;
        self.notes.open.push((label.to_lowercase(), std::mem::take(&mut self.out)));
    }

    pub(super) fn close_note(&mut self) {
        let Some((label, before)) = self.notes.open.pop() else {
            return;
        };
        let body = std::mem::replace(&mut self.out, before);
        self.notes.by_label.entry(label).or_default().body = Some(body);
    }

    /// Writes the notes that are mentioned, and reports those that are not.
    pub(super) fn finish_notes(&mut self) {
        let mut notes: Vec<(String, Note)> = std::mem::take(&mut self.notes.by_label).into_iter().collect();
        notes.sort_by_key(|(_, note)| (note.number.unwrap_or(usize::MAX), note.place.start));
        let mut opened = false;
        for (label, note) in notes {
            let (Some(number), Some(body)) = (note.number, note.body) else {
                let title = format!("nothing refers to the footnote `[^{label}]`, so it is left out");
                let problem = self.problem(code::NOTE_UNUSED, title, note.place);
                self.problems.push(problem.help(format!("write `[^{label}]` where the note belongs, or remove it")));
                continue;
            };
            if !opened {
                self.out
                    .html
                    .push_str("<section class=\"tk-notes\" role=\"doc-endnotes\" aria-labelledby=\"tk-notes\"><h2 class=\"tk-notes__title\" id=\"tk-notes\">");
                self.out.hole(Insert::Phrase(Phrase { key: "site.notes", number: 0 }));
                self.out.html.push_str("</h2>\n<ol class=\"tk-notes__list\">\n");
                opened = true;
            }
            self.write_note(number, body);
        }
        if opened {
            self.out.html.push_str("</ol></section>\n");
        }
    }

    fn write_note(&mut self, number: usize, body: Body) {
        self.out.html.push_str(&format!("<li id=\"tk-note-{number}\">"));
        self.out.append(body);
        // The link back is at the end of the last paragraph, where the reader ends up.
        let own_paragraph = !self.out.html.ends_with("</p>\n");
        if own_paragraph {
            self.out.html.push_str("<p>");
        } else {
            let end = self.out.html.len() - "</p>\n".len();
            self.out.html.truncate(end);
            self.out.html.push(' ');
        }
        self.out.html.push_str(&format!(
            "<a class=\"tk-notes__back\" href=\"#tk-note-{number}-ref-1\" role=\"doc-backlink\" aria-label=\""
        ));
        self.out.hole(Insert::Phrase(Phrase { key: "site.note-back", number }));
        self.out.html.push_str("\">↑</a></p>\n</li>\n");
    }
}
