//! A drawing as SVG, its words found in the phrase catalog.

use crate::problem::drawing::{Drawing, Element, Label, WIDTH, at};
use crate::text::escape::html;
use crate::text::texts::joined;
use crate::words::phrases::Phrases;
use crate::words::say::said;

/// The figure as HTML; `name` makes its ids unique on the page, `title` names the drawing.
pub fn figure(drawing: &Drawing, name: &str, title: &str, phrases: &Phrases) -> String {
    let name = html(name);
    let mut out = format!(
        "<figure class=\"tk-drawing\"><svg class=\"tk-draw\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"{name}-drawing-title {name}-drawing-text\"><title id=\"{name}-drawing-title\">{}</title>",
        at(WIDTH),
        at(drawing.height),
        html(title)
    );
    for part in &drawing.parts {
        match part {
            Element::Shape(shape) => out.push_str(shape),
            Element::Label { x, y, class, text } => {
                out.push_str(&format!(
                    "<text class=\"{class}\" x=\"{}\" y=\"{}\">{}</text>",
                    at(*x),
                    at(*y),
                    html(&label_text(text, phrases))
                ));
            }
        }
    }
    let words: Vec<String> = drawing.captions.iter().map(|caption| said(caption.key, &caption.args, phrases)).collect();
    out.push_str(&format!(
        "</svg><figcaption class=\"tk-drawing__text\" id=\"{name}-drawing-text\">{}</figcaption></figure>\n",
        html(&joined(&words, " "))
    ));
    out
}

fn label_text(label: &Label, phrases: &Phrases) -> String {
    match label {
        Label::Plain(text) => phrases.number(text.clone()),
        Label::Phrase(key, args) => said(key, args, phrases),
    }
}
