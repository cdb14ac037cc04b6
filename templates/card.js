/**
 * Part "card" of a published course: calibration cards, kept in the browser and carried in files.
 * Loaded after site.js, whose pieces it uses. What is kept, read or refused is the core's to say: here the page is
 * read, the core asked, its answer put back, and its text stored.
 */
"use strict";
/* global wasm_bindgen, PARTS, elementOf, find, start, startWorked */

/** The largest file that is opened: the core keeps at most some 200 cards of 2 kB. */
const LARGEST_FILE = 1_000_000;

/** @typedef {{units: string, given: Pair[]}} KeptCard */
/** @typedef {{store: string, unread: boolean, count: number, opened: (KeptCard|null), html: string, said: string, refused: boolean, due: string}} CardReply */

/**
 * A text under one name in the browser's storage; in memory where the browser keeps none.
 * @param {string} key
 */
function keptText(key) {
  let memory = "";
  let lasting = true;
  try {
    localStorage.setItem(`${key}.try`, "");
    localStorage.removeItem(`${key}.try`);
  } catch {
    lasting = false;
  }
  return {
    lasting: () => lasting,
    read() {
      if (!lasting) return memory;
      try { return localStorage.getItem(key) || ""; } catch { lasting = false; return memory; }
    },
    /** @param {string} text */
    write(text) {
      memory = text;
      if (!lasting) return;
      try { localStorage.setItem(key, text); } catch { lasting = false; }
    },
    /** A text that cannot be read is not thrown away. */
    putAside() {
      try { localStorage.setItem(`${key}.aside`, localStorage.getItem(key) || ""); } catch { lasting = false; }
    },
  };
}

/** The reader's day as year-month-day; the core has no clock. */
function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}

/**
 * Part "card".
 * @param {HTMLElement} $part
 */
