/**
 * The core and its parts as a page uses them: brought by scripts when they are first needed, fitted together, started.
 * A page that is only read loads none of it. Joined before page.js.
 */
"use strict";
/* global wasm_bindgen, unpacked */

/** What the running core provides to its parts; nothing until the first part is needed. @type {any} */
let TANKSIDE_CORE = null;
/** The core as parts refer back to it (`unpack.js`). @type {Uint8Array} */
let TANKSIDE_STREAMS = new Uint8Array(0);
/** Parts that scripts have brought and that are not fitted yet: packed, as text. @type {Map<string, string>} */
const TANKSIDE_BROUGHT = new Map();
/** Names of the parts that work. @type {Set<string>} */
const TANKSIDE_FITTED = new Set();
/** Every sentence that was brought, as lines of key and text. @type {string[]} */
const TANKSIDE_PHRASES = [];
/** Scripts being loaded, by name. @type {Map<string, Promise<void>>} */
const TANKSIDE_COMING = new Map();

/** A part registers itself: its script calls this. @param {string} name @param {string} text packed, or nothing @param {string} phrases what it says */
function brought(name, text, phrases) {
  TANKSIDE_BROUGHT.set(name, text);
  TANKSIDE_PHRASES.push(phrases);
}

/** Loads a script of the site once; a script element works from a disk too. @param {string} file @returns {Promise<void>} */
function needScript(file) {
  const coming = TANKSIDE_COMING.get(file);
  if (coming) return coming;
  const fresh = new Promise((/** @type {(nothing: void) => void} */ done, failed) => {
    const $script = document.createElement("script");
    $script.src = `${document.documentElement.dataset.root || ""}assets/${file}.js`;
    $script.onload = () => done();
    $script.onerror = () => {
      // The signal may be back on the next try.
      TANKSIDE_COMING.delete(file);
      $script.remove();
      failed(new Error(`${file}.js cannot be loaded`));
    };
    document.head.append($script);
  });
  TANKSIDE_COMING.set(file, fresh);
  return fresh;
}

/** Fits whatever was brought: the core first, then its parts; then tells the core what it can say. */
function fitParts() {
  const text = TANKSIDE_BROUGHT.get("core");
  if (text !== undefined) {
    const { module, streams } = unpacked(text, TANKSIDE_STREAMS);
    TANKSIDE_CORE = wasm_bindgen.initSync({ module });
    TANKSIDE_STREAMS = streams;
  }
  for (const [part, text] of TANKSIDE_BROUGHT) {
    if (text && part !== "core") {
      new WebAssembly.Instance(new WebAssembly.Module(unpacked(text, TANKSIDE_STREAMS).module), { core: TANKSIDE_CORE });
      wasm_bindgen.fitted(part);
    }
    TANKSIDE_FITTED.add(part);
  }
  if (TANKSIDE_BROUGHT.size) wasm_bindgen.start(TANKSIDE_PHRASES.join(""));
  TANKSIDE_BROUGHT.clear();
}

/** What other parts need as soon as they work; a worked example loads these when somebody first asks for what they do. @type {Object<string, string[]>} */
const TANKSIDE_WITH = { practice: ["typing", "chain"], log: ["typing"], card: ["typing", "problems", "form", "doubt", "chain"] };
/** The core and these parts, each with those that it needs. @param {string[]} parts */
const wholeParts = (parts) => ["core", ...new Set(parts.flatMap((part) => [part, ...(TANKSIDE_WITH[part] || [])]))];

/** Whether the core works, with these parts. @param {string[]} parts */
const haveParts = (parts) => wholeParts(parts).every((part) => TANKSIDE_FITTED.has(part));

/** Loads and fits the core and these parts. @param {string[]} parts @returns {Promise<void>} */
async function needParts(parts) {
  if (haveParts(parts)) return;
  await Promise.all(wholeParts(parts).map((part) => (TANKSIDE_FITTED.has(part) ? undefined : needScript(part === "core" ? part : `core-${part}`))));
  fitParts();
}

/** Does something with parts of the core: at once if they are there. @param {string[]} parts @param {() => void} act @param {() => void} [lost] if they cannot be loaded */
function withParts(parts, act, lost = () => {}) {
  if (haveParts(parts)) act();
  else needParts(parts).then(act, (cause) => { console.info(cause); lost(); });
}
