// The demo course in the language that shouts, as it is used: what the scripts say to an answer, a slip, an end, a file
// that cannot be read, a full device, a part that does not load. Every word of it is a phrase's.

import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { answer, asked } from "./asking.mjs";
import { open, openKept } from "./browser.mjs";
import { DANA, LEE, chore } from "./card.mjs";
import { MARK, allow, allowNames, shoutingSite, unmarked } from "./language.mjs";
import { serve } from "./server.mjs";
import { whole } from "./worked.mjs";

// A browser writes days of a language it does not know in its own; Japanese ones have no Latin word that could hide.
const HOW = { locale: "ja-JP", reducedMotion: "reduce", acceptDownloads: true, viewport: { width: 360, height: 740 } };
const site = shoutingSite();
const room = mkdtempSync(join(tmpdir(), "tankside-said-"));
after(() => rmSync(room, { recursive: true, force: true }));
before(() => { allowNames(site); allow("Ines"); });

const page = (name) => readFileSync(join(site.site, name), "utf8");
const STAGE = '[data-role="stage"]';

/** Opens a page and looks after each step of `use`, which says what it did. */
function used(name, part, use) {
  return open(site.url(name), async (page) => {
    const place = page.locator(`[data-part="${part}"][data-started]`).first();
    if (part) await place.waitFor();
    const look = async (when) => {
      await page.locator("details:not([open])").evaluateAll(($all) => { for (const $one of $all) $one.open = true; });
      assert.deepEqual(await unmarked(page), [], `${name}: ${when}`);
    };
    await use(page, place, look);
  }, HOW);
}

const click = (part, name) => part.locator(`[data-do="${name}"]:visible`).first().click();

/** A check that counts and an exam: questions walked through, left open, handed in. */
async function paper(page, part, look, all) {
  for (let turn = 0; turn < all; turn += 1) {
    const question = await asked(part);
    if (await part.locator(`${STAGE} .tk-choice__mark[data-answer]`).count()) await part.locator(`${STAGE} .tk-choice__mark`).first().check();
    else if (turn % 3 < 2) await answer(part, question, turn % 3 === 0);
    if (turn === 1) await click(part, "flag");
    await look(`question ${turn + 1} of the paper`);
    if (turn < all - 1) await click(part, "next");
  }
  await click(part, "hand-in");
  await look("asked whether it is handed in");
  await click(part, "surely");
  await part.locator('[data-role="total"]').waitFor();
  await look("handed in");
}

/** Questions one at a time: each answered by half, wrongly, and once more. */
async function round(part, look, most) {
  for (let turn = 0; turn < most; turn += 1) {
    const question = await asked(part);
    if (question.kind === "number" && !question.authored.parts?.length) {
      await part.locator(`${STAGE} .tk-question__entry`).fill("12");
      await click(part, "check");
      await look(`${question.id}, without a unit`);
      await part.locator(`${STAGE} .tk-question__entry`).fill("?!");
      await click(part, "check");
      await look(`${question.id}, unreadable`);
    } else {
      await click(part, "check");
      await look(`${question.id}, not answered`);
    }
    if (turn % 2) {
      await answer(part, question, true);
      await click(part, "check");
      await look(`${question.id}, right`);
    } else {
      for (const again of ["wrong", "wrong again"]) {
        await answer(part, question, false);
        await click(part, "check");
        await look(`${question.id}, ${again}`);
        if (await part.locator('[data-do="next"]:visible').count()) break;
      }
      // A wrong answer that the core asks back about is no miss: the question stays.
      if (!(await part.locator('[data-do="next"]:visible').count())) {
        await answer(part, question, true);
        await click(part, "check");
        await look(`${question.id}, right after all`);
      }
    }
    await click(part, "next");
    if (await part.locator('[data-role="total"]').count()) break;
  }
}

const QUIZZES = readAll('data-part="quiz"').flatMap((name) =>
  [...page(name).matchAll(/<section\b([^>]*\bdata-part="quiz"[^>]*)>/g)].map(([, markup]) => ({
    name,
    bank: markup.match(/data-bank="([^"]*)"/)[1],
    ask: Number(markup.match(/data-ask="(\d+)"/)[1]),
    counts: markup.includes("data-counts"),
  })),
);

function readAll(text) {
  return site.pages.filter((name) => page(name).includes(text));
}

describe("questions", () => {
  for (const { name, bank, ask, counts } of QUIZZES) {
    test(`${name} ${bank}`, async () => {
      await used(name, "quiz", async (page, _, look) => {
        const part = page.locator(`[data-part="quiz"][data-bank="${bank}"][data-started]`);
        await part.locator('[data-role="start"] button').first().click();
        if (counts) return paper(page, part, look, ask);
        await round(part, look, ask);
        await part.locator('[data-role="total"]').waitFor();
        await look("the end");
      });
    });
  }
});

