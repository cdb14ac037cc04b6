//! What `course.yaml` says about the company's look: logo, colors, footer, attachments.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Deserialize;

use super::files::Files;
use super::logo::{SEEN, lost};
use super::settings::CourseFile;
use super::words::check_html;
use crate::catalogue::refused_addresses;
use crate::colour::{Colour, LEAST, stock};
use crate::problem::{Problems, code, nearest, offer};
use crate::yaml::{Document, not_blank};

/// The company's colors, each written `#163a2b`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Colours {
    /// For the band at the top of a page, the cover and the main button.
    #[schemars(regex(pattern = "^\\s*#[0-9A-Fa-f]{6}\\s*$"))]
    pub band: Option<String>,
    /// For links.
    #[schemars(regex(pattern = "^\\s*#[0-9A-Fa-f]{6}\\s*$"))]
    pub link: Option<String>,
}

/// The title of a file in `attachments/`.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Titled {
    /// Its name in the folder.
    pub file: String,
    /// Its title in the list.
    #[schemars(regex(pattern = crate::notation::SAYS_SOMETHING))]
    pub title: String,
}

/// Endings of files that may be attached: what a browser saves, and never runs.
pub const ATTACHED: &[&str] = &["pdf", "csv", "txt", "docx", "xlsx", "odt", "ods"];

/// Checks the settings for the company's look.
pub(super) fn check_face(
    files: &dyn Files,
    document: &Document,
    settings: &CourseFile,
    images: &BTreeSet<String>,
    problems: &mut Problems,
) {
    check_logo(files, document, settings, images, problems);
    if document.root().get("colors").is_some() && document.root().get("colours").is_some() {
        let title = "`colours` and `colors` are the same key, and both are here";
        problems.push(document.problem(code::DUPLICATE_KEY, title, "colors").help("keep one of the two"));
    }
    for (name, colour) in [("band", &settings.face().band), ("link", &settings.face().link)] {
        check_colour(document, name, colour.as_deref(), problems);
    }
    if let Some(footer) = &settings.footer {
        not_blank(document, "footer", footer, problems);
        check_html(document, "footer", footer, problems);
        for address in refused_addresses(footer) {
            let title =
                format!("a link in the footer starts with `https:`, `http:` or `mailto:`, and this is `{address}`");
            problems.push(document.problem(code::LINK_SCHEME, title, "footer").help("write a web address in full"));
        }
    }
    check_titles(files, document, settings, problems);
}

fn check_logo(
    files: &dyn Files,
    document: &Document,
    settings: &CourseFile,
    images: &BTreeSet<String>,
    problems: &mut Problems,
) {
    let Some(logo) = &settings.logo else { return };
    // A picture that is there and was refused has been reported with what is wrong with it.
    let refused = problems.iter().any(|problem| *problem.file == **logo);
    if refused {
        return;
    }
    if images.contains(logo) {
        let band = settings.face().band.as_deref().and_then(Colour::read);
        if let Some((screen, contrast)) = lost(files, logo, band) {
            let title = format!(
                "this logo can hardly be seen on its band, on {screen} screen: {contrast:.1} to 1, and WCAG asks for {SEEN} to 1"
            );
            let help = "save it in lighter colors, or on a light ground of its own";
            problems.push(document.problem(code::LOGO_CONTRAST, title, "logo").help(help));
        }
        return;
    }
    let title = format!("there is no picture `{logo}` for the logo in this course");
    let with_folder = format!("images/{logo}");
    let near =
        images.get(&with_folder).map(String::as_str).or_else(|| nearest(logo, images.iter().map(String::as_str)));
    let help = near
        .map_or("put the picture into the folder `images/` and write `logo: images/NAME.svg`".to_owned(), |near| {
            format!("write `logo: {near}`")
        });
    problems.push(document.problem(code::IMAGE_MISSING, title, "logo").help(help));
}

