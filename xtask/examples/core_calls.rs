//! Times the core natively, for `cargo xtask bench`.
//!
//! `core_calls PHRASES` prints `calculator<TAB>microseconds` for each call; the same calls are timed
//! through WebAssembly by `tests/browser/core_calls.mjs`.

fn main() {}
