// A quiz is taken in the browser, and the core's verdicts add up to a score.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl, pagesWith, readPage } from "./site.mjs";

const QUIZZES = pagesWith('data-part="quiz"').flatMap((page) =>
  [...readPage(page).matchAll(/<section\b[^>]*\bdata-part="quiz"[^>]*\bdata-bank="([^"]*)"/g)].map(([, bank]) => ({ page, bank })),
);
const LONGEST_AT_LEAST = 10;

/** Opens a quiz's page on a phone and hands over the quiz once the core has taken it over. */
function take(quiz, look) {
  const options = { viewport: PHONE, reducedMotion: "reduce" };
  return open(
    diskUrl(quiz.page),
    async (page) => {
      const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
      await part.waitFor();
      await begin(part);
      await look(part, page);
    },
    options,
  );
}

/** In a lesson the questions wait until they are asked for. */
async function begin(part) {
  const button = part.locator('[data-do="begin"]');
  if ((await button.count()) > 0 && (await button.isVisible())) await button.click();
}

test("in a lesson the questions wait until they are asked for", async () => {
  const quiz = QUIZZES.find(({ page }) => page.startsWith("lessons/"));
  await open(diskUrl(quiz.page), async (page) => {
    const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await part.waitFor();
    assert.equal(await part.locator(".tk-question").first().isVisible(), false);
    await part.locator('[data-do="begin"]').click();
    assert.equal(await part.locator(".tk-question").first().isVisible(), true);
    assert.equal(await part.locator('[data-do="begin"]').isVisible(), false);
  }, { viewport: PHONE });
});

test("the demo course has a quiz of at least ten questions", async () => {
  let longest = 0;
  for (const quiz of QUIZZES) {
    await take(quiz, async (part) => {
      longest = Math.max(longest, (await questions(part)).length);
    });
  }
  assert.ok(LONGEST_AT_LEAST <= longest, `the longest asks ${longest}`);
});

describe("a quiz answered rightly is passed", () => {
  for (const quiz of QUIZZES) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        const asked = await questions(part);
        for (const question of asked) await answer(part, question, true);
        await part.locator('[data-do="check"]').click();
        assert.deepEqual(await part.locator('[data-role="ask"]').allInnerTexts(), asked.map(() => ""));
        assert.deepEqual(await part.locator(".tk-feedback--wrong").allInnerTexts(), []);
        assert.equal(await part.locator(".tk-feedback--right").count(), asked.length);
        assert.equal(await part.locator('[data-role="right"]').innerText(), String(asked.length));
        assert.ok(await part.locator('[data-role="passed"]').isVisible(), "it says that the quiz is passed");
        const need = Number(await part.getAttribute("data-need"));
        assert.ok(0 < need && need <= asked.length, "a whole number of right answers passes");
        assert.deepEqual(await violations(page), []);
      });
    });
  }
});

describe("a quiz answered wrongly is not passed, each answer is explained, and it can be taken again", () => {
  for (const quiz of QUIZZES) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        const asked = await questions(part);
        for (const question of asked) await answer(part, question, false);
        await part.locator('[data-do="check"]').click();
        const said = await part.locator('[data-role="feedback"]').allInnerTexts();
        assert.equal(said.length, asked.length);
        for (const text of said) assert.match(text, /\S+\s+\S+/);
        assert.equal(await part.locator(".tk-feedback--wrong").count(), asked.length);
        assert.equal(await part.locator('[data-role="right"]').innerText(), "0");
        assert.ok(await part.locator('[data-role="failed"]').isVisible(), "it says that the quiz is not passed");
        assert.deepEqual(await violations(page), []);

        await part.locator('[data-do="again"]').click();
        const fresh = await questions(part);
        assert.notDeepEqual(drawsOf(fresh), drawsOf(asked), "with other numbers");
        assert.equal(await part.locator(".tk-feedback--wrong, .tk-feedback--right").count(), 0, "from a fresh start");
      });
    });
  }
});

