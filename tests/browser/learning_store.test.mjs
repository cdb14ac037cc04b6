// Nothing a learner did is lost: reload, a full or refused store, two tabs, stores that cannot be read or are newer, a
// clock set back, and progress carried as a file.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { answer, asked, kept, sittingsOf } from "./asking.mjs";
import { open } from "./browser.mjs";
import { LESSON, PROGRESS, QUIZ, practice, visit } from "./stored.mjs";

test("the printed record holds what the file holds, and a certificate asks for a name first", async () => {
  await visit(LESSON, async (page) => {
    await practice(page);
    const [sat] = await sittingsOf(page);
    await page.goto(PROGRESS);
    await page.locator('[data-part="progress"][data-started]').waitFor();
    await page.locator("#learner-name").fill("Ana <b>");
    await page.locator('[data-do="rename"]').click();
    const course = JSON.parse(await page.locator('[data-role="course"]').textContent());
    // A choice is printed in words, which came with the first touch.
    await page.waitForFunction(() => typeof TANKSIDE_QUESTIONS !== "undefined");
    await page.evaluate(() => { dispatchEvent(new Event("beforeprint")); });
    await page.emulateMedia({ media: "print" });
    const sheet = await page.locator(".tk-record").innerText();
    for (const text of ["Ana <b>", course.title, course.digest, String(new Date().getFullYear())]) assert.ok(sheet.includes(text), text);
    const rows = await page.locator(".tk-record__answers tbody tr").evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.textContent)));
    assert.deepEqual(rows.map((row) => row.slice(0, 5)), sat.answers.map((one) => [one.question, one.digest, String(one.draw), String(one.try), one.answer === "0" ? "A long catch should count for more" : one.answer]));
    for (const row of rows) assert.match(row[5], /\d+:\d\d:\d\d/);
    assert.ok(await page.locator("#who").isHidden(), "and nothing else");
    await page.evaluate(() => { dispatchEvent(new Event("afterprint")); });
    await page.emulateMedia({ media: "screen" });
    assert.ok(await page.locator(".tk-record").isHidden());

    // So are several; what is gone from the course has no words.
    const wanted = await page.evaluate(() => {
      /* global TANKSIDE_QUESTIONS */
      const held = LEARN.begin("exam", "exam", "OAK-17");
      const [,, { digest, options }] = TANKSIDE_QUESTIONS.questions.find(([,, one]) => one.options?.length > 1 && one.kind !== "one");
      held.answer({ question: "a/choice", digest, draw: 1, answer: "1,0", try: 1, right: false });
      held.answer({ question: "a/gone", digest: "gone", draw: 1, answer: "1", try: 1, right: false });
      held.end();
      return [`${options[1].text} · ${options[0].text}`, "1"];
    });
    await page.reload();
    await page.locator('[data-part="progress"][data-started]').waitFor();
    await page.evaluate(() => { window.print = () => { dispatchEvent(new Event("beforeprint")); window.printed = true; }; });
    await page.locator('[data-do="print-record"]').click();
    await page.waitForFunction(() => window.printed);
    assert.deepEqual(await page.locator(".tk-record__answers").last().locator("tbody td:nth-child(5)").allTextContents(), wanted);
    await page.evaluate(() => { dispatchEvent(new Event("afterprint")); });

    // A check that was passed by somebody without a name.
    await page.evaluate(() => {
      LEARN.rename(LEARN.currentId(), "");
      const held = LEARN.begin("exam", "exam", "", {});
      held.answer({ question: "a/b", digest: "c", draw: 1, answer: "1", try: 1, right: true });
      held.sitting.result = { right: 1, all: 1, need: 1 };
      held.end();
      window.printed = 0;
      window.print = () => { window.printed += 1; };
    });
    await page.reload();
    await page.locator('[data-part="progress"][data-started]').waitFor();
    await page.evaluate(() => { window.printed = 0; window.print = () => { window.printed += 1; }; });
    await page.locator('[data-do="certificate"]').click();
    assert.match(await page.locator('[data-role="said"]').innerText(), /^Write your name first/);
    assert.equal(await page.evaluate(() => document.activeElement.id), "learner-name");
    assert.equal(await page.evaluate(() => window.printed), 0);
    await page.keyboard.type("Ana");
    await page.locator('[data-do="rename"]').click();
    assert.equal(await page.evaluate(() => window.printed), 1);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator(".tk-certificate__name").innerText(), "Ana");
    assert.ok(await page.locator(".tk-record").isHidden());
  });
});