test("the drill, from its settings to its end", async () => {
  await used("drill.html", "drill", async (page, part, look) => {
    await click(part, "no-topic");
    await click(part, "begin");
    await look("without a topic");
    await click(part, "all-topics");
    await part.locator("#drill-exam").fill(new Date(Date.now() + 35 * 86_400_000).toISOString().slice(0, 10));
    await part.locator('[data-role="plan"] tr').nth(3).waitFor();
    await look("a plan");
    await part.locator("#drill-length").selectOption("6");
    await click(part, "begin");
    await round(part, look, 40);
    await look("the end");
  });
});

test("the mock exam, from its code to its review", async () => {
  await used("exam.html", "exam", async (page, part, look) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-who").fill("Ines");
    await click(part, "begin-exam");
    await part.locator(`${STAGE} [data-part="question"]`).waitFor();
    await look("begun");
    for (const key of ["7", "/", "0", "="]) await part.locator(`[data-key="${key}"]`).click();
    await look("the calculator");
    await paper(page, part, look, 25);
    await page.reload();
    await part.locator('[data-do="last"]').waitFor();
    await look("afterwards");
  });
});

test("step by step: an example, blanks, and what is said to them", async () => {
  await used("steps.html", "steps", async (page, part, look) => {
    await look("the list");
    await part.locator('[data-calculator="catch-test"]').click();
    await page.locator('[data-do="examples"]').waitFor();
    await look("a first problem");
    await click(part, "examples");
    await part.locator(".tk-why").waitFor();
    await click(part, "checked");
    await look("nothing chosen");
    for (const $mark of await part.locator(".tk-why input").all()) {
      await $mark.check();
      await click(part, "checked");
      await look("a reason chosen");
      if (await part.locator('[data-do="forward"]').count()) break;
    }
    await click(part, "forward");
    for (const typed of ["5", "?!", "999999 gal/min", "999998 gal/min"]) {
      await part.locator(".tk-step--blank input:enabled").first().fill(typed);
      await click(part, "checked");
      await look(`a step: ${typed}`);
    }
  });
});

test("the reading bench: every thing, not read, misread and read", async () => {
  await used("reading.html", "reading", async (page, part, look) => {
    await look("the list");
    const things = await part.locator("[data-thing]").evaluateAll(($all) => $all.map(($one) => $one.dataset.thing));
    assert.ok(things.length > 4);
    for (const thing of things) {
      await part.locator(`[data-thing="${thing}"]`).click();
      await part.locator(`${STAGE} .tk-question__entry`).waitFor();
      for (const typed of ["", "12", "?!", "98765 gal", "98765 s", "98765 ft", "98765 psi", "98765 gal/1000 ft2"]) {
        await part.locator(`${STAGE} .tk-question__entry`).fill(typed);
        await part.locator('[data-do="act"]').click();
        await look(`${thing}: ${typed}`);
        if (!(await part.locator(`${STAGE} .tk-question__entry:enabled`).count())) break;
      }
      await click(part, "leave");
    }
  });
});

test("the day’s log: lawns, slips, verdicts, another day, a row that cannot be read", async () => {
  await used("log.html", "log", async (page, part, look) => {
    const lawn = async (name, area, used) => {
      await page.locator("#log-name").fill(name);
      await page.locator("#log-area").fill(area);
      await page.locator("#log-used").fill(used);
      await page.keyboard.press("Enter");
    };
    await lawn("", "abc", "1,5,5");
    await look("cannot be read");
    await page.locator("#log-rate").fill("2 gal");
    await page.keyboard.press("Tab");
    await look("a rate without its area");
    await page.locator("#log-rate").fill("2 gal/1000 ft2");
    await page.keyboard.press("Tab");
    for (const used of ["20", "20,2", "19,9"]) await lawn("", "10000", used);
    await look("in control");
    await lawn("", "10000", "31");
    await look("one is off");
    for (const used of ["22", "22,2", "22,1", "22,3"]) await lawn("", "10000", used);
    await look("drifting");
    await page.locator('[data-role="rows"] button').first().click();
    await look("a row removed");
    await page.evaluate(() => {
      /* global LEARN */
      const [id] = Object.keys(LEARN.note("logs").note);
      const { note } = LEARN.note(`log.${id}`);
      LEARN.setNote(`log.${id}`, { ...note, lawns: [...note.lawns, ["", "?!", "9"]] });
    });
    await page.reload();
    await part.waitFor();
    await look("a row that cannot be read");
    await click(part, "new-day");
    await look("another day");
  });
});

