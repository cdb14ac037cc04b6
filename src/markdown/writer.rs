//! From Markdown events to HTML with holes.

use std::collections::BTreeMap;
use std::ops::Range;

use pulldown_cmark::{BrokenLink, CodeBlockKind, CowStr, Event, LinkType, Options, Parser, Tag, TagEnd};

use super::Context;
use super::alarm::LookedAt;
use super::body::{Body, Outline};
use super::escape;
use super::fence::Fence;
use super::heading::{Ids, OpenHeading};
use super::inserts::Figure;
use super::link::Opened;
use super::notes::Notes;
use super::plain::has_sign;
use super::table::Table;
use crate::problem::{Problem, Problems, Rule, Source};
use crate::yaml::Embedded;

/// What is being written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Manner {
    /// A lesson.
    Lesson,
    /// The sentences of a caution, which may hold only paragraphs and lists.
    Caution,
}

/// A picture whose text is being collected.
struct OpenImage {
    target: String,
    title: String,
    alt: String,
    depth: usize,
    range: Range<usize>,
}

pub(super) struct Writer<'a> {
    pub(super) source: &'a Source,
    pub(super) stem: &'a str,
    pub(super) context: &'a Context<'a>,
    pub(super) manner: Manner,
    pub(super) problems: &'a mut Problems,
    pub(super) out: Body,
    pub(super) outline: Outline,
    pub(super) notes: Notes,
    pub(super) examples: BTreeMap<String, Range<usize>>,
    pub(super) banks: BTreeMap<String, Range<usize>>,
    pub(super) text: &'a Embedded<'a>,
    pub(super) ids: Ids,
    table: Table,
    pub(super) heading: Option<OpenHeading>,
    /// The level on the page that the last heading should have; the page's title has the first.
    pub(super) level: u8,
    image: Option<OpenImage>,
    figure: Option<Figure>,
    /// Whether each open link wrote an anchor.
    anchors: Vec<bool>,
    fence: Option<Fence<'a>>,
    pub(super) html_told: bool,
    /// Whether a double quote has been opened in this paragraph and not closed.
    quote_open: bool,
    /// Where the last row outside a table ends.
    pub(super) rows_told: Option<usize>,
    /// The lines that were looked at.
    pub(super) looked_at: LookedAt,
}

// A caution has no footnotes: their numbers would be those of the lesson.
const CAUTION_OPTIONS: Options =
    Options::ENABLE_TABLES.union(Options::ENABLE_HEADING_ATTRIBUTES).union(Options::ENABLE_SMART_PUNCTUATION);
// Named one by one: `all()` would also turn on an older kind of footnotes, and a later version could add more.
const OPTIONS: Options = CAUTION_OPTIONS.union(Options::ENABLE_FOOTNOTES);

/// The most links without an address that are reported in one text.
const MOST_BROKEN: usize = 1000;

/// Writes a text of a file; `text` leads from its places to those of the file.
pub(super) fn write(
    source: &Source,
    stem: &str,
    text: &Embedded<'_>,
    context: &Context<'_>,
    manner: Manner,
    problems: &mut Problems,
) -> Body {
    let mut broken = Vec::new();
    let note_broken = |link: BrokenLink<'_>| {
        // Brackets by the hundred thousand are not words that each need an address.
        if broken.len() < MOST_BROKEN {
            broken.push((link.link_type, link.span.clone(), link.reference.to_string()));
        }
        None
    };
    let options = if manner == Manner::Lesson { OPTIONS } else { CAUTION_OPTIONS };
    let parser = Parser::new_with_broken_link_callback(&text.text, options, Some(note_broken));
    let mut writer = Writer {
        source,
        stem,
        context,
        manner,
        problems,
        out: Body { html: String::with_capacity(text.text.len() * 5 / 4), ..Body::default() },
        outline: Outline::default(),
        notes: Notes::default(),
        examples: BTreeMap::new(),
        banks: BTreeMap::new(),
        text,
        ids: Ids::of(&text.text),
        table: Table::default(),
        heading: None,
        image: None,
        figure: None,
        anchors: Vec::new(),
        fence: None,
        html_told: false,
        level: 1,
        quote_open: false,
        rows_told: None,
        looked_at: LookedAt::none_of(&text.text),
    };
    for (event, range) in parser.into_offset_iter() {
        writer.take(event, range);
    }
    writer.finish_notes();
    writer.tell_broken(broken);
    let Writer { mut out, outline, examples, .. } = writer;
    out.outline = Outline { examples: examples.into_keys().collect(), ..outline };
    out
}

