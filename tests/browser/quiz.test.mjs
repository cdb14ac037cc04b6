// Questions one at a time in a real browser: feedback at once in practice, at the end in a check that counts.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { PAGES, diskUrl, pagesWith, readPage } from "./site.mjs";

const QUIZZES = pagesWith('data-part="quiz"').flatMap((page) =>
  [...readPage(page).matchAll(/<section\b([^>]*\bdata-part="quiz"[^>]*)>/g)].map(([, markup]) => ({
    page,
    bank: markup.match(/data-bank="([^"]*)"/)[1],
    ask: Number(markup.match(/data-ask="(\d+)"/)[1]),
    counts: markup.includes("data-counts"),
  })),
);
const PRACTICE = QUIZZES.filter((quiz) => !quiz.counts);
const COUNTING = QUIZZES.filter((quiz) => quiz.counts);

/** Opens a quiz's page on a phone and hands over the quiz once the core has taken it over. */
function take(quiz, look, before) {
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

const begin = (part) => part.locator('[data-role="start"] button').click();
const count = (part) => part.locator(".tk-round__count").innerText();
const press = (part, chore) => part.locator(`[data-do="${chore}"]`).first().click();

test("the demo course has practice, and a check that counts with at least ten questions", () => {
  assert.ok(PRACTICE.length >= 5);
  assert.ok(COUNTING.some((quiz) => quiz.ask >= 10));
});

describe("practice: each question is answered at once, and the round ends in what sits", () => {
  for (const quiz of PRACTICE) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        for (let turn = 1; turn <= quiz.ask; turn += 1) {
          assert.equal(await count(part), `Question ${turn} of ${quiz.ask}`);
          const question = await asked(part);
          const parts = 1 + (question.authored.parts ?? []).length;
          await answer(part, question, true);
          await press(part, "check");
          const said = await part.locator(".tk-round__said").innerText();
          if (parts === 1) assert.match(said, /^Right/);
          else assert.ok(said.startsWith(`${parts} of ${parts} points`) && said.match(/^Right/gm).length === parts, said);
          await press(part, "next");
        }
        assert.match(await part.locator('[data-role="total"]').innerText(), new RegExp(`^${quiz.ask}\\s`));
        assert.equal(await page.evaluate(() => document.activeElement.dataset.role), "total", "the result has the focus");
        // The lesson around it is tested elsewhere.
        assert.deepEqual((await violations(page)).filter((one) => /tk-(quiz|round|total|score|missed|question|practice)/.test(one)), []);
      });
    });
  }
});

describe("practice: a first miss can be tried again, a second shows the answer and the lesson", () => {
  for (const quiz of PRACTICE) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        const question = await asked(part);
        await answer(part, question, false);
        await press(part, "check");
        const first = await part.locator(".tk-round__said").innerText();
        assert.match(first, /^Not yet\./);
        assert.match(first, /Try once more/);
        assert.equal(await part.locator(".tk-feedback__accepted, .tk-step").count(), 0, "the answer is not given away");
        await answer(part, question, false);
        await press(part, "check");
        assert.equal(await part.locator(".tk-feedback--wrong").count(), 1);
        assert.ok((await part.locator(".tk-feedback .tk-step, .tk-feedback__options li").count()) > 0, "with its working or its reasons");
        assert.match(await part.locator(".tk-read-on a").innerText(), /Read “.+” again/);
        assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "next");
        const sitting = JSON.parse(Object.entries(await kept(page)).find(([name]) => name.startsWith("sitting."))[1]);
        assert.deepEqual(sitting.answers.map((one) => one.try), [1, 2]);
        assert.match(sitting.answers[0].question, new RegExp(`^${quiz.bank}/`));
        assert.equal(sitting.answers[0].digest, question.authored.digest);
        // At the end what was missed is there as it was asked, with its steps or reasons.
        const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
        for (let turn = 1; turn < quiz.ask; turn += 1) {
          await press(part, "next");
          await answer(part, await asked(part), true);
          await press(part, "check");
        }
        await press(part, "next");
        const row = part.locator(".tk-missed li").first();
        const clean = (words) => words.replace(/\s+/g, " ").trim();
        assert.ok(clean(await row.innerText()).includes(clean(text)), `${clean(text)} in ${clean(await row.innerText())}`);
        await row.locator("summary").first().click();
        assert.ok((await row.locator(".tk-step, .tk-feedback__options li, .tk-feedback__accepted").count()) > 0);
      });
    });
  }
});

