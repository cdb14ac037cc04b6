// The learner's pages in the middle of their work: no rule of accessibility broken in light and dark, on a phone and at a
// desk, nothing too wide, worked with the keyboard alone, and whole on paper and without scripts.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, test } from "node:test";
import { answer, asked } from "./asking.mjs";
import { keepsTheRules } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { chooseWhy, figureOf, fillSteps, listening, rightLines } from "./steps.mjs";

const STAGE = '[data-role="stage"]';
const QUESTION = `${STAGE} [data-part="question"]`;

async function visit(name, look, options = {}) {
  await open(diskUrl(name), look, { viewport: PHONE, reducedMotion: "reduce", ...options });
}

const started = (page, part) => page.locator(`[data-part="${part}"][data-started]`).waitFor();
const press = (page, chore) => page.locator(`[data-do="${chore}"]`).first().click();

/** Practices a little: two right and one wrong, so that there is something to come back to. */
async function practiced(page) {
  await page.goto(diskUrl("lessons/catch-test.html"));
  const part = page.locator('[data-part="quiz"][data-started]');
  await part.locator('[data-role="start"] button').click();
  for (const right of [true, false]) {
    const question = await asked(part);
    for (let turn = 0; turn < (right ? 1 : 2); turn += 1) {
      await answer(part, question, right);
      await part.locator('[data-do="check"]').click();
    }
    await part.locator('[data-do="next"]').click();
  }
  await part.locator('[data-do="stop"]').click();
  await page.locator('[data-role="total"]').waitFor();
}

async function lawns(page) {
  await started(page, "log");
  await page.locator("#log-rate").fill("2 gal/1000 ft2");
  for (const used of ["20", "20.3", "31"]) {
    await page.locator("#log-area").fill("10000");
    await page.locator("#log-used").fill(used);
    await page.keyboard.press("Enter");
    await page.locator("#log-used").evaluate(($field) => new Promise((done) => { const wait = () => ($field.value ? setTimeout(wait, 20) : done()); wait(); }));
  }
}

/** Sits down at a stage of a kind of calculation. */
async function atStage(page, stage) {
  await started(page, "steps");
  await page.evaluate((stage) => LEARN.setNote("steps.catch-test", { stage, right: 0, tested: true }), stage);
  await page.locator('[data-calculator="catch-test"]').click();
  await page.locator(`${STAGE} .tk-round__count`).waitFor();
}

/** Each page with what is done to get into the middle of it. */
const STATES = {
  "the first page of somebody who was here": ["index.html", async (page) => {
    await practiced(page);
    await page.goto(diskUrl("index.html"));
    await page.locator(".tk-here summary").click();
  }],
  "a practice round after a miss": ["lessons/tank-mix.html", async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.locator('[data-role="start"] button').click();
    await answer(part, await asked(part), false);
    await part.locator('[data-do="check"]').click();
  }],
  "the drill's settings with its plan": ["drill.html", async (page) => {
    await started(page, "drill");
    await page.locator(".tk-drill__plan summary").click();
    await page.locator('[data-role="plan"] tr').nth(2).waitFor();
  }],
  "a drill after a second miss": ["drill.html", async (page) => {
    await started(page, "drill");
    const part = page.locator('[data-part="drill"]');
    await press(page, "begin");
    for (let turn = 0; turn < 2; turn += 1) {
      await answer(part, await asked(part), false);
      await press(page, "check");
    }
    await page.locator(".tk-question__feedback .tk-feedback").waitFor();
  }],
  "a mock exam under way": ["exam.html", async (page) => {
    await started(page, "exam");
    await press(page, "begin-exam");
    await page.locator(QUESTION).waitFor();
    await press(page, "flag");
    await page.locator(".tk-exam__aids summary").first().click();
    await press(page, "hand-in");
  }],
  "a full example": ["steps.html", (page) => atStage(page, 0)],
  "an example with two steps left blank": ["steps.html", (page) => atStage(page, 2)],
  "a slip to find": ["steps.html", async (page) => {
    await atStage(page, 2);
    await fillSteps(page);
    await chooseWhy(page);
    await press(page, "checked");
    await press(page, "forward");
    await page.locator(".tk-slip").waitFor();
  }],
  "a gauge to read": ["reading.html", async (page) => {
    await started(page, "reading");
    await page.locator('[data-thing="pressure"]').click();
    await page.locator(QUESTION).waitFor();
  }],
  "a day's log with its chart": ["log.html", lawns],
  "progress with its record": ["progress.html", async (page) => {
    await practiced(page);
    await page.goto(diskUrl("progress.html"));
    await started(page, "progress");
    await press(page, "start-over");
  }],
};

