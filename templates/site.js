/**
 * The script of a published course: one function per part, found by data-part.
 * It reads the page, asks the calculation core, and puts the core's answer back.
 * It must never hold a formula, a sentence or a number format: those are the core's.
 */
"use strict";
/* global wasm_bindgen, TANKSIDE_WASM, TANKSIDE_PHRASES */

/** How long typing must rest before the result is spoken: shorter, and every digit would interrupt the one before. */
const SPOKEN_AFTER_MS = 800;

/** How many main results the foot of a phone's screen has room for. */
const GLANCED = 2;

/** @typedef {[string, string]} Pair an input's flat name ("catch.1.volume") and what stands in it ("96 fl oz") */
/** @typedef {{form: string, answer: string, errors: Object<string, string>, spoken: string}} Worked */
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
  return place === id && query ? new URLSearchParams(query) : null;
}

/**
 * Writes a section's numbers into the address and offers a copy.
 * @param {HTMLElement} $section
 * @param {URLSearchParams} params
 */
function putInAddress($section, params) {
  history.replaceState(null, "", `#${$section.id}?${params}`);
  const $note = $section.querySelector('[data-role="link-note"]');
  const $copied = $section.querySelector('[data-role="link-copied"]');
  if ($note instanceof HTMLElement) $note.hidden = false;
  // A page opened from disk may be refused the clipboard; the address bar has the link all the same.
  if (navigator.clipboard) {
    navigator.clipboard.writeText(location.href).then(() => {
      if ($copied instanceof HTMLElement) $copied.hidden = false;
    }, () => {});
  }
}

/**
 * Part "worked": a worked example that answers as the learner types.
 * @param {HTMLElement} $section
 * @returns {Sheet} for a part that builds on this one
 */