fn check_colour(document: &Document, name: &str, written: Option<&str>, problems: &mut Problems) {
    let key = if document.root().get("colors").is_some() { "colors" } else { "colours" };
    let path = format!("{key}.{name}");
    let Some(node) = document.root().get(key).and_then(|all| all.get(name)) else { return };
    let line = document.source().text.get(node.span.end..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    // What is offered is accepted when it is written: a color that is hard to read is made darker at once.
    let fit = |colour: Colour| if name == "link" { colour.readable_on_light() } else { colour.fit_as_band() };
    let meant = |text: &str| {
        let meant = six_digits(text).and_then(|digits| Colour::read(&digits)).or_else(|| Colour::meant(text));
        let offered = meant.map_or(stock::BAND, fit);
        let darker = meant.is_some_and(|meant| offered != meant);
        let darker = if darker { ", the same color, darker, so that it can be read" } else { "" };
        format!("`{name}: \"{}\"`{darker}", offered.written())
    };
    let mut tell = |rule, title: String, help: String| {
        let problem = crate::problem::Problem::new(rule, title, "").at(document.source(), node.span.clone());
        problems.push(problem.help(help));
    };
    let Some(text) = written else {
        // Without quotes the `#` begins a comment, and the color is gone.
        let title = format!("`{path}` is empty; a `#` outside quotes starts a comment");
        return tell(code::COLOR_FORM, title, format!("put the color in quotes: {}", meant(line)));
    };
    let Some(colour) = Colour::read(text) else {
        let title = format!("a color such as `#163a2b` is expected, and this is `{text}`");
        return tell(code::COLOR_FORM, title, format!("write six digits after `#`, in quotes: {}", meant(text)));
    };
    let darker = colour.readable_on_light();
    if name == "link" && colour.least_contrast(&stock::LIGHT) < LEAST {
        let contrast = colour.least_contrast(&stock::LIGHT);
        let title = format!(
            "links in this color are hard to read: {contrast:.1} to 1 on a page, and WCAG asks for {LEAST} to 1"
        );
        tell(code::COLOR_CONTRAST, title, format!("write `{name}: \"{}\"`, the same color, darker", darker.written()));
    }
    if name == "band" && colour.contrast(colour.ink()) < LEAST {
        let contrast = colour.contrast(colour.ink());
        let title = format!(
            "no text is easy to read on this color: {contrast:.1} to 1 at most, and WCAG asks for {LEAST} to 1"
        );
        let darker = colour.readable_as_band();
        tell(code::COLOR_CONTRAST, title, format!("write `{name}: \"{}\"`, the same color, darker", darker.written()));
    }
}

/// The color of six digits in what is written with three, with or without `#`.
fn six_digits(text: &str) -> Option<String> {
    let digits = text.trim_start_matches([':', ' ', '#', '"', '\'', '“', '”', '„']).split_whitespace().next()?;
    let digits = digits.trim_end_matches(['"', '\'', '“', '”', '}', ',']);
    let all = |length: usize| digits.len() == length && digits.bytes().all(|byte| byte.is_ascii_hexdigit());
    match () {
        () if all(6) => Some(format!("#{}", digits.to_ascii_lowercase())),
        () if all(3) => Some(digits.chars().fold("#".to_owned(), |made, digit| format!("{made}{digit}{digit}"))),
        () => None,
    }
}

fn check_titles(files: &dyn Files, document: &Document, settings: &CourseFile, problems: &mut Problems) {
    if settings.attachments.is_empty() {
        return;
    }
    let there = files.list("attachments");
    let mut seen = crate::yaml::Seen::default();
    for (index, titled) in settings.attachments.iter().enumerate() {
        let path = format!("attachments[{index}]");
        // One that is not written with its keys has been reported.
        if document.get(&path).is_some_and(|item| !item.is_map()) {
            continue;
        }
        not_blank(document, &format!("{path}.title"), &titled.title, problems);
        let file = format!("{path}.file");
        seen.add(document, &file, &titled.file, "attachment", problems);
        if !there.contains(&titled.file) {
            let title = format!("there is no file `{}` in the folder `attachments/`", titled.file);
            let mut problem = document.problem(code::ATTACHMENT_MISSING, title, &file);
            let alone = titled.file.trim_start_matches("./").trim_start_matches("attachments/");
            problem.help = there.iter().any(|name| name == alone).then(|| format!("write `{alone}`"));
            problem.help = problem
                .help
                .or_else(|| offer(&titled.file, there.iter().map(String::as_str)))
                .or_else(|| Some("put the file into the folder `attachments/`, or remove this line".to_owned()));
            problems.push(problem);
        }
    }
}