test("the usual mistake is named after a first miss, with what it does on the lawn and without the answer", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  await take(quiz, async (part) => {
    await begin(part);
    const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
    const [, ounces] = text.match(/catch\s(\d+)\sfl/);
    // The catch taken as if it had lasted a minute.
    await part.locator('[data-role="stage"] .tk-question__entry').fill(`${(Number(ounces) / 128).toFixed(3)} gal/min`);
    await press(part, "check");
    assert.match(await part.locator(".tk-again").innerText(), /minute/);
    assert.match(await part.locator(".tk-again").innerText(), /lawn/);
  });
});

test("on a phone a unit can be picked beside the answer, and none is chosen beforehand; with a mouse there is no such list", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  for (const hasTouch of [true, false]) {
    await open(
      diskUrl(quiz.page),
      async (page) => {
        const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
        await begin(part);
        const unit = part.locator('[data-role="stage"] .tk-question__unit');
        await unit.waitFor({ state: "attached" });
        assert.equal(await unit.isVisible(), hasTouch);
        assert.equal(await unit.inputValue(), "");
        if (!hasTouch) return;
        const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
        const [, ounces, seconds] = text.match(/catch\s(\d+)\sfl\soz\sin\s(\d+)\ss/);
        await part.locator('[data-role="stage"] .tk-question__entry').fill((Number(ounces) / 128 / (Number(seconds) / 60)).toFixed(3));
        await unit.selectOption("gal/min");
        // A number in words takes the unit that was picked; a unit that was typed wins over it.
        const entered = () => part.locator('[data-role="stage"] .tk-question__entry').evaluate(($entry) => window.entered($entry));
        const figures = await part.locator('[data-role="stage"] .tk-question__entry').inputValue();
        for (const [typed, taken] of [["two", "two gal/min"], ["two and a half, or so", "two and a half, or so gal/min"], ["2 gallons a minute", "2 gallons a minute"], ["two quarts", "two quarts"], ["no idea", "no idea"]]) {
          await part.locator('[data-role="stage"] .tk-question__entry').fill(typed);
          assert.equal(await entered(), taken);
        }
        await part.locator('[data-role="stage"] .tk-question__entry').fill(figures);
        const box = await unit.boundingBox();
        assert.ok(box.height >= 44 && box.x + box.width <= 360, `${JSON.stringify(box)} can be hit, and is in the page`);
        await press(part, "check");
        await part.locator(".tk-round__said").filter({ hasText: /\S/ }).waitFor();
        assert.match(await part.locator(".tk-round__said").innerText(), /Right/);
      },
      { viewport: { width: 360, height: 640 }, hasTouch, isMobile: hasTouch, reducedMotion: "reduce" },
    );
  }
});

test("an answer without its unit is asked about, and is no miss", async () => {
  await take(PRACTICE[0].bank === "check-catch" ? PRACTICE[0] : PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    await part.locator('[data-role="stage"] .tk-question__entry').fill("12");
    await page.keyboard.press("Enter");
    await part.locator('[data-role="ask"]').filter({ hasText: /\S/ }).waitFor();
    assert.equal(await part.locator(".tk-round__said").innerText(), "");
    assert.ok(!Object.keys(await kept(page)).some((name) => name.startsWith("sitting.")), "nothing is kept of it");
    const spoken = part.locator('[data-role="stage"] .tk-spoken[aria-live="polite"]').last();
    assert.match(await spoken.textContent(), /unit/);
    await answer(part, await asked(part), true);
    await page.keyboard.press("Enter");
    await part.locator('[data-do="next"]').waitFor();
    assert.equal(await spoken.textContent(), "", "what was asked is not said again once it is answered");
  });
});

test("the keyboard alone takes a whole round", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await part.locator('[data-role="start"] button').focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.className === "tk-round__count");
    await page.keyboard.press("Tab");
    await page.keyboard.type("97.3 gal/min");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.className), "tk-question__entry", "back in the field for the second try");
    await page.keyboard.type("98.9 gal/min");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Enter");
    assert.match(await count(part), /^Question 2 of/);
  });
});

test("a round that was left goes on where it was, with the same numbers", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    await answer(part, await asked(part), true);
    await press(part, "check");
    await press(part, "next");
    const second = await asked(part);
    await page.reload();
    await part.waitFor();
    assert.match(await part.locator('[data-role="start"] button').innerText(), /Continue with question 2/);
    await begin(part);
    assert.deepEqual(await asked(part), second);
  });
});