test("the card: slips, saved, compared, deleted, read from a file", async () => {
  await used("card.html", "", async (page, _, look) => {
    await page.locator('[data-part="card"]').dispatchEvent("pointerdown");
    await page.locator('[data-part="card"][data-started]').waitFor();
    await look("started");
    await chore(page, "new").click();
    for (const [name, text] of [["timed.1.volume", "abc"], ["timed.1.area", ""], ["timed.1.area-time", "-3"], ["tank", "99999999"], ["date", "13/45"]]) await page.fill(`.tk-sheet [name="${name}"]`, text);
    await chore(page, "keep").click();
    await look("slips");
    for (const card of [DANA, LEE]) {
      await chore(page, "new").click();
      if (await page.locator('[data-chore="leave"]:visible').count()) { await look("unsaved"); await chore(page, "leave").click(); }
      for (const [name, text] of Object.entries(card)) await page.fill(`.tk-sheet [name="${name}"]`, text);
      await chore(page, "keep").click();
      await look("saved");
    }
    await chore(page, "edit").click();
    await page.locator('[data-do="add"][data-group="product"]').first().click();
    await page.fill('[name="product.1.name"]', "Quibblewort");
    await page.fill('[name="product.1.rate"]', "2 fl oz/1000 ft2");
    await page.fill('[name="product.1.label-max"]', "1 fl oz/1000 ft2");
    await look("above the label");
    await page.locator('[data-do="units"][data-units="metric"]').first().evaluate(($button) => $button.click());
    await look("metric");
    await page.locator('[data-chore="ask"]').first().click();
    await look("asked whether it is deleted");
    await page.locator('[data-chore="drop"]').first().click();
    await look("deleted");
    for (const [name, text] of [["no.json", "{"], ["other.json", '{"kind":"x"}'], ["more.json", "[]"]]) {
      writeFileSync(join(room, name), text);
      await page.setInputFiles('[data-role="file"]', join(room, name));
      await page.locator('[data-role="list-said"]:not(:empty)').waitFor();
      await look(`a file: ${text}`);
    }
  });
});

test("progress: a name, another person, a record, a certificate, files, starting over", async () => {
  await used("index.html", "", async (page, _, look) => {
    const quiz = QUIZZES.find((one) => one.counts);
    await page.goto(site.url(quiz.name));
    const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await part.locator('[data-role="start"] button').first().click();
    for (let turn = 0; turn < quiz.ask; turn += 1) {
      await answer(part, await asked(part), true);
      if (turn < quiz.ask - 1) await click(part, "next");
    }
    await click(part, "hand-in");
    await click(part, "surely");
    await part.locator('[data-role="total"]').waitFor();
    await look("all right");
    await page.goto(site.url("index.html"));
    await look("home, of somebody who was here");
    await page.goto(site.url("progress.html"));
    const progress = page.locator('[data-part="progress"][data-started]');
    await progress.waitFor();
    await look("progress");
    await page.evaluate(() => { window.print = () => {}; });
    await page.locator("#learner-name").fill("Sam Sample");
    for (const name of ["rename", "copy", "certificate", "print-record"]) {
      await click(progress, name);
      await look(name);
    }
    for (const name of ["record", "export"]) {
      await Promise.all([page.waitForEvent("download"), click(progress, name)]);
      await look(name);
    }
    for (const text of ["{", '{"kind":"x"}', "[]"]) {
      writeFileSync(join(room, "progress.json"), text);
      await page.setInputFiles('[data-role="file"]', join(room, "progress.json"));
      await page.locator('[data-role="said"]:not(:empty)').waitFor();
      await look(`a file: ${text}`);
    }
    await click(progress, "add");
    await look("another person");
    await progress.locator('input[name="person"]').first().check();
    await look("the first again");
    await click(progress, "start-over");
    await look("asked whether it starts over");
    await click(progress, "surely");
    await look("started over");
  });
});

test("what is kept and cannot be read is said in the course’s language", async () => {
  for (const name of ["index.html", "drill.html", "progress.html", QUIZZES[0].name]) {
    await used(name, "", async (page, _, look) => {
      await page.evaluate(() => {
        const course = document.documentElement.dataset.course;
        for (const key of ["people", "person", "sitting.x", "memory", "notes", "state"]) localStorage.setItem(`tankside.${course}.learn.${key}`, "{");
        localStorage.setItem(`tankside.${course}.learn`, "{");
      });
      await page.reload();
      await page.waitForTimeout(200);
      await look("unreadable");
      await page.evaluate(() => { Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); }; });
      const $begin = page.locator('[data-do="begin"]:visible, [data-role="start"] button:visible').first();
      if (await $begin.count()) await $begin.click();
      await page.waitForTimeout(400);
      await look("a full device");
    });
  }
});

