/** The doors of the core: texts and numbers in, a text or a whole number out. `cargo xtask wasm` fills in their names. */
let wasm_bindgen = (() => {
  /** What the running core provides. @type {any} */
  let core;
  /** A short text of plain letters, as most are: sooner written than an encoder is called. */
  const PLAIN = /^[ -~]{0,999}$/;
  const toBytes = new TextEncoder();
  const toText = new TextDecoder("utf-8", { ignoreBOM: true });
  /** The core's memory; another one once it has grown, and this one is empty then. */
  let memory = new Uint8Array(0);
  const refreshed = () => (memory.length ? memory : (memory = new Uint8Array(core.memory.buffer)));
  /** A number as it is, a text by place and length. @param {string | number} given @param {number[]} to */
  const hand = (given, to) => {
    if (typeof given === "number") return to.push(given);
    const bytes = PLAIN.test(given) ? null : toBytes.encode(given);
    const { length } = bytes ?? given;
    const at = core.__wbindgen_malloc(length, 1) >>> 0;
    const written = refreshed();
    if (bytes) written.set(bytes, at);
    else for (let next = 0; next < length; next += 1) written[at + next] = given.charCodeAt(next);
    return to.push(at, length);
  };
  const door = (/** @type {string} */ name) => (/** @type {(string | number)[]} */ ...given) => {
    /** @type {number[]} */
    const handed = [];
    for (const each of given) hand(each, handed);
    const got = core[name](...handed);
    if (!Array.isArray(got)) return got >>> 0;
    const [at, length] = got;
    try {
      return toText.decode(refreshed().subarray(at >>> 0, (at >>> 0) + length));
    } finally {
      core.__wbindgen_free(at, length, 1);
    }
  };
  /** Starts the core. @param {{ module: BufferSource }} bytes */
  const initSync = ({ module }) => {
    const __wbindgen_init_externref_table = () => {
      core.__wbindgen_externrefs.set(0, undefined);
      [undefined, null, true, false].forEach((value, index) => core.__wbindgen_externrefs.set(1024 + index, value));
    };
    core = new WebAssembly.Instance(new WebAssembly.Module(module), { "./core_bg.js": { __wbindgen_init_externref_table } }).exports;
    core.__wbindgen_start();
    return core;
  };
  const doors = "DOORS".split(" ").map((name) => [name, door(name)]);
  return { initSync, ...Object.fromEntries(doors) };
})();
