// An invented language that shouts: every word of every phrase in capitals after a mark that nothing else writes.
// What a page shows without the mark was glued together, written by a program, or never looked up among the phrases.

import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
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
  return { course, site, url: (page) => pathToFileURL(join(site, page)).href };
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
  // Who learns here.
  ".tk-certificate__company, .tk-kept",
];
const FURNITURE = [
  ".tk-worked, .tk-quiz, .tk-caution__word, .tk-notes__title, .tk-notes__back",
  ".tk-drill .tk-choice__text, .tk-reviewed__verdict",
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
        let rest = $moved ? text.replace($moved.textContent, " ") : text;
        for (const word of allowed) rest = rest.replace(new RegExp(`(?<!\\p{L})${word.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&")}(?!\\p{L})`, "gu"), " ");
        const words = (rest.match(/[\p{L}\p{M}’']+/gu) || []).filter((word) => !word.startsWith(mark) && /\p{L}{2}/u.test(word) && !/^\p{Script=Han}+$/u.test(word));
        if (words.length) found.push(`${what} of ${$one.tagName.toLowerCase()}.${$one.className.baseVal ?? $one.className}: ${words.join(" ")} | ${text.trim().slice(0, 90)}`);
      };
      const $walker = root.createTreeWalker(root.documentElement, NodeFilter.SHOW_TEXT);
      for (let $text = $walker.nextNode(); $text; $text = $walker.nextNode()) {
        const $parent = $text.parentElement;
        if (!$parent || $parent.closest(markup === null ? "script, style, template, title, noscript" : "script, style, template, title")) continue;
        look($text.nodeValue, $parent, "text");
      }
      for (const $one of root.querySelectorAll("[aria-label], [title], [alt], [placeholder], button[data-sure]")) {
        for (const name of ["aria-label", "title", "alt", "placeholder", "data-sure"]) {
          if ($one.hasAttribute(name) && (name !== "data-sure" || $one.matches("button"))) look($one.getAttribute(name), $one, name);
        }
      }
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