impl<'a> Writer<'a> {
    /// The place in the file of a place in the Markdown, without the line end after it.
    pub(super) fn place(&self, range: &Range<usize>) -> Range<usize> {
        let end = range.start + self.text.text[range.start..range.end].trim_end().len();
        self.text.span(&(range.start..end))
    }

    pub(super) fn problem(&self, rule: &'static Rule, title: impl Into<String>, place: Range<usize>) -> Problem {
        Problem::new(rule, title, "").at(self.source, place)
    }

    fn take(&mut self, event: Event<'_>, range: Range<usize>) {
        if self.fence.is_some() || self.image.is_some() || self.figure.is_some() {
            return self.collect(event, range);
        }
        match event {
            Event::Text(text) => self.take_text(&text, &range),
            // Every second sign in a text.
            Event::Start(Tag::Emphasis) => self.out.html.push_str("<em>"),
            Event::End(TagEnd::Emphasis) => self.out.html.push_str("</em>"),
            Event::Start(Tag::Strong) => self.out.html.push_str("<strong>"),
            Event::End(TagEnd::Strong) => self.out.html.push_str("</strong>"),
            Event::Start(tag) => self.start(tag, range),
            Event::End(tag) => self.end(tag),
            Event::Code(code) => {
                self.tell_short_fence(&code, &range);
                self.out.html.push_str("<code>");
                self.words(&code);
                self.out.html.push_str("</code>");
            }
            Event::SoftBreak => {
                self.out.html.push('\n');
                self.remember("\n");
            }
            Event::HardBreak => self.out.html.push_str("<br>\n"),
            Event::Rule => self.out.html.push_str("<hr>\n"),
            Event::InlineHtml(html) => self.tell_html(&html, &range),
            Event::FootnoteReference(label) => self.mention_note(&label),
            // A block of HTML was reported where it starts; the other events belong to options that are off.
            Event::Html(_) | Event::TaskListMarker(_) | Event::InlineMath(_) | Event::DisplayMath(_) => {}
        }
    }

    fn take_text(&mut self, text: &str, range: &Range<usize>) {
        if self.is_plain(text, range) {
            self.tell_line(range.start);
            self.out.html.push_str(text);
            return self.remember(text);
        }
        self.tell_missing_note(text, range);
        self.tell_plain_text(range);
        match self.foot_or_inch(text, range) {
            Some(mark) => self.words(mark),
            None => self.words(text),
        }
    }

