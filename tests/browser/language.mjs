// An invented language that shouts: every word of every phrase in capitals after a mark that nothing else writes.
// What a page shows without the mark was glued together, written by a program, or never looked up among the phrases.

import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { parse, stringify } from "yaml";
import { publish } from "./site.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PROGRAM = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");

/** A letter of no language that a course is written in; it is whole words' own mark. */
export const MARK = "ǂ";
/** The language's name. */
export const LANGUAGE = "qaa";
/** How it writes 12345.6. */
export const NUMBER = "12.345,6";

/** A text that shouts; places in braces stay, and so does what parts the two forms of a name. */
export function shouted(text) {
  return text.replace(/\{[^}]*\}|\p{L}[\p{L}’']*/gu, (word) => (word.startsWith("{") ? word : MARK + word.toUpperCase()));
}

/** Every phrase of the stock, shouted, as a file of phrases holds them. */
export function shoutedPhrases() {
  const stock = parse(execFileSync(PROGRAM, ["phrases"], { encoding: "utf8" }));
  const all = Object.entries(stock).map(([key, text]) => [key, key === "number.written" ? NUMBER : shouted(text)]);
  return stringify(Object.fromEntries(all), { lineWidth: 0, defaultStringType: "QUOTE_DOUBLE", defaultKeyType: "PLAIN" });
}

/** The demo course in that language, published; the folder goes with the process. */
export function shoutingSite() {
  const folder = mkdtempSync(join(tmpdir(), "tankside-language-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  const course = join(folder, "course");
  cpSync(join(ROOT, "site-demo"), course, { recursive: true });
  mkdirSync(join(course, "phrases"), { recursive: true });
  writeFileSync(join(course, "phrases", `${LANGUAGE}.yaml`), shoutedPhrases());
  const settings = readFileSync(join(course, "course.yaml"), "utf8");
  writeFileSync(join(course, "course.yaml"), `${settings.replace(/^language:.*\n/m, "")}language: ${LANGUAGE}\n`);
  const site = join(folder, "site");
  publish(site, course);
  const pages = readdirSync(site, { recursive: true }).map((name) => String(name).replaceAll("\\", "/")).filter((name) => name.endsWith(".html")).sort();
  /** The same with a word of a lesson changed. */
  const newer = () => {
    const lesson = join(course, "lessons/catch-test.md");
    writeFileSync(lesson, `${readFileSync(lesson, "utf8")}\nOnce more.\n`);
    publish(join(folder, "newer"), course);
    return join(folder, "newer");
  };
  return { course, site, pages, newer, url: (page) => pathToFileURL(join(site, page)).href };
}

/** Allows what is a unit, and names that somebody typed: in the stock's examples, the demo course's, and the tests. */
export function allowNames({ site }) {
  const units = readFileSync(join(site, "units.html"), "utf8");
  allow(...[...units.matchAll(/tk-unit__symbol">([^<]*)/g)].map(([, symbol]) => symbol.replace("&#39;", "'")).filter((symbol) => symbol.length > 1), "mph", "oz", "fl\u00a0oz");
  // A lesson is named in sentences of the page's own.
  const lessons = readdirSync(join(site, "lessons")).map((name) => readFileSync(join(site, "lessons", name), "utf8"));
  const home = readFileSync(join(site, "index.html"), "utf8");
  allow(home.match(/<title>([^<]*)/)[1].trim());
  allow(...lessons.flatMap((markup) => [...markup.matchAll(/<h1[^>]*>([^<]*)/g)].map(([, title]) => title.trim())));
  allow("Weed control", "Spreader-sticker", "Iron, dry", "Sam Sample", "9 Mill Street", "Quarry Lane church", "14 Alder Court", "catch and passes", "passes", "refill", "the product", "The product", "Truck 4", "Turf gun", "Blue", "refill to the mark", "bucket and stopwatch", "Quibblewort", "Puddlefoot", "Mumblemoss", "Dana Quill", "Lee Marsh", "Truck 2", "Green", "OAK");
}

/**
 * What is content and not furniture: the course's own words, and the stock's lessons, questions, terms, cautions, exam
 * formulas and sources. Inside it, what FURNITURE names is furniture again.
 */
const CONTENT = [
  // The course: its name, company, contact, lessons.
  ".tk-cover__company, .tk-cover__title, .tk-cover__summary, .tk-top__home, .tk-foot__row > p:not(.tk-foot__law)",
  ".tk-contents__link, .tk-contents__summary, .tk-turn__title, .tk-lessons a, article .tk-head__title, article .tk-head__summary",
  "article .tk-prose, .tk-worked__title, .tk-quiz__title, .tk-here__on, .tk-attached-list",
  // Questions: their text, choices and reasons.
  ".tk-question__text, .tk-parts__label, .tk-choice__text, .tk-order__text, .tk-feedback__because, .tk-feedback__options, .tk-reviewed__line, .tk-reviewed__given, .tk-missed",
  // Terms, exam formulas, units and the names under which they are read, sources.
  ".tk-entry__term, .tk-entry__also, .tk-entry__text, .tk-entry__source, .tk-letters, .tk-glossary__initial, .tk-exam__group, .tk-sources, .tk-source a, .tk-source, .tk-exam__sources, .tk-set__why a",
  ".tk-units dl, .tk-unit",
  // What is found, in the words of the course.
  ".tk-find__link, .tk-find__piece",
  // Who learns here, and a digest.
  ".tk-certificate__company, .tk-certificate__check, .tk-kept",
];
const FURNITURE = [
  ".tk-worked, .tk-quiz, .tk-caution__word, .tk-notes__title, .tk-notes__back",
  // The drill's own settings, not what its questions offer.
  '.tk-drill .tk-choice__text:not([data-role="stage"] *), .tk-reviewed__verdict',
];

/**
 * Words of the page, in texts and in what is read aloud, that are neither marked nor content nor a unit nor a name that
 * somebody typed.
 * @param {import("playwright-core").Page} page
 * @param {string|null} markup a page's text as published, or null for the page that is open
 */
export function unmarked(page, markup = null) {
  return page.evaluate(
    ({ markup, mark, content, furniture, allowed }) => {
      const root = markup === null ? document : new DOMParser().parseFromString(markup, "text/html");
      const found = [];
      // What the author wrote may be said in a sentence of the page's own: an option that is moved, a reason.
      const authored = new Set();
      const collect = (value) => {
        if (typeof value === "string") { if (/\p{Ll}{2}/u.test(value)) authored.add(value.trim()); } else if (value && typeof value === "object") Object.entries(value).forEach(([key, one]) => { if (key !== "words") collect(one); });
      };
      for (const $data of root.querySelectorAll('script[type="application/json"][data-role="bank"]')) collect(JSON.parse($data.textContent));
      // The questions of the drill and the exam come from a script.
      /* global TANKSIDE_QUESTIONS */
      const shown = new Set([...root.querySelectorAll("[data-question]")].map(($one) => $one.dataset.question));
      if (markup === null && typeof TANKSIDE_QUESTIONS !== "undefined") collect(TANKSIDE_QUESTIONS.questions.map((one) => one[2]).filter((question) => shown.has(question.id)));
      const longest = [...authored].filter((words) => words.length > 3).sort((one, other) => other.length - one.length);
      const isContent = ($one) => {
        const $content = $one.closest(content);
        if (!$content) return false;
        const $furniture = $one.closest(furniture);
        return !$furniture || $furniture.contains($content) && $furniture !== $content;
      };
      const look = (text, $one, what) => {
        // The frame of a table is the page's own, whoever wrote what is in it.
        if (isContent($one) && !(what === "aria-label" && $one.matches(".tk-table"))) return;
        // What a button moves is named in the question's own words.
        const $moved = $one.closest(".tk-order__item")?.querySelector(".tk-order__text");
        let rest = ($moved ? text.replace($moved.textContent, " ") : text).replaceAll("\u00a0", " ");
        // A whole name first: an option of a question can be a word of it. Most are not there, and need no expression.
        const without = (word) => { if (rest.includes(word)) rest = rest.replace(new RegExp(`(?<!\\p{L})${word.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&")}(?!\\p{L})`, "gu"), " "); };
        allowed.filter((word) => word.includes(" ")).forEach(without);
        for (const words of longest) if (words.length <= rest.length) rest = rest.replaceAll(words, " ");
        allowed.forEach(without);
        const words = (rest.match(/[\p{L}\p{M}’']+/gu) || []).filter((word) => !word.replace(/^[’']+/, "").startsWith(mark) && /\p{L}{2}/u.test(word) && !/^\p{Script=Han}+$/u.test(word));
        if (words.length) found.push(`${what} of ${$one.tagName.toLowerCase()}.${$one.className.baseVal ?? $one.className}: ${words.join(" ")} | ${text.trim().slice(0, 90)}`);
      };
      const $walker = root.createTreeWalker(root.documentElement, NodeFilter.SHOW_TEXT);
      for (let $text = $walker.nextNode(); $text; $text = $walker.nextNode()) {
        const $parent = $text.parentElement;
        if (!$parent || $parent.closest(markup === null ? "script, style, head > title, noscript" : "script, style, head > title")) continue;
        look($text.nodeValue, $parent, "text");
      }
      const read = ["aria-label", "aria-description", "aria-roledescription", "aria-valuetext", "aria-placeholder", "title", "alt", "placeholder", "label"];
      for (const $one of root.querySelectorAll(`${read.map((name) => `[${name}]`).join(", ")}, button[data-sure], input:is([type="button"], [type="submit"], [type="reset"])`)) {
        for (const name of read) if ($one.hasAttribute(name)) look($one.getAttribute(name), $one, name);
        if ($one.matches("button[data-sure]")) look($one.dataset.sure, $one, "data-sure");
        if ($one.matches("input")) if (["button", "submit", "reset"].includes($one.type)) look($one.value, $one, "value");
      }
      // A page is named after itself and the course, and described: by phrases, or by what its author wrote.
      const own = [...root.querySelectorAll(".tk-top__home, .tk-cover__title, .tk-cover__summary, .tk-head__title, .tk-head__summary, .tk-quiz__title, .tk-here__title")].map(($one) => $one.textContent.trim());
      const named = [root.querySelector("head > title")?.textContent ?? "", root.querySelector('meta[name="description"]')?.content ?? ""];
      named.forEach((text, at) => {
        const rest = [...own, root.documentElement.dataset.courseTitle ?? ""].filter(Boolean).sort((a, b) => b.length - a.length).reduce((rest, words) => rest.replaceAll(words, " "), text.replace(/\s+/g, " "));
        const words = (rest.match(/[\p{L}\p{M}’']+/gu) || []).filter((word) => !word.replace(/^[’']+/, "").startsWith(mark) && /\p{L}{2}/u.test(word));
        if (words.length) found.push(`${at ? "description" : "title"}: ${words.join(" ")} | ${text}`);
      });
      return [...new Set(found)];
    },
    { markup, mark: MARK, content: CONTENT.join(", "), furniture: FURNITURE.join(", "), allowed: ALLOWED },
  );
}

/** Units as they are written everywhere, the longest first, and the names in the stock's examples. */
const ALLOWED = [];

/** Names that somebody typed, in examples and in this test. */
export function allow(...words) {
  ALLOWED.push(...words);
  ALLOWED.sort((one, other) => other.length - one.length);
}
