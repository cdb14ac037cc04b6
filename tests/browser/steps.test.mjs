// Step by step practice in a real browser: a pre-test, four stages from one template, a reason for a step in every
// example, and a slip to find after a right one.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { PHONE, held, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";
import { chooseWhy, figureOf, fillSteps, listening, rightLines } from "./steps.mjs";

const STAGE = '[data-role="stage"]';
const press = (page, chore) => page.locator(`${STAGE} [data-do="${chore}"]`).click();
const head = (page) => page.locator(`${STAGE} .tk-round__count`).innerText();

function visit(look) {
  return open("about:blank", async (page) => {
    await listening(page);
    await page.goto(diskUrl("steps.html"));
    const part = page.locator('[data-part="steps"][data-started]');
    await part.waitFor();
    await look(page, part);
  }, { viewport: PHONE, reducedMotion: "reduce" });
}

/** Works a whole problem without help. */
async function unaided(page, part, right) {
  await answer(part, await asked(part), right);
  await press(page, "checked");
  await press(page, "forward");
}

test("two right without help on the pre-test skip the examples, and the list says so", async () => {
  await visit(async (page, part) => {
    await part.locator('[data-calculator="swath-timing"]').click();
    assert.match(await head(page), /Two right, and you can skip the examples/);
    await unaided(page, part, true);
    assert.equal(await page.locator(".tk-faded").count(), 0);
    await unaided(page, part, true);
    assert.match(await page.locator(`${STAGE} .tk-total__words`).innerText(), /^Two right without help/);
    await press(page, "leave");
    assert.match(await part.locator('[data-calculator="swath-timing"]').innerText(), /two right without help/);
  });
});

test("a miss on the pre-test leads through all four stages, a slip to find, and two right without help", async () => {
  await visit(async (page, part) => {
    await part.locator('[data-calculator="swath-timing"]').click();
    await unaided(page, part, false);
    assert.match(await head(page), /full example/);
    const shown = [];
    for (const blanks of [0, 1, 2]) {
      await page.locator(`${STAGE} .tk-faded`).waitFor();
      shown.push(await page.locator(`${STAGE} .tk-question__text`).innerText());
      assert.equal(await page.locator(`${STAGE} .tk-step--blank`).count(), Math.min(blanks, (await rightLines(page)).length));
      await fillSteps(page);
      await chooseWhy(page);
      await press(page, "checked");
      await press(page, "forward");
      if (blanks === 1) {
        // What was reached is there after a reload.
        await page.reload();
        await part.waitFor();
        await part.locator('[data-calculator="swath-timing"]').click();
        await page.locator(`${STAGE} .tk-faded`).waitFor();
        assert.match(await head(page), /last two steps/);
      }
    }
    assert.equal(new Set(shown).size, 3, "fresh numbers each time");
    if (await page.locator(`${STAGE} .tk-slip`).count()) {
      await findSlip(page);
      await press(page, "forward");
    }
    assert.match(await head(page), /without help/);
    for (let turn = 0; turn < 2; turn += 1) await unaided(page, part, true);
    assert.match(await page.locator(`${STAGE} .tk-total__words`).innerText(), /^Two right without help/);
    // More slips, each after a right example.
    await press(page, "slips");
    await page.locator(`${STAGE} .tk-faded`).waitFor();
    assert.equal(await page.locator(`${STAGE} .tk-step--blank`).count(), 0);
    await chooseWhy(page);
    await press(page, "checked");
    await press(page, "forward");
    await page.locator(`${STAGE} .tk-slip`).waitFor();
    await findSlip(page);
  });
});

/** Marks the wrong line: first with a figure that lacks its unit, then with the right one. */
async function findSlip(page) {
  const wrong = await page.locator(`${STAGE} .tk-slip .tk-step`).evaluateAll(($lines) => $lines.map(($line) => $line.textContent.replace(/\s+/g, " ").trim()));
  const lines = await rightLines(page);
  const at = wrong.findIndex((line, place) => line !== lines[place]);
  assert.ok(at >= 0, `${wrong} ${lines}`);
  await page.locator(`${STAGE} input[name="slip"]`).nth(at).check();
  await page.locator("#slip-figure").fill("5");
  await press(page, "checked");
  assert.match(await page.locator('[data-role="ask"]').innerText(), /unit/, "a figure without its unit is no miss");
  await page.locator("#slip-figure").fill(figureOf(lines[at]));
  await press(page, "checked");
  const said = await page.locator(`${STAGE} .tk-round__said`).innerText();
  assert.match(said, /You found it/);
  assert.ok(said.replace(/\s+/g, " ").includes(figureOf(lines[at])), `the corrected number: ${said}`);
  assert.ok(said.replace(/\s+/g, " ").trim().includes(figureOf(lines[lines.length - 1])), `and the working from there on, to the answer: ${said}`);
  assert.equal(await page.locator(`${STAGE} .tk-round__said .tk-steps`).getAttribute("start"), String(at + 1));
}

