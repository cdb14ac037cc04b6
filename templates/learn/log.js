/**
 * Part "log": each lawn of a day as it is sprayed, its rate against the calibrated one, and plain words on whether the
 * rate is still right. Kept in the browser by day and operator; leaves with all progress as a file.
 */
"use strict";
/* global PARTS, LEARN, wasm_bindgen, withParts, haveParts, find, start, word, make, makeButton, showTroubles */

/** @param {HTMLElement} $part */
function startLog($part) {
  /** @param {string} role */
  const role = (role) => find("log", $part, `[data-role="${role}"]`);
  /** @param {string} name */
  const field = (name) => /** @type {HTMLInputElement} */ (find("log", $part, `#log-${name}`));
  const FIELDS = ["operator", "rate", "sure", "area-sure", "gauge"];
  const $day = /** @type {HTMLSelectElement} */ (role("day"));
  /** @type {{id: string, day: string, set: Object<string, string>, lawns: [string, string, string][]}} */
  let log = fresh();

  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  }

  /** A new day begins with the settings of the last one. @param {Object<string, string>} [set] */
  function fresh(set = {}) {
    return { id: `${today()}.${learnId()}`, day: today(), set, lawns: /** @type {[string, string, string][]} */ ([]) };
  }

  function all() {
    const ids = (LEARN.note("logs") || {}).note || {};
    return Object.keys(ids).map((id) => (LEARN.note(`log.${id}`) || {}).note).filter(learnLog).sort((one, other) => (one.id < other.id ? 1 : -1));
  }

  /** Another tab may have gone on with the same day: its lawns are the ones that count. @returns {boolean} whether they are others than here */
  function meet() {
    const kept = all().find((one) => one.id === log.id);
    if (!kept || JSON.stringify(kept.lawns) === JSON.stringify(log.lawns)) return false;
    log.lawns = kept.lawns;
    return true;
  }

  function keep() {
    LEARN.setNote(`log.${log.id}`, log);
    LEARN.setNote("logs", { ...((LEARN.note("logs") || {}).note || {}), [log.id]: log.day });
    showTroubles(role("trouble"));
  }

  function takeSettings() {
    for (const name of FIELDS) log.set[name] = field(name).value.trim().slice(0, 120);
  }

  function showDays() {
    const kept = all();
    const here = kept.some((one) => one.id === log.id) ? kept : [log, ...kept];
    $day.replaceChildren(...here.map((one) => {
      const $one = document.createElement("option");
      $one.value = one.id;
      const noon = new Date(`${one.day}T12:00`);
      const day = Number.isNaN(noon.getTime()) ? one.day : noon.toLocaleDateString(document.documentElement.lang, { dateStyle: "medium" });
      $one.textContent = one.set.operator ? `${day} · ${one.set.operator}` : day;
      $one.selected = one.id === log.id;
      return $one;
    }));
  }

  function show() {
    // The initial settings hold nothing that would have to be worked out.
    const bare = !haveParts(["log"]) && !log.lawns.length && FIELDS.slice(1).every((name) => (log.set[name] || "") === field(name).defaultValue);
    if (bare) showDays();
    else withParts(["log"], showWorked, () => { role("said").textContent = word("not-loaded"); });
  }

  function showWorked() {
    const request = { rate: log.set.rate || "", sure: log.set.sure || "", "area-sure": log.set["area-sure"] || "", gauge: log.set.gauge || "", lawns: log.lawns };
    const reply = JSON.parse(wasm_bindgen.log(JSON.stringify(request)));
    const bad = new Set(reply.errors);
    for (const name of FIELDS.slice(1)) {
      const wrong = bad.has(name) && Boolean(log.set[name]);
      if (wrong) field(name).setAttribute("aria-invalid", "true"); else field(name).removeAttribute("aria-invalid");
      role(`${name}-error`).textContent = wrong ? word(`log-${name}-error`) : "";
    }
    const ready = bad.size === 0;
    role("waiting").hidden = ready;
    role("chart").innerHTML = ready && log.lawns.length ? reply.svg : "";
    const $verdict = role("verdict");
    $verdict.dataset.verdict = ready ? reply.verdict : "empty";
    const lawn = reply.lawn !== null && reply.lawn !== undefined && log.lawns[reply.lawn] ? log.lawns[reply.lawn][0] || word("log-lawn", { at: reply.lawn + 1 }) : "";
    $verdict.textContent = ready && reply.verdict !== "empty" ? word(`log-${reply.verdict}${reply.high === null ? "" : reply.high ? "-high" : "-low"}`, { lawn, off: reply.off }) : "";
    role("rows").replaceChildren(...log.lawns.map(([name, area, volume], index) => {
      const $row = document.createElement("tr");
      const of = ready ? reply.rows[index] : null;
      const $name = make("th", "", name || word("log-lawn", { at: index + 1 }));
      $name.setAttribute("scope", "row");
      const $drop = makeButton("drop", "×");
      $drop.dataset.row = String(index);
      $drop.setAttribute("aria-label", word("log-drop", { lawn: name || word("log-lawn", { at: index + 1 }) }));
      const $tools = make("td", "tk-log__tools");
      $tools.append($drop);
      $row.append($name, make("td", "", area), make("td", "", volume), make("td", "", of ? `${of.rate} (${of.off})` : ready ? word("log-unread") : ""), make("td", of && !of.within ? "tk-log__far" : "", of ? word(of.within ? "log-within" : "log-outside") : ""), $tools);
      return $row;
    }));
    role("table").hidden = !log.lawns.length;
    role("table").dataset.numbered = log.lawns.length > 6 ? "yes" : "no";
    showDays();
  }

  /** The lawn that was removed last, and where it was: it can be put back until something else is done. @type {{at: number, row: [string, string, string]}|null} */
  let dropped = null;

  /** @param {number} at */
  function drop(at) {
    const [row] = log.lawns.splice(at, 1);
    if (!row) return;
    dropped = { at, row };
    keep();
    show();
    const $back = makeButton("put-back", word("log-put-back"));
    role("said").replaceChildren(word("log-dropped", { lawn: row[0] || word("log-lawn", { at: at + 1 }) }), " ", $back);
    $back.focus();
  }

  function putBack() {
    if (!dropped) return;
    const { at, row } = dropped;
    meet();
    log.lawns.splice(at, 0, row);
    forget();
    keep();
    show();
    role("said").textContent = word("log-is-back", { lawn: row[0] || word("log-lawn", { at: at + 1 }) });
    field("name").focus();
  }

  function forget() {
    dropped = null;
    role("said").replaceChildren();
  }

  let adding = false;

  /** While the part loads that reads a lawn, what is entered stays as it is, and so does its day. @param {boolean} on */
  function holdForm(on) {
    adding = on;
    for (const name of ["name", "area", "used"]) field(name).readOnly = on;
    $day.disabled = on;
  }

  function addLawn() {
    const row = /** @type {[string, string, string]} */ (["name", "area", "used"].map((name) => field(name).value.trim().slice(0, 100)));
    // As the page writes it: 12,345 ft² for 12345 and for 12345 ft2.
    const grouped = (/** @type {string} */ text) => text.replace(/^\d{5,}(?![\d.,])/, (whole) => whole.replace(/\B(?=(\d{3})+$)/g, word("number").slice(2, word("number").indexOf("345"))));
    const withUnit = (/** @type {string} */ text, /** @type {string} */ unit) => grouped(/[\p{L}²]/u.test(text) ? text.replace(/(ft|yd|m)2\b/, "$1²") : `${text} ${unit}`);
    if (!row[1] || !row[2]) { role("said").textContent = word("log-both"); return; }
    role("said").textContent = "";
    row[1] = withUnit(row[1], field("area").dataset.unit || "");
    row[2] = withUnit(row[2], field("used").dataset.unit || "");
    // A second tap while the part loads enters nothing twice.
    if (adding) return;
    holdForm(true);
    withParts(["log"], () => { holdForm(false); if (readable(row)) take(row); }, () => { holdForm(false); role("said").textContent = word("not-loaded"); });
  }

  /** Says beside the field what cannot be read, and leaves it there to be put right. @param {[string, string, string]} row */
  function readable(row) {
    /** @type {{unread: number[]}} */
    const { unread } = JSON.parse(wasm_bindgen.log(JSON.stringify({ tried: row.slice(1) })));
    ["area", "used"].forEach((name, place) => {
      if (unread.includes(place)) {
        field(name).setAttribute("aria-invalid", "true");
        role(`${name}-error`).textContent = word(`log-${name}-error`);
      } else sayRead(name);
    });
    if (unread.length) field(unread.includes(0) ? "area" : "used").focus();
    return !unread.length;
  }

  /** @param {string} name */
  function sayRead(name) {
    field(name).removeAttribute("aria-invalid");
    role(`${name}-error`).textContent = "";
  }

  /** @param {[string, string, string]} row */
  function take(row) {
    takeSettings();
    forget();
    meet();
    log.lawns.push(row);
    keep();
    show();
    for (const name of ["name", "area", "used"]) field(name).value = "";
    field("name").focus();
  }

  /** @param {Object<string, string>} set */
  const operatorOf = (set) => (set.operator || "").trim().toLowerCase();

  /** A rate belongs to the operator it was measured with: another one's is taken from their own last log, or is not known yet. */
  function takeCalibration() {
    const now = { operator: field("operator").value };
    if (log.lawns.length || operatorOf(now) === operatorOf(log.set)) return;
    const own = all().find((one) => operatorOf(one.set) === operatorOf(now) && one.set.rate);
    if (own || operatorOf(log.set)) for (const name of ["rate", "sure"]) field(name).value = (own && own.set[name]) || field(name).defaultValue;
  }

  function fill() {
    ["area", "used"].forEach(sayRead);
    for (const name of FIELDS) field(name).value = log.set[name] || field(name).defaultValue;
    takeSettings();
    show();
  }

  $part.addEventListener("submit", (event) => { event.preventDefault(); addLawn(); });
  $part.addEventListener("change", (event) => {
    if (event.target === $day) {
      forget();
      log = all().find((one) => one.id === $day.value) || log;
      fill();
      return;
    }
    if (event.target === field("operator")) takeCalibration();
    takeSettings();
    meet();
    if (log.lawns.length) keep();
    show();
  });
  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const chore = $button.dataset.do;
    if (chore === "drop") drop(Number($button.dataset.row));
    if (chore === "put-back") putBack();
    if (chore === "new-day" && !adding) { forget(); log = fresh({ ...log.set, operator: "", rate: "", sure: "" }); fill(); field("operator").focus(); }
    if (chore === "print") print();
  });
  LEARN.onChange(() => { if (meet()) show(); else showDays(); });
  const [last] = all();
  if (last) log = last.day === today() ? last : fresh({ ...last.set });
  fill();
  showTroubles(role("trouble"));
  role("whole").hidden = false;
}

PARTS.log = startLog;
start();
