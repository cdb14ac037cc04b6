/**
 * Part "card" of a published course: calibration cards, kept in the browser and carried in files.
 * Loaded after site.js, whose pieces it uses. The core decides what is kept, read or refused: this script reads the
 * page, asks the core, shows its answer, and stores its text.
 */
"use strict";
/* global wasm_bindgen, PARTS, LATER, elementOf, find, start, startWorked, atFirstTouch */

/** The largest file that is opened: the core keeps at most about 200 cards of 2 kB. */
const LARGEST_FILE = 1_000_000;

/** @typedef {{store: string, count: string, html: string, unread?: string, opened?: string, shown?: string, said?: string, refused?: string, due?: string}} CardReply an empty text is left out */

/**
 * A text under one name in the browser's storage; in memory if the browser keeps none.
 * @param {string} key
 */
function keptText(key) {
  let memory = "";
  // What a later version wrote stays where it is, since that version may come back; this one keeps its cards
  // separately.
  const newer = isNewer(key);
  if (newer) key = `${key}.v${CARDS_VERSION}`;
  let lasting = true;
  try {
    localStorage.setItem(`${key}.try`, "");
    localStorage.removeItem(`${key}.try`);
  } catch {
    lasting = false;
  }
  return {
    newer,
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
    /** A text that cannot be read is not thrown away, and neither is one set aside before: each gets its day and number. */
    putAside() {
      try {
        const text = localStorage.getItem(key) || "";
        const names = Object.keys(localStorage).filter((name) => name.startsWith(`${key}.aside.`));
        if (names.some((name) => localStorage.getItem(name) === text)) return;
        let number = 1;
        while (names.includes(`${key}.aside.${today()}.${number}`)) number += 1;
        localStorage.setItem(`${key}.aside.${today()}.${number}`, text);
      } catch { lasting = false; }
    },
  };
}

/** The version of the cards' store that the core writes. */
const CARDS_VERSION = 1;

/** Whether a store was written by a later version. @param {string} key */
function isNewer(key) {
  try {
    const { version } = JSON.parse(localStorage.getItem(key) || "{}") || {};
    return Number.isInteger(version) && version > CARDS_VERSION;
  } catch { return false; }
}