test("the usual slip in a step left blank is named, and a missed pre-test leaves one way on", async () => {
  await visit(async (page, part) => {
    await part.locator('[data-calculator="catch-test"]').click();
    await answer(part, await asked(part), false);
    assert.equal(await page.locator('[data-do="examples"]').count(), 1);
    await press(page, "checked");
    assert.equal(await page.locator('[data-do="examples"]').count(), 0);
    // A slip that the core knows, in the last step: a catch taken for a minute's, or half or double of what it was.
    await page.evaluate(() => LEARN.setNote("steps.catch-test", { stage: 1, right: 0, tested: true }));
    for (let turn = 0; turn < 20; turn += 1) {
      await press(page, "leave");
      await part.locator('[data-calculator="catch-test"]').click();
      await page.locator(`${STAGE} .tk-faded`).waitFor();
      const right = figureOf((await rightLines(page)).at(-1));
      const typed = await page.evaluate((right) => {
        const [number, ...unit] = right.split(" ");
        const tried = [1 / 2, 1 / 3, 2 / 3, 3 / 4, 1 / 60, 2, 3, 4, 60, 128].map((factor) => `${(Number(number.replaceAll(",", "")) * factor).toFixed(4)} ${unit.join(" ")}`);
        return tried.find((one) => JSON.parse(wasm_bindgen.score(window.lastAsked.question, window.lastAsked.draw, JSON.stringify(one))).mistake);
      }, right);
      if (!typed) continue;
      await page.locator(`${STAGE} input[data-step]`).last().fill(typed);
      await chooseWhy(page);
      await press(page, "checked");
      const said = page.locator(`${STAGE} .tk-round__said`);
      assert.ok(await said.locator(".tk-feedback__did").isVisible());
      assert.ok(!(await said.innerText()).includes(right), "the answer is not given away");
      assert.equal(await said.locator(".tk-step").count(), 0);
      return;
    }
    assert.fail("no such example was drawn");
  });
});

test("a slip that is not found is shown, with the corrected number", async () => {
  await visit(async (page, part) => {
    await page.evaluate(() => LEARN.setNote("steps.swath-timing", { stage: 2, right: 0, tested: true }));
    await part.locator('[data-calculator="swath-timing"]').click();
    await page.locator(`${STAGE} .tk-faded`).waitFor();
    await fillSteps(page);
    await chooseWhy(page);
    await press(page, "checked");
    await press(page, "forward");
    await page.locator(`${STAGE} .tk-slip`).waitFor();
    await press(page, "checked");
    assert.match(await page.locator('[data-role="ask"]').innerText(), /Mark the line/);
    // Which line is wrong decides in what its figure is; a figure of another kind is asked about and is no miss.
    await page.locator(`${STAGE} input[name="slip"]`).first().check();
    for (const unit of ["s", "ft2", "ft2/min", "min/1000 ft2"]) {
      await page.locator("#slip-figure").fill(`987654 ${unit}`);
      await press(page, "checked");
      if (!(await page.locator('[data-role="ask"]').innerText()).trim()) break;
    }
    await press(page, "checked");
    assert.match(await page.locator(`${STAGE} .tk-round__said`).innerText(), /Here it is/);
    assert.ok(await page.locator(`${STAGE} .tk-round__said .tk-step`).isVisible());
  });
});

