/**
 * What a learner did, kept in the browser by course: who learns here, each sitting with its answers, and what follows
 * from them. Loaded before every script that asks questions, and alone on pages that only show how far somebody is.
 *
 * Each sitting has its own place in the browser's storage. A tab reads it again before it writes, so that two tabs in one
 * sitting never write over each other. Nothing kept is a score that counts: verdicts are noted for the learner's own lists
 * and are worked out again from the answers wherever they matter. If a browser keeps nothing, the work is held in
 * memory only.
 */
"use strict";
/* global learnShelf, TANKSIDE_WORDS */

/** The version of everything written here, and the last one read. */
const LEARN_VERSION = 1;
/** The longest progress file that is opened, in characters. */
const LEARN_LARGEST = 8_000_000;
/** The most answers in a sitting, the most people on a phone, the longest text kept. */
const LEARN_MOST = { answers: 2_000, people: 1_000, text: 400 };

/** @typedef {{question: string, digest: string, draw: number, answer: string, at: string, try: number, right?: boolean, mistake?: string, over?: boolean|string, points?: [number, number], part?: string, choice?: boolean}} KeptAnswer `right`, `mistake`, `points` and `choice` stay on this device */
/** @typedef {{id: string, kind: string, name: string, code: string, begun: string, ended: string, answers: KeptAnswer[], plan?: any, result?: {right: number, all: number, need: number}}} Sitting `plan` is what an unfinished one needs to go on; `result` stays on this device */
/** @typedef {{id: string, name: string, made: string}} Person */

/** A name that nobody else has. */
function learnId() {
  return [...crypto.getRandomValues(new Uint32Array(3))].map((part) => part.toString(36)).join("").slice(0, 16);
}

/** @param {any} value @param {number} [most] */
const learnText = (value, most = LEARN_MOST.text) => typeof value === "string" && value.length <= most;

/** Whether a note is a day's log as this version writes it. @param {any} one @returns {boolean} */
function learnLog(one) {
  return Boolean(one) && learnText(one.id, 40) && /^[a-z0-9.-]+$/.test(one.id) && learnText(one.day, 12) && Boolean(one.set) && typeof one.set === "object"
    && Object.values(one.set).every((text) => learnText(text)) && Array.isArray(one.lawns) && one.lawns.length <= 200
    && one.lawns.every((/** @type {any} */ row) => Array.isArray(row) && row.length === 3 && row.every((text) => learnText(text, 120)));
}

/** @param {any} one @returns {boolean} */
function soundAnswer(one) {
  return Boolean(one) && typeof one === "object" && learnText(one.question) && learnText(one.digest, 64) && learnText(one.answer)
    && Number.isInteger(one.draw) && one.draw >= 0 && one.draw <= 0xffff_ffff && learnText(one.at, 40) && Number.isFinite(Date.parse(one.at)) && Number.isInteger(one.try);
}

/** @param {any} one @returns {boolean} */
function soundSitting(one) {
  return Boolean(one) && typeof one === "object" && ["id", "kind", "name", "code", "begun", "ended"].every((key) => learnText(one[key], 120))
    && /^[a-z0-9]+$/.test(one.id) && Number.isFinite(Date.parse(one.begun))
    && Array.isArray(one.answers) && one.answers.length <= LEARN_MOST.answers && one.answers.every(soundAnswer);
}

/** @param {any} one @returns {boolean} */
function soundPerson(one) {
  return Boolean(one) && typeof one === "object" && learnText(one.id, 40) && /^[a-z0-9]+$/.test(one.id) && learnText(one.name, 120) && learnText(one.made, 40);
}

/**
 * The answers of two copies of a sitting, as one in their order. Of a paper each question is answered once, and those of
 * the first copy stay.
 * @param {Sitting} mine @param {Sitting} theirs @returns {KeptAnswer[]} those of the first itself, where nothing is added
 */
function bothAnswers(mine, theirs) {
  const key = (/** @type {KeptAnswer} */ one) => `${one.question} ${one.draw} ${one.try} ${isPaper(mine) ? "" : `${one.at} ${one.part}`}`;
  const here = new Set(mine.answers.map(key));
  const added = theirs.answers.filter((one) => !here.has(key(one)));
  return added.length ? [...mine.answers, ...added].sort((one, two) => (one.at < two.at ? -1 : one.at > two.at ? 1 : 0)).slice(0, LEARN_MOST.answers) : mine.answers;
}

/** Whether a sitting is handed in as a whole. @param {Sitting} sitting */
const isPaper = (sitting) => sitting.kind === "exam" || sitting.kind === "check";

