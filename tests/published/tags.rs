//! The tags of a page as a browser would see them: enough of HTML to tell live markup from text.

/// A start tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tag {
    pub(crate) name: String,
    /// Names and raw values, entities as written.
    pub(crate) attributes: Vec<(String, String)>,
}

impl Tag {
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(own, _)| own == name).map(|(_, value)| value.as_str())
    }

    /// The name and the names of its attributes: what text from outside must never change.
    pub(crate) fn outline(&self) -> String {
        let names: Vec<&str> = self.attributes.iter().map(|(name, _)| name.as_str()).collect();
        format!("<{} {}>", self.name, names.join(" "))
    }
}

/// Every start tag of a page, in order. A script's text runs to `</script`, as in a browser.
pub(crate) fn tags(page: &str) -> Vec<Tag> {
    let mut all = Vec::new();
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        if let Some(comment) = rest.strip_prefix("!--") {
            rest = comment.split_once("-->").map_or("", |(_, after)| after);
            continue;
        }
        if !rest.starts_with(|letter: char| letter.is_ascii_alphabetic()) {
            continue;
        }
        let (tag, after) = start_tag(rest);
        rest = after;
        // What these hold is no markup, but ends at the first closing tag wherever it is.
        if ["script", "style", "title", "textarea"].contains(&tag.name.as_str()) {
            let end = rest.to_ascii_lowercase().find(&format!("</{}", tag.name)).unwrap_or(rest.len());
            rest = &rest[end..];
        }
        all.push(tag);
    }
    all
}

fn start_tag(text: &str) -> (Tag, &str) {
    let end = text.find(|letter: char| letter.is_whitespace() || "/>".contains(letter)).unwrap_or(text.len());
    let mut tag = Tag { name: text[..end].to_ascii_lowercase(), attributes: Vec::new() };
    let mut rest = &text[end..];
    loop {
        rest = rest.trim_start_matches(|letter: char| letter.is_whitespace() || letter == '/');
        if let Some(after) = rest.strip_prefix('>') {
            return (tag, after);
        }
        if rest.is_empty() {
            return (tag, rest);
        }
        let end = rest.find(|letter: char| letter.is_whitespace() || "/>=".contains(letter)).unwrap_or(rest.len());
        let (name, after) = rest.split_at(end.max(1));
        let (value, after) = match after.trim_start().strip_prefix('=') {
            None => ("", after),
            Some(after) => value(after.trim_start()),
        };
        tag.attributes.push((name.to_ascii_lowercase(), value.to_owned()));
        rest = after;
    }
}

fn value(text: &str) -> (&str, &str) {
    for quote in ['"', '\''] {
        if let Some(inside) = text.strip_prefix(quote) {
            return inside.split_once(quote).unwrap_or((inside, ""));
        }
    }
    let end = text.find(|letter: char| letter.is_whitespace() || letter == '>').unwrap_or(text.len());
    text.split_at(end)
}