function startWorked($section) {
  const calculator = $section.dataset.calculator || "";
  const lessonUnits = $section.dataset.units || "us";
  const $spoken = find("worked", $section, '[data-role="spoken"]');
  let units = lessonUnits;
  let timer = 0;
  const $glance = document.createElement("div");
  $glance.className = "tk-glance";
  $glance.setAttribute("aria-hidden", "true");
  const form = () => find("worked", $section, '[data-part="form"]');

  /**
   * The form's numbers. `printed` takes what the page was published with, whatever the browser has filled in since.
   * @param {boolean} [printed]
   * @returns {Pair[]}
   */
  function read(printed = false) {
    /** @type {Pair[]} */
    const pairs = [];
    for (const $control of form().querySelectorAll("input[name], select[name]")) {
      if ($control instanceof HTMLSelectElement) {
        if (!$control.name.endsWith("@")) pairs.push([$control.name, choiceOf($control, printed)]);
      } else if ($control instanceof HTMLInputElement) {
        const text = (printed ? $control.defaultValue : $control.value).trim();
        pairs.push([$control.name, withUnit($control, text, printed)]);
      }
    }
    return pairs;
  }

  /** @param {HTMLSelectElement} $select @param {boolean} printed */
  function choiceOf($select, printed) {
    const $chosen = printed ? [...$select.options].find(($option) => $option.defaultSelected) : null;
    return ($chosen || $select.selectedOptions[0] || { value: "" }).value;
  }

  /** A unit that was typed wins over the one beside the field. @param {HTMLInputElement} $input @param {string} text @param {boolean} printed */
  function withUnit($input, text, printed) {
    const $unit = $input.parentElement && $input.parentElement.querySelector(".tk-field__unit");
    if (!text || !$unit || /[\p{L}%]/u.test(text)) return text;
    const unit = $unit instanceof HTMLSelectElement ? choiceOf($unit, printed) : ($unit instanceof HTMLElement && $unit.dataset.unit) || "";
    return unit ? `${text} ${unit}` : text;
  }

  /** @param {Pair[]} pairs @returns {Worked} */
  function ask(pairs) {
    const level = Number($section.dataset.level || 3);
    const options = { name: $section.dataset.name, units, title: $section.dataset.title, level };
    return JSON.parse(wasm_bindgen.worked(calculator, JSON.stringify(pairs), JSON.stringify(options)));
  }

  /** @param {Object<string, string>} errors */
  function showErrors(errors) {
    for (const $field of form().querySelectorAll(".tk-field")) {
      const text = ($field instanceof HTMLElement && errors[$field.dataset.name || ""]) || "";
      const $error = $field.querySelector(".tk-field__error");
      const $entry = $field.querySelector("input, select");
      if ($error) $error.textContent = text;
      if ($entry && text) $entry.setAttribute("aria-invalid", "true");
      if ($entry && !text) $entry.removeAttribute("aria-invalid");
    }
  }

  /** @param {Worked} reply */
  function showAnswer(reply) {
    const $old = find("worked", $section, '[data-part="answer"]');
    const $new = elementOf(reply.answer);
    keepUnfolded($old, $new);
    $old.replaceWith($new);
    showGlance();
    showErrors(reply.errors);
    for (const $note of $section.querySelectorAll('[data-role="link-note"], [data-role="link-copied"]')) {
      if ($note instanceof HTMLElement) $note.hidden = true;
    }
    clearTimeout(timer);
    timer = setTimeout(() => { $spoken.textContent = reply.spoken; }, SPOKEN_AFTER_MS);
  }

  /** The first main results of the answer in short, with the gravest word it warns with. Seen only: the spoken result is read out already. */
  function showGlance() {
    /** @param {string} name @param {Element|null} $from */
    const piece = (name, $from) => {
      const $piece = document.createElement("span");
      $piece.className = `tk-glance__${name}`;
      if ($from) $piece.append(...[...$from.childNodes].map(($node) => $node.cloneNode(true)));
      return $piece;
    };
    const $results = [...$section.querySelectorAll(".tk-result--main")].slice(0, GLANCED);
    const $shown = $results.map(($result) => {
      const $one = piece("one", null);
      $one.append(piece("name", $result.querySelector(".tk-result__name")), piece("value", $result.querySelector(".tk-result__value")));
      return $one;
    });
    const $word = ["danger", "warning"].map((severity) => $section.querySelector(`.tk-answer .tk-caution--${severity} .tk-caution__word`)).find(Boolean);
    if ($word && $shown.length) $shown.push(piece("word", $word));
    $glance.replaceChildren(...$shown);
  }

  /** From the glance to the whole answer; the field lets go of the focus, and a phone of its keyboard. */
  function toAnswer() {
    const $main = find("worked", $section, ".tk-result--main");
    $main.tabIndex = -1;
    $main.focus({ preventScroll: true });
    ($section.querySelector(".tk-answer > .tk-cautions") || $main).scrollIntoView();
  }

  /** What the reader has unfolded stays unfolded while a number is changed. @param {Element} $old @param {Element} $new */
  function keepUnfolded($old, $new) {
    const $sure = $old.querySelector(".tk-sure__more[open]") && $new.querySelector(".tk-sure__more");
    if ($sure) $sure.setAttribute("open", "");
    const $steps = [...$new.querySelectorAll(".tk-step")];
    [...$old.querySelectorAll(".tk-step")].forEach(($step, index) => {
      const $chain = $step.querySelector("details[open]") && $steps[index] && $steps[index].querySelector("details");
      if ($chain) $chain.setAttribute("open", "");
    });
  }

  /** The whole form anew: rows or units have changed. @param {Pair[]} pairs @param {string[]} [focus] selectors, first found wins */
  function showAll(pairs, focus = []) {
    const reply = ask(pairs);
    form().replaceWith(elementOf(reply.form));
    $section.dataset.units = units;
    showAnswer(reply);
    for (const selector of focus) {
      const $target = form().querySelector(selector);
      if ($target instanceof HTMLElement) { $target.focus({ preventScroll: true }); return; }
    }
  }

  /** @param {string} group @param {string} fields names, for a group that has no row to copy yet */
  function addRow(group, fields) {
    const pairs = read();
    const rows = pairs.map(([name]) => name.split(".")).filter(([first, row]) => first === group && row).map(([, row]) => Number(row));
    const last = Math.max(0, ...rows);
    const start = `${group}.${last}.`;
    // A sheet that starts empty gets empty rows: what another run measured must not be repeated unnoticed.
    const copied = $section.dataset.rows === "empty" ? [] : pairs.filter(([name]) => name.startsWith(start)).map(([name, text]) => [name.slice(start.length), text]);
    const row = copied.length ? copied : fields.split(",").map((field) => [field.trim(), ""]);
    const added = row.map(([field, text]) => /** @type {Pair} */ ([`${group}.${last + 1}.${field}`, text]));
    const at = pairs.findLastIndex(([name]) => name.startsWith(start)) + 1 || pairs.length;
    pairs.splice(at, 0, ...added);
    showAll(pairs, [`[data-do="add"][data-group="${group}"]`]);
  }

  /** @param {string} place "catch.2" */
  function dropRow(place) {
    const [group, number] = place.split(".");
    /** @type {Pair[]} */
    const pairs = [];
    for (const [name, text] of read()) {
      const [first, row, ...field] = name.split(".");
      if (first !== group || !field.length || Number(row) < Number(number)) pairs.push([name, text]);
      else if (Number(row) > Number(number)) pairs.push([`${group}.${Number(row) - 1}.${field.join(".")}`, text]);
    }
    showAll(pairs, [`[data-do="drop"][data-row="${place}"]`, `[data-do="add"][data-group="${group}"]`]);
  }

  /** @param {string} wanted */
  function switchUnits(wanted) {
    const pairs = JSON.parse(wasm_bindgen.switch_units(calculator, JSON.stringify(read()), wanted));
    units = wanted;
    showAll(pairs, ['[data-do="units"]']);
  }

  function applyAddress() {
    const params = numbersInAddress($section.id);
    if (!params) return;
    units = params.get("units") === "metric" ? "metric" : "us";
    showAll([...params].filter(([name]) => name !== "units"));
    $section.scrollIntoView();
  }

  const lesson = read(true);
  find("worked", $section, '[data-part="answer"]').before($glance);
  showGlance();
  $glance.addEventListener("click", toAnswer);
  $section.addEventListener("input", () => showAnswer(ask(read())));
  $section.addEventListener("submit", (event) => event.preventDefault());
  $section.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const { do: chore, group = "", row = "", fields = "", units: wanted = "us" } = $button.dataset;
    if (chore === "add") addRow(group, fields);
    if (chore === "drop") dropRow(row);
    if (chore === "units") switchUnits(wanted);
    if (chore === "link") putInAddress($section, new URLSearchParams([...read(), ["units", units]]));
    if (chore === "reset") {
      units = lessonUnits;
      if (numbersInAddress($section.id)) history.replaceState(null, "", `#${$section.id}`);
      showAll(lesson, ['[data-do="reset"]']);
    }
  });
  addEventListener("hashchange", applyAddress);
  // A browser may put typed numbers back when a page is returned to; the answer must be theirs.
  addEventListener("pageshow", () => {
    const now = read();
    if (JSON.stringify(now) !== JSON.stringify(read(true))) showAnswer(ask(now));
  });
  applyAddress();
  return { read, units: () => units, show: (pairs, wanted, focus) => { units = wanted; showAll(pairs, focus); } };
}

