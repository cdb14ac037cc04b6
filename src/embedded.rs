//! What the binary carries: stock content, the demo course, the page templates and the built core.

use include_dir::{Dir, include_dir};

/// Stock lessons, question banks, cautions and phrases.
pub static CONTENT: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/content");
/// The course of a made-up company.
pub static DEMO: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/site-demo");
/// Page templates, the parts of the stylesheet, scripts.
pub static TEMPLATES: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/templates");
/// The core, built for the browser.
pub static CORE_WASM: &[u8] = include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/pkg/core_bg.wasm"));
/// What only some pages load beside it: path in the site, name, bytes.
pub static CORE_PARTS: [(&str, &str, &[u8]); 3] = [
    (
        "assets/core-more.js",
        "more",
        include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/pkg/core_more.wasm")),
    ),
    (
        "assets/core-practice.js",
        "practice",
        include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/pkg/core_practice.wasm")),
    ),
    (
        "assets/core-card.js",
        "card",
        include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/pkg/core_card.wasm")),
    ),
];
/// The way into it.
pub static CORE_SCRIPT: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/pkg/core.js"));

/// The text of an embedded file.
///
/// # Panics
/// Never for a file of the tree; a missing one is found by the first test that publishes.
pub fn text(folder: &'static Dir<'static>, name: &str) -> &'static str {
    folder.get_file(name).and_then(|file| file.contents_utf8()).unwrap_or_default()
}
