/**
 * What is found for the words of a search, best first. The words of the index are weighed by where they are: in a
 * title, among the other names of a thing, or in its text.
 */
"use strict";
/* global TANKSIDE_INDEX */

/** Letters and words of a search that are used; nobody looks for anything longer. */
const LONGEST_QUERY = 120;
const MOST_WORDS = 16;
/** What is found counts from this share of what the best one has of the words. */
const LEAST_SHARE = 0.6;

/** @typedef {{group: number, href: string, title: string, place: string, text: string}} Entry */
/** @typedef {{entry: Entry, score: number, marked: Set<string>}} Hit */

/** Plain lowercase letters: no accents, and superscript digits as digits. @param {string} text */
const bare = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** @param {string} text @returns {string[]} */
const wordsOf = (text) => bare(text).replace(/(\d),(?=\d{3})/g, "$1").match(/[\p{L}\p{N}]+/gu) || [];

/** A word without its plural ending; close enough in English, Spanish and French. @param {string} word */
function stem(word) {
  if (word.length < 4 || /\d/.test(word)) return word;
  return word.replace(/s$/, "").replace(/e$/, "").replace(/y$/, "i");
}

/** Typing mistakes between two words, up to `most`: a letter wrong, missing or extra, or two swapped. @param {string} one @param {string} other @param {number} most */
function slips(one, other, most) {
  if (Math.abs(one.length - other.length) > most) return most + 1;
  let before = /** @type {number[]} */ ([]);
  let above = Array.from({ length: other.length + 1 }, (_, at) => at);
  for (let i = 1; i <= one.length; i += 1) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= other.length; j += 1) {
      let cost = Math.min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (one[i - 1] === other[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) cost = Math.min(cost, before[j - 2] + 1);
      row.push(cost);
      least = Math.min(least, cost);
    }
    if (least > most) return most + 1;
    before = above;
    above = row;
  }
  return above[other.length];
}

