//! Tables: alignment as classes, because the page's policy drops style attributes; headers with their scope.

use pulldown_cmark::Alignment;

use super::body::Body;
use super::inserts::{Insert, Phrase};

/// The table that is being written.
#[derive(Debug, Default)]
pub(super) struct Table {
    alignments: Vec<Alignment>,
    in_head: bool,
    column: usize,
}

impl Table {
    /// Starts a table. It can be scrolled sideways on a narrow screen, also by keyboard.
    pub(super) fn open(&mut self, alignments: Vec<Alignment>, out: &mut Body) {
        self.alignments = alignments;
        out.html.push_str("<div class=\"tk-table\" role=\"group\" tabindex=\"0\" aria-label=\"");
        out.hole(Insert::Phrase(Phrase { key: "site.table", number: 0 }));
        out.html.push_str("\"><table>\n");
    }

    pub(super) fn close(html: &mut String) {
        html.push_str("</tbody></table></div>\n");
    }

    pub(super) fn open_head(&mut self, html: &mut String) {
        self.in_head = true;
        self.column = 0;
        html.push_str("<thead><tr>");
    }

    pub(super) fn close_head(&mut self, html: &mut String) {
        self.in_head = false;
        html.push_str("</tr></thead><tbody>\n");
    }

    pub(super) fn open_row(&mut self, html: &mut String) {
        self.column = 0;
        html.push_str("<tr>");
    }

    pub(super) fn close_row(html: &mut String) {
        html.push_str("</tr>\n");
    }

    pub(super) fn open_cell(&mut self, html: &mut String) {
        html.push_str(if self.in_head { "<th scope=\"col\"" } else { "<td" });
        html.push_str(match self.alignments.get(self.column) {
            Some(Alignment::Left) => " class=\"tk-cell--start\">",
            Some(Alignment::Center) => " class=\"tk-cell--center\">",
            Some(Alignment::Right) => " class=\"tk-cell--end\">",
            Some(Alignment::None) | None => ">",
        });
        self.column += 1;
    }

    pub(super) fn close_cell(&self, html: &mut String) {
        html.push_str(if self.in_head { "</th>" } else { "</td>" });
    }
}
