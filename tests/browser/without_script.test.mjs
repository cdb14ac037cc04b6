// With scripts switched off, and on paper, a worked example is whole.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { open } from "./browser.mjs";
import { pagesWith, diskUrl } from "./site.mjs";
import { EXAMPLES, mainNumbers } from "./worked.mjs";

const OFF = { javaScriptEnabled: false };

describe("without scripts a worked example is whole", () => {
  for (const example of EXAMPLES) {
    test(`${example.page} ${example.name}`, async () => {
      await open(
        example.url,
        async (page) => {
          const part = page.locator(example.selector);
          // A field that may be left out can be empty.
          const numbers = part.locator('.tk-field__number:not([value=""])');
          assert.ok((await numbers.count()) > 0, "it has inputs");
          assert.match(await numbers.first().getAttribute("value"), /\d/, "with the lesson's numbers in them");
          // What a lesson shows as a sentence has its results in it.
          const said = await part.locator(".tk-answer__sentence [data-result]").allInnerTexts();
          const results = [...(await mainNumbers(page, example.selector)), ...said];
          // A calculator that compares shows a table instead; a main result may be a verdict or a count.
          assert.ok(results.length > 0 || (await part.locator(".tk-table td").count()) > 0, "it has a main result");
          if (results.length > 0) assert.match(results.join(" "), /\d/, "with a number in it");
          assert.ok((await part.locator(".tk-step").count()) > 0, "it shows its steps");
          assert.ok(await part.locator(".tk-answer > .tk-drawing svg").first().isVisible(), "and a drawing");
          assert.match(await part.locator(".tk-answer > .tk-drawing .tk-drawing__text").first().textContent(), /\S+ \S+/, "with its text");
          assert.match(await part.locator(".tk-answer .tk-source").first().textContent(), /\S+ \S+/, "and names its source");
        },
        OFF,
      );
    });
  }
});

describe("without scripts a quiz can be taken on paper", () => {
  for (const name of pagesWith('data-part="quiz"')) {
    test(name, async () => {
      await open(
        diskUrl(name),
        async (page) => {
          const questions = page.locator('[data-part="question"]');
          assert.ok((await questions.count()) > 0, "the questions are there");
          const keys = page.locator("details.tk-key");
          assert.equal(await keys.count(), await questions.count(), "each with its answer, folded away");
          await keys.first().locator("> summary").click();
          assert.match(await keys.first().locator(".tk-feedback").innerText(), /\S/);
        },
        OFF,
      );
    });
  }
});

describe("on paper a worked example keeps its results", () => {
  for (const name of new Set(EXAMPLES.map((example) => example.page))) {
    test(name, async () => {
      const folder = mkdtempSync(join(tmpdir(), "tankside-print-"));
      try {
        await open(diskUrl(name), async (page) => {
          const results = [];
          for (const example of EXAMPLES.filter((one) => one.page === name)) {
            results.push(...(await mainNumbers(page, example.selector)));
          }
          const file = join(folder, "page.pdf");
          await page.pdf({ path: file, preferCSSPageSize: true, tagged: true });
          const printed = pdfText(file);
          for (const result of results) assert.ok(printed.includes(squeeze(result)), `${result} is on paper`);
        });
      } finally {
        rmSync(folder, { recursive: true, force: true });
      }
    });
  }
});

describe("on paper", () => {
  const folder = mkdtempSync(join(tmpdir(), "tankside-paper-"));
  after(() => rmSync(folder, { recursive: true, force: true }));
  const file = join(folder, "page.pdf");
  const first = (lesson) => EXAMPLES.find((example) => example.page === lesson);

  for (const lesson of ["lessons/catch-test.html", "lessons/application-rate.html", "lessons/tank-mix.html"]) {
    test(`the first example of ${lesson} begins on its first page`, async () => {
      await open(diskUrl(lesson), async (page) => {
        // An example says its result large, or in a sentence.
        const sentence = page.locator(`${first(lesson).selector} .tk-answer__sentence strong`);
        const [main] = [...(await mainNumbers(page, first(lesson).selector)), ...(await sentence.allInnerTexts())];
        assert.ok(main, "it has a result");
        await page.pdf({ path: file, preferCSSPageSize: true });
        assert.ok(pdfText(file, 1).includes(squeeze(main)), `${main} is on the first page`);
      });
    });
  }

  // The budget is on the calculator's own sheet; a lesson is kept short.
  for (const [page, budget] of [["lessons/catch-test.html", false], ["work/catch-test.html", true]]) {
    test(`how sure a result is comes ${budget ? "with" : "without"} its budget and without the explanation: ${page}`, async () => {
      await open(diskUrl(page), async (opened) => {
        const sure = opened.locator(`${first(page).selector} [data-fold="sure"]`);
        const said = (selector) => sure.locator(selector).first().textContent();
        const [line, table, explained] = [await said(".tk-sure__value"), await said("tfoot tr:last-child th"), await said(".tk-sure__text")];
        await opened.pdf({ path: file, preferCSSPageSize: true });
        const printed = pdfText(file);
        assert.ok(printed.includes(squeeze(line)), line);
        assert.equal(printed.includes(squeeze(table)), budget, table);
        assert.ok(!printed.includes(squeeze(explained).slice(0, 30)), explained);
      });
    });
  }

  test("a quiz has a line for name and date, which a screen has not", async () => {
    await open(diskUrl("lessons/first-week-check.html"), async (page) => {
      const who = page.locator(".tk-quiz__who");
      assert.equal(await who.isVisible(), false);
      const words = squeeze(await who.textContent());
      await page.pdf({ path: file, preferCSSPageSize: true });
      assert.ok(pdfText(file, 1).includes(words), words);
    });
  });
});

/** The words of a PDF, or of its first pages, without the spaces, which are the printer's and not the page's. */
function pdfText(file, pages = 1000) {
  const read = spawnSync("pdftotext", ["-raw", "-l", String(pages), file, "-"], { encoding: "utf8" });
  assert.equal(read.error, undefined, "pdftotext starts (Debian's poppler-utils)");
  return squeeze(read.stdout);
}

function squeeze(text) {
  return text.normalize("NFKC").replace(/\s+/g, "");
}
