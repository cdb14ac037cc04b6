/**
 * What every script of a page uses: its parts found, numbers from and in its address, and an answer changed in place.
 * Joined before bar.js, worked.js and site.js, which follow each other in this order.
 */
"use strict";

/** @typedef {[string, string]} Pair an input's flat name ("catch.1.volume") and what it holds ("96 fl oz") */
/** @typedef {{form: string, answer: string, errors: Object<string, string>, unusual: string[], spoken: string}} Worked */
/** @typedef {{read: () => Pair[], units: () => string, show: (pairs: Pair[], wanted: string, focus?: string[]) => void}} Sheet */

/**
 * The one element of a part that answers a selector.
 * @param {string} part
 * @param {ParentNode} $root
 * @param {string} selector
 * @returns {HTMLElement}
 */
function find(part, $root, selector) {
  const $found = $root.querySelector(selector);
  if (!($found instanceof HTMLElement)) throw new Error(`${part}: ${selector} not found`);
  return $found;
}

/**
 * Markup that the core made, as an element. The core escapes everything that a person typed.
 * @param {string} html
 * @returns {Element}
 */
function elementOf(html) {
  const $template = document.createElement("template");
  $template.innerHTML = html.trim();
  const $element = $template.content.firstElementChild;
  if (!$element) throw new Error("core: empty fragment");
  return $element;
}

/**
 * What the address says for a section: "#worked-first-catch?catch.1.volume=186+fl+oz".
 * @param {string} id
 * @returns {URLSearchParams|null}
 */
function numbersInAddress(id) {
  const [place, query] = location.hash.slice(1).split(/\?(.*)/s);
  return place === id && query && query.length <= LONGEST_LINK ? new URLSearchParams(query) : null;
}

/** Letters of the longest numbers in an address that are read: several times as many as a full day plan has. */
const LONGEST_LINK = 20_000;

/**
 * Writes a section's numbers into the address and offers a copy; the outcome is shown at the button.
 * @param {HTMLElement} $section
 * @param {URLSearchParams} params
 */
function putInAddress($section, params) {
  history.replaceState(null, "", `#${$section.id}?${params}`);
  /** @param {string} role */
  const say = (role) => {
    if (!$section.querySelector(`[data-role="${role}"]`)) role = "link-note";
    for (const $said of $section.querySelectorAll(".tk-tools__said")) {
      if ($said instanceof HTMLElement) $said.hidden = $said.dataset.role !== role;
    }
  };
  const link = location.href;
  // Numbers that were changed meanwhile are not those of the link.
  const sayThen = (/** @type {string} */ role) => { if (location.href === link) say(role); };
  // A page opened from disk may be refused the clipboard; the address bar still has the link.
  if (navigator.clipboard) navigator.clipboard.writeText(link).then(() => sayThen("link-copied"), () => sayThen("link-note"));
  else say("link-note");
}

/**
 * The numbers typed into a worked example, for as long as its tab is open: a page that is loaded anew goes on with them.
 * Where the browser keeps nothing, they last as long as the page.
 * @param {HTMLElement} $section
 */
function typedNumbers($section) {
  const name = `tankside.${document.documentElement.dataset.course || ""}.typed.${location.pathname}#${$section.id}`;
  return {
    /** @returns {{from: string, units: string, pairs: Pair[]}|null} `from` is what the page was published with */
    read() {
      try {
        const kept = JSON.parse(sessionStorage.getItem(name) || "null");
        const whole = kept && typeof kept.from === "string" && Array.isArray(kept.pairs) && kept.pairs.every((/** @type {any} */ pair) => Array.isArray(pair) && pair.length === 2 && pair.every((text) => typeof text === "string"));
        return whole ? kept : null;
      } catch { return null; }
    },
    /** @param {{from: string, units: string, pairs: Pair[]}|null} kept nothing where the numbers are the printed ones */
    write(kept) {
      try { if (kept) sessionStorage.setItem(name, JSON.stringify(kept)); else sessionStorage.removeItem(name); } catch { /* The page still has them. */ }
    },
  };
}

