/**
 * The core and its parts out of the text that their scripts carry: base64, LZMA, and streams of alike bytes put together
 * as WebAssembly. `cargo xtask wasm` packs them (`xtask/src/parts/pack.rs`). Joined before the core.
 */
"use strict";

/**
 * What LZMA is read by: the packed bytes, how likely each choice is, and three numbers: how wide the range is, where in
 * it the text is, and which byte is next. Made once: a browser drops the code that it has made fast when an object like
 * this is made anew, and a second part would take three times as long.
 */
const TANKSIDE_CODER = { packed: new Uint8Array(0x20000), chances: new Uint16Array(2544), now: new Uint32Array(3) };
/** @typedef {typeof TANKSIDE_CODER} Coder */

/** The next byte comes into the range. @param {Coder} coder */
function widened({ packed, now }) {
  now[0] <<= 8;
  now[1] = now[1] << 8 | packed[now[2]];
  now[2] += 1;
}

/** The next choice. @param {Coder} coder @param {number} place @returns {number} */
function bitOf(coder, place) {
  const { chances, now } = coder;
  const chance = chances[place];
  const bound = (now[0] >>> 11) * chance;
  let bit = 0;
  if (now[1] < bound) {
    now[0] = bound;
    chances[place] = chance + (2048 - chance >> 5);
  } else {
    now[0] -= bound;
    now[1] -= bound;
    chances[place] = chance - (chance >> 5);
    bit = 1;
  }
  if (now[0] < 0x1000000) widened(coder);
  return bit;
}

/** A number of so many bits, the highest first. @param {Coder} coder @param {number} base @param {number} bits */
function bitsOf(coder, base, bits) {
  let node = 1;
  for (let index = 0; index < bits; index += 1) node = node << 1 | bitOf(coder, base + node);
  return node - (1 << bits);
}

/** The same, the lowest first. @param {Coder} coder @param {number} base @param {number} bits */
function bitsBack(coder, base, bits) {
  let value = 0;
  for (let node = 1, index = 0; index < bits; index += 1) {
    const bit = bitOf(coder, base + node);
    node = node << 1 | bit;
    value |= bit << index;
  }
  return value;
}

/** How many bytes are repeated. @param {Coder} coder @param {number} base */
function lengthOf(coder, base) {
  if (!bitOf(coder, base)) return 2 + bitsOf(coder, base + 2, 3);
  return bitOf(coder, base + 1) ? 18 + bitsOf(coder, base + 18, 8) : 10 + bitsOf(coder, base + 10, 3);
}

/** How far back they are, less one. @param {Coder} coder @param {number} slots @param {number} near @param {number} low */
function distanceOf(coder, slots, near, low) {
  const slot = bitsOf(coder, slots, 6);
  if (slot < 4) return slot;
  const bits = (slot >> 1) - 1;
  let distance = (2 | slot & 1) << bits;
  if (slot < 14) return distance + bitsBack(coder, near + distance - slot, bits);
  const { now } = coder;
  for (let index = bits - 1; index > 3; index -= 1) {
    now[0] >>>= 1;
    if (now[1] >= now[0]) {
      now[1] -= now[0];
      distance += 1 << index;
    }
    if (now[0] < 0x1000000) widened(coder);
  }
  return distance + bitsBack(coder, low, 4);
}

/** A letter; after a repetition it is another than `like`, which would have followed. @param {Coder} coder @param {number} base @param {number} like */
function letterOf(coder, base, like) {
  let node = 1;
  for (let same = like >= 0; same && node < 256; like <<= 1) {
    const wanted = like >> 7 & 1;
    const bit = bitOf(coder, base + (1 + wanted << 8) + node);
    node = node << 1 | bit;
    same = bit === wanted;
  }
  while (node < 256) node = node << 1 | bitOf(coder, base + node);
  return node & 255;
}

/**
 * LZMA without a header and without an end, with one bit of the byte before a letter and none of its place.
 * @param {number} from where in the coder's packed bytes it begins
 * @param {Uint8Array} out where it goes; what is there before `at` may be referred to
 * @param {number} at
 */
