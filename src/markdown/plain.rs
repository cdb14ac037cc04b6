//! Which stretches of a text are letters and nothing else: they are shown as they are, and nothing is looked for in them.

use std::ops::Range;

/// The bytes of a text that may be more than a letter: signs of Markdown, of HTML and of what is looked for in plain
/// text, and everything beyond ASCII. Found in one pass, eight bytes at a time; every event asks for its own stretch.
#[derive(Debug)]
pub(super) struct Signs {
    /// Their places, rising.
    places: Vec<u32>,
    /// The first of them that is not before the stretch asked about last.
    next: usize,
}

/// A byte in each of the eight places of a word.
const fn each(byte: u8) -> u64 {
    u64::from_le_bytes([byte; 8])
}

/// The highest bit of each byte that may be a sign.
fn signs(word: u64) -> u64 {
    let low = word & each(0x7f);
    // The highest bit of each byte from `first` on; none of the sums reaches the next byte.
    let from = |bytes: u64, first: u8| bytes + each(0x80 - first);
    let within = |first: u8, last: u8| from(low, first) & !from(low, last + 1);
    // `[`, `\`, `]`, `^`, `_` and `{`, `|`, `}`, `~` are the same but for the bit that makes a letter small.
    let brackets = from(low | each(0x20), b'{');
    (word | brackets | within(b'"', b'*') | within(b':', b'>') | within(b'`', b'`')) & each(0x80)
}

impl Signs {
    /// Those of a text.
    pub(super) fn of(text: &str) -> Signs {
        let mut places = Vec::with_capacity(text.len() / 8);
        let (words, rest) = text.as_bytes().as_chunks::<8>();
        let mut last = [0; 8];
        last[..rest.len()].copy_from_slice(rest);
        for (index, word) in words.iter().chain([&last]).enumerate() {
            let mut found = signs(u64::from_le_bytes(*word));
            while found != 0 {
                // A text of a course has at most some megabytes.
                places.push((8 * index) as u32 + found.trailing_zeros() / 8);
                found &= found - 1;
            }
        }
        Signs { places, next: 0 }
    }

    /// Whether one of them is within a stretch of the text. Asking from the beginning of the text to its end is quick.
    pub(super) fn any(&mut self, range: &Range<usize>) -> bool {
        let before = |place: &u32| (*place as usize) < range.start;
        if self.next > 0 && !self.places.get(self.next - 1).is_some_and(before) {
            self.next = self.places.partition_point(before);
        }
        while self.places.get(self.next).is_some_and(before) {
            self.next += 1;
        }
        self.places.get(self.next).is_some_and(|place| (*place as usize) < range.end)
    }
}

#[cfg(test)]
mod tests {
    use super::Signs;

    #[test]
    fn whatever_is_not_shown_as_it_is_or_looked_at_is_a_sign() {
        for byte in b"[]{}#*|:`'\"&<>^\\".iter().copied().chain(0x80..=0xff) {
            let word = u64::from_le_bytes([b'a', b'z', byte, b'A', b'Z', b' ', b'.', b'0']);
            assert_eq!(super::signs(word), 0x80 << 16, "{byte}");
        }
        for letter in "abcxyzABCXYZ0189 .,;?!/+-=%()\n\t".bytes().filter(|letter| !b";=%()".contains(letter)) {
            assert_eq!(super::signs(u64::from_le_bytes([letter; 8])), 0, "{}", char::from(letter));
        }
    }

    #[test]
    fn a_sign_is_found_in_any_stretch_in_any_order() {
        let text = "The *gun* sprays [this](a.md) much: ½ of it, and no more of it than that & so on. The end";
        let is_sign = |byte: u8| !(byte.is_ascii_alphanumeric() || matches!(byte, b' ' | b',' | b'.'));
        let mut signs = Signs::of(text);
        for step in [1, 7, 41] {
            for turn in 0..text.len() {
                let start = turn * step % text.len();
                for end in start..=text.len() {
                    let found = text.as_bytes()[start..end].iter().any(|byte| is_sign(*byte));
                    assert_eq!(signs.any(&(start..end)), found, "{start} to {end}");
                }
            }
        }
    }
}
