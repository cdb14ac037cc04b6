// Pages opened at a width with all of their folds open, to look at them.

import { open } from "./browser.mjs";
import { PAGES, diskUrl } from "./site.mjs";

/** The lessons, and the calculators' own pages. */
export const LESSONS = PAGES.filter((page) => page.startsWith("lessons/"));
export const CALCULATORS = PAGES.filter((page) => page.startsWith("work/"));

/** Opens a page at a width, all of its folds open, and hands it to `look`. */
export function at(width, page, look, media = "screen") {
  const [path, numbers] = page.split(/(#.*)/);
  return open(diskUrl(path) + (numbers ?? ""), async (opened) => {
    await opened.emulateMedia({ media });
    await opened.evaluate(() => { for (const $one of document.querySelectorAll("details")) $one.open = true; });
    await look(opened);
  }, { viewport: { width, height: 740 }, reducedMotion: "reduce" });
}