test("two tabs that answer at the same time both keep their answers", async () => {
  await visit(LESSON, async (page) => {
    const other = await page.context().newPage();
    await other.goto(LESSON);
    for (const tab of [page, other]) {
      await tab.locator(QUIZ).waitFor();
      await tab.locator(`${QUIZ} [data-role="start"] button`).click();
    }
    await Promise.all([page, other].map(async (tab) => {
      const part = tab.locator(QUIZ);
      await answer(part, await asked(part), true);
      await part.locator('[data-do="check"]').click();
    }));
    const all = await sittingsOf(page);
    assert.equal(all.flatMap((one) => one.answers).length, 2);
  });
});

/** Starts the lesson's check and answers its first question. */
async function answerFirst(page) {
  const part = page.locator(QUIZ);
  await part.waitFor();
  await part.locator('[data-role="start"] button').click();
  await answer(part, await asked(part), true);
  await part.locator('[data-do="check"]').click();
  return part;
}

test("one sitting that two tabs go on with keeps the answers of both", async () => {
  await visit(LESSON, async (page) => {
    await (await answerFirst(page)).locator('[data-do="next"]').click();
    const other = await page.context().newPage();
    await other.goto(LESSON);
    await other.locator(`${QUIZ} [data-role="start"] button`).click();
    for (const tab of [other, page]) {
      const here = tab.locator(QUIZ);
      await answer(here, await asked(here), tab === page);
      await here.locator('[data-do="check"]').click();
    }
    const [only, ...more] = await sittingsOf(page);
    assert.deepEqual(more, []);
    assert.equal(only.answers.length, 3, JSON.stringify(only.answers));
  });
});

test("what another tab has handed in is not opened again by a tab that still had it open", async () => {
  await visit(LESSON, async (page) => {
    await answerFirst(page);
    await page.evaluate(() => {
      /* global LEARN */
      const [{ kind, name }] = LEARN.sittings();
      const [mine, other] = [LEARN.unfinished(kind, name), LEARN.unfinished(kind, name)];
      other.end();
      mine.save();
    });
    const [only, ...more] = await sittingsOf(page);
    assert.deepEqual(more, []);
    assert.notEqual(only.ended, "");
    assert.equal(only.plan, undefined);
  });
});

describe("a store that cannot be read is put aside with its day and reported, and the page works", () => {
  const whole = { version: 1, id: "abc", kind: "check", name: "check-catch", code: "", begun: "2026-01-01T00:00:00.000Z", ended: "", answers: [] };
  const broken = {
    "no JSON": "{",
    nothing: "null",
    "a list": "[]",
    "answers that are not answers": JSON.stringify({ ...whole, answers: [1, null, {}] }),
    "a number for a name": JSON.stringify({ ...whole, name: 7 }),
    "a day that does not exist": JSON.stringify({ ...whole, begun: "yesterday" }),
    "an endless answer": JSON.stringify({ ...whole, answers: [{ question: "a", digest: "b", draw: 1, answer: "9".repeat(150_000), at: "2026-01-01T00:00:00Z", try: 1 }] }),
    "a hundred thousand answers": JSON.stringify({ ...whole, answers: Array(100_000).fill(0) }),
    "markup for an id": JSON.stringify({ ...whole, id: "<img src=x onerror=window.ran=1>" }),
  };
  for (const [what, text] of Object.entries(broken)) {
    test(what, async () => {
      await visit(LESSON, async (page) => {
        const person = await page.evaluate(() => LEARN.currentId());
        await page.evaluate(([who, value]) => localStorage.setItem(`tankside.${document.documentElement.dataset.course}.learn.sitting.${who}.abc`, value), [person, text]);
        await page.reload();
        const part = page.locator(QUIZ);
        await part.waitFor();
        assert.match(await part.locator('[data-role="trouble"]').innerText(), /set aside/);
        const names = Object.keys(await kept(page)).filter((name) => name.startsWith("aside."));
        assert.equal(names.length, 1);
        assert.match(names[0], /^aside\.\d{4}-\d\d-\d\dT/);
        assert.equal((await kept(page))[names[0]], text, "to the letter");
        await part.locator('[data-role="start"] button').click();
        await answer(part, await asked(part), true);
        await part.locator('[data-do="check"]').click();
        assert.equal(await page.evaluate(() => window.ran), undefined);
        await page.reload();
        await part.waitFor();
        assert.ok(await part.locator('[data-role="trouble"]').isHidden(), "and it is reported once");
      });
    });
  }
});