test("an example asks for a reason; steps left blank are each asked for their unit and marked once everything is there", async () => {
  await visit(async (page, part) => {
    await part.locator('[data-calculator="catch-test"]').click();
    await page.locator('[data-do="examples"]').click();
    await page.locator(".tk-why").waitFor();
    assert.deepEqual(await violations(page), []);
    await press(page, "checked");
    assert.match(await page.locator(".tk-round__said").innerText(), /Choose one/);
    const right = await page.locator(".tk-why").getAttribute("data-right");
    await page.locator(`.tk-why input:not([value="${right}"])`).first().check();
    await press(page, "checked");
    assert.match(await page.locator(".tk-round__said").innerText(), /Not that one/);
    await chooseWhy(page);
    await press(page, "checked");
    await press(page, "forward");
    const blank = page.locator(".tk-step--blank");
    assert.equal(await blank.count(), 1);
    await blank.locator("input").fill("5");
    await page.keyboard.press("Enter");
    assert.match(await blank.locator(".tk-question__ask").innerText(), /unit/);
    await blank.locator("input").fill("3 psi");
    await page.keyboard.press("Enter");
    assert.match(await blank.locator(".tk-question__ask").innerText(), /pressure/);
    const [entry, ask] = [await blank.locator("input").boundingBox(), await blank.locator(".tk-question__ask").boundingBox()];
    assert.ok(entry.height >= 44 && entry.width >= 150, `the field keeps its size beside what is asked: ${entry.width} by ${entry.height}`);
    assert.ok(ask.y >= entry.y + entry.height || ask.x >= entry.x + entry.width, "and is not written over");
    const far = figureOf((await rightLines(page))[Number(await blank.locator("input").getAttribute("data-step"))]).replace(/^[−\d][\d,.]*/, "999999");
    const spoken = page.locator('[data-role="spoken"]');
    assert.match(await spoken.textContent(), /needs a number and a unit/);
    await blank.locator("input").fill(far);
    await chooseWhy(page);
    await blank.locator("input").focus();
    await page.keyboard.press("Enter");
    assert.match(await blank.locator(".tk-question__ask").innerText(), /Not yet/);
    assert.equal(await spoken.textContent(), "", "what was missing is not said any longer");
    await page.keyboard.press("Enter");
    assert.ok((await page.locator(".tk-round__said .tk-step").count()) > 0, "the working is below after the second miss");
    assert.deepEqual(await violations(page), []);
    await press(page, "leave");
    const record = await page.evaluate(() => LEARN.record("t", "d").sittings[0]);
    assert.deepEqual(record.answers.map((one) => [one.part, one.try]), [["steps-1", 1], ["steps-1", 2]]);
  });
});

test("every kind of calculation leaves one step blank, then two where it has two, says which it does, and ends with a slip to find", async () => {
  await visit(async (page, part) => {
    const kinds = await part.locator("[data-calculator]").evaluateAll((all) => all.map((one) => one.dataset.calculator));
    assert.equal(kinds.length, 18);
    const heads = {};
    for (const kind of kinds) {
      await page.evaluate((kind) => LEARN.setNote(`steps.${kind}`, { stage: 1, right: 0, tested: true }), kind);
      await part.locator(`[data-calculator="${kind}"]`).click();
      heads[kind] = [];
      for (const blanks of [1, 2]) {
        await page.locator(`${STAGE} :is(.tk-faded, .tk-slip)`).waitFor();
        if (await page.locator(`${STAGE} .tk-slip`).count()) break;
        const [said, steps] = [await head(page), (await rightLines(page)).length];
        heads[kind].push(said);
        assert.equal(await page.locator(`${STAGE} .tk-step--blank`).count(), blanks, kind);
        assert.match(said, steps > blanks ? (blanks === 1 ? /last step is yours/ : /last two steps are yours/) : steps === 1 ? /have one step/ : /has two steps, and both/, kind);
        await fillSteps(page);
        await chooseWhy(page);
        await press(page, "checked");
        await press(page, "forward");
      }
      await page.locator(`${STAGE} .tk-slip`).waitFor();
      await press(page, "leave");
    }
    const plain = kinds.filter((kind) => !(heads[kind].length === 2 && /last two/.test(heads[kind][1])));
    assert.deepEqual(plain, ["active-ingredient", "unit-conversion"], "the others show a step above the two that are left blank");
  });
});

test("a kind that was chosen first and loads last does not take the place of the one that is being worked", async () => {
  const server = await serve(SITE);
  await open(server.url("steps.html"), async (page) => {
    const part = page.locator('[data-part="steps"][data-started]');
    await part.waitFor();
    const release = await held(page, "core-catch-test.js");
    await part.locator('[data-calculator="catch-test"]').click();
    await part.locator('[data-calculator="swath-timing"]').click();
    const question = await asked(part);
    await part.locator(`${STAGE} .tk-question__entry`).first().fill("12 s");
    release();
    await page.evaluate(() => needParts(["catch-test", "mistakes-catch-test"]));
    assert.deepEqual(await asked(part), question);
    assert.equal(await part.locator(`${STAGE} .tk-question__entry`).first().inputValue(), "12 s");
  }, { viewport: PHONE, reducedMotion: "reduce" });
  await server.close();
});
