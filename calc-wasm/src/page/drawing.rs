//! A drawing as SVG, its words found in the phrase catalog.

use crate::calculation::drawing::{Drawing, Element, Label, WIDTH, put_at};
use crate::text::escape::{html, markup};
use crate::text::texts::joined;
use crate::words::phrases::Phrases;
use crate::words::say::phrase_with;

/// The figure as HTML; `name` makes its ids unique on the page, `title` names the drawing.
pub fn figure(drawing: &Drawing, name: &str, title: &str, phrases: &Phrases) -> String {
    let name = html(name);
    let mut out = String::with_capacity(1024);
    out.push_str("<figure class=\"tk-drawing\"><svg class=\"tk-draw\" viewBox=\"0 0 ");
    put_at(WIDTH, &mut out);
    out.push(' ');
    put_at(drawing.height, &mut out);
    markup!(
        &mut out,
        "\" role=\"img\" aria-labelledby=\"",
        &name,
        "-drawing-title ",
        &name,
        "-drawing-text\"><title id=\"",
        &name,
        "-drawing-title\">",
        html(title),
        "</title>"
    );
    for part in &drawing.parts {
        match part {
            Element::Shape(shape) => out.push_str(shape),
            Element::Label { x, y, class, text } => {
                markup!(&mut out, "<text class=\"", class, "\" x=\"");
                put_at(*x, &mut out);
                out.push_str("\" y=\"");
                put_at(*y, &mut out);
                markup!(&mut out, "\">", html(&label_text(text, phrases)), "</text>");
            }
        }
    }
    let words: Vec<String> =
        drawing.captions.iter().map(|caption| phrase_with(caption.key, &caption.args, phrases)).collect();
    markup!(
        &mut out,
        "</svg><figcaption class=\"tk-drawing__text\" id=\"",
        &name,
        "-drawing-text\">",
        html(&joined(&words, " ")),
        "</figcaption></figure>\n"
    );
    out
}

fn label_text(label: &Label, phrases: &Phrases) -> String {
    match label {
        Label::Plain(text) => phrases.number(text.clone()),
        Label::Phrase(key, args) => phrase_with(key, args, phrases),
    }
}
