// Search in the page: from a disk and from a server, by keyboard alone, forgiving to those who type with gloves, and
// never more than text.

import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { gzipSync } from "node:zlib";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { ONE_OF_EACH_KIND, PAGES, SITE, diskUrl, readPage } from "./site.mjs";

/** Bytes, gzip, of the index of the demo course. */
const INDEX = 30_000;

let server;
before(async () => {
  server = await serve(SITE);
});
after(() => server.close());

/** Opens search by its button. */
async function opened(page) {
  await page.locator('[data-do="search"]').click();
  await page.locator("dialog.tk-find[open]").waitFor();
  return page.locator("#tk-find-words");
}

/** Marks what was found before: a new answer takes the place of all of it. */
const earlier = (page) => page.locator(".tk-find__found").evaluate(($found) => $found.append(Object.assign(document.createElement("i"), { id: "earlier" })));

/** What is found for some words: each with its title, its place, its text and its address. */
async function found(page, words) {
  await earlier(page);
  await page.locator("#tk-find-words").fill(words);
  await page.locator("#earlier").waitFor({ state: "detached" });
  return page.locator(".tk-find__row").evaluateAll((rows) =>
    rows.map((row) => ({
      title: row.querySelector("a").textContent,
      href: row.querySelector("a").getAttribute("href"),
      place: row.querySelector(".tk-find__place")?.textContent ?? "",
      piece: row.querySelector(".tk-find__piece")?.textContent ?? "",
      marked: [...row.querySelectorAll("mark")].map((mark) => mark.textContent),
    })),
  );
}

const said = (page) => page.locator(".tk-find__count").textContent();

