/**
 * The script of a published course: one function per part, found by data-part.
 * It reads the page, asks the calculation core, and puts the core's answer back.
 * It must never hold a formula, a sentence or a number format: those are the core's.
 */
"use strict";
/* global wasm_bindgen, TANKSIDE_WASM, TANKSIDE_PHRASES */

/** How long typing must rest before the result is spoken: shorter, and every digit would interrupt the one before. */
const SPOKEN_AFTER_MS = 800;

/** @typedef {[string, string]} Pair an input's flat name ("catch.1.volume") and what stands in it ("96 fl oz") */
/** @typedef {{form: string, answer: string, errors: Object<string, string>, spoken: string}} Worked */
/** @typedef {{read: () => Pair[], units: () => string, show: (pairs: Pair[], wanted: string, focus?: string[]) => void}} Sheet */
/** @typedef {{right: (boolean|null), ask: (string|null), html: string}} Score */

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
    showErrors(reply.errors);
    for (const $note of $section.querySelectorAll('[data-role="link-note"], [data-role="link-copied"]')) {
      if ($note instanceof HTMLElement) $note.hidden = true;
    }
    clearTimeout(timer);
    timer = setTimeout(() => { $spoken.textContent = reply.spoken; }, SPOKEN_AFTER_MS);
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

/**
 * Part "quiz": questions with fresh numbers, scored by the core.
 * @param {HTMLElement} $section
 */
function startQuiz($section) {
  const $list = find("quiz", $section, '[data-role="questions"]');
  const $spoken = find("quiz", $section, '[data-role="spoken"]');
  /** @type {string[]} */
  const bank = JSON.parse(find("quiz", $section, '[data-role="bank"]').textContent || "").questions.map(JSON.stringify);
  const asked = Math.min(Number($section.dataset.ask), bank.length);
  let seed = 0;
  /** @type {{question: string, $item: Element, right: (boolean|null), key: string}[]} */
  let open = [];

  /** @param {string} role @param {boolean} shown */
  function show(role, shown) {
    find("quiz", $section, `[data-role="${role}"]`).hidden = !shown;
  }

  /** @param {number} newSeed */
  function pose(newSeed) {
    seed = newSeed;
    $list.textContent = "";
    open = [];
    for (let turn = 0; turn < asked; turn += 1) {
      const question = bank[(seed + turn) % bank.length];
      const $item = document.createElement("li");
      $item.className = "tk-quiz__item";
      $item.append(elementOf(JSON.parse(wasm_bindgen.pose(question, seed)).html));
      $list.append($item);
      open.push({ question, $item, right: null, key: "" });
    }
    for (const role of ["open", "figures", "passed", "failed", "link-note"]) show(role, false);
    find("quiz", $section, '[data-do="check"]').hidden = false;
    find("quiz", $section, '[data-do="finish"]').hidden = true;
  }

  /** What was answered, as the core takes it: text, the number of an option, or several numbers. @param {Element} $item */
  function answerOf($item) {
    const $entry = $item.querySelector(".tk-question__entry");
    if ($entry instanceof HTMLInputElement) return $entry.value.trim() || null;
    const $order = [...$item.querySelectorAll(".tk-order__item")];
    // The order as it was dealt is nobody's answer, and never the right one.
    if ($order.length && !$item.querySelector("[data-moved]")) return null;
    if ($order.length) return $order.map(($one) => Number($one.getAttribute("data-value")));
    const $chosen = [...$item.querySelectorAll("input:checked")].map(($one) => Number($one.getAttribute("value")));
    if (!$chosen.length) return null;
    return $item.querySelector('input[type="radio"]') ? $chosen[0] : $chosen;
  }

  /** A scored question is closed, so that its working cannot be copied into its answer. @param {Element} $item */
  function close($item) {
    for (const $control of $item.querySelectorAll("input, button")) $control.setAttribute("disabled", "");
  }

  function check() {
    for (const one of open) {
      if (one.right !== null) continue;
      /** @type {Score} */
      const score = JSON.parse(wasm_bindgen.score(one.question, seed, JSON.stringify(answerOf(one.$item))));
      one.right = score.right;
      find("quiz", one.$item, '[data-role="ask"]').textContent = score.ask || "";
      one.key = score.html;
      if (score.right === null) continue;
      find("quiz", one.$item, '[data-role="feedback"]').innerHTML = score.html;
      close(one.$item);
    }
    const waiting = open.some((one) => one.right === null);
    show("open", waiting);
    find("quiz", $section, '[data-do="finish"]').hidden = !waiting;
    if (!waiting) total();
  }

  function total() {
    for (const one of open) {
      close(one.$item);
      if (one.right !== null) continue;
      find("quiz", one.$item, '[data-role="ask"]').textContent = "";
      find("quiz", one.$item, '[data-role="feedback"]').innerHTML = one.key;
    }
    const right = open.filter((one) => one.right).length;
    const passed = right >= Number($section.dataset.need);
    find("quiz", $section, '[data-role="right"]').textContent = String(right);
    show("open", false);
    show("figures", true);
    show("passed", passed);
    show("failed", !passed);
    find("quiz", $section, '[data-do="check"]').hidden = true;
    find("quiz", $section, '[data-do="finish"]').hidden = true;
  }

  /** @param {HTMLElement} $button */
  function move($button) {
    const $one = $button.closest(".tk-order__item");
    if (!$one || !$one.parentElement) return;
    const $other = $button.dataset.do === "up" ? $one.previousElementSibling : $one.nextElementSibling;
    if (!$other) return;
    if ($button.dataset.do === "up") $other.before($one); else $other.after($one);
    $one.parentElement.setAttribute("data-moved", "");
    // Moving an element drops the focus that was inside it.
    $button.focus();
    const place = [...$one.parentElement.children].indexOf($one) + 1;
    $spoken.textContent = `${place}: ${find("quiz", $one, ".tk-order__text").textContent}`;
  }

  function freshSeed() {
    return crypto.getRandomValues(new Uint32Array(1))[0];
  }

  function seedFromAddress() {
    const params = numbersInAddress($section.id);
    const text = params ? params.get("seed") || "" : "";
    return /^\d{1,10}$/.test(text) ? Number(text) >>> 0 : null;
  }

  // Enter ends one answer, not the whole quiz: the others may not be looked at yet.
  $section.addEventListener("keydown", (event) => {
    const inField = event.target instanceof HTMLInputElement && event.target.type === "text";
    if (event.key === "Enter" && inField) event.preventDefault();
  });
  find("quiz", $section, "form").addEventListener("submit", (event) => { event.preventDefault(); check(); });
  $section.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const chore = $button.dataset.do;
    if (chore === "up" || chore === "down") move($button);
    if (chore === "finish") total();
    if (chore === "link") putInAddress($section, new URLSearchParams({ seed: String(seed) }));
    if (chore === "again") {
      if (numbersInAddress($section.id)) history.replaceState(null, "", `#${$section.id}`);
      pose(freshSeed());
      $section.scrollIntoView();
    }
  });
  addEventListener("hashchange", () => {
    const wanted = seedFromAddress();
    if (wanted !== null && wanted !== seed) pose(wanted);
  });
  const wanted = seedFromAddress();
  pose(wanted === null ? freshSeed() : wanted);
  show("tools", true);
}

/** @type {Object<string, function(HTMLElement): void>} further scripts of a page add theirs and start again */
const PARTS = { worked: startWorked, quiz: startQuiz };

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