/** The index made ready: where each word occurs, and how much it counts there. */
const SEARCH = (() => {
  const [TITLE, ALSO, PLACE, TEXT, WHOLE] = [10, 7, 2, 1, 8];
  /** @type {Entry[]} */
  const entries = [];
  /** @type {Map<string, Map<number, number>>} */
  const words = new Map();
  /** Names and questions of several words, and what answers to them. @type {Map<string, Set<number>>} */
  const wholes = new Map();
  /** @param {number} at @param {string} text @param {number} worth */
  const put = (at, text, worth) => {
    for (const word of wordsOf(text)) {
      let places = words.get(word);
      if (!places) words.set(word, (places = new Map()));
      places.set(at, Math.max(places.get(at) || 0, worth));
    }
  };
  /** @param {string[]} all */
  const joined = (all) => all.map(stem).join(" ");
  for (const [group, href, title, place, text, also] of TANKSIDE_INDEX.rows) {
    const at = entries.push({ group, href, title, place, text }) - 1;
    put(at, title, TITLE);
    put(at, also, ALSO);
    put(at, place, PLACE);
    put(at, text, TEXT);
    for (const name of [title, ...also.split(",")].map(wordsOf)) {
      if (name.length > 1) wholes.set(joined(name), (wholes.get(joined(name)) || new Set()).add(at));
    }
  }
  const small = new Set(wordsOf(TANKSIDE_INDEX.small));
  const all = [...words.keys()];
  /** @type {Map<string, string[]>} */
  const stems = new Map();
  for (const word of all) stems.set(stem(word), [...(stems.get(stem(word)) || []), word]);
  /** @type {string[][][]} */
  const same = TANKSIDE_INDEX.same.map((/** @type {string} */ set) => set.split(",").map(wordsOf));

  /** Words of the index that a typed one may mean, and how likely each is. @param {string} typed @returns {[string, number][]} */
  function meant(typed) {
    /** @type {Map<string, number>} */
    const found = new Map();
    /** @param {string} word @param {number} sure */
    const add = (word, sure) => { if ((found.get(word) || 0) < sure) found.set(word, sure); };
    for (const word of stems.get(stem(typed)) || []) add(word, 0.9);
    if (words.has(typed)) add(typed, 1);
    for (const word of all) if (word.length > typed.length && word.startsWith(typed)) add(word, typed.length > 2 ? 0.6 : 0.35);
    if (found.size || typed.length < 4 || /\d/.test(typed)) return [...found];
    const most = typed.length < 8 ? 1 : typed.length < 11 ? 2 : 3;
    for (const word of all) {
      const wrong = slips(typed, word, most);
      if (wrong <= most) add(word, 0.5 / wrong);
      // A word that is still being typed may already be wrong at its start.
      else if (word.length > typed.length && slips(typed, word.slice(0, typed.length), 1) === 1) add(word, 0.2);
    }
    return [...found];
  }

  /** The words as typed, and with synonyms in their place. @param {string[]} typed @returns {string[][]} */
  function ways(typed) {
    const all = [typed];
    for (const set of same) {
      for (const member of set) {
        const at = typed.findIndex((_, at) => member.length > 0 && member.every((word, next) => stem(typed[at + next] || "") === stem(word)));
        if (at < 0) continue;
        for (const other of set) if (other !== member) all.push([...typed.slice(0, at), ...other, ...typed.slice(at + member.length)]);
        break;
      }
    }
    return all.slice(0, 24);
  }

  /** What finding a word says: little for one that is nearly everywhere, as `is` and `the` are. @param {[string, number][]} candidates */
  function telling(candidates) {
    let places = 1;
    for (const [word, sure] of candidates) places += sure * (words.get(word) || new Map()).size;
    return Math.max(0.1, Math.log(entries.length / places)) ** 2;
  }

  /** Names and questions that are among the words, whole: what answers to each, and the share of the words. @param {string[]} way @returns {Map<number, number>} */
  function named(way) {
    /** @type {Map<number, number>} */
    const found = new Map();
    for (let from = 0; from < way.length; from += 1) {
      for (let end = from + 2; end <= way.length; end += 1) {
        for (const at of wholes.get(joined(way.slice(from, end))) || []) found.set(at, Math.max(found.get(at) || 0, (end - from) / way.length));
      }
    }
    return found;
  }

  /** @param {string} query @returns {{hits: Hit[], whole: boolean}} */
  function find(query) {
    const typed = wordsOf(query.slice(0, LONGEST_QUERY)).slice(0, MOST_WORDS);
    /** @type {Map<number, {score: number, have: number, marked: Set<string>}>} */
    const best = new Map();
    /** @type {Map<string, [string, number][]>} */
    const known = new Map();
    let missing = false;
    ways(typed).forEach((way, index) => {
      /** @type {Map<number, {score: number, have: number, marked: Set<string>}>} */
      const here = new Map();
      // Whoever asks in a sentence is not held to its small words.
      const large = way.filter((word) => !small.has(word));
      const told = (large.length ? large : way).map((word) => {
        let candidates = known.get(word);
        // A variant that nobody typed must match exactly.
        if (!candidates) known.set(word, (candidates = index === 0 ? meant(word) : (stems.get(stem(word)) || []).map((one) => [one, 0.8])));
        return { candidates, tells: telling(candidates) };
      });
      // A word that is nowhere says nothing about what is somewhere.
      const there = told.filter(({ candidates }) => candidates.length);
      if (index === 0) missing = there.length < told.length;
      const sum = there.reduce((sum, { tells }) => sum + tells, 0);
      for (const { candidates, tells } of there) {
        /** @type {Map<number, number>} */
        const worth = new Map();
        for (const [one, sure] of candidates) {
          for (const [at, weight] of words.get(one) || []) {
            worth.set(at, Math.max(worth.get(at) || 0, weight * sure));
            const row = here.get(at) || { score: 0, have: 0, marked: new Set() };
            row.marked.add(one);
            here.set(at, row);
          }
        }
        for (const [at, value] of worth) {
          const row = here.get(at);
          if (row) { row.score += (value * tells) / sum; row.have += tells / sum; }
        }
      }
      const answers = named(way);
      for (const [at, row] of here) {
        const share = answers.get(at) || 0;
        row.score += WHOLE * share;
        row.have = Math.max(row.have, share);
        const was = best.get(at);
        if (!was || row.score > was.score) best.set(at, { ...row, have: Math.max(row.have, was ? was.have : 0) });
      }
    });
    const most = Math.max(0, ...[...best.values()].map((row) => row.have));
    const kept = [...best].filter(([, row]) => row.have > most * LEAST_SHARE);
    const hits = kept.map(([at, row]) => ({ entry: entries[at], score: row.score / Math.sqrt(1 + wordsOf(entries[at].title).length / 8), marked: row.marked, at }));
    hits.sort((one, other) => other.score - one.score || one.at - other.at);
    return { hits, whole: !missing && most > 1 - 1e-9 };
  }
  return { find };
})();