test("an answer without its unit is asked about, not marked wrong", async () => {
  await take(longestQuiz(), async (part) => {
    const question = part.locator(".tk-question--number").first();
    await question.locator(".tk-question__entry").fill("12");
    await part.locator('[data-do="check"]').click();
    await question.locator('[data-role="ask"]').filter({ hasText: /\S/ }).waitFor();
    assert.equal(await question.locator('[data-role="feedback"] .tk-feedback').count(), 0);
    assert.equal(await question.locator(".tk-question__entry").isEnabled(), true, "it can still be answered");
  });
});

test("a link to a quiz brings the same questions to another browser", async () => {
  const quiz = longestQuiz();
  let address;
  let asked;
  await take(quiz, async (part, page) => {
    await part.locator('[data-do="link"]').click();
    await page.waitForFunction(() => location.hash.length > 1);
    address = new URL(page.url()).hash;
    asked = await part.locator('[data-role="questions"]').innerText();
  });
  await take(quiz, async (part, page) => {
    await page.goto("about:blank");
    await page.goto(diskUrl(quiz.page) + address);
    await part.waitFor();
    assert.equal(await part.locator('[data-role="questions"]').innerText(), asked);
  });
});

test("markup typed as an answer never runs", async () => {
  await take(longestQuiz(), async (part, page) => {
    for (const entry of await part.locator(".tk-question__entry").all()) {
      await entry.fill('<img src=x onerror="window.ran=1"> 5 gal');
    }
    await part.locator('[data-do="check"]').click();
    await page.waitForTimeout(100);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
});

test("beginning again asks first, in the page, where answers would be lost", async () => {
  await take(longestQuiz(), async (part, page) => {
    const first = await questions(part);
    await part.locator('[data-do="again"]').click();
    const fresh = await questions(part);
    assert.notDeepEqual(drawsOf(fresh), drawsOf(first), "nothing was answered: no question");
    assert.equal(await focused(page, '[data-role="rule"]'), true, "and the reader is at its beginning");

    const entry = part.locator(".tk-question__entry").first();
    await entry.fill("12 gal");
    const again = part.locator('[data-do="again"]');
    await again.focus();
    await page.keyboard.press("Enter");
    assert.equal(await focused(page, '[data-do="stay"]'), true, "the way back has the focus");
    assert.equal(await part.getByRole("group", { name: /answers so far will be lost/ }).count(), 1);
    assert.deepEqual(await violations(page), []);
    await page.keyboard.press("Escape");
    assert.equal(await focused(page, '[data-do="again"]'), true, "back where it was asked");
    assert.equal(await entry.inputValue(), "12 gal");

    await page.keyboard.press("Enter");
    await page.keyboard.press("Enter");
    assert.equal(await entry.inputValue(), "12 gal", "kept by the button too");
    assert.equal(await part.locator('[data-role="sure"]').isVisible(), false);

    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    assert.deepEqual(await part.locator(".tk-question__entry").evaluateAll(($all) => $all.map(($one) => $one.value).filter(Boolean)), []);
    assert.notDeepEqual(drawsOf(await questions(part)), drawsOf(fresh));
    assert.equal(await focused(page, '[data-role="rule"]'), true);
  });
});

test("the score takes the focus, is named by its figures, and is no live region besides", async () => {
  await take(longestQuiz(), async (part, page) => {
    await part.locator(".tk-question__entry").first().fill("12");
    await part.locator('[data-do="check"]').click();
    await part.locator('[data-do="finish"]').focus();
    await page.keyboard.press("Enter");
    assert.equal(await focused(page, '[data-role="total"]'), true);
    const need = await part.getAttribute("data-need");
    const ask = await part.getAttribute("data-ask");
    const named = part.getByRole("group", { name: new RegExp(`^Right 0 Asked ${ask} Needed to pass ${need} Not passed yet`) });
    assert.equal(await named.count(), 1);
    assert.equal(await part.locator('[data-role="total"]').evaluate(($total) => $total.closest("[role=status], [aria-live]")), null);
    assert.equal(await part.locator('[data-role="total"]').evaluate(($total) => {
      const box = $total.getBoundingClientRect();
      return 0 <= box.top && box.top < innerHeight;
    }), true, "and in sight");
  });
});

describe("an unfinished quiz is there again after a reload", () => {
  for (const quiz of QUIZZES) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        const asked = await questions(part);
        for (const question of asked.slice(1)) await answer(part, question, false);
        const given = await answers(part);
        await reload(part, page);
        assert.deepEqual(await questions(part), asked, "the same questions");
        assert.deepEqual(await answers(part), given, "with their answers");
        if (asked.length > 1) assert.ok(await part.locator('[data-role="kept"]').isVisible(), "and it says so");

        await part.locator('[data-do="check"]').click();
        const scored = await part.locator(".tk-feedback--wrong").count();
        await reload(part, page);
        assert.deepEqual(await answers(part), given);
        assert.equal(await part.locator(".tk-feedback--wrong").count(), scored, "what was scored stays scored");
        assert.equal(await part.locator(".tk-question__answer :enabled:is(input, button)").count() > 0, true, "the open one can be answered");

        await answer(part, asked[0], false);
        await part.locator('[data-do="check"]').click();
        assert.equal(await part.locator('[data-role="right"]').innerText(), "0");
        await reload(part, page);
        assert.deepEqual((await answers(part)).filter((one) => /\S/.test(one)), [], "a finished one begins anew");
      });
    });
  }
});