/** The day in the learner's own time, as a number of days. @param {string|number|Date} [at] */
function learnDay(at = Date.now()) {
  const time = new Date(at);
  return Math.floor((time.getTime() - time.getTimezoneOffset() * 60_000) / 86_400_000);
}

/** Days of the week without practice, 0 for Sunday. @param {any} set the learner's settings @returns {number[]} */
function daysOff(set) {
  const off = Array.isArray(set.off) ? set.off.filter((/** @type {any} */ day) => Number.isInteger(day) && day >= 0 && day < 7) : [];
  return new Set(off).size < 7 ? off : [];
}

/** Whether a day is one without practice: the fourth of 1970 was a Sunday. @param {number} day @param {any} set */
const isOff = (day, set) => daysOff(set).includes((day + 4) % 7);

/**
 * How far somebody is with some questions. What was missed last time is counted there, not as due and not as right.
 * Nothing is due on a day without practice.
 * @param {string[]} digests @param {any} items what follows from the answers, by digest @param {any} set the learner's settings
 */
function learnCount(digests, items, set) {
  const today = isOff(learnDay(), set) ? -Infinity : learnDay();
  const known = digests.map((digest) => items[digest]).filter(Boolean);
  const count = (/** @type {(one: any) => boolean} */ such) => known.filter(such).length;
  return {
    all: digests.length,
    learned: count((one) => one.learned),
    kept: count((one) => one.kept),
    right: count((one) => one.learned || (one.right && !one.missed)),
    missed: count((one) => one.missed),
    due: count((one) => one.learned && !one.missed && one.due <= today),
  };
}

/** Whether a day was set for an exam, whatever day that is. @param {any} set the learner's settings @returns {boolean} */
const learnExam = (set) => /^\d{4}-\d\d-\d\d$/.test((set && set.exam) || "");

/**
 * Whether the drill also asks what no lesson teaches: as the learner decided by hand; else for a candidate, and in a
 * course whose lessons ask nothing.
 * @param {any} set the learner's settings @param {boolean} taught whether any question is taught in a lesson
 * @returns {boolean}
 */
function learnBeyond(set, taught) {
  return set && set.chosen ? set.beyond === true : !taught || (set && set.beyond === true) || learnExam(set);
}

/**
 * The progress of everybody who learns this course on this device.
 * @param {string} course
 */