function unlzma(from, out, at) {
  const coder = TANKSIDE_CODER;
  // Where the chances of each kind begin, in `chances`; whether a letter is next comes first.
  const again = 12, older = 24, oldest = 36, last = 48, long = 60, slots = 72, near = 328, low = 444, length = 460, lengthAgain = 734, letters = 1008;
  coder.chances.fill(1024);
  coder.now.set([0, 0, from + 1]);
  for (let byte = 0; byte < 4; byte += 1) widened(coder);
  coder.now[0] = 0xFFFFFFFF;
  let back = 0, back1 = 0, back2 = 0, back3 = 0, state = 0;
  while (at < out.length) {
    if (!bitOf(coder, state)) {
      const base = letters + (at && out[at - 1] > 127 ? 768 : 0);
      out[at] = letterOf(coder, base, state > 6 ? out[at - back - 1] : -1);
      at += 1;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let count = 1;
    if (!bitOf(coder, again + state)) {
      count = lengthOf(coder, length);
      back3 = back2;
      back2 = back1;
      back1 = back;
      back = distanceOf(coder, slots + 64 * Math.min(count - 2, 3), near, low);
      state = state < 7 ? 7 : 10;
    } else {
      const earlier = bitOf(coder, older + state);
      if (!earlier && !bitOf(coder, long + state)) state = state < 7 ? 9 : 11;
      else {
        if (earlier) {
          const before = back;
          if (!bitOf(coder, oldest + state)) back = back1;
          else {
            if (!bitOf(coder, last + state)) back = back2;
            else {
              back = back3;
              back3 = back2;
            }
            back2 = back1;
          }
          back1 = before;
        }
        count = lengthOf(coder, lengthAgain);
        state = state < 7 ? 8 : 11;
      }
    }
    for (const end = at + count; at < end; at += 1) out[at] = out[at - back - 1];
  }
}

/**
 * In which stream an instruction goes on, by its first byte: numbers 3 to 12 of one number each, 13 of whole bytes.
 * @returns {Uint8Array}
 */
function goingOn() {
  const streams = new Uint8Array(256);
  streams.fill(3, 0x02, 0x05);
  streams.fill(4, 0x0C, 0x0E);
  streams[0x10] = 5;
  streams.fill(6, 0x20, 0x23);
  streams.fill(7, 0x28, 0x3F);
  streams[0x41] = 8;
  streams[0xFE] = 9;
  streams[0x0E] = 10;
  for (const code of [0x11, 0x23, 0x24, 0x3F, 0x40, 0xFC]) streams[code] = 11;
  streams[0x42] = 12;
  streams.fill(13, 0x43, 0x45);
  return streams;
}

/**
 * A module out of its text.
 * @param {string} text
 * @param {Uint8Array} before the streams that it may refer to: the core's, or nothing
 * @returns {{ module: Uint8Array, streams: Uint8Array }}
 */
function unpacked(text, before) {
  const letters = atob(text);
  const { packed } = TANKSIDE_CODER;
  for (let byte = 0; byte < letters.length; byte += 1) packed[byte] = letters.charCodeAt(byte);
  /** Where each stream is read: 0 all but code, 1 locals, 2 first bytes of instructions. @type {number[]} */
  const at = [];
  let end = before.length;
  for (let length = 0; length < 42; length += 3) {
    at.push(end);
    end += packed[length] | packed[length + 1] << 8 | packed[length + 2] << 16;
  }
  const last = at[1];
  const all = new Uint8Array(end);
  all.set(before);
  unlzma(42, all, before.length);
  // What is not packed: the alignment before an offset, the length of a function.
  const module = new Uint8Array(2 * (end - before.length) + 64);
  let to = 0;
  const copy = (/** @type {number} */ stream, /** @type {number} */ bytes) => {
    const from = at[stream];
    for (let byte = 0; byte < bytes; byte += 1) module[to + byte] = all[from + byte];
    at[stream] = from + bytes;
    to += bytes;
  };
  /** Copies a whole number, and says what it is. */
  const number = (/** @type {number} */ stream) => {
    let from = at[stream], value = 0, shift = 0, byte = 128;
    while (byte > 127) {
      byte = all[from];
      module[to] = byte;
      value |= (byte & 127) << shift;
      from += 1;
      to += 1;
      shift += 7;
    }
    at[stream] = from;
    return value;
  };
  /** Leaves four bytes for a length, and writes it after `write`. */
  const sized = (/** @type {() => void} */ write) => {
    const from = to;
    to += 4;
    write();
    for (let byte = 0, size = to - from - 4; byte < 4; byte += 1, size >>= 7) module[from + byte] = size & 127 | (byte < 3 ? 128 : 0);
  };
  const streams = goingOn();
  const body = () => {
    for (let groups = number(1); groups > 0; groups -= 1) {
      number(1);
      copy(1, 1);
    }
    for (let depth = 1; depth > 0;) {
      const code = all[at[2]];
      at[2] += 1;
      module[to] = code === 0xFE ? 0x41 : code;
      to += 1;
      const stream = streams[code];
      if (stream === 7) to += 1;
      if (stream === 3) depth += 1;
      if (stream === 13) copy(13, code === 0x43 ? 4 : 8);
      else if (stream) {
        const first = number(stream);
        if (stream === 10) for (let more = first; more >= 0; more -= 1) number(10);
        else if (code === 0x11) number(11);
        else if (code === 0xFC && first > 7) copy(11, 12 - first);
      } else if (code === 0x0B) depth -= 1;
    }
  };
  copy(0, 8);
  while (at[0] < last) {
    const section = all[at[0]];
    copy(0, 1);
    if (section === 10) sized(() => { for (let functions = number(0); functions > 0; functions -= 1) sized(body); });
    else copy(0, number(0));
  }
  return { module: module.slice(0, to), streams: all.subarray(before.length) };
}