test("a link with a seed wins over an unfinished quiz, and a course that has changed begins anew", async () => {
  const quiz = longestQuiz();
  await take(quiz, async (part, page) => {
    await part.locator(".tk-question__entry").first().fill("12 gal");
    const id = await part.getAttribute("id");
    await page.goto("about:blank");
    await page.goto(`${diskUrl(quiz.page)}#${id}?seed=77`);
    await part.waitFor();
    const linked = await questions(part);
    assert.deepEqual(drawsOf(linked), await part.evaluate((_, all) => all.map((one) => wasm_bindgen.draw_at(JSON.stringify(one.authored), 77)), linked));
    assert.deepEqual((await answers(part)).filter((one) => /\S/.test(one)), []);

    await part.locator(".tk-question__entry").first().fill("13 gal");
    await reload(part, page);
    assert.ok((await answers(part)).includes("13 gal"), "the link's own questions keep their answers");

    const [[key, kept]] = await page.evaluate(() => Object.entries(localStorage).filter(([name]) => name.includes(".quiz.")));
    const otherwise = kept.replace('"asked":"', '"asked":"Otherwise: ');
    for (const text of [otherwise, "{", '"x"', "null", '{"seed":77,"draws":[0],"answers":[[]],"closed":[true]}', kept.replace(/"answers":\[[^\]]*\]/, '"answers":{"0":1}')]) {
      await page.evaluate(([name, value]) => localStorage.setItem(name, value), [key, text]);
      await reload(part, page);
      assert.equal((await questions(part)).length, Number(await part.getAttribute("data-ask")), text.slice(0, 40));
      assert.deepEqual((await answers(part)).filter((one) => /\S/.test(one)), [], text.slice(0, 40));
    }
  });
});

test("where the browser keeps nothing the quiz works all the same", async () => {
  const quiz = longestQuiz();
  await open("about:blank", async (page) => {
    await page.addInitScript(() => {
      Object.defineProperty(globalThis, "localStorage", { get() { throw new DOMException("refused", "SecurityError"); } });
    });
    await page.goto(diskUrl(quiz.page));
    const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await part.waitFor();
    await part.locator(".tk-question__entry").first().fill("12");
    await part.locator('[data-do="check"]').click();
    await part.locator('[data-do="finish"]').click();
    assert.equal(await part.locator('[data-role="right"]').innerText(), "0");
    await part.locator('[data-do="again"]').click();
    assert.equal(await part.locator(".tk-feedback").count(), 0);
  });
});

/** Whether the focus is on this part of the quiz. */
function focused(page, selector) {
  return page.evaluate((wanted) => document.activeElement.matches(wanted), selector);
}

/** Loads the page anew, and waits for the core to take the quiz over. */
async function reload(part, page) {
  await page.reload();
  await part.waitFor();
}

