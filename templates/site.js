/**
 * The script of a published course: one function per part, found by data-part.
 * It reads the page, asks the calculation core, and puts the core's answer back.
 * It must never hold a formula, a sentence or a number format: those are the core's.
 */
"use strict";
/* global wasm_bindgen, withParts */

/** How long typing must rest before the result is spoken: shorter, and every digit would interrupt the one before. */
const SPOKEN_AFTER_MS = 800;

/** How many main results the bar at the foot of the screen has room for. */
const IN_THE_BAR = 2;

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

/**
 * The bar at the foot of the screen: a short form of the result while somebody types and the result itself is out of
 * sight. Seen only: the spoken result is read out already.
 */
const bar = (() => {
  const $bar = document.createElement("div");
  $bar.className = "tk-bar";
  $bar.hidden = true;
  $bar.setAttribute("aria-hidden", "true");
  /** @type {HTMLElement|null} the section that is being typed in */
  let $section = null;
  const result = () => $section && $section.querySelector(".tk-stop, .tk-result--large, .tk-compare, .tk-answer__sentence");

  /** @param {string} name @param {Element|null} $from */
  function piece(name, $from) {
    const $piece = document.createElement("span");
    $piece.className = `tk-bar__${name}`;
    if ($from) for (const $node of $from.childNodes) $piece.append($node.cloneNode(true));
    return $piece;
  }

  /** @param {Element} $name @param {Element[]} $values */
  function one($name, $values) {
    const $one = piece("one", null);
    $one.append(piece("name", $name), ...$values.map(($value) => piece("value", $value)));
    return $one;
  }

  function pieces() {
    if (!$section) return [];
    const $stop = $section.querySelector(".tk-stop");
    if ($stop) return [piece("word", $stop.querySelector(".tk-stop__word")), piece("text", $stop.querySelector(".tk-stop__text"))];
    const $row = $section.querySelector(".tk-compare tbody tr");
    const $shown = [...$section.querySelectorAll(".tk-result--main")].slice(0, IN_THE_BAR).map(($result) =>
      one(/** @type {Element} */ ($result.querySelector("dt")), [...$result.querySelectorAll("dd:first-of-type")]));
    const $sentence = $section.querySelector(".tk-answer__sentence");
    if ($sentence) $shown.push(piece("text", $sentence));
    if ($row && !$shown.length) $shown.push(one(/** @type {Element} */ ($row.querySelector("th")), [...$row.querySelectorAll("td")]));
    const $word = $section.querySelector(".tk-answer > .tk-cautions .tk-caution--warning .tk-caution__word");
    if ($word && $shown.length) $shown.push(piece("word", $word));
    return $shown;
  }

  /** Nothing that is being typed may be behind the bar (WCAG 2.2, 2.4.11). */
  function clear() {
    const $focus = document.activeElement;
    if (!$focus || !$section || !$section.contains($focus)) return;
    const over = $focus.getBoundingClientRect().bottom + 8 - $bar.getBoundingClientRect().top;
    if (over > 0) scrollBy(0, over);
  }

  /** Writes what the bar says, where that is otherwise than before. */
  function write() {
    const $fresh = document.createElement("div");
    $fresh.append(...pieces());
    $bar.classList.toggle("tk-bar--danger", Boolean($section && $section.querySelector(".tk-stop")));
    if ($bar.innerHTML !== $fresh.innerHTML) $bar.replaceChildren(...$fresh.childNodes);
  }

  function update() {
    // What stands in it is written before anything is measured, so that the page is laid out once.
    if (!$bar.hidden) write();
    const $result = result();
    const box = $result && $result.getBoundingClientRect();
    const view = window.visualViewport;
    const foot = view ? view.offsetTop + view.height : innerHeight;
    const seen = !box || (box.top < foot - 24 && box.bottom > 24);
    const shown = Boolean($section && !seen);
    if ($bar.hidden === shown) {
      if (shown) write();
      $bar.hidden = !shown;
      document.documentElement.classList.toggle("tk-barred", shown);
    }
    if (!shown) return;
    // A phone's keyboard covers the foot of the page.
    const end = `${Math.max(0, innerHeight - foot)}px`;
    if ($bar.style.insetBlockEnd !== end) $bar.style.insetBlockEnd = end;
    clear();
  }

  let waits = false;
  /** Once a frame is enough. */
  function soon() {
    if (waits) return;
    waits = true;
    requestAnimationFrame(() => { waits = false; update(); });
  }

  // A slow press must not take the focus from the field first: the bar would be gone before the click.
  $bar.addEventListener("mousedown", (event) => event.preventDefault());
  $bar.addEventListener("click", () => {
    const $result = result();
    if (!($result instanceof HTMLElement)) return;
    $result.tabIndex = -1;
    $result.focus({ preventScroll: true });
    $result.scrollIntoView({ block: "center" });
  });
  document.addEventListener("focusin", (event) => {
    const $form = event.target instanceof Element && event.target.closest('[data-part="form"]');
    $section = $form ? $form.closest("section") : null;
    soon();
  });
  document.addEventListener("focusout", () => setTimeout(() => {
    if (document.activeElement === document.body && $section) { $section = null; soon(); }
  }));
  addEventListener("scroll", () => { if ($section) soon(); }, { passive: true });
  if (window.visualViewport) window.visualViewport.addEventListener("resize", () => { if ($section) soon(); });
  document.body.append($bar);
  return { soon };
})();

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
  /** What the folds of the answer were left without, because nobody saw it. */
  let bare = false;
  const form = () => find("worked", $section, '[data-part="form"]');
  const answer = () => find("worked", $section, '[data-part="answer"]');

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

  /** A typed unit wins over the one next to the field or in its column head. @param {HTMLInputElement} $input @param {string} text @param {boolean} printed */
  function withUnit($input, text, printed) {
    if (!text || /[\p{L}%]/u.test(text)) return text;
    const column = $input.dataset.column;
    const $unit = column ? form().querySelector(`[name="${column}@"], [data-of="${column}@"]`) : $input.parentElement && $input.parentElement.querySelector(".tk-field__unit");
    if (!$unit) return text;
    const unit = $unit instanceof HTMLSelectElement ? choiceOf($unit, printed) : ($unit instanceof HTMLElement && $unit.dataset.unit) || "";
    return unit ? `${text} ${unit}` : text;
  }

  /** @param {Pair[]} pairs @param {string[]|null} unfolded the folds wanted in full, `null` for all @param {boolean} [formed] whether the form stays as it is @returns {Worked} */
  function ask(pairs, unfolded, formed = true) {
    const { name, title, show, first, level } = $section.dataset;
    /** @type {Object<string, any>} */
    const options = { name, units, title, show, formed, level: Number(level || 3) };
    if (first !== undefined) options.first = first.split(" ");
    if (unfolded) options.unfolded = unfolded;
    return JSON.parse(wasm_bindgen.worked(calculator, JSON.stringify(pairs), JSON.stringify(options)));
  }

  /** The folds of the answer that are open; kept while there is no answer, because a number is half typed. @type {Set<string>} */
  const open = new Set();

  /** @param {Element} $fold */
  const foldOf = ($fold) => $fold.getAttribute("data-fold") || "";
  const folds = () => [...answer().querySelectorAll("details[data-fold]")];
  const unfolded = () => [...open];

  /** What there is next to each field of a form, and what it says now; looked for once. @type {WeakMap<Element, {$error: Element, flat: string, $control: Element|null, text: string, odd: boolean}[]>} */
  const noted = new WeakMap();

  function notes() {
    const $form = form();
    const known = noted.get($form);
    if (known) return known;
    /** @type {Map<string|null, Element>} */
    const controls = new Map([...$form.querySelectorAll("[name]")].reverse().map(($one) => [$one.getAttribute("name"), $one]));
    const found = [...$form.querySelectorAll(".tk-field__error")].map(($error) => {
      const flat = $error.getAttribute("data-for") || "";
      const $control = controls.get(flat) || null;
      const $field = $control && $control.closest(".tk-field, td");
      return { $error, flat, $control, text: $error.textContent || "", odd: Boolean($field && $field.classList.contains("tk-field--unusual")) };
    });
    noted.set($form, found);
    return found;
  }

  /** What is wrong, and what is unusual, next to each field. @param {Worked} reply */
  function showNotes({ errors, unusual }) {
    for (const note of notes()) {
      const { $error, flat, $control } = note;
      const text = errors[flat] || "";
      const odd = unusual.includes(flat);
      if (note.text !== text) $error.textContent = text;
      if ($control && note.text !== text) {
        if (text) $control.setAttribute("aria-invalid", "true"); else $control.removeAttribute("aria-invalid");
      }
      if ($control && note.odd !== odd) {
        const $field = $control.closest(".tk-field, td");
        if ($field) $field.classList.toggle("tk-field--unusual", odd);
      }
      Object.assign(note, { text, odd });
      if (!$control || !(text || odd)) continue;
      if (odd) hint($control, true);
      const $fold = $control.closest("details");
      if ($fold && !$fold.hasAttribute("open")) $fold.setAttribute("open", "");
    }
  }

  /** @param {Element} $control @param {boolean} shown */
  function hint($control, shown) {
    const id = ($control.getAttribute("aria-describedby") || "").split(" ")[0];
    const $hint = id.endsWith("-hint") && document.getElementById(id);
    if ($hint && $hint.textContent) $hint.hidden = !shown;
  }

  /** @type {Element|null} */
  let $hinted = null;
  /** The hint of the field in use; it stays until another field is used, so that nothing moves under a finger. @param {Element} $control */
  function use($control) {
    if ($hinted && $hinted !== $control && !$hinted.closest(".tk-field--unusual")) hint($hinted, false);
    $hinted = $control;
    hint($control, true);
  }

  /** @param {Worked} reply */
  function showAnswer(reply) {
    patch(answer(), elementOf(reply.answer));
    for (const $fold of folds()) {
      if (open.has(foldOf($fold))) $fold.setAttribute("open", ""); else $fold.removeAttribute("open");
    }
    showNotes(reply);
    bar.soon();
    for (const $note of $section.querySelectorAll(".tk-tools__said")) {
      if ($note instanceof HTMLElement && !$note.hidden) $note.hidden = true;
    }
    clearTimeout(timer);
    timer = setTimeout(() => { $spoken.textContent = reply.spoken; }, SPOKEN_AFTER_MS);
  }

  /** The answer to what the form holds; what nobody sees is left out until it is unfolded. */
  function answerNow() {
    bare = true;
    showAnswer(ask(read(), unfolded()));
  }

  /** The answer with nothing left out: for paper. */
  function answerWhole() {
    if (!bare) return;
    bare = false;
    showAnswer(ask(read(), null));
  }

  /** The whole form again: rows or units have changed. @param {Pair[]} pairs @param {string[]} [focus] selectors, first found wins */
  function showAll(pairs, focus = []) {
    const unfoldedForm = form().querySelector("details[open]") !== null;
    bare = false;
    const reply = ask(pairs, null, false);
    form().replaceWith(elementOf(reply.form));
    if (unfoldedForm) for (const $fold of form().querySelectorAll("details")) $fold.setAttribute("open", "");
    $section.dataset.units = units;
    for (const $button of $section.querySelectorAll('[data-do="units"]')) {
      if ($button instanceof HTMLElement) $button.hidden = $button.dataset.units === units;
    }
    showAnswer(reply);
    for (const selector of focus) {
      const $target = $section.querySelector(selector);
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

  /** What a number was before a switch of units made it round, by its name and what it became. @type {Map<string, string>} */
  const before = new Map();

  /** In the other units numbers are round, as a person would set them; switching back restores what was not changed meanwhile. @param {string} wanted */
  function switchUnits(wanted) {
    const here = read();
    /** @type {Pair[]} */
    const there = JSON.parse(wasm_bindgen.switch_units(calculator, JSON.stringify(here), wanted));
    const pairs = there.map(([name, text], at) => /** @type {Pair} */ ([name, before.get(`${name} ${here[at][1]}`) || text]));
    let rounded = false;
    here.forEach(([name, text], at) => {
      if (text === pairs[at][1]) return;
      rounded = rounded || pairs[at][1] === there[at][1];
      before.set(`${name} ${pairs[at][1]}`, text);
    });
    units = wanted;
    showAll(pairs, ['[data-do="units"]:not([hidden])']);
    const $said = $section.querySelector('[data-role="rounded"]');
    if ($said instanceof HTMLElement) $said.hidden = !rounded;
  }

  function applyAddress() {
    const params = numbersInAddress($section.id);
    if (!params) return;
    units = params.get("units") === "metric" ? "metric" : "us";
    showOpened([...params].filter(([name]) => name !== "units"));
    $section.scrollIntoView();
  }

  /** @param {Pair[]} pairs */
  function showOpened(pairs) {
    showAll(pairs);
    const $fold = form().closest("details");
    if ($fold) $fold.setAttribute("open", "");
  }

  /** A link in the address is no longer what the form holds. */
  function leaveAddress() {
    if (numbersInAddress($section.id)) history.replaceState(null, "", `#${$section.id}`);
  }

  const lesson = read(true);
  const keeps = $section.dataset.part === "worked";
  const typed = typedNumbers($section);
  /** What the page was published with: numbers kept for another version of it are not put back. */
  const from = JSON.stringify([lessonUnits, lesson]);

  function keepTyped() {
    const pairs = read();
    typed.write(JSON.stringify([units, pairs]) === from ? null : { from, units, pairs });
  }

  /** Numbers of a link go first. */
  function putBack() {
    const kept = typed.read();
    if (!kept || $section.dataset.typed || numbersInAddress($section.id)) return;
    if (kept.from !== from) { typed.write(null); return; }
    units = kept.units === "metric" ? "metric" : "us";
    showOpened(kept.pairs);
  }

  for (const $fold of folds()) if ($fold.hasAttribute("open")) open.add(foldOf($fold));
  $section.addEventListener("toggle", (event) => {
    if (!(event.target instanceof HTMLDetailsElement) || !answer().contains(event.target)) return;
    if (event.target.open) open.add(foldOf(event.target)); else open.delete(foldOf(event.target));
  }, true);
  $section.addEventListener("input", () => { leaveAddress(); answerNow(); });
  $section.addEventListener("focusin", (event) => {
    if (event.target instanceof Element && event.target.matches(".tk-form input, .tk-form select")) use(event.target);
  });
  $section.addEventListener("submit", (event) => event.preventDefault());
  $section.addEventListener("click", (event) => {
    if (!(event.target instanceof Element)) return;
    const $fold = event.target.closest(".tk-answer summary") && event.target.closest("details");
    if ($fold && $fold.childElementCount < 2) showAnswer(ask(read(), [...unfolded(), foldOf($fold)]));
    const $button = event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const { do: chore, group = "", row = "", fields = "", units: wanted = "us" } = $button.dataset;
    if (chore === "add" || chore === "drop" || chore === "units") leaveAddress();
    if (chore === "add") addRow(group, fields);
    if (chore === "drop") dropRow(row);
    if (chore === "units") switchUnits(wanted);
    if (chore === "link") putInAddress($section, new URLSearchParams([...read(), ["units", units]]));
    if (chore === "reset") {
      units = lessonUnits;
      leaveAddress();
      showAll(lesson, ['[data-do="reset"]']);
      if (keeps) keepTyped();
    }
  });
  addEventListener("beforeprint", answerWhole);
  matchMedia("print").addEventListener("change", answerWhole);
  addEventListener("hashchange", applyAddress);
  // A browser may put typed numbers back when a page is returned to; the answer must be theirs.
  const answerReturned = () => { if (JSON.stringify(read()) !== JSON.stringify(read(true))) answerNow(); };
  addEventListener("pageshow", answerReturned);
  answerReturned();
  applyAddress();
  // A card is kept otherwise.
  if (keeps) {
    putBack();
    addEventListener("pagehide", keepTyped);
    document.addEventListener("visibilitychange", () => { if (document.hidden) keepTyped(); });
  }
  // The browser readies the core's code as it first runs; better while a finger is on its way than at the first key.
  setTimeout(() => { elementOf(ask(read(), unfolded()).answer); });
  return { read, units: () => units, show: (pairs, wanted, focus) => { units = wanted; showAll(pairs, focus); } };
}

/**
 * Starts a part at the first touch: a page that is only read loads no core. What was done meanwhile is replayed then.
 * @param {HTMLElement} $part
 * @param {string[]} needs parts of the core
 * @param {() => void} begin
 * @param {boolean} now whether something is already waiting for it
 */
function atFirstTouch($part, needs, begin, now) {
  let begun = false;
  const $answer = $part.querySelector('[data-part="answer"]');
  /** @type {Element|null} */
  let $wanted = null;
  const busy = (/** @type {boolean} */ on) => { if ($answer) $answer.toggleAttribute("data-stale", on); };

  function load() {
    if (begun) return;
    withParts(needs, () => {
      if (begun) return;
      begun = true;
      for (const kind of ["pointerdown", "focusin"]) $part.removeEventListener(kind, load);
      $part.removeEventListener("input", typed, true);
      $part.removeEventListener("click", clicked, true);
      busy(false);
      showUnloaded($part, false);
      begin();
      $part.dataset.started = "yes";
      const $focus = document.activeElement;
      if ($focus && $part.contains($focus)) $focus.dispatchEvent(new FocusEvent("focusin", { bubbles: true }));
      if ($wanted instanceof HTMLElement) $wanted.click();
    }, () => {
      // Somebody who only looked at a field need not be told; the next touch tries again.
      if ($wanted || ($answer && $answer.hasAttribute("data-stale"))) showUnloaded($part, true);
      $wanted = null;
    });
  }

  /** Marks that the answer no longer belongs to the numbers. */
  /** @param {Event} [event] none where a browser put the numbers back */
  function typed(event) { if (event) $part.dataset.typed = "yes"; busy(true); load(); }

  /** @param {Event} event */
  function clicked(event) {
    const $button = event.target instanceof Element && event.target.closest("button[data-do], button[data-chore]");
    if (!$button) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    $wanted = $button;
    load();
  }

  for (const kind of ["pointerdown", "focusin"]) $part.addEventListener(kind, load);
  $part.addEventListener("input", typed, true);
  $part.addEventListener("click", clicked, true);
  // A browser may put typed numbers back when a page is returned to.
  addEventListener("pageshow", () => { if (typedAnew($part)) typed(); });
  addEventListener("hashchange", () => { if (numbersInAddress($part.id)) load(); });
  if (now || numbersInAddress($part.id)) load();
}

/** Whether a form holds different numbers than it was published with. @param {HTMLElement} $part */
function typedAnew($part) {
  return [...$part.querySelectorAll('[data-part="form"] :is(input, select)')].some(($one) =>
    $one instanceof HTMLSelectElement ? [...$one.options].some(($option) => $option.selected !== $option.defaultSelected) && [...$one.options].some(($option) => $option.defaultSelected)
      : $one instanceof HTMLInputElement && $one.value !== $one.defaultValue);
}

/** Says next to a part that it cannot be loaded, or takes that back. @param {HTMLElement} $part @param {boolean} lost */
function showUnloaded($part, lost) {
  const $said = document.querySelector('[data-role="unloaded"]');
  if (!($said instanceof HTMLElement)) return;
  if (lost) ($part.querySelector('[data-part="answer"]') || $part).before($said);
  $said.hidden = !lost;
}

/** @type {Object<string, function(HTMLElement): void>} further scripts of a page add theirs and start again */
const PARTS = {
  worked: ($section) => atFirstTouch($section, ["sheet", $section.dataset.calculator || ""], () => { startWorked($section); }, typedNumbers($section).read() !== null),
};
/** Parts that start when they are touched, and report that themselves. */
const LATER = new Set(["worked"]);

/** Starts every part once. If there can be no core, the page stays as it was published, complete. */
function start() {
  if (typeof WebAssembly !== "object") return;
  const $parts = document.querySelectorAll(Object.keys(PARTS).map((part) => `[data-part="${part}"]`).join(", "));
  if (!$parts.length) return;
  document.documentElement.dataset.core = "on";
  for (const $part of $parts) {
    if (!($part instanceof HTMLElement) || $part.dataset.scripted) continue;
    $part.dataset.scripted = "yes";
    const name = $part.dataset.part || "";
    if (!LATER.has(name)) $part.dataset.started = "yes";
    PARTS[name]($part);
  }
}

start();