/** Today on the reader's clock as year-month-day; the core has no clock. */
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
  /** The kept card that is in the form, as the core wrote it. */
  let opened = "";
  let shown = "";
  /** The numbers as they were opened or kept: what differs from them would be lost. */
  let settled = JSON.stringify(sheet.read());
  let wish = () => {};
  /** The card that was kept last, and until when another tab may have overwritten it. */
  let mine = { card: "", now: "", until: 0 };

  /** @param {string} role */
  const role = (role) => find("card", $part, `[data-role="${role}"]`);
  /** @param {string} chore */
  const button = (chore) => find("card", $part, `[data-chore="${chore}"]`);

  /** Asks the core, keeps what it says to keep, and shows the list. @param {string} chore @param {Object<string, string>} [more] @returns {CardReply} */
  function ask(chore, more = {}) {
    const store = kept.read();
    const request = { do: chore, course, store, shown, opened, units: sheet.units(), today: today(), ...more };
    /** @type {CardReply} */
    const reply = JSON.parse(wasm_bindgen.cards(JSON.stringify(Object.entries(request))));
    const some = reply.count !== "0";
    if (chore === "print") return reply;
    if (reply.unread) kept.putAside();
    if (reply.unread || kept.newer) role("unread").hidden = false;
    if (reply.store !== store && (some || store)) kept.write(reply.store);
    shown = kept.read();
    opened = reply.opened || "";
    $list.innerHTML = reply.html;
    role("sure").hidden = true;
    role("due").innerHTML = reply.due || "";
    role("not-kept").hidden = kept.lasting();
    $sheet.dataset.kept = opened ? "yes" : "no";
    for (const chore of ["print-all", "save"]) button(chore).hidden = !some;
    return reply;
  }

  /** What was done, next to where it was requested. @param {string} place @param {string} [text] */
  function say(place, text) {
    for (const one of ["list-said", "sheet-said"]) role(one).textContent = (one === place && text) || "";
  }

  /** On a phone the numbers are folded away while a card is read. @param {string} mode "read" or "write" */
  function setMode(mode) {
    $sheet.dataset.mode = mode;
    button("edit").setAttribute("aria-expanded", String(mode === "write"));
  }


  /** @param {CardReply} reply */
  function showOpened(reply) {
    say("list-said", reply.said);
    if (reply.refused || !reply.opened) return;
    /** @type {Pair[]} */
    const pairs = JSON.parse(reply.shown || reply.opened);
    const given = pairs.filter(([name]) => name !== "units");
    sheet.show(given, new Map(pairs).get("units") || "us");
    settled = JSON.stringify(sheet.read());
    setMode("read");
  }

  function startNew() {
    opened = "";
    sheet.show([["operator", ""], ["date", today()], ["timed.1.volume", ""]], sheet.units());
    settled = JSON.stringify(sheet.read());
    ask("show");
    say("");
    setMode("write");
    find("card", $sheet, '[name="operator"]').focus();
  }

  /** @param {string} chore */
  function keep(chore) {
    const now = JSON.stringify([["units", sheet.units()], ...sheet.read()]);
    const reply = ask(chore, { now });
    say("sheet-said", reply.said);
    if (reply.refused) return;
    mine = { card: opened, now, until: Date.now() + 5_000 };
    settled = JSON.stringify(sheet.read());
    setMode("read");
  }

  /** Another tab changed what is kept. If it wrote at the same instant as this one, the card kept here is added again. */
  function changedElsewhere() {
    const lost = mine.card && Date.now() < mine.until && !kept.read().includes(mine.card);
    if (lost) ask("keep-new", { now: mine.now }); else ask("show");
  }

  /** Goes on at once, or asks first if something typed would be lost. @param {() => void} wanted */
  function unlessUnkept(wanted) {
    const lost = JSON.stringify(sheet.read()) !== settled;
    role("unkept").hidden = !lost;
    wish = wanted;
    if (lost) button("back").focus(); else wanted();
  }

  /** @param {boolean} leave */
  function answerUnkept(leave) {
    role("unkept").hidden = true;
    if (leave) wish();
    else {
      setMode("write");
      find("card", $sheet, '[name="operator"]').focus();
    }
  }

  /** @param {string} row */
  function open(row) {
    showOpened(ask("open", { row }));
    $sheet.scrollIntoView();
  }

  /** Asks once more before a card is deleted. @param {HTMLElement} $button @param {string} row */
  function askIfSure($button, row) {
    role("sure").dataset.row = row;
    role("sure-text").textContent = $button.dataset.sure || "";
    role("sure").hidden = false;
    button("stay").focus();
  }

  /** @param {boolean} sure */
  function answerSure(sure) {
    const row = role("sure").dataset.row || "";
    role("sure").hidden = true;
    if (sure) { mine.card = ""; say("list-said", ask("drop", { row }).said); }
    // The box that had the focus is gone.
    const $asked = $list.querySelector(`[data-row="${row}"] [data-chore="ask"]`);
    if (!sure && $asked instanceof HTMLElement) $asked.focus(); else find("card", $part, "#card-kept-title").focus();
  }

  /** @param {string} wanted "print" for the card shown, "print-all" for every kept one */
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
    // The same words twice are spoken twice only if they were gone in between.
    say("");
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
    const row = ($row && $row.dataset.row) || "";
    if (chore === "new") unlessUnkept(startNew);
    if (chore === "edit") setMode($sheet.dataset.mode === "write" ? "read" : "write");
    if (chore === "keep" || chore === "keep-new") keep(chore);
    if (chore === "print" || chore === "print-all") printCards(chore);
    if (chore === "save") save();
    if (chore === "pick") $file.click();
    if (chore === "open") unlessUnkept(() => open(row));
    if (chore === "back" || chore === "leave") answerUnkept(chore === "leave");
    if (chore === "ask") askIfSure($button, row);
    if (chore === "stay" || chore === "drop") answerSure(chore === "drop");
  });
  $sheet.addEventListener("input", () => { role("due").textContent = ""; say(""); });
  /** The form shows other numbers than the open card's, which must not take its place. */
  function letGo() {
    opened = "";
    settled = JSON.stringify(sheet.read());
    ask("show");
  }

  // The form's own buttons: the list follows the units, and the example is nobody's card.
  $sheet.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    const chore = $button instanceof HTMLElement ? $button.dataset.do : "";
    if (chore === "units") ask("show");
    if (chore === "reset") letGo();
  });
  addEventListener("hashchange", () => { if (location.hash.includes("?")) letGo(); });
  $file.addEventListener("change", () => {
    const file = $file instanceof HTMLInputElement && $file.files && $file.files[0];
    if (file) readFile(file);
    // The same file, corrected, may be chosen again.
    if ($file instanceof HTMLInputElement) $file.value = "";
  });
  addEventListener("storage", (event) => { if (event.key === null || /\.cards(\.v\d+)?$/.test(event.key)) changedElsewhere(); });
  addEventListener("afterprint", () => { delete $part.dataset.print; $sheets.textContent = ""; });

  const last = Number(ask("show").count) - 1;
  role("kept").hidden = false;
  role("tools").hidden = false;
  if (last >= 0 && !location.hash.includes("?")) showOpened(ask("open", { row: String(last) }));
}

LATER.add("card");
PARTS.card = ($part) => {
  const $sheet = find("card", $part, '[data-role="sheet"]');
  const kept = keptText(`tankside.${document.documentElement.dataset.course || ""}.cards`);
  const waits = kept.newer || Boolean(kept.read()) || location.hash.includes("?");
  find("card", $part, '[data-role="kept"]').hidden = false;
  find("card", $part, '[data-role="tools"]').hidden = false;
  for (const chore of ["print-all", "save"]) find("card", $part, `[data-chore="${chore}"]`).hidden = !waits;
  atFirstTouch($part, ["sheet", "card", "application-rate", "tank-mix"], () => { $sheet.dataset.started = "yes"; startCard($part); }, waits);
};
start();