/** What parts that are loaded later are fitted to. @type {any} */
let TANKSIDE_CORE = null;

/** @type {Object<string, function(HTMLElement): void>} further scripts of a page add theirs and start again */
const PARTS = { worked: startWorked };

/**
 * Bytes that a script carries as text.
 * @param {string} base64
 * @returns {Uint8Array}
 */
function bytesOf(base64) {
  if ("fromBase64" in Uint8Array) return /** @type {any} */ (Uint8Array).fromBase64(base64);
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

/** Starts the core, then every part once. Where it cannot start, the page stays as it was published: whole. */
function start() {
  const $parts = document.querySelectorAll(Object.keys(PARTS).map((part) => `[data-part="${part}"]`).join(", "));
  if (!$parts.length) return;
  if (document.documentElement.dataset.core !== "on") try {
    const core = wasm_bindgen.initSync({ module: bytesOf(TANKSIDE_WASM.core) });
    TANKSIDE_CORE = core;
    for (const [part, text] of Object.entries(TANKSIDE_WASM)) {
      if (part !== "core") new WebAssembly.Instance(new WebAssembly.Module(bytesOf(text)), { core });
    }
    wasm_bindgen.start(TANKSIDE_PHRASES);
  } catch (cause) {
    console.warn(cause);
    return;
  }
  document.documentElement.dataset.core = "on";
  for (const $part of $parts) {
    if (!($part instanceof HTMLElement) || $part.dataset.started) continue;
    $part.dataset.started = "yes";
    PARTS[$part.dataset.part || ""]($part);
  }
}

start();