test("search: found, many, none, and an index that does not load", async () => {
  await used("index.html", "", async (page, _, look) => {
    await page.locator('[data-do="search"]').click();
    await page.locator("dialog.tk-find[open]").waitFor();
    await look("open");
    // The groups and what each lies in; titles and pieces are the course's own or phrases'.
    for (const words of ["a", "ǂnozzle", "calibration", "qqqqzzz", "catch"]) {
      await page.locator("#tk-find-words").fill(words);
      await page.waitForTimeout(300);
      await look(`search for ${words}`);
    }
  });
  const server = await serve(site.site);
  await openKept(server.url("not-found.html"), async (page) => {
    await page.route("**/search*", (route) => route.abort());
    await page.locator('[data-do="search"]').click();
    await page.locator('[data-line="search"]').waitFor();
    assert.deepEqual(await unmarked(page), []);
  });
  await server.close();
});

// Slips are answered by code that all calculators share: each tries three, and all come round.
const TYPED = ["?!", "-5", "0", "987654321", "0,0001", "12", ""];
const TYPED_EACH = 3;
describe("worked examples and calculators", () => {
  for (const [index, name] of [...readAll('data-part="worked"'), ...readAll('data-part="work"')].filter((name) => name.startsWith("work/")).entries()) {
    test(name, async () => {
      await used(name, "", async (page, _, look) => {
        const part = page.locator('[data-part="worked"]').first();
        await part.dispatchEvent("pointerdown");
        await page.locator('[data-part="worked"][data-started]').first().waitFor();
        await look("started");
        const fields = part.locator(".tk-field__number");
        const count = await fields.count();
        for (let turn = 0; turn < TYPED_EACH; turn += 1) {
          const typed = TYPED[(index * TYPED_EACH + turn) % TYPED.length];
          for (let at = 0; at < Math.min(count, 12); at += 1) {
            const field = fields.nth(at);
            if (await field.isVisible()) await field.fill(typed);
          }
          await whole(page);
          await look(`every number is “${typed}”`);
        }
        for (const $button of await part.locator('[data-do="add"]:visible').all()) await $button.click();
        await look("rows added");
        await page.locator('[data-do="units"][data-units="metric"]').first().evaluate(($button) => $button.click());
        await whole(page);
        await look("metric");
      });
    });
  }
});

test("a core that cannot be loaded", async () => {
  const name = site.pages.find((one) => one.startsWith("work/"));
  await open(site.url(name), async (page) => {
    await page.evaluate(() => { window.needScript = () => Promise.reject(new Error("no signal")); });
    await page.locator(".tk-field__number").first().fill("157");
    await page.locator('[data-role="unloaded"]').waitFor({ state: "visible" });
    assert.deepEqual(await unmarked(page), []);
  }, HOW);
});

describe("without signal", () => {
  const kept = (page) => page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined)).then(() => page.waitForFunction(() => navigator.serviceWorker.controller !== null));

  test("what is kept, what is not, and a page that is not there", async () => {
    const server = await serve(site.site);
    await openKept(server.url("index.html"), async (page, context) => {
      await kept(page);
      await page.locator("[data-kept]").waitFor();
      assert.deepEqual(await unmarked(page), [], "kept");
      await server.close();
      await context.setOffline(true);
      await page.goto(server.url("lessons/nowhere.html"));
      const said = await page.locator("h1").innerText();
      assert.ok(said.includes(MARK), said);
      assert.deepEqual(await unmarked(page), [], "nowhere");
    });
  });

  test("a device that is full, and a new version", async () => {
    const server = await serve(site.site);
    await openKept("about:blank", async (page, context) => {
      const devtools = await context.newCDPSession(page);
      await devtools.send("Storage.overrideQuotaForOrigin", { origin: server.origin, quotaSize: 600_000 });
      await page.goto(server.url("index.html"));
      await page.locator('[data-line="full"]').waitFor();
      assert.deepEqual(await unmarked(page), [], "full");
    });
    await openKept(server.url("index.html"), async (page) => {
      await kept(page);
      server.folder = site.newer();
      await page.goto(server.url("index.html"));
      await page.locator('[data-line="update"] button').first().waitFor();
      assert.deepEqual(await unmarked(page), [], "a new version");
    });
    await server.close();
  });
});
