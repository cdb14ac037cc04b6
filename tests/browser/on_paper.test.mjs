// How a page looks on paper.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { open } from "./browser.mjs";
import { CALCULATORS, LESSONS, at } from "./looking.mjs";
import { diskUrl, pagesWith } from "./site.mjs";

const folder = mkdtempSync(join(tmpdir(), "tankside-look-"));
after(() => rmSync(folder, { recursive: true, force: true }));

/** The lines of each page. */
async function printed(opened) {
  const file = join(folder, "page.pdf");
  await opened.pdf({ path: file, preferCSSPageSize: true, format: "Letter" });
  const pages = spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" }).stdout.split("\f").slice(0, -1);
  return pages.map((page) => page.split("\n").filter((line) => line.trim()));
}

test("no tool of the screen is printed", async () => {
  // Calculators and the card are looked at above.
  for (const page of pagesWith('data-part="tools"').filter((name) => name.startsWith("lessons/"))) {
    await at(720, page, async (opened) => assert.equal(await opened.locator('[data-part="tools"]:visible').count(), 0, page), "print");
  }
});

test("the formulas for an exam are one page", async () => {
  await open(diskUrl("formulas.html"), async (opened) => assert.equal((await printed(opened)).length, 1));
});

test("the home page is two sheets", async () => {
  await open(diskUrl("index.html"), async (opened) => assert.equal((await printed(opened)).length, 2));
});

test("a day's log has its lawns and no empty fields for the next one", async () => {
  await open(diskUrl("log.html"), async (opened) => {
    await opened.locator('[data-part="log"][data-started]').waitFor();
    await opened.locator("#log-rate").fill("2 gal/1000 ft2");
    for (const [name, value] of [["name", "Oak St"], ["area", "12500"], ["used", "25"]]) await opened.locator(`#log-${name}`).fill(value);
    await opened.keyboard.press("Enter");
    await opened.locator(".tk-log__point").waitFor();
    const pages = await printed(opened);
    assert.equal(pages.length, 1, pages.flat().join("\n"));
    await opened.emulateMedia({ media: "print" });
    assert.ok(await opened.locator("#log-name").isHidden());
    assert.ok(await opened.locator(".tk-log__lawns").isVisible());
  });
});

test("no last page holds the foot and the law alone", async () => {
  for (const page of [...CALCULATORS, ...LESSONS, "units.html"]) {
    await open(diskUrl(page), async (opened) => {
      const pages = await printed(opened);
      const last = pages.at(-1);
      const before = last.slice(0, last.findIndex((line) => line.trim().startsWith("The label is the law"))).filter((line) => line.trim());
      assert.ok(pages.length === 1 || before.length > 0, `${page}: ${last.join("\n")}`);
    });
  }
});

test("a calculator's sheet does not end on a page with little on it", async () => {
  for (const page of CALCULATORS) {
    await open(diskUrl(page), async (opened) => {
      const pages = await printed(opened);
      const lines = pages.at(-1).filter((line) => line.trim()).length;
      assert.ok(pages.length === 1 || lines >= 7, `${page}: ${pages.at(-1).join("\n")}`);
    });
  }
});

test("a lesson's last page holds more than a source and the foot", async () => {
  for (const page of LESSONS) {
    await open(diskUrl(page), async (opened) => {
      const last = (await printed(opened)).at(-1);
      assert.ok(last.length > 8, `${page}: ${last.join("\n")}`);
    });
  }
});

test("a lesson with its questions is at most three sheets, printed on both sides", async () => {
  for (const page of LESSONS) {
    await open(diskUrl(page), async (opened) => {
      const pages = (await printed(opened)).length;
      assert.ok(pages <= 6, `${page}: ${pages} pages`);
    });
  }
  assert.ok(LESSONS.length > 5);
});

test("the sum of a table of uncertainties is printed once", async () => {
  for (const page of ["work/usage-check.html", "work/tank-mix.html"]) {
    await open(diskUrl(page), async (opened) => {
      const tables = await opened.locator(".tk-sure__table").count();
      const sums = (await printed(opened)).flat().filter((line) => /^\s*\|?\s*All together/.test(line)).length;
      assert.equal(sums, tables, page);
    });
  }
});

test("the name of a learner is on the page of their progress", async () => {
  await open(diskUrl("progress.html"), async (opened) => {
    await opened.locator('[data-role="name"]').fill("Ada Fern");
    await opened.emulateMedia({ media: "print" });
    assert.ok(await opened.locator('[data-role="name"]').isVisible());
    assert.equal(await opened.locator(".tk-progress button:visible").count(), 0, "and no button");
  });
});

test("a field that an example leaves out is not on paper, one that is filled in is", async () => {
  await at(720, "work/tank-mix.html", async (opened) => {
    const shown = () => opened.evaluate(() => [...document.querySelectorAll(".tk-field__number")].filter(($one) => $one.closest(".tk-field")).map(($one) => [$one.name, $one.value !== "", $one.checkVisibility()]));
    const before = await shown();
    assert.ok(before.some(([, filled]) => !filled) && before.some(([, filled]) => filled));
    for (const [name, filled, seen] of before) assert.equal(seen, filled, name);
    // The same once it was worked with.
    await opened.emulateMedia({ media: "screen" });
    await opened.locator('[data-part="worked"]').dispatchEvent("pointerdown");
    await opened.locator('[data-part="worked"][data-started]').waitFor();
    await opened.locator('[name="left"]').fill("");
    await opened.emulateMedia({ media: "print" });
    const after = await shown();
    assert.ok(after.some(([name, filled]) => name === "left" && !filled));
    for (const [name, filled, seen] of after) assert.equal(seen, filled, `${name}, touched`);
  }, "print");
});

test("an example has no frame that could stand empty at the foot of a page: its rule is its title's", async () => {
  await at(720, "lessons/why-it-must-fit.html", async (opened) => {
    const rules = await opened.locator(".tk-worked").evaluateAll((all) => all.map(($one) => [getComputedStyle($one).borderBlockStartWidth, getComputedStyle($one.querySelector(".tk-worked__title")).borderBlockStartWidth]));
    assert.ok(rules.length > 1);
    for (const [frame, title] of rules) assert.ok(frame === "0px" && title !== "0px", `${frame} ${title}`);
  }, "print");
});

test("a row of a form reads as a line: name, number, unit", async () => {
  await at(720, "work/tank-mix.html", async (opened) => {
    const lines = await opened.evaluate(() => [...document.querySelectorAll(".tk-rows__row--long .tk-field")].map(($field) => [$field.querySelector("label"), ...$field.querySelectorAll("input, select")].map(($one) => Math.round($one.getBoundingClientRect().bottom))));
    assert.ok(lines.length > 3);
    for (const line of lines) assert.ok(Math.max(...line) - Math.min(...line) < 8, line.join(" "));
  }, "print");
});