describe("the index", () => {
  test("shows no place of a sentence that was never filled", () => {
    const text = readFileSync(join(SITE, "assets/search-index.js"), "utf8");
    assert.deepEqual(text.match(/\{[a-z-]+\}/g), null);
  });

  test("finds the certificate, the record and the formula sheet where they are", async () => {
    await open(diskUrl("index.html"), async (page) => {
      await opened(page);
      for (const [words, href] of [["certificate", "progress.html"], ["training record", "progress.html"], ["formula sheet", "formulas.html"], ["mock exam", "exam.html"], ["exam date", "drill.html"]]) {
        const rows = await found(page, words);
        assert.ok(rows.some((row) => row.href === href), `${words}: ${JSON.stringify(rows.map((row) => row.href))}`);
      }
    });
  });

  test("is small, and no page names it: it is loaded when search is opened", () => {
    const weight = gzipSync(readFileSync(join(SITE, "assets/search-index.js")), { level: 9 }).length;
    assert.ok(weight <= INDEX, `${weight} bytes`);
    for (const page of PAGES) assert.doesNotMatch(readPage(page), /search(-index)?\.(js|css)"/, page);
  });

  test("leads only to pages and places that are there", () => {
    const text = readFileSync(join(SITE, "assets/search-index.js"), "utf8");
    const { rows, groups } = JSON.parse(text.slice(text.indexOf("{"), text.lastIndexOf("}") + 1));
    assert.deepEqual([...new Set(rows.map(([group]) => group))].sort(), groups.map((_, index) => index));
    for (const [, href, title] of rows) {
      const [file, place] = href.split("#");
      assert.ok(title.trim(), `${href} has a title`);
      assert.ok(existsSync(join(SITE, file)), href);
      if (place) assert.ok(readPage(file).includes(`id="${place}"`), href);
    }
    for (const kind of ["lessons/", "glossary.html#", "formulas.html#", "work/"]) assert.ok(rows.some(([, href]) => href.startsWith(kind)), kind);
  });
});

for (const [how, address] of [
  ["over http", (page) => server.url(page)],
  ["from a disk", diskUrl],
]) {
  test(`finds ${how}, and leads there`, async () => {
    await open(address("lessons/catch-test.html"), async (page) => {
      await opened(page);
      const hits = await found(page, "nozzle output");
      assert.match(await said(page), /^Found: \d+/);
      assert.ok(hits.some((hit) => hit.href === "../glossary.html#nozzle-output"), JSON.stringify(hits.slice(0, 5)));
      await page.locator(".tk-find__link", { hasText: /^Nozzle output$/ }).first().click();
      await page.waitForURL(/#/);
      assert.equal(await page.locator("dialog[open]").count(), 0);
    });
  });
}

test("is there on every kind of page", async () => {
  for (const name of ONE_OF_EACH_KIND) {
    await open(diskUrl(name), async (page) => {
      await opened(page);
      assert.ok((await found(page, "label")).length > 3, name);
    });
  }
});

test("finds what a learner types: beginnings, many of a thing, slips, abbreviations, accents", async () => {
  await open(diskUrl("index.html"), async (page) => {
    await opened(page);
    const first = async (words) => (await found(page, words)).slice(0, 12);
    const titles = async (words) => (await first(words)).map((hit) => hit.title.toLowerCase());
    for (const [words, title] of [
      ["calib", "calibration"],
      ["nozzles", "nozzle"],
      ["catch tests", "catch test"],
      ["calibrashun", "calibration"],
      ["nozzel output", "nozzle output"],
      ["nozle", "nozzle"],
      ["gpm", "nozzle output"],
      ["GPA", "gal/acre"],
      ["gallons per acre", "gal/acre"],
      ["cálibratión", "calibration"],
      ["tank mix", "tank mix"],
      ["carrier volum", "carrier volume"],
      ["what is pooled", "pooled"],
      ["how fast do I walk", "walking pace"],
      ["calibrate", "calibration"],
    ]) {
      const all = await titles(words);
      assert.ok(all.some((one) => one.includes(title)), `${words}: ${all.join(" | ")}`);
    }
    for (const words of ["fl oz", "floz", "fluid ounces"]) {
      const hits = await first(words);
      assert.ok(hits.some((hit) => hit.marked.join(" ").toLowerCase().includes("fl oz")), `${words}: ${JSON.stringify(hits.slice(0, 3))}`);
    }
    const [hit] = (await found(page, "stopwatch")).filter((one) => one.href.startsWith("lessons/"));
    assert.match(hit.place, /^Lesson \d+/, "where it is");
    assert.match(hit.piece, /stopwatch/i, "and a piece of the text");
    assert.deepEqual(await found(page, "zzzqqxx"), []);
    assert.match(await said(page), /^Nothing found/);
    await found(page, "nozzle zzzqqxx");
    assert.match(await said(page), /^Nothing has all of these words/);
    assert.deepEqual(await found(page, "  ,;!  "), []);
    assert.equal(await said(page), "");
  });
});

test("answers everyday questions among the first three, in the words of those who ask", async () => {
  // What is meant, as the beginning of an address, or one of several.
  const asked = [
    // A new hire on a lawn.
    ["how big is the lawn", ["work/lawn-area"]],
    ["measure the lawn", ["work/lawn-area"]],
    ["size of the yard", ["work/lawn-area"]],
    ["area of a circle", ["work/lawn-area", "formulas.html#lawn-area"]],
    ["how much product", ["work/tank-mix"]],
    ["how much product do I put in the tank", ["work/tank-mix"]],
    ["how much water do I need", ["work/tank-mix"]],
    ["what is left over in the tank", ["work/tank-mix", "lessons/part-tanks"]],
    ["how fast should I walk", ["work/swath-timing", "work/ground-speed"]],
    ["am I walking too fast", ["work/swath-timing", "work/ground-speed"]],
    ["how much does the gun put out", ["work/catch-test"]],
    ["bucket test", ["work/catch-test"]],
    ["what do I wear", ["lessons/before-you-start.html#what-to-wear"]],
    ["gloves", ["glossary.html#ppe", "lessons/before-you-start.html#what-to-wear"]],
    ["spill", ["lessons/before-you-start.html#if-it-goes-wrong"]],
    ["is it too windy", ["lessons/around-the-lawn.html#the-air", "glossary.html#drift"]],
    ["worn tip", ["work/nozzle-wear"]],
    ["when is a nozzle worn out", ["work/nozzle-wear"]],
    ["too much pressure", ["work/pressure-flow"]],
    ["did I use the right amount", ["work/usage-check"]],
    ["how many lawns does a tank do", ["work/day-plan"]],
    ["set the spreader", ["work/spreader"]],
    ["my rate", ["work/application-rate", "card.html"]],
    // A candidate for a certificate.
    ["how many ounces in a gallon", ["units.html"]],
    ["change gallons to liters", ["work/unit-conversion"]],
    ["pounds of nitrogen", ["work/nutrient"]],
    ["percent solution", ["work/dilution"]],
    ["practice questions", ["drill.html"]],
    ["practice test", ["exam.html"]],
    ["what will be on the exam", ["exam.html"]],
    ["cheat sheet", ["formulas.html"]],
    ["where did I go wrong", ["steps.html"]],
    // A trainer.
    ["how do I calibrate", ["work/catch-test", "work/application-rate", "card.html"]],
    ["am I ready", ["progress.html"]],
    ["plan the day", ["work/day-plan"]],
    ["pocket card", ["card.html"]],
    ["read a gauge", ["reading.html"]],
  ];
  await open(diskUrl("index.html"), async (page) => {
    await opened(page);
    for (const [words, meant] of asked) {
      const shown = (await found(page, words)).slice(0, 3).map((hit) => hit.href);
      assert.ok(shown.some((href) => meant.some((one) => href.startsWith(one))), `${words}: ${shown.join(" | ")}`);
    }
    // The best are shown once, whatever their kind, each with what it is.
    const hits = await found(page, "how much water do I need");
    assert.equal(await page.locator(".tk-find__name").first().textContent(), "Best matches");
    assert.ok(hits.slice(0, 3).every((hit) => hit.place), JSON.stringify(hits.slice(0, 3)));
    const all = hits.map((hit) => [hit.href, hit.title].join());
    assert.equal(new Set(all).size, all.length, all.join("\n"));
  });
});

test("is worked by keyboard alone and gives the focus back", async () => {
  await open(diskUrl("lessons/catch-test.html"), async (page) => {
    for (let steps = 0; steps < 6 && !(await page.evaluate(() => document.activeElement.dataset.do === "search")); steps += 1) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await page.locator("dialog.tk-find[open]").waitFor();
    const on = () => page.evaluate(() => document.activeElement.id || document.activeElement.className);
    assert.equal(await on(), "tk-find-words");
    await page.keyboard.type("label");
    await page.locator(".tk-find__row").first().waitFor();
    assert.equal(await page.locator(".tk-find__count").getAttribute("role"), "status");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    assert.equal(await page.evaluate(() => [...document.querySelectorAll(".tk-find__link")].indexOf(document.activeElement)), 1);
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("ArrowUp");
    assert.equal(await on(), "tk-find-words");
    await page.keyboard.press("Escape");
    assert.equal(await page.locator("dialog[open]").count(), 0);
    assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "search");
    await page.keyboard.press("Enter");
    await page.locator("dialog.tk-find[open]").waitFor();
    await page.keyboard.type("swath timing");
    await page.keyboard.press("Enter");
    await page.waitForURL(/swath|glossary|formulas/);
  });
});

for (const colorScheme of ["light", "dark"]) {
  for (const [where, viewport] of [
    ["on a phone", PHONE],
    ["on a desk", DESK],
  ]) {
    test(`keeps the accessibility rules and its width in ${colorScheme} colours ${where}`, async () => {
      await open(
        diskUrl("lessons/catch-test.html"),
        async (page) => {
          await opened(page);
          assert.deepEqual(await violations(page), [], "empty");
          await found(page, "gal/acre");
          assert.deepEqual(await violations(page), [], "with what was found");
          const wide = await page.locator("dialog.tk-find").evaluate((dialog) => dialog.scrollWidth - dialog.clientWidth);
          assert.ok(wide <= 0, `${wide} px too wide`);
        },
        { colorScheme, viewport, reducedMotion: "reduce" },
      );
    });
  }
}

test("makes no markup of what is typed, and does not freeze on 100,000 letters", async () => {
  await open(diskUrl("index.html"), async (page) => {
    await opened(page);
    for (const words of ["<img src=x onerror=alert(1)>", "\"><script>alert(1)</script>", "{count}", "$&", "constructor __proto__ toString", "\u202e\u0000\ud800", "%00 ../../etc", "(a+)+$", "[", "\\", "*?.^|", "(?=nozzle)", "\u200fnozzle\u200e \u2066gun\u2069", "<svg/onload=alert(1)>", "javascript:alert(1)"]) {
      await found(page, words);
      assert.equal(await page.locator("dialog.tk-find script, dialog.tk-find img").count(), 0, words);
    }
    for (const letter of ["a", "ab ", "gal ", "é", "1,000 ", "𝔘"]) {
      const [all, beginning] = await page.evaluate((letter) => {
        const words = letter.repeat(100_000 / letter.length);
        const titles = (query) => JSON.stringify(SEARCH.find(query).hits.map((hit) => hit.entry.title));
        return [titles(words), titles(words.slice(0, 120))];
      }, letter);
      assert.equal(all, beginning, "only the beginning is looked at");
      // A field keeps a person to its length, not a script.
      await earlier(page);
      await page.locator("#tk-find-words").evaluate((field, words) => {
        field.value = words;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }, letter.repeat(100_000));
      await page.locator("#earlier").waitFor({ state: "detached" });
      assert.match(await said(page), /\S/, letter);
    }
    // A megabyte pasted: the field takes what it takes, and search goes on working.
    await page.evaluate(() => {
      const field = document.querySelector("#tk-find-words");
      field.value = "";
      field.focus();
      document.execCommand("insertText", false, "nozzle ".repeat(150_000));
    });
    assert.ok((await page.locator("#tk-find-words").inputValue()).length <= 200, "the field has an end");
    assert.ok((await found(page, "nozzle")).length > 0, "search still finds");
  });
});

test("without scripts there is no dead button", async () => {
  await open(
    diskUrl("index.html"),
    async (page) => assert.equal(await page.locator('[data-do="search"]').isVisible(), false),
    { javaScriptEnabled: false },
  );
});
