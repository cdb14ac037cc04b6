/** The doors of the core: texts and numbers in, a text or a whole number out. `cargo xtask wasm` fills in their names. */
let wasm_bindgen = (() => {
  /** What the running core provides. @type {any} */
  let core;
  const toBytes = new TextEncoder();
  const toText = new TextDecoder("utf-8", { ignoreBOM: true });
  const memory = () => new Uint8Array(core.memory.buffer);
  /** A number as it is, a text by place and length. @param {string | number} given */
  const handed = (given) => {
    if (typeof given === "number") return [given];
    const { length } = given;
    const at = core.__wbindgen_malloc(length, 1) >>> 0;
    // A text of as many bytes as letters, as nearly all are, is written where it goes.
    if (toBytes.encodeInto(given, memory().subarray(at, at + length)).read === length) return [at, length];
    core.__wbindgen_free(at, length, 1);
    const bytes = toBytes.encode(given);
    const place = core.__wbindgen_malloc(bytes.length, 1) >>> 0;
    memory().set(bytes, place);
    return [place, bytes.length];
  };
  const door = (/** @type {string} */ name) => (/** @type {(string | number)[]} */ ...given) => {
    const got = core[name](...given.flatMap(handed));
    if (!Array.isArray(got)) return got >>> 0;
    const [at, length] = got;
    try {
      return toText.decode(memory().subarray(at >>> 0, (at >>> 0) + length));
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
  const doors = "cards choices draw_at fitted learning log pose practice reading score start switch_units work_json worked".split(" ").map((name) => [name, door(name)]);
  return { initSync, ...Object.fromEntries(doors) };
})();
