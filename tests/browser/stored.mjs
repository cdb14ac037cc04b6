// Pages on which a learner's progress is kept, opened in a browser.

import { answer, asked } from "./asking.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

export const LESSON = diskUrl("lessons/catch-test.html");
export const HOME = diskUrl("index.html");
export const PROGRESS = diskUrl("progress.html");
export const QUIZ = '[data-part="quiz"][data-started]';

/** A page on a phone that may save files; `before` runs in it before its own scripts. */
export function visit(url, look, before) {
  return open(
    "about:blank",
    async (page) => {
      if (before) await page.addInitScript(before);
      await page.goto(url);
      await look(page);
    },
    { viewport: PHONE, reducedMotion: "reduce", acceptDownloads: true },
  );
}

/** Takes the lesson's questions, `times` over, each right. */
export async function practice(page, times = 1) {
  for (let turn = 0; turn < times; turn += 1) {
    await page.goto(LESSON);
    const part = page.locator(QUIZ);
    await part.waitFor();
    await part.locator('[data-role="start"] button').click();
    // What asks is loaded at the first touch.
    await part.locator('[data-do="check"]').waitFor();
    while (await part.locator('[data-do="check"]').isVisible()) {
      await answer(part, await asked(part), true);
      await part.locator('[data-do="check"]').click();
      await part.locator('[data-do="next"]').click();
      if (await part.locator('[data-role="total"]').count()) break;
    }
    // How far the learner is is worked out once what does that has loaded.
    await page.waitForFunction(() => haveParts(["learning"]));
  }
}
