//! The scripts and styles that every site has, as far as a course's words decide them. For the stock's own words they are
//! made when the program is built (`build.rs`).

use super::phrases::{CORE, by_part};
use super::spoken::{around_words, brought, learner_words, search_words};
use tankside_calc::words::phrases::Phrases;

/// The files of `templates/style/`, in the order in which they are joined into the one published stylesheet: later
/// rules win over earlier ones, so the order is part of the look.
pub(crate) const STYLE: &[&str] =
    &["colours-and-sizes", "frame", "page", "prose", "caution", "worked-example", "answer", "asks", "turn", "foot"];

/// The look of lessons, of questions and of what learners do, on lessons and learners' pages; a calculator's page does
/// without it.
pub(crate) const LEARNING: &[&str] = &["lesson", "quiz", "learning"];
/// The look of the formula sheet, of units and of the glossary.
pub(crate) const REFERENCE: &str = "reference";
/// The look of the first page, of the calibration card and of the day's log, each on one page only.
pub(crate) const COVER: &str = "cover";
pub(crate) const CARD: &str = "card";
pub(crate) const LOG: &str = "log";

/// The scripts that every page has, in the order in which they are joined.
pub(crate) const SITE: &[&str] = &["fit.js", "page.js", "bar.js", "worked.js", "site.js"];
/// The scripts in `templates/learn/` that every page which asks questions needs, in the order in which they are joined.
pub(crate) const ASKING: &[&str] = &["question", "round", "paper", "marked", "resume"];
/// The scripts of single pages for learners.
pub(crate) const LEARNERS_PAGES: &[&str] =
    &["home", "drill", "exam", "finds", "log", "pocket", "progress", "reading", "steps"];

/// What scripts and styles are made of.
pub(crate) struct Parts<'p> {
    /// A script or style of `templates/` by its name there, compact.
    pub(crate) compact: &'p dyn Fn(&str) -> &'p str,
    /// The way into the core, compact.
    pub(crate) entry: &'p str,
    /// The WebAssembly that unpacks the core, as text.
    pub(crate) unpacker: &'p str,
    /// The core, packed as text.
    pub(crate) core: &'p str,
    /// What some pages load besides, by name.
    pub(crate) extra: Vec<(&'p str, &'p str)>,
}

impl Parts<'_> {
    /// A script in `templates/learn/`.
    fn script(&self, name: &str) -> &str {
        (self.compact)(&format!("learn/{name}.js"))
    }

    /// A script in `templates/around/`: what every page has whatever is on it.
    fn around(&self, name: &str) -> &str {
        (self.compact)(&format!("around/{name}.js"))
    }

    /// Parts of the look, compact: each is whole by itself.
    fn style(&self, parts: &[&str]) -> String {
        parts.iter().map(|part| (self.compact)(&format!("style/{part}.css"))).collect()
    }
}

/// Stylesheets, scripts, core with its parts, and phrases, by name; `site.css` without the course's own colours.
pub(crate) fn scripts(parts: &Parts, phrases: &Phrases) -> Vec<(String, String)> {
    let mut said = by_part(phrases);
    let mut part = |name: &str, packed: &str| brought(name, packed, said.remove(name).unwrap_or_default());
    let core = part(CORE, parts.core);
    let unpack = format!("const TANKSIDE_UNPACK=\"{}\";\n", parts.unpacker) + (parts.compact)("unpack.js");
    let extra: Vec<(&str, String)> = parts.extra.iter().map(|(name, packed)| (*name, part(name, packed))).collect();
    let joined = |names: &[&str], of: &dyn Fn(&str) -> String| names.iter().map(|name| of(name)).collect::<String>();
    let mut all = vec![
        ("site.css".to_owned(), parts.style(STYLE)),
        ("learning.css".to_owned(), parts.style(LEARNING)),
        ("cover.css".to_owned(), parts.style(&[COVER])),
        ("card.css".to_owned(), parts.style(&[CARD])),
        ("log.css".to_owned(), parts.style(&[LOG])),
        ("reference.css".to_owned(), parts.style(&[REFERENCE])),
        ("learn-store.js".to_owned(), learner_words(phrases) + parts.script("shelf") + parts.script("store")),
        ("learn.js".to_owned(), joined(ASKING, &|name| parts.script(name).to_owned())),
        ("core.js".to_owned(), unpack + parts.entry + &core),
        ("site.js".to_owned(), joined(SITE, &|name| (parts.compact)(name).to_owned())),
    ];
    let plain = |name: &str| (parts.compact)(&format!("{name}.js")).to_owned();
    all.extend(["quiz", "card"].map(|name| (format!("{name}.js"), plain(name))));
    all.push(("around.js".to_owned(), around_words(phrases) + parts.around("around")));
    let search = search_words(phrases) + parts.around("find") + parts.around("search");
    all.push(("search.js".to_owned(), search));
    all.push(("keep.js".to_owned(), parts.around("keep").to_owned()));
    all.push(("search.css".to_owned(), (parts.compact)("around/search.css").to_owned()));
    all.extend(LEARNERS_PAGES.iter().map(|name| (format!("{name}.js"), parts.script(name).to_owned())));
    all.extend(extra.into_iter().map(|(name, script)| (format!("core-{name}.js"), script)));
    // What is left belongs to no part: the words of mistakes.
    all.extend(said.into_iter().map(|(name, lines)| (format!("core-{name}.js"), brought(&name, "", lines))));
    all
}
