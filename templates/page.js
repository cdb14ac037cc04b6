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
    for (const $said of $section.querySelectorAll('[data-role="link-note"], [data-role="link-copied"]')) {
      if ($said instanceof HTMLElement) $said.hidden = $said.dataset.role !== role;
    }
  };
  // A page opened from disk may be refused the clipboard; the address bar still has the link.
  if (navigator.clipboard) navigator.clipboard.writeText(location.href).then(() => say("link-copied"), () => say("link-note"));
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

/** Whether two children are the same: by kind and name. @param {Node} $node */
function kindOf($node) {
  if (!($node instanceof Element)) return $node.nodeName;
  const name = $node.getAttribute("data-fold") || $node.getAttribute("data-result") || ($node.getAttribute("class") || "").split(" ", 1)[0];
  return `${$node.nodeName} ${name}`;
}

/**
 * Changes only what differs between `$old` and `$new`: a keystroke that changes one number must not lay out the whole
 * answer again. What the reader has unfolded stays unfolded.
 * @param {Element} $old
 * @param {Element} $new
 */
function patch($old, $new) {
  for (const { name, value } of [...$new.attributes]) if ($old.getAttribute(name) !== value && name !== "open") $old.setAttribute(name, value);
  for (const { name } of [...$old.attributes]) if (!$new.hasAttribute(name) && name !== "open") $old.removeAttribute(name);
  /** @type {ChildNode|null} */
  let $at = $old.firstChild;
  /** @type {ChildNode|null} */
  let $next = $new.firstChild;
  while ($next) {
    const $child = $next;
    $next = $child.nextSibling;
    // Most of an answer is as it was: the browser itself sees that soonest.
    if ($at && $at.isEqualNode($child)) { $at = $at.nextSibling; continue; }
    let $same = $at;
    for (const kind = kindOf($child); $same && kindOf($same) !== kind;) $same = $same.nextSibling;
    if (!$same) { $old.insertBefore($child, $at); continue; }
    while ($at && $at !== $same) { const $gone = $at; $at = $at.nextSibling; $gone.remove(); }
    $at = $same.nextSibling;
    if ($same instanceof Element && $child instanceof Element) patch($same, $child);
    else if ($same.nodeValue !== $child.nodeValue) $same.nodeValue = $child.nodeValue;
  }
  while ($at) { const $gone = $at; $at = $at.nextSibling; $gone.remove(); }
}