describe("in the middle of its work, in light and dark, on a phone and at a desk, no rule is broken and nothing too wide", () => {
  for (const [what, [name, reach]] of Object.entries(STATES)) {
    test(what, async () => {
      await open("about:blank", async (page) => {
        await listening(page);
        await page.goto(diskUrl(name));
        await reach(page);
        await keepsTheRules(page);
        await page.emulateMedia({ media: "print" });
        const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
        assert.ok(wide <= room, `${wide} px on paper of ${room}`);
      }, { viewport: PHONE, reducedMotion: "reduce" });
    });
  }
});

/** Presses Tab until the focus is on what is wanted. */
async function tabTo(page, selector) {
  for (let press = 0; press < 120; press += 1) {
    if (await page.evaluate((selector) => document.activeElement.matches(selector), selector)) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`Tab does not lead to ${selector}`);
}

describe("with the keyboard alone", () => {
  test("a mock exam is begun, answered, flagged, handed in and looked over", async () => {
    await visit("exam.html", async (page) => {
      await started(page, "exam");
      await tabTo(page, "#exam-code");
      await page.keyboard.type("ELM-1");
      await tabTo(page, "#exam-who");
      await page.keyboard.type("Ines");
      await tabTo(page, '[data-do="begin-exam"]');
      await page.keyboard.press("Enter");
      await page.locator(QUESTION).waitFor();
      const rows = () => page.locator(`${STAGE} .tk-quiz__tools .tk-button`).evaluateAll(($all) => $all.map(($one) => Math.round($one.getBoundingClientRect().bottom)));
      const [back, next, flag, hand] = await rows();
      assert.deepEqual([back, flag], [next, hand], "on a phone two rows of two buttons");
      await page.setViewportSize(DESK);
      assert.equal(new Set(await rows()).size, 1, "at a desk one row");
      await page.setViewportSize(PHONE);
      await tabTo(page, `${STAGE} input`);
      if (await page.evaluate(() => document.activeElement.type === "text")) await page.keyboard.type("12 gal");
      else await page.keyboard.press("Space");
      await tabTo(page, '[data-do="flag"]');
      await page.keyboard.press("Space");
      assert.equal(await page.locator('.tk-paper__go[data-flagged="yes"]').count(), 1);
      await tabTo(page, '.tk-paper__go[data-to="4"]');
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.textContent), "Question 5 of 25");
      await tabTo(page, '[data-do="hand-in"]');
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "stay", "the safe answer has the focus");
      await page.keyboard.press("Escape");
      assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "hand-in");
      await page.keyboard.press("Enter");
      await tabTo(page, '[data-do="surely"]');
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.dataset.role), "total");
      await tabTo(page, '.tk-missed a[href^="#"]');
      await page.keyboard.press("Enter");
      assert.ok(await page.locator(".tk-reviewed details[open] .tk-feedback").first().isVisible());
    });
  });

  test("a drill is set, begun and answered", async () => {
    await visit("drill.html", async (page) => {
      await started(page, "drill");
      await tabTo(page, '[data-do="no-topic"]');
      await page.keyboard.press("Enter");
      await page.keyboard.press("Shift+Tab");
      for (let press = 0; press < 12 && !(await page.evaluate(() => document.activeElement.value === "output")); press += 1) await page.keyboard.press("Shift+Tab");
      await page.keyboard.press("Space");
      await page.evaluate(() => window.scrollTo(0, 0));
      for (let press = 0; press < 40 && !(await page.evaluate(() => document.activeElement.dataset.do === "begin")); press += 1) await page.keyboard.press("Shift+Tab");
      await page.keyboard.press("Enter");
      await page.locator(QUESTION).waitFor();
      await page.waitForFunction(() => document.activeElement.className === "tk-round__count");
      const topic = await page.evaluate(() => everyQuestion().find((one) => one.id === document.querySelector('[data-role="stage"] [data-part="question"]').dataset.question).topic);
      assert.equal(topic, "output");
      await tabTo(page, `${STAGE} input`);
      if (await page.evaluate(() => document.activeElement.type === "text")) { await page.keyboard.type("987654 gal/min"); await page.keyboard.press("Enter"); }
      else { await page.keyboard.press("Space"); await tabTo(page, '[data-do="check"]'); await page.keyboard.press("Enter"); }
      await page.waitForFunction(() => document.querySelector(".tk-round__said").textContent.trim() || document.querySelector('[data-role="ask"]').textContent.trim());
    });
  });

  test("a step is filled in, its reason chosen, and the next one reached", async () => {
    await open("about:blank", async (page) => {
      await listening(page);
      await page.goto(diskUrl("steps.html"));
      await started(page, "steps");
      await page.evaluate(() => LEARN.setNote("steps.catch-test", { stage: 1, right: 0, tested: true }));
      await tabTo(page, '[data-calculator="catch-test"]');
      await page.keyboard.press("Enter");
      await page.locator(`${STAGE} .tk-step--blank`).waitFor();
      await tabTo(page, "input[data-step]");
      await page.keyboard.type(figureOf((await rightLines(page))[Number(await page.locator("input[data-step]").getAttribute("data-step"))]));
      if (await page.locator(".tk-why").count()) {
        await page.keyboard.press("Enter");
        assert.match(await page.locator(".tk-round__said").innerText(), /Choose one/, "nothing is marked before the reason is chosen");
        await tabTo(page, ".tk-why input");
        await page.keyboard.press("Space");
        for (let turn = 0; turn < 3; turn += 1) {
          const right = await page.evaluate(() => document.activeElement.value === document.querySelector(".tk-why").dataset.right);
          if (right) break;
          await page.keyboard.press("ArrowDown");
        }
      }
      await tabTo(page, '[data-do="checked"]');
      await page.keyboard.press("Enter");
      await page.locator('[data-do="forward"]:focus').waitFor();
      await page.keyboard.press("Enter");
      assert.equal(await page.locator(".tk-step--blank").count(), 2, "the last two are blank next");
    }, { viewport: PHONE, reducedMotion: "reduce" });
  });

  test("a name is kept, a record copied, and starting over asked about first", async () => {
    await visit("progress.html", async (page) => {
      await started(page, "progress");
      await tabTo(page, "#learner-name");
      await page.keyboard.type("Ada");
      await tabTo(page, '[data-do="rename"]');
      await page.keyboard.press("Enter");
      assert.match(await page.locator('[data-role="said"]').innerText(), /saved/);
      await tabTo(page, '[data-do="start-over"]');
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "stay");
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => LEARN.current().name), "Ada");
    });
  });
});

