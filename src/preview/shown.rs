//! What a preview puts over a page: its script, its style, and what is wrong with the course.

use std::hash::{DefaultHasher, Hasher};

use crate::embedded::{TEMPLATES, text};
use crate::markdown::escape;
use crate::problem::{ON_PAGE, Problem, Problems, Severity, Style};

/// The most problems shown over a page.
const SHOWN: usize = 40;

pub(super) fn script() -> &'static str {
    text(&TEMPLATES, "preview/desk.js")
}

pub(super) fn style() -> &'static str {
    text(&TEMPLATES, "preview/desk.css")
}

/// Identifies a page as it is now: a different digest means a different page.
pub(super) fn digest(page: &[u8], look: u64) -> String {
    let mut hasher = DefaultHasher::new();
    hasher.write(page);
    hasher.write_u64(look);
    format!("{:016x}", hasher.finish())
}

/// The page with the preview's script and style in its head.
pub(super) fn with_desk(page: &[u8], digest: &str) -> Vec<u8> {
    let page = String::from_utf8_lossy(page);
    let desk = format!(
        "<link rel=\"stylesheet\" href=\"/-/desk.css\">\n<script defer src=\"/-/desk.js\" data-digest=\"{digest}\"></script>\n"
    );
    match page.find("</head>") {
        Some(at) => format!("{}{desk}{}", &page[..at], &page[at..]).into_bytes(),
        None => format!("{desk}{page}").into_bytes(),
    }
}

/// What is wrong, as HTML: errors first.
pub(super) fn problems(all: &Problems) -> String {
    let (errors, warnings): (Vec<&Problem>, Vec<&Problem>) =
        all.iter().partition(|problem| problem.severity == Severity::Error);
    let mut out = String::new();
    for problem in errors.iter().chain(&warnings).take(SHOWN) {
        let drawn = problem.draw(Style::Page);
        let (sentence, rest) = drawn.split_once('\n').unwrap_or((&drawn, ""));
        out.push_str(&format!("<div class=\"tk-desk__one tk-desk__one--{}\"><p>", problem.severity.word()));
        escape::text(&mut out, sentence);
        out.push_str("</p><pre>");
        let mut body = String::new();
        escape::text(&mut body, rest.trim_end());
        out.push_str(&body.replace(&format!("{ON_PAGE}»"), "<mark>").replace(&format!("«{ON_PAGE:#}"), "</mark>"));
        out.push_str("</pre></div>");
    }
    if all.len() > SHOWN {
        out.push_str(&format!("<p>And {} more.</p>", all.len() - SHOWN));
    }
    out
}

/// The page shown for a course that has not been free of errors yet.
pub(super) fn waiting() -> String {
    "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>Not yet</title></head>\n<body><main><h1>This course cannot be shown yet</h1>\n<p>The page appears as soon as the mistakes are fixed.</p></main></body></html>\n".to_owned()
}

/// A page as it is for an address so many folders down: its addresses lead up first.
pub(super) fn from_below(page: &[u8], folders: usize) -> Vec<u8> {
    let page = String::from_utf8_lossy(page);
    let up = "../".repeat(folders);
    let mut out = String::with_capacity(page.len());
    let mut rest = &*page;
    while let Some((end, name)) = ["href=\"", "src=\"", "data-root=\""]
        .iter()
        .filter_map(|name| rest.find(name).map(|at| (at + name.len(), *name)))
        .min_by_key(|(end, _)| *end)
    {
        out.push_str(&rest[..end]);
        rest = &rest[end..];
        let address = rest.split('"').next().unwrap_or_default();
        let own = !address.contains(':') && !address.starts_with(['/', '#']);
        if own && (name.starts_with("data") || !address.is_empty()) {
            out.push_str(&up);
        }
    }
    out.push_str(rest);
    out.into_bytes()
}

/// The page for one that could not be made.
pub(super) fn failed(problem: &Problem) -> String {
    let mut drawn = String::new();
    escape::text(&mut drawn, &problem.draw(Style::Plain));
    format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>This page cannot be made</title></head>\n<body><main><h1>This page cannot be made</h1>\n<pre>{drawn}</pre></main></body></html>\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_author_wrote_is_text_over_the_page() {
        let source = crate::problem::Source::new("lessons/<b>.md", "<script>x</script>\n");
        let problem = Problem::new(crate::problem::code::RAW_HTML, "HTML <i> is odd", "").at(&source, 0..8);
        let html = problems(&Problems::from(problem));
        assert!(html.contains("<mark>&lt;script&gt;</mark>x") && html.contains("&lt;b&gt;.md:1:1"), "{html}");
        assert!(!html.contains("<script>") && !html.contains("<i>"), "{html}");
    }

    #[test]
    fn quotation_marks_of_the_author_are_no_marks() {
        let source = crate::problem::Source::new("lessons/a.md", "Dice «uno» y »dos« <i>.\n");
        let at = source.text.find("<i>").expect("it is there");
        let problem = Problem::new(crate::problem::code::RAW_HTML, "HTML", "").at(&source, at..at + 3);
        let html = problems(&Problems::from(problem));
        assert!(html.contains("Dice «uno» y »dos« <mark>&lt;i&gt;</mark>."), "{html}");
        assert!(!html.contains('\u{1b}'), "{html}");
    }

    #[test]
    fn a_page_for_a_deeper_address_leads_up_first() {
        let page = b"<html data-root=\"\"><link href=\"assets/site.css\"><a href=\"#main\"><a href=\"mailto:a@b\"><img src=\"/x\">";
        let there = "<html data-root=\"../../\"><link href=\"../../assets/site.css\"><a href=\"#main\"><a href=\"mailto:a@b\"><img src=\"/x\">";
        assert_eq!(String::from_utf8_lossy(&from_below(page, 2)), there);
        assert_eq!(from_below(page, 0), page);
    }

    #[test]
    fn the_desk_goes_into_the_head() {
        let page = String::from_utf8(with_desk(b"<html><head></head><body>", "d")).expect("text");
        assert!(page.contains("data-digest=\"d\"></script>\n</head>"), "{page}");
        assert_ne!(digest(b"a", 1), digest(b"a", 2));
    }
}
