//! What the binary carries: stock content, the demo course, the page templates and the built core.

use include_dir::{Dir, include_dir};

/// Stock lessons, question banks, cautions and phrases.
pub static CONTENT: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/content");
/// The course of a made-up company.
pub static DEMO: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/site-demo");
/// Page templates, the parts of the stylesheet, scripts.
pub static TEMPLATES: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/templates");
/// The core, built for the browser, and its parts.
static CORE: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/calc-wasm/pkg");
/// What no page loads: the answers as data.
const NO_PAGES: &str = "data";

/// The way into the core.
pub fn core_script() -> &'static str {
    text(&CORE, "core.js")
}

/// What every page that computes loads, packed as text.
pub fn core_packed() -> &'static str {
    text(&CORE, "core.txt")
}

/// What some pages load besides, by name: `tank-mix`, `practice`.
pub fn core_parts() -> impl Iterator<Item = (&'static str, &'static str)> {
    CORE.files().filter_map(|file| {
        let name = file.path().to_str()?.strip_prefix("core-")?.strip_suffix(".txt")?;
        (name != NO_PAGES).then(|| (name, file.contents_utf8().unwrap_or_default()))
    })
}

/// Whether a file of a course is the stock's own, unchanged.
pub fn is_text(name: &str, text: &str) -> bool {
    CONTENT.get_file(name).and_then(|file| file.contents_utf8()) == Some(text)
}

/// The text of an embedded file.
///
/// # Panics
/// Never for a file of the tree; a missing one is found by the first test that publishes.
pub fn text(folder: &'static Dir<'static>, name: &str) -> &'static str {
    folder.get_file(name).and_then(|file| file.contents_utf8()).unwrap_or_default()
}
