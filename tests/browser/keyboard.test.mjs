// With the keyboard alone, every control is reached, and shows that it was.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { ONE_OF_EACH_KIND, PAGES, diskUrl } from "./site.mjs";
import { ONE_OF_EACH, answerChanges, answerText, firstNumber, ready } from "./worked.mjs";

// Calculators' own pages differ only in their forms, which the core makes all alike: one of them represents all.
const WALKED = PAGES.filter((page) => !page.startsWith("work/") || ONE_OF_EACH_KIND.includes(page));

describe("tab reaches every control, with a focus that shows", () => {
  for (const name of WALKED) {
    test(name, async () => {
      await open(
        diskUrl(name),
        async (page) => {
          const wanted = await page.evaluate(markControls);
          const reached = new Set();
          const unseen = [];
          // Once round, and a little more for what the browser itself makes focusable.
          for (let press = 0; press < wanted.length * 1.2 + 20; press += 1) {
            await page.keyboard.press("Tab");
            const stop = await page.evaluate(readFocus);
            if (stop === null) continue;
            if (reached.has(stop.mark) && stop.mark === wanted[0]) break;
            reached.add(stop.mark);
            if (!stop.shown) unseen.push(stop.what);
          }
          assert.deepEqual(wanted.filter((mark) => !reached.has(mark)), [], "controls that tab never reached");
          assert.deepEqual(unseen, [], "controls whose focus does not show");
        },
        { viewport: PHONE, reducedMotion: "reduce" },
      );
    });
  }
});

describe("a worked example is worked with the keyboard alone", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      await open(example.url, async (page) => {
        await ready(page, example.selector);
        const wanted = await firstNumber(page, example.selector).getAttribute("id");
        for (let press = 0; press < 200; press += 1) {
          await page.keyboard.press("Tab");
          if (await page.evaluate((id) => document.activeElement.id === id, wanted)) break;
        }
        const before = await answerText(page, example.selector);
        await page.keyboard.press("End");
        await page.keyboard.type("1");
        await answerChanges(page, example.selector, before);
      });
    });
  }
});

/** Gives every control a mark; of a group of radio buttons tab stops at one, so they share theirs. */
function markControls() {
  const marks = [];
  const controls = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';
  for (const $one of document.querySelectorAll(controls)) {
    if ($one.disabled || $one.tabIndex < 0 || !$one.checkVisibility({ visibilityProperty: true })) continue;
    const mark = $one.type === "radio" ? `radio ${$one.name}` : `${marks.length} ${$one.tagName} ${$one.name || $one.textContent.trim().slice(0, 30)}`;
    $one.dataset.mark = mark;
    if (!marks.includes(mark)) marks.push(mark);
  }
  return marks;
}

/** Where the focus is, and whether a person can tell. */
function readFocus() {
  const $focus = document.activeElement;
  if (!$focus || $focus === document.body) return null;
  const $label = $focus.closest("label");
  const shows = ($one) => {
    const style = getComputedStyle($one);
    const outlined = style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) >= 1;
    return outlined || style.boxShadow !== "none";
  };
  const box = $focus.getBoundingClientRect();
  const inView = box.bottom > 0 && box.right > 0 && box.top < innerHeight && box.left < innerWidth;
  return {
    mark: $focus.dataset.mark ?? $focus.outerHTML.slice(0, 80),
    what: $focus.outerHTML.slice(0, 120),
    shown: inView && (shows($focus) || ($label !== null && shows($label))),
  };
}
