//! Scripts and styles without what says nothing to a browser. Those of `templates/` are made compact when the program is
//! built (`build.rs`).

/// A script without indentation, comments on lines of their own, notes of types and most spaces at signs; strings and
/// lines stay as they are.
#[allow(dead_code, reason = "called when the program is built")]
pub(crate) fn compact_script(script: &str) -> String {
    let mut out = String::with_capacity(script.len());
    let mut inside = false;
    for line in script.lines() {
        let mut line = line.trim();
        if !inside && line.starts_with("/*") {
            inside = true;
        }
        if inside {
            let Some((_, rest)) = line.split_once("*/") else { continue };
            inside = false;
            line = rest.trim();
        }
        if line.is_empty() || line.starts_with("//") {
            continue;
        }
        while let Some((before, (_, after))) =
            line.split_once("/** @").and_then(|(before, rest)| Some((before, rest.split_once("*/")?)))
        {
            out.push_str(before);
            line = after.trim_start();
        }
        // A template may hold anything, and a slash may begin a pattern: such a line stays as it is.
        if line.contains(['`', '/']) {
            out.push_str(line);
        } else {
            push_tight(&mut out, line);
        }
        out.push('\n');
    }
    out
}

/// A line of a script without the spaces at signs, where they mean nothing; strings stay as they are.
fn push_tight(out: &mut String, line: &str) {
    let sign = |letter: char| "={}(),;:?<>&|!".contains(letter);
    let mut quote = None;
    let mut escaped = false;
    let mut before = '\0';
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        if let Some(open) = quote {
            if letter == open && !escaped {
                quote = None;
            }
            escaped = letter == '\\' && !escaped;
        } else if matches!(letter, '"' | '\'') {
            quote = Some(letter);
        } else if letter == ' ' && (sign(before) || letters.peek().is_some_and(|next| sign(*next))) {
            continue;
        }
        out.push(letter);
        before = letter;
    }
}

/// A stylesheet without comments and without needless white space.
pub(crate) fn compact_style(style: &str) -> String {
    let mut out = String::with_capacity(style.len());
    let mut rest = style;
    let mut bare = String::with_capacity(style.len());
    while let Some((before, after)) = rest.split_once("/*") {
        bare.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    bare.push_str(rest);
    let mut quoted = false;
    for letter in bare.chars() {
        if letter == '"' {
            quoted = !quoted;
        }
        let space = letter.is_whitespace();
        if quoted || !space {
            // A space before or after these means nothing; before a colon it may separate selectors.
            if !quoted && matches!(letter, '{' | '}' | ';' | ',' | '>') && out.ends_with(' ') {
                out.pop();
            }
            if letter == '}' && out.ends_with(';') {
                out.pop();
            }
            // "0.5rem" as ".5rem"
            if !quoted && letter == '.' && [" 0", ",0", ":0", "(0", "-0"].iter().any(|zero| out.ends_with(zero)) {
                out.pop();
            }
            out.push(letter);
        } else if !out.is_empty() && !out.ends_with([' ', '{', '}', ';', ',', ':', '>']) {
            out.push(' ');
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_of_style_and_script_says_nothing() {
        let style = "/* a */\n.a, .b > .c :is(p) { color: red; inset: 10.5px -0.5px 0.5px; content: \"! \" / \"\"; }\n@media (min-width: 1rem) { .a { margin: 0 auto; } }\n";
        let compact = ".a,.b>.c :is(p){color:red;inset:10.5px -.5px .5px;content:\"! \" / \"\"}@media (min-width:1rem){.a{margin:0 auto}}";
        assert_eq!(compact_style(style), compact);
        let script = "/**\n * About.\n */\n\"use strict\";\n  // why\n  const a = \"// no\"; // stays\n  /** @type {any} */ (a).b(/** @type {B} */ (c));\n  if (a < 1 && b) c = { d: \"= , \\\" ( \", e };\n";
        assert_eq!(
            compact_script(script),
            "\"use strict\";\nconst a = \"// no\"; // stays\n(a).b((c));\nif(a<1&&b)c={d:\"= , \\\" ( \",e};\n"
        );
    }
}