/** @typedef {{open: string, from: number, html: string, parts: Piece[]}} Piece an element of some markup, or, without `open`, a text */

/** The one element of some markup taken apart, several times sooner than a browser makes it. @param {string} html @returns {Piece} */
function piecesOf(html) {
  /** @type {Piece[]} */
  const within = [{ open: "", from: 0, html, parts: [] }];
  const next = /<(\/?)([^\s>/]+)(?:[^>"]|"[^"]*")*>|[^<]+/g;
  for (let found = next.exec(html); found; found = next.exec(html)) {
    const [text, ends, tag] = found;
    if (ends) {
      const piece = /** @type {Piece} */ (within.pop());
      piece.html = html.slice(piece.from, next.lastIndex);
    } else {
      const piece = { open: tag ? text : "", from: found.index, html: text, parts: [] };
      within[within.length - 1].parts.push(piece);
      if (tag && tag !== "br" && !text.endsWith("/>")) within.push(piece);
    }
  }
  return within[0].parts[0];
}

/** What two pieces have in common that are the same part: tag and class. @param {Piece} piece */
const kindOf = ({ open }) => (open.match(/^<[^">]*("[^"]*")?/) || [""])[0];

/** The attributes of a tag, as written. @param {string} open @returns {Map<string, string>} */
const attributesOf = (open) => new Map([...open.matchAll(/ ([^\s=">]+)(?:="([^"]*)")?/g)].map(([, name, value]) => [name, value || ""]));

/**
 * Changes only what differs between two states of an element: a key that changes one number must not make and lay out the
 * whole answer again. What the reader has unfolded stays unfolded.
 * @param {Element} $old
 * @param {Piece} old
 * @param {Piece} fresh says afterwards what the page has
 * @param {Set<Node>} [later] parts that stay as they are for now
 */
function change($old, old, fresh, later) {
  const range = document.createRange();
  range.selectNode($old);
  const made = (/** @type {string} */ html) => range.createContextualFragment(html);
  if (old.open !== fresh.open) {
    const [was, now] = [attributesOf(old.open), attributesOf(fresh.open)];
    for (const [name, value] of now) if (was.get(name) !== value && name !== "open") $old.setAttribute(name, value.includes("&") ? made(value).textContent || "" : value);
    for (const name of was.keys()) if (!now.has(name) && name !== "open") $old.removeAttribute(name);
  }
  range.selectNodeContents($old);
  // Something else has changed the page, such as a browser's translation.
  if ($old.childNodes.length !== old.parts.length) $old.replaceChildren(...(old.parts = []));
  /** @type {ChildNode|null} */
  let $at = $old.firstChild;
  let at = 0;
  const drop = () => { const $gone = /** @type {ChildNode} */ ($at); $at = $gone.nextSibling; at += 1; $gone.remove(); };
  fresh.parts.forEach((piece, number) => {
    const kind = kindOf(piece);
    let same = at;
    // A text belongs to its place, an element may have moved up.
    while (same < old.parts.length && kindOf(old.parts[same]) !== kind) same = kind ? same + 1 : old.parts.length;
    if (same >= old.parts.length) return void $old.insertBefore(made(piece.html), $at);
    while (at < same) drop();
    const was = old.parts[at];
    const $same = /** @type {ChildNode} */ ($at);
    $at = $same.nextSibling;
    at += 1;
    if (was.html === piece.html) return;
    if (later && later.has($same)) fresh.parts[number] = was;
    else if (kind && $same instanceof Element) change($same, was, piece);
    else if ($same instanceof Text) $same.data = piece.html.includes("&") ? made(piece.html).textContent || "" : piece.html;
    else $same.replaceWith(made(piece.html));
  });
  while ($at) drop();
}
