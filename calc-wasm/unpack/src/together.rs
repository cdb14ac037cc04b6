//! A module put together from its streams of alike bytes.

use crate::stop;

/// How many streams there are: all but code, locals, first bytes of instructions, eleven of what goes on after them, where
/// constants are, and which functions are lent.
pub const STREAMS: usize = 16;
/// Stands for `i32.const` with a number of three bytes or more, which has a stream of its own.
pub const LONG_NUMBER: u8 = 0xFE;
/// Stands for `local.get` of the local that was named last.
pub const GET_LATEST: u8 = 0xF0;
/// Stands for `local.set` of it.
pub const SET_LATEST: u8 = 0xF1;
/// Stands for `local.get` of the other one that was named before it.
pub const GET_FORMER: u8 = 0xF2;

const FRAME: usize = 0;
const LOCALS: usize = 1;
const CODE: usize = 2;
const BLOCK_TYPE: usize = 3;
const OFFSET: usize = 7;
const TARGETS: usize = 10;
const OTHER: usize = 11;
const FLOAT: usize = 13;
const SEGMENTS: usize = 14;
const LENT: usize = 15;
/// Of an instruction that its first byte is all of.
const NONE: usize = STREAMS;

const EXPORT_SECTION: u8 = 7;
const CODE_SECTION: u8 = 10;
const DATA_SECTION: u8 = 11;
/// How many bytes a length takes that is written once it is known.
const LENGTH: usize = 4;

/// The name under which the core lends this one of its functions, in the order in which it has them.
pub fn lent_name(index: usize) -> [u8; 2] {
    [index >> 6, index & 63].map(|letter| 64 + letter as u8)
}

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
    /// The two locals that were named last, the latest first.
    locals: [usize; 2],
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

    /// The same without copying it.
    fn unwritten(&mut self, stream: usize) -> usize {
        let to = self.to;
        let value = self.number(stream);
        self.to = to;
        value
    }

    /// Writes a number in as many bytes as any that it may be.
    fn long(&mut self, value: usize) {
        for byte in 0..LENGTH {
            let more = if byte + 1 < LENGTH { 128 } else { 0 };
            self.put((value >> (7 * byte)) as u8 & 127 | more);
        }
    }

    /// Leaves room for a length, and writes it after `write`.
    fn sized(&mut self, write: impl FnOnce(&mut Self)) {
        let from = self.to;
        self.to += LENGTH;
        write(self);
        let end = self.to;
        self.to = from;
        self.long(end - from - LENGTH);
        self.to = end;
    }

    /// Constants: how far each stretch of them is from the one before, and how long it is.
    fn data(&mut self) {
        let mut end = 0;
        for _ in 0..self.number(FRAME) {
            end += self.unwritten(SEGMENTS);
            self.put(0);
            self.put(0x41);
            self.long(end);
            self.put(0x0B);
            let length = self.number(SEGMENTS);
            self.copy(FRAME, length);
            end += length;
        }
    }

    /// What the module exports: by name, and at the end functions that are lent, by how far each is from the one before.
    fn exports(&mut self, named: usize, lent: usize) {
        self.number(FRAME);
        self.copy(FRAME, named);
        let mut function = 0;
        for index in 0..lent {
            function += self.unwritten(LENT);
            self.put(2);
            for letter in lent_name(index) {
                self.put(letter);
            }
            self.put(0);
            self.long(function);
        }
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

    /// Remembers which local was named.
    fn named(&mut self, local: usize) {
        let [latest, _] = self.locals;
        if local != latest {
            self.locals = [local, latest];
        }
    }

    /// One instruction within so many blocks; says in how many the next one is.
    fn instruction(&mut self, depth: usize) -> usize {
        let code = self.next(CODE);
        let [latest, former] = self.locals;
        let again = match code {
            GET_LATEST | SET_LATEST => Some(latest),
            GET_FORMER => Some(former),
            _ => None,
        };
        if let Some(local) = again {
            self.put(if code == SET_LATEST { 0x21 } else { 0x20 });
            if local < 128 {
                self.put(local as u8);
            } else {
                self.long(local);
            }
            self.named(local);
            return depth;
        }
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
                    0x20..=0x22 => self.named(first),
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
    let mut joiner = Joiner { streams, at, module, to: 0, locals: [0; 2] };
    joiner.copy(FRAME, 8);
    while joiner.at[FRAME] < end {
        let section = joiner.next(FRAME);
        joiner.put(section);
        match section {
            CODE_SECTION => joiner.sized(|joiner| {
                for _ in 0..joiner.number(FRAME) {
                    joiner.sized(Joiner::function);
                }
            }),
            DATA_SECTION => joiner.sized(Joiner::data),
            EXPORT_SECTION => {
                let (named, lent) = (joiner.unwritten(FRAME), joiner.unwritten(FRAME));
                joiner.sized(|joiner| joiner.exports(named, lent));
            }
            _ => {
                let length = joiner.number(FRAME);
                joiner.copy(FRAME, length);
            }
        }
    }
    joiner.to
}
