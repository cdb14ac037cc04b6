// The calibration card in a browser: an operator's runs in, a card out; on a screen, without scripts, on paper.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { DANA, PAGE, addProduct, cell, chore, keep, ready, write } from "./card.mjs";
import { loadCore, phrasesOf } from "./core.mjs";
import { SITE, diskUrl, readPage } from "./site.mjs";

const folder = mkdtempSync(join(tmpdir(), "tankside-card-"));
after(() => rmSync(folder, { recursive: true, force: true }));

test("what is published is what WebAssembly makes, byte for byte", () => {
  const published = readPage(PAGE);
  const core = loadCore(phrasesOf(SITE));
  // The unit of a field is chosen beside it, in its column's head, or is fixed.
  const chosen = new Map([...published.matchAll(/<select class="tk-field__unit" name="([^"]*)@".*?<option value="([^"]*)" selected>/gs)].map(([, name, unit]) => [name, unit]));
  const pairs = [...published.matchAll(/<input class="tk-field__(?:number|words)"[^>]*>(?:<span[^>]*data-unit="([^"]*)")?/g)].map(([tag, fixed]) => {
    const of = (name) => tag.match(new RegExp(` ${name}="([^"]*)"`))?.[1];
    const text = of("value") ?? "";
    const unit = chosen.get(of("name")) ?? chosen.get(of("data-column")) ?? fixed;
    return [of("name"), [text, text && !/[a-z%]/i.test(text) && unit].filter(Boolean).join(" ")];
  });
  assert.ok(pairs.length > 25, "the form was read");
  const made = core.worked("card", [...pairs, ["marks", "eighths"]], { name: "card", units: "us", level: 2 });
  assert.deepEqual(made.errors, {});
  assert.ok(published.includes(made.form.trim()), "the form");
  assert.ok(published.includes(made.answer.trim()), "the card");
});

test("a new card is filled in and answers with an operator's figures", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await write(page, DANA);
    await addProduct(page, 1, "Weed control", "1.5", "1.8");
    assert.match(await cell(page, "application-rate"), /2\.00\s+±\s0\.0\d+\s+gal\/1000\s+ft²\s+87\.1\s+gal\/acre/);
    assert.equal((await cell(page, "lawn-5-volume")).replace(/\s/g, " "), "15 gal", "7500 ft² at 2 gal/1000 ft²");
    assert.equal((await cell(page, "mark-1-area")).replace(/\s/g, " "), "100,000 ft²", "a full tank");
    assert.equal((await cell(page, "mark-5-area")).replace(/\s/g, " "), "50,000 ft²", "half of it");
    assert.equal((await cell(page, "product-1-fill-1")).replace(/\s/g, " "), "1 gal 22 fl oz", "150 fl oz");
    const card = await page.locator(".tk-card").innerText();
    for (const text of ["Dana Quill", "Truck 2", "Turf gun", "Green", "60 psi", "Apr 14, 2026", "July 13, 2026", "The label is the law"]) {
      assert.ok(card.replace(/\u00a0/g, " ").includes(text), `${text} is on the card`);
    }
    assert.doesNotMatch(card, /Invented/);
    await page.fill('[name="product.1.rate"]', "2");
    assert.match(await page.locator(".tk-card .tk-caution--danger").innerText(), /above the label maximum of 1\.8/);
    assert.equal(await page.locator('[data-result="product-1-fill-1"]').count(), 0, "and no amount is given");
  });
});

test("an added run starts empty, so that none is counted twice", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await write(page, DANA);
    await page.locator('[data-do="add"][data-group="timed"]').click();
    assert.equal(await page.inputValue('[name="timed.2.volume"]'), "");
    assert.match(await cell(page, "application-rate"), /^Puts down\s+2\.00\s/, "and does no harm");
  });
});

test("without scripts the invented example is whole", async () => {
  await open(
    diskUrl(PAGE),
    async (page) => {
      const card = (await page.locator(".tk-card").innerText()).replace(/\s+/g, " ");
      for (const text of ["Made-up example", "2.01", "87.7 gal/acre", "10.1 gal", "99,310 ft²", "1 gal 21 fl oz", "July 13, 2026"]) {
        assert.ok(card.includes(text), `${text} is on the card`);
      }
      assert.ok(await page.locator('[name="timed.1.volume"]').isVisible(), "with its numbers");
      assert.ok(await page.locator("noscript").innerText(), "and the reason why nothing answers");
      assert.equal(await page.locator("[data-chore]:visible").count(), 0, "no button that would do nothing");
      await page.locator(".tk-card-working > summary").click();
      assert.ok((await page.locator(".tk-step:visible").count()) > 5, "and its working");
    },
    { javaScriptEnabled: false, viewport: PHONE },
  );
});