/** What is answered, one text a question. */
function answers(part) {
  return part.locator('[data-part="question"]').evaluateAll(($all) =>
    $all.map(($question) => {
      const $entry = $question.querySelector(".tk-question__entry");
      if ($entry) return $entry.value;
      const $order = $question.querySelector("[data-moved]");
      const $chosen = [...$question.querySelectorAll("input:checked")];
      return ($order ? [...$order.children].map(($one) => $one.dataset.value) : $chosen.map(($one) => $one.value)).join();
    }),
  );
}

/** The bank with the most questions, which is sure to ask for numbers. */
function longestQuiz() {
  const asks = ({ page, bank }) =>
    Number(readPage(page).match(new RegExp(`data-bank="${bank}"[^>]*data-ask="(\\d+)"`))?.[1] ?? 0);
  return QUIZZES.toSorted((one, other) => asks(other) - asks(one))[0];
}

/** The questions asked, with what the authors wrote about each. */
function questions(part) {
  return part.evaluate(($quiz) => {
    const bank = JSON.parse($quiz.querySelector('[data-role="bank"]').textContent);
    return [...$quiz.querySelectorAll('[data-part="question"]')].map(($question) => ({
      id: $question.dataset.question,
      kind: $question.dataset.kind,
      draw: Number($question.dataset.draw),
      authored: bank.questions.find((question) => question.id === $question.dataset.question),
    }));
  });
}

/** Which numbers each question is asked with. */
function drawsOf(all) {
  return all.map((one) => one.draw);
}

/** Answers one question as a learner would, rightly or wrongly. */
async function answer(part, question, right) {
  const place = part.locator(`[data-part="question"][data-question="${question.id}"]`);
  if (question.kind === "number") {
    const accepted = await acceptedValue(part, question);
    const [number, ...unit] = accepted.split(" ");
    const wrong = `${Number(number.replaceAll(",", "")) * 40 + 7} ${unit.join(" ")}`;
    await place.locator(".tk-question__entry").fill(right ? accepted : wrong);
  } else if (question.kind === "order") {
    await putInOrder(place, question.authored.options.length, right);
  } else {
    for (const index of chosen(question, right)) await place.locator(`.tk-choice__mark[value="${index}"]`).check();
  }
}

/** Which options to choose. Where every one of several is right, one of them alone is wrong. */
function chosen(question, right) {
  const such = question.authored.options.flatMap((option, index) => ((option.right === true) === right ? [index] : []));
  if (such.length === 0) return [0];
  return question.kind === "one" ? such.slice(0, 1) : such;
}

/** What the core takes for right, learned from what it says to an answer that cannot be. */
function acceptedValue(part, question) {
  return part.evaluate((_, { authored, draw }) => {
    /* global wasm_bindgen */
    // The author may have named the unit; where not, one of these is of the right kind.
    for (const unit of [authored["answer-in"] ?? "gal", "gal", "gal/min", "s", "ft2", "ft2/min", "ft", "gal/1000 ft2", "%", "lb", "min"]) {
      const said = JSON.parse(wasm_bindgen.score(JSON.stringify(authored), draw, JSON.stringify(`987654321 ${unit}`)));
      if (said.right !== false) continue;
      const $said = new DOMParser().parseFromString(said.html, "text/html");
      return $said.querySelector(".tk-feedback__accepted").textContent.replace(/\s+/g, " ").trim();
    }
    throw new Error(`no unit is taken as an answer to ${authored.id}`);
  }, question);
}

/** Sorts the options with the buttons beside them; for a wrong order, the right one turned round. */
async function putInOrder(place, count, right) {
  // An order that nobody touched is no answer, and the dealt one may be the one that is wanted here.
  await place.locator('[data-do="down"]').first().click();
  for (let position = 0; position < count; position += 1) {
    const value = String(right ? position : count - 1 - position);
    for (let moves = 0; moves < count; moves += 1) {
      const order = await place.locator(".tk-order__item").evaluateAll(($items) => $items.map(($item) => $item.dataset.value));
      if (order.indexOf(value) <= position) break;
      await place.locator(`.tk-order__item[data-value="${value}"] [data-do="up"]`).click();
    }
  }
}
