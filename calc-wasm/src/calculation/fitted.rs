//! Which parts of the core are there. Natively all of them; in the browser those that have registered themselves: the
//! declarations of the others would read as zeros, and a text without an address is no text.

#[cfg(target_family = "wasm")]
use std::cell::RefCell;

#[cfg(target_family = "wasm")]
thread_local! {
    static FITTED: RefCell<Vec<String>> = const { RefCell::new(Vec::new()) };
}

/// Registers a part.
pub(crate) fn add(part: &str) {
    #[cfg(target_family = "wasm")]
    FITTED.with(|fitted| fitted.borrow_mut().push(part.to_owned()));
    #[cfg(not(target_family = "wasm"))]
    let _ = part;
}

/// Whether a part is there.
pub(crate) fn is(part: &str) -> bool {
    #[cfg(target_family = "wasm")]
    return FITTED.with(|fitted| fitted.borrow().iter().any(|one| one == part));
    #[cfg(not(target_family = "wasm"))]
    {
        let _ = part;
        true
    }
}
