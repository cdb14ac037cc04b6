//! Drawings in SVG, which a browser would run: read by an XML parser and rewritten from a list of what may be in
//! them.
//!
//! Somebody may open a drawing by itself, and then it has the rights of the whole site and no policy restricts it. So
//! nothing of the author's bytes is published: what could run or load something is refused at its place, what only an
//! editor needs is left out, and the rest is written again.

mod allowed;
mod css;

use crate::problem::{Problem, Rule, Source, code};
use allowed::{ATTRIBUTES, DROPPED, ELEMENTS};
use roxmltree::{Attribute, Document, Node, NodeType, ParsingOptions};
use std::ops::Range;

const SVG: &str = "http://www.w3.org/2000/svg";
const XHTML: &str = "http://www.w3.org/1999/xhtml";
const XLINK: &str = "http://www.w3.org/1999/xlink";
const XML: &str = "http://www.w3.org/XML/1998/namespace";

/// The deepest nesting of elements; drawings have a dozen levels.
const DEEPEST: usize = 200;
/// The most elements and texts.
const MOST: u32 = 200_000;
/// The most faults reported for one drawing.
const REPORTED: usize = 10;

/// Whether a file of this name is a drawing.
pub fn is_drawing(name: &str) -> bool {
    name.rsplit_once('.').is_some_and(|(_, suffix)| suffix.eq_ignore_ascii_case("svg"))
}

/// The drawing as it is published, or what must be removed from it.
pub fn written_anew(source: &Source) -> Result<String, Vec<Problem>> {
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST, ..ParsingOptions::default() };
    let document = Document::parse_with_options(&source.text, options).map_err(|error| vec![unread(source, &error)])?;
    let mut writer = Writer { source, out: String::with_capacity(source.text.len()), faults: Vec::new() };
    let root = document.root_element();
    if root.tag_name().name() == "svg" && root.tag_name().namespace() == Some(SVG) {
        writer.element(root, 0);
    } else {
        let title = "a drawing begins with `svg`, in the SVG namespace";
        writer.fault(
            code::IMAGE_NOT_SVG,
            title.to_owned(),
            tag(root, source),
            Some(format!("write `<svg xmlns=\"{SVG}\" …>`")),
        );
    }
    writer.out.push('\n');
    if writer.faults.is_empty() { Ok(writer.out) } else { Err(writer.faults) }
}

fn unread(source: &Source, error: &roxmltree::Error) -> Problem {
    let place = error.pos();
    let mut start = 0;
    for _ in 1..place.row {
        start = source.text[start..].find('\n').map_or(source.text.len(), |end| start + end + 1);
    }
    let column = usize::try_from(place.col).unwrap_or(1).saturating_sub(1);
    let at = source.text[start..].char_indices().nth(column).map_or(source.text.len(), |(at, _)| start + at);
    let title = format!("this drawing cannot be read as XML: {error}");
    let problem = Problem::new(code::IMAGE_NOT_SVG, title, "").at(source, at..at);
    problem.help("save it again with the program that drew it, or as PNG")
}

/// The opening tag of an element up to its name.
fn tag(node: Node<'_, '_>, source: &Source) -> Range<usize> {
    let start = node.range().start;
    let name = |c: char| !(c.is_whitespace() || c == '>' || c == '/');
    let length = source.text[start..].chars().take_while(|c| name(*c)).map(char::len_utf8).sum::<usize>();
    start..start + length
}

struct Writer<'s> {
    source: &'s Source,
    out: String,
    faults: Vec<Problem>,
}

