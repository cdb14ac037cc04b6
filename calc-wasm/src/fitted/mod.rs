//! Which parts of the core are there. Natively all of them; in the browser those that have registered themselves: the
//! declarations of the others would read as zeros, and a text without an address is no text.
//!
//! Some parts are needed only now and then, once somebody asks for them or types something out of the ordinary. Whoever
//! is about to call into one asks [`has`] first. Where it is missing, that is noted, the work goes on with nothing in its
//! place, and the door throws the answer away: it says what is [`missed`], and is asked again with that.

#[cfg(target_family = "wasm")]
use std::cell::{Cell, RefCell};

/// The names of the parts that a worked example loads when it first needs them, as build, pages and scripts list them.
pub const EXTRAS: [&str; Extra::ALL.len()] = {
    let mut names = [""; Extra::ALL.len()];
    let mut index = 0;
    while index < names.len() {
        names[index] = Extra::ALL[index].name();
        index += 1;
    }
    names
};

/// A part that a worked example loads when it first needs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Extra {
    /// What a person types out of the ordinary: `1 gal 58 fl oz`, `7'6"`, words for units.
    Typing,
    /// What is wrong with an input, in words.
    Problems,
    /// The form anew: other rows, other units.
    Form,
    /// How sure a result is, in full.
    Doubt,
    /// The steps with their unit factors.
    Chain,
}

impl Extra {
    const ALL: [Extra; 5] = [Extra::Typing, Extra::Problems, Extra::Form, Extra::Doubt, Extra::Chain];

    /// The part's name.
    const fn name(self) -> &'static str {
        match self {
            Extra::Typing => "typing",
            Extra::Problems => "problems",
            Extra::Form => "form",
            Extra::Doubt => "doubt",
            Extra::Chain => "chain",
        }
    }
}

#[cfg(target_family = "wasm")]
thread_local! {
    static FITTED: RefCell<Vec<String>> = const { RefCell::new(Vec::new()) };
    /// Extra parts that are there, and those that were missed since a door last asked: a bit for each.
    static EXTRA: Cell<u8> = const { Cell::new(0) };
    static MISSED: Cell<u8> = const { Cell::new(0) };
}

/// Registers a part.
pub(crate) fn add(part: &str) {
    #[cfg(target_family = "wasm")]
    {
        if let Some(extra) = Extra::ALL.iter().find(|extra| extra.name() == part) {
            EXTRA.set(EXTRA.get() | 1 << *extra as u8);
        }
        FITTED.with(|fitted| fitted.borrow_mut().push(part.to_owned()));
    }
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

/// Whether an extra part is there; that it is missing is noted.
pub(crate) fn has(extra: Extra) -> bool {
    #[cfg(target_family = "wasm")]
    {
        let (there, bit) = (EXTRA.get(), 1 << extra as u8);
        if there & bit == 0 {
            MISSED.set(MISSED.get() | bit);
        }
        there & bit != 0
    }
    #[cfg(not(target_family = "wasm"))]
    {
        let _ = extra;
        true
    }
}

/// Whether a part was missed since a door last asked, so that the rest of an answer need not be made.
pub(crate) fn any_missed() -> bool {
    #[cfg(target_family = "wasm")]
    return MISSED.get() != 0;
    #[cfg(not(target_family = "wasm"))]
    false
}

/// The names of the parts that were missed since this was last asked.
pub(crate) fn missed() -> Vec<&'static str> {
    #[cfg(target_family = "wasm")]
    {
        let missed = MISSED.replace(0);
        Extra::ALL.into_iter().filter(|extra| missed & 1 << *extra as u8 != 0).map(Extra::name).collect()
    }
    #[cfg(not(target_family = "wasm"))]
    Vec::new()
}