test("what a newer version wrote is left alone and reported", async () => {
  await visit(LESSON, async (page) => {
    const person = await page.evaluate(() => LEARN.currentId());
    const name = `sitting.${person}.zzz`;
    await page.evaluate((key) => localStorage.setItem(`tankside.${document.documentElement.dataset.course}.learn.${key}`, '{"version":2,"anything":true}'), name);
    await page.reload();
    await page.locator(QUIZ).waitFor();
    assert.match(await page.locator(`${QUIZ} [data-role="trouble"]`).innerText(), /newer version/);
    assert.equal((await kept(page))[name], '{"version":2,"anything":true}');
  });
});

test("a full store is reported plainly, and the questions go on", async () => {
  await visit(
    LESSON,
    async (page) => {
      const part = page.locator(QUIZ);
      await part.waitFor();
      await part.locator('[data-role="start"] button').click();
      for (let turn = 0; turn < 2; turn += 1) {
        await answer(part, await asked(part), true);
        await part.locator('[data-do="check"]').click();
        assert.match(await part.locator(".tk-quiz__stage .tk-practice").innerText(), /is full/);
        await part.locator('[data-do="next"]').click();
      }
      const record = await page.evaluate(() => LEARN.record("t", "d"));
      assert.equal(record.sittings[0].answers.length, 2, "they are in the record as long as the page is open");
    },
    () => {
      const put = Storage.prototype.setItem;
      Storage.prototype.setItem = function (key, value) {
        if (key.includes(".sitting.")) throw new DOMException("full", "QuotaExceededError");
        return put.call(this, key, value);
      };
    },
  );
});