describe("a check that counts: no feedback before it is handed in, and all of it after", () => {
  for (const quiz of COUNTING) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        for (let turn = 1; turn <= quiz.ask; turn += 1) {
          await answer(part, await asked(part), turn > 2);
          assert.equal(await part.locator(".tk-feedback").count(), 0);
          if (turn < quiz.ask) await press(part, "next");
        }
        // What was answered first can still be changed.
        await part.locator('[data-to="0"]').click();
        await answer(part, await asked(part), true);
        await press(part, "hand-in");
        await press(part, "surely");
        const total = part.locator('[data-role="total"]');
        assert.match(await total.innerText(), new RegExp(`^${quiz.ask - 1}\\s+of ${quiz.ask} right`));
        assert.equal(await page.evaluate(() => document.activeElement.dataset.role), "total");
        assert.equal(await part.locator(".tk-reviewed__row").count(), quiz.ask, "every item can be looked at");
        assert.equal(await part.locator(".tk-missed li").count(), 1);
        await part.locator('.tk-missed a[href$="-item-2"]').click();
        assert.ok(await part.locator('[id$="-item-2"] .tk-feedback').isVisible());
        assert.match(await part.locator('[id$="-item-2"]').innerText(), /You answered/);
        assert.deepEqual(await violations(page), []);
      });
    });
  }
});

test("a check that counts keeps its answers over a reload", async () => {
  const quiz = COUNTING[0];
  await take(quiz, async (part, page) => {
    await begin(part);
    const first = await asked(part);
    await answer(part, first, true);
    await press(part, "next");
    await page.reload();
    await part.waitFor();
    await begin(part);
    await part.locator('[data-to="0"]').click();
    assert.deepEqual(await asked(part), first);
    assert.equal(await part.locator('.tk-paper__go[data-answered="yes"]').count(), 1);
  });
});

test("a lesson's check that is open in two tabs keeps the answers of both, and is handed in once", async () => {
  const quiz = COUNTING.find(({ page, ask }) => page.startsWith("lessons/") && ask >= 4);
  await take(quiz, async (part, page) => {
    await begin(part);
    await part.locator('[data-to="0"]').waitFor();
    const other = await page.context().newPage();
    await other.goto(diskUrl(quiz.page));
    const there = other.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await there.waitFor();
    await begin(there);
    for (const [tab, turn] of [[part, 0], [there, 1], [part, 2], [there, 3]]) {
      await tab.locator(`[data-to="${turn}"]`).click();
      await answer(tab, await asked(tab), true);
    }
    for (const tab of [part, there]) for (const turn of [0, 1, 2, 3]) await tab.locator(`[data-to="${turn}"][data-answered="yes"]`).waitFor();
    await page.reload();
    await part.waitFor();
    await begin(part);
    await part.locator('[data-to="3"][data-answered="yes"]').waitFor();
    assert.equal(await part.locator('[data-answered="yes"]').count(), 4, "and after a reload");
    await press(there, "hand-in");
    await press(there, "surely");
    await there.locator('[data-role="total"]').waitFor();
    assert.match(await there.locator('[data-role="total"]').innerText(), new RegExp(`^4\\s+of ${quiz.ask} right`));
    // The older tab hands in nothing and says why.
    await part.locator('[data-role="trouble"]').filter({ hasText: /in another tab/ }).waitFor();
    assert.equal(await part.locator('[data-do="hand-in"]:visible').count(), 0);
    const sat = Object.entries(await kept(page)).filter(([name]) => name.startsWith("sitting.")).map(([, text]) => JSON.parse(text));
    assert.equal(sat.length, 1);
    assert.equal(sat[0].answers.length, quiz.ask, "each question once");
    await other.close();
  });
});

test("each question of a check on the whole course names the page that teaches it, not the check", async () => {
  for (const quiz of COUNTING.filter(({ page }) => page.startsWith("lessons/"))) {
    await take(quiz, async (part) => {
      await begin(part);
      await press(part, "hand-in");
      await press(part, "surely");
      await part.locator('[data-role="total"]').waitFor();
      const links = await part.locator(".tk-missed li").evaluateAll(($rows) => $rows.map(($row) => $row.querySelectorAll("a")[1].getAttribute("href")));
      assert.equal(links.length, quiz.ask);
      for (const href of links) {
        // A calculator that no lesson is about is taught by its own page.
        assert.match(href, /^\.\.\/(lessons|work)\/.+\.html$/);
        assert.notEqual(href, `../${quiz.page}`);
        assert.ok(PAGES.includes(href.slice(3)), href);
      }
      assert.ok(new Set(links).size > 1);
    });
  }
});

