//! The WebAssembly kept in the tree belongs to the sources beside it.
//!
//! This compares digests only; `cargo xtask wasm --check` builds it again and compares the bytes.

#[path = "../xtask/src/sources.rs"]
mod sources;

use std::path::Path;

#[test]
fn the_webassembly_in_the_tree_was_built_from_these_sources() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let reason = sources::stale(root).expect("the sources can be read");
    assert_eq!(reason, None, "run `cargo xtask wasm` and commit calc-wasm/pkg");
}
