//! What the address of a link or picture leads to.

use super::inserts::FigureOf;
use super::page_names;
use tankside_calc::calculators::registry::CALCULATORS;

/// An address, understood.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Address<'a> {
    /// A web or mail address or a telephone number, to be written as it is.
    Outside(&'a str),
    /// A place in a lesson; without a lesson, in this one.
    Lesson { stem: Option<&'a str>, fragment: Option<&'a str> },
    /// A picture of the course, `images/gun.png`, as the address has it: letters may be written as `%20`.
    Image(String),
    /// A page that every site has, by its file: `drill.html`.
    Page(String),
    /// A file to download, `attachments/label.pdf`.
    Attachment(String),
    /// A computed number.
    Figure { lesson: Option<&'a str>, example: &'a str, of: FigureOf, unit: Option<String> },
    /// `figure:` with something else after it.
    FigureForm,
    /// A term of the glossary.
    Term(&'a str),
    /// `term:` with something other than one name after it.
    TermForm,
    /// A scheme that is not let through.
    Scheme(String),
    /// A path from the root of a server or disk.
    Absolute,
    /// A relative path that cannot lead anywhere in a course.
    Elsewhere,
    /// No address at all.
    Empty,
}

/// The pages that every site has, which a lesson may lead to: `drill.html`, `work/catch-test.html`.
pub(super) fn pages() -> impl Iterator<Item = String> {
    let calculators = CALCULATORS.iter().map(|calculator| format!("work/{}.html", calculator.id));
    page_names::ALL.iter().map(|page| (*page).to_owned()).chain(calculators)
}

/// Understands an address as Markdown gives it, with entities and backslashes resolved.
pub(super) fn parse(address: &str) -> Address<'_> {
    if let Some(stem) = only_stem(address) {
        return Address::Lesson { stem: Some(stem), fragment: None };
    }
    let address = address.trim();
    if address.is_empty() {
        return Address::Empty;
    }
    // Browsers drop tabs and line ends inside an address, so `java\tscript:` would be a scheme to them.
    if address.chars().any(char::is_control) {
        return Address::Scheme("an unprintable character".to_owned());
    }
    let head = address.find(['/', '?', '#', '\\']).map_or(address, |end| &address[..end]);
    if let Some((scheme, _)) = head.split_once(':') {
        return with_scheme(address, &scheme.to_ascii_lowercase());
    }
    if address.starts_with(['/', '\\']) {
        return Address::Absolute;
    }
    relative(address)
}

/// The lesson's name in an address that is its file's name, as nearly every link has it: nothing else is in it.
fn only_stem(address: &str) -> Option<&str> {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-';
    address.strip_suffix(".md").filter(|stem| !stem.is_empty() && stem.bytes().all(plain))
}

fn with_scheme<'a>(address: &'a str, scheme: &str) -> Address<'a> {
    let rest = &address[scheme.len() + 1..];
    match scheme {
        "http" | "https" if rest.starts_with("//") && rest.len() > 2 => Address::Outside(address),
        "mailto" if rest.contains('@') => Address::Outside(address),
        // RFC 3966: a global number begins with a plus sign.
        "tel"
            if rest.starts_with('+')
                && rest.len() > 3
                && rest[1..].bytes().all(|b| b.is_ascii_digit() || b == b'-') =>
        {
            Address::Outside(address)
        }
        "figure" => figure(rest).unwrap_or(Address::FigureForm),
        "term" if rest.is_empty() || rest.contains(['/', '?', '#', ' ']) => Address::TermForm,
        "term" => Address::Term(rest),
        _ => Address::Scheme(format!("`{scheme}:`")),
    }
}

fn figure(rest: &str) -> Option<Address<'_>> {
    let (path, query) = rest.split_once('?').map_or((rest, None), |(path, query)| (path, Some(query)));
    let unit = match query {
        None => None,
        Some(query) => {
            let unit = query.strip_prefix("in=")?.replace('_', " ").replace("%20", " ").replace("%25", "%");
            Some(unit.trim().to_owned()).filter(|unit| !unit.is_empty()).map(Some)?
        }
    };
    let (example, number) = path.split_once('/')?;
    let (lesson, example) =
        example.split_once('.').map_or((None, example), |(lesson, example)| (Some(lesson), example));
    let of = match number.strip_prefix("input/") {
        Some(input) => FigureOf::Input(input.to_owned()),
        None => FigureOf::Result(number.to_owned()),
    };
    let (FigureOf::Input(name) | FigureOf::Result(name)) = &of;
    let named = |name: &str| !name.is_empty() && !name.contains(['/', '#', ' ']);
    (named(name) && named(example) && lesson.is_none_or(named)).then_some(Address::Figure { lesson, example, of, unit })
}

