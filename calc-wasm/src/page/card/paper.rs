//! Where a card's HTML is written: a few calls made many times, so that they are in the WebAssembly once.

use crate::text::escape::{html, quantities};
use crate::words::phrases::Phrases;

/// HTML being written, with the phrases it is written from.
pub(crate) struct Paper<'a> {
    pub(crate) out: String,
    pub(crate) phrases: &'a Phrases,
}

impl<'a> Paper<'a> {
    pub(crate) fn new(phrases: &'a Phrases) -> Paper<'a> {
        Paper { out: String::new(), phrases }
    }

    /// Markup, as it is.
    #[inline(never)]
    pub(crate) fn raw(&mut self, markup: &str) -> &mut Self {
        self.out.push_str(markup);
        self
    }

    /// Text, escaped.
    #[inline(never)]
    pub(crate) fn text(&mut self, text: &str) -> &mut Self {
        self.raw(&html(text))
    }

    /// Text with quantities, escaped, each number on one line with its unit.
    #[inline(never)]
    pub(crate) fn quantities(&mut self, text: &str) -> &mut Self {
        self.raw(&quantities(text))
    }

    /// The phrase with this key, escaped.
    #[inline(never)]
    pub(crate) fn phrase(&mut self, key: &str) -> &mut Self {
        let phrases = self.phrases;
        self.text(phrases.get(key))
    }

    /// The phrase with this key and its one place filled, escaped.
    #[inline(never)]
    pub(crate) fn filled(&mut self, key: &str, value: &str) -> &mut Self {
        let text = self.phrases.fill(key, |_| Some(value.to_owned()));
        self.quantities(&text)
    }
}
