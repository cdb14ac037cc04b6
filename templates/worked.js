/** A worked example that answers as the learner types. Joined after bar.js. */
"use strict";
/* global wasm_bindgen, withParts, haveParts, showUnloaded, find, elementOf, numbersInAddress, putInAddress, typedNumbers, piecesOf, change, bar */

/** How long typing must rest before the result is spoken: shorter, and every digit would interrupt the one before. */
const SPOKEN_AFTER_MS = 800;
/** How long typing must rest before what is out of sight of an answer, and what takes long to draw, follows the result. */
const SETTLES_AFTER_MS = 100;

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
  let resting = 0;
  /** What the folds of the answer were left without, because nobody saw it. */
  let bare = false;
  const form = () => find("worked", $section, '[data-part="form"]');
  /** The fields with their units, found once: a form that changes is a new one. @type {WeakMap<Element, Field[]>} */
  const fieldsOf = new WeakMap();
  const answer = () => find("worked", $section, '[data-part="answer"]');

  /**
   * The form's numbers. `printed` takes what the page was published with, whatever the browser has filled in since.
   * @param {boolean} [printed]
   * @returns {Pair[]}
   */
  function read(printed = false) {
    /** @type {Pair[]} */
    const pairs = [];
    for (const { $control, $unit } of fields()) {
      if ($control instanceof HTMLSelectElement) {
        if (!$control.name.endsWith("@")) pairs.push([$control.name, choiceOf($control, printed)]);
      } else {
        const text = (printed ? $control.defaultValue : $control.value).trim();
        pairs.push([$control.name, withUnit($unit, text, printed)]);
      }
    }
    return pairs;
  }

  /** @typedef {{$control: HTMLInputElement|HTMLSelectElement, $unit: Element|null}} Field a unit is next to the field or in its column head */
  function fields() {
    const $form = form();
    let all = fieldsOf.get($form);
    if (!all) {
      /** @param {HTMLInputElement|HTMLSelectElement} $control */
      const unitOf = ({ dataset: { column }, parentElement: $parent }) => (column ? $form.querySelector(`[name="${column}@"], [data-of="${column}@"]`) : $parent && $parent.querySelector(".tk-field__unit"));
      /** @type {NodeListOf<HTMLInputElement|HTMLSelectElement>} */
      const $controls = $form.querySelectorAll("input[name], select[name]");
      fieldsOf.set($form, all = [...$controls].map(($control) => ({ $control, $unit: unitOf($control) })));
    }
    return all;
  }

  /** @param {HTMLSelectElement} $select @param {boolean} printed */
  function choiceOf($select, printed) {
    const $chosen = printed ? [...$select.options].find(($option) => $option.defaultSelected) : null;
    return ($chosen || $select.selectedOptions[0] || { value: "" }).value;
  }

  /** A typed unit wins. @param {Element|null} $unit @param {string} text @param {boolean} printed */
  function withUnit($unit, text, printed) {
    if (!text || !$unit || /[\p{L}%]/u.test(text)) return text;
    const unit = $unit instanceof HTMLSelectElement ? choiceOf($unit, printed) : ($unit instanceof HTMLElement && $unit.dataset.unit) || "";
    return unit ? `${text} ${unit}` : text;
  }

  /** @param {Pair[]} pairs @param {string[]|null} unfolded the folds wanted in full, `null` for all @param {boolean} [formed] whether the form stays as it is @param {boolean} [brief] whether results and cautions are enough @param {() => void} [again] what is done once a part of the core has come without which there is no answer @returns {Worked|null} */
  function ask(pairs, unfolded, formed = true, brief = false, again = settle) {
    const { name, title, show, first, large, level } = $section.dataset;
    /** @type {Object<string, any>} */
    const options = { name, units, title, show, large, formed, brief, level: Number(level || 3) };
    if (first !== undefined) options.first = first.split(" ");
    if (unfolded) options.unfolded = unfolded;
    const reply = wasm_bindgen.worked(calculator, JSON.stringify(pairs), JSON.stringify(options));
    const [said, ...markup] = reply.split("\0");
    const { needs, ...rest } = JSON.parse(said);
    if (!needs) return { ...rest, form: markup[0], answer: markup[1] };
    if (again === warm) withParts(needs, again);
    else {
      answer().toggleAttribute("data-stale", true);
      fetchParts(needs, again);
    }
    return null;
  }

  /** What most people never ask for comes when it is first needed. @param {string[]} parts @param {() => void} act */
  function fetchParts(parts, act) {
    if (!haveParts(parts)) answer().setAttribute("aria-busy", "true");
    withParts(parts, act, () => { answer().removeAttribute("aria-busy"); showUnloaded($section, true); });
  }

  /** The whole answer to what the form holds now. */
  function settle() {
    const reply = ask(read(), unfolded());
    if (reply) showAnswer(reply);
  }

  /** The folds of the answer that are open; kept while there is no answer, because a number is half typed. @type {Set<string>} */
  const open = new Set();

  /** @param {Element} $fold */
  const foldOf = ($fold) => $fold.getAttribute("data-fold") || "";
  const folds = () => [...answer().querySelectorAll("details[data-fold]")];
  const unfolded = () => [...open];

  /** What the notes next to the fields say now. */
  let noted = "";

  /** What is wrong, and what is unusual, next to each field. @param {Worked} reply */
  function showNotes({ errors, unusual }) {
    const now = JSON.stringify([errors, unusual]);
    if (now === noted) return;
    noted = now;
    for (const $error of form().querySelectorAll(".tk-field__error")) {
      const flat = $error.getAttribute("data-for") || "";
      const text = errors[flat] || "";
      const odd = unusual.includes(flat);
      if ($error.textContent !== text) $error.textContent = text;
      const $control = form().querySelector(`[name="${flat}"]`);
      if (!$control) continue;
      if (text) $control.setAttribute("aria-invalid", "true"); else $control.removeAttribute("aria-invalid");
      const $field = $control.closest(".tk-field, td");
      if ($field) $field.classList.toggle("tk-field--unusual", odd);
      if (odd) hint($control, true);
      const $fold = (text || odd) && $control.closest("details");
      if ($fold) $fold.toggleAttribute("open", true);
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

  /** @param {Element} $part */
  const outOfSight = ($part) => {
    const { top, bottom } = $part.getBoundingClientRect();
    return bottom < 0 || top > innerHeight;
  };
  /** Parts of the answer that take long to lay out and draw: drawing, steps, and what folds. */
  const slow = () => [...answer().querySelectorAll(".tk-answer > :is(figure, ol, .tk-fold, .tk-folds)")];

  /** What the answer is on the page. @type {Piece|null} */
  let written = null;

  /** Changes the answer on the page, but for parts that follow later. @param {Piece} fresh @param {Set<Node>} [later] */
  function write(fresh, later) {
    const $answer = answer();
    change($answer, written || piecesOf($answer.outerHTML), fresh, later);
    written = fresh;
    for (const $fold of folds()) $fold.toggleAttribute("open", open.has(foldOf($fold)));
  }

  /** All of the answer, and what belongs to it. @param {Worked} reply */
  function showAnswer(reply) {
    coming = null;
    clearTimeout(resting);
    const fresh = piecesOf(reply.answer);
    bar.follow($section, fresh);
    write(fresh);
    showNotes(reply);
    for (const $note of $section.querySelectorAll(".tk-tools__said")) $note.toggleAttribute("hidden", true);
    for (const name of ["aria-busy", "data-stale"]) answer().removeAttribute(name);
    showUnloaded($section, false);
    bar.soon();
    speak(reply);
  }

  /** @param {Worked} reply */
  function speak(reply) {
    clearTimeout(timer);
    timer = setTimeout(() => { $spoken.textContent = reply.spoken; }, SPOKEN_AFTER_MS);
  }

  /** In a key's own frame: the result where it is in sight, and the bar. @param {Worked} reply */
  function showResult(reply) {
    coming = null;
    const $answer = answer();
    const away = outOfSight($answer);
    const fresh = piecesOf(reply.answer);
    bar.follow($section, fresh, away);
    $answer.setAttribute("aria-busy", "true");
    if (!away) {
      written = written || piecesOf($answer.outerHTML);
      // A brief answer ends where those parts begin: they stay as they are.
      const end = written.parts.findIndex(({ open }) => /^<(figure|ol|details|p class="tk-sure)/.test(open));
      if (keeps && end >= 0 && !reply.answer.includes("tk-answer__wait")) fresh.parts.push(...written.parts.slice(end));
      write(fresh, new Set([...slow(), ...[...$answer.children].filter(outOfSight)]));
    }
    speak(reply);
    resting = setTimeout(settle, SETTLES_AFTER_MS);
  }

  /** An answer that is shown in the next frame, once the browser has laid out the field itself. @type {Worked|null} */
  let coming = null;

  /** The answer to what the form holds; what nobody sees is left out until it is unfolded. */
  function answerNow() {
    bare = true;
    clearTimeout(resting);
    if (!coming) requestAnimationFrame(() => { if (coming) showResult(coming); });
    coming = ask(read(), unfolded(), true, keeps);
  }

  /** The answer with nothing left out: for paper. */
  function answerWhole() {
    if (!bare) return;
    if (!haveParts(FOLDED)) { settle(); return readyPaper(answerWhole); }
    const reply = ask(read(), null);
    if (!reply) return;
    bare = false;
    showAnswer(reply);
  }

  /** Parts of the core for what is folded on the screen and whole on paper. */
  const FOLDED = ["doubt", "chain"];
  /** A browser does not wait for them when it prints: they are fetched when somebody may be about to. @param {() => void} act */
  const readyPaper = (act) => { if (bare) withParts(FOLDED, act); };
  /** @param {KeyboardEvent} event */
  function printing(event) {
    if (!(event.ctrlKey || event.metaKey) || event.key !== "p" || haveParts(FOLDED) || !bare) return;
    event.preventDefault();
    withParts(FOLDED, () => print(), () => print());
  }

  /** The whole form again: at once, or when the part of the core that makes it has come. @param {() => void} act */
  const anew = (act) => fetchParts(["form"], act);

  /** The whole form again: rows or units have changed. @param {Pair[]} pairs @param {string[]} [focus] selectors, first found wins */
  function showAll(pairs, focus = []) {
    const unfoldedForm = form().querySelector("details[open]") !== null;
    bare = !haveParts(FOLDED);
    const reply = ask(pairs, bare ? [...unfolded(), "more", "more-steps", "results", "sources", "steps"] : null, false, false, () => showAll(pairs, focus));
    if (!reply) return;
    form().replaceWith(elementOf(reply.form));
    noted = "";
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
      rounded = rounded || !before.has(`${name} ${text}`);
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
    anew(() => {
      units = params.get("units") === "metric" ? "metric" : "us";
      showOpened([...params].filter(([name]) => name !== "units"));
    });
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

  /** Whether kept numbers wait for the form that they are put back into. */
  let returning = false;

  function keepTyped() {
    if (returning) return;
    const pairs = read();
    typed.write(JSON.stringify([units, pairs]) === from ? null : { from, units, pairs });
  }

  /** Numbers of a link go first. */
  function putBack() {
    const kept = typed.read();
    if (!kept || $section.dataset.typed || numbersInAddress($section.id)) return;
    if (kept.from !== from) { typed.write(null); return; }
    returning = true;
    anew(() => {
      returning = false;
      units = kept.units === "metric" ? "metric" : "us";
      showOpened(kept.pairs);
    });
  }

  for (const $fold of folds()) if ($fold.hasAttribute("open")) open.add(foldOf($fold));
  /** @param {HTMLDetailsElement} $fold @param {boolean} isOpen */
  const remember = ($fold, isOpen) => { if (isOpen) open.add(foldOf($fold)); else open.delete(foldOf($fold)); };
  /** A fold's heading is clicked: what the browser is about to do is remembered now, since its own event may come after the next key. @param {HTMLDetailsElement} $fold */
  const turn = ($fold) => {
    const opens = !$fold.open;
    const reply = ($fold.childElementCount < 2 || answer().hasAttribute("aria-busy")) && ask(read(), [...unfolded(), foldOf($fold)]);
    if (reply) showAnswer(reply);
    remember($fold, opens);
  };
  $section.addEventListener("toggle", ({ target }) => {
    if (target instanceof HTMLDetailsElement && answer().contains(target)) remember(target, target.open);
  }, true);
  $section.addEventListener("input", () => { leaveAddress(); answerNow(); });
  $section.addEventListener("focusin", (event) => {
    if (event.target instanceof Element && event.target.matches(".tk-form input, .tk-form select")) use(event.target);
  });
  $section.addEventListener("submit", (event) => event.preventDefault());
  $section.addEventListener("click", (event) => {
    if (!(event.target instanceof Element)) return;
    const $fold = event.target.closest(".tk-answer summary") && event.target.closest("details");
    if ($fold instanceof HTMLDetailsElement) turn($fold);
    const $button = event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const { do: chore, group = "", row = "", fields = "", units: wanted = "us" } = $button.dataset;
    if (chore === "add" || chore === "drop" || chore === "units") leaveAddress();
    if (chore === "add") anew(() => addRow(group, fields));
    if (chore === "drop") anew(() => dropRow(row));
    if (chore === "units") anew(() => switchUnits(wanted));
    if (chore === "link") putInAddress($section, new URLSearchParams([...read(), ["units", units]]));
    if (chore === "reset") {
      leaveAddress();
      anew(() => {
        units = lessonUnits;
        showAll(lesson, ['[data-do="reset"]']);
        if (keeps) keepTyped();
      });
    }
  });
  addEventListener("beforeprint", answerWhole);
  addEventListener("keydown", printing);
  addEventListener("blur", () => readyPaper(() => {}));
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
  // The browser readies code as it first runs; better while a finger is on its way than at the first key. So an answer of
  // other numbers, which is not on the page, becomes the present one.
  function warm() {
    const brief = ask(read(), [], true, true, warm);
    const reply = brief && ask(read(), unfolded(), true, false, warm);
    if (!reply) return;
    const html = reply.answer;
    const [zeros, fresh] = [html.replace(/\d/g, "0"), piecesOf(html)];
    change(elementOf(zeros), piecesOf(zeros), fresh);
    bar.follow($section, fresh);
    written = written || piecesOf(answer().outerHTML);
  }
  setTimeout(warm);
  return { read, units: () => units, show: (pairs, wanted, focus) => { units = wanted; showAll(pairs, focus); } };
}