describe("on paper", () => {
  async function printed(page) { await page.emulateMedia({ media: "print" }); }

  test("the plan prints by itself, with a box to tick for each day", async () => {
    await visit("drill.html", async (page) => {
      await STATES["the drill's settings with its plan"][1](page);
      await printed(page);
      assert.ok(await page.locator(".tk-plan tbody tr").first().isVisible());
      for (const hidden of ['[data-do="begin"]', 'input[name="topic"]', "#drill-exam"]) assert.ok(await page.locator(hidden).first().isHidden(), hidden);
      const box = await page.locator(".tk-plan__done").first().evaluate(($cell) => getComputedStyle($cell, "::after").content);
      assert.match(box, /☐/);
    });
  });

  test("the log prints its chart and lawns without a field", async () => {
    await visit("log.html", async (page) => {
      await lawns(page);
      await printed(page);
      assert.ok(await page.locator(".tk-log__chart").isVisible());
      assert.equal(await page.locator('[data-role="rows"] tr').count(), 3);
      assert.ok(await page.locator("#log-name").isHidden());
      assert.ok(await page.locator('[data-do="new-day"]').isHidden());
    });
  });

  test("whatever its length, the log begins on its first page and takes two at most", async () => {
    const folder = mkdtempSync(join(tmpdir(), "tankside-log-"));
    try {
      await visit("log.html", async (page) => {
        await lawns(page);
        for (let count = 3; count <= 14; count += 1) {
          await page.locator("#log-area").fill("10000");
          await page.locator("#log-used").fill("20.1");
          await page.keyboard.press("Enter");
          await page.locator('[data-role="rows"] tr').nth(count).waitFor();
          const file = join(folder, "log.pdf");
          await page.pdf({ path: file, format: "Letter", preferCSSPageSize: true });
          const told = spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
          assert.equal(told.status, 0, told.stderr);
          const pages = told.stdout.split("\f").slice(0, -1);
          assert.match(pages[0], /Lawn 3/, `${count + 1} lawns`);
          assert.ok(pages.length <= (count < 7 ? 1 : 2), `${count + 1} lawns on ${pages.length} pages`);
        }
      }, { viewport: DESK });
    } finally { rmSync(folder, { recursive: true, force: true }); }
  });

  test("in the printed record numbers and times are each on one line", async () => {
    await visit("index.html", async (page) => {
      await practiced(page);
      await page.evaluate(() => {
        const held = LEARN.begin("exam", "exam", "OAK-17");
        held.answer({ question: "calibration-sense/twenty-percent-by-pressure", digest: "eb21ce99c2d45239", draw: 3928047195, answer: "37.4 gal; 32.4 gal; 17.7 fl oz", try: 1, right: true });
        held.end();
      });
      await page.goto(diskUrl("progress.html"));
      await started(page, "progress");
      await page.evaluate(() => { dispatchEvent(new Event("beforeprint")); });
      await page.setViewportSize({ width: 720, height: 1000 });
      await printed(page);
      const lines = await page.locator(".tk-record__answers tbody td:not(:nth-child(5))").evaluateAll(($cells) => $cells.map(($cell) => {
        const range = document.createRange();
        range.selectNodeContents($cell);
        return new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size;
      }));
      assert.ok(lines.length >= 12 && lines.every((count) => count === 1), `lines of each: ${lines}`);
      const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
      assert.ok(wide <= room, `${wide} px of ${room}`);
    });
  });

  test("the record prints by itself, and no certificate where nothing was passed", async () => {
    await visit("index.html", async (page) => {
      await practiced(page);
      await page.goto(diskUrl("progress.html"));
      await started(page, "progress");
      await printed(page);
      assert.ok(await page.locator('[data-role="rows"] tr').first().isVisible());
      assert.ok(await page.locator("#learner-name").isVisible(), "whose it is, or a line for the name");
      for (const hidden of ['[data-do="record"]', '[data-do="start-over"]', '[data-role="certificate"]']) assert.ok(await page.locator(hidden).first().isHidden(), hidden);
    });
  });
});

describe("without scripts a learner's page says what to do instead, and shows nothing that does not work", () => {
  for (const name of ["drill", "exam", "steps", "reading", "log", "progress"]) {
    test(name, async () => {
      await visit(`${name}.html`, async (page) => {
        assert.match(await page.locator("main noscript, main .tk-practice").first().innerText(), /[Ss]cripts/);
        for (const control of await page.locator("main :is(button, input, select, textarea)").all()) assert.ok(await control.isHidden(), await control.evaluate(($one) => $one.outerHTML));
      }, { javaScriptEnabled: false });
    });
  }
});
