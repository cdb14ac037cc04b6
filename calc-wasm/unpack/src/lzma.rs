//! LZMA without a header and without an end, with one bit of the byte before a letter and none of its place. The format
//! is that of its specification (Igor Pavlov, “LZMA specification”, 2015). The library that packs reads it too, and would
//! make this package three times as long for every page that computes.

use crate::{byte, stop};

// Where the chances of each kind begin; whether a letter is next comes first.
const AGAIN: usize = 12;
const OLDER: usize = 24;
const OLDEST: usize = 36;
const LAST: usize = 48;
const LONG: usize = 60;
const SLOTS: usize = 72;
const NEAR: usize = 328;
const LOW: usize = 444;
const LENGTH: usize = 460;
const LENGTH_AGAIN: usize = 734;
const LETTERS: usize = 1008;
const CHANCES: usize = LETTERS + 2 * 768;

/// What is read: the packed bytes as base64, how likely each choice is, how wide the range is, and where in it the text.
struct Coder<'a> {
    text: &'a [u8],
    next: usize,
    range: u32,
    code: u32,
    chances: [u16; CHANCES],
}

impl Coder<'_> {
    /// The next byte comes into the range, where there is room for one.
    fn widen(&mut self) {
        if self.range < 1 << 24 {
            self.range <<= 8;
            self.code = self.code << 8 | u32::from(byte(self.text, self.next));
            self.next += 1;
        }
    }

    /// The next choice.
    fn bit(&mut self, place: usize) -> usize {
        let Some(held) = self.chances.get_mut(place) else { stop() };
        let chance = u32::from(*held);
        let bound = (self.range >> 11) * chance;
        let bit = self.code >= bound;
        if bit {
            self.range -= bound;
            self.code -= bound;
            *held = (chance - (chance >> 5)) as u16;
        } else {
            self.range = bound;
            *held = (chance + ((2048 - chance) >> 5)) as u16;
        }
        self.widen();
        usize::from(bit)
    }

    /// A number of so many bits, the highest first.
    fn bits(&mut self, base: usize, bits: u32) -> usize {
        let mut node = 1;
        for _ in 0..bits {
            node = node << 1 | self.bit(base + node);
        }
        node - (1 << bits)
    }

    /// The same, the lowest first.
    fn bits_back(&mut self, base: usize, bits: u32) -> usize {
        let (mut node, mut value) = (1, 0);
        for index in 0..bits {
            let bit = self.bit(base + node);
            node = node << 1 | bit;
            value |= bit << index;
        }
        value
    }

    /// How many bytes are repeated.
    fn length(&mut self, base: usize) -> usize {
        if self.bit(base) == 0 {
            2 + self.bits(base + 2, 3)
        } else if self.bit(base + 1) == 0 {
            10 + self.bits(base + 10, 3)
        } else {
            18 + self.bits(base + 18, 8)
        }
    }

    /// How far back they are, less one.
    fn distance(&mut self, length: usize) -> usize {
        let slot = self.bits(SLOTS + 64 * (length - 2).min(3), 6);
        if slot < 4 {
            return slot;
        }
        let bits = (slot >> 1) as u32 - 1;
        let mut distance = (2 | slot & 1) << bits;
        if slot < 14 {
            return distance + self.bits_back(NEAR + distance - slot, bits);
        }
        for index in (4..bits).rev() {
            self.range >>= 1;
            if self.code >= self.range {
                self.code -= self.range;
                distance += 1 << index;
            }
            self.widen();
        }
        distance + self.bits_back(LOW, 4)
    }

    /// A letter; after a repetition it is another than `like`, which would have followed.
    fn letter(&mut self, base: usize, like: Option<u8>) -> u8 {
        let mut node = 1;
        if let Some(like) = like {
            let mut left = usize::from(like);
            while node < 256 {
                let wanted = left >> 7 & 1;
                left <<= 1;
                let bit = self.bit(base + ((1 + wanted) << 8) + node);
                node = node << 1 | bit;
                if bit != wanted {
                    break;
                }
            }
        }
        while node < 256 {
            node = node << 1 | self.bit(base + node);
        }
        node as u8
    }
}

/// The byte so far back from `at`, less one.
fn earlier(out: &[u8], at: usize, back: usize) -> u8 {
    let Some(byte) = out.get(at.wrapping_sub(back + 1)) else { stop() };
    *byte
}

fn put(out: &mut [u8], at: usize, byte: u8) {
    let Some(place) = out.get_mut(at) else { stop() };
    *place = byte;
}

/// Fills `out` from `at` on; what is there before may be referred to. `from` is the first packed byte of the `text`.
pub(crate) fn unpack(text: &[u8], from: usize, out: &mut [u8], mut at: usize) {
    let mut coder = Coder { text, next: from + 5, range: u32::MAX, code: 0, chances: [1024; CHANCES] };
    for place in 1..5 {
        coder.code = coder.code << 8 | u32::from(byte(text, from + place));
    }
    // The last four distances, less one, the newest first.
    let (mut back, mut state) = ([0; 4], 0);
    while at < out.len() {
        if coder.bit(state) == 0 {
            let base = LETTERS + if at > 0 && earlier(out, at, 0) > 127 { 768 } else { 0 };
            let like = (state > 6).then(|| earlier(out, at, back[0]));
            put(out, at, coder.letter(base, like));
            at += 1;
            state = match state {
                0..4 => 0,
                4..10 => state - 3,
                _ => state - 6,
            };
            continue;
        }
        let mut count = 1;
        if coder.bit(AGAIN + state) == 0 {
            count = coder.length(LENGTH);
            back = [coder.distance(count), back[0], back[1], back[2]];
            state = if state < 7 { 7 } else { 10 };
        } else {
            let older = coder.bit(OLDER + state) == 1;
            if !older && coder.bit(LONG + state) == 0 {
                state = if state < 7 { 9 } else { 11 };
            } else {
                if older {
                    let [one, two, three, four] = back;
                    back = if coder.bit(OLDEST + state) == 0 {
                        [two, one, three, four]
                    } else if coder.bit(LAST + state) == 0 {
                        [three, one, two, four]
                    } else {
                        [four, one, two, three]
                    };
                }
                count = coder.length(LENGTH_AGAIN);
                state = if state < 7 { 8 } else { 11 };
            }
        }
        for _ in 0..count {
            put(out, at, earlier(out, at, back[0]));
            at += 1;
        }
    }
}
