// Pages of the demo course in the language that shouts, as they are used: opened, looked over after every step, and
// questions walked through. Every word that the scripts say is a phrase's.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { answer, asked } from "./asking.mjs";
import { open } from "./browser.mjs";
import { allow, allowNames, shoutingSite, unmarked } from "./language.mjs";

// A browser writes days of a language it does not know in its own; Japanese ones have no Latin word that could hide.
export const HOW = { locale: "ja-JP", reducedMotion: "reduce", acceptDownloads: true, viewport: { width: 360, height: 740 } };
/** The demo course in that language. */
export const site = shoutingSite();
allowNames(site);
allow("Ines");

const page = (name) => readFileSync(join(site.site, name), "utf8");
/** Where a question is asked. */
export const STAGE = '[data-role="stage"]';

/** Opens a page and looks after each step of `use`, which says what it did. */
export function used(name, part, use) {
  return open(site.url(name), async (page) => {
    const place = page.locator(`[data-part="${part}"][data-started]`).first();
    if (part) await place.waitFor();
    const look = async (when) => {
      await page.locator("details:not([open])").evaluateAll(($all) => { for (const $one of $all) $one.open = true; });
      assert.deepEqual(await unmarked(page), [], `${name}: ${when}`);
    };
    await use(page, place, look);
  }, HOW);
}

/** Presses what does this. */
export const click = (part, name) => part.locator(`[data-do="${name}"]:visible`).first().click();

/** A check that counts and an exam: questions walked through, left open, handed in. */
export async function paper(page, part, look, all) {
  for (let turn = 0; turn < all; turn += 1) {
    const question = await asked(part);
    if (await part.locator(`${STAGE} .tk-choice__mark[data-answer]`).count()) await part.locator(`${STAGE} .tk-choice__mark`).first().check();
    else if (turn % 3 < 2) await answer(part, question, turn % 3 === 0);
    if (turn === 1) await click(part, "flag");
    await look(`question ${turn + 1} of the paper`);
    if (turn < all - 1) await click(part, "next");
  }
  await click(part, "hand-in");
  await look("asked whether it is handed in");
  await click(part, "surely");
  await part.locator('[data-role="total"]').waitFor();
  await look("handed in");
}

/** Questions one at a time: each answered by half, wrongly, and once more. */
export async function round(part, look, most) {
  for (let turn = 0; turn < most; turn += 1) {
    const question = await asked(part);
    if (question.kind === "number" && !question.authored.parts?.length) {
      await part.locator(`${STAGE} .tk-question__entry`).fill("12");
      await click(part, "check");
      await look(`${question.id}, without a unit`);
      await part.locator(`${STAGE} .tk-question__entry`).fill("?!");
      await click(part, "check");
      await look(`${question.id}, unreadable`);
    } else {
      await click(part, "check");
      await look(`${question.id}, not answered`);
    }
    if (turn % 2) {
      await answer(part, question, true);
      await click(part, "check");
      await look(`${question.id}, right`);
    } else {
      for (const again of ["wrong", "wrong again"]) {
        await answer(part, question, false);
        await click(part, "check");
        await look(`${question.id}, ${again}`);
        if (await part.locator('[data-do="next"]:visible').count()) break;
      }
      // A wrong answer that the core asks back about is no miss: the question stays.
      if (!(await part.locator('[data-do="next"]:visible').count())) {
        await answer(part, question, true);
        await click(part, "check");
        await look(`${question.id}, right after all`);
      }
    }
    await click(part, "next");
    if (await part.locator('[data-role="total"]').count()) break;
  }
}

/** Every quiz of the course: its page, its bank, how many it asks, and whether it counts. */
export const QUIZZES = readAll('data-part="quiz"').flatMap((name) =>
  [...page(name).matchAll(/<section\b([^>]*\bdata-part="quiz"[^>]*)>/g)].map(([, markup]) => ({
    name,
    bank: markup.match(/data-bank="([^"]*)"/)[1],
    ask: Number(markup.match(/data-ask="(\d+)"/)[1]),
    counts: markup.includes("data-counts"),
  })),
);

/** The pages with this text in their markup. */
export function readAll(text) {
  return site.pages.filter((name) => page(name).includes(text));
}