impl Writer<'_> {
    fn fault(&mut self, rule: &'static Rule, title: String, span: Range<usize>, help: Option<String>) {
        if self.faults.len() < REPORTED {
            let help = help.unwrap_or_else(|| "remove it, or save the drawing as PNG".to_owned());
            self.faults.push(Problem::new(rule, title, "").at(self.source, span).help(help));
        }
    }

    fn element(&mut self, node: Node<'_, '_>, depth: usize) {
        let name = node.tag_name().name();
        match node.tag_name().namespace().filter(|space| !space.is_empty()) {
            Some(SVG) if ELEMENTS.binary_search(&name).is_ok() => {}
            Some(SVG) if DROPPED.contains(&name) => return,
            Some(SVG | XHTML) | None => {
                let title = format!("a drawing may not have the element `{name}`, which could run or load something");
                return self.fault(code::IMAGE_WITH_SCRIPT, title, tag(node, self.source), None);
            }
            // What an editor stores for itself.
            Some(_) => return,
        }
        if depth == DEEPEST {
            let title = format!("elements are more than {DEEPEST} levels deep here");
            return self.fault(code::IMAGE_NOT_SVG, title, tag(node, self.source), None);
        }
        self.out.push('<');
        self.out.push_str(name);
        if depth == 0 {
            self.out.push_str(&format!(" xmlns=\"{SVG}\""));
        }
        for attribute in node.attributes() {
            self.attribute(name, &attribute);
        }
        if node.first_child().is_none() {
            self.out.push_str("/>");
            return;
        }
        self.out.push('>');
        if name == "style" {
            self.style(node);
        } else {
            for child in node.children() {
                match child.node_type() {
                    NodeType::Element => self.element(child, depth + 1),
                    NodeType::Text => escape(child.text().unwrap_or_default(), &mut self.out),
                    _ => {}
                }
            }
        }
        self.out.push_str("</");
        self.out.push_str(name);
        self.out.push('>');
    }

    /// A stylesheet, whose text is all that it holds.
    fn style(&mut self, node: Node<'_, '_>) {
        let text: String = node.children().filter_map(|child| child.text().filter(|_| child.is_text())).collect();
        if let Some(fault) = css::fault(&text) {
            return self.fault(code::IMAGE_REACHES_OUT, fault, tag(node, self.source), None);
        }
        escape(&text, &mut self.out);
    }

    fn attribute(&mut self, element: &str, attribute: &Attribute<'_, '_>) {
        let (name, value) = (attribute.name(), attribute.value());
        match attribute.namespace() {
            None if name.to_ascii_lowercase().starts_with("on") => {
                let title = format!("a drawing may not have the attribute `{name}`, which runs a script");
                self.fault(code::IMAGE_WITH_SCRIPT, title, attribute.range(), None);
            }
            None | Some(XLINK) if name == "href" => {
                let named = value.trim().strip_prefix('#').is_some_and(|name| !name.is_empty());
                if named || (element == "image" && is_picture(value)) {
                    self.put("href", value.trim());
                } else {
                    let title = format!("a drawing may only point at its own parts, and this is `{}`", start_of(value));
                    let help = "point at a name in the drawing, as `#part`; or put the picture into it as PNG or JPEG";
                    self.fault(code::IMAGE_REACHES_OUT, title, attribute.range(), Some(help.to_owned()));
                }
            }
            None if ATTRIBUTES.binary_search(&name).is_ok() || name.starts_with("aria-") => match css::fault(value) {
                Some(fault) if name != "d" && !name.starts_with("aria-") => {
                    self.fault(code::IMAGE_REACHES_OUT, fault, attribute.range(), None);
                }
                _ => self.put(name, value),
            },
            Some(XML) if name == "space" || name == "lang" => self.put(&format!("xml:{name}"), value),
            // What an editor stores for itself.
            _ => {}
        }
    }

    fn put(&mut self, name: &str, value: &str) {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        escape(value, &mut self.out);
        self.out.push('"');
    }
}

/// Whether an address holds a picture that is only pixels.
fn is_picture(address: &str) -> bool {
    let kinds = ["png", "jpeg", "jpg", "gif", "webp"];
    let Some(rest) = address.trim().strip_prefix("data:image/") else { return false };
    let data = kinds.iter().find_map(|kind| rest.strip_prefix(kind)?.strip_prefix(";base64,"));
    let letter = |byte: u8| byte.is_ascii_alphanumeric() || byte.is_ascii_whitespace() || b"+/=".contains(&byte);
    data.is_some_and(|data| data.bytes().all(letter))
}

/// The first letters of a text that may be long.
fn start_of(text: &str) -> String {
    let mut letters = text.trim().chars();
    let start: String = letters.by_ref().take(40).collect();
    if letters.next().is_some() { start + "…" } else { start }
}

/// Text for between tags and inside an attribute alike.
fn escape(text: &str, out: &mut String) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\r' => out.push_str("&#13;"),
            other => out.push(other),
        }
    }
}

#[cfg(test)]
mod tests;
