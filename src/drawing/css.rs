//! Whether a value or a stylesheet of a drawing stays inside the drawing.

/// Functions of CSS that compute and fetch nothing (W3C, CSS Values 4, Transforms 1, Filter Effects 1, Selectors 4), in
/// alphabetical order.
const FUNCTIONS: [&str; 37] = [
    "blur",
    "brightness",
    "calc",
    "clamp",
    "circle",
    "contrast",
    "cubic-bezier",
    "drop-shadow",
    "ellipse",
    "grayscale",
    "hsl",
    "hsla",
    "hue-rotate",
    "inset",
    "invert",
    "is",
    "matrix",
    "max",
    "min",
    "not",
    "nth-child",
    "nth-of-type",
    "opacity",
    "polygon",
    "rgb",
    "rgba",
    "rotate",
    "saturate",
    "scale",
    "sepia",
    "skewx",
    "skewy",
    "steps",
    "translate",
    "translatex",
    "translatey",
    "var",
];

/// What in it could load something from outside, in words for the author; nothing if it is harmless.
pub(super) fn fault(text: &str) -> Option<String> {
    if !text.contains(['(', '@', '\\']) {
        return None;
    }
    let text = without_comments(text).to_ascii_lowercase();
    if text.contains('\\') {
        return Some("a style in a drawing may not have a backslash".to_owned());
    }
    if let Some(at) = text.find('@') {
        let rule: String = text[at..].chars().take_while(|c| !c.is_whitespace() && *c != ';').take(20).collect();
        return Some(format!("a style in a drawing may not have `{rule}`, which can load something from elsewhere"));
    }
    for (at, _) in text.match_indices('(') {
        let name = |c: &char| c.is_ascii_alphanumeric() || *c == '-' || *c == '_' || !c.is_ascii();
        let start = text[..at].chars().rev().take_while(name).map(char::len_utf8).sum::<usize>();
        let function = &text[at - start..at];
        let argument = text[at + 1..].trim_start().trim_start_matches(['"', '\'']).trim_start();
        let inside = function == "url" && argument.starts_with('#');
        if !(function.is_empty() || inside || FUNCTIONS.contains(&function)) {
            return Some(format!(
                "a style in a drawing may not have `{function}(`, except `url(#…)`, which points at a part of it"
            ));
        }
    }
    None
}

/// The text with a blank for each comment; an unclosed one runs to the end.
fn without_comments(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find("/*") {
        out.push_str(&rest[..start]);
        out.push(' ');
        rest = rest[start + 2..].find("*/").map_or("", |end| &rest[start + 2 + end + 2..]);
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::fault;

    #[test]
    fn a_style_may_compute_and_point_inside_and_no_more() {
        for good in [
            "fill:#fff;stroke:rgb(0 0 0 / 50%)",
            ".a{fill:url(#grass)} .b{filter:url( '#blur' )}",
            "rotate(45) translate(1,2) scale(2)",
            "/* by hand */ .a { opacity: calc(1 / 2) }",
            "M0 0 (",
        ] {
            assert_eq!(fault(good), None, "{good}");
        }
        for bad in [
            "fill:url(https://example.org/a)",
            "fill:url('//example.org/a')",
            "fill:URL(a.svg#b)",
            "@import 'https://example.org/a.css'",
            "@font-face{src:url(a)}",
            "fill:u\\72l(a)",
            "background:image-set('a.png' 1x)",
            "width:expression(ran())",
            "fill:url/**/(a)url(a)",
            "a{}/*",
        ] {
            assert_eq!(fault(bad).is_some(), bad != "a{}/*", "{bad}");
        }
    }
}
