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
/// What no page loads: the answers as data.
const NO_PAGES: &str = "data";

/// The way into the core.
pub fn core_script() -> &'static str {
    text(&CORE, "core.js")
}

/// The WebAssembly that unpacks the core, as base64.
pub fn core_unpacker() -> &'static str {
    text(&CORE, "unpack.txt")
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
