// The quizzes of the demo course, and what every test of them does.

import { PHONE, open } from "./browser.mjs";
import { diskUrl, pagesWith, readPage } from "./site.mjs";

/** Every quiz: its page, its bank, how many it asks, and whether it counts. */
export const QUIZZES = pagesWith('data-part="quiz"').flatMap((page) =>
  [...readPage(page).matchAll(/<section\b([^>]*\bdata-part="quiz"[^>]*)>/g)].map(([, markup]) => ({
    page,
    bank: markup.match(/data-bank="([^"]*)"/)[1],
    ask: Number(markup.match(/data-ask="(\d+)"/)[1]),
    counts: markup.includes("data-counts"),
  })),
);
/** Those with feedback at once, and those that count. */
export const PRACTICE = QUIZZES.filter((quiz) => !quiz.counts);
export const COUNTING = QUIZZES.filter((quiz) => quiz.counts);

/** Opens a quiz's page on a phone and hands over the quiz once the core has taken it over. */
export function take(quiz, look, before) {
  return open(
    "about:blank",
    async (page) => {
      if (before) await page.addInitScript(before);
      await page.goto(diskUrl(quiz.page));
      const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
      await part.waitFor();
      await look(part, page);
    },
    { viewport: PHONE, reducedMotion: "reduce" },
  );
}

/** Starts it; how far it is; what is pressed by what it does. */
export const begin = (part) => part.locator('[data-role="start"] button').click();
export const count = (part) => part.locator(".tk-round__count").innerText();
export const press = (part, chore) => part.locator(`[data-do="${chore}"]`).first().click();
