/**
 * Part "reading": an instrument is read as closely as it can be read, and what was read is worked with. After a first
 * miss the learner is shown which mark was missed; after a second, the reading itself, and goes on to work with that.
 */
"use strict";
/* global PARTS, LEARN, find, start, wasm_bindgen, withParts, word, make, makeButton, elementOf, needCalculators, posedQuestion, answerOf, scoreOf, hintAfter, answerText, closeQuestion, foldSteps, showTroubles */

/** @param {HTMLElement} $part */
function startReading($part) {
  /** @param {string} role */
  const role = (role) => find("reading", $part, `[data-role="${role}"]`);
  const $stage = role("stage");
  const $spoken = role("spoken");
  const things = [...$part.querySelectorAll("button[data-thing]")].map(($one) => $one.getAttribute("data-thing") || "").filter(Boolean);
  const count = { right: 0, all: 0 };
  /** First tries on each thing, so far: right ones and all. @returns {Object<string, [number, number]>} */
  const sofar = () => (LEARN.note("reading") || {}).note || {};
  let chosen = "";
  let last = "";
  /** @type {any} */
  let held = null;
  /** @type {() => void} */
  let act = () => {};

  /** @param {object} request */
  const ask = (request) => JSON.parse(wasm_bindgen.reading(JSON.stringify({ units: $part.dataset.units, ...request })));

  /** @param {string} head @param {Element[]} $body */
  function put(head, $body) {
    const $head = make("p", "tk-round__count", word(head));
    $head.tabIndex = -1;
    const $said = make("div", "tk-round__said");
    $said.setAttribute("role", "status");
    const $row = make("div", "tk-quiz__tools");
    $row.append(makeButton("act", word("check"), true), makeButton("leave", word("reading-other")));
    $stage.replaceChildren($head, ...$body, $said, $row);
    $stage.scrollIntoView({ block: "start" });
    $head.focus({ preventScroll: true });
    return $said;
  }

  /** The check is over: the one thing left is to go on. @param {string} text @param {() => void} next */
  function forward(text, next) {
    const $next = find("reading", $stage, '[data-do="act"]');
    $next.textContent = word(text);
    act = next;
    $next.focus({ preventScroll: true });
  }

  /** Says what still has to be answered, and where. @param {Element} $body @param {string} text */
  function open($body, text) {
    find("reading", $body, '[data-role="ask"]').textContent = text;
    $spoken.textContent = text;
    const $entry = $body.querySelector("input");
    if ($entry) $entry.focus();
  }

  /** @param {string} thing @param {boolean} right */
  function noteDown(thing, right) {
    const all = sofar();
    const [before, of] = soundCount(all[thing]);
    LEARN.setNote("reading", { ...all, [thing]: [before + Number(right), of + 1] });
    showTroubles(role("trouble"));
  }

  /** @param {any} one @returns {[number, number]} */
  const soundCount = (one) => (Array.isArray(one) && one.every(Number.isInteger) && one.length === 2 ? [one[0], one[1]] : [0, 0]);

  function offer() {
    const all = sofar();
    for (const $one of $part.querySelectorAll("button[data-thing]")) {
      const [right, of] = soundCount(all[$one.getAttribute("data-thing") || ""]);
      const $how = $one.querySelector(".tk-kinds__how");
      if ($how) $how.textContent = of ? word("reading-so-far", { right, all: of }) : "";
    }
    $stage.hidden = true;
    role("list").hidden = false;
  }

  function read() {
    const pool = chosen ? [chosen] : things.filter((thing) => thing !== last);
    const [turn, seed] = crypto.getRandomValues(new Uint32Array(2));
    const thing = pool[turn % pool.length];
    last = thing;
    const $body = elementOf(ask({ do: "show", thing, seed }).html);
    const $said = put("reading-first", [$body]);
    let tries = 1;
    act = () => {
      const reply = ask({ do: "read", thing, seed, answer: answerOf($body) || "" });
      find("reading", $body, '[data-role="ask"]').textContent = "";
      if (reply.right === null) { open($body, reply.ask); return; }
      $said.replaceChildren();
      held ||= LEARN.begin("practice", "reading");
      // It is in no bank: thing, units and seed say what was drawn.
      held.answer({ question: `reading/${thing}`, digest: `reading-${$part.dataset.units}`, draw: seed, answer: answerText(answerOf($body)), try: tries, right: reply.right, part: "reading" });
      if (!reply.right && tries === 1) {
        tries = 2;
        $said.append(make("p", "tk-again__word", word("not-yet")), elementOf(reply.html), make("p", "tk-again__try", word("reading-again")));
        const $entry = $body.querySelector("input");
        if ($entry) { $entry.focus(); $entry.select(); }
        return;
      }
      count.all += 1;
      if (reply.right && tries === 1) count.right += 1;
      noteDown(thing, reply.right && tries === 1);
      closeQuestion($body);
      $said.append(make("p", "tk-again__word", word(reply.right ? "right" : "not-right")), elementOf(reply.right ? reply.html : reply.told), make("p", "", word("reading-so-far", count)));
      const question = { ...reply.question, bank: "", json: JSON.stringify(reply.question) };
      // Until the parts that work it have loaded, the button only asks for them again.
      act = () => {
        needCalculators([question]).then(() => { if ($body.isConnected) forward("go-further", () => work(question, $body)); }, () => { role("said").textContent = word("not-loaded"); });
      };
      act();
    };
  }

  /** @param {AskedQuestion} question @param {Element} $read */
  function work(question, $read) {
    const $drawn = $read.querySelector(".tk-instrument, .tk-label-extract");
    const $body = posedQuestion(question, 0);
    const $said = put("reading-then", [...($drawn ? [$drawn] : []), $body]);
    let tries = 1;
    act = () => {
      const answer = answerOf($body);
      const score = scoreOf(question, 0, answer);
      find("reading", $body, '[data-role="ask"]').textContent = "";
      if (score.right === null) { open($body, score.ask || ""); return; }
      $said.replaceChildren();
      if (!score.right && tries === 1) { tries = 2; $said.append(hintAfter(question, answer, score)); return; }
      closeQuestion($body);
      const $feedback = make("div", "tk-question__feedback");
      $feedback.innerHTML = score.html;
      if (score.right) foldSteps($feedback);
      $said.append($feedback);
      forward("reading-next", read);
    };
  }

  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button");
    if (!($button instanceof HTMLElement)) return;
    if ($button.dataset.thing !== undefined) {
      chosen = $button.dataset.thing;
      withParts(["practice", "reading"], () => {
        role("list").hidden = true;
        $stage.hidden = false;
        read();
      }, () => { role("said").textContent = word("not-loaded"); });
    } else if ($button.dataset.do === "act") act();
    else if ($button.dataset.do === "leave") {
      if (held) { held.end(); held = null; }
      offer();
      find("reading", $part, `[data-thing="${chosen}"]`).focus();
    }
  });
  $part.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement)) return;
    event.preventDefault();
    act();
  });
  showTroubles(role("trouble"));
  offer();
}

PARTS.reading = startReading;
start();
