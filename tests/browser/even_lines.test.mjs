// What belongs together on a page: days of a week in even rows, an address and a quantity on one line.

import assert from "node:assert/strict";
import { test } from "node:test";
import { open } from "./browser.mjs";
import { PAGES, diskUrl, readPage } from "./site.mjs";

test("the days of a week are in two even rows on a phone, and in one beside it", async () => {
  for (const [width, rows] of [[360, [4, 3]], [320, [4, 3]], [1280, [7]]]) await open(diskUrl("drill.html"), async (page) => {
    const days = page.locator('[data-role="off"] .tk-choice');
    await days.last().waitFor();
    const tops = await days.evaluateAll(($all) => $all.map(($one) => Math.round($one.getBoundingClientRect().top)));
    const counts = [...new Set(tops)].map((top) => tops.filter((one) => one === top).length);
    assert.deepEqual(counts, rows, `${width} px`);
    const cut = await days.evaluateAll(($all) => $all.filter(($one) => $one.scrollWidth > $one.clientWidth).map(($one) => $one.innerText));
    assert.deepEqual(cut, [], `${width} px`);
  }, { viewport: { width, height: 740 } });
});

test("an address is on one line", async () => {
  await open(diskUrl("index.html"), async (page) => {
    const $address = page.locator(".tk-foot .tk-address");
    assert.match(await $address.innerText(), /^\S+@\S+-\S+$/);
    const lines = await $address.evaluate(($one) => {
      const range = document.createRange();
      range.selectNodeContents($one);
      return range.getClientRects().length;
    });
    assert.equal(lines, 1);
  }, { viewport: { width: 1280, height: 900 } });
});

test("a quantity in a caution is not parted at the end of a line", () => {
  const cautions = PAGES.flatMap((page) => [...readPage(page).matchAll(/<aside class="tk-caution[^]*?<\/aside>/g)].map(([caution]) => caution));
  assert.ok(cautions.length > 5);
  for (const caution of cautions) assert.doesNotMatch(caution, /\d (psi|bar|gal|L|ft|m|s|min|mph|°)\b/, caution);
});