fn relative(address: &str) -> Address<'_> {
    let (path, fragment) = address.split_once('#').map_or((address, None), |(path, fragment)| (path, Some(fragment)));
    let fragment = fragment.filter(|fragment| !fragment.is_empty());
    if path.is_empty() {
        return if fragment.is_some() { Address::Lesson { stem: None, fragment } } else { Address::Empty };
    }
    let plain = path.strip_prefix("./").unwrap_or(path);
    // A path is relative to `lessons/`, where the lesson is; one from the course's own folder reads naturally too.
    let plain = plain.strip_prefix("../").unwrap_or(plain);
    let lesson = plain.strip_prefix("lessons/").unwrap_or(plain);
    match lesson.strip_suffix(".md") {
        Some(stem) if !stem.contains('/') => {
            return Address::Lesson { stem: Some(stem), fragment };
        }
        _ => {}
    }
    // A page lies beside the folder `lessons/`, as a picture's folder does.
    if let Some(page) = pages().find(|page| fragment.is_none() && page == plain) {
        return Address::Page(page);
    }
    if let Some(name) = plain.strip_prefix("attachments/").filter(|name| !name.contains('/')) {
        return Address::Attachment(format!("attachments/{}", name.replace("%20", " ")));
    }
    match plain.strip_prefix("images/") {
        Some(name) if !name.contains('/') => Address::Image(format!("images/{name}")),
        _ => Address::Elsewhere,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_web_mail_and_the_course_can_be_reached() {
        assert_eq!(parse("https://example.org/a:b"), Address::Outside("https://example.org/a:b"));
        assert_eq!(parse("mailto:a@example.org"), Address::Outside("mailto:a@example.org"));
        for hostile in [
            "javascript:alert(1)",
            "JaVaScRiPt:x",
            " javascript:x",
            "data:text/html,x",
            "java\tscript:x",
            "file:///etc",
            "http:evil",
            "vbscript:x",
            "C:\\a",
            "blob:x",
        ] {
            assert!(matches!(parse(hostile), Address::Scheme(_)), "{hostile}");
        }
        for absolute in ["/etc", "//example.org", "\\\\host", "/\\host"] {
            assert_eq!(parse(absolute), Address::Absolute, "{absolute}");
        }
        for nowhere in ["a.html", "../../x.md", "lessons/a/b.md", "images/../x", "a"] {
            assert_eq!(parse(nowhere), Address::Elsewhere, "{nowhere}");
        }
    }

    #[test]
    fn a_lesson_is_reached_by_its_file_and_heading() {
        assert_eq!(parse("swath.md#pace"), Address::Lesson { stem: Some("swath"), fragment: Some("pace") });
        assert_eq!(parse("./swath.md"), Address::Lesson { stem: Some("swath"), fragment: None });
        assert_eq!(parse("#pace"), Address::Lesson { stem: None, fragment: Some("pace") });
        assert_eq!(parse("../drill.html"), Address::Page("drill.html".into()));
        assert_eq!(parse("../images/my%20gun.png"), Address::Image("images/my%20gun.png".into()));
    }

    #[test]
    fn a_computed_number_has_an_example_a_name_and_maybe_a_unit() {
        let of = |name: &str| FigureOf::Result(name.into());
        assert_eq!(
            parse("figure:first-catch/nozzle-output?in=gal/1000_ft2"),
            Address::Figure {
                lesson: None,
                example: "first-catch",
                of: of("nozzle-output"),
                unit: Some("gal/1000 ft2".into())
            }
        );
        assert_eq!(
            parse("figure:other.gun/input/catch.1.volume"),
            Address::Figure {
                lesson: Some("other"),
                example: "gun",
                of: FigureOf::Input("catch.1.volume".into()),
                unit: None
            }
        );
        for bad in [
            "figure:",
            "figure:a",
            "figure:/b",
            "figure:a/",
            "figure:a/b?x=1",
            "figure:a/b?in=",
            "figure:a/b/c",
            "figure:.a/b",
        ] {
            assert_eq!(parse(bad), Address::FigureForm, "{bad}");
        }
    }
}
