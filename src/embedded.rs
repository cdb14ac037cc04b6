//! What the binary carries: stock content, the demo course, the page templates and the built core.

use include_dir::{Dir, File, include_dir};

/// Stock lessons, question banks, cautions and phrases.
pub static CONTENT: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/content");
/// The course of a made-up company.
pub static DEMO: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/site-demo");
/// Page templates, the parts of the stylesheet, scripts.
pub static TEMPLATES: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/templates");
/// The core, built for the browser, and its parts.
static CORE: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/calc-wasm/pkg");
/// What was made of these when the program was built (`build.rs`), by the same paths.
static READY: Dir<'static> = include_dir!("$OUT_DIR/ready");
/// What no page loads: the answers as data.
const NO_PAGES: &str = "data";

/// The way into the core, compact.
pub fn core_script() -> &'static str {
    text(&READY, "calc-wasm/pkg/core.js")
}

/// A script or style of the templates, compact.
pub fn compact(name: &str) -> &'static str {
    text(&READY, &format!("templates/{name}"))
}

/// A list or the settings of the stock content as JSON, by the path that its YAML has, without the ending.
pub fn as_json(path: &str) -> Option<&'static str> {
    file(&READY, &format!("content/{path}.json"))?.contents_utf8()
}

/// The phrases of a language in order of key: each key, a unit separator, its text and a record separator.
pub fn phrase_records(language: &str) -> Option<&'static str> {
    file(&READY, &format!("content/phrases/{language}"))?.contents_utf8()
}

/// What was made of the stock's own words: scripts, worked examples and what else the pages show.
pub fn words_ready(name: &str) -> Option<&'static [u8]> {
    file(&READY, &format!("words/{name}")).map(File::contents)
}

/// A stock bank as `course` takes it, if this is the stock's bank, unchanged: its share to pass and its title, and a
/// record for each question.
pub fn bank_ready(name: &str, text: &str) -> Option<&'static str> {
    is_text(name, text).then(|| file(&READY, &format!("banks/{name}"))).flatten()?.contents_utf8()
}

/// The events of a stock bank's YAML, for `yaml` to put together, if this is the stock's bank, unchanged.
pub fn events(name: &str, text: &str) -> Option<&'static [u8]> {
    // Every lesson asks as well.
    let unchanged = name.starts_with("questions/") && is_text(name, text);
    unchanged.then(|| file(&READY, &format!("content/{name}"))).flatten().map(File::contents)
}

/// The WebAssembly that unpacks the core, as a script's text between double quotes, a letter for each byte.
pub fn core_unpacker() -> &'static str {
    text(&CORE, "unpack.txt")
}

/// What every page that computes loads, packed as text.
pub fn core_packed() -> &'static str {
    text(&CORE, "core.txt")
}

/// What some pages load besides, by name: `tank-mix`, `practice`.
pub fn core_parts() -> impl Iterator<Item = (&'static str, &'static str)> {
    core_files().map(|(name, file)| (name, file.contents_utf8().unwrap_or_default()))
}

/// Their names.
pub fn core_part_names() -> impl Iterator<Item = &'static str> {
    core_files().map(|(name, _)| name)
}

fn core_files() -> impl Iterator<Item = (&'static str, &'static File<'static>)> {
    let named =
        |file: &'static File<'static>| Some((file.path().to_str()?.strip_prefix("core-")?.strip_suffix(".txt")?, file));
    CORE.files().filter_map(named).filter(|(name, _)| *name != NO_PAGES)
}

/// Whether a file of a course is the stock's own, unchanged.
pub fn is_text(name: &str, text: &str) -> bool {
    file(&CONTENT, name).and_then(File::contents_utf8) == Some(text)
}

/// The text of an embedded file.
///
/// # Panics
/// Never for a file of the tree; a missing one is found by the first test that publishes.
pub fn text(folder: &'static Dir<'static>, name: &str) -> &'static str {
    file(folder, name).and_then(File::contents_utf8).unwrap_or_default()
}

/// An embedded file by its path, with forward slashes.
pub fn file(root: &'static Dir<'static>, path: &str) -> Option<&'static File<'static>> {
    // Paths are compared as they are written: part by part, publishing would spend more on it than on its icons.
    let mut folder = root;
    for (end, _) in path.match_indices('/') {
        folder = folder.dirs().find(|inner| inner.path().as_os_str() == &path[..end])?;
    }
    folder.files().find(|file| file.path().as_os_str() == path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_found_by_its_path_and_nothing_else_is() {
        for path in ["limits.yaml", "phrases/en/site.yaml"] {
            let found = file(&CONTENT, path).expect("it is in the tree");
            assert!(CONTENT.get_file(path) == Some(found) && !text(&CONTENT, path).is_empty(), "{path}");
        }
        for path in
            ["", "/", "limits.yaml/", "/limits.yaml", "phrases", "phrases/en", "phrases/site.yaml", "../content"]
        {
            assert!(file(&CONTENT, path).is_none(), "{path}");
        }
    }
}