function startCard($part) {
  const course = document.documentElement.dataset.course || "";
  const kept = keptText(`tankside.${course}.cards`);
  const $sheet = find("card", $part, '[data-role="sheet"]');
  const $sheets = find("card", $part, '[data-role="sheets"]');
  const $file = find("card", $part, '[data-role="file"]');
  const sheet = startWorked($sheet);
  /** @type {KeptCard|null} */
  let opened = null;
  let shown = "";

  /** @param {string} role */
  const role = (role) => find("card", $part, `[data-role="${role}"]`);
  /** @param {string} chore */
  const button = (chore) => find("card", $part, `[data-chore="${chore}"]`);

  /** Asks the core, keeps what it says is to be kept, and shows the list. @param {string} chore @param {object} [more] @returns {CardReply} */
  function ask(chore, more = {}) {
    const store = kept.read();
    const request = { do: chore, course, store, shown, opened, units: sheet.units(), today: today(), ...more };
    /** @type {CardReply} */
    const reply = JSON.parse(wasm_bindgen.cards(JSON.stringify(request)));
    if (chore === "print") return reply;
    if (reply.unread) {
      kept.putAside();
      role("unread").hidden = false;
    }
    if (reply.store !== store && (reply.count || store)) kept.write(reply.store);
    shown = kept.read();
    opened = reply.opened;
    $list.innerHTML = reply.html;
    role("due").innerHTML = reply.due;
    role("not-kept").hidden = kept.lasting();
    role("keep-new").hidden = !opened;
    for (const chore of ["print-all", "save"]) button(chore).hidden = !reply.count;
    return reply;
  }

  /** What was done, beside where it was asked for. @param {string} place @param {string} text */
  function say(place, text) {
    for (const one of ["list-said", "sheet-said"]) role(one).textContent = one === place ? text : "";
  }

  /** On a phone the numbers are folded away while a card is read. @param {string} mode "read" or "write" */
  function setMode(mode) {
    $sheet.dataset.mode = mode;
    button("edit").setAttribute("aria-expanded", String(mode === "write"));
  }

  /** The card in the form. @returns {{now: KeptCard}} */
  function now() {
    return { now: { units: sheet.units(), given: sheet.read() } };
  }

  /** @param {CardReply} reply */
  function showOpened(reply) {
    say("list-said", reply.said);
    if (reply.refused || !reply.opened) return;
    sheet.show(reply.opened.given, reply.opened.units);
    setMode("read");
  }

  function startNew() {
    opened = null;
    sheet.show([["operator", ""], ["date", today()], ["timed.1.volume", ""]], sheet.units(), ['[name="operator"]']);
    ask("show");
    say("sheet-said", "");
    setMode("write");
    find("card", $sheet, '[name="operator"]').focus();
  }

  /** @param {string} chore */
  function keep(chore) {
    const reply = ask(chore, now());
    say("sheet-said", reply.said);
    if (!reply.refused) setMode("read");
  }

  /** @param {HTMLElement} $row @param {boolean} sure */
  function askIfSure($row, sure) {
    find("card", $row, '[data-role="chores"]').hidden = sure;
    find("card", $row, '[data-role="sure"]').hidden = !sure;
    find("card", $row, `[data-chore="${sure ? "stay" : "ask"}"]`).focus();
  }

  /** @param {number} row */
  function drop(row) {
    say("list-said", ask("drop", { row }).said);
    // The button that was pressed is gone with its row.
    find("card", $part, "#card-kept-title").focus();
  }

  /** @param {string} wanted "print" for the card in sight, "print-all" for every kept one */
  function printCards(wanted) {
    if (wanted === "print-all") {
      $sheets.innerHTML = ask("print").html;
      $part.dataset.print = "all";
    }
    print();
  }

  function save() {
    const $link = document.createElement("a");
    const address = URL.createObjectURL(new Blob([kept.read()], { type: "application/json" }));
    $link.href = address;
    $link.download = `${course}-calibration-cards-${today()}.json`;
    $link.click();
    say("list-said", role("saved").textContent || "");
    // Some browsers fetch the file only after this turn.
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }

  /** @param {File} file */
  function readFile(file) {
    if (file.size > LARGEST_FILE) { say("list-said", role("huge").textContent || ""); return; }
    const reader = new FileReader();
    reader.onerror = () => say("list-said", role("unopened").textContent || "");
    reader.onload = () => say("list-said", ask("read", { file: String(reader.result) }).said);
    reader.readAsText(file);
  }

  const $list = role("list");
  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-chore]");
    if (!($button instanceof HTMLElement)) return;
    const chore = $button.dataset.chore || "";
    const $row = $button.closest("tr");
    const row = Number(($row && $row.dataset.row) || 0);
    if (chore === "new") startNew();
    if (chore === "edit") setMode($sheet.dataset.mode === "write" ? "read" : "write");
    if (chore === "keep" || chore === "keep-new") keep(chore);
    if (chore === "print" || chore === "print-all") printCards(chore);
    if (chore === "save") save();
    if (chore === "pick") $file.click();
    if (chore === "open") showOpened(ask("open", { row }));
    if ($row && (chore === "ask" || chore === "stay")) askIfSure($row, chore === "ask");
    if (chore === "drop") drop(row);
  });
  $sheet.addEventListener("input", () => { role("due").textContent = ""; say("", ""); });
  // The form's own buttons change units and rows; the list follows the units.
  $sheet.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest('[data-do="units"]');
    if ($button) ask("show");
  });
  $file.addEventListener("change", () => {
    const file = $file instanceof HTMLInputElement && $file.files && $file.files[0];
    if (file) readFile(file);
    // The same file, mended, may be chosen again.
    if ($file instanceof HTMLInputElement) $file.value = "";
  });
  addEventListener("storage", (event) => { if (event.key === null || event.key.endsWith(".cards")) ask("show"); });
  addEventListener("afterprint", () => { delete $part.dataset.print; $sheets.textContent = ""; });

  const last = ask("show").count - 1;
  role("kept").hidden = false;
  role("tools").hidden = false;
  if (last >= 0 && !location.hash.includes("?")) showOpened(ask("open", { row: last }));
}

PARTS.card = startCard;
start();
