//! The core and its parts out of the text that their scripts carry: base64, LZMA, and streams of alike bytes put
//! together as WebAssembly. `cargo xtask wasm` packs them (`xtask/src/parts/pack.rs`).
//!
//! WebAssembly of its own, small and carried as it is: a browser runs it at full speed from the first byte on, where a
//! script that does the same is slow until the core is nearly unpacked.
#![cfg_attr(target_family = "wasm", no_std)]

#[cfg(target_family = "wasm")]
mod door;
mod lzma;
mod together;

pub use together::{GET_FORMER, GET_LATEST, LONG_NUMBER, SET_LATEST, STREAMS, lent_name};

/// How long the text of a packed module may be, in letters of base64.
pub const MOST_TEXT: usize = 0x2_8000;
/// How long all streams may be, those of the core before them included.
pub const MOST_STREAMS: usize = 0x8_0000;
/// How long a module may be.
pub const MOST_MODULE: usize = 0x8_0000;
/// Bytes before what LZMA reads: the length of each stream, three bytes each, lowest first.
const LENGTHS: usize = 3 * STREAMS;

/// How long the streams are that a packed module holds; `text` is base64.
pub fn length(text: &[u8]) -> usize {
    (0..STREAMS).map(|stream| length_of(text, stream)).sum()
}

fn length_of(text: &[u8], stream: usize) -> usize {
    (0..3).rev().fold(0, |length, at| length << 8 | usize::from(byte(text, 3 * stream + at)))
}

/// Unpacks `text` and says how long the module is: its streams go into `streams` from `before` on, where the core's
/// already are for a part, or nothing is; the module goes into `module`.
pub fn unpack(text: &[u8], streams: &mut [u8], before: usize, module: &mut [u8]) -> usize {
    let (mut at, mut end) = ([0; STREAMS], before);
    for (stream, begins) in at.iter_mut().enumerate() {
        *begins = end;
        end += length_of(text, stream);
    }
    let Some(streams) = streams.get_mut(..end) else { stop() };
    lzma::unpack(text, LENGTHS, streams, before);
    together::module(streams, at, module)
}

/// What was not packed by us ends here: in a trap, which a page tells as a part that cannot be loaded. Indexing would end
/// there too, but bring the words for it along, three times as long as all the rest.
fn stop() -> ! {
    #[cfg(target_family = "wasm")]
    core::arch::wasm32::unreachable();
    #[cfg(not(target_family = "wasm"))]
    panic!("this was not packed by `cargo xtask wasm`");
}

/// A byte of what base64 stands for; 0 after its end.
fn byte(text: &[u8], at: usize) -> u8 {
    let (first, shift) = (at / 3 * 4 + at % 3, 2 * (at % 3) as u32);
    let of = |at: usize| text.get(at).map_or(0, |letter| value(*letter));
    of(first) << (2 + shift) | of(first + 1) >> (4 - shift)
}

/// What a letter of base64 stands for (RFC 4648).
fn value(letter: u8) -> u8 {
    match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        _ => 63,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn base64_is_that_of_rfc_4648() {
        // Section 10 of it.
        for (text, bytes) in [("Zg", "f"), ("Zm8", "fo"), ("Zm9v", "foo"), ("Zm9vYg", "foob"), ("Zm9vYmFy", "foobar")] {
            let read: Vec<u8> = (0..bytes.len()).map(|at| super::byte(text.as_bytes(), at)).collect();
            assert_eq!(read, bytes.as_bytes());
        }
        let all: Vec<u8> = (0..=255).collect();
        let text = "AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8gISIjJCUmJygpKissLS4vMDEyMzQ1Njc4OTo7PD0+P0BBQkNERUZHSElKS0xNTk9QUVJTVFVWV1hZWltcXV5fYGFiY2RlZmdoaWprbG1ub3BxcnN0dXZ3eHl6e3x9fn+AgYKDhIWGh4iJiouMjY6PkJGSk5SVlpeYmZqbnJ2en6ChoqOkpaanqKmqq6ytrq+wsbKztLW2t7i5uru8vb6/wMHCw8TFxsfIycrLzM3Oz9DR0tPU1dbX2Nna29zd3t/g4eLj5OXm5+jp6uvs7e7v8PHy8/T19vf4+fr7/P3+/w";
        assert!(all.iter().enumerate().all(|(at, wanted)| super::byte(text.as_bytes(), at) == *wanted));
    }
}