    /// The mark as typed, where a quote after a number is a foot or an inch: `7'6"`. A quote that closes one opened in
    /// the text stays a quote: "we said 30".
    fn foot_or_inch(&mut self, text: &str, range: &Range<usize>) -> Option<&'a str> {
        let (source, typed) = (&self.text.text, &self.text.text[range.clone()]);
        if !matches!((text, typed), ("“" | "”", "\"") | ("’", "'")) {
            return None;
        }
        let number = source[..range.start].ends_with(|c: char| c.is_ascii_digit());
        let word = source[range.end..].starts_with(char::is_alphabetic);
        let quoted = typed == "\"" && std::mem::take(&mut self.quote_open);
        if number && !word && !quoted {
            return Some(typed);
        }
        if typed == "\"" {
            self.quote_open = text == "“";
        }
        None
    }

    /// Whether a text is shown as it is written, and nothing in it can be meant as something else.
    fn is_plain(&self, text: &str, range: &Range<usize>) -> bool {
        // Smart punctuation, entities and line ends put another text in place of the one that is written.
        let written = self.text.text.as_ptr().wrapping_add(range.start);
        std::ptr::eq(text.as_ptr(), written) && text.len() == range.len() && !has_sign(text.as_bytes())
    }

    /// Text that is shown, and remembered if a heading is open.
    fn words(&mut self, text: &str) {
        escape::text(&mut self.out.html, text);
        self.remember(text);
    }

    fn remember(&mut self, text: &str) {
        if let Some(heading) = &mut self.heading {
            heading.text.push_str(if text == "\n" { " " } else { text });
        }
    }

    /// Events inside a block, a picture or a computed number: only their text counts.
    fn collect(&mut self, event: Event<'_>, range: Range<usize>) {
        if self.fence.is_some() {
            return self.collect_fence(event, range);
        }
        if let Some(image) = &mut self.image {
            match event {
                Event::Start(_) => image.depth += 1,
                Event::End(TagEnd::Image) if image.depth == 0 => {
                    if let Some(image) = self.image.take() {
                        self.image(&image.target, &image.title, &image.alt, &image.range);
                    }
                }
                Event::End(_) => image.depth -= 1,
                Event::Text(text) | Event::Code(text) => image.alt.push_str(&text),
                Event::SoftBreak | Event::HardBreak => image.alt.push(' '),
                _ => {}
            }
            return;
        }
        let Some(figure) = &mut self.figure else {
            return;
        };
        match event {
            Event::End(TagEnd::Link) => {
                if let Some(figure) = self.figure.take() {
                    if let Some(heading) = &mut self.heading {
                        heading.text.push_str(&figure.words);
                    }
                    self.close_figure(figure);
                }
            }
            Event::Text(text) | Event::Code(text) => figure.words.push_str(&text),
            Event::SoftBreak | Event::HardBreak => figure.words.push(' '),
            _ => {}
        }
    }

    fn collect_fence(&mut self, event: Event<'_>, range: Range<usize>) {
        match event {
            Event::Text(_) => {
                let (text, start) = (self.text, self.text.to_file(range.start));
                if let Some(fence) = &mut self.fence {
                    fence.text.push(&text.text[range], start);
                }
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some(fence) = self.fence.take() {
                    self.fence(&fence);
                }
            }
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>, range: Range<usize>) {
        self.refuse_block_in_caution(&tag, &range);
        if matches!(tag, Tag::Paragraph) {
            self.quote_open = false;
            self.tell_open_quote(&range);
        }
        let html = &mut self.out.html;
        match tag {
            Tag::Paragraph => html.push_str("<p>"),
            Tag::Heading { level, id, classes, attrs } => {
                let attributes = attrs.iter().map(|(name, _)| name.to_string()).collect();
                self.open_heading(level, id, &classes, attributes, &range);
            }
            Tag::BlockQuote(_) => html.push_str("<blockquote>\n"),
            Tag::CodeBlock(kind) => {
                let info = match kind {
                    CodeBlockKind::Fenced(info) => Some(info.to_string()),
                    CodeBlockKind::Indented => None,
                };
                let start = self.text.to_file(range.start);
                self.fence = Some(Fence { info, text: Embedded::empty(start), range });
            }
            Tag::HtmlBlock => {
                let text = self.text;
                self.tell_html(&text.text[range.clone()], &range);
            }
            Tag::List(Some(1)) => html.push_str("<ol>\n"),
            Tag::List(Some(start)) => html.push_str(&format!("<ol start=\"{start}\">\n")),
            Tag::List(None) => html.push_str("<ul>\n"),
            Tag::Item => html.push_str("<li>"),
            Tag::FootnoteDefinition(label) => self.open_note(&label, &range),
            Tag::Table(alignments) => {
                self.tell_rows(&range);
                self.table.open(alignments, &mut self.out);
            }
            Tag::TableHead => self.table.open_head(html),
            Tag::TableRow => self.table.open_row(html),
            Tag::TableCell => self.table.open_cell(html),
            Tag::Link { .. } | Tag::Image { .. } => self.start_address(tag, range),
            // These were written by now, and the others belong to options that are off.
            Tag::Emphasis
            | Tag::Strong
            | Tag::Strikethrough
            | Tag::Superscript
            | Tag::Subscript
            | Tag::DefinitionList
            | Tag::DefinitionListTitle
            | Tag::DefinitionListDefinition
            | Tag::MetadataBlock(_) => {}
        }
    }

    fn start_address(&mut self, tag: Tag<'_>, range: Range<usize>) {
        match tag {
            Tag::Link { link_type, dest_url, title, .. } => {
                let target =
                    if link_type == LinkType::Email { CowStr::from(format!("mailto:{dest_url}")) } else { dest_url };
                match self.open_link(&target, &title, &range) {
                    Opened::Anchor => self.anchors.push(true),
                    Opened::Words => self.anchors.push(false),
                    Opened::Figure(figure) => self.figure = Some(figure),
                }
            }
            Tag::Image { dest_url, title, .. } => {
                let (target, title) = (dest_url.to_string(), title.to_string());
                self.image = Some(OpenImage { target, title, alt: String::new(), depth: 0, range });
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        let html = &mut self.out.html;
        match tag {
            TagEnd::Paragraph => html.push_str("</p>\n"),
            TagEnd::Heading(_) => self.close_heading(),
            TagEnd::BlockQuote(_) => html.push_str("</blockquote>\n"),
            TagEnd::List(true) => html.push_str("</ol>\n"),
            TagEnd::List(false) => html.push_str("</ul>\n"),
            TagEnd::Item => html.push_str("</li>\n"),
            TagEnd::FootnoteDefinition => self.close_note(),
            TagEnd::Table => Table::close(html),
            TagEnd::TableHead => self.table.close_head(html),
            TagEnd::TableRow => Table::close_row(html),
            TagEnd::TableCell => self.table.close_cell(html),
            TagEnd::Link if self.anchors.pop() == Some(true) => self.out.html.push_str("</a>"),
            _ => {}
        }
    }
}
