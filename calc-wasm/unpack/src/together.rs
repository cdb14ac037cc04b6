//! A module put together from its streams of alike bytes.

use crate::stop;

/// How many streams there are: all but code, locals, first bytes of instructions, and eleven of what goes on after them.
pub const STREAMS: usize = 14;
/// Stands for `i32.const` with a number of three bytes or more, which has a stream of its own.
pub const LONG_NUMBER: u8 = 0xFE;

const FRAME: usize = 0;
const LOCALS: usize = 1;
const CODE: usize = 2;
const BLOCK_TYPE: usize = 3;
const OFFSET: usize = 7;
const TARGETS: usize = 10;
const OTHER: usize = 11;
const FLOAT: usize = 13;
/// Of an instruction that its first byte is all of.
const NONE: usize = STREAMS;

const CODE_SECTION: u8 = 10;
/// How many bytes a length takes that is written once it is known.
const LENGTH: usize = 4;

/// In which stream an instruction goes on.
fn goes_on(code: u8) -> usize {
    match code {
        0x02..=0x04 => BLOCK_TYPE,
        0x0C | 0x0D => 4,
        0x10 => 5,
        0x20..=0x22 => 6,
        0x28..=0x3E => OFFSET,
        0x41 => 8,
        LONG_NUMBER => 9,
        0x0E => TARGETS,
        0x11 | 0x23 | 0x24 | 0x3F | 0x40 | 0xFC => OTHER,
        0x42 => 12,
        0x43 | 0x44 => FLOAT,
        _ => NONE,
    }
}

struct Joiner<'a> {
    streams: &'a [u8],
    /// Where each stream is read.
    at: [usize; STREAMS],
    module: &'a mut [u8],
    to: usize,
}

impl Joiner<'_> {
    fn put(&mut self, byte: u8) {
        let Some(place) = self.module.get_mut(self.to) else { stop() };
        *place = byte;
        self.to += 1;
    }

    fn next(&mut self, stream: usize) -> u8 {
        let Some(at) = self.at.get_mut(stream) else { stop() };
        let Some(byte) = self.streams.get(*at) else { stop() };
        *at += 1;
        *byte
    }

    fn copy(&mut self, stream: usize, bytes: usize) {
        for _ in 0..bytes {
            let byte = self.next(stream);
            self.put(byte);
        }
    }

    /// Copies a whole number, and says what it is; only small ones are asked what they are.
    fn number(&mut self, stream: usize) -> usize {
        let (mut value, mut shift) = (0, 0_u32);
        loop {
            let byte = self.next(stream);
            self.put(byte);
            value |= usize::from(byte & 127).wrapping_shl(shift);
            shift += 7;
            if byte < 128 {
                return value;
            }
        }
    }

    /// Leaves room for a length, and writes it after `write`.
    fn sized(&mut self, write: impl FnOnce(&mut Self)) {
        let from = self.to;
        self.to += LENGTH;
        write(self);
        let (end, size) = (self.to, self.to - from - LENGTH);
        self.to = from;
        for byte in 0..LENGTH {
            let more = if byte + 1 < LENGTH { 128 } else { 0 };
            self.put((size >> (7 * byte)) as u8 & 127 | more);
        }
        self.to = end;
    }

    fn function(&mut self) {
        for _ in 0..self.number(LOCALS) {
            self.number(LOCALS);
            self.copy(LOCALS, 1);
        }
        let mut depth = 1;
        while depth > 0 {
            depth = self.instruction(depth);
        }
    }

    /// One instruction within so many blocks; says in how many the next one is.
    fn instruction(&mut self, depth: usize) -> usize {
        let code = self.next(CODE);
        self.put(if code == LONG_NUMBER { 0x41 } else { code });
        let stream = goes_on(code);
        match stream {
            // The end of a block, or an instruction without anything more.
            NONE => return depth - usize::from(code == 0x0B),
            FLOAT => self.copy(FLOAT, if code == 0x43 { 4 } else { 8 }),
            TARGETS => {
                for _ in 0..=self.number(TARGETS) {
                    self.number(TARGETS);
                }
            }
            _ => {
                if stream == OFFSET {
                    // How an address is aligned is a hint.
                    self.put(0);
                }
                let first = self.number(stream);
                match code {
                    0x11 => _ = self.number(OTHER),
                    // Copying memory names two memories, filling it one; numbers cut to fit name nothing.
                    0xFC if first > 7 => self.copy(OTHER, 12 - first),
                    _ => {}
                }
            }
        }
        depth + usize::from(stream == BLOCK_TYPE)
    }
}

/// Puts a module together from `streams`, each of which begins at its place in `at`; says how long it is.
pub(crate) fn module(streams: &[u8], at: [usize; STREAMS], module: &mut [u8]) -> usize {
    let end = at[LOCALS];
    let mut joiner = Joiner { streams, at, module, to: 0 };
    joiner.copy(FRAME, 8);
    while joiner.at[FRAME] < end {
        let section = joiner.next(FRAME);
        joiner.put(section);
        if section == CODE_SECTION {
            joiner.sized(|joiner| {
                for _ in 0..joiner.number(FRAME) {
                    joiner.sized(Joiner::function);
                }
            });
        } else {
            let length = joiner.number(FRAME);
            joiner.copy(FRAME, length);
        }
    }
    joiner.to
}