describe("keeps the accessibility rules, and the width of the screen", () => {
  for (const colorScheme of ["light", "dark"]) {
    for (const viewport of [PHONE, DESK]) {
      test(`${colorScheme} at ${viewport.width} px`, async () => {
        await open(
          diskUrl(PAGE),
          async (page) => {
            await ready(page);
            const check = async (state) => {
              assert.deepEqual(await violations(page), [], state);
              const wide = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
              assert.ok(wide <= 0, `${state}: ${wide} px too wide`);
            };
            await check("the example");
            await chore(page, "new").click();
            await check("an empty card");
            await keep(page, { ...DANA, date: "2020-01-01", operator: "W".repeat(60) });
            await chore(page, "edit").click();
            await addProduct(page, 1, "P".repeat(60), "2", "1");
            await check("a filled card that has run out, with a danger");
            await chore(page, "keep").click();
            await page.locator('[data-chore="ask"]').click();
            await page.locator(".tk-card-working > summary").click();
            await check("a kept card, its working open, deleting asked about");
          },
          { colorScheme, viewport, reducedMotion: "reduce" },
        );
      });
    }
  }
});

describe("on paper", () => {
  /** Page count, and the words without the spaces, which are the printer's. */
  async function printed(page, options = {}) {
    const file = join(folder, "card.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true, ...options });
    const words = spawnSync("pdftotext", ["-raw", file, "-"], { encoding: "utf8" }).stdout;
    const pages = Number(spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout.match(/^Pages:\s+(\d+)/m)[1]);
    return { pages, words: words.normalize("NFKC").replace(/\s+/g, "") };
  }
  const squeeze = (text) => text.normalize("NFKC").replace(/\s+/g, "");

  for (const format of ["Letter", "A4"]) {
    test(`a card with six products is one sheet of ${format}, with nothing cut off`, async () => {
      await open(diskUrl(PAGE), async (page) => {
        await ready(page);
        await write(page, { ...DANA, operator: "Wilhelmina van der Westhuizen-Featherstonehaugh", rig: "Truck 12, the long one with the second reel", tip: "Green, 3 gal/min at 60 psi", tank: "187.5" });
        for (let number = 1; number <= 6; number += 1) {
          await addProduct(page, number, `Product ${number} with a long name, as labels have them`, "1.37", number === 6 ? "1" : "");
        }
        await chore(page, "keep").click();
        await page.evaluate(() => { window.print = () => {}; });
        await chore(page, "print").click();
        const { pages, words } = await printed(page, { format });
        assert.equal(pages, 1);
        const texts = await page.locator(".tk-card :is(h2, dd, th, td, .tk-card__by, .tk-card__law, .tk-caution__text)").allInnerTexts();
        for (const text of texts) assert.ok(words.includes(squeeze(text)), `${text} is on paper`);
        assert.ok(!words.includes(squeeze("Savedcards")) && !words.includes(squeeze("Volume caught")), "and nothing but the card");
        await page.emulateMedia({ media: "print" });
        const cut = await page.locator(".tk-card, .tk-card *").evaluateAll(($all) =>
          $all.filter(($one) => $one.scrollWidth > $one.clientWidth + 1 && getComputedStyle($one).display !== "inline").map(($one) => $one.className));
        assert.deepEqual(cut, [], "nothing is wider than its place");
      });
    });
  }

  test("a card that has run out says so above it, alone and among all", async () => {
    await open(diskUrl(PAGE), async (page) => {
      await ready(page);
      for (const operator of ["Ada", "Bo"]) await keep(page, { ...DANA, operator, date: "2020-01-01" });
      await keep(page, { ...DANA, operator: "Cy", date: "2099-01-01" });
      await page.evaluate(() => { window.print = () => {}; });
      assert.ok(!(await printed(page)).words.includes("ranout"), "Cy's card has not");
      await page.getByRole("button", { name: "Ada", exact: true }).click();
      const note = squeeze("This calibration went out of date on Mar 31, 2020");
      const alone = await printed(page);
      assert.equal(alone.pages, 1);
      assert.ok(alone.words.includes(note), "Ada's has");
      await chore(page, "print-all").click();
      const noted = await page.locator(".tk-cards__sheets .tk-caution + .tk-card .tk-card__operator").allTextContents();
      assert.deepEqual(noted, ["Ada", "Bo"], "each above its card");
      const { words, pages } = await printed(page, { format: "Letter" });
      assert.equal(words.split(note).length - 1, 2, "Ada's and Bo's");
      assert.equal(pages, 2, "two cards to a sheet as before");
    });
  });

  test("all cards are printed together, the table first", async () => {
    await open(diskUrl(PAGE), async (page) => {
      await ready(page);
      for (const operator of ["Ada", "Bo", "Cy"]) await keep(page, { ...DANA, operator });
      await page.evaluate(() => { window.print = () => { window.asked = (window.asked ?? 0) + 1; }; });
      await chore(page, "print-all").click();
      assert.equal(await page.evaluate(() => window.asked), 1);
      const { pages, words } = await printed(page);
      for (const operator of ["Ada", "Bo", "Cy"]) {
        assert.equal(words.split(`Calibrationcard${operator}Truck`).length - 1, 1, `${operator}'s card, once`);
      }
      const table = words.indexOf("Savedcards");
      assert.ok(0 <= table && table < words.indexOf("CalibrationcardAda"), "the table before them");
      assert.ok(pages <= 3, `${pages} pages`);
    });
  });
});