test("a clock that was set back loses nothing, and nothing waits for years", async () => {
  await visit(LESSON, async (page) => {
    await practice(page, 3);
    await page.evaluate(() => {
      for (const [name, text] of Object.entries(localStorage)) {
        if (name.includes(".sitting.")) localStorage.setItem(name, text.replaceAll(/"(20\d\d)-/g, '"2039-'));
      }
    });
    const items = await page.evaluate(() => standings());
    const today = await page.evaluate(() => learnDay());
    const learned = Object.values(items).filter((one) => one.learned);
    assert.ok(learned.length > 0);
    for (const one of learned) assert.equal(one.due, today + 1);
  });
});

test("all progress leaves as a file and comes back on another device; a foreign file changes nothing", async () => {
  let file;
  await visit(LESSON, async (page) => {
    await practice(page);
    file = await page.evaluate(() => LEARN.exported());
  });
  const bad = {
    "This is not a progress file": "{",
    "not a progress file": '{"format":"other"}',
    "newer version": file.replace('"version":1', '"version":2'),
    "another course": file.replace(/"course":"[^"]*"/, '"course":"elsewhere"'),
    "cannot be read": file.replace(/"sittings":\[/, '"sittings":[7,'),
  };
  await visit(PROGRESS, async (page) => {
    await page.locator('[data-part="progress"][data-started]').waitFor();
    const before = await kept(page);
    for (const [said, text] of Object.entries(bad)) {
      await page.locator('input[type="file"]').setInputFiles({ name: "p.json", mimeType: "application/json", buffer: Buffer.from(text) });
      await page.locator('[data-role="said"]').filter({ hasText: said }).waitFor();
      assert.deepEqual(await kept(page), before);
    }
    for (let turn = 0; turn < 2; turn += 1) {
      await page.locator('input[type="file"]').setInputFiles({ name: "p.json", mimeType: "application/json", buffer: Buffer.from(file) });
      await page.locator('[data-role="said"]').filter({ hasText: `Sittings added: ${turn ? 0 : 1}.` }).waitFor();
    }
    assert.equal((await sittingsOf(page))[0].answers.length, 3);
    await page.locator('[data-do="start-over"]').click();
    await page.keyboard.press("Escape");
    assert.equal((await sittingsOf(page)).length, 1, "asked first");
    await page.locator('[data-do="start-over"]').click();
    await page.locator('[data-do="surely"]').click();
    assert.equal((await sittingsOf(page)).length, 0);
  });
});

test("a progress file adds what is new, and counts only that: beside what a newer version keeps, into a sitting that went on elsewhere", async () => {
  await visit(PROGRESS, async (page) => {
    await page.locator('[data-part="progress"][data-started]').waitFor();
    const said = await page.evaluate(() => {
      const start = `tankside.${document.documentElement.dataset.course}.learn.`;
      const answer = (question, at) => ({ question, digest: "d", draw: 1, answer: "2 gal", at: `2026-05-04T08:0${at}:00.000Z`, try: 1 });
      const sat = (id, kind, ended, ...answers) => ({ id, kind, name: "drill", code: "", begun: "2026-05-04T08:00:00.000Z", ended, answers });
      const end = "2026-05-04T09:00:00.000Z";
      const person = { id: "ada", name: "Ada", made: "2026-05-04T07:00:00.000Z" };
      const future = '{"version":2,"anything":true}';
      const put = (name, what) => localStorage.setItem(start + name, typeof what === "string" ? what : JSON.stringify({ version: 1, ...what }));
      put("person.ada", person);
      put("person.eve", future);
      put("sitting.ada.newer", future);
      put("sitting.ada.both", sat("both", "drill", "", answer("a", 1), answer("b", 2)));
      put("sitting.ada.open", sat("open", "drill", "", answer("a", 1)));
      put("sitting.ada.paper", sat("paper", "exam", end, answer("a", 1)));
      const sittings = [
        sat("newer", "drill", end, answer("a", 1)), sat("both", "drill", "", answer("a", 1), answer("c", 3)), sat("open", "drill", end, answer("a", 1)),
        sat("paper", "exam", end, { ...answer("a", 1), answer: "7 gal" }), sat("paper", "exam", end, answer("a", 1)),
      ];
      const file = () => JSON.stringify({ format: "tankside-progress", version: 1, course: document.documentElement.dataset.course, people: [{ ...person, sittings, notes: [null, ["x"], 7] }, { id: "eve", name: "Eve", made: person.made, sittings: [sittings[0]], notes: [] }] });
      const told = [LEARN.imported(file()), LEARN.imported(file())].map((one) => [one.word, one.sittings]);
      return {
        told,
        left: [localStorage.getItem(`${start}sitting.ada.newer`), localStorage.getItem(`${start}person.eve`)].every((text) => text === future),
        ada: LEARN.sittings("ada").map((one) => [one.id, one.ended !== "", one.answers.map((each) => `${each.question} ${each.answer}`).join(", ")]),
        eve: LEARN.people().filter((one) => one.name === "Eve").map((one) => LEARN.sittings(one.id).length),
      };
    });
    assert.deepEqual(said.told, [["file-taken", 4], ["file-taken", 0]]);
    assert.ok(said.left, "what the newer version wrote is where it was");
    assert.deepEqual(said.ada, [
      ["both", false, "a 2 gal, b 2 gal, c 2 gal"],
      ["newerv1", true, "a 2 gal"],
      ["open", true, "a 2 gal"],
      ["paper", true, "a 2 gal"],
    ]);
    assert.deepEqual(said.eve, [1]);
  });
});

test("a clock that is set back during a sitting leaves a record that is marked; what cannot be read stays where there is no room to set it aside", async () => {
  await visit(PROGRESS, async (page) => {
    await page.locator('[data-part="progress"][data-started]').waitFor();
    await page.clock.setFixedTime("2026-05-04T10:00:00Z");
    const held = await page.evaluateHandle(() => LEARN.begin("drill", "drill"));
    await page.clock.setFixedTime("2026-05-04T08:00:00Z");
    const [begun, ended] = await held.evaluate((one) => { one.answer({ question: "a/b", digest: "c", draw: 1, answer: "1 gal", try: 1 }); one.end(); return [one.sitting.begun, one.sitting.ended]; });
    assert.ok(ended >= begun, `${begun} to ${ended}`);
    const [text, troubles] = await page.evaluate(() => {
      const name = `tankside.${document.documentElement.dataset.course}.learn.sitting.${LEARN.currentId()}.torn`;
      localStorage.setItem(name, "{");
      const put = Storage.prototype.setItem;
      Storage.prototype.setItem = function (key, value) {
        if (key.includes(".aside.")) throw new DOMException("full", "QuotaExceededError");
        return put.call(this, key, value);
      };
      LEARN.sittings();
      LEARN.sittings();
      return [localStorage.getItem(name), LEARN.troubles()];
    });
    assert.equal(text, "{");
    assert.deepEqual(troubles, ["store-full", "store-aside"]);
  });
});

test("the training record holds questions, digests, draws and answers as typed, and no score", async () => {
  await visit(LESSON, async (page) => {
    await practice(page);
    await page.goto(PROGRESS);
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-do="record"]').click()]);
    assert.match(download.suggestedFilename(), /^training-record-.+\.json$/);
    const record = await page.evaluate(() => LEARN.record("t", "d"));
    assert.deepEqual(Object.keys(record), ["format", "version", "course", "learner", "made", "sittings"]);
    assert.deepEqual(Object.keys(record.sittings[0]), ["id", "kind", "name", "code", "begun", "ended", "answers"]);
    for (const one of record.sittings[0].answers) assert.deepEqual(Object.keys(one), ["question", "digest", "draw", "answer", "at", "try"]);
    await page.locator('[data-do="copy"]').click();
    assert.match(await page.locator("#record-text").inputValue(), /tankside-training-record/);
  });
});