test("markup typed as an answer never runs", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    for (let turn = 0; turn < 2; turn += 1) {
      await part.locator('[data-role="stage"] .tk-question__entry').fill('<img src=x onerror="window.ran=1"> 5 gal/min');
      await press(part, "check");
    }
    await page.waitForTimeout(100);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
});

test("a link with a seed brings the same questions to another browser", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  const seen = [];
  for (let turn = 0; turn < 2; turn += 1) {
    await take(quiz, async (part, page) => {
      await page.goto("about:blank");
      await page.goto(`${diskUrl(quiz.page)}#quiz-${quiz.bank}?seed=77`);
      await part.waitFor();
      seen.push(await asked(part));
    });
  }
  assert.deepEqual(seen[0], seen[1]);
});

test("where the browser keeps nothing the quiz works all the same, and says so", async () => {
  await take(
    PRACTICE.find((one) => one.bank === "check-catch"),
    async (part) => {
      assert.match(await part.locator('[data-role="trouble"]').innerText(), /does not store anything/);
      await begin(part);
      await answer(part, await asked(part), true);
      await press(part, "check");
      assert.match(await part.locator(".tk-round__said").innerText(), /^Right/);
    },
    () => { Object.defineProperty(globalThis, "localStorage", { get() { throw new DOMException("refused", "SecurityError"); } }); },
  );
});

test("a kept check with 150,000 numbers in an answer goes on at once, with all its buttons", async () => {
  const quiz = COUNTING[0];
  await take(quiz, async (part, page) => {
    await begin(part);
    await page.evaluate(() => {
      for (const [name, text] of Object.entries(localStorage)) {
        if (!name.includes(".sitting.")) continue;
        const sitting = JSON.parse(text);
        if (!sitting.plan || !Array.isArray(sitting.plan.answers)) continue;
        sitting.plan.answers = sitting.plan.answers.map((_, index) => (index < 4 ? "0,".repeat(150_000) : ""));
        localStorage.setItem(name, JSON.stringify(sitting));
      }
    });
    // A page that is left saves what is on it; here it has to forget that first.
    await page.evaluate(() => { addEventListener("pagehide", (event) => event.stopImmediatePropagation(), { capture: true }); });
    await page.reload();
    await part.waitFor();
    await part.locator('[data-role="start"] button').click();
    for (let turn = 0; turn < 4; turn += 1) {
      await part.locator('[data-do="next"]').click();
      // An answer without a unit is asked about once.
      if ((await count(part)).includes(`Question ${turn + 1} `)) await part.locator('[data-do="next"]').click();
      assert.match(await count(part), new RegExp(`Question ${turn + 2} `));
    }
    assert.ok(await part.locator('[data-do="hand-in"]').isVisible());
  });
});

test("a perfect score is reported at the top, with nothing listed as missed; one that is not lists each miss with its lesson", async () => {
  const quiz = COUNTING[0];
  for (const missed of [0, 2]) {
    await take(quiz, async (part, page) => {
      await begin(part);
      for (let turn = 1; turn <= quiz.ask; turn += 1) {
        await answer(part, await asked(part), turn > missed);
        if (turn < quiz.ask) await press(part, "next");
      }
      await press(part, "hand-in");
      await press(part, "surely");
      const total = part.locator('[data-role="total"]');
      assert.match(await total.innerText(), new RegExp(`^${quiz.ask - missed}\\s+of ${quiz.ask} right`));
      assert.equal(await part.locator('[data-role="stage"] > :first-child').getAttribute("data-role"), "total", "it is at the top");
      assert.equal(/Every one right/.test(await total.innerText()), missed === 0);
      const rows = part.locator(".tk-missed li");
      assert.equal(await rows.count(), missed);
      for (const row of await rows.all()) {
        const links = await row.locator("a").evaluateAll(($all) => $all.map(($a) => $a.getAttribute("href")));
        assert.match(links[0], /^#quiz-[\w-]+-item-\d+$/);
        assert.ok(links.length === 2 && (links[1].endsWith(".html") || (await page.locator(links[1]).count()) === 1), `${links}`);
      }
      assert.equal(await page.locator(".tk-missed").count(), missed ? 1 : 0);
    });
  }
});
