/**
 * Part "progress": who learns on this device, the training record, the certificate, and progress carried as a file.
 */
"use strict";
/* global PARTS, LEARN, TANKSIDE_QUESTIONS, find, start, word, make, makeButton, needScript, needParts, standings, showTroubles, wasm_bindgen */

/** @param {HTMLElement} $part */
function startProgress($part) {
  /** @param {string} role */
  const role = (role) => find("progress", $part, `[data-role="${role}"]`);
  const course = JSON.parse(role("course").textContent || "{}");
  const $name = /** @type {HTMLInputElement} */ (role("name"));
  const $file = /** @type {HTMLInputElement} */ (role("file"));
  /** @param {string} at */
  const when = (at) => (at ? new Date(at).toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" }) : "");
  /** The certificate that waits for a name. */
  let wanted = "";
  /** Who is shown, and the name as it was put into its field. */
  let shown = { id: "", name: "" };

  /** The record as a file holds it: its last member is a seal, so that a change shows. @param {(text: string, tail: string) => void} then */
  function record(then) {
    const tail = fileTail();
    const whole = JSON.stringify(LEARN.record(course.title, course.digest), null, 1);
    const open = whole.slice(0, whole.lastIndexOf("\n}"));
    needParts(["learning"]).then(() => {
      const { seal } = JSON.parse(wasm_bindgen.learning(JSON.stringify({ do: "seal", text: open })));
      then(`${open},"seal":"${seal}"\n}\n`, tail);
    }, () => { then(`${whole}\n`, tail); });
  }

  /** @param {string} [text] */
  function say(text = "") { role("said").textContent = text; }

  /** @param {string} text @param {string} name */
  function download(text, name) {
    const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    const $link = document.createElement("a");
    $link.href = address;
    $link.download = name;
    $link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }

  /** A piece of a file's name. */
  function fileTail() {
    const person = LEARN.current();
    const name = person.name.normalize("NFD").replace(/[^a-zA-Z0-9]+/g, "-").replace(/^-+|-+$/g, "").toLowerCase();
    return `${name || person.id || "learner"}-${new Date().toISOString().slice(0, 10)}`;
  }

  function showPeople() {
    const people = LEARN.people();
    const now = LEARN.current();
    role("people").hidden = people.length < 2;
    role("people-list").replaceChildren(...people.map((one, place) => {
      const $label = make("label", "tk-choice");
      const $mark = document.createElement("input");
      [$mark.type, $mark.name, $mark.value, $mark.className] = ["radio", "person", one.id, "tk-choice__mark"];
      $mark.checked = one.id === now.id;
      // Two of one name can come together from two devices.
      const twice = Boolean(one.name) && people.some((other) => other.id !== one.id && other.name.trim() === one.name.trim());
      const name = twice ? word("person-since", { name: one.name, day: new Date(one.made).toLocaleDateString(document.documentElement.lang, { dateStyle: "medium" }) }) : one.name;
      $label.append($mark, " ", make("span", "tk-choice__text", name || word("person-nameless", { place: place + 1 })));
      return $label;
    }));
  }

  /** What was decided on the first try in a sitting, and whether it is points of several parts. @param {any} sitting */
  function rightOf(sitting) {
    const first = sitting.answers.filter((/** @type {any} */ one) => one.try === 1 && typeof one.right === "boolean");
    // Of several parts, each counts.
    const of = (/** @type {any} */ one) => (Array.isArray(one.points) ? one.points : [Number(one.right), 1]);
    const sum = (/** @type {number} */ which) => first.reduce((/** @type {number} */ sum, /** @type {any} */ one) => sum + (Number(of(one)[which]) || 0), 0);
    return { right: sum(0), all: sum(1), points: sum(1) > first.length };
  }

  /** What a sitting was of: a check, a calculator, or nothing of its own. @param {any} sitting */
  const nameOf = (sitting) => course.banks[sitting.name] || course.calculators[sitting.name] || (sitting.name === "reading" ? word("reading") : "");

  /** What a sitting was, of what, and with which code. @param {any} sitting */
  function titleOf(sitting) {
    const kind = ["check", "practice", "drill", "exam"].includes(sitting.kind) ? sitting.kind : "check";
    return [word(`kind-${kind}`), sitting.name === sitting.kind ? "" : nameOf(sitting) || sitting.name, sitting.code].filter(Boolean).join(" · ");
  }

  /** @param {string[]} texts @param {string} tag of the first one */
  function row(texts, tag) {
    const $row = document.createElement("tr");
    $row.append(...texts.map((text, index) => {
      const $cell = make(index ? (tag === "row" ? "td" : "th") : "th", "", text);
      if ($cell.tagName === "TH") $cell.setAttribute("scope", tag);
      return $cell;
    }));
    return $row;
  }

  /** Whether an answer is a choice, which a record keeps as the numbers of its options. @param {string} answer */
  const isChoice = (answer) => /^\d+(,\d+)*$/.test(answer);

  /** Loads the questions where choices were made: paper shows them in words. */
  function needOptions() {
    const made = LEARN.sittings().some((one) => one.answers.some((/** @type {any} */ { answer }) => isChoice(answer)));
    return made ? needScript("questions") : Promise.resolve();
  }

  /** An answer as a person reads it; a question that has changed has no words for it any more. @param {any} one */
  function answerShown({ digest, answer }) {
    const all = isChoice(answer) && typeof TANKSIDE_QUESTIONS !== "undefined" ? TANKSIDE_QUESTIONS.questions : [];
    const row = all.find((/** @type {any} */ [,, question]) => question.digest === digest);
    const options = (row && row[2].options) || [];
    return options.length ? answer.split(",").map((/** @type {string} */ place) => (options[Number(place)] || { text: place }).text).join(" · ") : answer;
  }

  /** Fills the sheet that is printed: all that a record file holds. */
  function putRecord() {
    const { learner, course: of, sittings } = LEARN.record(course.title, course.digest);
    const exactly = (/** @type {string} */ at) => new Date(at).toLocaleString(document.documentElement.lang, { dateStyle: "short", timeStyle: "medium" });
    role("record-sheet").replaceChildren(
      make("h2", "tk-record__name", word("record-of", { name: learner.name || "________________" })),
      make("p", "", word("record-course", { course: of.title, digest: of.digest })),
      make("p", "", word("record-made", { day: when(new Date().toISOString()), id: learner.id })),
      ...sittings.flatMap((sitting) => {
        const $table = make("table", "tk-plan tk-record__answers");
        const [$head, $body] = ["thead", "tbody"].map((tag) => document.createElement(tag));
        $head.append(row(["question", "version", "draw", "try", "answer", "at"].map((key) => word(`record-${key}`)), "col"));
        $body.append(...sitting.answers.map((one) => row([one.question + (one.part ? ` ${one.part}` : ""), one.digest, String(one.draw), String(one.try), answerShown(one) || word("record-blank"), exactly(one.at)], "row")));
        $table.append($head, $body);
        return [make("h3", "", titleOf(sitting)), make("p", "", sitting.ended ? word("record-from", { from: exactly(sitting.begun), to: exactly(sitting.ended) }) : word("record-open", { from: exactly(sitting.begun) })), $table];
      }),
      make("p", "", word("record-proves")),
    );
    $part.dataset.print = "record";
  }

  function showSittings() {
    const sittings = LEARN.sittings().filter((one) => one.answers.length);
    role("none").hidden = sittings.length > 0;
    role("sittings").hidden = !sittings.length;
    role("rows").replaceChildren(...sittings.slice().reverse().map((sitting) => {
      const $row = document.createElement("tr");
      const $what = make("th", "", titleOf(sitting));
      $what.setAttribute("scope", "row");
      const of = rightOf(sitting);
      $row.append($what, make("td", "", when(sitting.begun)), make("td", "", sitting.ended ? word(of.points ? "points-of" : "right-of", of) : word("not-ended")));
      return $row;
    }));
    const passed = sittings.filter((/** @type {any} */ one) => one.ended && one.result && one.result.right >= one.result.need);
    role("certificates").replaceChildren(...passed.slice().reverse().map((sitting) => {
      const $button = makeButton("certificate", word("certificate-of", { what: nameOf(sitting) || word(`kind-${sitting.kind}`), day: when(sitting.ended) }));
      $button.dataset.sitting = sitting.id;
      return $button;
    }));
    role("no-certificate").hidden = passed.length > 0;
  }

  /** @param {string} id */
  function certificate(id) {
    /** @type {any} */
    const sitting = LEARN.sittings().find((one) => one.id === id);
    if (!sitting) return;
    const person = LEARN.current();
    if (!person.name) { wanted = id; say(word("certificate-name")); $name.focus(); return; }
    const { right, all, need } = sitting.result;
    const $sheet = role("certificate");
    $sheet.replaceChildren(
      make("p", "tk-certificate__company", course.company),
      make("h2", "tk-certificate__name", person.name),
      make("p", "tk-certificate__what", word(rightOf(sitting).points ? "certificate-points" : "certificate-words", { what: nameOf(sitting) || word(`kind-${sitting.kind}`), course: course.title, right, all, need })),
      make("p", "", word("certificate-when", { day: when(sitting.ended) })),
      make("p", "", sitting.code ? word("certificate-code", { code: sitting.code }) : word("certificate-no-code")),
      make("p", "tk-certificate__check", word("certificate-check", { sitting: sitting.id, digest: course.digest })),
    );
    $part.dataset.print = "certificate";
    print();
  }

  /** Keeps the name that was typed, unless somebody else here has it: then it has to be said who this is. */
  function rename() {
    const other = LEARN.namesake($name.value);
    if (other) {
      role("same-words").textContent = word("name-taken", { name: other.name });
      find("progress", $part, '[data-do="same"]').textContent = word("name-same", { name: other.name });
      role("same").hidden = false;
      role("same").dataset.person = other.id;
      find("progress", role("same"), '[data-do="same"]').focus();
      return;
    }
    LEARN.rename(LEARN.currentId(), $name.value);
    named(word("name-kept"));
  }

  /** @param {string} said */
  function named(said) {
    standings();
    show();
    say(said);
    if (wanted && LEARN.current().name) { certificate(wanted); wanted = ""; }
  }

  function show() {
    role("same").hidden = true;
    role("sure").hidden = true;
    shown = LEARN.current();
    $name.value = shown.name;
    showKept();
  }

  /** Another tab changed something: what is being typed or decided here stays, if it is about the same person. */
  function changedElsewhere() {
    const now = LEARN.current();
    if (shown.id && now.id !== shown.id) { show(); return; }
    if ($name.value === shown.name) $name.value = now.name;
    shown = now;
    showKept();
  }

  function showKept() {
    showPeople();
    showSittings();
    showTroubles(role("trouble"));
  }

  /** Adds the calibration cards of a file to those that are here, as the card page would. @param {string} text @returns {Promise<void>} */
  async function takeCards(text) {
    const id = document.documentElement.dataset.course || "";
    const key = `tankside.${id}.cards`;
    await needParts(["sheet", "card", "application-rate", "tank-mix"]);
    const store = localStorage.getItem(key) || "";
    const request = { do: "read", course: id, store, file: text, shown: "", opened: "", units: "us", today: "" };
    const reply = JSON.parse(wasm_bindgen.cards(JSON.stringify(Object.entries(request))));
    // A store that cannot be read is not overwritten.
    if (reply.refused || reply.unread) throw new Error("the cards cannot be added to those that are here");
    localStorage.setItem(key, reply.store);
  }

  /** @param {File} file */
  function open(file) {
    if (file.size > LEARN_LARGEST) { say(word("file-foreign")); return; }
    const reader = new FileReader();
    reader.onerror = () => say(word("file-unopened"));
    reader.onload = () => {
      const taken = LEARN.imported(String(reader.result));
      if (taken.people !== undefined) standings();
      show();
      say(word(taken.word, { people: taken.people || 0, sittings: taken.sittings || 0 }));
      if (taken.cards) takeCards(taken.cards).catch((cause) => { console.info(cause); say(word("cards-not-taken")); });
    };
    reader.readAsText(file);
  }

  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const chore = $button.dataset.do;
    say();
    if (chore === "rename") rename();
    if (chore === "same") { LEARN.join(role("same").dataset.person || ""); named(word("person-chosen", { name: LEARN.current().name })); $name.focus(); }
    if (chore === "another") { role("same").hidden = true; say(word("name-another", { name: $name.value.trim() })); $name.focus(); }
    if (chore === "add") { LEARN.add(""); show(); say(word("person-added")); $name.focus(); }
    if (chore === "record") record((text, tail) => { download(text, `training-record-${tail}.json`); say(word("record-saved")); });
    if (chore === "copy") record((text) => {
      const $text = /** @type {HTMLTextAreaElement} */ (role("text"));
      $text.value = text;
      role("text-box").hidden = false;
      $text.focus();
      $text.select();
      if (navigator.clipboard) navigator.clipboard.writeText(text).then(() => say(word("record-copied")), () => say(word("record-shown")));
      else say(word("record-shown"));
    });
    if (chore === "print-record") needOptions().catch(() => {}).then(() => print());
    if (chore === "certificate") certificate($button.dataset.sitting || "");
    if (chore === "export") { download(LEARN.exported(), `progress-${document.documentElement.dataset.course}-${new Date().toISOString().slice(0, 10)}.json`); say(word("progress-saved")); }
    if (chore === "import") $file.click();
    if (chore === "start-over") {
      const { name } = LEARN.current();
      find("progress", role("sure"), "p").textContent = name && LEARN.people().length > 1 ? word("over-sure-of", { name }) : word("over-sure");
      role("sure").hidden = false;
      find("progress", role("sure"), '[data-do="stay"]').focus();
    }
    if (chore === "stay") { role("sure").hidden = true; find("progress", $part, '[data-do="start-over"]').focus(); }
    if (chore === "surely") {
      const { id, name } = LEARN.current();
      // Whoever has a name is still the one who learns here: nobody goes on in somebody else's.
      LEARN.startOver(id, !name && LEARN.people().length > 1);
      show();
      say(word("started-over"));
      role("head").focus();
    }
  });
  $part.addEventListener("keydown", (event) => { if (event.key === "Escape" && !role("sure").hidden) role("sure").hidden = true; });
  $part.addEventListener("change", (event) => {
    const $mark = event.target;
    if ($mark === $file) {
      const file = $file.files && $file.files[0];
      if (file) open(file);
      $file.value = "";
    } else if ($mark instanceof HTMLInputElement && $mark.name === "person") {
      LEARN.choose($mark.value);
      show();
      say(word("person-chosen", { name: LEARN.current().name || word("person-nameless", { place: 1 }) }));
      const $again = $part.querySelector(`input[name="person"]:checked`);
      if ($again instanceof HTMLElement) $again.focus();
    }
  });
  // Whoever prints by the browser’s own menu has mostly touched the page before.
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => { needOptions().catch(() => {}); }, { once: true });
  addEventListener("beforeprint", () => { if ($part.dataset.print !== "certificate") putRecord(); });
  addEventListener("afterprint", () => { delete $part.dataset.print; });
  LEARN.onChange(changedElsewhere);
  show();
  role("whole").hidden = false;
  // What a link leads to was hidden until now.
  const $wanted = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
  if ($wanted) $wanted.scrollIntoView();
}

PARTS.progress = startProgress;
start();
