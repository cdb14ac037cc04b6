/**
 * The core and its parts out of the text that their scripts carry. WebAssembly of its own does it (`calc-wasm/unpack`):
 * a script would be slow until the browser has made it fast, and by then the core is unpacked. Joined before the core.
 */
"use strict";
/* global TANKSIDE_UNPACK */

/** What unpacks, once the first module has been. @type {any} */
let TANKSIDE_UNPACKER = null;

/**
 * A module out of its text.
 * @param {string} text
 * @param {Uint8Array} before the streams that it may refer to: the core's, or nothing
 * @returns {{ module: Uint8Array, streams: Uint8Array }}
 */
function unpacked(text, before) {
  TANKSIDE_UNPACKER ??= new WebAssembly.Instance(new WebAssembly.Module(Uint8Array.from(TANKSIDE_UNPACK, (letter) => letter.charCodeAt(0)))).exports;
  const unpacker = TANKSIDE_UNPACKER;
  const [at, streams, module] = [unpacker.text(), unpacker.streams(), unpacker.module()];
  // Only now: the memory is another once there is room for all of them.
  const memory = new Uint8Array(unpacker.memory.buffer);
  new TextEncoder().encodeInto(text, memory.subarray(at, streams));
  memory.set(before, streams);
  const length = unpacker.unpacked(text.length, before.length);
  const from = streams + before.length;
  return { module: memory.slice(module, module + length), streams: memory.slice(from, from + unpacker.streams_in(text.length)) };
}