function learnStore(course) {
  const shelf = learnShelf(`tankside.${course}.learn.`);
  /** @type {Set<string>} what has to be reported: "aside", "newer" */
  const told = new Set();
  /** @type {Set<string>} what cannot be read, and for which there is no room elsewhere */
  const stuck = new Set();
  /** @type {(() => void)[]} */
  const listeners = [];

  /** A kept value; what cannot be read is set aside under its day, and reported. @param {string} name @param {(value: any) => boolean} sound */
  function value(name, sound) {
    const text = shelf.read(name);
    if (text === null || text === "") return null;
    let kept = null;
    try { kept = text.length <= LEARN_LARGEST ? JSON.parse(text) : null; } catch { kept = null; }
    // What a later version wrote is left where it is: that version may come back.
    if (kept && Number.isInteger(kept.version) && kept.version > LEARN_VERSION) { told.add("newer"); return null; }
    if (kept && kept.version === LEARN_VERSION && sound(kept)) return kept;
    told.add("aside");
    if (stuck.has(name)) return null;
    shelf.drop(name);
    // Where there is no room even for that, it stays where it was.
    if (!shelf.write(`aside.${new Date().toISOString()}.${name}`, text)) { stuck.add(name); shelf.write(name, text); }
    return null;
  }

  /** @param {string} name @param {any} what */
  const put = (name, what) => shelf.write(name, JSON.stringify({ version: LEARN_VERSION, ...what }));

  /** @returns {Person[]} */
  function people() {
    const all = shelf.names("person.").map((name) => value(name, soundPerson)).filter(Boolean);
    return all.sort((one, other) => (one.made < other.made ? -1 : one.made > other.made ? 1 : one.id < other.id ? -1 : 1));
  }

  /** Who learns now; the first sitting of a nameless learner makes one. @returns {Person} */
  function current() {
    const all = people();
    const wanted = shelf.read("now");
    const found = all.find((one) => one.id === wanted) || all[0];
    return found || { id: "", name: "", made: "" };
  }

  /** @returns {string} */
  function currentId() {
    const one = current();
    return one.id || add("").id;
  }

  /** @param {string} name @returns {Person} */
  function add(name) {
    const one = { id: learnId(), name: name.trim().slice(0, 80), made: new Date().toISOString() };
    put(`person.${one.id}`, one);
    shelf.write("now", one.id);
    return one;
  }

  /** @param {string} id @param {string} name */
  function rename(id, name) {
    const one = people().find((person) => person.id === id);
    if (one) put(`person.${id}`, { ...one, name: name.trim().slice(0, 80) });
  }

  /**
   * Somebody else on this device with the same name: one record must not hold two people.
   * @param {string} name @returns {Person|undefined}
   */
  function namesake(name) {
    const plain = (/** @type {string} */ text) => text.normalize("NFC").trim().replace(/\s+/gu, " ").toLowerCase();
    return plain(name) ? people().find((one) => one.id !== current().id && plain(one.name) === plain(name)) : undefined;
  }

  /** What somebody without a name did becomes another's, who turned out to be the same. @param {string} to */
  function join(to) {
    const from = current();
    shelf.write("now", to);
    if (!from.id || from.name) return;
    for (const kind of ["sitting", "note"]) for (const name of shelf.names(`${kind}.${from.id}.`)) {
      const [text, place] = [shelf.read(name) || "", `${kind}.${to}.${name.slice(`${kind}.${from.id}.`.length)}`];
      const here = shelf.read(place);
      if (here === null) shelf.write(place, text);
      else if (place === `note.${to}.logs`) shelf.write(place, bothLogs(here, text));
    }
    startOver(from.id, true);
  }

  /** @param {string} [who] @returns {Sitting[]} in the order in which they were begun */
  function sittings(who = current().id) {
    if (!who) return [];
    const all = shelf.names(`sitting.${who}.`).map((name) => value(name, soundSitting)).filter(Boolean);
    return all.sort((one, other) => (one.begun < other.begun ? -1 : one.begun > other.begun ? 1 : one.id < other.id ? -1 : 1));
  }

  /**
   * A sitting that this tab holds.
   * @param {Sitting} sitting @param {string} who
   */
  function held(sitting, who) {
    const name = `sitting.${who}.${sitting.id}`;

    /** Takes over what another tab wrote on the same paper. @returns {boolean} false when it was handed in there */
    function meet() {
      const other = value(name, soundSitting);
      if (!other) return true;
      if (other.ended) return false;
      const [mine, theirs] = [sitting.plan || {}, other.plan || {}];
      const same = JSON.stringify(mine.slots) === JSON.stringify(theirs.slots);
      // What is stored is newer than what this tab remembers, except for the edit that it is about to make.
      for (const key of ["answers", "flags"]) if (same && Array.isArray(theirs[key]) && theirs[key].length === mine[key]?.length) mine[key] = theirs[key];
      // Time left never grows.
      if (mine.until && learnText(theirs.until, 40) && theirs.until && theirs.until < mine.until) mine.until = theirs.until;
      if (Number.isFinite(theirs.left) && !(mine.left < theirs.left)) mine.left = theirs.left;
      return true;
    }

    function save() {
      // Another tab may have continued the same sitting: what it added stays.
      const other = value(name, soundSitting);
      if (other) sitting.answers = bothAnswers(sitting, other);
      // What another tab has handed in is not opened again.
      if (other && other.ended && !sitting.ended) {
        sitting.ended = other.ended;
        delete sitting.plan;
      }
      put(name, sitting);
    }
    return {
      sitting,
      save,
      meet,
      /** @param {Omit<KeptAnswer, "at">} one */
      answer(one) {
        if (sitting.answers.length >= LEARN_MOST.answers) return;
        sitting.answers.push({ ...one, answer: one.answer.slice(0, LEARN_MOST.text), at: new Date().toISOString() });
        save();
      },
      end() {
        if (!sitting.answers.length) { shelf.drop(name); return; }
        const now = new Date().toISOString();
        // A clock may have been set back meanwhile.
        sitting.ended = now < sitting.begun ? sitting.begun : now;
        delete sitting.plan;
        save();
      },
      drop() { shelf.drop(`sitting.${who}.${sitting.id}`); },
    };
  }

  /** @param {string} kind "check", "practice", "drill" or "exam" @param {string} name @param {string} [code] @param {any} [plan] */
  function begin(kind, name, code = "", plan = undefined) {
    /** @type {Sitting} */
    const sitting = { id: learnId(), kind, name, code, begun: new Date().toISOString(), ended: "", answers: [] };
    if (plan !== undefined) sitting.plan = plan;
    return held(sitting, currentId());
  }

  /** The newest unfinished sitting of a kind and name, to go on with. @param {string} kind @param {string} name */
  function unfinished(kind, name) {
    const who = current().id;
    const found = sittings(who).filter((one) => one.kind === kind && one.name === name && !one.ended && one.plan).pop();
    return found ? held(found, who) : null;
  }

  /** A small note for the learner: settings, what was opened, what follows from the answers. @param {string} what */
  const note = (what) => value(`note.${current().id}.${what}`, (kept) => typeof kept.note === "object");
  /** @param {string} what @param {any} content */
  const setNote = (what, content) => { put(`note.${currentId()}.${what}`, { note: content }); };

  /** Lessons that were opened, the last one first. @returns {{stem: string, at: string}[]} */
  function opened() {
    const start = `note.${current().id}.seen.`;
    const all = shelf.names(start).map((name) => ({ stem: name.slice(start.length), at: String(((value(name, (kept) => typeof kept.note === "object") || {}).note || {}).at || "") }));
    return all.filter((one) => one.at).sort((one, other) => (one.at < other.at ? 1 : -1));
  }

  /** Forgets one person's progress; the name stays unless it should go as well. @param {string} who @param {boolean} whole */
  function startOver(who, whole) {
    for (const begin of [`sitting.${who}.`, `note.${who}.`]) for (const name of shelf.names(begin)) shelf.drop(name);
    if (whole) shelf.drop(`person.${who}`);
  }

  /** The calibration cards of this device: they are exported with the day's logs that were compared with them. @returns {string} */
  function cards() {
    try { return localStorage.getItem(`tankside.${course}.cards`) || ""; } catch { return ""; }
  }

  /** Of one day's log on two devices, the one with more in it; what cannot be read here stays. @param {string} here @param {string} there */
  function longerLog(here, there) {
    try {
      const [one, other] = [JSON.parse(here), JSON.parse(there)];
      // What could not be shown must not take the place of what can.
      return learnLog(other.note) && other.version <= LEARN_VERSION && one.version <= LEARN_VERSION && other.note.lawns.length > one.note.lawns.length ? there : here;
    } catch { return here; }
  }

  /** Two notes of the days that were logged, as one. @param {string} here @param {string} there */
  function bothLogs(here, there) {
    try {
      const [one, other] = [JSON.parse(here), JSON.parse(there)];
      // What a later version wrote here is its own.
      if (one.version > LEARN_VERSION || other.version > LEARN_VERSION) return here;
      return JSON.stringify({ version: LEARN_VERSION, note: { ...other.note, ...one.note } });
    } catch { return here; }
  }

  /** Everybody's progress, as a file holds it. @returns {string} */
  function exported() {
    const all = people().map((one) => ({ ...one, sittings: sittings(one.id), notes: shelf.names(`note.${one.id}.`).map((name) => [name.slice(`note.${one.id}.`.length), shelf.read(name)]) }));
    return `${JSON.stringify({ format: "tankside-progress", version: LEARN_VERSION, course, made: new Date().toISOString(), people: all, cards: cards() })}\n`;
  }

  /**
   * Adds a sitting of a file to those that are here. What is in both keeps the answers of both; a paper that was handed
   * in stays as it is.
   * @param {string} who @param {Sitting} sitting @returns {boolean|null} whether it lasts; nothing where nothing is new
   */
  function take(who, sitting) {
    const place = `sitting.${who}.${sitting.id}`;
    const mine = value(place, soundSitting);
    // What a later version wrote, or what cannot be set aside, stays: this comes beside it.
    if (!mine && shelf.read(place) !== null) return take(who, { ...sitting, id: `${sitting.id}v1` });
    if (!mine) return put(place, sitting);
    if (isPaper(mine)) return mine.ended || !sitting.ended ? null : put(place, sitting);
    const answers = bothAnswers(mine, sitting);
    const ended = mine.ended || sitting.ended;
    if (answers === mine.answers && ended === mine.ended) return null;
    return put(place, { ...mine, answers, ended, plan: ended ? undefined : mine.plan });
  }

  /**
   * Reads in a progress file: what is new is added.
   * @param {string} text
   * @returns {{word: string, people?: number, sittings?: number, cards?: string}} the name of the sentence to say, and
   * the cards of the file
   */
  function imported(text) {
    let file = null;
    try { file = text.length <= LEARN_LARGEST ? JSON.parse(text) : null; } catch { file = null; }
    if (!file || file.format !== "tankside-progress") return { word: "file-foreign" };
    if (!Number.isInteger(file.version) || file.version > LEARN_VERSION) return { word: "file-newer" };
    if (file.course !== course) return { word: "file-other-course" };
    if (!Array.isArray(file.people) || file.people.length > LEARN_MOST.people || !file.people.every(soundPerson)) return { word: "file-broken" };
    if (!file.people.every((/** @type {any} */ one) => Array.isArray(one.sittings) && one.sittings.every(soundSitting))) return { word: "file-broken" };
    let [added, whole] = [0, true];
    const known = new Set(people().map((one) => one.id));
    for (const one of file.people) {
      while (!known.has(one.id) && shelf.read(`person.${one.id}`) !== null) one.id += "v1";
      if (!known.has(one.id)) whole = put(`person.${one.id}`, { id: one.id, name: one.name, made: one.made }) && whole;
      known.add(one.id);
      for (const sitting of one.sittings) {
        const lasts = take(one.id, sitting);
        whole = lasts !== false && whole;
        added += Number(lasts !== null);
      }
      for (const pair of Array.isArray(one.notes) ? one.notes : []) {
        const fine = Array.isArray(pair) && learnText(pair[0], 80) && /^[a-z0-9.-]+$/.test(pair[0]) && learnText(pair[1], 200_000);
        if (!fine) continue;
        const here = shelf.read(`note.${one.id}.${pair[0]}`);
        const next = here === null ? pair[1] : pair[0] === "logs" ? bothLogs(here, pair[1]) : pair[0].startsWith("log.") ? longerLog(here, pair[1]) : here;
        if (next !== here) whole = shelf.write(`note.${one.id}.${pair[0]}`, next) && whole;
      }
    }
    if (!shelf.read("now") && file.people.length) shelf.write("now", file.people[0].id);
    return { word: whole ? "file-taken" : "file-taken-memory", people: file.people.length, sittings: added, cards: learnText(file.cards, 1_000_000) ? file.cards : "" };
  }

  /** The training record of a person: what was done and answered, and no score. @param {string} title @param {string} digest @param {string} [who] */
  function record(title, digest, who = current().id) {
    const person = people().find((one) => one.id === who) || { id: "", name: "" };
    const sat = sittings(who).filter((one) => one.answers.length).map((one) => ({
      id: one.id, kind: one.kind, name: one.name, code: one.code, begun: one.begun, ended: one.ended,
      answers: one.answers.map((answer) => ({ question: answer.question, digest: answer.digest, draw: answer.draw, answer: answer.answer, at: answer.at, try: answer.try, ...(answer.part ? { part: answer.part } : {}) })),
    }));
    return { format: "tankside-training-record", version: 1, course: { id: course, title, digest }, learner: { name: person.name, id: person.id }, made: new Date().toISOString(), sittings: sat };
  }

  addEventListener("storage", (event) => {
    if (event.key === null || event.key.startsWith(`tankside.${course}.learn.`)) listeners.forEach((listen) => listen());
  });

  return {
    people, current, currentId, add, rename, namesake, join, sittings, begin, unfinished, note, setNote, opened, startOver, exported, imported, record,
    /** @param {string} id */
    choose(id) { shelf.write("now", id); },
    /** A lesson was opened. @param {string} stem */
    seen(stem) { if (current().id) setNote(`seen.${stem}`, { at: new Date().toISOString() }); else { add(""); setNote(`seen.${stem}`, { at: new Date().toISOString() }); } },
    /** @param {() => void} listen another tab changed something */
    onChange(listen) { listeners.push(listen); },
    /** What has to be said about the store itself, as names of sentences. @returns {string[]} */
    troubles() {
      const state = shelf.state();
      return [...(state === "lasting" ? [] : [`store-${state}`]), ...[...told].map((one) => `store-${one}`)];
    },
  };
}

const LEARN = learnStore(document.documentElement.dataset.course || "");

// On a phone that several people share, every page on which somebody learns says whose progress it is.
{
  const $head = document.querySelector("main .tk-head");
  const $who = document.createElement("p");
  const $link = document.createElement("a");
  $who.className = "tk-who";
  $link.href = `${document.documentElement.dataset.root || ""}progress.html`;
  $who.append($link);
  const show = () => {
    const { name } = LEARN.current();
    $link.textContent = TANKSIDE_WORDS["home-who"].replace("{name}", () => name);
    if (name && $head) $head.append($who); else $who.remove();
  };
  if (!document.querySelector('[data-part="progress"]')) {
    show();
    LEARN.onChange(show);
    addEventListener("pageshow", show);
  }
}

// A lesson that is opened is where the learner goes on next time.
if (document.querySelector("main > article")) LEARN.seen((location.pathname.split("/").pop() || "").replace(/\.html$/, ""));
